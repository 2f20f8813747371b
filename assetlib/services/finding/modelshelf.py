"""Which models a library has, which one its artist wants, and which one searches go by meanwhile.

A model that was taken in is wanted at once, but its vectors come only with upkeep. Until no drawing waits for them the
former model stays in use: vectors of two models never mix.
"""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import embedded
from assetlib.library import Library
from assetlib.storage.durable import write_atomic
from assetlib.vectors.description import ModelDescription, is_whole, read_description
from assetlib.vectors.encoders import SHIPPED, shipped_folder


@dataclass(frozen=True, slots=True)
class Kept:
    """A model that can be run: where it lies and what it says of itself."""

    folder: Path
    described: ModelDescription

    @property
    def recipe(self) -> str:
        """The name of its vectors."""
        return self.described.recipe

    @property
    def setting(self) -> str:
        """What stands for it in the library's settings."""
        return SHIPPED if self.described.name == SHIPPED else self.recipe

    @property
    def size(self) -> int:
        """Bytes of its files."""
        return sum(path.stat().st_size for path in self.folder.iterdir() if path.is_file())


def models_folder(lib: Library) -> Path:
    """Where models that were taken in lie, one folder each."""
    return lib.derived / "models"


def available(lib: Library) -> list[Kept]:
    """Every model that can be run here, the shipped one first."""
    folders = [shipped_folder(), *sorted(models_folder(lib).glob("*"))]
    return [Kept(folder, read_description(folder)) for folder in folders if is_whole(folder)]


def wanted(lib: Library) -> Kept:
    """The model that the settings name; the shipped one where that is not there any more."""
    folder = models_folder(lib) / lib.settings.model
    if lib.settings.model != SHIPPED and is_whole(folder):
        return Kept(folder, read_description(folder))
    return Kept(shipped_folder(), read_description(shipped_folder()))


def is_missing(lib: Library) -> bool:
    """Whether the model that the settings name is not there: derived files may be thrown away."""
    return wanted(lib).setting != lib.settings.model


def in_use(lib: Library, connection: sqlite3.Connection) -> Kept:
    """The model whose vectors are searched now."""
    noted = _noted(lib)
    for kept in available(lib):
        if kept.recipe == noted:
            return kept
    return _most(lib, connection)


def due(lib: Library, connection: sqlite3.Connection) -> Kept:
    """The model whose vectors should be searched from now on: the wanted one as soon as no drawing waits for it."""
    want = wanted(lib)
    if _noted(lib) == want.recipe or not embedded.waiting(connection, want.recipe):
        return want
    former = in_use(lib, connection)
    return former if embedded.having(connection, former.recipe) else want


def note_in_use(lib: Library, kept: Kept) -> None:
    """Have searches go by this model, whose searched file is in place."""
    if _noted(lib) != kept.recipe:
        write_atomic(_note(lib), json.dumps({"recipe": kept.recipe}).encode())


def _most(lib: Library, connection: sqlite3.Connection) -> Kept:
    want = wanted(lib)
    others = [kept for kept in available(lib) if kept.recipe != want.recipe]
    return (
        want
        if not others
        else max((want, *others), key=lambda kept: embedded.having(connection, kept.recipe))
    )


def _note(lib: Library) -> Path:
    return lib.derived / "vectors" / "in-use.json"


def _noted(lib: Library) -> str:
    try:
        return str(json.loads(_note(lib).read_text(encoding="utf-8"))["recipe"])
    except (OSError, ValueError, KeyError, TypeError):
        return ""
