"""Healing: originals, papers and bundles that were lost or altered get their right bytes back where these pass by."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import queries
from assetlib.catalogue.proving import Named, named_files
from assetlib.errors import NotFound
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.copying import SourceRotten, copy_whole
from assetlib.storage.durable import READ_ONLY, is_inside, is_plain, set_mode


@dataclass(frozen=True, slots=True)
class Unwell:
    """A file that the catalogue names and that is missing or altered."""

    file: Named
    missing: bool

    @property
    def label(self) -> str:
        """What it is called in a sentence."""
        if self.file.store == "bundles":
            return f"the issued bundle {self.file.name}"
        return f"the {self.file.store.removesuffix('s')} {self.file.digest[:12]}"


def named(lib: Library) -> list[Named]:
    """Every file that the catalogue names and that cannot be made again; what was removed for good is left out."""
    with lib.reading() as session:
        return list(named_files(queries.plain_connection(session)))


def unwell(lib: Library, *, quick: bool = False, progress: Progress = SILENT) -> Iterator[Unwell]:
    """Files that are missing or altered; `quick` looks at sizes alone."""
    files = named(lib)
    for item in progress.track(files, "checking originals", len(files)):
        path = lib.folder / item.store / item.name
        if not is_plain(path):
            yield Unwell(item, missing=True)
        elif (item.size is not None and path.stat().st_size != item.size) or not (
            quick or _is_right(item, path)
        ):
            yield Unwell(item, missing=False)


def heal(lib: Library, wanted: list[Unwell], folder: Path, progress: Progress = SILENT) -> list[Unwell]:
    """What could be healed from a folder: a backup, another copy of the library, or any drawings. It is only read.

    Files are known by their bytes, whatever they are called. Raises NotFound where there is no such folder.
    """
    folder = folder.expanduser().resolve()
    if not folder.is_dir():
        raise NotFound(f"there is no folder {folder}")
    digests = {item.file.digest: item for item in wanted}
    sizes: set[int | None] = {item.file.size for item in wanted if item.file.size is not None}
    healed: list[Unwell] = []
    for path in progress.track(_files(folder, lib.folder), "looking for lost files"):
        if not digests:
            break
        digest = _digest(path, digests, sizes)
        if digest in digests and _put(lib, digests[digest], path):
            healed.append(digests.pop(digest))
    return healed


def _files(folder: Path, leave_out: Path) -> Iterator[Path]:
    for place, folders, names in os.walk(folder):
        folders[:] = [name for name in sorted(folders) if Path(place, name).resolve() != leave_out]
        yield from (Path(place, name) for name in sorted(names))


def _digest(path: Path, digests: dict[str, Unwell], sizes: set[int | None]) -> str:
    """The digest of a file that may be one of those looked for, else nothing: others are not read."""
    try:
        if not is_plain(path) or (path.stat().st_size not in sizes and path.name not in digests):
            return ""
        return digest_of_file(path)
    except OSError:
        return ""


def _put(lib: Library, item: Unwell, source: Path) -> bool:
    target = lib.folder / item.file.store / item.file.name
    if not is_inside(target.parent, lib.folder):
        return False
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        copy_whole(source, target, item.file.digest)
    except SourceRotten:
        return False
    if item.file.store != "bundles":
        set_mode(target, READ_ONLY)
    return True


def _is_right(item: Named, path: Path) -> bool:
    try:
        return digest_of_file(path) == item.digest
    except OSError:
        return False
