import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.errors import WrongUsage
from assetlib.rules.shots.grammar import FACETS, parse_option, read_line
from tests.rules.lines import count, pairs_read, read_table

# The aim for lines in the manner of shot lists, two hundred of them or more.
LEAST_PRECISION, LEAST_RECALL = 0.97, 0.95


@pytest.mark.parametrize("table", ["shot_lines.tsv", "shot_lines_more.tsv", "shot_lines_apart.tsv"])
def test_shot_lines_are_understood(table):
    counted = count(read_table(table))
    assert counted.precision >= LEAST_PRECISION
    assert counted.recall >= LEAST_RECALL


def test_traps_are_left_alone():
    misread = [line for line, truth in read_table("shot_traps.tsv") if pairs_read(line) - truth]
    assert misread == []


@pytest.mark.parametrize(
    "line",
    [
        "high street with shoppers",
        "CU Boulder sweatshirt",
        "driving rain",
        "a pan of bread",
        "reverse gear",
        "left hand drive van",
        "flat white",
        "running water",
        "the back door",
        "a dash of salt",
        "MS Excel open",
    ],
)
def test_everyday_phrases_carry_no_facet(line):
    assert read_line(line).facets == {}


@pytest.mark.parametrize(
    ("line", "facet", "values"),
    [
        ("12A OTS driver", "shot_type", ("over the shoulder",)),
        ("driver, o/s", "shot_type", ("over the shoulder",)),
        ("bonnet-mounted camera", "camera_position", ("hood mount",)),
        ("INT./EXT. VAN - DAY", "setting", ("INT", "EXT")),
        ("van L-R", "screen_direction", ("left to right",)),
        ("van camera left to right", "screen_direction", ("left to right",)),
        ("girl runs to screen right", "screen_direction", ("left to right",)),
        ("van exits frame left", "screen_direction", ("right to left",)),
        ("boy enters frame right", "screen_direction", ("right to left",)),
        ("van drives camera R", "screen_direction", ("left to right",)),
        ("¾ front of a baker", "view", ("three-quarter front",)),
        ("three tired kids", "people", ("3",)),
        ("MS to CU", "shot_size", ("MS", "CU")),
        ("static, no zoom", "camera_move", ("static",)),
        ("bird’s-eye view", "camera_angle", ("overhead",)),
        ("a 70-year-old man", "age_group", ("elderly",)),
    ],
)
def test_usual_spellings_are_read(line, facet, values):
    assert read_line(line).facets[facet] == values


def test_abbreviations_and_shot_numbers_leave_the_rest():
    assert read_line("12A OTS baker driving through the crowd").rest == "baker driving through the crowd"


def test_words_that_also_describe_stay_in_the_rest():
    rest = read_line("3. CU hands on the dash, dog in the back seat").rest
    assert rest == "hands on the dash dog in the back seat"


def test_a_line_of_plain_words_is_left_whole():
    assert read_line("cell phone on oak table").rest == "cell phone on oak table"


def test_a_number_before_people_is_a_count_and_before_a_size_a_shot_number():
    assert read_line("3 kids on the ferry").facets["people"] == ("3",)
    assert read_line("3 CU kettle").facets == {"shot_size": ("CU",)}


def test_spans_point_at_the_words():
    line = "WS crowd, left to right"
    found = {(line[start:end], facet, value) for start, end, facet, value in read_line(line).spans}
    assert found == {
        ("WS", "shot_size", "WS"),
        ("crowd", "people", "crowd"),
        ("left to right", "screen_direction", "left to right"),
    }


@given(st.text(max_size=60))
def test_any_text_is_read_without_complaint(text):
    understood = read_line(text)
    assert set(understood.facets) <= set(FACETS)
    assert all(0 <= start < end <= len(text) for start, end, _, _ in understood.spans)


@pytest.mark.parametrize(("facet", "value"), [(f, v) for f, values in FACETS.items() for v in values])
def test_every_canonical_value_is_an_option_for_itself(facet, value):
    assert parse_option(facet, value.upper()) == value


@pytest.mark.parametrize(
    ("facet", "value"),
    [(f, v) for f, values in FACETS.items() for v in values if f not in ("people", "hand")],
)
def test_every_canonical_value_is_read_where_it_stands_alone(facet, value):
    assert (facet, value) in pairs_read(f"baker, {value}")


@pytest.mark.parametrize(
    ("facet", "given_value", "value"),
    [
        ("shot-size", "xcu", "ECU"),
        ("Shot Size", "medium close-up", "MCU"),
        ("camera_angle", "canted", "dutch"),
        ("camera_angle", "high angle", "high"),
        ("pose", "sits", "seated"),
        ("view", "3/4 back", "three-quarter back"),
        ("people", "two women", "2"),
        ("finish", "color", "colour"),
        ("setting", "ext.", "EXT"),
        ("people", "two", "2"),
        ("people", "250", "crowd"),
        ("pose", "sit", "seated"),
        ("hand", "L", "left"),
        ("camera_move", "track", "dolly"),
        ("camera_position", "passenger", "front passenger"),
        ("perspective", "2pt", "two-point"),
        ("age_group", "old", "elderly"),
    ],
)
def test_options_take_usual_spellings(facet, given_value, value):
    assert parse_option(facet, given_value) == value


def test_an_unknown_value_names_what_is_allowed():
    with pytest.raises(WrongUsage) as failure:
        parse_option("time", "teatime")
    assert "day, night" in (failure.value.hint or "")


def test_an_unknown_facet_names_the_facets():
    with pytest.raises(WrongUsage, match="'mood' is nothing that a shot says"):
        parse_option("mood", "gloomy")
