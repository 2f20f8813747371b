"""Every text an artist or a buyer may have is printed: on the contact sheet and on the certificate, read by poppler."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from assetlib.imaging import print_fonts
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.trade import bundling, clearance, collections, sales
from tests.conftest import Draw
from tests.services.trade.test_buyers_words import OWN
from tests.storage.test_contact_sheet import text_of

AWKWARD = {
    "plain": "Bakery",
    "umlauts": "Bäckerei Söhne",
    "dash": "Bread – and boats — ferry",
    "quotes": "kneading “dough” and ‘rolls’, Jonas’s „Teig“",
    "euro": "480 €",
    "ellipsis": "and so on … ™ • †",
    "polish": "Łódź żółw",
    "polish and euro": "Łódź – 480 €",
    "greek": "Ψωμί και πλοία",
    "name of 300": "Wilhelmina " * 27 + "End",
    "300 signs unbroken": "W" * 297 + "End",
}
"""What is set whole in the fonts of this machine, or in a PDF's own."""
PATCHY = {
    "kanji": "株式会社 Bakery",
    "emoji": "Bakery 🥐👩🏽‍🍳 Boats",
    "right to left": "מאפייה Bakery",
    "tag": "a\u202eb Bakery",
}
"""What may lack signs here: it must stop nothing, and the rest of it is there."""


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


@pytest.fixture
def sold(lib: Library, draw: Draw, tmp_path: Path) -> Callable[[str], tuple[str, str]]:
    """Sells a drawing where every name is this text; returns what the contact sheet and the certificate say."""

    def sell(text: str) -> tuple[str, str]:
        lib.settings = replace(lib.settings, artist=text)
        code = bring_in(lib, [draw("dog.png")], Wishes(role="element", title=text)).added[0].code
        clearance.answer(lib, [code], clearance.Statement(OWN))
        collections.make(lib, text)
        collections.put(lib, text, [code])
        collections.choose_licence(lib, text, "one artist")
        issue = bundling.build(lib, text)
        sale = sales.issue(lib, issue.code, text, tmp_path, contact=text, price=text[:100])

        with zipfile.ZipFile(issue.path) as archive:
            name = next(one for one in archive.namelist() if one.endswith("contact-sheet.pdf"))
            sheet = text_of(archive.read(name), tmp_path / "sheet.pdf")
        return sheet, text_of(sale.files[2].read_bytes(), tmp_path / "page.pdf")

    return sell


@pytest.mark.parametrize("kind", AWKWARD)
def test_it_is_printed_whole(sold: Callable[[str], tuple[str, str]], kind: str) -> None:
    text = AWKWARD[kind]
    sheet, page = sold(text)
    assert squeezed(text) in squeezed(sheet)
    # a label beside several lines of small letters is read in between them
    values = re.sub(r"(Licensee|Licensor|Bundle|Price)(?=W)", "", squeezed(page))
    for said in (f"{text}, {text}", f"{text}, ida@boards.example", f"{text}, issue 1.0.0"):
        assert squeezed(said) in values
    assert values.count(squeezed(text[:100])) >= 5, "buyer, contact, artist, title and price"


@pytest.mark.parametrize("kind", PATCHY)
def test_it_stops_nothing(sold: Callable[[str], tuple[str, str]], kind: str) -> None:
    for said in sold(PATCHY[kind]):
        assert "Bakery" in said


def test_without_a_font_on_this_machine_the_commonest_signs_are_printed(
    sold: Callable[[str], tuple[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(print_fonts, "_FILES", ())
    sheet, page = sold("“Łódź” – 480 €")
    for said in (sheet, page):
        assert squeezed("“?ód?” – 480 €") in squeezed(said)
