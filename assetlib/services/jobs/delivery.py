"""Frames that come back from a job: kept with it, and what was drawn on them offered to the library."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry, Version
from assetlib.catalogue.work import DeliveredFrame, Job, Use
from assetlib.errors import AssetlibError, WrongUsage
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.formats import SUFFIXES
from assetlib.imaging.layering import returning
from assetlib.imaging.layering.returning import Copy, Returned
from assetlib.imaging.layering.writing import LAYERED
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.bringing import clean_copies, gathering, intake, layering
from assetlib.services.doubles import settling
from assetlib.services.jobs import jobs
from assetlib.services.jobs.jobs import JobNote, job_asked
from assetlib.services.keeping import upkeep

_NAMED = re.compile(
    r"(?:(?P<spot>[A-Za-z]{1,2})_)?(?P<number>\d+[A-Za-z]*?)(?P<letter>[a-z])?(?:_r(?P<round>\d{1,2}))?(?:_\d+)?"
)
"""How frames are named: `A_05a_r1` (spot, shot, frame, round), perhaps with `_2` behind it."""

_IS_IT = (DoubleKind.SAME_FILE, DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING, DoubleKind.FAMILY)


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
    with lib.one_step(f"frames of job {name} delivered"):
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
        self._new: set[str] = set()
        self._printed = False

    def keep(self, path: Path) -> FrameBack:
        """One frame, kept with its job, and what became of its layers. Raises BadPicture and other AssetlibError."""
        day = dt.datetime.fromtimestamp(path.stat().st_mtime, dt.UTC).date()
        shot, round_ = told_by(path.stem)
        frame = FrameBack(path.name, "", shot, round_, day)
        if path.suffix.casefold() in LAYERED:
            notes = self._looked_through(path)
            if notes:
                kept = replace(frame, code=self._kept(path, frame))
                return replace(kept, layers=tuple(self._proposed(kept.code, notes)))
        seen = self._recognised(path)
        return replace(frame, code=self._kept(path, frame), seen=seen)

    def _looked_through(self, path: Path) -> list[Returned]:
        copies = tuple(copy for code in self._used_on(path) if (copy := self._copy(code)))
        outcome = call_supervised(returning.look_through, str(path), copies, **self._lib.settings.limits())
        return outcome.value or []

    def _used_on(self, path: Path) -> list[str]:
        """Codes of what may be pasted on a frame: those its log of uses names first, then those its groups name."""
        ids = self._pasted_on(path)
        with self._lib.reading() as session:
            codes = [card.code for card in queries.cards(session, ids).values()]
        outcome = call_supervised(returning.codes_named, str(path), **self._lib.settings.limits())
        return list(dict.fromkeys([*codes, *(outcome.value or [])]))

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
                self._copies[code] = Copy(made.card.code, str(made.ink), str(made.mask))
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

    def _kept(self, path: Path, frame: FrameBack) -> str:
        """The code of a frame, brought in and noted with its job; empty at a trial run."""
        if self._dry_run:
            return ""
        report = intake.bring_in(self._lib, [path], intake.Wishes(role="frame", job=self._job))
        for failed in report.failed:
            raise WrongUsage(failed.reason)
        (code,) = [*(item.code for item in report.added), *(item.code for item in report.known)]
        with self._lib.transaction(f"frame {path.name} delivered") as session:
            entry, job = queries.entry(session, code), job_asked(session, self._job)
            entry.described_at = entry.described_at or self._lib.now()  # a frame does not wait in the in-tray
            _note(session, job, entry, frame)
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


def told_by(name: str) -> tuple[str | None, int | None]:
    """Shot and round as a frame's name tells them: `A_05a_r1` is shot 05a of round 1."""
    hit = _NAMED.fullmatch(name)
    if not hit:
        return None, None
    return f"{hit['number']}{hit['letter'] or ''}", int(hit["round"]) if hit["round"] else None


def _note(session: Session, job: Job, entry: Entry, frame: FrameBack) -> None:
    row = session.scalar(
        select(DeliveredFrame).where(DeliveredFrame.job_id == job.id, DeliveredFrame.entry_id == entry.id)
    )
    if row is None:
        row = DeliveredFrame(job_id=job.id, entry_id=entry.id)
        session.add(row)
    row.shot, row.round, row.day = frame.shot, frame.round or job.round, frame.day


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
