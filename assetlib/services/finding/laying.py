"""What looks like a sketch, laid over it and ordered by how well it lies."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from assetlib.catalogue.cards import read_cards
from assetlib.imaging.laying import SIDE, Ink, ink_of, lies
from assetlib.library import Library

if TYPE_CHECKING:
    from assetlib.services.finding.likeness import Alike

LYING = 0.2
"""What lying well on the sketch weighs beside looking like it, which is a cosine. Tuned on sketches of
tests/bench/scrawls.py with other seeds than those reported."""


def by_ink(lib: Library, connection: sqlite3.Connection, packed: bytes, found: list[Alike]) -> list[Alike]:
    """These drawings, best first by both; one whose proof cannot be read keeps its likeness alone."""
    bits = np.unpackbits(np.frombuffer(packed, np.uint8), count=SIDE * SIDE)
    sketch = np.asarray(bits.reshape(SIDE, SIDE), np.bool_)
    cards = read_cards(connection, [alike.entry_id for alike in found])
    weighed = []
    for alike in found:
        card = cards.get(alike.entry_id)
        ink = _ink(lib.inside(lib.derived, card.proof)) if card and card.proof else None
        lying = lies(sketch, ink) if ink is not None else 0.0
        weighed.append(replace(alike, score=alike.score + LYING * lying))
    return sorted(weighed, key=lambda alike: -alike.score)


def _ink(proof: Path) -> Ink | None:
    try:
        with Image.open(proof) as opened:
            picture = np.asarray(opened.convert("RGB"))
    except OSError:
        return None
    return ink_of(picture)
