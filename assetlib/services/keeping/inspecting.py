"""Proving a backup without the library that it was made of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import proving
from assetlib.errors import LibraryBroken, NotFound
from assetlib.library import CATALOGUE
from assetlib.progress import SILENT, Progress
from assetlib.storage import generations
from assetlib.storage.blobs import Digest, digest_of_file
from assetlib.storage.durable import is_plain
from assetlib.storage.generations import BackupFolder, Stored


@dataclass(frozen=True, slots=True)
class GenerationCheck:
    """What was found in one generation; `problems` is empty where it is whole."""

    number: int
    made_at: str
    files: int
    problems: tuple[str, ...]


def check_backup(target: Path, progress: Progress = SILENT) -> list[GenerationCheck]:
    """Each generation of a backup proven without its library: catalogue, counts, and every file byte for byte.

    Raises NotFound where there is no backup.
    """
    folder = BackupFolder(target.expanduser().resolve())
    if not folder.exists():
        if is_plain(folder.root / CATALOGUE):
            return [_check_old(folder.root)]
        raise NotFound(f"there is no backup in {folder.root}")
    numbers = folder.numbers()
    lists = {number: _list_of(folder, number) for number in numbers}
    wanted = sorted({item for found in lists.values() for item in found[0]}, key=lambda item: item.digest)
    removed = folder.removed()
    bad = {
        item
        for item in progress.track(wanted, "reading the backup", len(wanted))
        if item.digest not in removed and not folder.store(item.store).verify(item.digest)
    }
    return [_check_one(folder, number, *lists[number], bad) for number in numbers]


def _list_of(folder: BackupFolder, number: int) -> tuple[set[Stored], list[str]]:
    try:
        return set(folder.listed(number)), []
    except LibraryBroken as error:
        return set(), [error.sentence]


def _check_one(
    folder: BackupFolder, number: int, listed: set[Stored], problems: list[str], bad: set[Stored]
) -> GenerationCheck:
    made_at = ""
    found = list(problems)
    catalogue = folder.folder(number) / generations.CATALOGUE
    try:
        note = folder.note(number)
        made_at = note.made_at
        if not is_plain(catalogue) or digest_of_file(catalogue) != note.catalogue:
            found.append("its catalogue is not the one that was saved")
        proof = proving.prove(catalogue)
        if proof.counts != note.counts or proof.library != note.library or len(listed) != note.files:
            found.append("its catalogue, its list and its note do not agree")
        with proving.reading_file(catalogue) as connection:
            named = {Stored(item.store, Digest(item.digest)) for item in proving.named_files(connection)}
        found += [f"could not be saved at the time: {name}" for name in note.lost]
        found += [
            f"{item.store}/{item.digest[:12]} is not in its list"
            for item in sorted(named - listed, key=lambda item: item.digest)
            if not any(item.digest in name or item.store == "bundles" for name in note.lost)
        ]
    except (LibraryBroken, OSError) as error:
        found.append(getattr(error, "sentence", str(error)))
    found += [
        f"{item.store}/{item.digest[:12]} is missing or no longer what was saved"
        for item in sorted(listed & bad, key=lambda item: item.digest)
    ]
    return GenerationCheck(number, made_at, len(listed), tuple(found))


def _check_old(root: Path) -> GenerationCheck:
    """A backup from before generations."""
    proving.prove(root / CATALOGUE)
    with proving.reading_file(root / CATALOGUE) as connection:
        named = list(proving.named_files(connection))
    return GenerationCheck(0, "", len(named), tuple(_old_problems(root, named)))


def _old_problems(root: Path, named: list[proving.Named]) -> Iterator[str]:
    for item in named:
        path = root / item.store / item.name
        if not is_plain(path) or digest_of_file(path) != item.digest:
            yield f"{item.store}/{item.name} is missing or no longer what was saved"
