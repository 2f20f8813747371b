"""Working off what waits: everything that is computed from cuts and can be made again.

What waits is not a list that could go stale: it is every current cut
without a row for the recipe in use, so an interrupted run goes on by itself.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import ColumnElement, and_, delete, exists, func, select
from sqlalchemy.orm import Session, aliased

from assetlib.catalogue.derived import Derived, FingerprintRow, PairFinding, Recipe, VectorRow
from assetlib.catalogue.embedded import LOOKED_AT
from assetlib.catalogue.entries import Cut, Entry, Version
from assetlib.imaging import assembly, lettering
from assetlib.imaging.assembly import CleanCopies, PicturePlan, ProofMade
from assetlib.imaging.doubles.comparing import take_print
from assetlib.imaging.doubles.fingerprints import FINGERPRINT_RECIPE
from assetlib.imaging.supervise import run_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services import shelf
from assetlib.services.describing.captions import keep_caption
from assetlib.services.doubles import resemblance
from assetlib.services.finding import likeness, modelshelf
from assetlib.services.pictures import picture_plan
from assetlib.vectors import portraits

_CurrentVersion, _CurrentCut = aliased(Version), aliased(Cut)

_REST = dt.timedelta(days=1)
"""How long what was made of a replaced cut is kept, in case the correction is undone."""

CAPTIONED = exists().where(Cut.id == Version.current_cut_id, Cut.caption_box.is_not(None))
"""Cuts of drawings that have a caption on their sheet."""

Keep = Callable[[Library, Session, Cut, int, Any], None]


@dataclass(frozen=True, slots=True)
class Derivation:
    """Something that is computed from every current cut of some roles."""

    kind: str
    recipe: str
    label: str
    """What the progress bar says."""
    details: dict[str, object]
    compute: Callable[[PicturePlan], Any]
    """Importable by name; runs in a worker process."""
    keep: Keep
    table: type[Derived] | type[FingerprintRow] | type[VectorRow] = Derived
    roles: tuple[str, ...] = ("element", "sheet", "backdrop", "reference", "frame")
    suffix: str = ""
    """The ending of the file that `compute` writes to its plan's target; empty for values."""
    memory: int = 0
    """Bytes that a worker needs for it beside what one picture may take."""
    only: ColumnElement[bool] | None = None
    """Which cuts it is made of; all without it."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """How many cuts wait for a derivation."""

    kind: str
    label: str
    count: int


@dataclass(frozen=True, slots=True)
class Worked:
    """What a run of upkeep did for one derivation."""

    kind: str
    done: int
    failed: tuple[tuple[str, str], ...]
    """Codes and reasons."""


def keep_file(lib: Library, session: Session, cut: Cut, recipe: int, written: str) -> None:
    """Note a file that a worker wrote below derived/."""
    name = Path(written).relative_to(lib.derived).as_posix()
    shelf.keep_derived(lib, session, cut, recipe, path=name)


def keep_proof(lib: Library, session: Session, cut: Cut, recipe: int, made: ProofMade) -> None:
    """Note a proof that a worker wrote below derived/, and offer the finish that it shows."""
    keep_file(lib, session, cut, recipe, made.path)
    entry = session.get_one(Entry, session.get_one(Version, cut.version_id).entry_id)
    if entry.role == "element":
        shelf.suggest_finish(lib, session, entry, made.finish)


PROOF = Derivation(
    "proof", "proof-2", "making proofs", {"side": 512}, assembly.write_proof, keep_proof, suffix=".webp"
)


def keep_clean(lib: Library, session: Session, cut: Cut, recipe: int, made: CleanCopies) -> None:
    """Note the files of a clean copy, its openings and what was taken out."""
    shelf.keep_derived(
        lib,
        session,
        cut,
        recipe,
        path=Path(made.ink).relative_to(lib.derived).as_posix(),
        value={
            "body": Path(made.body).relative_to(lib.derived).as_posix(),
            "mask": Path(made.mask).relative_to(lib.derived).as_posix(),
            "openings": [
                {"number": o.number, "box": list(o.box), "inside": list(o.inside), "open": o.is_open}
                for o in made.openings
            ],
            "choices": made.choices,
            "sure": made.sure,
            "sure_why": list(made.sure_why),
            "seen": list(made.seen),
            "removed": [{"kind": kind, "box": list(box)} for kind, box in made.removed],
        },
    )


CLEAN = Derivation(
    "clean copy", "clean-12", "making clean copies", {}, assembly.write_clean, keep_clean, suffix=".png"
)


def keep_vector(lib: Library, session: Session, cut: Cut, recipe: int, data: bytes) -> None:
    """Keep the vector of a cut."""
    session.add(VectorRow(cut_id=cut.id, recipe_id=recipe, data=data))


def keep_print(lib: Library, session: Session, cut: Cut, recipe: int, data: bytes) -> None:
    """Keep the fingerprint of a cut."""
    session.add(FingerprintRow(cut_id=cut.id, recipe_id=recipe, data=data))


PRINT = Derivation(
    "fingerprint", FINGERPRINT_RECIPE, "taking fingerprints", {}, take_print, keep_print, FingerprintRow,
    roles=resemblance.ROLES,
)  # fmt: skip


def look(lib: Library) -> Derivation:
    """The vectors of the model that the library wants; its name and digest are the recipe, so that two never mix."""
    kept = modelshelf.wanted(lib)
    details: dict[str, object] = {"model": kept.described.name, "digest": kept.described.digest}
    return Derivation(
        "vector", kept.recipe, "learning looks", details, partial(portraits.look, str(kept.folder)), keep_vector,
        VectorRow, roles=LOOKED_AT, memory=portraits.room_for(kept.size),
    )  # fmt: skip


def caption() -> Derivation:
    """The pictures of captions, read where a text reader is installed: its name and version are part of the recipe."""
    reader = lettering.reader_name()
    return Derivation(
        "caption", f"caption-1 {reader or ''}".strip(), "reading captions" if reader else "keeping captions", {},
        partial(lettering.make_caption, reader is not None), keep_caption, roles=("element",), suffix=".webp",
        memory=lettering.ROOM if reader else 0, only=CAPTIONED,
    )  # fmt: skip


def derivations(lib: Library) -> tuple[Derivation, ...]:
    """Everything that is made for every drawing. Clean copies are made when one is first asked for."""
    return (PROOF, caption(), look(lib), PRINT)


def when_there_is_time(lib: Library) -> tuple[Derivation, ...]:
    """The same and clean copies, ahead of being asked for, so that it is known which are to be looked at."""
    return (*derivations(lib), CLEAN)


def waiting(lib: Library, kinds: Sequence[Derivation] | None = None) -> list[Waiting]:
    """How much waits, one row a derivation."""
    rows = []
    with lib.reading() as session:
        for derivation in kinds or derivations(lib):
            recipe = session.scalar(_recipe_query(derivation))
            query = (
                select(func.count()).select_from(Entry).join(Entry.current).where(_waits(derivation, recipe))
            )
            rows.append(Waiting(derivation.kind, derivation.label, session.scalar(query) or 0))
    if kinds is None:
        rows.append(Waiting(resemblance.COMPARED, "comparing drawings", resemblance.waiting_count(lib)))
    return rows


def work_off(
    lib: Library,
    kinds: Sequence[Derivation] | None = None,
    *,
    entries: Iterable[int] | None = None,
    progress: Progress = SILENT,
) -> list[Worked]:
    """Compute what waits, one derivation after the other, each result kept as soon as it is there.

    `entries` limits it to these entries' ids. A cut that fails is noted with its reason and not tried
    again until its recipe changes. Without `kinds`, new drawings are compared with all others at the end.
    """
    if kinds is None:
        forget_superseded(lib)
    worked = [_work_one(lib, derivation, entries, progress) for derivation in kinds or derivations(lib)]
    if kinds is None:
        likeness.build(lib)
        compared = resemblance.compare_waiting(lib, entries=entries, progress=progress)
        worked.append(Worked(resemblance.COMPARED, compared, ()))
    return worked


def forget_superseded(lib: Library) -> int:
    """Forget what was made of cuts that are no longer shown, a day after they were replaced; returns how many rows.

    Undoing the correction has it made again. Their files are then named by nothing, and go with what is left over.
    """
    shown = select(Version.current_cut_id).join(Entry, Entry.current_version_id == Version.id)
    replaced = (
        select(Cut.id)
        .join(Version, Version.id == Cut.version_id)
        .join(Entry, Entry.id == Version.entry_id)
        .join(_CurrentVersion, _CurrentVersion.id == Entry.current_version_id)
        .join(_CurrentCut, _CurrentCut.id == _CurrentVersion.current_cut_id)
        .where(Cut.id.not_in(shown), _CurrentCut.made_at < lib.now() - _REST)
    )
    gone = 0
    with lib.transaction() as session:
        for column in (
            Derived.cut_id, FingerprintRow.cut_id, VectorRow.cut_id, PairFinding.a_id, PairFinding.b_id
        ):  # fmt: skip
            statement = delete(column.class_).where(column.in_(replaced))
            gone += session.connection().execute(statement).rowcount
    return gone


def _recipe_query(derivation: Derivation) -> Any:
    return select(Recipe.id).where(Recipe.kind == derivation.kind, Recipe.name == derivation.recipe)


def _waits(derivation: Derivation, recipe: int | None) -> ColumnElement[bool]:
    table = derivation.table
    made = [exists().where(table.cut_id == Version.current_cut_id, table.recipe_id == (recipe or -1))]
    if table is not Derived:  # failures of every kind are noted there
        made.append(
            exists().where(Derived.cut_id == Version.current_cut_id, Derived.recipe_id == (recipe or -1))
        )
    narrower = () if derivation.only is None else (derivation.only,)
    return and_(~Entry.in_attic, Entry.role.in_(derivation.roles), *narrower, *(~row for row in made))


def _still_waits(session: Session, derivation: Derivation, cut: Cut, recipe: int) -> bool:
    table = derivation.table
    there = select(func.count()).select_from(table).where(table.cut_id == cut.id, table.recipe_id == recipe)
    return not session.scalar(there)


def _work_one(
    lib: Library, derivation: Derivation, entries: Iterable[int] | None, progress: Progress
) -> Worked:
    with lib.transaction() as session:
        recipe = shelf.recipe_id(lib, session, derivation.kind, derivation.recipe, derivation.details)
    with lib.reading() as session:
        query = (
            select(Entry, Version.current_cut_id)
            .join(Entry.current)
            .where(_waits(derivation, recipe))
            .order_by(Entry.id)
        )
        if entries is not None:
            query = query.where(Entry.id.in_(list(entries)))
        todo = [(entry.code.code, cut_id) for entry, cut_id in session.execute(query)]
        plans = {
            plan: item
            for item in todo
            if (plan := picture_plan(lib, session, item[1], derivation.kind, derivation.suffix))
        }
    failed: list[tuple[str, str]] = []
    settings = lib.settings
    outcomes = run_supervised(
        derivation.compute,
        list(plans),
        workers=min(settings.worker_count(), max(1, len(plans))),
        **settings.limits(derivation.memory),
    )
    with closing(outcomes):
        for plan, outcome in progress.track(outcomes, derivation.label, len(plans)):
            code, cut_id = plans[plan]
            with lib.transaction() as session:
                cut = session.get(Cut, cut_id)
                if cut is None:  # its bringing-in was undone meanwhile
                    continue
                if not _still_waits(session, derivation, cut, recipe):  # another upkeep was faster
                    continue
                if outcome.failed:
                    shelf.keep_derived(lib, session, cut, recipe, failure=outcome.reason)
                    failed.append((code, outcome.reason or ""))
                else:
                    derivation.keep(lib, session, cut, recipe, outcome.value)
    return Worked(derivation.kind, len(plans) - len(failed), tuple(failed))
