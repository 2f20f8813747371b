"""What a shot needs is judged as finding judges it: the same drawings fit, and what is lacking is to be altered."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.library import Library
from assetlib.rules.shots.lists.reading import read_text
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.serving import LOOK_AT_IT
from assetlib.services.bringing import intake
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding.search import Asked, find
from assetlib.services.jobs import pulling
from assetlib.services.jobs.pulling import ShotPulled
from tests.conftest import Draw

Titled = dict[str, str]


def shelve(lib: Library, draw: Draw, *titles: str) -> Titled:
    """Drawings with these titles, by title their codes."""
    codes = {}
    for number, title in enumerate(titles):
        (added,) = intake.bring_in(
            lib, [draw(f"drawing {number}.png", 3 * number + 1)], intake.Wishes(role="element")
        ).added
        describe(lib, [added.code], Description(title=title))
        codes[title] = added.code
    return codes


def pulled(lib: Library, line: str) -> ShotPulled:
    (found,) = pulling.pull(lib, [Shot("1", line)])
    return found


@pytest.mark.parametrize(
    ("line", "title", "served", "alter"),
    [
        ("MS, baker with tray of loaves", "Baker with a tray of loaves", "yes", ()),
        ("MS, baker with tray of loaves", "Baker walking", "half", ("add the tray", "add the loaves")),
        ("hood mount, two-shot, driver and baker", "Hood mount two-shot, driver and baker", "yes", ()),
        ("hood mount two-shot", "Hood mount, driver alone", "half", ("one person too few: draw another",)),
        ("delivery van from the back", "Delivery van, three-quarter back", "yes", ()),
        ("delivery van from three-quarter back", "Delivery van, front", "no", ()),
        ("WS, van at the kerb", "Hand with van key", "no", ()),
        ("CU, a ticket", "Ticket machine", "no", ()),
        ("CU, girl's face", "Eyes in the rear-view mirror", "no", ()),
        ("dog lying on the floor", "Dog sitting", "no", ()),
        ("dog shakes itself dry", "Dog from behind", "no", ()),
        ("woman walks right to left", "Woman walking left to right", "half", ("mirror it",)),
        ("two women on a bench", "Commuter crowd", "no", ()),
        ("MS crab", "Dog sitting", "no", ()),
        ("bycicle", "Bicycle", "yes", ()),
        ("nine dogs", "Dog sitting", "no", ()),
        ("two dogs sitting", "Dog sitting", "half", ("too few: draw another",)),
        ("a girl waving", "Boy waving", "half", ("make it a girl: it is a boy",)),
        ("she sits on the bench", "Woman seated on a bench", "yes", ()),
        ("she sits on the bench", "Man seated on a bench", "half", ("make it a woman: it is a man",)),
        ("CU, girl's hand with a croissant", "Hand with a croissant", "half", ("make it the girl's",)),
        ("takeaway coffee", "Coffee to go", "yes", ()),
        ("cyclist passes R to L", "Cyclist, left to right", "half", ("mirror it",)),
        ("cyclist passes R to L", "Cyclist", "yes", ("see which way it faces",)),
        ("ECU laptop screen", "Laptop open", "half", ("go closer: screen",)),
        ("a butterfly lands on it", "Butterfly", "half", ("redraw what it does: lands",)),
        ("ECU steam over the coffee mug", "Coffee mug", "half", ("add the steam",)),
        ("calculator and envelope", "Envelope", "half", ("add the calculator",)),
        ("three people around a meeting table", "Grandparents", "half", ("see how many people it shows",)),
        ("phone rings", "Phone", "yes", ()),
        ("girl smiles", "Girl", "half", ("redraw what it does: smiles",)),
    ],
)
def test_a_drawing_serves_altered_or_not(
    lib: Library, draw: Draw, line: str, title: str, served: str, alter: tuple[str, ...]
) -> None:
    shelve(lib, draw, title)
    found = pulled(lib, line)
    assert (found.served, found.alter) == (served, alter)


def test_what_finding_says_fits_is_offered_in_its_order(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Dog sitting", "Dog sitting on a bench", "Man seated on a bench", "Two dogs sitting")
    line = "dog sitting"
    fits = [result.card.code for result in find(lib, Asked(line)).on("fits")]
    offers = pulled(lib, line).needs[0].offers
    assert len(fits) > 1
    assert [offer.card.code for offer in offers if offer.fit == "yes"] == fits


def test_one_drawing_that_fits_all_of_a_line_serves_all_of_its_needs(lib: Library, draw: Draw) -> None:
    codes = shelve(lib, draw, "Woman walking", "Dog walking", "Woman walking the dog")
    found = pulled(lib, "woman walking the dog")
    assert found.served == "yes"
    assert found.needs[0].offers[0].card.code == codes["Woman walking the dog"]
    assert {need.within for need in found.needs[1:]} <= {codes["Woman walking the dog"]}


def offered(found: ShotPulled) -> list[tuple[str, list[str]]]:
    """By need the titles that are offered for it."""
    return [(need.need.text, [offer.card.title for offer in need.offers]) for need in found.needs]


def test_furniture_joined_by_and_is_a_need_each_with_its_number(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Wooden table", "Two chairs", "Tree")
    found = pulled(lib, "two chairs and a wooden table")
    assert offered(found) == [("two chairs", ["Two chairs"]), ("wooden table", ["Wooden table"])]
    assert (found.served, found.alter) == ("yes", ())
    four = pulled(lib, "a wooden table and four red chairs")
    assert (four.served, offered(four)[0][1]) == ("half", ["Wooden table"])
    missing = pulled(lib, "two lamps and a wooden table")
    assert (missing.served, missing.alter) == ("half", ("add the lamps",))


def test_what_mirroring_gets_wrong_is_said(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Van with lettering, left to right")
    (offer,) = pulled(lib, "van, right to left").needs[0].offers
    assert offer.alter == ("mirror it",)
    assert offer.warn == ("mind the lettering",)


def test_the_heading_of_a_spot_is_served_by_nothing(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Delivery van")
    assert pulled(lib, "SPOT A: THE DELIVERY VAN").served == "no"
    assert [shot.text for shot in read_text("SPOT A: THE DELIVERY VAN\n1 WS, van").shots] == ["WS, van"]


def brought(lib: Library, draw: Draw, *names: str) -> dict[str, str]:
    """Drawings that nobody titled, by the name of their file their codes."""
    paths = [draw(name, 4 * place + 2) for place, name in enumerate(names)]
    report = intake.bring_in(lib, paths, intake.Wishes(role="element"))
    return {Path(item.source).name: str(item.code) for item in report.added}


def test_a_file_name_in_known_words_says_what_a_drawing_shows(lib: Library, draw: Draw) -> None:
    names = ("hand_phone_03.png", "dog sitting.png", "hide_girl_sergio.png")
    codes = brought(lib, draw, *names)
    (hand,) = pulled(lib, "hand with a phone").needs
    assert [(offer.card.code, offer.fit, offer.alter) for offer in hand.offers] == [
        (codes["hand_phone_03.png"], "yes", ())
    ]
    asleep = pulled(lib, "dog asleep")
    assert (asleep.served, asleep.perhaps) == ("no", ())
    (girl,) = pulled(lib, "girl reading").needs
    assert [(offer.card.code, offer.alter) for offer in girl.offers] == [
        (codes["hide_girl_sergio.png"], ("redraw what it does: reading",))
    ]


def test_where_nothing_serves_a_drawing_that_nobody_titled_is_shown_to_be_looked_at(
    lib: Library, draw: Draw
) -> None:
    codes = brought(lib, draw, "water_fight_ganson.png")
    found = pulled(lib, "clown throws a water balloon")
    assert (found.served, found.needs[0].offers, found.alter) == ("no", (), ())
    (offer,) = found.perhaps
    assert offer.card.code == codes["water_fight_ganson.png"]
    assert offer.alter[0].startswith(LOOK_AT_IT)
    assert "balloon" in offer.alter[0]
    shelve(lib, draw, "Clown throws a water balloon")
    assert pulled(lib, "clown throws a water balloon").perhaps == ()


def test_what_meets_all_but_the_thing_itself_is_offered_to_be_looked_at(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Pointing left", "Hand with lamp")
    (need,) = pulled(lib, "hand pointing left").needs
    assert [(offer.card.title, offer.fit) for offer in need.offers] == [("Pointing left", "half")]
    assert need.offers[0].alter[0].startswith("see whether it shows the")


def test_a_kind_of_table_comes_before_another_table(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Wooden table", "Picnic table", "Folding chair")
    assert offered(pulled(lib, "two folding chairs and a picnic table")) == [
        ("two folding chairs", ["Folding chair"]),
        ("picnic table", ["Picnic table", "Wooden table"]),
    ]


def test_two_people_are_a_couple(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Man and woman")
    assert pulled(lib, "MS, couple").served == "yes"


def test_a_misspelt_word_is_judged_as_it_was_read(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Penguin")
    found = pulled(lib, "pengiun")
    assert (found.served, found.alter) == ("yes", ())


def test_who_it_is_alone_is_no_half_of_a_line(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Man")
    assert pulled(lib, "man pushing a shopping trolley").served == "no"
    assert pulled(lib, "man with a shopping trolley").alter == ("add the trolley",)


def test_how_somebody_holds_the_head_is_no_drawing_of_its_own(lib: Library, draw: Draw) -> None:
    codes = shelve(lib, draw, "Dog sitting", "Bear head")
    (need,) = pulled(lib, "Dog sits, head up").needs
    assert [offer.card.code for offer in need.offers] == [codes["Dog sitting"]]


def test_what_something_stands_next_to_is_what_the_shot_shows(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Small house")
    found = pulled(lib, "Wide on a small red house, a tree next to it")
    assert (found.served, found.needs[0].need.kind, found.alter) == ("half", "main", ("add the tree",))


@pytest.mark.parametrize("heading", ["INT. KITCHEN - MORNING", "INT. KITCHEN, LATER", "INT. KITCHEN - DAY"])
def test_a_place_is_found_whatever_its_time(lib: Library, draw: Draw, heading: str) -> None:
    codes = shelve(lib, draw, "Kitchen", "Mailbox")
    (found,) = pulling.pull(lib, [Shot("1", "dog sits", heading)])
    assert [offer.card.code for offer in found.needs[-1].offers] == [codes["Kitchen"]]


def test_a_thing_of_the_street_is_no_street(lib: Library, draw: Draw) -> None:
    shelve(lib, draw, "Mailbox")
    (found,) = pulling.pull(lib, [Shot("1", "dog sits", "EXT. STREET - DAY")])
    assert found.needs[-1].offers == ()


def test_a_backdrop_may_hold_what_the_shot_shows(lib: Library, draw: Draw) -> None:
    backdrop = intake.bring_in(lib, [draw("door.png", 3)], intake.Wishes(role="backdrop")).added[0].code
    describe(lib, [backdrop], Description(title="Bakery door, dog waits outside"))

    def place_alters(line: str) -> tuple[str, ...]:
        (found,) = pulling.pull(lib, [Shot("1", line, "EXT. BAKERY DOOR, DAY")])
        return found.needs[-1].offers[0].alter

    assert place_alters("baker walks, dog waits outside") == ()
    assert place_alters("baker walks") == ("take out the dog",)
