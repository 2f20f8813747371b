"""Cards with absolute paths, for whoever shows drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue.cards import Card
from assetlib.library import Library
from assetlib.storage.blobs import as_digest


@dataclass(frozen=True, slots=True)
class Shown:
    """A drawing as a list shows it; paths are absolute."""

    code: str
    uuid: str
    role: str
    title: str
    source: str
    file: Path
    proof: Path | None
    tags: tuple[str, ...]
    facets: dict[str, tuple[str, ...]]
    suggested: tuple[str, ...]


def shown(lib: Library, card: Card) -> Shown:
    """The card with the paths it stands for."""
    return Shown(
        card.code,
        card.uuid,
        card.role,
        card.title,
        card.source,
        lib.originals.path(as_digest(card.original)),
        lib.inside(lib.derived, card.proof) if card.proof else None,
        card.tags,
        card.facets,
        card.suggested,
    )


def cards_of(lib: Library, codes: Sequence[str]) -> list[Shown]:
    """The drawings with these codes, in their order. Raises NotFound, AmbiguousCode."""
    from assetlib.catalogue import queries  # a search shows cards too, and needs none of the mapped classes

    with lib.reading() as session:
        ids = [queries.entry(session, code).id for code in codes]
        cards = queries.cards(session, ids)
    return [shown(lib, cards[entry_id]) for entry_id in ids]
