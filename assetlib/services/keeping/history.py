"""What was done, and taking it back: the latest step first, across sessions. Records are stepped past."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from sqlalchemy import distinct, func, select
from sqlalchemy.orm import Session

from assetlib.catalogue import takeback
from assetlib.catalogue.base import Base
from assetlib.catalogue.codes import ALPHABET, LENGTH
from assetlib.catalogue.entries import Code, Cut, Entry, Version
from assetlib.catalogue.fulltext import forget_text, refresh_text
from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.takeback import Key
from assetlib.catalogue.trade import Bundle, BundleItem, Collection
from assetlib.catalogue.work import Job, Use
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.wording import listed


@dataclass(frozen=True, slots=True)
class StepNote:
    """One step of the artist's, with how many rows it changed."""

    number: int
    what: str
    made_at: dt.datetime
    changes: int
    undone: bool
    record: bool = False
    """Whether all of it was issued or sold: it is never undone."""
    stays: tuple[str, ...] = ()
    """What stays though the step was undone, and why, a sentence each."""
    titles: tuple[str, ...] = ()
    """How the drawings are called now whose codes `what` names, in that order."""


def steps(lib: Library, limit: int = 20) -> list[StepNote]:
    """The latest steps that changed something, newest first."""
    with lib.reading() as session:
        return _notes(session, limit)


def count(lib: Library) -> int:
    """How many steps changed something, undone ones too."""
    with lib.reading() as session:
        return session.scalar(select(func.count(distinct(Change.step_id)))) or 0


def _notes(session: Session, limit: int) -> list[StepNote]:
    query = (
        select(Step, func.count(), func.group_concat(distinct(Change.table_name)))
        .join(Change, Change.step_id == Step.id)
        .group_by(Step.id)
        .order_by(Step.id.desc())
        .limit(limit)
    )
    rows = session.execute(query).all()
    titles = _titles(session, [step.what for step, *_ in rows])
    return [
        StepNote(
            step.id, step.what, step.made_at, changes, step.undone_at is not None,
            all(_stays_for_ever(name) for name in tables.split(",")),
            titles=tuple(titles[code] for code in _CODE.findall(step.what) if code in titles),
        )
        for step, changes, tables in rows
    ]  # fmt: skip


_CODE = re.compile(rf"\b[{ALPHABET}]{{{LENGTH}}}\b")


def _titles(session: Session, told: Iterable[str]) -> dict[str, str]:
    """Titles by the codes that stand in these lines; what is no longer in the library has none."""
    codes = {code for line in told for code in _CODE.findall(line)}
    rows = session.execute(
        select(Code.code, Entry.title).join(Entry, Entry.id == Code.id).where(Code.code.in_(codes))
    )
    return {code: title for code, title in rows.all() if title}


def _stays_for_ever(table: str) -> bool:
    return takeback.is_record(table) and not takeback.is_voidable(table)


def undo_steps(lib: Library, how_many: int = 1, *, dry_run: bool = False) -> list[StepNote]:
    """Undo the latest `how_many` steps that were not undone, and return them, newest first.

    What was issued is stepped past. Every step takes back what can be taken back and says what stays and why.
    Raises WrongUsage when there are fewer.
    """
    if how_many < 1:
        raise WrongUsage("the number of steps to undo starts at 1")
    with lib.transaction() as session:
        notes = [note for note in _notes(session, lib.settings.undo_steps) if not note.undone]
        todo = [note for note in notes if not note.record][:how_many]
        if len(todo) < how_many:
            raise WrongUsage(f"there {'is' if len(todo) == 1 else 'are'} only {len(todo)} to undo")
        if not dry_run:
            todo = [_undo(lib, session, note) for note in todo]
    return todo


def _undo(lib: Library, session: Session, note: StepNote) -> StepNote:
    done = takeback.take_back(session, session.get_one(Step, note.number), lib.now())
    session.flush()
    ids = list(done.touched)
    left = set(session.scalars(select(Entry.id).where(Entry.id.in_(ids)))) if ids else set()
    forget_text(session, done.touched - left)
    refresh_text(session, left)
    return replace(note, undone=True, stays=tuple(_sentences(session, done.stays)))


def _sentences(session: Session, stays: Iterable[Key]) -> list[str]:
    """What stays and why, one sentence a drawing, collection or job; many drawings for one reason share it."""
    why: dict[str, list[str]] = {}
    for name, reason in dict.fromkeys(found for key in stays if (found := _named(session, key))):
        why.setdefault(reason, []).append(name)
    return [
        f"{listed(names)} stay{'s' if len(names) == 1 else ''}: {reason}" for reason, names in why.items()
    ]


def _named(session: Session, key: Key) -> tuple[str, str] | None:
    """What a row that stays belongs to, and why it stays; None for what goes without saying."""
    table = Base.metadata.tables[key[0]]
    row = session.connection().execute(select(table).where(table.c.id == key[1])).mappings().first()
    if row is None:
        return None
    if key[0] in ("bundles", "bundle_items"):
        return (
            f"bundle {_bundle(session, row['id' if key[0] == 'bundles' else 'bundle_id'])}",
            "it was issued",
        )
    if key[0] == "certificates":
        return f"the certificate of {row['buyer']}", "it was issued"
    if key[0] == "collections":
        return f"the collection {row['name']}", "a bundle was made of it"
    if key[0] == "jobs":
        return f"the job {row['name']}", "something that stays belongs to it"
    entry = _entry_of(session, key[0], row)
    return (entry.code.code, _why(session, entry)) if entry is not None else None


def _entry_of(session: Session, table: str, row) -> Entry | None:  # type: ignore[no-untyped-def]
    """The entry that a row is a part of."""
    if table == "entries":
        return session.get(Entry, row["id"])
    entry_id = row.get("entry_id")
    version_id = row.get("version_id")
    if row.get("cut_id") and version_id is None:
        cut = session.get(Cut, row["cut_id"])
        version_id = cut.version_id if cut else None
    if version_id is not None:
        version = session.get(Version, version_id)
        entry_id = version.entry_id if version else None
    return session.get(Entry, entry_id) if entry_id is not None else None


def _why(session: Session, entry: Entry) -> str:
    """Why something of an entry stays: what it was issued in or used for, or that it was changed since."""
    mine = select(Version.id).where(Version.entry_id == entry.id)
    bundle = session.scalar(select(BundleItem.bundle_id).where(BundleItem.version_id.in_(mine)).limit(1))
    if bundle is not None:
        return f"in bundle {_bundle(session, bundle)}, which was issued"
    use = session.scalar(select(Use).where(Use.version_id.in_(mine)).limit(1))
    if use is not None:
        job = session.get(Job, use.job_id) if use.job_id else None
        return f"used {f'on {job.name}' if job else 'on a frame'}"
    return "something that stays is made of it, or it was changed since"


def _bundle(session: Session, bundle_id: int) -> str:
    row = session.get_one(Bundle, bundle_id)
    return f"{session.get_one(Collection, row.collection_id).name} {row.number}"
