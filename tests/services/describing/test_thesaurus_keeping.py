"""The thesaurus as the artist keeps it: every change one step, nothing out of order."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest
from sqlalchemy import select

from assetlib.catalogue.words import Label, Relation, Suggestion
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import importing, thesaurus
from assetlib.services.describing.newwords import TOLD_FILE, untold_words
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
    told = importing.import_turtle(lib, tmp_path / "words.ttl", dry_run=True)
    assert told.new == ["whippet"]
    told = importing.import_turtle(lib, tmp_path / "words.ttl")
    (shown,) = thesaurus.show(lib, "whippet")
    assert (shown.broader, shown.definition, shown.abroad) == (("dog",), "a fast dog", (("de", "Windhund"),))
    assert told.links == 1
    again = importing.import_turtle(lib, tmp_path / "words.ttl")
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
    told = importing.import_turtle(lib)
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
        importing.import_turtle(lib, path)
    with pytest.raises(NotFound):
        thesaurus.show(lib, "zebu")


@pytest.mark.parametrize(
    ("data", "match"),
    [
        (b'<u:a> a skos:Concept ; skos:prefLabel "zebu"@en, "ox"@en .', "two preferred labels"),
        (b'<u:a> a skos:Concept ; skos:prefLabel "zebu"@en ; skos:altLabel "zebu"@en .', "two kinds of label"),
        (b'<u:a> a skos:Concept ; skos:prefLabel "zebu"@en ; skos:bro', "line 2.*in the middle"),
        (b'{"concepts": []}', "line 2"),
        ('<u:a> a skos:Concept ; skos:prefLabel "zeb\u00fc"@de .'.encode("latin-1"), "no text in UTF-8"),
        (b'<u:a> a skos:Concept ; skos:prefLabel "zebu"@en ; skos:definition "' + b"x" * 3000 + b'" .', "3000"),
        (b"# nothing", "no concepts"),
        (b"#" * (33 << 20), "larger than 32 MB"),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_taken_over_says_why(
    lib: Library, tmp_path: Path, data: bytes, match: str
) -> None:
    (tmp_path / "w.ttl").write_bytes(b"@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n" + data)
    before = len(thesaurus.read(lib).concepts)
    with pytest.raises(WrongUsage, match=match):
        importing.import_turtle(lib, tmp_path / "w.ttl")
    assert len(thesaurus.read(lib).concepts) == before


def test_what_was_merged_does_not_come_back_with_the_words_of_this_assetlib(lib: Library) -> None:
    thesaurus.merge(lib, "gull", "bird")
    told = importing.import_turtle(lib)
    assert told.new == []
    assert [shown.label for shown in thesaurus.show(lib, "gull")] == ["bird"]


def test_merging_words_keeps_what_was_left_and_the_days_of_a_period(lib: Library, code: str) -> None:
    describe(lib, [code], Description(add=("gull",), waits=True))
    describe(lib, [code], Description(remove=("gull",), waits=True))
    set_period(lib, "brush years", None, dt.date(2000, 1, 1))
    thesaurus.merge(lib, "gull", "bird")
    thesaurus.add(lib, "inky")
    thesaurus.merge(lib, "brush years", "inky")
    assert [(p.name, p.last_day) for p in periods(lib)] == [("inky", dt.date(2000, 1, 1))]
    with lib.reading() as session:
        rows = session.scalars(select(Suggestion)).all()
        assert [(row.value, row.state) for row in rows if row.facet == "tag"] == [("bird", "left")]
    undo_steps(lib, 3)
    assert [p.name for p in periods(lib)] == ["brush years"]


def test_new_words_are_told_of_once(lib: Library) -> None:
    assert untold_words(lib) == 0
    with lib.transaction() as session:  # as a library that was begun with fewer labels
        label = session.scalars(select(Label).where(Label.text == "Hund")).one()
        session.delete(label)
    assert untold_words(lib) == 0  # told of already, or had
    (lib.derived / TOLD_FILE).write_text('{"words": "of an older one"}', encoding="utf-8")
    assert untold_words(lib) == 1
    assert untold_words(lib) == 0
    importing.import_turtle(lib)
    (lib.derived / TOLD_FILE).unlink()
    assert untold_words(lib) == 0
    (lib.derived / TOLD_FILE).unlink()
    (lib.derived / TOLD_FILE).mkdir()  # it cannot be written
    assert untold_words(lib) == 0


def test_a_label_with_a_small_word_within_is_found_whole(lib: Library, code: str) -> None:
    describe(lib, [code], Description(title="wedding couple, FS"))
    assert show(lib, code).card.tags == ("bride and groom",)
    for line in "bride and groom", "Bride and groom, FS", "newlyweds":
        assert [r.card.code for r in find(lib, Asked(line)).on("fits")] == [code]


def test_a_line_that_names_a_style_period_brings_its_drawings_first(lib: Library, draw: Draw) -> None:
    paths = [draw(f"IMG_{n}.png", n, size=(120 + 9 * n, 90)) for n in range(4)]
    day = dt.datetime(2021, 6, 1, 12, tzinfo=dt.UTC).timestamp()
    for old in paths[1], paths[3]:
        os.utime(old, (day, day))
    codes = [item.code for item in bring_in(lib, paths, Wishes(role="element")).added]
    for code, title in zip(codes, ("Dog running", "Dog running", "Dog sitting", "Cat"), strict=True):
        describe(lib, [code], Description(title=title))
    set_period(lib, "brush, to 2022", None, dt.date(2022, 12, 31))
    found = find(lib, Asked("dog running, brush, to 2022")).results
    assert [(r.card.code, r.fit, r.unmet) for r in found[:2]] == [
        (codes[1], "fits", ()),
        (codes[0], "partly", ("brush, to 2022",)),
    ]
    assert found[2].card.code == codes[2]  # what is drawn counts before the manner
    assert {r.card.code for r in find(lib, Asked("brush to 2022")).on("fits")} == {codes[1], codes[3]}
    narrowed = find(lib, Asked("dog", tags=("brush, to 2022",))).results
    assert codes[0] not in {r.card.code for r in narrowed}


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
