"""What serves the shot is found first, and the list says where it ends: the lines of a board artist, one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PIL import Image, ImageDraw

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Descent
from assetlib.library import Library
from assetlib.services.bringing import cutting
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding.search import Asked, Found, find
from tests.shelving import put_titles

TITLES = (
    "Hood mount two-shot", "Hood mount, driver alone", "Hands offering a loaf", "Deckhand hauling a rope",
    "Bollard with mooring rope", "Over the driver's shoulder", "Camera pushes in", "Camera pulls out",
    "Camera cranes up",
    "Handheld camera", "Camera pans right", "Dog from behind", "Dog sitting", "Laptop three-quarter",
    "Baker with a tray of loaves", "Baker without tray", "Baker walking", "Two people talking", "Bakery at night",
    "Shop row, nobody about", "Couple running, R to L", "Couple running, L to R", "Woman seated on a bench",
    "Catalogue of tools", "Two dogs playing", "Commuter crowd from the front", "Tree by the road", "Form to sign",
    "Ice cone", "Bulldog",
)  # fmt: skip

Shelf = Callable[..., dict[str, str]]


@pytest.fixture
def shelf(lib: Library) -> Shelf:
    """Puts drawings with these titles, or those above, on the shelf; returns their codes by title."""

    def put(*titles: str) -> dict[str, str]:
        return put_titles(lib, titles or TITLES)

    return put


def _titles(found: Found, fit: str | None = None) -> list[str]:
    return [row.card.title for row in found.results if fit in (None, row.fit)]


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("hood mount two-shot, driver and baker", "Hood mount two-shot"),
        ("CU, hands offer a loaf in a paper bag", "Hands offering a loaf"),
        ("deckhand hauls the mooring rope", "Deckhand hauling a rope"),
        ("OTS driver, empty road", "Over the driver's shoulder"),
        ("push in", "Camera pushes in"),
        ("pull out", "Camera pulls out"),
        ("crane up", "Camera cranes up"),
        ("handheld", "Handheld camera"),
        ("pan right", "Camera pans right"),
        ("two-shot", "Hood mount two-shot"),
        ("OTS", "Over the driver's shoulder"),
        ("from behind", "Dog from behind"),
        ("three-quarter", "Laptop three-quarter"),
        ("two people", "Two people talking"),
        ("two dogs", "Two dogs playing"),
        ("couple running L to R", "Couple running, L to R"),
        ("couple runs to the left", "Couple running, R to L"),
        ("woman sits", "Woman seated on a bench"),
    ],
)
def test_what_serves_comes_first(lib: Library, shelf: Shelf, line: str, first: str) -> None:
    shelf()
    assert _titles(find(lib, Asked(line)))[0] == first


def test_what_is_missing_is_named(lib: Library, shelf: Shelf) -> None:
    shelf("Hood mount, driver alone")
    (row,) = find(lib, Asked("hood mount two-shot")).results
    assert (row.fit, row.unmet) == ("partly", ("two-shot",))


@pytest.mark.parametrize(
    "line",
    ["helicopter", "three penguins", "farm", "concert", "bulldozer", "cat", "a cop", "3 dogs", "five people"],
)
def test_nothing_fits_what_is_not_there(lib: Library, shelf: Shelf, line: str) -> None:
    shelf()
    found = find(lib, Asked(line))
    assert _titles(found, "fits") == []
    assert "Catalogue of tools" not in _titles(found, "partly")


@pytest.mark.parametrize(
    ("typed", "other"),
    [
        ("three penguins", "Tree by the road"),
        ("farm", "Form to sign"),
        ("concert", "Ice cone"),
        ("bulldozer", "Bulldog"),
    ],
)
def test_words_that_are_spelt_right_are_not_respelt(
    lib: Library, shelf: Shelf, typed: str, other: str
) -> None:
    shelf(other, "Gull")
    assert other not in _titles(find(lib, Asked(typed)), "partly")


def test_a_misspelt_word_stands_in_part_and_says_so(lib: Library, shelf: Shelf) -> None:
    shelf("Suitcase on wheels")
    (row,) = find(lib, Asked("sutcase")).results
    assert row.fit == "partly"
    assert "suitcas" in " ".join(row.why)


def test_baker_is_no_beginning_of_bakery(lib: Library, shelf: Shelf) -> None:
    shelf("Bakery at night", "Gull")
    assert {row.fit for row in find(lib, Asked("baker")).results} <= {"near"}


@pytest.mark.parametrize("line", ["dog's", "dogs", "dog"])
def test_forms_of_a_word_are_one(lib: Library, shelf: Shelf, line: str) -> None:
    shelf("Dog sitting", "Gull")
    assert _titles(find(lib, Asked(line)), "fits") == ["Dog sitting"]


@pytest.mark.parametrize(
    "line", ["baker w/out tray", "baker no tray", "baker without a tray", "baker minus tray", "baker -tray"]
)
def test_without_is_never_answered_with_it(lib: Library, shelf: Shelf, line: str) -> None:
    shelf()
    found = find(lib, Asked(line))
    assert set(_titles(found, "fits")) == {"Baker without tray", "Baker walking"}
    last = [row for row in found.results if row.fit == "partly"][-1]
    assert last.card.title == "Baker with a tray of loaves"
    assert "shows tray" in last.why


@pytest.mark.parametrize("line", ["street no people", "empty street", "street, nobody"])
def test_an_empty_street_keeps_its_noun_and_has_no_people(lib: Library, shelf: Shelf, line: str) -> None:
    shelf("Street with crowd", "Street at noon", "Woman walking in the street")
    found = find(lib, Asked(line))
    assert _titles(found, "fits") == ["Street at noon"]
    assert {row.fit for row in found.results[1:]} == {"partly"}


def test_a_line_of_nothing_but_without_shows_all_that_is_without(lib: Library, shelf: Shelf) -> None:
    shelf("Woman walking", "Gull", "Crate")
    assert set(_titles(find(lib, Asked("no people")), "fits")) == {"Gull", "Crate"}


def test_the_other_direction_is_offered_mirrored(lib: Library, shelf: Shelf) -> None:
    shelf("Man running, R to L", "Gull")
    (row,) = find(lib, Asked("man running L to R")).results
    assert row.mirror
    assert row.fit == "partly"
    assert "mirror it" in row.why


def test_mirroring_warns_of_the_drivers_side_and_forbids_nothing(lib: Library, shelf: Shelf) -> None:
    shelf("Man driving, R to L", "Man with a watch running, R to L")
    rows = {row.card.title: row.why for row in find(lib, Asked("man L to R")).results}
    assert rows["Man driving, R to L"] == ("mirror it, the driver then sits right", "man")
    assert rows["Man with a watch running, R to L"] == ("mirror it", "man")


def test_of_a_family_the_newest_leads(lib: Library, shelf: Shelf) -> None:
    codes = shelf("Dog sitting", "Dog sitting again", "Gull")
    assert _titles(find(lib, Asked("dog sitting")))[0] == "Dog sitting"
    with lib.transaction() as session:
        older, newer = (
            queries.entry(session, codes[title]) for title in ("Dog sitting", "Dog sitting again")
        )
        session.add(
            Descent(
                child_id=newer.current_version_id, parent_id=older.current_version_id, how="altered from",
                source="artist", made_at=lib.now(),
            )
        )  # fmt: skip
    assert _titles(find(lib, Asked("dog sitting")))[:2] == ["Dog sitting again", "Dog sitting"]


def test_a_couple_on_a_bench_asks_for_one_bench(lib: Library, shelf: Shelf) -> None:
    shelf("Two women sitting on a bench", "Gull")
    assert _titles(find(lib, Asked("couple on a bench")), "fits") == ["Two women sitting on a bench"]
    shelf_of_gulls = find(lib, Asked("a pair of gulls"))
    assert [row.unmet for row in shelf_of_gulls.results if row.card.title == "Gull"] == [("2 gulls",)]


def test_a_heading_is_told_to_be_one(lib: Library, shelf: Shelf) -> None:
    shelf()
    found = find(lib, Asked("SPOT A: THE BAKERY VAN"))
    assert found.heading
    assert found.results == ()
    assert not find(lib, Asked("spot a dog in the crowd")).heading


def test_what_is_counted_does_not_depend_on_the_limit(lib: Library, shelf: Shelf) -> None:
    shelf()
    totals = {find(lib, Asked("dog", limit=limit)).total for limit in (1, 3, 24, 60)}
    assert len(totals) == 1


def test_names_of_sheets_and_folders_make_no_facts(
    lib: Library, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("2024-05 school bus crowd")
    page = Image.new("L", (600, 260), 255)
    pen = ImageDraw.Draw(page)
    pen.ellipse((30, 40, 220, 220), outline=0, width=5)
    pen.rectangle((360, 40, 560, 220), outline=0, width=5)
    page.save(folder / "INT van people.png")
    (sheet,) = bring_in(lib, [folder], Wishes(role="sheet")).added
    (cut,) = cutting.cut_sheet(lib, sheet.code)
    assert len(cut.elements) == 2
    for line in ("bus", "crowd", "INT", "van", "people"):
        found = find(lib, Asked(line))
        assert not [row for row in found.results if row.card.code != sheet.code and row.fit == "fits"], line
        assert found.total == 0, line  # the sheet stands behind its drawings, and is not counted for them


def test_what_came_from_an_old_title_goes_with_it(lib: Library, shelf: Shelf) -> None:
    codes = shelf("Dog from behind", "Gull")
    assert _titles(find(lib, Asked("from behind")), "fits") == ["Dog from behind"]
    describe(lib, [codes["Dog from behind"]], Description(title="Dog asleep"))
    assert _titles(find(lib, Asked("from behind")), "fits") == []


def test_a_facet_the_artist_gave_stands_against_the_title(lib: Library, shelf: Shelf) -> None:
    codes = shelf("Dog from behind", "Gull")
    describe(lib, list(codes.values())[:1], Description(set=("view=front",)))
    (row,) = find(lib, Asked("dog")).results
    assert row.card.facets["view"] == ("front",)


def test_days_narrow_what_is_found(lib: Library, shelf: Shelf) -> None:
    shelf("Dog", "Gull")
    assert _titles(find(lib, Asked("dog", since="2026-03-14"))) == ["Dog"]
    assert _titles(find(lib, Asked("dog", since="2026-04"))) == []
    assert _titles(find(lib, Asked("dog", before="2026-03-14"))) == []


def test_of_what_nobody_described_it_is_not_said_that_nobody_is_there(lib: Library, shelf: Shelf) -> None:
    shelf("Crate", "IMG 0032", "scan 7", "Woman walking")
    found = find(lib, Asked("no people"))
    assert _titles(found, "fits") == ["Crate"]
    assert {row.unmet for row in found.results if row.card.title in ("IMG 0032", "scan 7")} == {
        ("not described yet",)
    }
    assert found.fitting == 1


@pytest.mark.parametrize(
    ("drawn", "wanted", "why"),
    [
        ("left", "", "mirror it, the driver then sits right"),
        ("right", "", "mirror it, the driver then sits left"),
        ("left", "left", "mirror it, the driver then sits right"),
        ("left", "right", "mirror it"),
    ],
)
def test_the_side_of_the_driver_is_the_setting_s_and_the_job_s(
    lib: Library, shelf: Shelf, drawn: str, wanted: str, why: str
) -> None:
    lib.settings = replace(lib.settings, driver_side=drawn)
    shelf("Driver in profile, L to R")
    (row,) = find(lib, Asked("driver in profile R to L", driver_side=wanted)).results
    assert why in row.why


def test_a_driver_on_the_other_side_than_the_job_s_is_told(lib: Library, shelf: Shelf) -> None:
    shelf("Hood mount, driver alone", "Dog sitting")
    (row,) = find(lib, Asked("driver", driver_side="right")).on("fits")
    assert "driver sits left: mirror it" in row.why
    (other,) = find(lib, Asked("dog", driver_side="right")).on("fits")
    assert not any("driver" in why for why in other.why)


def test_two_in_one_picture_are_a_two_shot(lib: Library, shelf: Shelf) -> None:
    shelf("Hood mount, two people", "Hood mount, driver alone")
    assert _titles(find(lib, Asked("hood mount two-shot")), "fits") == ["Hood mount, two people"]
