"""Putting entries into the catalogue: the rows that every way of bringing a drawing in has in common."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import offers
from assetlib.catalogue.codes import new_code
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Cut, Entry
from assetlib.catalogue.facets import facets_of
from assetlib.library import Library
from assetlib.services.versions import PiecePart as PiecePart
from assetlib.services.versions import add_version
from assetlib.storage.blobs import digest_of_file

READ_CHANCE = 0.6
"""How sure a word that stands in the file is."""

FINISH_CHANCE = 0.9
"""How sure the finish is that a picture tells: of the sixty drawings of tests/bench/in_tray_truth_apart.tsv, looked at
before, 59 were told right; scans are harder."""


def add_entry(
    lib: Library,
    session: Session,
    *,
    role: str,
    title: str,
    title_source: str,
    ground: str,
    parts: Iterable[PiecePart],
    caption_box: Sequence[int] | None = None,
    page_fix: dict[str, Any] | None = None,
) -> Entry:
    """A new entry with its code and its first version, cut for the first time from `parts`."""
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
    add_version(lib, session, entry, parts=parts, ground=ground, caption_box=caption_box, page_fix=page_fix)
    return entry


def suggest_finish(lib: Library, session: Session, entry: Entry, finish: str | None) -> None:
    """The finish told by the picture, as a suggestion for the in-tray; what a title says is read with the title."""
    if finish is None:
        return
    for row in offers.offered_on(session, entry.id):
        if row.facet == "finish" and row.value != finish:  # told of an earlier cut
            session.delete(row)
    if not any(row.facet == "finish" for row in facets_of(session, [entry.id])[entry.id]):
        offers.offer(
            session, entry.id, ("finish", finish),
            recipe="picture", why="seen in the picture", confidence=FINISH_CHANCE, at=lib.now(),
        )  # fmt: skip


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
    cut: Cut,
    recipe: int,
    *,
    path: str | None = None,
    value: dict[str, object] | None = None,
    failure: str | None = None,
) -> None:
    """Note what a recipe gave for a cut, in place of what it gave before."""
    row = session.scalar(select(Derived).where(Derived.cut_id == cut.id, Derived.recipe_id == recipe))
    if row is None:
        row = Derived(cut_id=cut.id, recipe_id=recipe, made_at=lib.now())
        session.add(row)
    row.path, row.value, row.failure, row.made_at = path, value, failure, lib.now()
    row.sums = sums_of(lib, path, value)


def files_of(path: str | None, value: dict[str, object] | None) -> list[str]:
    """The files of a derived row, by their names below derived/: its own, and those that its value names."""
    named = [
        item for item in (value or {}).values() if isinstance(item, str) and item.endswith((".png", ".webp"))
    ]
    return ([path] if path else []) + named


def sums_of(lib: Library, path: str | None, value: dict[str, object] | None) -> dict[str, object] | None:
    """SHA-256 of each file of a derived row, read back from the disk; None for a row without files."""
    names = files_of(path, value)
    return {name: digest_of_file(lib.derived / name) for name in names} or None


def copy_sureness(session: Session, cut_id: int) -> tuple[str | None, tuple[str, ...]]:
    """How sure the newest clean copy of a cut is, and why it is not; None before one was made."""
    told = session.scalar(
        select(Derived.value)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == cut_id, Recipe.kind == "clean copy", Derived.path.is_not(None))
        .order_by(Recipe.id.desc())
        .limit(1)
    )
    return (told or {}).get("sure"), tuple((told or {}).get("sure_why", ()))
