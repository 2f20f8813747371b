"""Clean copies taken along: made, changed and written as files to a folder of the artist's."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from assetlib.catalogue import queries
from assetlib.errors import WrongUsage, disk_said_plainly
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.words.file_names import file_name
from assetlib.services.bringing.clean_copies import Changes, Copies, make, wanted
from assetlib.services.versions import choices
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.copying import copy_whole
from assetlib.storage.durable import hand_out, is_plain


@dataclass(slots=True)
class TakenAlong:
    """Files that were written, and those that were there already just as they would be."""

    written: list[Path] = field(default_factory=list)
    there: list[Path] = field(default_factory=list)


def make_all(
    lib: Library,
    codes: Sequence[str],
    changes: Changes = Changes(),
    *,
    to: Path | None = None,
    replace: bool = False,
    progress: Progress = SILENT,
) -> tuple[list[Copies], TakenAlong]:
    """The clean copies of several entries after the changes, as one step, and what became of files in the folder `to`.

    Files there that would be others are left, unless `replace` puts the new ones in their place. Raises as `make`
    does; WrongUsage where the folder would not take the files, before anything is changed.
    """
    if len(codes) > 1 and changes.by_place:
        raise WrongUsage("openings have numbers of their own on every drawing", "give one code with them")
    if to is not None:
        _check_folder(to)
        if not replace:
            _refuse_others(lib, codes, changes, to)
    made, taken = [], TakenAlong()
    what = f"clean copies of {len(codes)} drawings" if len(codes) > 1 else f"clean copy of {codes[0]}"
    with lib.one_step(what):
        for code in progress.track(codes, "clean copies", len(codes) if len(codes) > 1 else 0):
            made.append(make(lib, code, changes))
            if to is not None:
                one = export(made[-1], to, replace=replace)
                taken.written += one.written
                taken.there += one.there
    return made, taken


def export(copies: Copies, folder: Path, *, replace: bool = False) -> TakenAlong:
    """Copies of the three files in `folder`, named by title and code.

    A file that is there already stays, and where it is another it is refused unless `replace` is said.
    Raises WrongUsage for that and where the folder is none, DiskFull, DiskFails.
    """
    taken = TakenAlong()
    with disk_said_plainly(folder):
        if folder.exists() and not folder.is_dir():
            raise WrongUsage(f"{folder} is a file, not a folder", "name a folder")
        folder.mkdir(parents=True, exist_ok=True)
        for source, target in _files(copies, folder):
            digest = digest_of_file(source)
            if _is_same(target, digest):
                taken.there.append(target)
                continue
            if target.exists() and (not replace or not is_plain(target)):
                raise _another([target])
            copy_whole(source, target, digest)
            hand_out(target)
            taken.written.append(target)
    return taken


def _check_folder(folder: Path) -> None:
    """Raise WrongUsage where the folder is none or cannot be written in."""
    if folder.is_file():
        raise WrongUsage(f"{folder} is a file, no folder", "name a folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise WrongUsage(
            f"nothing can be written to {folder} ({error.strerror})", "name another folder"
        ) from error


def _refuse_others(lib: Library, codes: Sequence[str], changes: Changes, folder: Path) -> None:
    """Raise WrongUsage where files are there that would be others after the changes."""
    others = []
    for code in codes:
        with lib.reading() as session:
            entry = queries.entry(session, code)
            named = _targets(queries.cards(session, [entry.id])[entry.id], folder).values()
        if not any(target.exists() for target in named):
            continue
        copies = make(lib, code)
        with lib.reading() as session:
            there = choices(session, copies.judged.cut_id)
        changed = wanted(there, copies, changes) != there
        others += [
            target
            for source, target in _files(copies, folder)
            if target.exists() and (changed or not _is_same(target, digest_of_file(source)))
        ]
    if others:
        raise _another(others)


def _another(targets: Sequence[Path]) -> WrongUsage:
    more = f", and so would {len(targets) - 1} more" if len(targets) > 1 else ""
    return WrongUsage(
        f"{targets[0]} is there already and would be replaced{more}",
        "--replace does that; or name another folder",
    )


def _files(copies: Copies, folder: Path) -> list[tuple[Path, Path]]:
    """The three files of a copy, each with the path that it gets in the folder."""
    targets = _targets(copies.card, folder)
    return [
        (copies.ink, targets["ink"]),
        (copies.body, targets["body"]),
        (copies.mask, targets["mask"]),
    ]


def _targets(card: queries.Card, folder: Path) -> dict[str, Path]:
    return {
        kind: folder / f"{file_name(card.title)} {card.code} {kind}.png" for kind in ("ink", "body", "mask")
    }


def _is_same(target: Path, digest: str) -> bool:
    return is_plain(target) and digest_of_file(target) == digest
