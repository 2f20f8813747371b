"""What titles say: nothing has to be entered twice, and nothing is read that they do not say."""

from __future__ import annotations

import pytest

from assetlib.rules.words.telling import told_by, unknown_things
from assetlib.rules.words.thesaurus import load


@pytest.mark.parametrize(
    ("title", "facets", "things"),
    [
        ("Hood mount two-shot, baker asleep", {"camera_position": "hood mount", "people": "2"}, {"baker", "sleeping"}),
        ("Woman looking at her phone", {"people": "1"}, {"woman", "looking at", "phone"}),
        ("Deckhand hauling a rope", {"people": "1"}, {"deckhand", "hauling", "rope"}),
        ("Commuter crowd from behind", {"people": "crowd", "view": "back"}, {"commuter", "crowd"}),
        ("Eyes in the rear-view mirror", {}, {"eye", "rear-view mirror"}),
        ("Two people talking", {"people": "2"}, {"conversation"}),
        ("Man and woman on a bench", {"people": "2"}, {"bench"}),
        ("Woman opens door", {"people": "1"}, {"woman", "opening", "door"}),
        ("Baker arrives", {"people": "1"}, {"baker", "walking in"}),
    ],
)  # fmt: skip
def test_a_title_says(title, facets, things):
    told = told_by(title, load())
    assert facets.items() <= {facet: values[0] for facet, values in told.facets.items()}.items()
    assert things <= set(told.concepts.values())


@pytest.mark.parametrize(
    "title", ["Over the driver's shoulder", "Bakers at work", "Bakery at night", "Gangway", ""]
)
def test_nobody_is_counted_who_is_not_there_once(title):
    assert "people" not in told_by(title, load()).facets


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("Dog with a quibblet", ("quibblet",)),
        ("Quibblet, empty", ("Quibblet",)),  # what it is, and not how it is
        ("Zorbing quibblet and a crumpet-holder, profile", ("quibblet", "crumpet-holder")),
        ("Dog quibbleting, CU", ()),  # what it does
        ("Dog in front of us", ()),
        ("CU hand with phone, night", ()),
        ("12", ()),
        ("", ()),
    ],
)
def test_things_that_no_thesaurus_knows_are_the_last_of_their_phrase(
    title: str, words: tuple[str, ...]
) -> None:
    assert unknown_things(title, load()) == words


@pytest.mark.parametrize(
    ("title", "things"),
    [
        ("chopper motorcycle, side", {"motorcycle"}),  # what stands before a thing tells which kind
        ("hand saw", {"saw"}),
        ("tea cup", {"cup"}),
        ("barn, house", {"barn", "house"}),
        ("dog cat", {"dog", "cat"}),
        ("car van bus", {"car", "van", "bus"}),
        ("hand with saw", {"hand", "saw"}),
        ("coach, parked", {"coach"}),
        ("scissors open", {"scissors"}),
        ("laptop open on table", {"laptop", "table"}),
        ("bus arrives", {"bus", "pulling up"}),  # and nobody walks
        ("ferry arrives", {"ferry"}),
        ("Yellow flower, open", {"flower"}),  # how it is, and not what is done
        ("Scroll of paper", {"document"}),
        ("Baker opens the oven", {"baker", "opening", "oven"}),
        ("Baker, asleep", {"baker", "sleeping"}),
    ],
)
def test_a_verb_that_is_none_says_no_action(title: str, things: set[str]) -> None:
    assert set(told_by(title, load()).concepts.values()) == things
