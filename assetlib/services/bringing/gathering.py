"""Which files a bringing-in means: files and folders in any mix, links followed once, each failure with its reason."""

from __future__ import annotations

import os
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
        path = Path(os.path.abspath(path.expanduser()))
        if path.is_dir():
            found: Iterable[Path | Unreadable] = _walk(path, suffixes, leave_out, set())
        elif path.is_file():
            found = (path,)
        else:
            reason = "the link leads nowhere" if path.is_symlink() else "there is no such file"
            found = (Unreadable(path, reason if not path.exists() else "it is not a file"),)
        for item in found:
            if isinstance(item, Unreadable):
                yield item
            elif (name := os.path.normcase(item)) not in seen:
                seen.add(name)
                yield item


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
        path = Path(entry.path)
        if entry.is_dir():
            yield from _walk(path, suffixes, leave_out, above | {identity})
        elif path.suffix.lower() in suffixes:
            yield path if entry.is_file() else Unreadable(path, "the link leads nowhere")


def plain_reason(error: OSError) -> str:
    """What went wrong with a file, in plain words."""
    if isinstance(error, PermissionError):
        return "no permission to read it"
    if isinstance(error, FileNotFoundError):
        return "it is no longer there"
    return (error.strerror or str(error)).lower()


def path_text(path: Path) -> str:
    """The path as text that any database and screen takes; bytes that are no text stand as escapes."""
    return str(path).encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
