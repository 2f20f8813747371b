"""The thesaurus as the artist keeps it: every change one step, nothing out of order."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest
from sqlalchemy import select

from assetlib.catalogue.words import Relation
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import thesaurus
from assetlib.services.describing.periods import periods, set_period
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.keeping.history import undo_steps
from tests.conftest import Draw


@pytest.fixture
def code(lib: Library, draw: Draw) -> str:
    return bring_in(lib, [draw("IMG_1.png")], Wishes(role="element")).added[0].code


def test_a_word_is_added_with_its_place_and_undone(lib: Library) -> None:
    thesaurus.add(lib, "whippet", other=("snap dog",), broader=("dog",))
    (shown,) = thesaurus.show(lib, "snap dog")
    assert (shown.label, shown.broader, shown.own) == ("whippet", ("dog",), True)
    undo_steps(lib)
    with pytest.raises(NotFound):
        thesaurus.show(lib, "whippet")


def test_a_renamed_word_is_found_by_both_names_and_undone(lib: Library, code: str) -> None:
    describe(lib, [code], Description(add=("phone",)))
    thesaurus.rename(lib, "phone", "blower")
    assert show(lib, code).card.tags == ("blower",)
    assert [r.card.code for r in find(lib, Asked("phone")).results] == [code]
    undo_steps(lib)
    assert show(lib, code).card.tags == ("phone",)
    assert not find(lib, Asked("blower")).results


def test_merging_moves_drawings_and_labels_and_is_undone(lib: Library, code: str) -> None:
    describe(lib, [code], Description(add=("mutt",)))
    assert thesaurus.merge(lib, "mutt", "dog") == 1
    assert show(lib, code).card.tags == ("dog",)
    assert "mutt" in thesaurus.show(lib, "dog")[0].others
    undo_steps(lib)
    assert show(lib, code).card.tags == ("mutt",)


def test_a_circle_is_refused_and_changes_nothing(lib: Library) -> None:
    with pytest.raises(WrongUsage, match="broader than itself"):
        thesaurus.add(lib, "animal", broader=("dog",))
    assert "dog" not in thesaurus.show(lib, "animal")[0].broader


def test_what_goes_out_comes_back_in_another_library(lib: Library, tmp_path: Path) -> None:
    thesaurus.add(
        lib, "whippet", other=("Windhund",), broader=("dog",), language="de", definition="a fast dog"
    )
    thesaurus.export_turtle(lib, tmp_path / "words.ttl")
    undo_steps(lib)
    told = thesaurus.import_turtle(lib, tmp_path / "words.ttl", dry_run=True)
    assert told.new == ["whippet"]
    told = thesaurus.import_turtle(lib, tmp_path / "words.ttl")
    (shown,) = thesaurus.show(lib, "whippet")
    assert (shown.broader, shown.definition, shown.abroad) == (("dog",), "a fast dog", (("de", "Windhund"),))
    assert told.links == 1
    again = thesaurus.import_turtle(lib, tmp_path / "words.ttl")
    assert (again.new, again.labels, again.links) == ([], 0, 0)


def test_an_older_library_gets_the_words_that_came_since(lib: Library) -> None:
    with lib.transaction() as session:  # as a library that started without this word
        from assetlib.services.describing.vocabulary import concept_for

        kneading = concept_for(session, "kneading")
        assert kneading is not None
        for label in kneading.labels:
            session.delete(label)
        for row in session.scalars(select(Relation).where(Relation.concept_id == kneading.id)):
            session.delete(row)
        for row in session.scalars(select(Relation).where(Relation.other_id == kneading.id)):
            session.delete(row)
        session.flush()
        session.expire(kneading)
        session.delete(kneading)
    told = thesaurus.import_turtle(lib)
    assert told.new == ["kneading"]
    (shown,) = thesaurus.show(lib, "kneads")
    assert (shown.broader, shown.own) == (("baking",), False)


def test_a_broken_file_changes_nothing(lib: Library, tmp_path: Path) -> None:
    path = tmp_path / "broken.ttl"
    path.write_text(
        "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n"
        '<u:a> a skos:Concept ; skos:prefLabel "zebu"@en ; skos:broader <u:b> .\n'
        '<u:b> a skos:Concept ; skos:prefLabel "ox"@en ; skos:broader <u:a> .\n'
    )
    with pytest.raises(WrongUsage, match="circle"):
        thesaurus.import_turtle(lib, path)
    with pytest.raises(NotFound):
        thesaurus.show(lib, "zebu")


def test_a_style_period_goes_by_the_day_a_file_was_made(lib: Library, draw: Draw) -> None:
    old, new = draw("IMG_1.png", 1), draw("IMG_2.png", 2, size=(140, 90))
    day = dt.datetime(2021, 6, 1, 12, tzinfo=dt.UTC).timestamp()
    os.utime(old, (day, day))
    first, second = (item.code for item in bring_in(lib, [old, new], Wishes(role="element")).added)
    made = set_period(lib, "brush, to 2022", None, dt.date(2022, 12, 31))
    assert made.drawings == 1
    assert show(lib, first).card.tags == ("brush, to 2022",)
    assert show(lib, second).card.tags == ()
    assert [r.card.code for r in find(lib, Asked("", tags=("brush, to 2022",))).results] == [first]
    assert [p.name for p in periods(lib)] == ["brush, to 2022"]
    undo_steps(lib)
    assert periods(lib) == []
