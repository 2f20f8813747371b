"""A job's pull sheet: the list as it changes, the artist's choices, and frames that are never lost."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry, Version
from assetlib.catalogue.work import FrameFile, Job, JobShot, ShotPick, Use
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.shots.frame_sizes import Frame
from assetlib.rules.shots.lists import changes
from assetlib.rules.shots.lists.changes import Change
from assetlib.rules.shots.lists.values import Shot, ShotList
from assetlib.rules.shots.serving import LOOK_AT_IT, NO, YES, Judgement
from assetlib.services.jobs import boards, frame_files, pasting, pulling
from assetlib.services.jobs.boards import Board, Plan
from assetlib.services.jobs.cautions import Cautions
from assetlib.services.jobs.jobs import driver_side_of, frame_of, job_asked
from assetlib.services.jobs.pulling import NeedPulled, Offer, Pull, ShotPulled
from assetlib.services.jobs.uses import record_use

LEFT_OUT = ("voice-over", "super", "dialogue", "sound", "timing", "transition", "note")
"""Kinds of lines that are no shots and are counted for the artist."""

_FEWEST, _MATCHED = 4, 3
"""From so many kept shots on, a list that has fewer than one in three of them is taken for another job's."""

USUAL_FRAME = Frame(1920, 1080)


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a list is to be pulled."""

    job: str | None = None
    picks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By number of a shot, codes that lead it; none takes the choices back."""
    confidential: bool = False
    """Offer also what is kept confidential for another client."""
    keep: bool = True
    """Keep the list in the job; else it is only read."""
    new_list: bool = False
    """The list is the job's, however little of the one before is in it."""


@dataclass(frozen=True, slots=True)
class FrameNote:
    """A frame's file and what became of it: written, kept (nothing to change), beside (the first was drawn on), or
    taken (the name is another file's)."""

    path: Path
    state: str
    shot: str
    renumbered: bool = False
    """Whether it was begun while its shot had another number, and keeps that in its name."""


def pull(lib: Library, listing: ShotList, wishes: Wishes, progress: Progress = SILENT) -> Pull:
    """The pull sheet of a list; with a job it is kept there, and told what changed since the last one.

    Raises NotFound for a job, shot or code that is not there.
    """
    cautions = Cautions(lib, wishes.job)
    before, told = _compared(lib, listing, wishes.job)
    is_other = _is_other_list(before, told) and not wishes.new_list
    if is_other and wishes.picks:
        raise WrongUsage(*is_it_the_jobs(wishes.job))
    found = pulling.pull(
        lib,
        listing.shots,
        cautions=lambda card: cautions.of(card.id),
        driver_side=driver_side_of(lib, wishes.job),
        progress=progress,
    )
    if not wishes.confidential:
        found = [_without_confidential(shot, cautions) for shot in found]
    picks = _picks(lib, listing, wishes, before, told)
    found = [_led(lib, shot, picks.get(place, ()), cautions) for place, shot in enumerate(found)]
    kinds = {change.now: change.kind for change in told if change.now is not None and before and not is_other}
    found = [replace(shot, change=kinds.get(place, "")) for place, shot in enumerate(found)]
    kept = bool(wishes.job) and wishes.keep and not is_other
    if wishes.job and kept:
        _keep(lib, wishes.job, found, before, told, picks, listing.omitted)
    gone = tuple(
        before[change.before].number
        for change in told
        if change.now is None and change.before is not None and not is_other
    )
    omitted = tuple(dict.fromkeys([*listing.omitted, *gone]))
    kinds_of = Counter(aside.kind for aside in listing.asides if aside.kind in LEFT_OUT)
    notes = tuple(f"{kinds_of[kind]} {kind}" for kind in LEFT_OUT if kinds_of[kind])
    return Pull(wishes.job, tuple(found), omitted, notes, kept, is_other)


def _is_other_list(before: Sequence[Shot], told: Sequence[Change]) -> bool:
    """Whether a list says so little of what a job has that it may be another job's."""
    matched = sum(change.before is not None and change.now is not None for change in told)
    return len(before) >= _FEWEST and matched * _MATCHED < len(before)


def is_it_the_jobs(job: str | None) -> tuple[str, str]:
    """What is asked of a list that may be another job's, and how it is answered."""
    return (
        f"hardly a shot of job '{job}' is in this list, so nothing was kept: is it the list of that job?",
        "if so, pull it again with --new-list; else name its own job with --job NAME",
    )


def again(lib: Library, job: str, wishes: Wishes, progress: Progress = SILENT) -> Pull:
    """The pull sheet of the list that a job has. Raises NotFound where it has none."""
    shots = _kept(lib, job)
    if not shots:
        raise NotFound(f"job '{job}' has no shot list yet", "pull one: assetlib pull FILE --job NAME")
    sheet = pull(lib, ShotList(tuple(shots)), wishes, progress)
    return replace(sheet, omitted=_omitted(lib, job))


def _omitted(lib: Library, job: str) -> tuple[str, ...]:
    """Numbers that were omitted from a job's list and are not in it again."""
    with lib.reading() as session:
        rows = _rows(session, job_asked(session, job))
        live = {(spot, row.number) for row in rows if not row.omitted for spot in ("", row.spot)}
        gone = sorted((row for row in rows if row.omitted), key=lambda row: _in_order(row.number))
        return tuple(dict.fromkeys(row.number for row in gone if (row.spot, row.number) not in live))


def _kept(lib: Library, job: str) -> list[Shot]:
    with lib.reading() as session:
        return [_shot(row) for row in _rows(session, job_asked(session, job)) if not row.omitted]


def _in_order(number: str) -> tuple[int, str]:
    digits = re.search(r"\d+", number)
    return int(digits.group()) if digits else 0, number


def _rows(session: Session, job: Job) -> list[JobShot]:
    return list(
        session.scalars(select(JobShot).where(JobShot.job_id == job.id).order_by(JobShot.ordinal, JobShot.id))
    )


def _shot(row: JobShot) -> Shot:
    return Shot(row.number, row.text, row.heading, row.spot)


def _compared(lib: Library, listing: ShotList, job: str | None) -> tuple[list[Shot], list[Change]]:
    """The shots that a job had, and what became of each."""
    before = _kept(lib, job) if job else []
    return before, changes.compare(before, listing.shots, listing.omitted)


def _without_confidential(shot: ShotPulled, cautions: Cautions) -> ShotPulled:
    def left(offers: Iterable[Offer]) -> tuple[Offer, ...]:
        return tuple(offer for offer in offers if offer.card.id not in cautions.confidential)

    needs = tuple(replace(need, offers=left(need.offers)) for need in shot.needs)
    return pulling.settled(replace(shot, needs=needs, perhaps=left(shot.perhaps)))


# --- the artist's choices ---------------------------------------------------------------


def _picks(
    lib: Library, listing: ShotList, wishes: Wishes, before: Sequence[Shot], told: Sequence[Change]
) -> dict[int, tuple[int, ...]]:
    """By place in the list, the entries that lead the shot: those chosen before, and those chosen now."""
    picks: dict[int, tuple[int, ...]] = {}
    with lib.reading() as session:
        if wishes.job:
            rows = [row for row in _rows(session, job_asked(session, wishes.job)) if not row.omitted]
            for change in told:
                if change.now is not None and change.before is not None:
                    chosen = (
                        select(ShotPick.entry_id)
                        .where(ShotPick.shot_id == rows[change.before].id)
                        .order_by(ShotPick.id)
                    )
                    picks[change.now] = tuple(session.scalars(chosen))
        for number, codes in wishes.picks.items():
            place = _place_of(listing.shots, number)
            picks[place] = tuple(queries.entry(session, code).id for code in codes)
    return picks


def _place_of(shots: Sequence[Shot], number: str) -> int:
    """The place of the shot with this number, `A5` or `A_5` where spots share numbers. Raises NotFound."""
    wanted = number.strip().upper().replace("_", "").lstrip("0")
    for place, shot in enumerate(shots):
        if wanted in (shot.number.upper().lstrip("0"), f"{shot.spot}{shot.number}".upper()):
            return place
    raise NotFound(
        f"there is no shot {number} in the list", f"it has {', '.join(s.number for s in shots[:30])}"
    )


def _led(lib: Library, shot: ShotPulled, entries: Sequence[int], cautions: Cautions) -> ShotPulled:
    """The shot with the chosen drawings before all others, each at the need that it serves best."""
    if not entries:
        return shot
    with lib.reading() as session:
        cards = queries.cards(session, list(entries))
    needs = list(shot.needs)
    for entry in reversed(entries):
        if entry not in cards:
            continue
        place = _best_need(needs, cards[entry])
        judged = needs[place].judged.get(entry, _CHOSEN)
        if judged.fit == NO or judged.alter == (LOOK_AT_IT,):
            judged = _CHOSEN  # the artist's choice serves, whatever its words say
        offer = Offer(
            cards[entry], judged.fit, max(judged.score, 1.0), ("chosen", *judged.why), judged.alter,
            cautions.of(entry), True,
        )  # fmt: skip
        others = [o for o in needs[place].offers if o.card.id != entry]
        needs[place] = replace(needs[place], offers=(offer, *others)[: pulling.OFFERED])
    return pulling.settled(replace(shot, needs=tuple(needs)))


def _best_need(needs: Sequence[NeedPulled], card: queries.Card) -> int:
    free = [
        place for place, need in enumerate(needs) if (need.need.kind == "place") == (card.role == "backdrop")
    ]
    fits = {YES: 2, NO: 0}
    return max(
        free or [0],
        key=lambda place: (fits.get(needs[place].judged.get(card.id, _UNKNOWN).fit, 1), -place),
    )


_CHOSEN, _UNKNOWN = Judgement(YES, 1.0), Judgement(NO, 0.0)


# --- keeping the list -------------------------------------------------------------------


def _keep(
    lib: Library,
    job_name: str,
    found: Sequence[ShotPulled],
    before: Sequence[Shot],
    told: Sequence[Change],
    picks: Mapping[int, tuple[int, ...]],
    omitted: Sequence[str],
) -> None:
    """Keep the list and the choices in the job; what was omitted stays, marked so."""
    with lib.transaction(f"shot list of {job_name}") as session:
        job = job_asked(session, job_name)
        rows = [row for row in _rows(session, job) if not row.omitted]
        for change in told:
            if change.now is None:
                assert change.before is not None
                rows[change.before].omitted = True
                continue
            row = rows[change.before] if change.before is not None else None
            row = _kept_row(lib, session, job, row, found[change.now], change.now)
            _keep_picks(session, row, picks.get(change.now, ()))
        _keep_omitted(lib, session, job, omitted)


def _keep_omitted(lib: Library, session: Session, job: Job, numbers: Sequence[str]) -> None:
    """Keep the numbers that a list says are omitted, so that the job's own sheet says so, too."""
    session.flush()
    rows = _rows(session, job)
    known = {row.number for row in rows if row.omitted}
    for number in dict.fromkeys(numbers):
        if number not in known:
            session.add(
                JobShot(
                    job_id=job.id, spot="", number=number, text="", heading="", ordinal=len(rows), served=NO,
                    lacking=[], omitted=True, pulled_at=lib.now(),
                )
            )  # fmt: skip


def _kept_row(
    lib: Library, session: Session, job: Job, row: JobShot | None, pulled: ShotPulled, ordinal: int
) -> JobShot:
    shot = pulled.shot
    lacking = [need.need.text for need in pulled.needs if need.fit == NO and need.need.kind != "place"]
    if row is None:
        row = JobShot(job_id=job.id, omitted=False, pulled_at=lib.now())
        session.add(row)
    said = {
        "spot": shot.spot, "number": shot.number, "text": shot.text, "heading": shot.heading,
        "ordinal": ordinal, "served": pulled.served, "lacking": lacking,
    }  # fmt: skip
    for name, value in said.items():
        if getattr(row, name, None) != value:
            setattr(row, name, value)
    session.flush()
    return row


def _keep_picks(session: Session, row: JobShot, entries: Sequence[int]) -> None:
    there = list(session.scalars(select(ShotPick).where(ShotPick.shot_id == row.id).order_by(ShotPick.id)))
    if [pick.entry_id for pick in there] == list(entries):
        return
    for pick in there:
        session.delete(pick)
    session.flush()
    for entry in entries:
        session.add(ShotPick(shot_id=row.id, entry_id=entry))
        session.flush()


# --- frames -----------------------------------------------------------------------------


def plan_for(
    lib: Library, folder: Path, job: str | None, frame: Frame | None, round_: int | None, **more: object
) -> Plan:
    """How a job's frames are made: its frame and round, unless others are asked for. Raises WrongUsage."""
    if folder.exists() and not folder.is_dir():
        raise WrongUsage(f"{folder} is a file, not a folder for frames")
    if round_ is not None and not 1 <= round_ <= 99:
        raise WrongUsage(f"there is no round {round_}")
    with lib.reading() as session:
        asked = job_asked(session, job) if job else None
        last = (asked.round if asked else None) or 1
    chosen = frame or frame_of(lib, job) or USUAL_FRAME
    return Plan(folder, chosen, round_ or last, **more)  # type: ignore[arg-type]


def write_frames(
    lib: Library, sheet: Pull, plan: Plan, progress: Progress = SILENT
) -> tuple[Pull, list[FrameNote]]:
    """Begin a frame for every shot that is served; the sheet with their paths, and what became of each.

    A file that changed since it was written is left as it is, and a new one stands beside it.
    """
    plan.folder.mkdir(parents=True, exist_ok=True)
    notes: list[FrameNote] = []
    laid: dict[str, ShotPulled] = {}
    with lib.one_step(f"frames of {sheet.job or 'a list'}"):
        for board in boards.boards(lib, sheet.shots, plan, progress):
            notes.append(_write(lib, sheet.job, plan, board))
            if board.pulled is not None:
                laid[_called(board.shot)] = board.pulled
        if sheet.job:
            with lib.transaction() as session:
                job_asked(session, sheet.job).round = plan.round
    by_shot: dict[tuple[str, str], list[str]] = {}
    for note, board_shot in zip(notes, [note.shot for note in notes], strict=True):
        by_shot.setdefault(("", board_shot), []).append(str(note.path))
    shots = tuple(
        replace(laid.get(_called(shot.shot), shot), frames=tuple(by_shot.get(("", _called(shot.shot)), ())))
        for shot in sheet.shots
    )
    return replace(sheet, shots=shots), notes


def _called(shot: Shot) -> str:
    return f"{shot.spot}{shot.number}"


def _write(lib: Library, job: str | None, plan: Plan, board: Board) -> FrameNote:
    row_id, known = _known(lib, job, board, plan)
    standing = next((note for note in reversed(known) if Path(note[0]).exists()), None)
    if standing is not None and standing[2] == board.made_of:
        path = Path(standing[0])
        begun, now = (name.rpartition("_r")[0] for name in (path.stem, board.name))
        return FrameNote(path, "kept", _called(board.shot), begun != now)
    path, state = frame_files.target(lib, plan, board, row_id, standing)
    sha256 = boards.write_board(board, path)
    if row_id is not None:
        _note_written(lib, row_id, board, plan, path, sha256)
    return FrameNote(path, state, _called(board.shot))


def _known(
    lib: Library, job: str | None, board: Board, plan: Plan
) -> tuple[int | None, list[tuple[str, str, str]]]:
    """The row of a board's shot in its job, and the files of the frame: path, SHA-256, what it was made of."""
    if job is None:
        return None, []
    with lib.reading() as session:
        rows = _rows(session, job_asked(session, job))
        row = next((r for r in rows if not r.omitted and _shot(r) == board.shot), None)
        if row is None:
            return None, []
        files = session.scalars(
            select(FrameFile)
            .where(
                FrameFile.shot_id == row.id, FrameFile.letter == board.letter, FrameFile.round == plan.round
            )
            .order_by(FrameFile.id)
        )
        inside = str(plan.folder.resolve())
        return row.id, [(f.path, f.sha256, f.made_of) for f in files if str(Path(f.path).parent) == inside]


def _note_written(lib: Library, row_id: int, board: Board, plan: Plan, path: Path, sha256: str) -> None:
    """Keep what was written, and a use for each drawing that is seen; the same drawing in the same frame adds none."""
    with lib.transaction(f"frame {path.name} begun") as session:
        row = session.get_one(JobShot, row_id)
        session.add(
            FrameFile(
                shot_id=row.id, letter=board.letter, round=plan.round, path=str(path.resolve()), sha256=sha256,
                made_of=board.made_of, written_at=lib.now(),
            )
        )  # fmt: skip
        shot = f"{row.number}{board.letter}"
        there = select(Version.entry_id).join(Use, Use.version_id == Version.id).where(
            Use.job_id == row.job_id, Use.shot == shot, Use.frame == path.name, Use.voided_at.is_(None)
        )  # fmt: skip
        used = set(session.scalars(there))
        for stood in board.stood:
            entry = session.get_one(Version, stood.judged.version_id).entry_id
            if stood.visible and entry not in used:
                placing = pasting.placing_of(stood.place, path.name, shot, row.job_id, sha256)
                record_use(lib, session, stood.judged, placing)


def has_no_drawings(lib: Library) -> bool:
    """Whether nothing is on the shelf that could serve a shot."""
    with lib.reading() as session:
        return session.scalar(select(Entry.id).where(~Entry.in_attic).limit(1)) is None


def gaps(lib: Library) -> list[tuple[str, int]]:
    """What the library lacked over all jobs, most asked first."""
    with lib.reading() as session:
        rows = session.scalars(select(JobShot.lacking).where(~JobShot.omitted))
        asked = Counter(text.casefold() for lacking in rows for text in lacking)
    return sorted(asked.items(), key=lambda row: (-row[1], row[0]))
