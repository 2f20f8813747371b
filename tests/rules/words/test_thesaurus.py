import pytest

from assetlib.rules.shots.grammar import FACETS
from assetlib.rules.words.thesaurus import ENGLISH_TOO, OTHER_LANGUAGES, build, load


def test_the_thesaurus_is_in_order():
    assert load().check() == []


def test_it_holds_the_trade():
    drawn = [c for c in load().concepts.values() if not c.facet]
    assert len(drawn) >= 1400


def test_every_facet_value_of_the_grammar_is_a_concept():
    held = {(c.facet, c.value) for c in load().concepts.values() if c.facet}
    assert held == {(f, v) for f, values in FACETS.items() for v in values if f != "people"}


@pytest.mark.parametrize(
    "label", ["phone", "cell phone", "Mobile", "smartphones", "handset", "fone", "mobile-phone"]
)
def test_labels_of_one_concept(label):
    concept = load().concept_for(label)
    assert concept is not None
    assert concept.id == "phone"


def test_labels_in_other_languages():
    held = [c for c in load().concepts.values() if {tongue for tongue, _ in c.abroad} == set(OTHER_LANGUAGES)]
    assert len(held) >= 150


@pytest.mark.parametrize(
    ("label", "concept"),
    [("Bäcker", "baker"), ("boulangerie", "bakery"), ("perro", "dog"), ("pan", "frying-pan")],
)
def test_a_foreign_word_is_read_where_english_has_none(label, concept):
    assert load().concept_for(label).id == concept


@pytest.mark.parametrize("word", sorted(ENGLISH_TOO))
def test_a_foreign_word_that_is_english_too_says_nothing(word):
    concept = load().concept_for(word)
    assert concept is None or not any(word == label.casefold() for _, label in concept.abroad)


@pytest.mark.parametrize(
    ("words", "concept"),
    [
        ("hands over", "handing-over"),
        ("hauls", "hauling"),
        ("waits for", "waiting"),
        ("looks at", "looking-at"),
        ("offers", "offering"),
        ("offering", "offering"),
        ("drives off", "driving-off"),
        ("stacked", "stacking"),
        ("before dawn", "dawn"),
        ("typing", "typing"),
        ("waves at", "waving"),
    ],
)
def test_actions_are_known_in_their_forms(words, concept):
    assert load().concept_for(words).id == concept


@pytest.mark.parametrize(("one", "other"), [("baker", "bakery"), ("loaf", "baker"), ("apple", "fruit")])
def test_a_thing_its_maker_and_its_sort_are_different_ideas(one, other):
    assert load().concept_for(one) != load().concept_for(other)


def test_asking_widens_to_other_labels_and_narrower_concepts():
    labels = load().expand("boat")
    assert {"vessel", "ferry", "sailing boat"} <= set(labels)
    assert "boat" not in labels


def test_a_misspelling_is_understood_but_never_asked_for():
    labels = load().expand("bagette")
    assert "baguette" in labels
    assert "bagette" not in labels


def test_an_unknown_word_widens_to_nothing():
    assert load().expand("quibbling") == ()


def test_suggestions_take_the_longest_label():
    found = [c.pref for c in load().suggest("hand with phone and two dogs")]
    assert found == ["hand holding phone", "dog"]


def test_related_goes_both_ways():
    concepts = load().concepts
    assert all(c.id in concepts[other].related for c in concepts.values() for other in c.related)


@pytest.mark.parametrize(
    ("rows", "complaint"),
    [
        (
            [{"id": "a", "pref": "a", "broader": ["b"]}, {"id": "b", "pref": "b", "broader": ["a"]}],
            "broader than itself",
        ),
        ([{"id": "a", "pref": "van", "alt": ["van"]}], "two kinds of label"),
        ([{"id": "a", "pref": "van"}, {"id": "b", "pref": "Van"}], "preferred label"),
        ([{"id": "a", "pref": "a", "related": ["z"]}], "not there"),
        (
            [{"id": "a", "pref": "a", "broader": ["b"], "related": ["b"]}, {"id": "b", "pref": "b"}],
            "both related",
        ),
    ],
)
def test_disorder_is_found(rows, complaint):
    assert any(complaint in sentence for sentence in build(rows).check())
