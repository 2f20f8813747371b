"""Where things stand in a library: what is there, what waits, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import func, select

from assetlib.catalogue import queries
from assetlib.catalogue.trade import Collection
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.library import Library
from assetlib.rules.roles import ROLES
from assetlib.services.doubles import settling
from assetlib.services.jobs.jobs import in_use
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.safekeeping import LastBackup, last_backup

CLAIMED = tuple(kind for kind in DoubleKind if kind is not DoubleKind.PERHAPS_FAMILY)
"""Kinds of double that are more than a guess."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Counts are of drawings, but for `doubles` (pairs) and `waiting` (the most that any one kind of work has left)."""

    folder: Path
    name: str
    roles: dict[str, int]
    in_tray: int
    uncut: tuple[str, ...]
    """Codes of the sheets of which nothing was cut yet."""
    attic: int
    doubles: int
    waiting: int
    collections: int
    backup: LastBackup | None = None
    job: str | None = None
    """The job in use."""


def standing(lib: Library) -> Standing:
    """How the library stands now; nothing is written."""
    with lib.reading() as session:
        counts = queries.counts(session)
        uncut = tuple(queries.uncut_sheets(session))
        collections = session.scalar(select(func.count()).select_from(Collection)) or 0
    job = in_use(lib)
    undecided = sum(pair.undecided for pair in settling.pairs(lib, kinds=CLAIMED))
    return Standing(
        lib.folder,
        lib.settings.name,
        {role: counts[role] for role in ROLES},
        counts["in-tray"],
        uncut,
        counts["attic"],
        undecided,
        max((row.count for row in upkeep.waiting(lib)), default=0),
        collections,
        last_backup(lib),
        job.name if job else None,
    )
