"""Bringing drawings in: originals kept byte for byte, arrivals noted, entries made with their first proof.

A transaction every second or few dozen files: whatever stops an intake, what was
kept stands, and the same command goes on with the rest.
"""

from __future__ import annotations

import time
from collections.abc import Generator, Iterable, Iterator, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path

from sqlalchemy import select

from assetlib.catalogue.entries import Arrival, Entry, Original
from assetlib.catalogue.fulltext import refresh_text
from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging import formats
from assetlib.imaging.supervise import run_supervised
from assetlib.imaging.survey import Asked, Survey, survey
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.roles import ROLES
from assetlib.services.bringing.arrivals import Added, Failed, Known, Outcome, Report, Wishes
from assetlib.services.bringing.cataloguing import Keeper, Ready, added, file_time, title_of
from assetlib.services.bringing.gathering import Unreadable, gather, path_text, plain_reason
from assetlib.services.bringing.recognising import Hashes, SeenHere, holder_of, how_known
from assetlib.services.describing import tagging
from assetlib.services.jobs import jobs
from assetlib.services.keeping.leftovers import removed_digests
from assetlib.storage.blobs import as_digest
from assetlib.storage.durable import is_plain

__all__ = ["Added", "Failed", "Known", "Outcome", "Report", "Wishes", "bring_in"]

REMOVED = "removed for good; bring it in again with --removed"

BATCH_FILES = 32
BATCH_SECONDS = 1.0
"""What one transaction keeps at most: half the work of a bringing-in was the beginning and ending of transactions;
larger batches gain next to nothing, and a kill loses no more than a second of reading."""


def bring_in(
    lib: Library,
    paths: Sequence[Path],
    wishes: Wishes = Wishes(),
    *,
    dry_run: bool = False,
    progress: Progress = SILENT,
) -> Report:
    """What became of the files that `paths` name: added, known already, or failed with a reason.

    With `dry_run` everything is read and judged, and nothing is kept.
    Raises WrongUsage for a role or tag that cannot be, NotFound for a job that was not opened; a bad file never
    raises.
    """
    if wishes.role is not None and wishes.role not in ROLES:
        raise WrongUsage(f"a drawing cannot be brought in as '{wishes.role}'", f"choose {', '.join(ROLES)}")
    tagging.check_tags(wishes.tags)
    if wishes.job:
        jobs.require(lib, wishes.job)
    lib.sweep_staging()
    found = list(gather(paths, formats.SUFFIXES, leave_out=lib.folder))
    report = Report()
    intake = _Intake(lib, wishes, dry_run)
    for outcome in progress.track(intake.run(found), "bringing in", len(found)):
        report.note(outcome)
    return report


class _Intake:
    """One bringing-in under way: its wishes, its step, and what is new in it so far."""

    def __init__(self, lib: Library, wishes: Wishes, dry_run: bool) -> None:
        self.lib = lib
        self.wishes = wishes
        self.dry_run = dry_run
        self.step: int | None = None
        self.seen = SeenHere()
        self.foreseen: set[str] = set()  # bytes that would be kept beside others of the same pixels
        self.removed = set() if wishes.removed else removed_digests(lib)

    def run(self, found: Sequence[Path | Unreadable]) -> Iterator[Outcome]:
        """The outcome of every file, in the order in which they were found."""
        with self.lib.staging() as staging, closing(self._read_until_full(found, staging)) as items:
            keeper = Keeper(self.lib, self.wishes, staging, self.seen)
            batch: list[Ready | Outcome] = []
            until = time.monotonic() + BATCH_SECONDS
            for item in items:
                if isinstance(item, DiskFull):
                    _make_room(staging, batch)
                    yield from self._settle(batch, keeper)
                    raise item
                batch.append(item)
                if len(batch) >= BATCH_FILES or time.monotonic() > until:
                    yield from self._settle(batch, keeper)
                    batch, until = [], time.monotonic() + BATCH_SECONDS
            yield from self._settle(batch, keeper)

    def _read_until_full(
        self, found: Sequence[Path | Unreadable], staging: Path
    ) -> Generator[Ready | Outcome | DiskFull, None, None]:
        """Every file as it is read; a disk that is full comes last, so that what was read before it can be kept."""
        try:
            yield from self._read(found, staging)
        except DiskFull as error:
            yield error

    def _read(
        self, found: Sequence[Path | Unreadable], staging: Path
    ) -> Generator[Ready | Outcome, None, None]:
        """Every file in order: surveyed, or with an outcome that needs no keeping."""
        known = self._known_arrivals(path for path in found if isinstance(path, Path))
        work = [str(path) for path in found if isinstance(path, Path) and path_text(path) not in known]
        with closing(self._survey(work, staging)) as surveyed:
            for item in found:
                if isinstance(item, Unreadable):
                    yield Failed(path_text(item.source), item.reason)
                elif (code := known.get(path_text(item))) is not None:
                    yield Known(code, path_text(item), "same file")
                elif isinstance(result := next(surveyed), Failed):
                    yield result
                elif self.dry_run and result.sha256 not in self.removed:
                    yield self._foresee(item, result, staging)
                else:
                    yield self._place(item, result, staging)

    def _known_arrivals(self, paths: Iterable[Path]) -> dict[str, str]:
        """Files that came in before from the same place with the same time and size: they need not be read again."""
        query = (
            select(Arrival.source, Arrival.file_time, Original, Entry)
            .join(Original, Original.id == Arrival.original_id)
            .join(Entry, Entry.id == Arrival.entry_id)
        )
        with self.lib.reading() as session:
            rows = {
                source: (time, original, entry) for source, time, original, entry in session.execute(query)
            }
        known = {}
        for path in paths:
            row = rows.get(path_text(path))
            if row is None or self.wishes.role not in (None, row[2].role):
                continue
            if self.wishes.role and row[2].may_be:  # what it is was not settled, and is said now
                continue
            try:
                status = path.stat()
            except OSError:
                continue
            if (file_time(status), status.st_size) == (row[0], row[1].bytes) and self._is_sound(row[1]):
                known[path_text(path)] = row[2].code.code
        return known

    def _is_sound(self, original: Original) -> bool:
        """Whether an original is there as it was kept, so that its file need not be read to heal it.

        Its bytes are read only where they were written to after it came in: a look at 100,000 files costs a second.
        """
        path = self.lib.originals.path(as_digest(original.sha256))
        if not is_plain(path) or path.stat().st_size != original.bytes:
            return False
        untouched = path.stat().st_mtime <= original.created_at.timestamp() + BATCH_SECONDS
        return untouched or self.lib.originals.verify(as_digest(original.sha256))

    def _survey(self, work: list[str], staging: Path) -> Generator[Survey | Failed, None, None]:
        """The survey of each file in order; files are read ahead in worker processes.

        Raises DiskFull: there is no sense in going on with the next file.
        """
        settings = self.lib.settings
        finished: dict[str, Survey | Failed] = {}
        outcomes = run_supervised(
            partial(
                survey,
                staging=str(staging),
                asked=Asked(not self.wishes.role_known, self.wishes.may_be_page),
            ),
            work,
            workers=settings.worker_count(),
            **settings.limits(),
        )
        with closing(outcomes):
            for item in work:
                while item not in finished:
                    done, outcome = next(outcomes)
                    if isinstance(outcome.error, DiskFull):
                        raise outcome.error
                    finished[done] = outcome.value or Failed(
                        path_text(Path(done)), outcome.reason or "it cannot be read"
                    )
                yield finished.pop(item)

    def _place(self, path: Path, result: Survey, staging: Path) -> Ready | Known | Failed:
        """A surveyed file, its bytes in the store: a spare blob is harmless, a row without its blob is not."""
        try:
            status = path.stat()
        except OSError as error:
            return Failed(path_text(path), plain_reason(error))
        if result.sha256 in self.removed:
            for name in (result.blob, result.proof.path):
                (staging / name).unlink(missing_ok=True)
            return Known("", path_text(path), REMOVED)
        self.lib.originals.place_staged(staging / result.blob, as_digest(result.sha256))
        return Ready(path, result, status)

    def _settle(self, batch: list[Ready | Outcome], keeper: Keeper) -> list[Outcome]:
        """The outcomes of a batch, all its rows kept in one transaction, after its blobs are there to last."""
        ready = [item for item in batch if isinstance(item, Ready)]
        if not ready:
            return [item for item in batch if not isinstance(item, Ready)]
        self.lib.originals.sync_names()
        with self.lib.transaction(self._step_from(ready[0].path)) as session:
            hashes = Hashes(session, [item.result for item in ready], self.lib.now())
            outcomes: list[Outcome] = []
            touched: list[int] = []
            for item in batch:
                if isinstance(item, Ready):
                    item, entry = keeper.keep(session, item, hashes)
                    touched.append(entry)
                outcomes.append(item)
            refresh_text(session, touched)
        return outcomes

    def _step_from(self, path: Path) -> int:
        """The step of this intake, opened at its first file."""
        if self.step is None:
            self.step = self.lib.new_step(f"intake from {path_text(Path(path.parent.name or path))}")
        return self.step

    def _foresee(self, path: Path, result: Survey, staging: Path) -> Outcome:
        """What would become of a file; codes are given only when it is brought in."""
        for name in (result.blob, result.proof.path):
            (staging / name).unlink(missing_ok=True)
        with self.lib.reading() as session:
            holder = holder_of(session, result, self.wishes.role)
            if holder is not None:
                same = session.scalar(select(Original.id).where(Original.sha256 == result.sha256)) is not None
                same = same or result.sha256 in self.foreseen
                self.foreseen.add(result.sha256)
                return Known(holder.code.code, path_text(path), how_known(holder, same))
        name = path_text(Path(path.name))
        if (how := self.seen.told(name, result)) is not None:
            return Known("", path_text(path), how)
        self.seen.note(name, result)
        return added("", title_of(path, result, self.wishes)[0], path, result, self.wishes)


def _make_room(staging: Path, batch: Sequence[Ready | Outcome]) -> None:
    """Remove what was read ahead, so that on a full disk there is room for the rows of what is in place."""
    needed = {item.result.proof.path for item in batch if isinstance(item, Ready)}
    for file in staging.iterdir():
        if file.name not in needed:
            file.unlink(missing_ok=True)
