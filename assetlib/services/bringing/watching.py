"""Watching a folder: what is saved into it comes in by itself, once it has stopped growing."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from assetlib.errors import AssetlibError, WrongUsage
from assetlib.imaging.formats import SUFFIXES
from assetlib.library import Library
from assetlib.services.bringing.arrivals import Wishes
from assetlib.services.bringing.taking_in import Extras, take_in
from assetlib.services.keeping import attic

SECONDS = 1.0
"""Between two looks at the folder."""

STILL = 3
"""Looks at which a file has to be the same before it comes in: a program that saves in two steps, the picture and then
what is said of it, is waited for between them. Common practice, no source."""

State = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Came:
    """A file that came in, or could not: the code of its drawing, the code it takes the place of, or the reason.

    `known` says by what it is there already; empty where it is new.
    """

    path: Path
    code: str = ""
    instead_of: str = ""
    reason: str = ""
    known: str = ""


@dataclass(slots=True)
class Watch:
    """What is known of a folder while it is watched. Safe-saving by renaming is one change of the file it ends as."""

    lib: Library
    folder: Path
    wishes: Wishes
    seen: dict[Path, tuple[State, int]] = field(default_factory=dict)
    """Files as they were at the last look, and at how many looks they have been the same."""
    done: dict[Path, State] = field(default_factory=dict)
    """Files as they were when they came in, or when the watch began."""
    codes: dict[Path, str] = field(default_factory=dict)
    """The drawing that the last state of a file became."""
    told: dict[Path, str] = field(default_factory=dict)
    """The drawing that a file was told to be already."""

    def begin(self) -> None:
        """Take what is there already for known. Raises WrongUsage where there is no folder."""
        if not self.folder.is_dir():
            raise WrongUsage(f"there is no folder {self.folder} to be watched")
        self.done = dict(_states(self.folder))

    def look(self) -> list[Came]:
        """What came in at this look: files that changed and then stayed the same for some looks."""
        now = dict(_states(self.folder))
        before, self.seen = self.seen, {}
        for path, state in now.items():
            last, looks = before.get(path, (None, 0))
            self.seen[path] = state, looks + 1 if last == state else 1
        ready = [p for p, (state, looks) in self.seen.items() if looks >= STILL and state != self.done.get(p)]
        came = [self._take(path, now[path]) for path in sorted(ready)]
        return [one for one in came if one is not None]

    def _take(self, path: Path, state: State) -> Came | None:
        """What became of a file; None where it was only saved again as it was."""
        self.done = {**self.done, path: state}
        try:
            report = take_in(self.lib, [path], self.wishes, Extras(later=True)).report
        except AssetlibError as error:
            return Came(path, reason=error.sentence)
        if report.failed:
            return Came(path, reason=report.failed[0].reason)
        if not report.added:
            known = next(iter(report.known), None)
            if known is None or known.code in (self.codes.get(path), self.told.get(path)):
                return None
            self.told[path] = known.code
            return Came(path, known.code, known=known.how)
        code, before = report.added[0].code, self.codes.get(path, "")
        self.codes[path] = code
        if before and before != code and _waits(self.lib, before):
            # the same file, saved again: its last state alone stands in the in-tray
            attic.take_up(self.lib, [before])
        return Came(path, code, before)


def _states(folder: Path) -> Iterator[tuple[Path, State]]:
    for path in folder.iterdir():
        if path.name.startswith((".", "~")) or path.suffix.casefold() not in SUFFIXES or not path.is_file():
            continue
        try:
            found = path.stat()
        except OSError:
            continue  # renamed or gone between the two calls
        if found.st_size:
            yield path, (found.st_size, found.st_mtime_ns)


def _waits(lib: Library, code: str) -> bool:
    """Whether a drawing is still in the in-tray: what was described is the artist's and stays."""
    from assetlib.catalogue import queries

    with lib.reading() as session:
        return queries.entry(session, code).described_at is None


def watch(
    lib: Library,
    folder: Path,
    wishes: Wishes,
    told: Callable[[Came], None],
    pause: Callable[[float], None] = time.sleep,
) -> None:
    """Watch a folder until the pause is interrupted, telling of each file that comes in. Raises WrongUsage."""
    watched = Watch(lib, folder, wishes)
    watched.begin()
    while True:
        for came in watched.look():
            told(came)
        pause(SECONDS)
