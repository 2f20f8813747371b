"""Contact sheets: many proofs on one page, each with its code and title."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from pathlib import Path

from assetlib.catalogue.queries import Card
from assetlib.imaging.contact import Cell, lay_out
from assetlib.library import Library
from assetlib.storage.durable import write_atomic


def contact_sheet(lib: Library, cards: Sequence[Card], heading: str) -> Path:
    """A PNG below derived/ with the proofs of these cards."""
    cells = [
        Cell(lib.inside(lib.derived, card.proof) if card.proof else None, card.code, card.title)
        for card in cards
    ]
    folder = lib.derived / "contact-sheets"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{uuid.uuid4().hex[:12]}.png"
    write_atomic(path, lay_out(cells, heading))
    return path
