"""Which file a frame is written to: what was drawn on, and what is another shot's, is never replaced."""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import select

from assetlib.catalogue.work import FrameFile, JobShot
from assetlib.library import Library
from assetlib.services.jobs import boards, pasting
from assetlib.services.jobs.boards import Board, Plan


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
