"""Every failure a user can meet: a sentence, an exit code, and a kind for programs. All of them stand here.

Exit codes: 0 done; 1 done, some items had problems; 2 wrong usage; 10-39 the
named errors below; 70 unexpected; 130 interrupted. `cli.main` alone prints them.
A new failure is a class here with a code and a kind of its own, its kind in
`cli/answers.schema.json` and its code in README's list.
"""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class AssetlibError(Exception):
    """A failure with a sentence for the user and, where there is one, a way out."""

    exit_code = 10
    kind = "failed"
    """One word for programs; `--json` answers with it."""

    def __init__(self, sentence: str, hint: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.hint = hint


class WrongUsage(AssetlibError):
    """The command was asked for something it cannot mean."""

    exit_code = 2
    kind = "wrong-usage"


class NoLibrary(AssetlibError):
    """No library was found where one was looked for."""

    exit_code = 11
    kind = "no-library"


class LibraryTooNew(AssetlibError):
    """The library was written by a newer assetlib than this one."""

    exit_code = 12
    kind = "library-too-new"


class LibraryBroken(AssetlibError):
    """The catalogue or the store cannot be relied on."""

    exit_code = 13
    kind = "library-damaged"


class LibraryBusy(AssetlibError):
    """Another process held the catalogue for longer than the busy wait."""

    exit_code = 14
    kind = "busy"


class NotFound(AssetlibError):
    """A code, path or name that was asked for is not there."""

    exit_code = 15
    kind = "not-found"


class AmbiguousCode(AssetlibError):
    """The beginning of a code fits several things."""

    exit_code = 16
    kind = "code-not-unique"


class BadPicture(AssetlibError):
    """A file that cannot be read as a drawing; the rest of a batch goes on."""

    exit_code = 17
    kind = "unreadable-picture"


class NotClear(AssetlibError):
    """A drawing in the collection may not be sold as things stand."""

    exit_code = 20
    kind = "not-clear"


class BundleInvalid(AssetlibError):
    """A bundle does not hold what it says it holds."""

    exit_code = 21
    kind = "bundle-damaged"


class BadSettings(AssetlibError):
    """The settings file has a key or value that is not understood."""

    exit_code = 22
    kind = "settings-not-understood"


class Moved(AssetlibError):
    """A drawing was redrawn or cut again between being looked at and being kept."""

    exit_code = 25
    kind = "moved"


class DiskFull(AssetlibError):
    """There is no room left where the library lives."""

    exit_code = 23
    kind = "disk-full"


class DiskFails(AssetlibError):
    """A disk or drive refuses to read or write, for another reason than a lack of room."""

    exit_code = 27
    kind = "disk-fails"


class BackupRefused(AssetlibError):
    """A backup would mix two libraries, or put an older state after a newer one."""

    exit_code = 26
    kind = "backup-refused"


class MissingExtra(AssetlibError):
    """An optional part of assetlib is needed and is not installed."""

    exit_code = 24
    kind = "optional-part-missing"


class NoVectors(AssetlibError):
    """There is nothing yet to look through for what looks alike."""

    exit_code = 33
    kind = "nothing-to-look-through"


class ModelBroken(AssetlibError):
    """A model's folder or file is missing, damaged, or holds something else than its description says."""

    exit_code = 34
    kind = "model-damaged"


class CannotExport(AssetlibError):
    """A model that assetlib cannot turn into files of its own."""

    exit_code = 35
    kind = "model-not-taken"


class TooFewDescribed(AssetlibError):
    """There are too few described drawings to measure anything by."""

    exit_code = 36
    kind = "too-few-described"


class Stopped(AssetlibError):
    """The artist stopped long work; what was done so far stands, and the same command goes on with the rest."""

    exit_code = 130
    """128 + SIGINT, as shells count."""

    kind = "interrupted"


UNEXPECTED, UNEXPECTED_KIND = 70, "unforeseen"
"""A failure that nobody foresaw."""


_NO_NAME = {errno.ENAMETOOLONG, errno.ELOOP}

_NO_ROOM = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}


@contextmanager
def disk_said_plainly(folder: Path) -> Iterator[None]:
    """Turn the system's "no space" into `DiskFull`, and whatever else a disk refuses into `DiskFails`."""
    try:
        yield
    except OSError as error:
        raise refused(error, folder) from error


def refused(error: OSError, folder: Path | None = None) -> AssetlibError:
    """What the system said of a file, as a sentence."""
    place = folder or error.filename or "the disk"
    if error.errno in _NO_ROOM:
        return DiskFull(f"There is no room left in {place}.", "Free some space and run the same again.")
    if error.errno in _NO_NAME:
        return WrongUsage(f"{place!s:.120}… is no name for a file: {(error.strerror or str(error)).lower()}")
    return DiskFails(
        f"{error.filename or place}: {(error.strerror or str(error)).lower()}",
        "see whether the disk is there, whole and open to you, then run the same again",
    )


def is_no_room(error: OSError) -> bool:
    """Whether the system says that a disk or a quota is full."""
    return error.errno in _NO_ROOM
