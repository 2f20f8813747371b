"""A page of proofs in a grid, for looking at many drawings at once."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

COLUMNS = 5
CELL = 300
"""Pixels of a drawing's square."""
MARGIN, GUTTER, CAPTION = 48, 28, 62
PAPER, INK, QUIET, EDGE = (250, 248, 243), (38, 36, 33), (120, 114, 105), (226, 221, 211)


@dataclass(frozen=True, slots=True)
class Cell:
    """One drawing on the page."""

    proof: Path | None
    code: str
    title: str


def lay_out(cells: Sequence[Cell], heading: str) -> bytes:
    """The page as PNG bytes: up to five drawings a row, each over its code and title."""
    columns = max(1, min(COLUMNS, len(cells)))
    rows = -(-len(cells) // columns)
    width = 2 * MARGIN + columns * CELL + (columns - 1) * GUTTER
    top = MARGIN + 56
    height = top + rows * (CELL + CAPTION + GUTTER) - GUTTER + MARGIN
    page = Image.new("RGB", (width, height), PAPER)
    draw = ImageDraw.Draw(page)
    draw.text(
        (MARGIN, MARGIN - 10),
        textwrap.shorten(heading or "all drawings", 60),
        INK,
        ImageFont.load_default(30),
    )
    for number, cell in enumerate(cells):
        x = MARGIN + (number % columns) * (CELL + GUTTER)
        y = top + (number // columns) * (CELL + CAPTION + GUTTER)
        _draw_cell(page, draw, cell, x, y)
    buffer = io.BytesIO()
    page.save(buffer, "PNG")
    return buffer.getvalue()


def _draw_cell(page: Image.Image, draw: ImageDraw.ImageDraw, cell: Cell, x: int, y: int) -> None:
    draw.rectangle((x, y, x + CELL - 1, y + CELL - 1), "white", EDGE)
    if cell.proof is not None and cell.proof.is_file():
        with Image.open(cell.proof) as opened:
            proof = opened.convert("RGB")
        proof.thumbnail((CELL - 24, CELL - 24), Image.Resampling.LANCZOS)
        page.paste(proof, (x + (CELL - proof.width) // 2, y + (CELL - proof.height) // 2))
    draw.text((x, y + CELL + 8), cell.code, INK, ImageFont.load_default(17))
    lines = textwrap.wrap(cell.title, 34)[:1] or [""]
    draw.text((x, y + CELL + 32), lines[0], QUIET, ImageFont.load_default(16))
