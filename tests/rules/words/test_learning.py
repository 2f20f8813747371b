"""Suggestions are counted from what stands, and from what was taken and left."""

from __future__ import annotations

from assetlib.rules.words.learning import TAG, Example, Learned, Neighbour, Question, suggest

DOG, CAT, QUAY = (TAG, "dog"), (TAG, "cat"), (TAG, "quay")


def _offered(learned: Learned, question: Question, near: tuple[Neighbour, ...] = ()) -> list[tuple[str, str]]:
    return [offer.what for offer in suggest(learned, question, near, 10)]


def test_what_the_title_names_comes_first_and_what_is_said_not_again():
    question = Question(frozenset(), {DOG: "dog"}, around={CAT: "cats"}, said=frozenset({QUAY}))
    assert _offered(Learned(), question) == [DOG, CAT]


def test_what_was_left_on_a_drawing_does_not_come_back():
    assert _offered(Learned(), Question(frozenset(), {DOG: "dog"}, left=frozenset({DOG}))) == []


def test_what_is_always_left_stops_coming():
    learned = Learned()
    for _ in range(3):
        learned.settle(DOG, "title", taken=False)
    assert _offered(learned, Question(frozenset(), {DOG: "dog", CAT: "cat"})) == [CAT]


def test_a_way_of_guessing_that_is_left_is_trusted_less():
    learned = Learned()
    before = suggest(learned, Question(frozenset(), {CAT: "cat"}), (), 1)[0].confidence
    for _ in range(20):
        learned.settle(DOG, "title", taken=False)
    assert suggest(learned, Question(frozenset(), {CAT: "cat"}), (), 1)[0].confidence < before


def test_nearer_neighbours_weigh_more():
    near = (Neighbour(0.95, frozenset({DOG})), Neighbour(0.5, frozenset({CAT})))
    assert _offered(Learned(), Question(frozenset(), {}), near)[:2] == [DOG, CAT]


def test_what_goes_together_in_this_library_is_offered():
    learned = Learned()
    for number in range(6):
        learned.learn(Example(frozenset(), frozenset(), frozenset({DOG, QUAY}), f"sheet {number}"))
    assert _offered(learned, Question(frozenset(), {}, said=frozenset({DOG}))) == [QUAY]


def test_a_series_does_not_teach_itself():
    one, many = Learned(), Learned()
    for number in range(9):
        one.learn(Example(frozenset({"icon"}), frozenset(), frozenset({CAT}), "one folder"))
        many.learn(Example(frozenset({"icon"}), frozenset(), frozenset({CAT}), f"folder {number}"))
    question = Question(frozenset({"icon"}), {})
    assert suggest(one, question, (), 1)[0].confidence < suggest(many, question, (), 1)[0].confidence / 2


def test_a_facet_is_offered_with_one_value():
    near = (Neighbour(0.9, frozenset({("pose", "seated")})), Neighbour(0.8, frozenset({("pose", "walking")})))
    assert _offered(Learned(), Question(frozenset(), {}), near) == [("pose", "seated")]
