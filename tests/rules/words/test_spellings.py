from assetlib.rules.shots.grammar import FACETS
from assetlib.rules.shots.phrases import Line, PhraseIndex, scan
from assetlib.rules.words import spellings
from assetlib.rules.words.tokens import tokens_of


def values_in(line: str, text: str) -> list[tuple[str, ...]]:
    parsed = spellings.parse(text)
    found = scan(Line(tokens_of(line)), PhraseIndex(parsed.rules, parsed.lists))
    return [match.rule.values for match in found]


def test_the_file_names_only_facets_and_values_of_the_grammar():
    rules = [rule for rule in spellings.load().rules if rule.facet]
    assert {rule.facet for rule in rules} == set(FACETS) - {"people"}
    assert all(value in FACETS[rule.facet] for rule in rules for value in rule.values)


def test_the_file_names_only_lists_that_it_holds():
    index = spellings.load_index()
    for first in ("the", "camera", "low", "pan"):
        assert index.beginning_with(first) is not None
    known = set(spellings.load().lists)
    used = {
        word[1:]
        for rule in spellings.load().rules
        for text in (rule.phrases, rule.before, rule.after, rule.not_before, rule.not_after, rule.not_near)
        for word in text.replace("|", " ").replace("?", " ").replace(",", " ").split()
        if word.startswith("@")
    }
    assert used <= known


def test_the_longest_phrase_wins_and_traps_use_their_words_up():
    text = "[camera_angle]\n= high\n  high\n[traps]\nhigh street\n"
    assert values_in("high", text) == [("high",)]
    assert values_in("high street", text) == [()]


def test_choices_and_words_that_may_be_missing():
    text = "[camera_angle]\n= low\n  from a? low|lo angle\n"
    assert values_in("from low angle, from a lo-angle", text) == [("low",), ("low",)]


def test_one_of_the_admissions_has_to_hold():
    text = "[camera_move]\n= pan\n  pan\n  after: left\n  where: alone\n"
    assert values_in("bread pan", text) == []
    assert values_in("bread, pan", text) == [("pan",)]
    assert values_in("she sees it pan left", text) == [("pan",)]


def test_a_person_before_lifts_what_must_not_stand_before():
    text = "[pose]\n= leaning  (content)\n  leaning\n  lifted by: man\n  not before: ladder\n"
    assert values_in("ladder leaning", text) == []
    assert values_in("man with ladder leaning", text) == [("leaning",)]


def test_a_denied_term_is_not_meant():
    text = "[camera_move]\n= zoom\n  zoom\n"
    assert values_in("no zoom", text) == []
