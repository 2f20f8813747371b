"""What was done, and taking it back: the latest step first, across sessions."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from sqlalchemy import func, select

from assetlib.catalogue import undo
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.fulltext import forget_text, refresh_text
from assetlib.catalogue.log import Change, Step
from assetlib.errors import WrongUsage
from assetlib.library import Library


@dataclass(frozen=True, slots=True)
class StepNote:
    """One step of the artist's, with how many rows it changed."""

    number: int
    what: str
    made_at: dt.datetime
    changes: int
    undone: bool


def steps(lib: Library, limit: int = 20) -> list[StepNote]:
    """The latest steps that changed something, newest first."""
    count = func.count(Change.id)
    query = (
        select(Step, count)
        .join(Change, Change.step_id == Step.id)
        .group_by(Step.id)
        .order_by(Step.id.desc())
        .limit(limit)
    )
    with lib.reading() as session:
        return [
            StepNote(step.id, step.what, step.made_at, changes, step.undone_at is not None)
            for step, changes in session.execute(query)
        ]


def undo_steps(lib: Library, how_many: int = 1, *, dry_run: bool = False) -> list[StepNote]:
    """Undo the latest `how_many` steps that were not undone, and return them, newest first: all of them or none.

    Raises WrongUsage when there are fewer, CannotUndo where a row was changed by something else since.
    """
    if how_many < 1:
        raise WrongUsage("the number of steps to undo starts at 1")
    todo = [note for note in steps(lib, limit=1000) if not note.undone][:how_many]
    if len(todo) < how_many:
        raise WrongUsage(f"there {'is' if len(todo) == 1 else 'are'} only {len(todo)} to undo")
    if dry_run:
        return todo
    with lib.transaction() as session:
        touched: set[int] = set()
        for note in todo:
            step = session.get_one(Step, note.number)
            touched |= undo.undo_step(session, step, lib.now())
        session.flush()
        session.expire_all()
        left = set(session.scalars(select(Entry.id).where(Entry.id.in_(list(touched))))) if touched else set()
        forget_text(session, touched - left)
        refresh_text(session, left)
    return todo
