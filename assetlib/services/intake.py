"""Bringing drawings in: originals kept byte for byte, arrivals noted, entries made with their first proof.

A transaction every second or few dozen files: whatever stops an intake, what was
kept stands, and the same command goes on with the rest.
"""

from __future__ import annotations

import datetime as dt
import os
import time
from collections.abc import Generator, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.derived import Derived
from assetlib.catalogue.entries import Arrival, Entry, Original, Piece, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging import formats
from assetlib.imaging.supervise import run_supervised
from assetlib.imaging.survey import Survey, survey
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.names import title_from
from assetlib.services import jobs, shelf, tagging, upkeep
from assetlib.services.gathering import Unreadable, gather, path_text, plain_reason
from assetlib.storage.blobs import as_digest

ROLES = ("element", "sheet", "reference", "backdrop")

SHEET_FROM = 0.5
"""The likeness to a sheet from which a picture is brought in as one, unless the artist says otherwise."""

SMALLEST_SHEET = 700
"""Pixels of the longer side under which nobody puts several drawings on a page (common practice, no source)."""

BATCH_FILES = 32
BATCH_SECONDS = 1.0
"""What one transaction keeps at most: half the work of a bringing-in was the beginning and ending of transactions;
larger batches gain next to nothing, and a kill loses no more than a second of reading."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the artist says of everything in one bringing-in."""

    role: str | None = None
    """What everything is to be, also what is known already as something else."""
    new_role: str | None = None
    """What is to become of files that are new; without it, judged from the picture."""
    title: str | None = None
    tags: tuple[str, ...] = ()
    job: str | None = None

    @property
    def role_known(self) -> bool:
        """Whether nothing is to be judged from the picture."""
        return (self.role or self.new_role) is not None


@dataclass(frozen=True, slots=True)
class Added:
    """A drawing that is new in the library."""

    code: str
    title: str
    role: str
    source: str


@dataclass(frozen=True, slots=True)
class Known:
    """A file whose bytes or pixels the library has already, and what it has."""

    code: str
    source: str
    how: str


@dataclass(frozen=True, slots=True)
class Failed:
    """A file that was not brought in, and why."""

    source: str
    reason: str


Outcome = Added | Known | Failed


@dataclass(slots=True)
class Report:
    """What became of every file of a bringing-in, in the order in which they were named."""

    added: list[Added] = field(default_factory=list)
    known: list[Known] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)

    def note(self, outcome: Outcome) -> None:
        """Put an outcome where it belongs."""
        match outcome:
            case Added():
                self.added.append(outcome)
            case Known():
                self.known.append(outcome)
            case Failed():
                self.failed.append(outcome)


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
    Raises WrongUsage for a role or tag that cannot be; a bad file never raises.
    """
    if wishes.role is not None and wishes.role not in ROLES:
        raise WrongUsage(f"a drawing cannot be brought in as '{wishes.role}'", f"choose {', '.join(ROLES)}")
    tagging.check_tags(wishes.tags)
    lib.sweep_staging()
    found = list(gather(paths, formats.SUFFIXES, leave_out=lib.folder))
    report = Report()
    intake = _Intake(lib, wishes, dry_run)
    for outcome in progress.track(intake.run(found), "bringing in", len(found)):
        report.note(outcome)
    return report


class _Intake:
    """One bringing-in under way: its wishes, its step, and what a trial run has seen so far."""

    def __init__(self, lib: Library, wishes: Wishes, dry_run: bool) -> None:
        self.lib = lib
        self.wishes = wishes
        self.dry_run = dry_run
        self.step: int | None = None
        self.job: int | None = None
        self.proof_recipe: int | None = None
        self.seen: dict[str, str] = {}

    def run(self, found: Sequence[Path | Unreadable]) -> Iterator[Outcome]:
        """The outcome of every file, in the order in which they were found."""
        with self.lib.staging() as staging, closing(self._read(found, staging)) as items:
            batch: list[_Ready | Outcome] = []
            until = time.monotonic() + BATCH_SECONDS
            for item in items:
                batch.append(item)
                if len(batch) >= BATCH_FILES or time.monotonic() > until:
                    yield from self._settle(batch, staging)
                    batch, until = [], time.monotonic() + BATCH_SECONDS
            yield from self._settle(batch, staging)

    def _read(
        self, found: Sequence[Path | Unreadable], staging: Path
    ) -> Generator[_Ready | Outcome, None, None]:
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
                elif self.dry_run:
                    yield self._foresee(item, result, staging)
                else:
                    yield self._place(item, result, staging)

    def _known_arrivals(self, paths: Iterable[Path]) -> dict[str, str]:
        """Files that came in before from the same place with the same time and size: they need not be read again."""
        query = (
            select(Arrival.source, Arrival.file_time, Original.bytes, Entry)
            .join(Original, Original.id == Arrival.original_id)
            .join(Entry, Entry.id == Arrival.entry_id)
        )
        with self.lib.reading() as session:
            rows = {source: (time, size, entry) for source, time, size, entry in session.execute(query)}
        known = {}
        for path in paths:
            row = rows.get(path_text(path))
            if row is None or self.wishes.role not in (None, row[2].role):
                continue
            try:
                status = path.stat()
            except OSError:
                continue
            if (_file_time(status), status.st_size) == row[:2]:
                known[path_text(path)] = row[2].code.code
        return known

    def _survey(self, work: list[str], staging: Path) -> Generator[Survey | Failed, None, None]:
        """The survey of each file in order; files are read ahead in worker processes.

        Raises DiskFull: there is no sense in going on with the next file.
        """
        settings = self.lib.settings
        finished: dict[str, Survey | Failed] = {}
        outcomes = run_supervised(
            partial(survey, staging=str(staging), role_known=self.wishes.role_known),
            work,
            workers=settings.worker_count(),
            timeout=settings.decode_seconds,
            memory=settings.decode_megabytes * 1024 * 1024,
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

    def _place(self, path: Path, result: Survey, staging: Path) -> _Ready | Failed:
        """A surveyed file, its bytes in the store: a spare blob is harmless, a row without its blob is not."""
        try:
            status = path.stat()
        except OSError as error:
            return Failed(path_text(path), plain_reason(error))
        self.lib.originals.put_staged(staging / result.blob, as_digest(result.sha256))
        return _Ready(path, result, status)

    def _settle(self, batch: list[_Ready | Outcome], staging: Path) -> list[Outcome]:
        """The outcomes of a batch, all its rows kept in one transaction."""
        ready = [item for item in batch if isinstance(item, _Ready)]
        if not ready:
            return [item for item in batch if not isinstance(item, _Ready)]
        if self.step is None:
            path = ready[0].path
            self.step = self.lib.new_step(f"intake from {path_text(Path(path.parent.name or path))}")
        with self.lib.transaction(self.step) as session:
            hashes = _Hashes(session, [item.result for item in ready], self.lib.now())
            touched: list[int] = []
            outcomes = [
                self._record(session, item, hashes, touched, staging) if isinstance(item, _Ready) else item
                for item in batch
            ]
            refresh_text(session, touched)
        return outcomes

    def _record(
        self, session: Session, item: _Ready, hashes: _Hashes, touched: list[int], staging: Path
    ) -> Outcome:
        """Keep the rows of one file; `touched` gets the entry that its words belong to."""
        path, result = item.path, item.result
        original = hashes.originals[result.sha256]
        known = hashes.may_be_known(result)
        holder = _holder(session, result, self.wishes.role) if known else None
        same_bytes = result.sha256 in hashes.kept
        hashes.keep(result)
        if holder is not None:
            self._arrive(session, original, holder, item)
            tagging.put_tags(self.lib, session, holder, self.wishes.tags, source="artist", state="given")
            touched.append(holder.id)
            (staging / result.proof.path).unlink(missing_ok=True)
            return Known(holder.code.code, path_text(path), _how_known(holder, same_bytes))
        entry = self._new_entry(session, path, result, original, staging)
        self._arrive(session, original, entry, item)
        touched.append(entry.id)
        return Added(entry.code.code, entry.title, entry.role, path_text(path))

    def _new_entry(
        self, session: Session, path: Path, result: Survey, original: Original, staging: Path
    ) -> Entry:
        title, title_source = self._title(path, result)
        entry = shelf.add_entry(
            self.lib,
            session,
            role=self._role(result),
            title=title,
            title_source=title_source,
            ground=result.ground,
            parts=[shelf.Part(original.id, (0, 0, *result.facts.size), resolution=_rendered_at(result))],
        )
        shelf.suggest_facets(self.lib, session, entry, text=title_from(path_text(path)), finish=result.finish)
        tagging.put_tags(self.lib, session, entry, self.wishes.tags, source="artist", state="given")
        tagging.put_tags(
            self.lib,
            session,
            entry,
            result.facts.words.keywords,
            source="file",
            state="suggested",
            strict=False,
        )
        self._keep_proof(session, entry, staging / result.proof.path)
        return entry

    def _keep_proof(self, session: Session, entry: Entry, staged: Path) -> None:
        assert entry.current is not None
        if self.proof_recipe is None:
            self.proof_recipe = shelf.recipe_id(
                self.lib, session, upkeep.PROOF.kind, upkeep.PROOF.recipe, upkeep.PROOF.details
            )
        name = f"proof/{entry.current.uuid[:2]}/{entry.current.uuid}.webp"
        target = self.lib.derived / name
        target.parent.mkdir(parents=True, exist_ok=True)
        staged.rename(target)
        session.add(
            Derived(
                version_id=entry.current.id, recipe_id=self.proof_recipe, path=name, made_at=self.lib.now()
            )
        )

    def _role(self, result: Survey) -> str:
        return self.wishes.role or self.wishes.new_role or _judge_role(result)

    def _title(self, path: Path, result: Survey) -> tuple[str, str]:
        if self.wishes.title:
            return self.wishes.title, "artist"
        if result.facts.words.title:
            return result.facts.words.title, "file"
        # A name that says nothing (IMG_1234) is still better than none.
        return title_from(path_text(path)) or path_text(Path(path.stem)), "file name"

    def _arrive(self, session: Session, original: Original, entry: Entry, item: _Ready) -> None:
        """Note that this original came from this path; a later look at the same path renews the note."""
        if self.wishes.job and self.job is None:
            self.job = jobs.job_named(self.lib, session, self.wishes.job).id
        path = item.path
        arrival = session.scalar(
            select(Arrival).where(Arrival.original_id == original.id, Arrival.source == path_text(path))
        )
        if arrival is None:
            arrival = Arrival(
                original_id=original.id,
                source=path_text(path),
                file_name=path_text(Path(path.name)),
                arrived_at=self.lib.now(),
            )
            session.add(arrival)
        arrival.entry_id, arrival.file_time = entry.id, _file_time(item.status)
        arrival.job_id = self.job if self.job is not None else arrival.job_id

    def _foresee(self, path: Path, result: Survey, staging: Path) -> Outcome:
        """What would become of a file; codes are given only when it is brought in."""
        for name in (result.blob, result.proof.path):
            (staging / name).unlink(missing_ok=True)
        with self.lib.reading() as session:
            holder = _holder(session, result, self.wishes.role)
            if holder is not None:
                same = session.scalar(select(Original.id).where(Original.sha256 == result.sha256)) is not None
                return Known(holder.code.code, path_text(path), _how_known(holder, same))
        for key in (result.sha256, result.pixel_sha256):
            if key in self.seen:
                return Known("", path_text(path), f"same as {self.seen[key]} in this intake")
        self.seen[result.sha256] = self.seen[result.pixel_sha256] = path.name
        return Added("", self._title(path, result)[0], self._role(result), path_text(path))


@dataclass(frozen=True, slots=True)
class _Ready:
    """A surveyed file whose bytes are in the store and whose rows are to be written."""

    path: Path
    result: Survey
    status: os.stat_result


class _Hashes:
    """Which bytes and pixels of a batch are known already: most are not, and then nothing more need be asked."""

    def __init__(self, session: Session, results: Sequence[Survey], now: dt.datetime) -> None:
        hashes = {result.sha256 for result in results}, {result.pixel_sha256 for result in results}
        found = session.scalars(
            select(Original).where(Original.sha256.in_(hashes[0]) | Original.pixel_sha256.in_(hashes[1]))
        )
        self.originals = {original.sha256: original for original in found}
        self.kept = set(self.originals)
        self.pixels = {original.pixel_sha256 for original in self.originals.values()}
        for result in results:
            if result.sha256 not in self.originals:
                self.originals[result.sha256] = _new_original(result, now)
        session.add_all(self.originals.values())
        session.flush()

    def may_be_known(self, result: Survey) -> bool:
        """Whether an entry may hold these bytes or these pixels."""
        return result.sha256 in self.kept or result.pixel_sha256 in self.pixels

    def keep(self, result: Survey) -> None:
        """Count a file of the batch among what is known."""
        self.kept.add(result.sha256)
        self.pixels.add(result.pixel_sha256)


def _rendered_at(result: Survey) -> float | None:
    """The resolution that a drawing without pixels of its own was rendered at; boxes and masks hold for it alone."""
    facts = result.facts
    return facts.resolution[0] if facts.media_type in formats.VECTOR and facts.resolution else None


def _judge_role(result: Survey) -> str:
    large = max(result.facts.size) >= SMALLEST_SHEET
    several = result.facts.pages > 1 or (large and result.sheet_likeness >= SHEET_FROM)
    return "sheet" if several else "element"


def _holder(session: Session, result: Survey, role: str | None) -> Entry | None:
    """The entry that holds these bytes or these pixels already.

    A picture that is known as a reference stays one unless the artist says outright what it is to be:
    somebody's photograph must not become an element unnoticed. A layered file is never taken for the
    flat picture it looks like.
    """
    query = (
        select(Entry, Original)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.version_id == Version.id)
        .join(Original, Original.id == Piece.original_id)
        .where(Piece.reading_order.is_(None), Piece.layer.is_(None))
        .order_by(Entry.id)
    )
    if role is not None:
        query = query.where(Entry.role == role)
    layered = len(result.facts.layers) > 1
    same = list(session.execute(query.where(Original.sha256 == result.sha256)))
    if not same:
        same = [
            row
            for row in session.execute(query.where(Original.pixel_sha256 == result.pixel_sha256))
            if result.facts.pages == row[1].pages and layered == (len(row[1].layers) > 1)
        ]
    references = [row[0] for row in same if row[0].role == "reference"]
    return references[0] if references else (same[0][0] if same else None)


def _how_known(holder: Entry, same_bytes: bool) -> str:
    how = "same file" if same_bytes else "same pixels"
    if holder.role == "reference":
        how += ", known as a reference"
    return how + (", in the attic" if holder.in_attic else "")


def _file_time(status: os.stat_result) -> dt.datetime:
    return dt.datetime.fromtimestamp(status.st_mtime, dt.UTC)


def _new_original(result: Survey, now: dt.datetime) -> Original:
    facts = result.facts
    words = facts.words
    return Original(
        sha256=result.sha256,
        bytes=result.bytes,
        format=facts.format,
        media_type=facts.media_type,
        width=facts.size[0],
        height=facts.size[1],
        pages=facts.pages,
        bits=facts.bits,
        mode=facts.mode,
        has_alpha=facts.has_alpha,
        x_dpi=facts.resolution[0] if facts.resolution else None,
        y_dpi=facts.resolution[1] if facts.resolution else None,
        orientation=facts.orientation_applied,
        icc=facts.icc,
        ground=result.ground,
        pixel_sha256=result.pixel_sha256,
        words={
            "title": words.title,
            "description": words.description,
            "keywords": list(words.keywords),
            "creator": words.creator,
            "licence": words.licence,
        },
        layers=[
            {
                "path": layer.path,
                "name": layer.name,
                "visible": layer.visible,
                "kind": layer.kind,
                "box": list(layer.box),
            }
            for layer in facts.layers
        ],
        note=facts.note,
        created_at=now,
    )
