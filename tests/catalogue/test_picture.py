"""The picture of the catalogue in DEVELOPERS.md is the one that the tables give."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.catalogue import picture
from assetlib.catalogue.tables import Base

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_the_picture_in_the_docs_is_up_to_date() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    assert picture.put_into(text) == text, "run: python -m assetlib.catalogue.picture"


def test_every_table_and_every_arrow_is_drawn() -> None:
    drawn = picture.drawn()
    for table in Base.metadata.tables.values():
        assert f" {table.name}[{table.name}]" in drawn
        for key in table.foreign_keys:
            (arrow,) = (
                line for line in drawn.splitlines()
                if line.startswith(f"  {table.name} -->") and line.endswith(f"| {key.column.table.name}")
            )  # fmt: skip
            assert key.parent.name in arrow


def test_a_text_without_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="marks"):
        picture.put_into("no picture here")
