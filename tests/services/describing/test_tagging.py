"""Describing drawings, and taking it back."""

from __future__ import annotations

import pytest

from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.keeping.history import steps, undo_steps
from tests.conftest import Draw


@pytest.fixture
def code(lib: Library, draw: Draw) -> str:
    return bring_in(lib, [draw("dog.png")]).added[0].code


def test_a_tag_takes_its_preferred_label_and_is_there_once(lib: Library, code: str) -> None:
    describe(lib, [code], Description(add=("smartphone", "Mobile")))
    assert show(lib, code).card.tags == ("phone",)


def test_a_new_word_becomes_the_artists_own(lib: Library, code: str) -> None:
    describe(lib, [code], Description(add=("Ida's baker",)))
    assert [r.card.code for r in find(lib, Asked("ida's baker")).results] == [code]


def test_many_at_once_or_none(lib: Library, draw: Draw, code: str) -> None:
    with pytest.raises(NotFound):
        describe(lib, [code, "XXXXXX"], Description(add=("dog",)))
    assert show(lib, code).card.tags == ()


def test_a_trial_changes_nothing(lib: Library, code: str) -> None:
    (described,) = describe(lib, [code], Description(add=("dog",)), dry_run=True)
    assert described.tags == ("dog",)
    assert show(lib, code).card.tags == ()
    assert len(steps(lib)) == 1  # the intake


def test_a_facet_takes_any_usual_spelling_and_one_value(lib: Library, code: str) -> None:
    describe(lib, [code], Description(set=("shot_size=close up",)))
    describe(lib, [code], Description(set=("shot size=wide",)))
    assert show(lib, code).card.facets["shot_size"] == ("WS",)
    describe(lib, [code], Description(set=("shot_size=",)))
    assert "shot_size" not in show(lib, code).card.facets


def test_suggestions_are_taken_or_left(lib: Library, draw: Draw) -> None:
    first = bring_in(lib, [draw("hood mount two-shot.png", 3)]).added[0].code
    second = bring_in(lib, [draw("hood mount night.png", 4)]).added[0].code
    describe(lib, [first], Description(take=True))
    describe(lib, [second], Description(leave=True))
    assert "hood mount" in show(lib, first).card.facets["camera_position"]
    assert "camera_position" not in show(lib, second).card.facets


def test_undo_brings_back_what_was(lib: Library, code: str) -> None:
    before = show(lib, code)
    describe(lib, [code], Description(add=("dog",), set=("pose=seated",), title="Rex", note="mine"))
    undo_steps(lib)
    assert show(lib, code) == before
    assert find(lib, Asked("rex")).total == 0


def test_undo_walks_several_steps_across_sessions(lib: Library, code: str) -> None:
    for title in ("one", "two", "three"):
        describe(lib, [code], Description(title=title))
    other = Library.open(lib.folder)
    undone = undo_steps(other, 2)
    other.close()
    assert len(undone) == 2
    assert show(lib, code).card.title == "one"


def test_undoing_an_intake_takes_the_entries_away_and_the_files_stay_outside(
    lib: Library, draw: Draw
) -> None:
    source = draw("dog.png")
    code = bring_in(lib, [source]).added[0].code
    undo_steps(lib)
    with pytest.raises(NotFound):
        show(lib, code)
    assert find(lib, Asked("dog")).total == 0
    again = bring_in(lib, [source]).added[0].code
    assert again != code  # a code is never given twice


def test_undo_lets_stand_what_has_changed_since_and_says_so(lib: Library, code: str) -> None:
    describe(lib, [code], Description(title="one"))
    with lib.transaction() as session:  # something outside the log
        session.connection().exec_driver_sql("UPDATE entries SET title = 'else'")
    (note,) = undo_steps(lib)
    assert note.stays
    assert show(lib, code).card.title == "else"


def test_more_steps_than_there_are(lib: Library, code: str) -> None:
    with pytest.raises(WrongUsage, match="only 1"):
        undo_steps(lib, 5)


def test_undoing_many_drawings_undoes_all(lib: Library, draw: Draw) -> None:
    codes = [bring_in(lib, [draw(f"{n}.png", n)], Wishes(title=f"t{n}")).added[0].code for n in range(1, 4)]
    describe(lib, codes, Description(add=("crowd",)))
    assert find(lib, Asked("crowd")).total == 3
    undo_steps(lib)
    assert find(lib, Asked("crowd")).total == 0
