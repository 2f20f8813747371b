"""Whom a text names, however the name is written."""

from __future__ import annotations

import pytest

from assetlib.rules.rights.names import is_named, same_name


@pytest.mark.parametrize(
    "text",
    [
        "Lena Brandt portrait", "lena brandt", "Lena Brandt, portrait", "Portrait of Lena Brandt's sister",
        "Portrait of Lena Brandt’s sister", "Lena Brandts portrait", "Brandt, Lena", "LenaBrandt", "lenabrandt",
        "brandtlena", "lena-brandt", "lena_brandt_03", "Léna BRANDT!", "portrait(Lena Brandt)", "Lena.Brandt",
    ],
)  # fmt: skip
def test_a_name_is_found_however_it_is_written(text: str) -> None:
    assert is_named("Lena Brandt", text)


@pytest.mark.parametrize(
    "text", ["Lena", "Helena Brandt's boat", "Brandy and Lena", "a brand", "Lena and Brandt", ""]
)
def test_other_words_are_no_name(text: str) -> None:
    assert not is_named("Lena Brandt", text)


def test_one_word_is_found_as_a_word_alone() -> None:
    assert is_named("Bo", "Bo's boat")
    assert not is_named("Bo", "bottle")
    assert not is_named("…", "anything …")


def test_the_same_name_in_another_spelling() -> None:
    assert same_name("Ida Brandt", "BRANDT, Ída")
    assert same_name("Ida Brandt", "idabrandt")
    assert not same_name("Ida Brandt", "Jonas Fremd")
