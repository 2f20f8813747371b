"""What resembles what: fingerprints of all drawings kept searchable, and every new drawing compared with the rest.

What has been compared is noted cut by cut, so that an interrupted run
goes on, and a new recipe is worked off like everything that waits.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from sqlalchemy import and_, delete, exists, func, or_, select
from sqlalchemy.orm import Session

from assetlib.catalogue.derived import Derived, FingerprintRow, PairFinding, Recipe
from assetlib.catalogue.entries import Cut, Entry, Piece, Version
from assetlib.catalogue.queries import chunks
from assetlib.errors import BadPicture
from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.comparing import Candidate, Comparison, LookRequest, Match, compare_all, look_at
from assetlib.imaging.doubles.documented import Words, words_of
from assetlib.imaging.doubles.fingerprints import FINGERPRINT_RECIPE, Fingerprint
from assetlib.imaging.supervise import call_supervised, run_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.roles import DRAWN
from assetlib.services import shelf

ROLES = DRAWN
"""What is compared; a photograph that somebody else took is no double of the drawing traced from it."""

COMPARED = "comparison"
_COMPARED_RECIPE = f"compared-2 {FINGERPRINT_RECIPE}"

_KEPT_FROM = 200
"""New fingerprints from which the searched file is written anew; fewer are read from the catalogue each time."""


@dataclass(frozen=True, slots=True)
class FoundPair:
    """Two cuts that belong together, as it is kept: a is the older, or the one that stands inside the other."""

    a_id: int
    b_id: int
    kind: str
    how: tuple[str, ...]
    score: float
    box: tuple[int, int, int, int] | None
    """x, y, w, h of a in the pixels of b."""


class Prints:
    """The fingerprints of a library, opened for searching."""

    def __init__(self, lib: Library) -> None:
        self._lib = lib
        self._folder = lib.derived / "fingerprints" / re.sub(r"[^a-z0-9]+", "-", FINGERPRINT_RECIPE.lower())
        with lib.reading() as session:
            self._recipe = session.scalar(
                select(Recipe.id).where(Recipe.kind == "fingerprint", Recipe.name == FINGERPRINT_RECIPE)
            )
            rows = session.scalars(
                select(FingerprintRow.cut_id)
                .where(FingerprintRow.recipe_id == (self._recipe or -1))
                .order_by(FingerprintRow.cut_id)
            )
            self._there = set(rows)
        self._ids, self._index = self._kept()
        self._take_in(sorted(self._there.difference(self._ids)))

    def candidates(
        self, print_: Fingerprint, allowed: Collection[int], besides: int | None
    ) -> dict[int, bool]:
        """Cuts among `allowed` that may show the same drawing, likeliest first, and whether details say so.

        `besides` is the asking one.
        """
        found = {self._ids[number]: voted for number, voted in self._index.found(print_).items()}
        return {cut_id: voted for cut_id, voted in found.items() if cut_id != besides and cut_id in allowed}

    def recognised(self, asked: Words, allowed: Collection[int]) -> dict[int, int]:
        """Cuts among `allowed` that are near a documented hash, and how many bits apart, nearest first."""
        found = {self._ids[number]: apart for number, apart in self._index.recognised(asked).items()}
        return {cut_id: apart for cut_id, apart in found.items() if cut_id in allowed}

    def data(self, session: Session, cut_ids: Collection[int]) -> dict[int, bytes]:
        """The stored fingerprints of these cuts, without those that are gone by now."""
        found: dict[int, bytes] = {}
        for chunk in chunks(list(cut_ids)):
            rows = session.execute(
                select(FingerprintRow.cut_id, FingerprintRow.data).where(
                    FingerprintRow.recipe_id == self._recipe, FingerprintRow.cut_id.in_(chunk)
                )
            )
            found.update((row[0], row[1]) for row in rows)
        return found

    def _kept(self) -> tuple[list[int], Index]:
        """What the newest searched file holds; nothing where there is none, or much of it is gone."""
        newest = max(self._folder.glob("*.npz"), default=None)
        if newest is not None:
            try:
                ids: list[int] = np.load(newest.with_suffix(".npy")).tolist()
                if len(self._there.intersection(ids)) > 0.9 * len(ids):
                    return ids, Index.load(newest)
            except (OSError, ValueError, KeyError):
                pass  # cut short by a kill: it is made again
        return [], Index()

    def _take_in(self, cuts: list[int]) -> None:
        for chunk in chunks(cuts):
            with self._lib.reading() as session:
                rows = self.data(session, chunk)
            for cut_id in sorted(rows):
                self._ids.append(cut_id)
                self._index.add(Fingerprint.from_bytes(rows[cut_id]))
        if len(cuts) >= _KEPT_FROM:
            self._keep()

    def _keep(self) -> None:
        """Write a new searched file; an older one may be open in another process and goes when it can."""
        self._folder.mkdir(parents=True, exist_ok=True)
        older = sorted(self._folder.iterdir())
        number = 1 + max((int(path.stem) for path in older if path.stem.isdigit()), default=0)
        path = self._folder / f"{number:06}.npz"
        np.save(path.with_suffix(".npy"), np.array(self._ids, np.int64))
        self._index.save(path)
        for left in older:
            try:
                left.unlink(missing_ok=True)
            except OSError:  # open elsewhere, on a system that keeps open files
                continue


def waiting_count(lib: Library) -> int:
    """How many fingerprints have not been compared with the rest yet."""
    with lib.reading() as session:
        return session.scalar(select(func.count()).select_from(_pending(session).subquery())) or 0


def compare_waiting(
    lib: Library, *, entries: Iterable[int] | None = None, progress: Progress = SILENT
) -> int:
    """Compare every drawing that was not compared yet with all others; returns how many there were.

    `entries` limits it to these entries' ids. Each result is kept as soon as it is there.
    """
    with lib.transaction() as session:
        recipe = shelf.recipe_id(lib, session, COMPARED, _COMPARED_RECIPE, {})
    with lib.reading() as session:
        pending = _pending(session)
        if entries is not None:
            pending = pending.where(Entry.id.in_(list(entries)))
        todo = list(session.scalars(pending.order_by(Cut.id)))
    if not todo:
        return 0
    work = _Work(lib, Prints(lib))
    settings = lib.settings
    outcomes = run_supervised(
        compare_all,
        work.comparisons(todo),
        workers=min(settings.worker_count(), len(todo)),
        **settings.limits(),
    )
    with closing(outcomes):
        for comparison, outcome in progress.track(outcomes, "comparing drawings", len(todo)):
            cut_id = work.cut_of(comparison)
            findings = [_finding(match, cut_id) for match in outcome.value or ()]
            _keep(lib, cut_id, recipe, findings, outcome.reason)
    return len(todo)


@dataclass(frozen=True, slots=True)
class Outside:
    """What a file outside the library is recognised by, the drawings it matches, and those that its hash is near.

    `apart` has the bits by cut, nearest first.
    """

    look: LookRequest
    matches: tuple[Match, ...]
    apart: dict[int, int]


def compare_file(lib: Library, path: Path) -> Outside:
    """What a file outside the library resembles, and what it is recognised by. Raises BadPicture."""
    settings = lib.settings
    limits = settings.limits()
    outcome = call_supervised(look_at, str(path), **limits)
    if outcome.value is None:
        raise BadPicture(f"{path}: {outcome.reason}", outcome.hint)
    look: LookRequest = outcome.value
    work = _Work(lib, Prints(lib))
    print_ = Fingerprint.from_bytes(look.data)
    apart = {} if print_.empty else work.recognised(words_of(print_.phash, print_.wide_hash))
    compared = call_supervised(compare_all, work.comparison(look.data, also=apart), **limits)
    return Outside(look, tuple(compared.value or ()), apart)


def recognise(lib: Library, asked: Words) -> dict[int, int]:
    """The current cuts that are near a documented hash, and how many bits apart, nearest first."""
    return _Work(lib, Prints(lib)).recognised(asked)


def _pending(session: Session):  # type: ignore[no-untyped-def]  # a Select whose type SQLAlchemy spells at length
    """Current cuts with a fingerprint that were not compared under this recipe."""
    done = select(Recipe.id).where(Recipe.kind == COMPARED, Recipe.name == _COMPARED_RECIPE).scalar_subquery()
    print_ = (
        select(Recipe.id)
        .where(Recipe.kind == "fingerprint", Recipe.name == FINGERPRINT_RECIPE)
        .scalar_subquery()
    )
    return (
        select(Cut.id)
        .join(Version, Version.current_cut_id == Cut.id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(
            ~Entry.in_attic,
            Entry.role.in_(ROLES),
            exists().where(FingerprintRow.cut_id == Cut.id, FingerprintRow.recipe_id == print_),
            ~exists().where(Derived.cut_id == Cut.id, Derived.recipe_id == done),
        )
    )


class _Work:
    """What is to be compared with what, made ready one drawing after the other while workers compare.

    Every drawing is read on a snapshot of its own: one that lasted through the whole comparison would keep the
    journal of the catalogue from shrinking (sqlite.org/wal.html, "checkpoint starvation").
    """

    def __init__(self, lib: Library, prints: Prints) -> None:
        self._lib, self._prints = lib, prints
        query = (
            select(Version.current_cut_id)
            .join(Entry, Entry.current_version_id == Version.id)
            .where(~Entry.in_attic, Entry.role.in_(ROLES))
        )
        with lib.reading() as session:
            self._allowed = {cut_id for cut_id in session.scalars(query) if cut_id is not None}
        self._under_way: dict[int, int] = {}

    def comparisons(self, cuts: Iterable[int]) -> Iterator[Comparison]:
        """The comparison of each cut with its candidates; cuts that are gone by now are left out."""
        for cut_id in cuts:
            with self._lib.reading() as session:
                data = self._prints.data(session, [cut_id]).get(cut_id)
                mates = self._sheet_mates(session, cut_id)
            if data is None:
                continue
            comparison = self.comparison(data, cut_id, mates)
            self._under_way[id(comparison)] = cut_id
            yield comparison

    def cut_of(self, comparison: Comparison) -> int:
        """The cut that a comparison under way was made for."""
        return self._under_way.pop(id(comparison))

    def recognised(self, asked: Words) -> dict[int, int]:
        """Cuts that are near a documented hash, and how many bits apart."""
        return self._prints.recognised(asked, self._allowed)

    def comparison(
        self,
        data: bytes,
        cut_id: int | None = None,
        besides: Collection[int] = frozenset(),
        also: Collection[int] = (),
    ) -> Comparison:
        """One drawing with its candidates and those named `also`, without those `besides`.

        A piece is not compared with its own sheet.
        """
        allowed = self._allowed.difference(besides)
        found = dict.fromkeys(also, False)
        found |= self._prints.candidates(Fingerprint.from_bytes(data), allowed, cut_id)
        with self._lib.reading() as session:
            rows = self._prints.data(session, found)
        return Comparison(
            data,
            tuple(Candidate(other, rows[other], voted) for other, voted in found.items() if other in rows),
        )

    def _sheet_mates(self, session: Session, cut_id: int) -> set[int]:
        """Cuts made of the same original where the one is a part of what the other is the whole of."""
        mine = list(session.scalars(select(Piece).where(Piece.cut_id == cut_id)))
        is_cut = any(_is_part(piece) for piece in mine)
        rows = session.scalars(
            select(Piece).where(Piece.original_id.in_([piece.original_id for piece in mine]))
        )
        return {row.cut_id for row in rows if _is_part(row) != is_cut}


def _is_part(piece: Piece) -> bool:
    return piece.mask is not None or piece.is_part


def _finding(match: Match, cut_id: int) -> FoundPair:
    """A match as it is kept: the older drawing first, but what is contained before what holds it."""
    verdict = match.verdict
    a_id, b_id = match.cut_id, cut_id
    swap = match.inside == "it" or (not match.inside and a_id > b_id)
    box = verdict.box
    return FoundPair(
        b_id if swap else a_id,
        a_id if swap else b_id,
        verdict.kind.value,
        tuple(verdict.how),
        round(float(verdict.score), 4),
        (box[0], box[1], box[2] - box[0], box[3] - box[1]) if box else None,
    )


def _keep(lib: Library, cut_id: int, recipe: int, findings: list[FoundPair], failure: str | None) -> None:
    with lib.transaction() as session:
        cut = session.get(Cut, cut_id)
        if cut is None:  # its bringing-in was undone meanwhile
            return
        for finding in findings:
            if session.get(Cut, finding.a_id) is None or session.get(Cut, finding.b_id) is None:
                continue
            pair = (finding.a_id, finding.b_id)
            session.execute(
                delete(PairFinding).where(
                    or_(
                        and_(PairFinding.a_id == pair[0], PairFinding.b_id == pair[1]),
                        and_(PairFinding.a_id == pair[1], PairFinding.b_id == pair[0]),
                    )
                )
            )
            session.add(
                PairFinding(
                    a_id=finding.a_id, b_id=finding.b_id, recipe_id=recipe, kind=finding.kind,
                    how=list(finding.how), score=finding.score, found_at=lib.now(),
                    box=list(finding.box) if finding.box else None,
                )
            )  # fmt: skip
        shelf.keep_derived(lib, session, cut, recipe, value={"found": len(findings)}, failure=failure)
