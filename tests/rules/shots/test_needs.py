"""Shots are taken apart into what has to be drawn."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.lacking import Answer
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.needs import needs_of
from assetlib.rules.shots.serving import HALF, NO, YES, judge, served, turned_away


def needs(text: str, heading: str = "") -> list[tuple[str, str]]:
    return [(need.kind, need.text) for need in needs_of(Shot("1", text, heading))]


@pytest.mark.parametrize(
    ("text", "heading", "meant"),
    [
        (
            "WS, dog sitting on the pavement waits for the van",
            "EXT. SHOP ROW, DAWN",
            [("main", "dog sitting on the pavement"), ("beside", "van"), ("place", "SHOP ROW")],
        ),
        (
            "WS, commuter crowd seen from behind, ferry beyond",
            "EXT. QUAY, DAY",
            [("main", "commuter crowd"), ("main", "ferry beyond"), ("place", "QUAY")],
        ),
        ("MS, baker with tray of loaves, eye level", "", [("main", "baker with tray of loaves")]),
        ("hood mount, two-shot, driver and baker", "", [("main", "hood mount")]),
        ("CLOSE ON a lantern, swinging.", "", [("main", "lantern")]),
        ("Product shot, loaf of bread", "", [("main", "loaf of bread")]),
        ("WS, the quay, no people", "", [("main", "the quay")]),
        ("She waits for the boat", "", [("main", "She"), ("beside", "boat")]),
        ("two chairs and a wooden table", "", [("main", "two chairs"), ("beside", "wooden table")]),
        ("a table and two red chairs", "", [("main", "table"), ("beside", "two red chairs")]),
        ("two red chairs", "", [("main", "two red chairs")]),
        ("a bench under a tree", "", [("main", "bench under a tree")]),
        ("baker and her old dog", "", [("main", "baker"), ("beside", "old dog")]),
        ("man reads and drinks coffee", "", [("main", "man reads and drinks coffee")]),
        ("park bench, two women chat", "", [("main", "two women chat"), ("place", "park bench")]),
        (
            "two folding chairs and a picnic table",
            "",
            [("main", "two folding chairs"), ("beside", "picnic table")],
        ),
        ("woman sits at a table", "", [("main", "woman sits at a table")]),
    ],
)
def test_a_shot_is_taken_apart(text: str, heading: str, meant: list[tuple[str, str]]) -> None:
    assert needs(text, heading) == meant


@given(st.text(max_size=120), st.text(max_size=40))
def test_every_shot_needs_something(text: str, heading: str) -> None:
    assert needs_of(Shot("1", text, heading))


def test_a_shot_is_half_served_when_one_of_its_things_is_there() -> None:
    dog, van, place = needs_of(Shot("1", "dog sitting waits for the van", "EXT. STREET"))
    assert served([(dog, YES), (van, YES), (place, NO)]) == (YES, [])
    assert served([(dog, YES), (van, NO), (place, YES)]) == (HALF, ["add the van"])
    assert served([(dog, NO), (van, NO), (place, YES)]) == (NO, [])


@pytest.mark.parametrize(
    ("line", "head"),
    [
        ("gramophone on a table", "gramophon"),
        ("a gondola under the old bridge", "gondola"),
        ("teapot steams on the stove", "teapot"),
        ("phone rings on a table", "phone"),
        ("boat sails off", "boat"),
        ("white sails on the horizon", "sail"),
        ("two wedding rings on a cushion", "ring"),
        ("neon signs over the street", "neon-sign"),
        ("woman with a hat", "woman"),
        ("dachshund trots past a bicycle", "dachshund"),
        ("bride laughing", "bride"),
    ],
)
def test_the_thing_itself_is_what_the_line_is_about(line: str, head: str) -> None:
    """What lies on a table is no table, and what a thing does is no thing."""
    assert needs_of(Shot("1", line))[0].head == head


@pytest.mark.parametrize("line", ["a train arrives", "van drives past", "car stops", "ferry departs"])
def test_a_vehicle_that_moves_is_drawn_as_it_is(line: str) -> None:
    need = needs_of(Shot("1", line))[0]
    drawing = Drawing(line.split()[-2])
    assert judge(need, Answer(unmet=(line.split()[-1],)), drawing).fit == YES
    walks = needs_of(Shot("1", "a goose dances"))[0]
    assert judge(walks, Answer(unmet=("dances",)), Drawing("goose")).fit != YES


@pytest.mark.parametrize(
    ("line", "head", "parts"),
    [
        ("bearded man waving", "man", []),
        ("a pair of old ladies", "old-woman", []),
        ("girl walks the dog", "girl", ["dog"]),
        ("wheel of cheese", "wheel", ["cheese"]),
    ],
)
def test_who_has_it_and_what_it_is_of(line: str, head: str, parts: list[str]) -> None:
    found = needs_of(Shot("1", line))
    assert (found[0].head, [part.key for part in found[0].parts], len(found)) == (head, parts, 1)


@pytest.mark.parametrize(
    ("line", "unmet", "title", "fit", "alter"),
    [
        ("wheel of cheese", ("cheese",), "cog wheel", NO, ()),
        ("tray of loaves", ("loaves",), "tray", HALF, ("add the loaves",)),
        ("holding croissant", (), "Hand holding a croissant", YES, ()),
        ("croissant", (), "Hand holding a croissant", HALF, ("take out the hand",)),
        ("someone texting", ("someone",), "Both thumbs texting", YES, ()),
        ("man seated on a bench", ("seated",), "Man waiting with a bag", HALF, ("redraw the pose: seated",)),
        ("baker with a tray of fresh loaves", ("fresh",), "Baker with a tray of loaves", YES, ()),
        ("hands offer a loaf in a paper bag", ("paper", "bag"), "Hands offering a loaf", HALF, ("add the paper bag",)),
        ("bread crates stacked at the back door", ("back", "door"), "Stack of bread crates", YES, ()),
        ("deckhand hauls the mooring rope", ("mooring rope",), "Deckhand hauling a rope", YES, ()),
        ("hood mount, two-shot, driver and baker", ("driver", "baker"), "Hood mount two-shot", YES, ()),
        ("delivery guy with parcel", ("delivery", "guy"), "Courier holding parcel", HALF,
         ("make it a delivery driver: it is a courier",)),
    ],
)  # fmt: skip
def test_what_is_to_be_altered(
    line: str, unmet: tuple[str, ...], title: str, fit: str, alter: tuple[str, ...]
) -> None:
    need = needs_of(Shot("1", line))[0]
    judged = judge(need, Answer(unmet=unmet), Drawing(title))
    assert (judged.fit, judged.alter) == (fit, alter)


def test_a_file_name_does_not_say_what_a_bird_does() -> None:
    """Of a drawing that nobody titled, the picture tells whether it flies; one with a title is half of it."""
    need = needs_of(Shot("1", "seagull flying"))[0]
    untitled = Answer(met=("seagull",), unmet=("flying",), score=0.6, is_silent=True)
    assert judge(need, untitled, Drawing("seagull nicu b")).fit == HALF
    assert judge(need, replace(untitled, is_silent=False), Drawing("seagull")).alter == (
        "redraw what it does: flying",
    )
    assert judge(need, replace(untitled, is_silent=False), Drawing("seagull swimming")).fit == NO


def test_people_seen_from_behind_come_after_others_unless_asked_for() -> None:
    back = Drawing("Commuter crowd from behind")
    assert turned_away(needs_of(Shot("1", "crowd out of focus"))[0], back)
    assert not turned_away(needs_of(Shot("1", "crowd from behind"))[0], back)
    assert not turned_away(needs_of(Shot("1", "delivery van"))[0], Drawing("Van from behind"))


def test_what_is_missing_is_called_as_the_line_calls_it() -> None:
    baker, van = needs_of(Shot("1", "WS, baker w/ bread comes out, van at the kerb"))[:2]
    assert served([(baker, NO), (van, YES)]) == (HALF, ["add the baker w/ bread"])


@pytest.mark.parametrize("line", ["eagle looks L to R", "CU, lion, roars, smiles", "man with tie, angry"])
def test_how_somebody_feels_and_looks_is_no_drawing_of_its_own(line: str) -> None:
    assert len(needs_of(Shot("1", line))) <= 2
    assert not {"looks", "smiles", "angry"} & {need.text for need in needs_of(Shot("1", line))}
