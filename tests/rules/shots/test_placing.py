"""Frames have the sizes of their ratios; drawings stand on them as a board artist would put them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.errors import WrongUsage
from assetlib.rules.shots.distances import distances_in
from assetlib.rules.shots.figures import Figure, is_front
from assetlib.rules.shots.frame_sizes import Frame, inner_box, parse_frame, safe_box
from assetlib.rules.shots.placing import place
from assetlib.rules.shots.sides import sides_for, sides_in

HD = Frame(1920, 1080)


@pytest.mark.parametrize(
    ("text", "size"),
    [("16:9", (1920, 1080)), ("1.85:1", (1920, 1038)), ("2.39:1", (1920, 804)), ("2:1", (1920, 960)),
     ("4:3", (1920, 1440)), ("1:1", (1920, 1920)), ("4:5", (1920, 2400)), ("9:16", (1920, 3414)),
     ("1280x720", (1280, 720)), ("3840 × 2160", (3840, 2160))],
)  # fmt: skip
def test_a_frame_is_1920_wide_unless_pixels_are_said(text: str, size: tuple[int, int]) -> None:
    assert parse_frame(text).size == size


@pytest.mark.parametrize("text", ["", "0x10", "0:9", "wide", "16:0", "99999x10", "16:9, tall"])
def test_what_is_no_frame_is_said(text: str) -> None:
    with pytest.raises(WrongUsage):
        parse_frame(text)


def test_other_shapes_and_safe_areas_lie_in_the_middle() -> None:
    frame = parse_frame("16:9, 9:16, 1:1")
    assert frame.guides == ("9:16", "1:1")
    assert inner_box(frame, 1.0) == (420, 0, 1080, 1080)
    assert inner_box(frame, 9 / 16) == (656, 0, 608, 1080)
    assert safe_box(frame, 0.9) == (96, 54, 1728, 972)


@pytest.mark.parametrize(("size", "heads"), [("MCU", 2.3), ("MS", 3.4), ("MWS", 5.5)])
def test_a_person_is_shown_down_to_the_chest_the_waist_or_the_knees(size: str, heads: float) -> None:
    (spot,) = place(HD, [Figure(300, 900, "Woman walking")], {"shot_size": (size,)})
    head = spot.height / 7.5
    assert 0 < spot.y < 0.12 * HD.height
    assert (HD.height - spot.y) / head == pytest.approx(heads, rel=0.02)


def test_two_people_share_one_eye_line() -> None:
    woman, crowd = place(
        HD, [Figure(300, 900, "Woman"), Figure(900, 900, "Crowd", role="beside")], {"shot_size": ("MCU",)}
    )
    assert woman.y + 0.065 * woman.height == pytest.approx(crowd.y + 0.065 * crowd.height)
    assert crowd.height < woman.height


@pytest.mark.parametrize(
    ("title", "shape"),
    [("Cyclist", (700, 600)), ("Man in an armchair", (500, 600)), ("Policeman", (300, 900)), ("Ball", (400, 400)),
     ("Very long queue", (3000, 300))],
)  # fmt: skip
def test_without_a_size_nobody_is_cut_off(title: str, shape: tuple[int, int]) -> None:
    (spot,) = place(HD, [Figure(*shape, title)], {})
    assert min(spot.x, spot.y) >= 0
    assert spot.x + spot.width <= HD.width
    assert spot.y + spot.height <= HD.height


def test_a_whole_figure_stands_inside_the_frame_with_its_feet_on_the_ground() -> None:
    (spot,) = place(HD, [Figure(300, 900, "Deckhand")], {"shot_size": ("FS",)})
    assert spot.y > 0
    assert 0.85 * HD.height < spot.y + spot.height < HD.height


def test_a_cut_sleeve_meets_the_edge() -> None:
    (below,) = place(HD, [Figure(300, 500, "Hand holding phone", cut=("bottom",))], {"shot_size": ("CU",)})
    assert below.y + below.height >= HD.height
    (side,) = place(HD, [Figure(500, 300, "Hand pointing", cut=("left",))], {"shot_size": ("CU",)})
    assert side.x <= 0


def test_a_set_up_of_the_camera_fills_the_frame() -> None:
    figure = Figure(455, 272, "Hood mount two-shot", facets={"camera_position": ("hood mount",)})
    (spot,) = place(HD, [figure], {"shot_type": ("two-shot",)})
    assert spot.x <= 0
    assert spot.x + spot.width >= HD.width


def test_what_moves_has_room_ahead() -> None:
    figure = Figure(500, 300, "Delivery van, profile")
    (right,) = place(HD, [figure], {"shot_size": ("WS",), "screen_direction": ("left to right",)})
    (left,) = place(HD, [figure], {"shot_size": ("WS",), "screen_direction": ("right to left",)})
    assert right.x + right.width / 2 < HD.width / 2 < left.x + left.width / 2


@pytest.mark.parametrize(
    ("line", "sides"),
    [("man seated left, dog right", ["right", "left"]), ("a man on the left and a dog on the right", ["right", "left"]),
     ("dog screen left, man R", ["left", "right"]), ("on the left a man, on the right a dog", ["right", "left"]),
     ("man to the left of the dog", ["right", "left"]), ("man faces right, dog on the left", ["left", ""]),
     ("man walks, dog runs left to right", ["", ""]), ("man looks to the left", ["", ""]),
     ("dog at the man's left hand", ["", ""]), ("man L-R, dog exits frame left", ["", ""])],
)  # fmt: skip
def test_a_line_puts_things_on_a_side_and_is_not_misled_by_ways_and_hands(
    line: str, sides: list[str]
) -> None:
    assert sides_for(line, ["Dog sitting", "Person seated"]) == sides


@pytest.mark.parametrize("size", ["CU", "MS", "WS"])
@pytest.mark.parametrize("sides", [("left", "right"), ("right", "left"), ("right", ""), ("", "right")])
def test_a_drawing_stands_on_the_side_that_is_said(size: str, sides: tuple[str, str]) -> None:
    figures = [Figure(300, 500, "Dog", side=sides[0]), Figure(300, 900, "Man", role="beside", side=sides[1])]
    dog, man = (spot.x + spot.width / 2 for spot in place(HD, figures, {"shot_size": (size,)}))
    left, right = (dog, man) if sides[0] == "left" or sides[1] == "right" else (man, dog)
    assert left < HD.width / 2 < right


@given(
    st.integers(1, 4000), st.integers(1, 4000),
    st.sampled_from(["Dog", "Woman seated", "Queue", "Hand", "Ferry", "Gull", "street", "xyz", ""]),
    st.sampled_from(["ECU", "CU", "MCU", "MS", "MWS", "FS", "WS", "EWS", "product shot", ""]),
)  # fmt: skip
def test_every_drawing_finds_a_place_with_its_own_shape(
    width: int, height: int, title: str, size: str
) -> None:
    said = {"shot_size": (size,)} if size else {}
    for spot in place(HD, [Figure(width, height, title), Figure(width, height, title, role="beside")], said):
        assert spot.width > 0
        assert spot.width / spot.height == pytest.approx(width / height, rel=0.01)


@pytest.mark.parametrize(
    ("line", "told"),
    [("WS, van at the kerb", {"van": "aside"}), ("WS, crowd seen from behind, ferry beyond", {"ferry": "far"}),
     ("CU, phone in the foreground, woman behind", {"phone": "near", "woman": "far"}),
     ("FS, courier with bicycle by the signpost", {"courier": "aside"}), ("dog sitting waits for the van", {}),
     ("distant ferry, man walks", {"ferry": "far"}), ("man looks behind him", {})],
)  # fmt: skip
def test_a_line_says_how_far_off_things_are_and_what_they_stand_at(line: str, told: dict[str, str]) -> None:
    assert distances_in(line) == told


def test_what_a_woman_carries_stands_with_her_on_her_side() -> None:
    told = {thing.key: side for thing, side in sides_in("woman with coffee left, man with suitcase right")}
    assert (told["woman"], told["man"]) == ("left", "right")
    assert {thing.key for thing, _ in sides_in("woman with dog right")} == {"dog"}


def test_two_drawings_told_to_one_side_stand_beside_each_other() -> None:
    figures = [Figure(500, 500, "Crate", side="left"), Figure(400, 500, "Dog", role="beside", side="left")]
    one, other = sorted(place(HD, figures, {"shot_size": ("WS",)}), key=lambda spot: spot.x)
    covered = one.x + one.width - other.x
    assert covered <= 0.16 * min(one.width, other.width)
    assert other.x + other.width / 2 < HD.width / 2


def test_a_dog_beside_a_woman_is_no_taller_than_a_dog_is() -> None:
    woman, dog = place(
        HD, [Figure(300, 900, "Woman"), Figure(600, 500, "Dog", role="beside")], {"shot_size": ("WS",)}
    )
    assert 0.25 < dog.height / woman.height < 0.5


def test_what_is_far_off_is_small_and_stands_at_the_horizon() -> None:
    near, far = (
        place(
            HD,
            [Figure(300, 900, "Woman"), Figure(600, 300, "Van", role="beside", distance=said)],
            {"shot_size": ("WS",)},
        )[1]
        for said in ("", "far")
    )
    assert far.height < near.height
    assert far.y + far.height < near.y + near.height


def test_a_backdrop_of_another_shape_stands_in_the_frame_whole() -> None:
    (door,) = place(HD, [Figure(300, 900, "Bakery door", role="place")], {})
    assert (round(door.y), round(door.height)) == (0, HD.height)


def test_a_courier_with_a_bicycle_is_shown_whole_unless_the_line_says_otherwise() -> None:
    figure = Figure(600, 900, "Courier with bicycle")
    (whole,) = place(HD, [figure], {})
    (waist,) = place(HD, [figure], {"shot_size": ("MS",)})
    assert whole.y + whole.height < HD.height < waist.y + waist.height


def test_nobody_floats_before_a_row_of_shops_that_ends_at_its_foot() -> None:
    dog = Figure(400, 500, "Dog sitting", "dog")
    van = Figure(900, 500, "Delivery van, profile", "van", role="beside")
    shops = Figure(2000, 1100, "row of shops", "street-front", role="place", has_floor=False)
    stands, parked, wall = place(HD, [dog, van, shops], {"shot_size": ("WS",)})
    foot = wall.y + wall.height
    assert wall.width >= HD.width
    assert foot < HD.height
    assert stands.y + stands.height >= foot
    assert parked.y + parked.height >= foot
    street = Figure(2000, 1100, "street", "street", role="place")
    assert place(HD, [dog, street], {"shot_size": ("WS",)})[1].y <= 0


@pytest.mark.parametrize(
    ("title", "ends"),
    [("shop row", True), ("bakery at night", True), ("quay edge with ladder", False), ("", False)],
)
def test_the_front_of_a_building_ends_at_its_foot(title: str, ends: bool) -> None:
    assert is_front(title) == ends


def test_what_is_far_off_stands_where_the_backdrop_leaves_room() -> None:
    crowd = Figure(900, 900, "Crowd from behind", "crowd")
    ferry = Figure(900, 300, "Ferry", "ferry", role="beside", distance="far")
    for side in ("left", "right"):
        quay = Figure(1920, 1080, "quay", "quay", role="place", open_side=side)
        _, far, _ = place(HD, [crowd, ferry, quay], {"shot_size": ("WS",)})
        assert (far.x + far.width / 2 < HD.width / 2) == (side == "left")
