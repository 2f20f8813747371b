import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.errors import WrongUsage
from assetlib.rules.words.tags import LONGEST_TAG, fold, normalise_tag


def test_a_tag_is_trimmed_and_keeps_its_capitals():
    assert normalise_tag("  Delivery \t van ") == "Delivery van"


def test_a_tag_is_kept_composed():
    assert normalise_tag(unicodedata.normalize("NFD", "café")) == unicodedata.normalize("NFC", "café")


@pytest.mark.parametrize("text", ["", "  ", "---", "\u200b", "a\x00b", "x" * (LONGEST_TAG + 1)])
def test_what_is_no_tag_is_refused(text):
    with pytest.raises(WrongUsage):
        normalise_tag(text)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Two-Shot", "two shot"),
        ("Café", "cafe"),
        ("driver’s seat", "drivers seat"),
        ("STRASSE", "straße"),
        ("smørbrød", "smorbrod"),
        ("two_shot", "two‑shot"),
        ("Ёлка", "елка"),
        ("ｖａｎ", "van"),
    ],
)
def test_spellings_of_one_tag(one, other):
    assert fold(one) == fold(other)


@pytest.mark.parametrize(("one", "other"), [("van", "vans"), ("か", "が"), ("cart", "car"), ("क", "कि")])
def test_different_tags(one, other):
    assert fold(one) != fold(other)


@given(st.text(max_size=30))
def test_folding_twice_changes_nothing(text):
    assert fold(fold(text)) == fold(text)


@given(st.text(min_size=1, max_size=30))
def test_normalising_twice_changes_nothing(text):
    try:
        once = normalise_tag(text)
    except WrongUsage:
        return
    assert normalise_tag(once) == once
