"""One drawing compared with those of the library that may be its doubles, in a worker process."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from assetlib.imaging.assembly import PicturePlan, seen
from assetlib.imaging.doubles.fingerprints import Fingerprint, fingerprint, is_crowded, is_sheet
from assetlib.imaging.doubles.judging import compare, compare_closely
from assetlib.imaging.doubles.local_features import features_of
from assetlib.imaging.doubles.matching import DoubleKind, PairVerdict
from assetlib.imaging.formats import open_reading, read_picture
from assetlib.imaging.formats.interface import Ask, Source
from assetlib.imaging.pixels import hash_image

LOOKED_AT = 5
"""Likeliest candidates that are looked at again by local features where their fingerprints leave all open: most
drawings have no double, and pay for this look, about 6 ms each."""

LOOKED_AT_FOR_SHEET, LOOKED_AT_FOR_PAGE = 12, 44
"""The same for a sheet and for a crowded page, each time: it may hold other drawings than those that were found."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A drawing of the library that may be a double: its cut and its stored fingerprint."""

    cut_id: int
    data: bytes
    by_details: bool = False
    """Whether it shares details that lie alike."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """A drawing, and the drawings of the library to compare it with, likeliest first."""

    data: bytes
    others: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Match:
    """A candidate that the drawing belongs together with. `inside` says which of the two stands in the other."""

    cut_id: int
    verdict: PairVerdict
    inside: str = ""
    """"it": the drawing stands in the candidate; "other": the candidate stands in the drawing."""


@dataclass(frozen=True, slots=True)
class LookRequest:
    """What one reading of a file outside the library gives: hashes of bytes and pixels, and a fingerprint."""

    sha256: str
    pixel_sha256: str
    data: bytes


def take_print(plan: PicturePlan) -> bytes:
    """The fingerprint of a cut, as it is stored. Raises BadPicture."""
    return fingerprint(seen(plan)).to_bytes()


def look_at(path: str) -> LookRequest:
    """What a file outside the library is recognised by. Raises BadPicture."""
    file = Path(path)
    picture = read_picture(file)
    with file.open("rb") as opened:
        sha256 = hashlib.file_digest(opened, "sha256").hexdigest()
    with closing(Source(file)) as source:
        pixels = hash_image(open_reading(source).image(Ask()))
    return LookRequest(sha256, pixels, fingerprint(picture).to_bytes())


def compare_all(comparison: Comparison) -> tuple[Match, ...]:
    """Those of the candidates that are doubles, in the order in which they were named."""
    theirs = {other.cut_id: Fingerprint.from_bytes(other.data) for other in comparison.others}
    by_details = {other.cut_id for other in comparison.others if other.by_details}
    return compare_prints(Fingerprint.from_bytes(comparison.data), theirs, by_details)


def compare_prints(
    mine: Fingerprint, theirs: Mapping[int, Fingerprint], by_details: Collection[int] = ()
) -> tuple[Match, ...]:
    """The same for fingerprints at hand, likeliest first."""
    matches = {}
    for number, other in theirs.items():
        match = _match(number, partial(compare, other, mine), partial(compare, mine, other))
        if match is not None:
            matches[number] = match
    altered = [number for number, match in matches.items() if _seems_altered(match.verdict)]
    left = {number: theirs[number] for number in [*altered, *_left_open(mine, theirs, matches)]}
    for number, match in _by_features(mine, left, by_details).items():
        if number not in altered or match.verdict.kind is DoubleKind.SAME_DRAWING:
            matches[number] = match
    return tuple(matches[number] for number in theirs if number in matches)


def _seems_altered(verdict: PairVerdict) -> bool:
    """Whether a closer look may tell that all was cut or drawn heavier, where a part seems erased."""
    return verdict.kind is DoubleKind.FAMILY and bool({"erased", "redrawn"}.intersection(verdict.how))


def _left_open(
    mine: Fingerprint, theirs: Mapping[int, Fingerprint], matches: Mapping[int, Match]
) -> list[int]:
    """Candidates to look at again: those that are perhaps doubles before those that seem to be none."""
    sure = {
        number for number, match in matches.items() if match.verdict.kind is not DoubleKind.PERHAPS_FAMILY
    }
    if sure and not is_sheet(mine):
        return []
    likeliest = [number for number in theirs if number not in sure]
    likeliest.sort(key=lambda number: number not in matches)
    if is_crowded(mine):
        return likeliest[:LOOKED_AT_FOR_PAGE]
    return likeliest[: LOOKED_AT_FOR_SHEET if is_sheet(mine) else LOOKED_AT]


def _by_features(
    mine: Fingerprint, theirs: Mapping[int, Fingerprint], by_details: Collection[int]
) -> dict[int, Match]:
    found: dict[int, Match] = {}
    ours = features_of(mine) if theirs else None
    for number, other in theirs.items() if ours else ():
        features = features_of(other, as_page=number in by_details and not is_crowded(mine))
        match = _match(
            number,
            partial(compare_closely, other, mine, features, ours),
            partial(compare_closely, mine, other, ours, features),
        )
        if match is not None:
            found[number] = match
    return found


def _match(
    number: int, ask: Callable[[], PairVerdict | None], turned: Callable[[], PairVerdict | None]
) -> Match | None:
    verdict = ask()
    if verdict is None:
        return None
    if verdict.kind is not DoubleKind.CONTAINED:
        return Match(number, verdict)
    if verdict.box is not None:
        return Match(number, verdict, "other")
    other_way = turned()
    return Match(number, other_way if other_way and other_way.kind is DoubleKind.CONTAINED else verdict, "it")
