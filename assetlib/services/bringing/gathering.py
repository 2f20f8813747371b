"""Which files a bringing-in means: files and folders in any mix, links followed once, each failure with its reason."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A path that cannot be brought in, and why."""

    source: Path
    reason: str


def gather(
    paths: Iterable[Path], suffixes: frozenset[str], *, leave_out: Path
) -> Iterator[Path | Unreadable]:
    """The files that `paths` name, each once, folders in the order of their names.

    A file named outright is always taken; of a folder's files those with one of
    `suffixes` (lower case, with the dot), hidden ones left. The library's own
    folder `leave_out` is never walked.
    """
    seen: set[str] = set()
    for path in paths:
        for item in _named(path, suffixes, leave_out):
            if isinstance(item, Unreadable):
                yield item
            elif (name := os.path.normcase(item)) not in seen:
                seen.add(name)
                yield item


def _named(path: Path, suffixes: frozenset[str], leave_out: Path) -> Iterable[Path | Unreadable]:
    """The files that one path means."""
    try:
        path = Path(os.path.abspath(path.expanduser()))
        status = path.stat()
    except FileNotFoundError:
        return (Unreadable(path, LEADS_NOWHERE if path.is_symlink() else "there is no such file"),)
    except (
        OSError,
        ValueError,
        RuntimeError,
    ) as error:  # a link at itself, a name too long, a home there is not
        return (Unreadable(path, plain_reason(error)),)
    if stat.S_ISDIR(status.st_mode):
        return _walk(path, suffixes, leave_out, set())
    return (path,) if stat.S_ISREG(status.st_mode) else (Unreadable(path, "it is not a file"),)


def _kind(entry: os.DirEntry[str]) -> int | Unreadable:
    """The file type bits of what stands in a folder, links followed."""
    path = Path(entry.path)
    try:
        return stat.S_IFMT(entry.stat().st_mode)
    except FileNotFoundError:
        return Unreadable(path, LEADS_NOWHERE)
    except OSError as error:
        return Unreadable(path, plain_reason(error))


def _walk(
    folder: Path, suffixes: frozenset[str], leave_out: Path, above: set[tuple[int, int]]
) -> Iterator[Path | Unreadable]:
    """Files below `folder`; `above` holds the identity of the folders around it, so that a link loop ends."""
    try:
        status = folder.stat()
        names = sorted(os.scandir(folder), key=lambda entry: (entry.name.casefold(), entry.name))
    except OSError as error:
        yield Unreadable(folder, plain_reason(error))
        return
    identity = (status.st_dev, status.st_ino)
    if folder.resolve() == leave_out:
        return
    if identity in above:
        yield Unreadable(folder, "the link leads back to a folder it stands in")
        return
    for entry in names:
        if entry.name.startswith("."):
            continue
        path, kind = Path(entry.path), _kind(entry)
        if kind == stat.S_IFDIR:
            yield from _walk(path, suffixes, leave_out, above | {identity})
        elif path.suffix.lower() not in suffixes:
            continue
        elif isinstance(kind, Unreadable):
            yield kind
        else:
            yield path if kind == stat.S_IFREG else Unreadable(path, "it is not a file")


def plain_reason(error: Exception) -> str:
    """What went wrong with a file, in plain words."""
    if not isinstance(error, OSError):
        return str(error).lower()
    if error.errno == errno.ELOOP:
        return "the link leads back to itself"
    if isinstance(error, PermissionError):
        return "no permission to read it"
    if isinstance(error, FileNotFoundError):
        return "it is no longer there"
    return (error.strerror or str(error)).lower()


LEADS_NOWHERE = "the link leads nowhere"


def path_text(path: Path) -> str:
    """The path as text that any database and screen takes; bytes that are no text stand as escapes."""
    return str(path).encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
