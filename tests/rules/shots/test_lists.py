"""Shot lists of ten makes are read as they were meant; nothing typed makes the reader fail."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.errors import WrongUsage
from assetlib.rules.shots.lists import columns, kinds, reading
from assetlib.rules.shots.lists.values import ShotList
from tests import shot_lists

OMITTED = ["OMIT", "omitted", "~~WS street~~", "cut, we don't need it", "WS van - OMIT"]
DRAWN = ["Cut to the dog", "CUTAWAY: dog", "cut of bread on a board", "out of the van he climbs"]


def read(name: str) -> ShotList:
    if name.endswith(".csv"):
        return columns.read_rows(shot_lists.rows(name))
    return reading.read_text((shot_lists.FOLDER / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", list(shot_lists.truths()))
def test_a_list_of_each_make_is_read_as_it_was_meant(name: str) -> None:
    truth = shot_lists.truths()[name]
    found = read(name)
    assert [[shot.number, shot.text, shot.heading, shot.spot] for shot in found.shots] == truth["shots"]
    assert list(found.omitted) == truth["omitted"]


@pytest.mark.parametrize(
    "line",
    [
        "Dog runs off - right to left",
        "Son in the kitchen, MS",
        "Carton - CU of eggs",
        "Fishing line - the boy winds it up",
        "Coupe",
        "Plan of the harbour on the wall",
        "Inside the cafe, two women",
        "GROSS: ein Schlüssel",
    ],
)
def test_words_that_mean_something_else_in_another_language_stay_shots(line: str) -> None:
    found = reading.read_text(f"1 WS van\n2 {line}\n3 CU dog")
    assert [shot.text for shot in found.shots] == ["WS van", line, "CU dog"]


@pytest.mark.parametrize(
    "line",
    [
        "SPRECHER (OFF): Manche stehen früher auf.",
        "VOIX OFF : Nous attendons.",
        "RÓTULO: Desde las tres",
        "CARTELLO: Ogni ora",
        "Geräusch: Uhr tickt",
        "BÄCKER: Noch zehn Minuten.",
        "GIRL: Not yet.",
        'Länge gesamt: 30"',
    ],
)
def test_what_is_heard_and_read_is_no_shot_in_any_language(line: str) -> None:
    found = reading.read_text(f"1 WS van\n{line}\n2 CU dog")
    assert [shot.text for shot in found.shots] == ["WS van", "CU dog"]


def test_times_before_shots_are_no_chat() -> None:
    found = reading.read_text("00:00 - WS: van arrives\n00:03 - CU: a key\n00:05 - MS: dog waits")
    assert [shot.text for shot in found.shots] == ["WS: van arrives", "CU: a key", "MS: dog waits"]


def test_what_is_no_shot_is_told_by_its_kind() -> None:
    kinds_met = {aside.kind for aside in read("03_wrapped_timed.txt").asides}
    assert {"heading", "slate", "omitted", "super", "voice-over", "dialogue", "sound"} <= kinds_met


@pytest.mark.parametrize(
    ("line", "heading", "rest"),
    [
        ("EXT. STREET, NIGHT - WS, one window", "EXT. STREET, NIGHT", "WS, one window"),
        ("EXT. STREET - NIGHT", "EXT. STREET - NIGHT", ""),
        ("12 INT. HARBOUR BAR - NIGHT 12", "INT. HARBOUR BAR - NIGHT 12", ""),
        ("INT VAN DAY. Hands on the wheel", "INT VAN DAY", "Hands on the wheel"),
        ("INT/EXT. CAR - DAY - two-shot", "INT/EXT. CAR - DAY", "two-shot"),
        ("an interior of the van", "", "an interior of the van"),
    ],
)
def test_a_heading_is_parted_from_its_shot(line: str, heading: str, rest: str) -> None:
    assert kinds.split_heading(line) == (heading, rest)


@pytest.mark.parametrize("line", OMITTED)
def test_omitted_is_said_in_many_ways(line: str) -> None:
    assert kinds.is_omitted(line)


@pytest.mark.parametrize("line", DRAWN)
def test_what_is_drawn_is_not_omitted(line: str) -> None:
    assert not kinds.is_omitted(line)


def test_numbers_that_begin_anew_with_each_scene_carry_it() -> None:
    rows = [
        ["Scene", "Shot", "Description"],
        ["1", "1", "the van at night"],
        ["2", "1", "the dog at the door"],
    ]
    assert [shot.number for shot in columns.read_rows(rows).shots] == ["1-1", "2-1"]


def test_a_table_without_a_column_of_shots_says_so() -> None:
    with pytest.raises(WrongUsage, match="no column of shots"):
        columns.read_rows([["Lens", "Secs"], ["35", "2"], ["50", "3"]])


def test_a_list_without_a_shot_says_so() -> None:
    with pytest.raises(WrongUsage, match="no shot"):
        reading.read_text("SUPER: Every hour\nMUSIC: piano\n")


@given(st.text(max_size=400))
def test_nothing_typed_makes_the_reader_fail(text: str) -> None:
    try:
        found = reading.read_text(text)
    except WrongUsage:
        return
    assert found.shots or found.omitted
    assert all(shot.text and shot.number for shot in found.shots)


@given(st.lists(st.lists(st.text(max_size=30), max_size=6), max_size=8))
def test_no_cells_make_the_reader_fail(rows: list[list[str]]) -> None:
    try:
        found = columns.read_rows(rows)
    except WrongUsage:
        return
    assert all(shot.number for shot in found.shots)


def test_an_endless_list_is_refused_and_long_lines_are_read() -> None:
    with pytest.raises(WrongUsage, match="characters"):
        reading.read_text("1 van\n" * 400_000)
    found = reading.read_text("1 WS " + "street - " * 5000 + "\n2 CU " + "A " * 5000)
    assert [shot.number for shot in found.shots] == ["1", "2"]


@pytest.mark.parametrize(
    "said",
    [
        "skip this one, client killed it", "killed by client", "on hold until Monday", "no longer needed",
        "this one is dropped", "lost", "WS, van at the kerb (on hold)", "WS, van, client dropped this",
    ],
)  # fmt: skip
def test_what_is_said_to_be_skipped_is_no_shot(said: str) -> None:
    found = reading.read_text(f"Frame 7: dog sits\nFrame 8: {said}\nFrame 9: cat sleeps")
    assert ([shot.number for shot in found.shots], found.omitted) == (["7", "9"], ("8",))


@pytest.mark.parametrize(
    "drawn",
    [
        "lost dog sits at the corner", "dropped ice cream on the pavement", "drop it into the basket",
        "woman on hold, phone to her ear", "girl skips rope", "man, lost in thought",
    ],
)  # fmt: skip
def test_what_only_sounds_like_skipping_is_a_shot(drawn: str) -> None:
    found = reading.read_text(f"Frame 7: dog sits\nFrame 8: {drawn}\nFrame 9: cat sleeps")
    assert [shot.number for shot in found.shots] == ["7", "8", "9"]
