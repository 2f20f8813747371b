"""Stems: forms of a word are one, other words are not."""

from __future__ import annotations

import pytest

from assetlib.rules.words.stems import stem


@pytest.mark.parametrize(
    ("one", "other"), [("offers", "offering"), ("dogs", "dog"), ("hauled", "hauls"), ("Ferries", "ferry")]
)
def test_forms_of_a_word_are_one(one: str, other: str) -> None:
    assert stem(one) == stem(other)


@pytest.mark.parametrize(
    ("one", "other"), [("baker", "bakery"), ("driver", "driving"), ("cat", "catalogue"), ("tree", "three")]
)
def test_other_words_are_not(one: str, other: str) -> None:
    assert stem(one) != stem(other)
