"""The models that tell what looks alike: what a library has, taking in another, going back to the shipped one."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import embedded, lookup
from assetlib.config import change_setting
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.finding import likeness, modelshelf
from assetlib.services.finding.modelshelf import Kept
from assetlib.vectors import foreign
from assetlib.vectors.description import card_of
from assetlib.vectors.encoders import SHIPPED
from assetlib.vectors.foreign import ModelSource

Agree = Callable[[str], bool]
"""Is told in a sentence what going online would do, and says whether it may."""


@dataclass(frozen=True, slots=True)
class Model:
    """A model of a library."""

    name: str
    recipe: str
    """Its name and the beginning of its digest: under this its vectors are kept."""
    digest: str
    dimension: int
    size: int
    """Bytes of its files."""
    folder: str
    source: str
    card: str
    """Where its model card and licence are to be read; empty where nothing came with it."""
    in_use: bool
    """Whether searches go by it now."""
    wanted: bool
    """Whether upkeep makes its vectors; searches go by it once none waits."""
    drawings: int
    """How many drawings have its vectors."""
    waiting: int


@dataclass(frozen=True, slots=True)
class Overview:
    """All models of a library, the one in use first; `missing` is a setting whose model is not there any more."""

    models: tuple[Model, ...]
    missing: str | None

    @property
    def in_use(self) -> Model:
        """The one that searches go by."""
        return self.models[0]

    @property
    def wanted(self) -> Model:
        """The one that upkeep makes vectors for."""
        return next(model for model in self.models if model.wanted)


def overview(lib: Library) -> Overview:
    """The models that the library has."""
    with lookup.looking(lib.catalogue) as connection:
        used, want = modelshelf.in_use(lib, connection).recipe, modelshelf.wanted(lib).recipe
        models = [_model(connection, kept, used, want) for kept in modelshelf.available(lib)]
    models.sort(key=lambda model: (not model.in_use, not model.wanted))
    return Overview(tuple(models), lib.settings.model if modelshelf.is_missing(lib) else None)


def _model(connection: sqlite3.Connection, kept: Kept, used: str, want: str) -> Model:
    described = kept.described
    return Model(
        described.name,
        kept.recipe,
        described.digest,
        described.dimension,
        kept.size,
        str(kept.folder),
        described.source or "comes with assetlib",
        card_of(kept.folder, described),
        kept.recipe == used,
        kept.recipe == want,
        embedded.having(connection, kept.recipe),
        embedded.waiting(connection, kept.recipe),
    )


def use(lib: Library, given: str, agree: Agree) -> Overview:
    """The models after the library was told to look by this one: a name it has, a checkpoint, or any open_clip model.

    A model that it does not have is exported into the library once; only then may it be fetched, after `agree` said so.
    Upkeep makes its vectors; the former ones are searched until then.
    Raises NotFound, WrongUsage, MissingExtra, CannotExport.
    """
    kept = _known(lib, given) or _take_in(lib, foreign.read_source(given), agree)
    lib.settings = change_setting(lib.folder, "model", kept.setting)
    likeness.build(lib)
    return overview(lib)


def _known(lib: Library, given: str) -> Kept | None:
    """The model that the library has under this name, or from this place of the internet; not what lies at a path."""
    if given != SHIPPED and Path(given).expanduser().exists():
        return None
    kept = modelshelf.available(lib)
    found = [one for one in kept if given in (one.recipe, one.described.name)]
    if len(found) > 1:
        names = ", ".join(one.recipe for one in found)
        raise WrongUsage(f"there are several models called {given}", f"name one of {names}")
    fetched = [one for one in kept if one.described.card and one.described.source == given]
    return next(iter([*found, *fetched]), None)


def _take_in(lib: Library, source: ModelSource, agree: Agree) -> Kept:
    foreign.demand_extra()
    source = foreign.settle_source(source)
    if source.online and not agree(
        f"{source.label} is not on this machine; it is fetched from the internet: {foreign.origin(source)}"
    ):
        raise WrongUsage(
            "nothing was fetched and nothing was changed", "a local checkpoint needs no internet"
        )
    with lib.staging() as staging:
        folder = staging / "model"
        folder.mkdir()
        described = foreign.export(source, folder)
        place = modelshelf.models_folder(lib) / described.recipe
        place.parent.mkdir(parents=True, exist_ok=True)
        if not place.exists():
            os.rename(folder, place)
    return Kept(place, described)
