"""Which layers make which drawing, by what they are called and where they lie."""

from __future__ import annotations

import pytest

from assetlib.rules.words.layer_drawings import drawings_in

LEFT, RIGHT, ALL, MOST = (10, 10, 80, 90), (110, 10, 80, 90), (0, 0, 200, 110), (8, 8, 184, 94)


def layer(
    path: str, box: tuple[int, int, int, int], kind: str = "pixels", visible: bool = True
) -> dict[str, object]:
    return {"path": path, "name": path.split("/")[-1], "kind": kind, "visible": visible, "box": box}


def found(layers: list[dict[str, object]]) -> list[tuple[str, list[str]]]:
    return [(one.title, [str(own["path"]) for own in one.layers]) for one in drawings_in(layers)]


def test_colours_with_names_of_their_own_belong_to_the_line_they_lie_under() -> None:
    layers = [layer("ink", LEFT), layer("red coat", (12, 50, 70, 40)), layer("skin", (30, 12, 20, 20))]
    assert found(layers) == [("", ["ink", "red coat", "skin"])]


def test_line_and_colour_are_kept_together_by_whose_they_are() -> None:
    layers = [
        layer("dog line", LEFT),
        layer("mug line", RIGHT),
        layer("dog colour", LEFT),
        layer("mug fill", RIGHT),
    ]
    assert found(layers) == [("dog", ["dog line", "dog colour"]), ("mug", ["mug line", "mug fill"])]


def test_two_dogs_of_two_colours_are_two() -> None:
    assert found([layer("grey dog", LEFT), layer("white dog", RIGHT)]) == [
        ("grey dog", ["grey dog"]),
        ("white dog", ["white dog"]),
    ]


def test_views_side_by_side_keep_the_one_from_behind() -> None:
    thirds = [(x, 10, 50, 90) for x in (10, 70, 130)]
    layers = [layer(name, box) for name, box in zip(("front", "side", "back"), thirds, strict=True)]
    assert [title for title, _ in found(layers)] == ["front", "side", "back"]


def test_drawing_tools_side_by_side_are_no_parts_of_one_drawing() -> None:
    assert len(found([layer("pencil", LEFT), layer("crayon", RIGHT)])) == 2


def test_groups_in_one_group_are_several_where_they_lie_side_by_side() -> None:
    side_by_side = [
        layer("all", ALL, "group"),
        layer("all/dog", LEFT, "group"),
        layer("all/mug", RIGHT, "group"),
    ]
    assert [title for title, _ in found(side_by_side)] == ["dog", "mug"]
    one_thing = [
        layer("van", ALL, "group"),
        layer("van/body", MOST, "group"),
        layer("van/wheels", LEFT, "group"),
    ]
    assert found(one_thing) == [("", ["van"])]


@pytest.mark.parametrize("ground", ["paper", "Hintergrund", "fond", "fondo", "sfondo"])
def test_a_ground_is_in_no_drawing(ground: str) -> None:
    assert found([layer("line", LEFT), layer(ground, ALL)]) == [("", ["line"])]


def test_hidden_layers_and_adjustments_are_no_drawings() -> None:
    layers = [layer("levels", ALL, "adjustment"), layer("old", LEFT, visible=False), layer("dog", RIGHT)]
    assert found(layers) == [("", ["dog"])]
