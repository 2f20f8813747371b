"""Finding by words: stems, beginnings, other labels, grammar that raises and options that filter."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding.search import Asked, Found, find
from tests.conftest import Draw

Shelf = Callable[..., list[str]]


@pytest.fixture
def shelf(lib: Library, draw: Draw) -> Shelf:
    """Puts drawings with these titles on the shelf, in this order, and returns their codes."""
    rounds = iter(range(1, 100))

    def put(*titles: str, role: str = "element") -> list[str]:
        folder = f"round {next(rounds)}"
        paths = [draw(f"{folder}/{title}.png", n, size=(120 + n, 90)) for n, title in enumerate(titles)]
        return [item.code for item in bring_in(lib, paths, Wishes(role=role)).added]

    return put


def _codes(found: Found) -> list[str]:
    return [result.card.code for result in found.results]


@pytest.mark.parametrize("words", ["dog running", "dogs run", "RUNNING DOG", "runn dog", "dög"])
def test_inflected_partial_and_accented_words_find(lib: Library, shelf: Shelf, words: str) -> None:
    dog, _ = shelf("Running dog", "Ferry at the quay")
    assert _codes(find(lib, Asked(words)))[0] == dog


def test_another_label_of_the_same_idea_finds(lib: Library, shelf: Shelf) -> None:
    _, phone = shelf("Cat asleep", "Hand with smartphone")
    found = find(lib, Asked("cell phone"))
    assert _codes(found) == [phone]
    assert found.results[0].why


def test_a_broader_word_finds_narrower_things(lib: Library, shelf: Shelf) -> None:
    van, _ = shelf("Van before dawn", "Loaf of bread")
    assert _codes(find(lib, Asked("vehicle"))) == [van]


def test_more_matching_words_come_first(lib: Library, shelf: Shelf) -> None:
    hand, both, tablet = shelf("Hand", "Hand holding tablet", "Tablet on a table")
    assert _codes(find(lib, Asked("hand tablet")))[0] == both
    assert set(_codes(find(lib, Asked("hand tablet")))) == {hand, both, tablet}


@pytest.mark.parametrize("line", ["a dog waits at the kerb", "dog waits"])
def test_a_phrase_that_no_drawing_carries_is_asked_word_by_word(
    lib: Library, shelf: Shelf, line: str
) -> None:
    """*dog waits* is another word for begging; where nobody begs, a dog is still a dog."""
    dog, _ = shelf("Dog", "Ferry at the quay")
    first = find(lib, Asked(line)).results[0]
    assert (first.card.code, first.fit) == (dog, "partly")
    assert "waits" in first.unmet


def test_a_phrase_stays_one_idea_where_a_drawing_carries_it(lib: Library, shelf: Shelf) -> None:
    begging, _ = shelf("Dog begging", "Dog")
    assert _codes(find(lib, Asked("dog waits")))[0] == begging


def test_understood_facets_raise_and_do_not_hide(lib: Library, shelf: Shelf) -> None:
    bare, close = shelf("Woman at the wheel, one", "Woman at the wheel, two")
    describe(lib, [bare], Description(set=("shot_size=CU",)))
    assert _codes(find(lib, Asked("CU woman at the wheel"))) == [bare, close]
    describe(lib, [bare], Description(set=("shot_size=",)))
    describe(lib, [close], Description(set=("shot_size=CU",)))
    found = find(lib, Asked("CU woman at the wheel"))
    assert found.understood["shot_size"] == ("CU",)
    assert _codes(found) == [close, bare]


def test_options_filter(lib: Library, shelf: Shelf) -> None:
    _, close = shelf("Woman, one", "Woman, two")
    describe(lib, [close], Description(set=("shot_size=CU",)))
    assert _codes(find(lib, Asked("woman", only=("shot_size=close-up",)))) == [close]


def test_tags_filter_under_any_label(lib: Library, shelf: Shelf) -> None:
    _, tagged = shelf("Woman, one", "Woman, two")
    describe(lib, [tagged], Description(add=("smartphone",)))
    assert _codes(find(lib, Asked(tags=("cell phone",)))) == [tagged]


def test_no_text_is_an_error(lib: Library, shelf: Shelf) -> None:
    shelf("Arm-chair")
    for text in (
        '"',
        "arm-chair",
        "a AND OR NOT (",
        "NEAR(x)",
        "title:dog",
        "*",
        "^x",
        "'",
        "50% off {x}",
        "\x00",
    ):
        assert find(lib, Asked(text)).query == text


def test_a_misspelt_word_is_read_as_its_neighbour(lib: Library, shelf: Shelf) -> None:
    (ferry,) = shelf("Ferry")
    assert _codes(find(lib, Asked("ferrry"))) == [ferry]


def test_references_are_left_out_unless_asked_for(lib: Library, shelf: Shelf) -> None:
    (photo,) = shelf("Street photo", role="reference")
    assert _codes(find(lib, Asked("street"))) == []
    assert _codes(find(lib, Asked("street", roles=("reference",)))) == [photo]


def test_total_counts_all_and_results_hold_the_best(lib: Library, shelf: Shelf) -> None:
    shelf("Crate", "Crate of bread", "Crate with eggs", "Crates")
    found = find(lib, Asked("crate", limit=2))
    assert (found.total, len(found.results)) == (4, 2)


def test_no_words_show_the_newest_first(lib: Library, shelf: Shelf) -> None:
    codes = shelf("Dog", "Cat", "Gull")
    assert _codes(find(lib, Asked())) == codes[::-1]


def test_a_facet_that_cannot_be_says_what_can(lib: Library) -> None:
    with pytest.raises(WrongUsage) as caught:
        find(lib, Asked("dog", only=("shot_size=gigantic",)))
    assert "CU" in f"{caught.value.sentence} {caught.value.hint}"
