"""A cut remembers where the caption of its drawing stands on the sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw, ImageFont

from assetlib.catalogue import queries
from assetlib.library import Library
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.versions import current_cut
from tests.services.here import without_workers


def test_a_cut_keeps_the_box_of_its_caption(
    lib: Library, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_workers(monkeypatch)
    page = Image.new("L", (1400, 800), 255)
    pen = ImageDraw.Draw(page)
    font = ImageFont.load_default(26)
    for n, word in enumerate(("DOG SITTING", "CART FROM ABOVE", "LAMP")):
        left = 80 + 450 * n
        pen.ellipse((left, 150, left + 300, 480), outline=0, width=7)
        pen.line((left + 40, 200, left + 260, 430), fill=0, width=7)
        pen.text((left + 60, 530), word, fill=0, font=font)
    page.save(tmp_path / "captions.png")
    sheet = bring_in(lib, [tmp_path / "captions.png"], Wishes(role="sheet")).added[0].code
    (cut,) = cut_sheet(lib, sheet)
    with lib.reading() as session:
        boxes = [current_cut(queries.entry(session, out.code or "")).caption_box for out in cut.elements]
    assert len(boxes) == 3
    for n, box in enumerate(boxes):
        assert box is not None
        x, y, w, h = box
        assert 80 + 450 * n <= x
        assert x + w <= 80 + 450 * n + 400
        assert 500 < y < y + h < 600
