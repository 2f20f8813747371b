"""The attic: where drawings wait that were taken off the shelf, and from where they can go for good.

Taking up and bringing back are steps like others. Removal for good is a record, never undone: the originals' bytes
go, their digests stay as removed, and of the drawing's rows only what records name is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Select, delete, func, or_, select, update
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.derived import Derived, FingerprintRow, PairDecision, PairFinding, VectorRow
from assetlib.catalogue.entries import (
    Arrival,
    BlemishChoice,
    Cut,
    Descent,
    Entry,
    OpeningChoice,
    Original,
    Piece,
    Version,
)
from assetlib.catalogue.fulltext import forget_text
from assetlib.catalogue.identity import Removal
from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.trade import BundleItem, Collection, CollectionItem, OriginAnswer
from assetlib.catalogue.words import Facet, MirrorGuard, Suggestion, Tag
from assetlib.catalogue.work import Use
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services import shelf
from assetlib.services.keeping import leftovers
from assetlib.storage.blobs import as_digest
from assetlib.storage.durable import is_plain

REMOVED_TITLE = "removed"
"""What stands in place of the title of a drawing that records still name."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A drawing in the attic: what refers to it, and what keeps it from being removed for good, in sentences."""

    card: queries.Card
    refers: tuple[str, ...]
    holds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Emptied:
    """What was removed for good, or would be; `files` and `bytes` are originals that no other drawing needs."""

    gone: tuple[Waiting, ...]
    held: tuple[Waiting, ...]
    files: int
    bytes: int


def take_up(lib: Library, codes: Sequence[str]) -> list[queries.Card]:
    """Put drawings into the attic, in one step. Raises NotFound, AmbiguousCode."""
    return _move(lib, codes, into=True)


def bring_back(lib: Library, codes: Sequence[str]) -> list[queries.Card]:
    """Put drawings from the attic back on the shelf, in one step. Raises NotFound, AmbiguousCode."""
    return _move(lib, codes, into=False)


def lying(lib: Library, codes: Sequence[str], *, in_attic: bool) -> set[str]:
    """Which of these drawings are in the attic, or on the shelf, now. Raises NotFound, AmbiguousCode."""
    with lib.reading() as session:
        entries = [queries.entry(session, code) for code in codes]
        return {entry.code.code for entry in entries if entry.in_attic is in_attic}


def _move(lib: Library, codes: Sequence[str], *, into: bool) -> list[queries.Card]:
    what = "into the attic" if into else "back from the attic"
    with lib.reading() as session:
        ids = list(dict.fromkeys(queries.entry(session, code).id for code in codes))
        titles = [session.get_one(Entry, entry_id).title for entry_id in ids]
    name = titles[0] if len(titles) == 1 else f"{len(titles)} drawings"
    with lib.transaction(f"{name} {what}") as session:
        for entry_id in ids:
            session.get_one(Entry, entry_id).in_attic = into
        session.flush()
        cards = queries.cards(session, ids)
    return [cards[entry_id] for entry_id in ids]


def waiting(lib: Library, codes: Sequence[str] = ()) -> list[Waiting]:
    """The drawings in the attic, or those of these codes; the newest last. Raises NotFound, WrongUsage."""
    with lib.reading() as session:
        return _waiting(session, _chosen(session, codes))


def _chosen(session: Session, codes: Sequence[str]) -> list[int]:
    if not codes:
        query = select(Entry.id).where(Entry.in_attic, Entry.removed_at.is_(None)).order_by(Entry.id)
        return list(session.scalars(query))
    entries = [queries.entry(session, code) for code in codes]
    for entry in entries:
        if not entry.in_attic:
            raise WrongUsage(f"{entry.code.code} is not in the attic", f"assetlib attic {entry.code.code}")
    return list(dict.fromkeys(entry.id for entry in entries))


def _waiting(session: Session, ids: Iterable[int]) -> list[Waiting]:
    ids = list(ids)
    cards = queries.cards(session, ids)
    chosen = set(ids)
    return [
        Waiting(cards[entry_id], tuple(_refers(session, entry_id)), tuple(_holds(session, entry_id, chosen)))
        for entry_id in ids
    ]


def _versions(entry_id: int) -> Select[int]:
    return select(Version.id).where(Version.entry_id == entry_id)


def _cuts(entry_id: int) -> Select[int]:
    return select(Cut.id).join(Version, Version.id == Cut.version_id).where(Version.entry_id == entry_id)


def _refers(session: Session, entry_id: int) -> Iterable[str]:
    """What names a drawing and stays when it goes."""
    versions = _versions(entry_id)
    uses = session.scalar(select(func.count()).select_from(Use).where(Use.version_id.in_(versions)))
    if uses:
        yield f"used {uses} times" if uses > 1 else "used once"
    for name in session.scalars(
        select(Collection.name).join(CollectionItem).where(CollectionItem.entry_id == entry_id)
    ):
        yield f"in the collection {name}"
    answers = session.scalar(
        select(func.count()).select_from(OriginAnswer).where(OriginAnswer.reference_id == entry_id)
    )
    if answers:
        yield "named as a reference"
    kin = session.scalar(
        select(func.count())
        .select_from(Descent)
        .where(or_(Descent.parent_id.in_(versions), Descent.child_id.in_(versions)))
    )
    if kin:
        yield "in a family"


def _holds(session: Session, entry_id: int, going: set[int]) -> Iterable[str]:
    """Why a drawing may not be removed for good."""
    originals = _originals_of(session, [entry_id])
    if session.scalar(select(BundleItem.id).where(BundleItem.version_id.in_(_versions(entry_id))).limit(1)):
        yield "an issued bundle holds it"
    elif originals & _in_bundles(session) and _whole(session, entry_id):
        yield "an issued bundle holds a drawing cut from it"
    others = _others_on(session, originals, {entry_id, *going}) if _whole(session, entry_id) else 0
    if others:
        yield (
            f"{others} drawings on the shelf are cut from it"
            if others > 1
            else "a drawing on the shelf is cut from it"
        )


def _whole(session: Session, entry_id: int) -> bool:
    """Whether an entry shows its originals whole, as a sheet does, and not a part of them."""
    part = select(Piece.id).where(Piece.cut_id.in_(_cuts(entry_id)), Piece.is_part)
    return session.scalar(part.limit(1)) is None


def _originals_of(session: Session, ids: Iterable[int]) -> set[int]:
    found: set[int] = set()
    for entry_id in ids:
        found |= set(session.scalars(select(Piece.original_id).where(Piece.cut_id.in_(_cuts(entry_id)))))
    return found


def _in_bundles(session: Session) -> set[int]:
    """Originals under drawings that stand in an issued bundle."""
    return set(
        session.scalars(
            select(Piece.original_id).join(BundleItem, BundleItem.cut_id == Piece.cut_id).distinct()
        )
    )


def _others_on(session: Session, originals: set[int], going: set[int]) -> int:
    """How many drawings beside those that go are made of these originals."""
    return len(_owners(session, originals) - going)


def _owners(session: Session, originals: set[int]) -> set[int]:
    query = (
        select(Version.entry_id)
        .join(Cut, Cut.version_id == Version.id)
        .join(Piece, Piece.cut_id == Cut.id)
        .join(Entry, Entry.id == Version.entry_id)
        .where(Entry.removed_at.is_(None))
    )
    found: set[int] = set()
    for chunk in queries.chunks(sorted(originals)):
        found |= set(session.scalars(query.where(Piece.original_id.in_(chunk))))
    return found


def empty(lib: Library, codes: Sequence[str] = (), *, dry_run: bool = False) -> Emptied:
    """Remove what is in the attic for good, or the drawings of these codes, which must be in it.

    Whatever an issued bundle holds stays, and so does an original that another drawing is made of. First the record,
    then the files: a stop in between leaves files that `check` and `upkeep` take away. Raises NotFound, WrongUsage.
    """
    if dry_run:
        with lib.reading() as session:
            return _foreseen(session, codes)
    with lib.transaction() as session:
        session.connection().exec_driver_sql("PRAGMA secure_delete = ON")
        seen = _foreseen(session, codes)
        ids = [row.card.id for row in seen.gone]
        digests = _removable(session, ids)
        files = _forget(lib, session, ids, digests)
    for digest, _ in digests.values():
        path = lib.originals.path(as_digest(digest))
        if is_plain(path):
            leftovers.take_away(path)
    for name in files:
        lib.inside(lib.derived, name).unlink(missing_ok=True)
    return seen


def _foreseen(session: Session, codes: Sequence[str]) -> Emptied:
    rows = _waiting(session, _chosen(session, codes))
    held = tuple(row for row in rows if row.holds)
    going = {row.card.id for row in rows if not row.holds}
    # What is held keeps its original, and with it what else is cut from that.
    gone = tuple(row for row in rows if row.card.id in going)
    digests = _removable(session, going)
    return Emptied(gone, held, len(digests), sum(size for _, size in digests.values()))


def _removable(session: Session, ids: Iterable[int]) -> dict[int, tuple[str, int]]:
    """Originals that go with these drawings, with digest and size: those that no other drawing is made of."""
    going = set(ids)
    found = {}
    for original_id in _originals_of(session, going) - _in_bundles(session):
        if not _others_on(session, {original_id}, going):
            row = session.get_one(Original, original_id)
            found[original_id] = (row.sha256, row.bytes)
    return found


def _forget(lib: Library, session: Session, ids: list[int], digests: dict[int, tuple[str, int]]) -> list[str]:
    """Write the record and take the rows away that nothing names; returns derived files that go too."""
    files: list[str] = []
    _forget_steps(session, ids, list(digests))
    for entry_id in ids:
        cuts = list(session.scalars(_cuts(entry_id)))
        for row in session.scalars(select(Derived).where(Derived.cut_id.in_(cuts))):
            files += shelf.files_of(row.path, row.value)
        for table in (Tag, Facet, Suggestion, CollectionItem):
            session.execute(delete(table).where(table.entry_id == entry_id))
        session.execute(update(Arrival).where(Arrival.entry_id == entry_id).values(entry_id=None))
        _forget_made(session, entry_id, cuts)
        entry = session.get_one(Entry, entry_id)
        entry.in_attic, entry.removed_at = True, lib.now()
        entry.title, entry.title_source, entry.note, entry.described_at = REMOVED_TITLE, "artist", None, None
    known = set(session.scalars(select(Removal.sha256)))
    for original_id, (digest, _) in digests.items():
        original = session.get_one(Original, original_id)
        original.words, original.layers, original.note = {}, [], None
        session.execute(delete(Arrival).where(Arrival.original_id == original_id))
        if digest not in known:
            session.add(Removal(sha256=digest, removed_at=lib.now()))
    forget_text(session, set(ids))
    return files


def _forget_steps(session: Session, ids: list[int], originals: list[int]) -> None:
    """Take these drawings out of the step log, which holds their words: what is removed for good is not undone."""
    titles = [session.get_one(Entry, entry_id).title for entry_id in ids]
    touched: set[int] = set()
    for table, rows in _logged(session, ids, originals):
        for chunk in queries.chunks(rows):
            here = (Change.table_name == table, Change.row_id.in_(chunk))
            touched |= set(session.scalars(select(Change.step_id).where(*here)))
            session.execute(delete(Change).where(*here))
    for step_id in touched:
        step = session.get_one(Step, step_id)
        if session.scalar(select(Change.id).where(Change.step_id == step_id).limit(1)) is None:
            session.delete(step)
        for title in titles:
            step.what = step.what.replace(title, REMOVED_TITLE)


def _logged(session: Session, ids: list[int], originals: list[int]) -> Iterable[tuple[str, list[int]]]:
    """Tables and rows under which the step log may tell of these drawings."""
    yield "entries", ids
    yield "originals", originals
    versions = [found for entry_id in ids for found in session.scalars(_versions(entry_id))]
    cuts = [found for entry_id in ids for found in session.scalars(_cuts(entry_id))]
    owned: list[tuple[Any, Any, list[int]]] = [
        *(
            (table, table.entry_id, ids)
            for table in (Version, Tag, Facet, Suggestion, CollectionItem, Arrival)
        ),
        (Arrival, Arrival.original_id, originals),
        (Cut, Cut.version_id, versions),
        *((table, table.version_id, versions) for table in (OriginAnswer, MirrorGuard)),
        *((table, table.cut_id, cuts) for table in (Piece, OpeningChoice, BlemishChoice)),
    ]
    for table, column, owners in owned:
        found: list[int] = []
        for chunk in queries.chunks(owners):
            found += session.scalars(select(table.id).where(column.in_(chunk)))
        yield table.__tablename__, found


def _forget_made(session: Session, entry_id: int, cuts: list[int]) -> None:
    """What was computed, chosen and said of a drawing; what it was used for and what it comes from stays."""
    for table in (Derived, FingerprintRow, VectorRow, OpeningChoice, BlemishChoice):
        session.execute(delete(table).where(table.cut_id.in_(cuts)))
    session.execute(delete(PairFinding).where(PairFinding.a_id.in_(cuts) | PairFinding.b_id.in_(cuts)))
    versions = list(session.scalars(_versions(entry_id)))
    session.execute(
        delete(PairDecision).where(PairDecision.a_id.in_(versions) | PairDecision.b_id.in_(versions))
    )
    session.execute(delete(MirrorGuard).where(MirrorGuard.version_id.in_(versions)))
    if not session.scalar(select(Use.id).where(Use.version_id.in_(versions)).limit(1)):
        session.execute(delete(OriginAnswer).where(OriginAnswer.version_id.in_(versions)))
    session.execute(update(Piece).where(Piece.cut_id.in_(cuts)).values(mask=None))
