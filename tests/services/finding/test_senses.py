"""Words of two senses: what a line asks for is not found by a word that means something else."""

from __future__ import annotations

import pytest

from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
from tests.shelving import put_titles


def _fits(lib: Library, line: str) -> list[str]:
    return [row.card.title for row in find(lib, Asked(line)).results if row.fit == "fits"]


@pytest.mark.parametrize(
    ("line", "title"),
    [
        ("tree", "Open palm"),
        ("hand", "Palm tree on the beach"),
        ("animal", "Baseball bat"),
        ("animal", "Computer mouse"),
        ("bird", "Crane on a building site"),
        ("animal", "Letter with a wax seal"),
        ("building", "Bank of the river"),
        ("sea", "Boy waving"),
        ("sea", "Girl waves goodbye"),
        ("jewellery", "Boxing ring"),
        ("jewellery", "Ears of a rabbit"),
        ("wristwatch", "Man watching television"),
        ("vehicle", "Woman training a dog"),
        ("vehicle", "Elephant with its trunk up"),
        ("rowing", "Row of shops"),
        ("getting in", "Notice board"),
        ("torso", "Chest of drawers"),
        ("falling", "Park in the fall"),
        ("filming", "Record on a turntable"),
        ("season", "Box spring mattress"),
        ("cattle", "Calf muscle"),
        ("skis", "Evening sky"),
        ("ear", "Woman with earrings"),
        ("tyre", "Tired boy"),
        ("plant", "Girl leaving home"),
        ("object", "Hammering man"),
        ("tool", "Man sawed the branch off"),
        ("musical instrument", "Footballer in the first half"),
        ("crockery", "Man with glasses"),
        ("appliance", "Iron gate"),
        ("kitchen", "Cook book"),
        ("lettering", "Man posts a letter"),
        ("phone", "Cell bars of a prison"),
    ],
)
def test_another_sense_of_a_word_does_not_fit(lib: Library, line: str, title: str) -> None:
    put_titles(lib, [title, "Parcel"])
    assert _fits(lib, line) == []


@pytest.mark.parametrize(
    ("line", "title"),
    [
        ("tree", "Palm tree on the beach"),
        ("hand", "Open palm"),
        ("animal", "Dog sitting"),
        ("animal", "Woman walking the dog"),
        ("vehicle", "Delivery van, front"),
        ("vehicle", "Two trains at the platform"),
        ("tableware", "Coffee cup on a saucer"),
        ("bread", "Bread basket"),
        ("crane", "Camera cranes up"),
        ("mouse", "Computer mouse"),
        ("watch", "Man watching television"),
        ("boy waves", "Boy waving"),
        ("deckhand hauls a rope", "Deckhand hauling a rope"),
        ("deckhand hauling a rope", "Deckhand hauled the rope"),
        ("women", "Woman reading"),
        ("bird", "Flock of gulls"),
        ("furniture", "Old chairs"),
        ("fruit", "Basket of apples"),
        ("pub", "The bar at night, a pub"),
        ("person", "Van driver asleep"),
        ("sea", "Sea with waves"),
    ],
)
def test_the_same_sense_in_other_words_fits(lib: Library, line: str, title: str) -> None:
    put_titles(lib, [title, "Umbrella"])
    assert title in _fits(lib, line)


def test_what_is_meant_stands_before_what_only_sounds_so(lib: Library) -> None:
    put_titles(lib, ["Watch on a wrist", "Man watching television"])
    assert find(lib, Asked("watch")).results[0].card.title == "Watch on a wrist"


def test_a_line_without_animals_keeps_a_computer_mouse(lib: Library) -> None:
    put_titles(lib, ["Desk with computer mouse", "Desk with dog"])
    assert _fits(lib, "desk without animals") == ["Desk with computer mouse"]


@pytest.mark.parametrize(
    ("typed", "title"),
    [
        ("polcieman", "Policeman on a corner"),
        ("polcieman", "Police officer on a corner"),
        ("polcieman", "Police man"),
        ("fisherwomen", "Fisher women on the quay"),
        ("lighthuose", "Lighthouse by the sea"),
        ("umbrela", "Brolly, open"),
    ],
)
def test_a_misspelt_compound_is_found_in_part(lib: Library, typed: str, title: str) -> None:
    put_titles(lib, [title, "Gull"])
    found = find(lib, Asked(typed)).results
    assert [row.card.title for row in found if row.fit != "near"] == [title]


@pytest.mark.parametrize(
    ("line", "title"), [("policeman", "Police man"), ("police man", "Policeman"), ("snowman", "Snow man")]
)
def test_a_compound_is_found_written_apart(lib: Library, line: str, title: str) -> None:
    put_titles(lib, [title, "Gull"])
    assert _fits(lib, line) == [title]


@pytest.mark.parametrize(
    ("line", "title"),
    [("grandma", "Old woman reading"), ("delivery guy", "Courier waving"), ("eagle", "Bird of paradise")],
)
def test_what_is_nearly_the_same_stands_for_it_in_part(lib: Library, line: str, title: str) -> None:
    put_titles(lib, [title, "Umbrella"])
    assert [row.card.title for row in find(lib, Asked(line)).on("partly")] == [title]


@pytest.mark.parametrize(
    ("line", "title"),
    [
        ("house", "Casa in campagna"),
        ("bakery", "Bäckerei"),
        ("ladies", "Old woman"),
    ],
)
def test_titles_in_other_languages_and_other_plurals_fit(lib: Library, line: str, title: str) -> None:
    put_titles(lib, [title, "Umbrella"])
    assert _fits(lib, line) == [title]


def test_what_is_only_held_or_near_is_not_asked_for(lib: Library) -> None:
    put_titles(lib, ["Baker with broom", "Hand gripping broom", "Shop with van"])
    assert find(lib, Asked("baker, broom in hand")).results[0].card.title == "Baker with broom"
    assert _fits(lib, "shop with a van outside") == ["Shop with van"]
