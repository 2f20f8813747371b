"""What resembles what: fingerprints of all drawings kept searchable, and every new drawing compared with the rest.

What has been compared is noted version by version, so that an interrupted run
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
from assetlib.catalogue.entries import Entry, Piece, Version
from assetlib.catalogue.queries import chunks
from assetlib.errors import BadPicture
from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.comparing import Candidate, Comparison, LookRequest, Match, compare_all, look_at
from assetlib.imaging.doubles.fingerprints import FINGERPRINT_RECIPE, Fingerprint
from assetlib.imaging.supervise import call_supervised, run_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services import shelf

ROLES = ("element", "sheet", "backdrop")
"""What is compared; a photograph that somebody else took is no double of the drawing traced from it."""

COMPARED = "comparison"
_COMPARED_RECIPE = f"compared-1 {FINGERPRINT_RECIPE}"

_KEPT_FROM = 200
"""New fingerprints from which the searched file is written anew; fewer are read from the catalogue each time."""


@dataclass(frozen=True, slots=True)
class FoundPair:
    """Two versions that belong together, as it is kept: a is the older, or the one that stands inside the other."""

    a_id: int
    b_id: int
    kind: str
    how: tuple[str, ...]
    score: float
    box: tuple[int, int, int, int] | None
    """x, y, w, h of a in the pixels of b."""


class Prints:
    """The fingerprints of a library, opened for searching."""

    def __init__(self, lib: Library, session: Session) -> None:
        self._folder = lib.derived / "fingerprints" / re.sub(r"[^a-z0-9]+", "-", FINGERPRINT_RECIPE.lower())
        self._session = session
        self._recipe = session.scalar(
            select(Recipe.id).where(Recipe.kind == "fingerprint", Recipe.name == FINGERPRINT_RECIPE)
        )
        rows = session.scalars(
            select(FingerprintRow.version_id)
            .where(FingerprintRow.recipe_id == (self._recipe or -1))
            .order_by(FingerprintRow.version_id)
        )
        self._there = set(rows)
        self._ids, self._index = self._kept()
        self._take_in(sorted(self._there.difference(self._ids)))

    def candidates(
        self, print_: Fingerprint, allowed: Collection[int], besides: int | None
    ) -> dict[int, bool]:
        """Versions among `allowed` that may show the same drawing, likeliest first, and whether details say so.

        `besides` is the asking one.
        """
        found = {self._ids[number]: voted for number, voted in self._index.found(print_).items()}
        return {
            version_id: voted
            for version_id, voted in found.items()
            if version_id != besides and version_id in allowed
        }

    def data(self, version_id: int) -> bytes:
        """The stored fingerprint of a version."""
        row = self._session.get(FingerprintRow, (version_id, self._recipe))
        assert row is not None
        return row.data

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

    def _take_in(self, versions: list[int]) -> None:
        for chunk in chunks(versions):
            rows = self._session.execute(
                select(FingerprintRow.version_id, FingerprintRow.data).where(
                    FingerprintRow.recipe_id == self._recipe, FingerprintRow.version_id.in_(chunk)
                )
            )
            for version_id, data in rows:
                self._ids.append(version_id)
                self._index.add(Fingerprint.from_bytes(data))
        if len(versions) >= _KEPT_FROM:
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
        todo = list(session.scalars(pending.order_by(Version.id)))
        if not todo:
            return 0
        work = _Work(session, Prints(lib, session))
        settings = lib.settings
        outcomes = run_supervised(
            compare_all,
            work.comparisons(todo),
            workers=min(settings.worker_count(), len(todo)),
            timeout=settings.decode_seconds,
            memory=settings.decode_megabytes * 1024 * 1024,
        )
        with closing(outcomes):
            for comparison, outcome in progress.track(outcomes, "comparing drawings", len(todo)):
                version_id = work.version_of(comparison)
                findings = [_finding(match, version_id) for match in outcome.value or ()]
                _keep(lib, version_id, recipe, findings, outcome.reason)
    return len(todo)


def compare_file(lib: Library, path: Path) -> tuple[LookRequest, list[Match]]:
    """What a file outside the library resembles, and what it is recognised by. Raises BadPicture."""
    settings = lib.settings
    limits = {"timeout": settings.decode_seconds, "memory": settings.decode_megabytes * 1024 * 1024}
    outcome = call_supervised(look_at, str(path), **limits)
    if outcome.value is None:
        raise BadPicture(f"{path}: {outcome.reason}", outcome.hint)
    look: LookRequest = outcome.value
    with lib.reading() as session:
        comparison = _Work(session, Prints(lib, session)).comparison(look.data)
        compared = call_supervised(compare_all, comparison, **limits)
    return look, list(compared.value or ())


def _pending(session: Session):  # type: ignore[no-untyped-def]  # a Select whose type SQLAlchemy spells at length
    """Current versions with a fingerprint that were not compared under this recipe."""
    done = select(Recipe.id).where(Recipe.kind == COMPARED, Recipe.name == _COMPARED_RECIPE).scalar_subquery()
    print_ = (
        select(Recipe.id)
        .where(Recipe.kind == "fingerprint", Recipe.name == FINGERPRINT_RECIPE)
        .scalar_subquery()
    )
    return (
        select(Version.id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(
            ~Entry.in_attic,
            Entry.role.in_(ROLES),
            exists().where(FingerprintRow.version_id == Version.id, FingerprintRow.recipe_id == print_),
            ~exists().where(Derived.version_id == Version.id, Derived.recipe_id == done),
        )
    )


class _Work:
    """What is to be compared with what, made ready one drawing after the other while workers compare."""

    def __init__(self, session: Session, prints: Prints) -> None:
        self._session, self._prints = session, prints
        query = select(Entry.current_version_id).where(~Entry.in_attic, Entry.role.in_(ROLES))
        self._allowed = {version_id for version_id in session.scalars(query) if version_id is not None}
        self._under_way: dict[int, int] = {}

    def comparisons(self, versions: Iterable[int]) -> Iterator[Comparison]:
        """The comparison of each version with its candidates."""
        for version_id in versions:
            comparison = self.comparison(self._prints.data(version_id), version_id)
            self._under_way[id(comparison)] = version_id
            yield comparison

    def version_of(self, comparison: Comparison) -> int:
        """The version that a comparison under way was made for."""
        return self._under_way.pop(id(comparison))

    def comparison(self, data: bytes, version_id: int | None = None) -> Comparison:
        """One drawing with its candidates; a piece is not compared with the sheet it was cut from."""
        allowed = self._allowed.difference(self._sheet_mates(version_id)) if version_id else self._allowed
        found = self._prints.candidates(Fingerprint.from_bytes(data), allowed, version_id)
        return Comparison(
            data, tuple(Candidate(other, self._prints.data(other), voted) for other, voted in found.items())
        )

    def _sheet_mates(self, version_id: int) -> set[int]:
        """Versions made of the same original where the one is a part of what the other is the whole of."""
        mine = list(self._session.scalars(select(Piece).where(Piece.version_id == version_id)))
        cut = any(_is_part(piece) for piece in mine)
        rows = self._session.scalars(
            select(Piece).where(Piece.original_id.in_([piece.original_id for piece in mine]))
        )
        return {row.version_id for row in rows if _is_part(row) != cut}


def _is_part(piece: Piece) -> bool:
    return piece.mask is not None or piece.layer is not None or piece.reading_order is not None


def _finding(match: Match, version_id: int) -> FoundPair:
    """A match as it is kept: the older drawing first, but what is contained before what holds it."""
    verdict = match.verdict
    a_id, b_id = match.version_id, version_id
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


def _keep(lib: Library, version_id: int, recipe: int, findings: list[FoundPair], failure: str | None) -> None:
    with lib.transaction() as session:
        version = session.get(Version, version_id)
        if version is None:  # its bringing-in was undone meanwhile
            return
        for finding in findings:
            if session.get(Version, finding.a_id) is None or session.get(Version, finding.b_id) is None:
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
        shelf.keep_derived(lib, session, version, recipe, value={"found": len(findings)}, failure=failure)
