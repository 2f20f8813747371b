"""The in-tray: one drawing at a time, each one step, left and gone on with at any moment."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.describing.tray import Tray
from assetlib.services.finding.showing import show
from assetlib.services.keeping.history import steps
from assetlib.services.keeping.upkeep import work_off
from tests.cli.pages import three_shapes
from tests.conftest import Draw

Shelf = Callable[..., list[str]]


@pytest.fixture
def put(lib: Library, draw: Draw) -> Shelf:
    """Drawings with these names in the in-tray, in this order."""

    def bring(*names: str) -> list[str]:
        paths = [draw(f"{name}.png", n, size=(120 + n, 90)) for n, name in enumerate(names)]
        return [item.code for item in bring_in(lib, paths, Wishes(role="element")).added]

    return bring


def _untitled(lib: Library) -> set[str]:
    """What is suggested of the first drawing without its file's name as a title."""
    tray = Tray(lib)
    if tray.view().offered is not None:
        tray.toggle(1)
    return {chip.text for chip in tray.view().chips}


def _key_of(tray: Tray, text: str) -> int:
    return next(chip.key for chip in tray.view().chips if chip.text == text)


def test_a_title_is_read_and_the_drawing_leaves_the_tray(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    tray.name("Baker  asleep, profile")
    tray.finish()
    card = show(lib, first).card
    assert card.title == "Baker asleep, profile"
    assert set(card.tags) == {"baker", "sleeping"}
    assert card.facets["view"] == ("profile",)
    assert tray.view().code == second
    tray.name("Cat")
    assert tray.finish()
    assert tray.is_empty


def test_of_what_nothing_is_said_nothing_is_kept_and_it_waits_on(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    assert not tray.finish()
    assert tray.view().code == second
    assert tray.view().waiting == 2
    tray.back()
    assert tray.view().code == first
    tray.add("quay")
    assert tray.finish()


def test_the_name_of_its_file_is_its_title_unless_it_says_nothing(lib: Library, put: Shelf) -> None:
    first, second, third, *junk = put(
        "cat curled up", "cats asleep", "dog", "img 4410", "scan 0234", "untitled 3"
    )
    tray = Tray(lib)
    offered = tray.view().offered
    assert offered is not None
    assert (offered.text, offered.taken) == ("title: Cat curled up", True)
    assert tray.finish()
    assert (show(lib, first).card.title, "cat" in show(lib, first).card.tags) == ("Cat curled up", True)
    assert not Tray(lib).view().is_titled  # it is suggested, and looks so
    tray.toggle(1)  # it can be let go
    offered = tray.view().offered
    assert offered is not None
    assert not offered.taken
    tray.take_sure()
    assert tray.finish()
    assert show(lib, second).card.title == "Cats asleep"
    tray.name("dog")  # the same word, said by the artist
    assert tray.finish()
    assert show(lib, third).card.tags == ("dog",)
    for code in junk:
        assert tray.view().code == code
        assert [c.text for c in tray.view().chips if c.text.startswith("title")] == []
        tray.skip()


def test_back_is_to_the_one_just_described_as_it_stands(lib: Library, put: Shelf) -> None:
    first, second, third = put("IMG_1", "IMG_2", "IMG_3")
    tray = Tray(lib)
    with pytest.raises(WrongUsage, match="first"):
        tray.back()
    tray.name("Dog asleep")
    tray.add("quay, dusk")
    tray.finish()
    tray.skip()
    assert tray.view().code == third
    tray.back()
    assert tray.view().code == second
    tray.back()
    view = tray.view()
    assert (view.code, view.title, view.is_again, view.waiting) == (first, "Dog asleep", True, 2)
    tray.toggle(_key_of(tray, "quay"))
    tray.name("Cat asleep")
    tray.finish()
    assert set(show(lib, first).card.tags) == {"cat", "sleeping", "dusk"}
    assert (tray.view().code, tray.described) == (second, 1)
    assert tray.undo()  # what was changed when it was looked at again
    assert set(show(lib, first).card.tags) == {"dog", "sleeping", "quay", "dusk"}


def test_undo_says_what_went_and_keeps_what_was_typed(lib: Library, put: Shelf) -> None:
    first, _ = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    tray.name("Dog asleep")
    tray.add("quay")
    tray.finish()
    assert tray.undo() == "Dog asleep"
    view = tray.view()
    assert (view.code, view.title, view.waiting) == (first, "Dog asleep", 2)
    assert [c.text for c in view.chips if c.taken] == ["quay"]
    assert show(lib, first).card.tags == ()
    tray.finish()
    assert set(show(lib, first).card.tags) == {"dog", "sleeping", "quay"}


def test_what_came_alone_cannot_be_joined_with_a_drawing_before_it(
    lib: Library, sheet: str, draw: Draw
) -> None:
    (loose,) = (i.code for i in bring_in(lib, [draw("IMG_9.png", 5)], Wishes(role="element")).added)
    tray = Tray(lib, only=[sheet])
    tray.is_sheet()
    tray = Tray(lib)
    while tray.view().code != loose:
        tray.skip()
    with pytest.raises(WrongUsage, match="came alone"):
        tray.belongs_to_last()


def test_after_cutting_the_first_of_the_new_pieces_is_in_turn(lib: Library, put: Shelf, sheet: str) -> None:
    put("IMG_7", "IMG_8")
    tray = Tray(lib)
    while tray.view().code != sheet:
        tray.skip()
    tray.is_sheet()
    assert tray.view().place == (1, 3)


def _fox_and_twin(lib: Library, draw: Draw) -> tuple[str, str, str, Tray]:
    """A described fox, its look-alike and another drawing, by code, and the in-tray that the two wait in."""
    paths = [
        draw("IMG_1.png", 3),
        draw("IMG_2.png", 3, size=(150, 112)),
        draw("IMG_3.png", 6, size=(90, 130)),
    ]
    first, twin, other = (item.code for item in bring_in(lib, paths, Wishes(role="element")).added)
    work_off(lib)
    describe(lib, [first], Description(title="Sleeping fox"))
    return first, twin, other, Tray(lib)


def test_look_alikes_are_named_for_a_double(lib: Library, draw: Draw) -> None:
    first, twin, other, tray = _fox_and_twin(lib, draw)
    assert tray.view().code == twin
    likest = tray.alikes()[0]
    assert (likest.code, likest.name, likest.is_alike) == (first, "Sleeping fox", True)
    assert not tray.other(other).is_alike


def test_a_sitting_kept_to_some_says_how_many_wait_elsewhere(lib: Library, put: Shelf) -> None:
    _, second, _ = put("IMG_1", "IMG_2", "IMG_3")
    tray = Tray(lib, only=[second])
    tray.name("Dog")
    tray.finish()
    assert (tray.is_empty, tray.elsewhere) == (True, 2)


def test_another_title_takes_what_the_first_said_away(lib: Library, put: Shelf) -> None:
    (code,) = put("IMG_1")
    describe(lib, [code], Description(title="Dog in profile", add=("quay",)))
    describe(lib, [code], Description(title="Cat from behind"))
    card = show(lib, code).card
    assert set(card.tags) == {"cat", "quay"}
    assert card.facets["view"] == ("back",)


def test_what_is_taken_stands_and_what_is_not_is_left_for_good(lib: Library, put: Shelf) -> None:
    (code,) = put("dog cat")
    tray = Tray(lib)
    tray.toggle(1)  # without its file's name as a title
    assert {"dog", "cat"} <= {chip.text for chip in tray.view().chips}
    tray.toggle(_key_of(tray, "dog"))
    tray.finish()
    assert show(lib, code).card.tags == ("dog",)
    with lib.transaction("back to the tray") as session:
        from assetlib.catalogue import queries

        queries.entry(session, code).described_at = None
    assert "cat" not in _untitled(lib)


def test_a_tag_that_was_taken_off_is_not_offered_again(lib: Library, put: Shelf) -> None:
    (code,) = put("dog")
    describe(lib, [code], Description(add=("dog",), waits=True))
    describe(lib, [code], Description(remove=("dog",), waits=True))
    assert "dog" not in _untitled(lib)


def test_what_was_left_all_at_once_does_not_come_back_either(lib: Library, put: Shelf) -> None:
    (code,) = put("dog")
    with lib.transaction("as a file's own word") as session:
        from assetlib.catalogue import queries
        from assetlib.services.describing.tagging import offer_words

        offer_words(lib, session, queries.entry(session, code), ["dog"])
    assert "dog" in _untitled(lib)
    describe(lib, [code], Description(leave=True, waits=True))
    assert "dog" not in _untitled(lib)


def test_words_of_ones_own_become_tags_though_they_are_new(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    tray.add("dog, Bäckerei Möwe")
    tray.finish()
    assert set(show(lib, first).card.tags) == {"dog", "Bäckerei Möwe"}
    tray.name("Dog at the Bäckerei Möwe")
    tray.finish()
    assert set(show(lib, second).card.tags) == {"dog", "Bäckerei Möwe"}
    assert tray.undo()
    with pytest.raises(WrongUsage):
        tray.add("x" * 90)


def test_a_thing_that_no_thesaurus_knows_is_offered_as_a_word_of_ones_own(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    tray.name("Dog with a quibblet, empty")
    assert [chip.text for chip in tray.view().chips if chip.why.startswith("a new word")] == ["quibblet"]
    tray.toggle(_key_of(tray, "quibblet"))
    tray.finish()
    assert set(show(lib, first).card.tags) == {"dog", "quibblet"}
    tray.name("Cat on a quibblet")  # it is one now
    tray.finish()
    assert set(show(lib, second).card.tags) == {"cat", "quibblet"}


def test_undo_is_one_step_a_drawing(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    before = len(steps(lib))
    tray.name("Dog")
    tray.finish()
    tray.name("Cat")
    tray.finish()
    assert len(steps(lib)) == before + 2
    assert tray.undo()
    assert tray.view().code == second
    assert show(lib, second).card.tags == ()
    assert show(lib, first).card.tags == ("dog",)
    assert tray.undo()
    assert not tray.undo()


def test_it_goes_on_where_it_stopped(lib: Library, put: Shelf) -> None:
    _, second, _ = put("IMG_1", "IMG_2", "IMG_3")
    tray = Tray(lib)
    tray.skip()
    tray.leave()
    assert Tray(lib).view().code == second


def test_a_sitting_can_be_kept_to_some_drawings(lib: Library, put: Shelf) -> None:
    _, second, _ = put("IMG_1", "IMG_2", "IMG_3")
    tray = Tray(lib, only=[second])
    assert (tray.view().code, tray.view().waiting) == (second, 1)
    tray.name("Dog")
    tray.finish()
    assert tray.is_empty
    assert tray.undo()
    assert (tray.view().code, tray.view().waiting) == (second, 1)


def test_skipping_goes_round_and_back_goes_back(lib: Library, put: Shelf) -> None:
    first, second = put("IMG_1", "IMG_2")
    tray = Tray(lib)
    tray.skip()
    assert tray.view().code == second
    tray.skip()
    assert tray.view().code == first
    tray.back()
    assert tray.view().code == second


def test_what_was_taken_is_given_to_the_next_few_which_still_wait(lib: Library, put: Shelf) -> None:
    _, second, third, fourth = put("IMG_1", "IMG_2", "IMG_3", "IMG_4")
    tray = Tray(lib)
    tray.add("dog, quay")
    assert tray.give_to_next(2) == 2
    assert set(show(lib, second).card.tags) == {"dog", "quay"} == set(show(lib, third).card.tags)
    assert show(lib, fourth).card.tags == ()
    assert tray.view().waiting == 4
    assert tray.undo()
    assert show(lib, second).card.tags == ()


def test_misjudged_ones_are_put_right(lib: Library, put: Shelf) -> None:
    first, second, third = put("IMG_1", "IMG_2", "IMG_3")
    tray = Tray(lib)
    tray.is_reference()
    assert show(lib, first).card.role == "reference"
    tray.is_double_of(third)
    assert show(lib, second).card.in_attic
    assert tray.view().code == third
    assert tray.undo()
    assert not show(lib, second).card.in_attic


def test_the_title_of_a_look_alike_can_be_taken(lib: Library, draw: Draw) -> None:
    _, twin, _, tray = _fox_and_twin(lib, draw)
    assert tray.view().code == twin
    tray.toggle(_key_of(tray, "title: Sleeping fox"))
    tray.finish()
    card = show(lib, twin).card
    assert card.title == "Sleeping fox"
    assert set(card.tags) == {"sleeping", "fox"}


def test_what_is_known_of_others_is_offered_to_a_look_alike(lib: Library, draw: Draw) -> None:
    paths = [draw("IMG_1.png", 3), draw("IMG_2.png", 3, size=(150, 112))]
    first, _ = (item.code for item in bring_in(lib, paths, Wishes(role="element")).added)
    work_off(lib)
    describe(lib, [first], Description(add=("fox",), set=("pose=seated",)))
    chips = {chip.text: chip.why for chip in Tray(lib).view().chips}
    assert {"fox", "seated"} <= set(chips)
    assert "looks like" in chips["fox"]


def test_an_empty_tray_is_empty(lib: Library) -> None:
    assert Tray(lib).is_empty


@pytest.fixture
def sheet(lib: Library, tmp_path: Path) -> str:
    """A page of three shapes that was brought in as a drawing; its code."""
    three_shapes().save(tmp_path / "three shapes.png")
    (added,) = bring_in(lib, [tmp_path / "three shapes.png"], Wishes(role="element")).added
    return added.code


def test_what_is_a_sheet_after_all_is_cut_and_its_drawings_wait_in_its_place(
    lib: Library, sheet: str
) -> None:
    tray = Tray(lib)
    assert (tray.view().code, tray.view().waiting) == (sheet, 1)
    assert tray.is_sheet() == 3
    assert show(lib, sheet).card.role == "sheet"
    assert (tray.view().place, tray.view().waiting) == ((1, 3), 3)
    assert tray.view().proof is not None
    assert tray.undo()
    assert (tray.view().code, tray.view().waiting) == (sheet, 1)


def test_a_drawing_cut_in_two_becomes_one_again(lib: Library, sheet: str) -> None:
    tray = Tray(lib)
    tray.is_sheet()
    with pytest.raises(WrongUsage, match="no drawing before it"):
        tray.belongs_to_last()
    first = tray.view().box
    tray.skip()
    second = tray.view().box
    tray.belongs_to_last()
    assert tray.view().waiting == 2
    joined = Tray(lib).view().box
    assert first is not None
    assert second is not None
    assert joined == (first[0], first[1], second[0] + second[2] - first[0], max(first[3], second[3]))
    assert tray.view().proof is not None  # it can be looked at without waiting for upkeep
    assert tray.undo()
    assert tray.view().waiting == 3


def test_what_was_taken_is_given_to_the_sheet_alone(lib: Library, sheet: str, put: Shelf) -> None:
    (loose,) = put("IMG_9")
    tray = Tray(lib)
    while tray.view().code != sheet:
        tray.skip()
    tray.is_sheet()
    while tray.view().place is None:
        tray.skip()
    tray.name("Dog")
    assert tray.give_to_sheet() == 0  # a title is one drawing's own
    tray.add("quay")
    assert tray.give_to_sheet() == 2
    tray.finish()
    described = []
    for _ in range(tray.view().waiting):
        described.append(tray.view().said)
        tray.skip()
    assert sorted(described) == [(), ("quay",), ("quay",)]
    assert show(lib, loose).card.tags == ()


def test_what_was_taken_is_given_to_look_alikes(lib: Library, draw: Draw) -> None:
    paths = [
        draw("IMG_1.png", 3),
        draw("IMG_2.png", 3, size=(150, 112)),
        draw("IMG_3.png", 6, size=(90, 130)),
    ]
    first, twin, other = (item.code for item in bring_in(lib, paths, Wishes(role="element")).added)
    work_off(lib)
    tray = Tray(lib)
    assert tray.view().code == first
    tray.add("fox")
    assert tray.give_to_kin() == 1
    assert (show(lib, twin).card.tags, show(lib, other).card.tags) == (("fox",), ())
