"""Pictures that arrived for a job to be drawn from: whose they are, and how they are removed when a client asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Arrival, Entry, Piece, Version
from assetlib.catalogue.work import Job, JobReference, JobRemoval
from assetlib.errors import AssetlibError, WrongUsage
from assetlib.library import Library
from assetlib.services.jobs.jobs import job_asked
from assetlib.services.keeping import attic, safekeeping

KINDS = ("client photo", "location photo", "grab", "own photo")
"""What arrives to be drawn from: words of the trade, no source."""


@dataclass(frozen=True, slots=True)
class Reference:
    """A picture kept with a job."""

    code: str
    title: str
    kind: str
    owner: str | None


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was removed, or would be; what had to stay, and where copies may still be, in sentences."""

    job: str
    removed: tuple[str, ...]
    elsewhere: tuple[str, ...]
    dry_run: bool

    def document(self) -> dict[str, Any]:
        """The answer as JSON has it."""
        return {
            "job": self.job,
            "removed": list(self.removed),
            "elsewhere": list(self.elsewhere),
            "dry_run": self.dry_run,
        }


def keep(lib: Library, given: str, codes: Sequence[str], kind: str, owner: str | None) -> list[Reference]:
    """Say that pictures are references of a job, and whose they are. Raises NotFound, AmbiguousCode, WrongUsage."""
    if kind not in KINDS:
        raise WrongUsage(f"'{kind}' is no kind of reference", f"choose {', '.join(KINDS)}")
    with lib.transaction(f"references of {given}") as session:
        job = job_asked(session, given)
        for code in codes:
            entry = queries.entry(session, code)
            if entry.role != "reference":
                raise WrongUsage(
                    f"{entry.code.code} is kept as {entry.role}",
                    "bring it in with: intake FILE --as reference",
                )
            row = session.scalar(
                select(JobReference).where(JobReference.job_id == job.id, JobReference.entry_id == entry.id)
            )
            if row is None:
                row = JobReference(job_id=job.id, entry_id=entry.id, kind=kind)
                session.add(row)
            row.kind, row.owner = kind, owner
        session.flush()
        return [reference for reference, _ in _all(session, job)]


def references(lib: Library, given: str) -> list[Reference]:
    """The references of a job: those that were said to be, and those brought in for it as such. Raises NotFound."""
    with lib.reading() as session:
        return [reference for reference, _ in _all(session, job_asked(session, given))]


def _all(session: Session, job: Job) -> list[tuple[Reference, int]]:
    said = {
        row.entry_id: row
        for row in session.scalars(select(JobReference).where(JobReference.job_id == job.id))
    }
    arrived = session.scalars(
        select(Entry.id)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
        .join(Arrival, Arrival.original_id == Piece.original_id)
        .where(Arrival.job_id == job.id, Entry.role == "reference")
    )
    ids = list(dict.fromkeys([*said, *arrived]))
    cards = queries.cards(session, ids)
    found = []
    for entry_id in ids:
        row, card = said.get(entry_id), cards.get(entry_id)
        if card is not None and card.title != attic.REMOVED_TITLE:
            kind, owner = (row.kind, row.owner) if row else (KINDS[0], job.client)
            found.append((Reference(card.code, card.title, kind, owner), entry_id))
    return found


def forget(lib: Library, given: str, *, dry_run: bool = False) -> Forgotten:
    """Remove the references of a job from the library, and from its last backup where that can be reached.

    One line stays of each: what, whose, when. It cannot be undone. Raises NotFound.
    """
    with lib.reading() as session:
        job = job_asked(session, given)
        name, found = job.name, [reference for reference, _ in _all(session, job)]
    if not found:
        return Forgotten(name, (), (), dry_run)
    if dry_run:
        return Forgotten(name, tuple(map(_line, found)), tuple(_elsewhere(lib, done=False)), dry_run)
    codes = [reference.code for reference in found]
    attic.take_up(lib, codes)
    emptied = attic.empty(lib, codes)
    gone = {row.card.code for row in emptied.gone}
    removed = [reference for reference in found if reference.code in gone]
    _note_removed(lib, given, removed)
    held = [f"{row.card.code} {row.card.title}: {'; '.join(row.holds)}" for row in emptied.held]
    return Forgotten(name, tuple(map(_line, removed)), (*held, *_elsewhere(lib, done=True)), dry_run)


def _line(reference: Reference) -> str:
    whose = f", {reference.owner}'s" if reference.owner else ""
    return f"{reference.code} {reference.title} ({reference.kind}{whose})"


def _note_removed(lib: Library, given: str, removed: Sequence[Reference]) -> None:
    with lib.transaction() as session:
        job = job_asked(session, given)
        for row in session.scalars(select(JobReference).where(JobReference.job_id == job.id)):
            session.delete(row)
        for reference in removed:
            # the kind alone: the picture's own title may be what was to be forgotten
            session.add(
                JobRemoval(
                    job_id=job.id, what=f"{reference.kind} {reference.code}", owner=reference.owner,
                    day=lib.now().date(),
                )
            )  # fmt: skip


def _elsewhere(lib: Library, *, done: bool) -> list[str]:
    """Where copies may still be: backups that cannot be reached, and those that nobody knows of here."""
    last = safekeeping.last_backup(lib)
    if last is None:
        return ["no backup of this library is known on this machine; whoever copied it still has them"]
    if not last.folder.is_dir():
        return [f"the backup in {last.folder} cannot be reached; run `assetlib backup` when it can"]
    if done:
        try:
            safekeeping.back_up(lib, last.folder)
        except AssetlibError as error:
            return [f"the backup in {last.folder}: {error.sentence}"]
    return ["other backups than the last one are not known on this machine"]
