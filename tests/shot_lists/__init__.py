"""Ten shot lists of different make, written before anything read them, with the shots a board artist would draw."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent


def truths() -> dict[str, dict[str, Any]]:
    """By file, the shots (number, text, heading, spot) and the numbers that are omitted."""
    return dict(json.loads((FOLDER / "truth.json").read_text(encoding="utf-8")))


def rows(name: str) -> list[list[str]]:
    """The cells of one of the lists that are tables."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))
