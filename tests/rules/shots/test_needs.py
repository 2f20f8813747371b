"""Shots are taken apart into what has to be drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.needs import needs_of
from assetlib.rules.shots.serving import HALF, NO, YES, Answer, Drawing, judge, served


def needs(text: str, heading: str = "") -> list[tuple[str, str]]:
    return [(need.kind, need.text) for need in needs_of(Shot("1", text, heading))]


@pytest.mark.parametrize(
    ("text", "heading", "meant"),
    [
        (
            "WS, dog sitting on the pavement waits for the van",
            "EXT. SHOP ROW, DAWN",
            [("main", "dog sitting on the pavement"), ("beside", "van"), ("place", "SHOP ROW, DAWN")],
        ),
        (
            "WS, commuter crowd seen from behind, ferry beyond",
            "EXT. QUAY, DAY",
            [("main", "commuter crowd"), ("main", "ferry beyond"), ("place", "QUAY, DAY")],
        ),
        ("MS, baker with tray of loaves, eye level", "", [("main", "baker with tray of loaves")]),
        ("hood mount, two-shot, driver and baker", "", [("main", "hood mount")]),
        ("CLOSE ON a lantern, swinging.", "", [("main", "lantern")]),
        ("Product shot, loaf of bread", "", [("main", "loaf of bread")]),
        ("WS, the quay, no people", "", [("main", "the quay")]),
        ("She waits for the boat", "", [("main", "She"), ("beside", "boat")]),
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
    assert served([(dog, YES), (van, NO), (place, YES)]) == (HALF, ["add: van"])
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
