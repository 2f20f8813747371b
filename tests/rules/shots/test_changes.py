"""A changed list is matched by what its shots say, then by number."""

from __future__ import annotations

from assetlib.rules.shots.lists.changes import MOVED, REWORDED, compare
from assetlib.rules.shots.lists.values import Shot


def kinds(
    before: list[tuple[str, str]], now: list[tuple[str, str]], omitted: tuple[str, ...] = ()
) -> list[str]:
    shots = [[Shot(number, text) for number, text in side] for side in (before, now)]
    return [
        f"{now[change.now][0] if change.now is not None else before[change.before or 0][0]} {change.kind}"
        for change in compare(shots[0], shots[1], omitted)
    ]


LIST = [
    ("1", "WS street at night, van at the kerb"),
    ("2", "CU hands on the wheel"),
    ("3", "MS dog waits at the door"),
]


def test_a_list_that_did_not_change_is_the_same() -> None:
    assert kinds(LIST, LIST) == ["1 same", "2 same", "3 same"]


def test_new_reworded_moved_and_omitted_are_told() -> None:
    now = [
        LIST[0],
        ("12A", "CU a key turns"),
        ("2", "CU both hands on the steering wheel"),
        ("5", LIST[2][1]),
    ]
    assert kinds(LIST, now) == ["1 same", "12A new", "2 reworded", "5 moved"]
    assert kinds(LIST, LIST[:2], ("3",)) == ["1 same", "2 same", "3 omitted"]


def test_another_shot_under_an_old_number_is_new() -> None:
    now = [LIST[0], ("2", "EWS ferry crosses the bay at dusk, gulls"), ("2A", LIST[1][1]), LIST[2]]
    assert kinds(LIST, now) == ["1 same", "2 new", "2A moved", "3 same"]


def test_a_shot_that_came_under_another_heading_with_a_new_number_has_moved() -> None:
    before = [Shot("5", "couple running", "EXT. QUAY"), Shot("6", "elephant on a unicycle", "EXT. QUAY")]
    now = [Shot("5", "elephant on a unicycle", "INT. BAKERY"), Shot("6", "couple running", "EXT. QUAY")]
    assert [change.kind for change in compare(before, now)] == [MOVED, MOVED]
    at_once = [Shot("6", "elephant on a unicycle", "INT. BAKERY")]
    assert [change.kind for change in compare(before[1:], at_once)] == [REWORDED]
