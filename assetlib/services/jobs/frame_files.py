"""Which file a frame is written to, and which are left over: what was drawn on, or is another shot's, stays."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select

from assetlib.catalogue.work import FrameFile, JobShot
from assetlib.library import Library
from assetlib.services.jobs import boards, pasting
from assetlib.services.jobs.boards import Board, Plan
from assetlib.services.jobs.jobs import job_asked


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A frame in the folder that the list asks for no more: its shot and letter, and why it is left over."""

    path: Path
    shot: str
    why: str


SHOT_GONE, LINE_CHANGED = "its shot is no longer in the list", "it shows its shot as the line was before"
NO_LONGER_ASKED = "the list asks for no such frame any more"


def target(
    lib: Library, plan: Plan, board: Board, row_id: int | None, standing: tuple[str, str, str] | None
) -> tuple[Path, str]:
    """Where a frame is written: over the one that nobody drew on since it was written, else on a free path."""
    first = plan.folder / f"{board.name}{plan.ending}"
    if not first.exists():
        return first, "written"
    if row_id is None:
        return boards.free_path(plan.folder, board.name, plan.ending), "taken"
    last = Path(standing[0]) if standing is not None else first
    own = re.fullmatch(rf"{re.escape(board.name)}(_\d+)?{re.escape(plan.ending)}", last.name)
    drawn_on = False
    for path in dict.fromkeys([plan.folder / last.name, first] if own else [first]):
        written = _written_for(lib, path, row_id)
        if written is not None and written == pasting.digest_of(path):
            return path, "written"
        drawn_on = drawn_on or written is not None
    return boards.free_path(plan.folder, board.name, plan.ending), "beside" if drawn_on else "taken"


def _written_for(lib: Library, path: Path, row_id: int) -> str | None:
    """SHA-256 of a frame as it was last written; None where it is no frame of this shot or of an omitted one."""
    with lib.reading() as session:
        found = session.scalar(
            select(FrameFile)
            .where(FrameFile.path == str(path.resolve()))
            .order_by(FrameFile.id.desc())
            .limit(1)
        )
        row, own = (session.get(JobShot, found.shot_id) if found else None), session.get_one(JobShot, row_id)
        if found is None or row is None or row.job_id != own.job_id:
            return None
        return found.sha256 if row.id == row_id or row.omitted else None


def left_over(lib: Library, job: str | None, plan: Plan, written: Iterable[Path]) -> list[LeftOver]:
    """Frames of this round that stand in the folder though the list changed since; `written` are those it asks for."""
    if job is None:
        return []
    inside, kept = plan.folder.resolve(), {path.resolve() for path in written}
    with lib.reading() as session:
        rows = session.execute(
            select(FrameFile, JobShot)
            .join(JobShot, JobShot.id == FrameFile.shot_id)
            .where(JobShot.job_id == job_asked(session, job).id, FrameFile.round == plan.round)
            .order_by(FrameFile.id)
        )
        # a path that was written for several shots is the last one's
        last = {Path(file.path): (file, shot) for file, shot in rows}
    # beside one that was drawn on a new one stands, which was told when it was written
    beside = {(file.shot_id, file.letter) for path, (file, _) in last.items() if path in kept}
    found = [
        LeftOver(path, f"{shot.spot}{shot.number}{file.letter}", _why(file, shot))
        for path, (file, shot) in last.items()
        if path.parent == inside
        and path not in kept
        and (file.shot_id, file.letter) not in beside
        and path.exists()
    ]
    return sorted(found, key=lambda row: row.path.name)


def _why(file: FrameFile, shot: JobShot) -> str:
    if shot.omitted:
        return SHOT_GONE
    return NO_LONGER_ASKED if f" {shot.text} | " in file.made_of else LINE_CHANGED
