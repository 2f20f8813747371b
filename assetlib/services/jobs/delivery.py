"""Frames that come back from a job: kept with it, and what was drawn on them offered to the library."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry, Version
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.work import DeliveredFrame, FrameFile, Job, JobShot, Use
from assetlib.errors import AssetlibError, WrongUsage
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.formats import SUFFIXES
from assetlib.imaging.layering import returning
from assetlib.imaging.layering.returning import Copy, Returned
from assetlib.imaging.layering.writing import LAYERED
from assetlib.imaging.supervise import run_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.bringing import clean_copies, gathering, intake, layering
from assetlib.services.bringing.gathering import path_text
from assetlib.services.doubles import settling
from assetlib.services.jobs import frame_lines, jobs
from assetlib.services.jobs.frame_lines import told_by
from assetlib.services.jobs.jobs import JobNote, job_asked
from assetlib.services.jobs.pasting import digest_of
from assetlib.services.jobs.uses import uses_of
from assetlib.services.keeping import upkeep

T = TypeVar("T")
R = TypeVar("R")

FROM_LIST = "caption"
"""Where the title of a delivered frame comes from: the line of its shot, which is a board's caption."""

_SIZES = 6  # of its uses, the latest: each is laid out anew where a part of a drawing is looked for

_IS_IT = (DoubleKind.SAME_FILE, DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING, DoubleKind.FAMILY)


@dataclass(frozen=True, slots=True)
class _Look:
    """A layered frame to be looked through in a worker."""

    file: str
    copies: tuple[Copy, ...]
    as_written: bool


def _looked_through(look: _Look) -> list[Returned]:
    return returning.look_through(look.file, look.copies, as_written=look.as_written)


@dataclass(frozen=True, slots=True)
class LayerBack:
    """A layer of a frame that came back: *unchanged*, *altered* or *new*; `code` is the drawing it was pasted from.

    What was altered or is new was proposed as the element `element`; `as_what` is *next version*, *family member* or
    *element*, and `command` takes the offer.
    """

    name: str
    state: str
    code: str = ""
    element: str = ""
    as_what: str = ""
    command: str = ""


@dataclass(frozen=True, slots=True)
class FrameBack:
    """A delivered frame; `seen` are the drawings that were recognised on a flat one."""

    file: str
    code: str
    shot: str | None
    round: int | None
    day: dt.date
    layers: tuple[LayerBack, ...] = ()
    seen: tuple[tuple[str, str], ...] = ()
    """Code and title."""
    line: str = ""
    """Its shot's line in the job's list, empty where it has none."""
    is_gone: bool = False
    """Whether its shot is no longer in the job's list."""


@dataclass(frozen=True, slots=True)
class Delivered:
    """A job's delivery: its frames, and the files that could not be kept, each with the reason."""

    frames: tuple[FrameBack, ...]
    failed: tuple[tuple[str, str], ...]
    dry_run: bool = False
    job: JobNote | None = None
    """The job after it was closed."""


def close_delivered(
    lib: Library, given: str, folder: Path, *, dry_run: bool = False, progress: Progress = SILENT
) -> Delivered:
    """Close a job and keep the frames in a folder as delivered. One step; a bad file stops nothing.

    Layers pasted unchanged are left; altered ones and new ones become elements in the in-tray, and what each may be is
    offered and not decided. Raises NotFound for the job, WrongUsage for a folder that is none or holds no pictures.
    """
    name = jobs.require(lib, given)
    if not folder.is_dir():
        raise WrongUsage(f"{folder} is no folder", "name the folder that the frames were delivered in")
    found = list(gathering.gather([folder], SUFFIXES, leave_out=lib.folder))
    files = [path for path in found if isinstance(path, Path)]
    failed = [(str(item.source), item.reason) for item in found if not isinstance(item, Path)]
    if not files:
        raise WrongUsage(
            f"there is no picture in {folder}", "name the folder that the frames were delivered in"
        )
    delivery = _Delivery(lib, name, dry_run=dry_run)
    delivery.look(files, progress)
    with lib.one_step(f"frames of job {name} delivered"):
        delivery.bring_in(files, progress)
        frames = []
        for path in progress.track(files, "keeping delivered frames", len(files)):
            try:
                frames.append(delivery.keep(path))
            except AssetlibError as error:
                failed.append((str(path), _reason(path, error.sentence)))
        closed = None if dry_run else jobs.close(lib, name)
    frames = delivery.with_doubles(frames, progress)
    return Delivered(tuple(frames), tuple(failed), dry_run, closed)


def frames_of(lib: Library, given: str) -> list[FrameBack]:
    """The frames that were delivered for a job, in the order of shots. Raises NotFound."""
    with lib.reading() as session:
        job = job_asked(session, given)
        rows = list(session.scalars(select(DeliveredFrame).where(DeliveredFrame.job_id == job.id)))
        cards = queries.cards(session, [row.entry_id for row in rows])
    kept = [
        FrameBack(
            Path(cards[row.entry_id].source).name, cards[row.entry_id].code, row.shot, row.round, row.day
        )
        for row in rows
        if row.entry_id in cards
    ]
    return sorted(kept, key=lambda frame: (frame.round or 0, frame.file))


class _Delivery:
    """One delivery under way."""

    def __init__(self, lib: Library, job: str, *, dry_run: bool) -> None:
        self._lib, self._job, self._dry_run = lib, job, dry_run
        self._copies: dict[str, Copy | None] = {}
        self._notes: dict[str, list[Returned]] = {}
        self._brought: dict[str, str] = {}
        self._refused: dict[str, str] = {}
        self._new: set[str] = set()
        self._printed = False

    def look(self, files: Sequence[Path], progress: Progress) -> None:
        """Look through all layered frames for what became of their layers, with one set of workers for all of them."""
        layered = [str(path) for path in files if path.suffix.casefold() in LAYERED]
        named: dict[str, list[str]] = dict(
            self._worked(returning.codes_named, layered, "reading layers", progress)
        )
        written = self._written()
        work = []
        for file in layered:
            path = Path(file)
            codes = dict.fromkeys([*self._pasted_codes(path), *named.get(file, ())])
            copies = tuple(copy for code in codes if (copy := self._copy(code)))
            work.append(_Look(file, copies, digest_of(path) in written))
        for look, notes in self._worked(_looked_through, work, "looking at layers", progress):
            self._notes[look.file] = notes

    def _worked(
        self, function: Callable[[T], R], work: Sequence[T], label: str, progress: Progress
    ) -> Iterator[tuple[T, R]]:
        """Each item with what came of it; one that could not be worked on is left out and told when it is kept."""
        settings = self._lib.settings
        done = run_supervised(function, work, workers=settings.worker_count(), **settings.limits())
        for item, outcome in progress.track(done, label, len(work)):
            if outcome.value is not None:
                yield item, outcome.value

    def bring_in(self, files: Sequence[Path], progress: Progress) -> None:
        """Keep the files as frames of the job; nothing at a trial run."""
        if self._dry_run:
            return
        report = intake.bring_in(
            self._lib, files, intake.Wishes(role="frame", job=self._job), progress=progress
        )
        self._brought = {item.source: item.code for item in report.added}
        self._brought |= {item.source: item.code for item in report.known}
        self._refused = {item.source: item.reason for item in report.failed}

    def keep(self, path: Path) -> FrameBack:
        """One frame, kept with its job, and what became of its layers. Raises BadPicture and other AssetlibError."""
        frame = self._told(path)
        if notes := self._notes.get(str(path), []):
            on_it = list(dict.fromkeys(_title(note) for note in notes))
            kept = replace(frame, code=self._kept(path, frame, on_it))
            return replace(kept, layers=tuple(self._proposed(kept.code, notes)))
        seen = self._recognised(path)
        return replace(frame, code=self._kept(path, frame, [title for _, title in seen]), seen=seen)

    def _told(self, path: Path) -> FrameBack:
        """What a frame's name and the job's list tell of it."""
        day = dt.datetime.fromtimestamp(path.stat().st_mtime, dt.UTC).date()
        number, round_ = told_by(path.stem)
        with self._lib.reading() as session:
            job = job_asked(session, self._job)
            shot = frame_lines.shot_of(session, job, path.name)
            gone = shot.omitted if shot else bool(number) and frame_lines.has_list(session, job)
            line = shot.text if shot else ""
        return FrameBack(path.name, "", number, round_, day, line=line, is_gone=gone)

    def _written(self) -> set[str]:
        """SHA-256 of all frames as they were written for the job."""
        with self._lib.reading() as session:
            job = job_asked(session, self._job)
            begun = select(FrameFile.sha256).join(JobShot, JobShot.id == FrameFile.shot_id)
            pasted = select(Use.sha256).where(Use.job_id == job.id, Use.sha256.is_not(None))
            frames = session.scalars(begun.where(JobShot.job_id == job.id))
            return {*frames, *filter(None, session.scalars(pasted))}

    def _pasted_codes(self, path: Path) -> list[str]:
        with self._lib.reading() as session:
            return [card.code for card in queries.cards(session, self._pasted_on(path)).values()]

    def _pasted_on(self, path: Path) -> list[int]:
        """Entries that were pasted for the job, or onto a frame of this name."""
        with self._lib.reading() as session:
            job = job_asked(session, self._job)
            logged = (
                select(Version.entry_id)
                .join(Use, Use.version_id == Version.id)
                .where(Use.voided_at.is_(None), (Use.job_id == job.id) | (Use.frame == path.name))
            )
            return list(dict.fromkeys(session.scalars(logged)))

    def _copy(self, code: str) -> Copy | None:
        if code not in self._copies:
            try:
                made = clean_copies.make(self._lib, code)
                sizes = tuple(
                    dict.fromkeys(use.size for use in uses_of(self._lib, code) if use.size is not None)
                )
                self._copies[code] = Copy(made.card.code, str(made.ink), str(made.mask), sizes[:_SIZES])
            except AssetlibError:
                self._copies[code] = None
        return self._copies[code]

    def _recognised(self, path: Path) -> tuple[tuple[str, str], ...]:
        """The drawings that the doubles check sees on a flat frame."""
        if not self._printed:  # what was pasted is to be known, whatever else still waits
            self._printed = True
            upkeep.work_off(self._lib, (upkeep.PRINT,), entries=self._pasted_on(path))
        cards = (
            side.card
            for pair in settling.ask_outside(self._lib, str(path)).pairs
            if pair.kind != DoubleKind.PERHAPS_FAMILY
            for side in (pair.a, pair.b)
        )
        return tuple({card.code: (card.code, card.title) for card in cards if card is not None}.values())

    def _kept(self, path: Path, frame: FrameBack, on_it: Sequence[str]) -> str:
        """The code of a frame, noted with its job and what is on it; empty at a trial run."""
        if self._dry_run:
            return ""
        source = path_text(path)
        if source not in self._brought:
            raise WrongUsage(self._refused.get(source, "it could not be kept"))
        code = self._brought[source]
        with self._lib.transaction(f"frame {path.name} delivered") as session:
            entry, job = queries.entry(session, code), job_asked(session, self._job)
            entry.described_at = entry.described_at or self._lib.now()  # a frame does not wait in the in-tray
            _note(session, job, entry, frame)
            _say(entry, job, frame, on_it)
            refresh_text(session, [entry.id])
        return code

    def _proposed(self, frame: str, notes: Sequence[Returned]) -> Iterable[LayerBack]:
        """What is offered of each layer; altered and new ones become elements."""
        wanted = {note.path: (_title(note), note.box) for note in notes if note.state != "unchanged"}
        taken: dict[str, str] = {}
        if wanted and not self._dry_run:
            taken = layering.take_chosen(self._lib, frame, wanted)
            self._new.update(taken.values())
        for note in notes:
            yield _offered(note, taken.get(note.path, ""))

    def with_doubles(self, frames: list[FrameBack], progress: Progress) -> list[FrameBack]:
        """The frames with what the doubles check says of new layers whose group named no drawing."""
        if not self._new:
            return frames
        with self._lib.reading() as session:
            ids = [queries.entry(session, code).id for code in sorted(self._new)]
        upkeep.work_off(self._lib, entries=ids, progress=progress)
        like = {}
        for pair in settling.pairs(self._lib, sorted(self._new), _IS_IT):
            for one, other in ((pair.a.code, pair.b.code), (pair.b.code, pair.a.code)):
                if one in self._new and other and other not in self._new:
                    like[one] = other
        return [
            replace(frame, layers=tuple(_parented(row, like) for row in frame.layers)) for frame in frames
        ]


def _reason(path: Path, sentence: str) -> str:
    """What is wrong with a file, without its name, which stands before it already."""
    for name in (str(path), path.name):
        sentence = sentence.removeprefix(f"{name}: ")
    return sentence


def _note(session: Session, job: Job, entry: Entry, frame: FrameBack) -> None:
    row = session.scalar(
        select(DeliveredFrame).where(DeliveredFrame.job_id == job.id, DeliveredFrame.entry_id == entry.id)
    )
    if row is None:
        row = DeliveredFrame(job_id=job.id, entry_id=entry.id)
        session.add(row)
    row.shot, row.round, row.day = frame.shot, frame.round or job.round, frame.day


def _say(entry: Entry, job: Job, frame: FrameBack, on_it: Sequence[str]) -> None:
    """The words that a frame is found by; what the artist called it herself stays."""
    if frame.shot is None or entry.title_source == "artist":
        return
    if entry.title_source == FROM_LIST or not entry.note:
        on_it = [title for title in on_it if title]
        told = [f"frame of {job.name}", f"{frame.day:%d %b %Y}", *on_it]
        entry.note = ", ".join(told)
    entry.title, entry.title_source = called(frame.shot, frame.round or job.round, frame.line), FROM_LIST


def called(shot: str, round_: int | None, line: str) -> str:
    """What a frame is called: *05a, round 1 — the line of its shot*."""
    place = shot + (f", round {round_}" if round_ else "")
    return f"{place} — {' '.join(line.split())}" if line else place


def _title(note: Returned) -> str:
    """A group's name without the code behind it."""
    name = note.name.rsplit("·", 1)[0] if note.code else note.name
    return " ".join(name.replace("_", " ").split())


def _offered(note: Returned, element: str) -> LayerBack:
    if note.state == "unchanged":
        return LayerBack(note.name, note.state, note.code)
    if note.state == "altered" and note.code:
        return _version_or_family(LayerBack(note.name, "altered", note.code, element), whole=not note.cut_off)
    return LayerBack(note.name, "new", "", element, "element")


def _version_or_family(row: LayerBack, *, whole: bool) -> LayerBack:
    """An altered drawing as the next version of its own; one that was cut off at the frame is no whole one."""
    as_what, verdict = ("next version", "--altered") if whole else ("family member", "--family")
    command = f"assetlib doubles {row.code} {row.element} {verdict}" if row.element else ""
    return replace(row, as_what=as_what, command=command)


def _parented(row: LayerBack, like: dict[str, str]) -> LayerBack:
    if row.state != "new" or row.element not in like:
        return row
    return _version_or_family(replace(row, state="altered", code=like[row.element]), whole=True)
