"""One drawing compared with those of the library that may be its doubles, in a worker process."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

from assetlib.imaging.assembly import PicturePlan, assemble, seen
from assetlib.imaging.fingerprints import Fingerprint, fingerprint
from assetlib.imaging.formats import open_reading, read_picture
from assetlib.imaging.formats.interface import Ask, Source
from assetlib.imaging.judging import compare
from assetlib.imaging.matching import Kind, Load, Verdict
from assetlib.imaging.normalise import Pixels
from assetlib.imaging.pixels import hash_image

LOOKED_AT = 2
"""Candidates whose pictures are looked at again by local features where their fingerprints leave all open: most
drawings have no double, and pay for this look. A third one found nothing more on the demo drawings."""


SURE_BY_FEATURES = 0.75
"""Score from which local features alone make a family (0.5 and the share of features found again). Figures that
one hand draws share arms and faces: on the demo drawings unrelated people reach 0.68, altered copies 0.9."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A drawing of the library that may be a double: its version, its stored fingerprint, and where its picture is."""

    version_id: int
    data: bytes
    plan: PicturePlan


@dataclass(frozen=True, slots=True)
class Comparison:
    """A drawing, and the drawings of the library to compare it with, likeliest first."""

    data: bytes
    plan: PicturePlan | str
    """A plan, or the path of a file outside the library."""
    others: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Match:
    """A candidate that the drawing belongs together with. `inside` says which of the two stands in the other."""

    version_id: int
    verdict: Verdict
    inside: str = ""
    """"it": the drawing stands in the candidate; "other": the candidate stands in the drawing."""


@dataclass(frozen=True, slots=True)
class Look:
    """What one reading of a file outside the library gives: hashes of bytes and pixels, and a fingerprint."""

    sha256: str
    pixel_sha256: str
    data: bytes


def take_print(plan: PicturePlan) -> bytes:
    """The fingerprint of a version, as it is stored. Raises BadPicture."""
    return fingerprint(seen(plan)).to_bytes()


def look_at(path: str) -> Look:
    """What a file outside the library is recognised by. Raises BadPicture."""
    file = Path(path)
    picture = read_picture(file)
    with file.open("rb") as opened:
        sha256 = hashlib.file_digest(opened, "sha256").hexdigest()
    with closing(Source(file)) as source:
        pixels = hash_image(open_reading(source).image(Ask()))
    return Look(sha256, pixels, fingerprint(picture).to_bytes())


def compare_all(comparison: Comparison) -> tuple[Match, ...]:
    """Those of the candidates that are doubles, in the order in which they were named."""
    mine = Fingerprint.from_bytes(comparison.data)
    theirs = {other.version_id: Fingerprint.from_bytes(other.data) for other in comparison.others}
    matches = {
        version_id: match
        for version_id, other in theirs.items()
        if (match := _match(version_id, other, mine)) is not None
    }
    if all(match.verdict.kind is Kind.PERHAPS_FAMILY for match in matches.values()):
        likeliest = sorted(comparison.others, key=lambda other: other.version_id not in matches)
        matches |= _by_features(comparison.plan, likeliest[:LOOKED_AT], mine, theirs)
    return tuple(matches[version_id] for version_id in theirs if version_id in matches)


def _match(
    version_id: int,
    other: Fingerprint,
    mine: Fingerprint,
    load_other: Load | None = None,
    load_mine: Load | None = None,
) -> Match | None:
    verdict = compare(other, mine, load_other, load_mine)
    if verdict is None:
        return None
    if verdict.kind is not Kind.CONTAINED:
        return Match(version_id, verdict)
    if verdict.box is not None:
        return Match(version_id, verdict, "other")
    turned = compare(mine, other, load_mine, load_other)
    return Match(version_id, turned if turned and turned.kind is Kind.CONTAINED else verdict, "it")


def _by_features(
    plan: PicturePlan | str, others: Sequence[Candidate], mine: Fingerprint, theirs: dict[int, Fingerprint]
) -> dict[int, Match]:
    load_mine = cache(partial(_load, plan))
    found = {}
    for other in others:
        load_other = cache(partial(_load, other.plan))
        match = _match(other.version_id, theirs[other.version_id], mine, load_other, load_mine)
        if match is not None:
            found[other.version_id] = _doubted(match)
    return found


def _doubted(match: Match) -> Match:
    """The match, no more than *perhaps* where few features agree."""
    verdict = match.verdict
    if verdict.kind is not Kind.FAMILY or verdict.score >= SURE_BY_FEATURES:
        return match
    return replace(match, verdict=replace(verdict, kind=Kind.PERHAPS_FAMILY))


def _load(plan: PicturePlan | str) -> Pixels:
    return read_picture(Path(plan)) if isinstance(plan, str) else assemble(plan)
