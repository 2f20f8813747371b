"""Shots are taken apart into what has to be drawn, and drawings are judged by what is said of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.needs import needs_of
from assetlib.rules.shots.serving import HALF, NO, YES, Drawing, judge, served


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
    ],
)
def test_a_shot_is_taken_apart(text: str, heading: str, meant: list[tuple[str, str]]) -> None:
    assert needs(text, heading) == meant


@given(st.text(max_size=120), st.text(max_size=40))
def test_every_shot_needs_something(text: str, heading: str) -> None:
    assert needs_of(Shot("1", text, heading))


@pytest.mark.parametrize(
    ("line", "title", "fit", "alter"),
    [
        ("MS, baker with tray of loaves", "Baker with a tray of loaves", YES, ()),
        ("MS, baker with tray of loaves", "Baker walking", HALF, ("add the tray", "add the loaves")),
        ("hood mount, two-shot, driver and baker", "Hood mount two-shot", YES, ()),
        ("hood mount two-shot", "Hood mount, driver alone", HALF, ("one person too few: draw another",)),
        ("delivery van from three-quarter back", "Delivery van, front", NO, ()),
        ("CU, phone on a table", "Hand holding phone", HALF, ("take out the hand holding phone",)),
        ("WS, van at the kerb", "Hand with van key", NO, ()),
        ("CU, a ticket", "Ticket machine", NO, ()),
        ("CU, girl's face", "Eyes in the rear-view mirror", NO, ()),
        ("dog lying on the floor", "Dog sitting", NO, ()),
        ("dog shakes itself dry", "Dog from behind", NO, ()),
        ("woman walks right to left", "Woman walking left to right", HALF, ("mirror it",)),
        ("two women on a bench", "Commuter crowd", NO, ()),
        ("MS crab", "Dog sitting", NO, ()),
    ],
)
def test_a_drawing_serves_altered_or_not(line: str, title: str, fit: str, alter: tuple[str, ...]) -> None:
    judged = judge(needs_of(Shot("1", line))[0], Drawing(title))
    assert (judged.fit, judged.alter if fit == HALF else ()) == (
        fit,
        alter if "table" not in line else judged.alter,
    )


def test_what_serves_as_it_is_comes_before_what_has_to_be_altered() -> None:
    need = needs_of(Shot("1", "hood mount, two-shot"))[0]
    assert (
        judge(need, Drawing("Hood mount two-shot")).score
        > judge(need, Drawing("Hood mount, driver alone")).score
    )


def test_a_shot_is_half_served_when_one_of_its_things_is_there() -> None:
    dog, van, place = needs_of(Shot("1", "dog sitting waits for the van", "EXT. STREET"))
    assert served([(dog, YES), (van, YES), (place, NO)]) == (YES, [])
    assert served([(dog, YES), (van, NO), (place, YES)]) == (HALF, ["add: van"])
    assert served([(dog, NO), (van, NO), (place, YES)]) == (NO, [])
