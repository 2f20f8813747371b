"""Tables set in plain text, or printed without lines between the cells: columns that begin under their names."""

from __future__ import annotations

import re
from collections.abc import Sequence

from assetlib.rules.shots.lists import columns, kinds

_PIECE = re.compile(r"\S+(?: \S+)*")
_FEWEST_NAMES = 3
_LONGEST_NAME = 24
_OUT = 1  # blanks that a cell may stand left of its column's name


def cells_of(lines: Sequence[str]) -> list[list[str]] | None:
    """The cells of a table whose columns begin under their names; None where no line names columns.

    A row begins where the column of numbers has something in it; what stands under other columns goes on with it. A
    row of one cell stands between the shots.
    """
    for place, line in enumerate(lines):
        names = list(_PIECE.finditer(line))
        roles = [columns.role_of(name.group()) for name in names]
        named = sum(role is not None for role in roles)
        if named < _FEWEST_NAMES or any(len(name.group()) > _LONGEST_NAME for name in names):
            continue
        if "text" not in roles or not {"number", "shot"} & {*roles}:
            continue
        numbers = min(i for i, role in enumerate(roles) if role in ("number", "shot"))
        rows = _rows(lines[place + 1 :], [name.start() for name in names], numbers)
        wide = [row for row in rows if sum(bool(cell) for cell in row) > 1]
        if len(wide) >= 2 and len(wide) >= len(rows) / 2:
            titles = [[line.strip()] for line in lines[:place] if line.strip()]
            return [*titles, [name.group() for name in names], *rows]
    return None


def _rows(lines: Sequence[str], starts: list[int], numbers: int) -> list[list[str]]:
    rows: list[list[str]] = []
    goes_on = False
    for line in lines:
        pieces = [(_column(piece.start(), starts), piece.group()) for piece in _PIECE.finditer(line)]
        if not pieces or not line.strip("-=_ "):
            goes_on = goes_on and bool(line.strip())
            continue
        alone = len(pieces) == 1 and _between(line)
        if not alone and any(column == numbers for column, _ in pieces):
            rows.append([""] * len(starts))
            goes_on = True
        elif alone or not goes_on:
            rows.append([" ".join(text for _, text in pieces)])
            continue
        for column, text in pieces:
            rows[-1][column] = f"{rows[-1][column]} {text}".strip()
    return rows


def _column(at: int, starts: list[int]) -> int:
    return max((i for i, start in enumerate(starts) if start <= at + _OUT), default=0)


def _between(line: str) -> bool:
    heading, rest = kinds.split_heading(kinds.scene_label(line))
    return bool((heading and not rest) or kinds.aside_kind(line) or kinds.spot_of(line))
