"""Putting entries into the catalogue: the rows that every way of bringing a drawing in has in common."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import new_code
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Entry, Piece, Version
from assetlib.catalogue.words import Facet
from assetlib.library import Library
from assetlib.rules.shots.grammar import read_line


@dataclass(frozen=True, slots=True)
class PiecePart:
    """A part of an original, in its oriented pixels."""

    original_id: int
    box: tuple[int, int, int, int]
    page: int = 0
    layer: str | None = None
    resolution: float | None = None
    mask: bytes | None = None
    reading_order: int | None = None


def add_entry(
    lib: Library,
    session: Session,
    *,
    role: str,
    title: str,
    title_source: str,
    ground: str,
    parts: Iterable[PiecePart],
) -> Entry:
    """A new entry with its code and its first version made of `parts`."""
    now = lib.now()
    with session.no_autoflush:  # one flush writes code and entry, and what came before them
        code = new_code(session, role, now)
    entry = Entry(
        uuid=str(uuid.uuid4()),
        role=role,
        title=title,
        title_source=title_source,
        added_at=now,
        code=code,
    )
    session.add(entry)
    session.flush()
    _put_version(lib, session, entry, 1, list(parts), ground=ground, reason="brought in")
    return entry


def add_version(
    lib: Library, session: Session, entry: Entry, *, parts: list[PiecePart], ground: str, reason: str
) -> Version:
    """A new version of `entry`, which becomes its current one."""
    number = session.scalar(
        select(Version.number).where(Version.entry_id == entry.id).order_by(Version.number.desc()).limit(1)
    )
    return _put_version(lib, session, entry, (number or 0) + 1, parts, ground=ground, reason=reason)


def _put_version(
    lib: Library,
    session: Session,
    entry: Entry,
    number: int,
    parts: list[PiecePart],
    *,
    ground: str,
    reason: str,
) -> Version:
    version = Version(
        uuid=str(uuid.uuid4()),
        entry_id=entry.id,
        number=number,
        width=max(part.box[2] for part in parts),
        height=max(part.box[3] for part in parts),
        ground=ground,
        made_at=lib.now(),
        reason=reason,
    )
    version.pieces = [
        Piece(
            ordinal=ordinal,
            original_id=part.original_id,
            page=part.page,
            layer=part.layer,
            resolution=part.resolution,
            x=part.box[0],
            y=part.box[1],
            w=part.box[2],
            h=part.box[3],
            mask=part.mask,
            reading_order=part.reading_order,
        )
        for ordinal, part in enumerate(parts)
    ]
    session.add(version)
    entry.current = version
    session.flush()
    return version


def suggest_facets(lib: Library, session: Session, entry: Entry, *, text: str, finish: str | None) -> None:
    """Facets read from a name or caption and from the picture, as suggestions for the in-tray."""
    wanted = {
        (facet, value): "file name" for facet, values in read_line(text).facets.items() for value in values
    }
    if finish is not None:
        wanted.setdefault(("finish", finish), "picture")
    for (facet, value), source in sorted(wanted.items()):
        session.add(
            Facet(
                entry_id=entry.id,
                facet=facet,
                value=value,
                source=source,
                state="suggested",
                made_at=lib.now(),
            )
        )


def recipe_id(lib: Library, session: Session, kind: str, name: str, details: dict[str, object]) -> int:
    """The id of a recipe, which is registered at its first use."""
    found = session.scalar(select(Recipe.id).where(Recipe.kind == kind, Recipe.name == name))
    if found is not None:
        return found
    recipe = Recipe(kind=kind, name=name, details=details, made_at=lib.now())
    session.add(recipe)
    session.flush()
    return recipe.id


def keep_derived(
    lib: Library,
    session: Session,
    version: Version,
    recipe: int,
    *,
    path: str | None = None,
    value: dict[str, object] | None = None,
    failure: str | None = None,
) -> None:
    """Note what a recipe gave for a version, in place of what it gave before."""
    row = session.scalar(select(Derived).where(Derived.version_id == version.id, Derived.recipe_id == recipe))
    if row is None:
        row = Derived(version_id=version.id, recipe_id=recipe, made_at=lib.now())
        session.add(row)
    row.path, row.value, row.failure, row.made_at = path, value, failure, lib.now()
