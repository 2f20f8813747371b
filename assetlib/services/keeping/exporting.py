"""Taking everything along: originals under their names, clean copies, words and records in open formats."""

from __future__ import annotations

import csv
import io
import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from sqlalchemy import select

from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Version
from assetlib.errors import AssetlibError, WrongUsage, disk_said_plainly
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.words import sidecars
from assetlib.services.bringing import clean_copies
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.book import LONGEST, Book, Names
from assetlib.storage.blobs import as_digest, digest_of_file
from assetlib.storage.copying import SourceRotten, copy_whole
from assetlib.storage.durable import is_plain, is_unused, make_private, sweep_staged, write_atomic

MARK = "export.json"
FORMAT = "assetlib-export"
COLUMNS = (
    "code", "uuid", "role", "title", "note", "tags", "facets", "file", "page", "x", "y", "width", "height",
    "ink", "body", "mask", "sure", "sure_why", "added", "described", "in_attic",
)  # fmt: skip
"""Columns of drawings.csv; library.schema.json says what each means."""


@dataclass(frozen=True, slots=True)
class Exported:
    """What was written; `lost` names originals and copies that could not be, with the reason.

    `unsure` are drawings whose clean copy is to be looked at.
    """

    folder: Path
    drawings: int
    originals: int
    copies: int
    lost: tuple[str, ...]
    unsure: tuple[clean_copies.Unsure, ...] = ()


def export(
    lib: Library, folder: Path, *, private: bool = False, made_only: bool = False, progress: Progress = SILENT
) -> Exported:
    """Write the whole library into a folder in open formats, one file after the other; a rerun goes on.

    Without `private` nothing is written that names clients, buyers or papers. `made_only` leaves out clean copies
    that were never made. Raises WrongUsage for a folder that holds something else, DiskFull, DiskFails.
    """
    folder = _target(lib, folder)
    with disk_said_plainly(folder):
        folder.mkdir(parents=True, exist_ok=True)
        make_private(folder)
        sweep_staged(folder)
        write_atomic(folder / MARK, _text({"format": FORMAT, "version": 1, "library": lib.settings.identity}))
        with lib.reading() as session:
            book = Book(session, private)
        lost: list[str] = []
        originals = _write_originals(lib, book, folder, lost, progress)
        copies, unsure = _write_copies(lib, book, folder, made_only, lost, progress)
        _write_sidecars(book, folder, progress)
        document = {"format": FORMAT, "version": 1, "library": {"name": lib.settings.name}, **book.document}
        write_atomic(folder / "library.json", _text(document))
        write_atomic(folder / "drawings.csv", _table(book.drawings))
        write_atomic(folder / "library.schema.json", schema_bytes())
        write_atomic(folder / "words.ttl", sidecars.turtle(book.concepts).encode())
    return Exported(folder, len(book.drawings), originals, copies, tuple(lost), unsure)


def schema_bytes() -> bytes:
    """The documented schema of library.json and drawings.csv (JSON Schema, draft 2020-12)."""
    return resources.files("assetlib.services.keeping").joinpath("export.schema.json").read_bytes()


def _target(lib: Library, folder: Path) -> Path:
    folder = folder.expanduser().resolve()
    if folder == lib.folder or lib.folder in folder.parents or folder in lib.folder.parents:
        raise WrongUsage(f"{folder} and the library lie inside each other", "name a folder elsewhere")
    if folder.exists() and not folder.is_dir():
        raise WrongUsage(f"{folder} is a file, not a folder", "name a folder")
    if not (is_unused(folder) or _is_ours(lib, folder / MARK)):
        raise WrongUsage(f"{folder} is not empty", "name an empty folder, or one of an earlier export")
    return folder


def _is_ours(lib: Library, mark: Path) -> bool:
    try:
        return bool(json.loads(mark.read_text(encoding="utf-8"))["library"] == lib.settings.identity)
    except (OSError, ValueError, KeyError, TypeError):
        return False


def _text(document: dict[str, Any]) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "replace")


def _write_originals(lib: Library, book: Book, folder: Path, lost: list[str], progress: Progress) -> int:
    (folder / "originals").mkdir(exist_ok=True)
    written = 0
    for row in progress.track(book.originals.values(), "originals", len(book.originals)):
        try:
            _copy(lib.originals.path(as_digest(row.sha256)), folder / book.files[row.id], row.sha256)
            written += 1
        except SourceRotten:
            lost.append(f"{book.files[row.id]}: its original is missing or damaged")
    return written


def _copy(source: Path, target: Path, digest: str) -> None:
    if not (is_plain(target) and digest_of_file(target) == digest):
        copy_whole(source, target, digest)


def _write_copies(
    lib: Library, book: Book, folder: Path, made_only: bool, lost: list[str], progress: Progress
) -> tuple[int, tuple[clean_copies.Unsure, ...]]:
    """Write the clean copies; returns how many files there are, and the drawings that are to be looked at."""
    (folder / "clean").mkdir(exist_ok=True)
    wanted = [entry for entry in book.entries.values() if entry.role == "element" and not entry.in_attic]
    if made_only:
        made = _made(lib)
        wanted = [entry for entry in wanted if entry.id in made]
    names = Names()
    written = 0
    unsure = []
    for entry in progress.track(wanted, "clean copies", len(wanted)):
        drawing = book.drawings[entry.id]
        stem = names.name(f"{entry.title[:LONGEST]} {drawing['code']}", "")
        try:
            copies = clean_copies.make(lib, drawing["code"])
            for kind, source in (("ink", copies.ink), ("body", copies.body), ("mask", copies.mask)):
                drawing[kind] = f"clean/{stem} {kind}.png"
                _copy(source, folder / drawing[kind], digest_of_file(source))
                written += 1
            drawing.update(sure=copies.sure, sure_why=list(copies.sure_why))
            if copies.unsure:
                unsure.append(copies.unsure)
        except (AssetlibError, OSError) as error:
            lost.append(f"clean copy of {drawing['code']}: {getattr(error, 'sentence', error)}")
            drawing.update(ink=None, body=None, mask=None)
    return written, tuple(unsure)


def _made(lib: Library) -> set[int]:
    with lib.reading() as session:
        query = (
            select(Version.entry_id)
            .join(Derived, Derived.cut_id == Version.current_cut_id)
            .join(Recipe, Recipe.id == Derived.recipe_id)
            .where(Recipe.name == upkeep.CLEAN.recipe, Derived.path.is_not(None))
        )
        return set(session.scalars(query))


def _write_sidecars(book: Book, folder: Path, progress: Progress) -> None:
    """A sidecar beside every file: on an original, of the drawing that shows it whole, else of all that are in it."""
    said = dict(_sidecars(book))
    for name, words in progress.track(said.items(), "sidecars", len(said)):
        if is_plain(folder / name):
            write_atomic(folder / f"{name}.xmp", sidecars.xmp_packet(words).encode())


def _sidecars(book: Book) -> Iterable[tuple[str, sidecars.Said]]:
    on: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for entry_id, pieces in book.cuts.items():
        whole = not any(piece.is_part for piece in pieces)
        for piece in pieces:
            place = on[book.files.get(piece.original_id, "")]
            place.insert(0, book.drawings[entry_id]) if whole else place.append(book.drawings[entry_id])
    on.pop("", None)
    for name, drawings in on.items():
        tags = dict.fromkeys(tag for drawing in drawings for tag in drawing["tags"])
        yield name, _said(drawings[0], tuple(tags))
    for drawing in book.drawings.values():
        for kind in ("ink", "body"):
            if drawing[kind]:
                yield drawing[kind], _said(drawing, tuple(drawing["tags"]))


def _said(drawing: dict[str, Any], tags: tuple[str, ...]) -> sidecars.Said:
    return sidecars.Said(drawing["title"], f"urn:uuid:{drawing['uuid']}", tags, drawing["note"] or "")


def _table(drawings: dict[int, dict[str, Any]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for drawing in drawings.values():
        facets = "; ".join(
            f"{name}={value}" for name, values in drawing["facets"].items() for value in values
        )
        lists = {name: "; ".join(drawing[name]) for name in ("tags", "sure_why")}
        row = {**drawing, **lists, "facets": facets}
        writer.writerow(sidecars.cells(COLUMNS, row))
    return out.getvalue().encode("utf-8", "replace")
