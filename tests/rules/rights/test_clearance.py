"""Clearance: silence is never a "no", and the heaviest finding decides."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.rules.rights.clearance import (
    TABLE,
    Answer,
    Evidence,
    PaperKind,
    Question,
    State,
    Verdict,
    choices,
)
from assetlib.rules.rights.clearance import judge as judge_on
from assetlib.rules.wording import NO_LEGAL_ADVICE

Q = Question
DAY = date(2026, 3, 10)

OWN = (
    Answer(Q.ORIGIN, "out-of-the-head", when=DAY),
    Answer(Q.OWNERSHIP, "own", when=DAY),
    Answer(Q.DEPICTS, "none", when=DAY),
    Answer(Q.AI, "none", when=DAY),
)


def judge(answers: Iterable[Answer], on: date = DAY) -> Verdict:
    """The verdict on the day that all tests know."""
    return judge_on(answers, on)


def but(question: Question, value: str, *evidence: Evidence) -> tuple[Answer, ...]:
    """The clear answers with one of them replaced."""
    rest = tuple(answer for answer in OWN if answer.question is not question)
    return (*rest, Answer(question, value, evidence, when=DAY))


def paper(kind: PaperKind) -> Evidence:
    return Evidence(kind, "papers/0001.pdf")


def codes(answers: tuple[Answer, ...]) -> list[str]:
    return [finding.code for finding in judge(answers).open_findings]


def test_own_work_out_of_the_head_is_clear() -> None:
    verdict = judge(OWN)
    assert verdict.state is State.CLEAR
    assert verdict.open_findings == ()
    assert [f.code for f in verdict.findings] == [
        "out-of-the-head",
        "own-work",
        "shows-nothing-protected",
        "no-ai",
    ]


def test_nothing_answered_asks_every_question() -> None:
    assert judge(()).state is State.ASK
    assert codes(()) == ["origin-unanswered", "ownership-unanswered", "depicts-unanswered", "ai-unanswered"]


@pytest.mark.parametrize("missing", Q)
def test_one_missing_answer_keeps_it_from_being_clear(missing: Question) -> None:
    answers = tuple(answer for answer in OWN if answer.question is not missing)
    assert judge(answers).state is State.ASK
    assert codes(answers) == [f"{missing.value}-unanswered"]


# The table of the project's notes on rights, retyped: (question, answer) -> (code, state).
EXPECTED = {
    (Q.ORIGIN, "out-of-the-head"): ("out-of-the-head", State.CLEAR),
    (Q.ORIGIN, "observed"): ("observed", State.CLEAR),
    (Q.ORIGIN, "own-photo"): ("own-photo", State.CLEAR),
    (Q.ORIGIN, "traced-from-client"): ("traced-from-client-reference", State.BLOCKED),
    (Q.ORIGIN, "traced-from-found"): ("traced-from-found-photo", State.BLOCKED),
    (Q.ORIGIN, "traced-from-licensed"): ("traced-from-licensed-reference", State.ASK),
    (Q.ORIGIN, "traced-from-public-domain"): ("traced-from-public-domain-reference", State.ASK),
    (Q.ORIGIN, "eyeballed-from-client"): ("eyeballed-from-client-reference", State.ASK),
    (Q.ORIGIN, "eyeballed-from-found"): ("eyeballed-from-found-photo", State.ASK),
    (Q.ORIGIN, "eyeballed-from-licensed"): ("eyeballed-from-licensed-reference", State.ASK),
    (Q.ORIGIN, "eyeballed-from-public-domain"): ("eyeballed-from-public-domain-reference", State.ASK),
    (Q.ORIGIN, "someone-else"): ("drawn-by-someone-else", State.BLOCKED),
    (Q.OWNERSHIP, "own"): ("own-work", State.CLEAR),
    (Q.OWNERSHIP, "commissioned-rights-kept"): ("commissioned-rights-kept", State.CLEAR),
    (Q.OWNERSHIP, "made-for-hire"): ("made-for-hire", State.BLOCKED),
    (Q.OWNERSHIP, "employment"): ("drawn-in-employment", State.BLOCKED),
    (Q.OWNERSHIP, "commissioned-assigned"): ("commissioned-rights-assigned", State.BLOCKED),
    (Q.OWNERSHIP, "commissioned-exclusive"): ("commissioned-exclusive-licence", State.BLOCKED),
    (Q.OWNERSHIP, "co-authored"): ("co-authored", State.ASK),
    (Q.OWNERSHIP, "someone-else"): ("rights-of-someone-else", State.BLOCKED),
    (Q.DEPICTS, "none"): ("shows-nothing-protected", State.CLEAR),
    (Q.DEPICTS, "real-person"): ("shows-real-person", State.BLOCKED),
    (Q.DEPICTS, "brand"): ("shows-brand", State.BLOCKED),
    (Q.DEPICTS, "property"): ("shows-property", State.ASK),
    (Q.DEPICTS, "artwork"): ("shows-artwork", State.BLOCKED),
    (Q.DEPICTS, "official-mark"): ("shows-official-mark", State.ASK),
    (Q.AI, "none"): ("no-ai", State.CLEAR),
    (Q.AI, "reference-only"): ("ai-reference", State.ASK),
    (Q.AI, "assisted"): ("ai-assisted", State.ASK),
    (Q.AI, "generated"): ("ai-generated", State.BLOCKED),
}


def test_every_answer_that_is_offered_is_expected_here() -> None:
    offered = {(question, value) for question in Q for value in choices(question)}
    assert offered == set(EXPECTED)
    assert len(TABLE) == len(EXPECTED)


@pytest.mark.parametrize(("question", "value"), EXPECTED)
def test_an_answer_without_papers_starts_where_the_table_says(question: Question, value: str) -> None:
    code, state = EXPECTED[question, value]
    verdict = judge(but(question, value))
    finding = next(f for f in verdict.findings if f.question is question)
    assert (finding.code, finding.state, verdict.state) == (code, state, state)
    assert (state is State.CLEAR) == (finding.what_would_help == "")


@pytest.mark.parametrize(
    ("question", "value", "kind"),
    [
        (Q.ORIGIN, "traced-from-client", PaperKind.RESALE_PERMISSION),
        (Q.ORIGIN, "traced-from-found", PaperKind.RESALE_LICENCE),
        (Q.ORIGIN, "traced-from-public-domain", PaperKind.PUBLIC_DOMAIN_PROOF),
        (Q.ORIGIN, "eyeballed-from-client", PaperKind.AGREEMENT),
        (Q.ORIGIN, "eyeballed-from-found", PaperKind.COMPARISON),
        (Q.OWNERSHIP, "made-for-hire", PaperKind.CONSENT),
        (Q.OWNERSHIP, "commissioned-exclusive", PaperKind.EXCLUSIVITY_ENDED),
        (Q.OWNERSHIP, "co-authored", PaperKind.CONSENT),
        (Q.DEPICTS, "real-person", PaperKind.MODEL_RELEASE),
        (Q.DEPICTS, "property", PaperKind.PROPERTY_RELEASE),
        (Q.DEPICTS, "official-mark", PaperKind.LAWYER_NOTE),
    ],
)
def test_the_right_paper_clears(question: Question, value: str, kind: PaperKind) -> None:
    assert judge(but(question, value, paper(kind))).state is State.CLEAR


@pytest.mark.parametrize(
    ("question", "value", "kind"),
    [
        # the client may not own the photo, so the client's agreement is not enough
        (Q.ORIGIN, "traced-from-client", PaperKind.AGREEMENT),
        # a look from a second person does not undo a tracing
        (Q.ORIGIN, "traced-from-found", PaperKind.COMPARISON),
        (Q.DEPICTS, "real-person", PaperKind.PROPERTY_RELEASE),
        (Q.DEPICTS, "real-person", PaperKind.LIMITED),
        (Q.AI, "assisted", PaperKind.RESALE_LICENCE),
        (Q.AI, "generated", PaperKind.RESALE_PERMISSION),
    ],
)
def test_the_wrong_paper_does_not(question: Question, value: str, kind: PaperKind) -> None:
    assert judge(but(question, value, paper(kind))).state is EXPECTED[question, value][1]


def test_a_paper_that_is_nowhere_does_not_count() -> None:
    claimed = Evidence(PaperKind.RESALE_PERMISSION, "  ")
    assert judge(but(Q.ORIGIN, "traced-from-client", claimed)).state is State.BLOCKED


def test_of_two_references_the_heavier_decides() -> None:
    answers = (*OWN, Answer(Q.ORIGIN, "eyeballed-from-found"), Answer(Q.ORIGIN, "traced-from-found"))
    assert judge(answers).state is State.BLOCKED
    assert codes(answers) == ["traced-from-found-photo", "eyeballed-from-found-photo"]


def test_one_cleared_reference_does_not_clear_the_other() -> None:
    first = Answer(Q.ORIGIN, "traced-from-found", (paper(PaperKind.RESALE_LICENCE),))
    answers = (*OWN[1:], first, Answer(Q.ORIGIN, "traced-from-found"))
    assert judge(answers).state is State.BLOCKED


def test_none_and_something_at_once_is_asked_about() -> None:
    release = Answer(Q.DEPICTS, "real-person", (paper(PaperKind.MODEL_RELEASE),))
    assert codes((*OWN, release)) == ["depicts-contradicts-itself"]
    assert judge((*OWN, release)).releases is None


def test_an_answer_nobody_knows_is_asked_about() -> None:
    assert codes(but(Q.ORIGIN, "found in a drawer")) == ["origin-not-understood"]
    assert judge(but(Q.DEPICTS, "a secret")).releases is None


@pytest.mark.parametrize(
    ("answers", "model", "of_property"),
    [
        (OWN, "MR-NAP", "PR-NAP"),
        (but(Q.DEPICTS, "real-person"), "MR-NON", "PR-NAP"),
        (but(Q.DEPICTS, "real-person", paper(PaperKind.MODEL_RELEASE)), "MR-UMR", "PR-NAP"),
        (but(Q.DEPICTS, "real-person", paper(PaperKind.LIMITED)), "MR-LMR", "PR-NAP"),
        (but(Q.DEPICTS, "property"), "MR-NAP", "PR-NON"),
        (but(Q.DEPICTS, "property", paper(PaperKind.PROPERTY_RELEASE)), "MR-NAP", "PR-UPR"),
        (but(Q.DEPICTS, "property", paper(PaperKind.LAWYER_NOTE)), "MR-NAP", "PR-NAP"),
    ],
)
def test_release_codes(answers: tuple[Answer, ...], model: str, of_property: str) -> None:
    releases = judge(answers).releases
    assert releases is not None
    assert (releases.model, releases.property) == (model, of_property)


def test_release_codes_are_never_guessed() -> None:
    unanswered = tuple(answer for answer in OWN if answer.question is not Q.DEPICTS)
    assert judge(unanswered).releases is None


ANY_ANSWER = st.builds(
    Answer,
    question=st.sampled_from(Question),
    value=st.sampled_from([rule.value for rule in TABLE] + ["?"]),
    evidence=st.lists(st.builds(Evidence, st.sampled_from(PaperKind), st.just("papers/1")), max_size=2).map(
        tuple
    ),
)


@given(st.lists(ANY_ANSWER, max_size=8).map(tuple))
def test_order_does_not_matter_and_the_notice_is_always_there(answers: tuple[Answer, ...]) -> None:
    verdict = judge(answers)
    backwards = judge(answers[::-1])
    assert verdict.state is backwards.state
    assert set(verdict.findings) == set(backwards.findings)
    assert verdict.text.endswith(NO_LEGAL_ADVICE)
    assert verdict.text.startswith(verdict.state.value)


@given(st.lists(ANY_ANSWER, max_size=6).map(tuple), ANY_ANSWER)
def test_once_all_is_answered_more_facts_never_make_it_lighter(
    answers: tuple[Answer, ...], one_more: Answer
) -> None:
    told = (*OWN, *answers)
    assert judge((*told, one_more)).state.weight >= judge(told).state.weight


def test_codes_are_one_to_one_and_no_colour_is_spoken() -> None:
    assert all(a.code != b.code for a, b in combinations(TABLE, 2))
    words = " ".join(f"{r.code} {r.sentence} {r.what_would_help}" for r in TABLE).lower().split()
    assert not {"green", "amber", "yellow", "red"} & set(words)


def release(**days: date | None) -> Evidence:
    return Evidence(PaperKind.MODEL_RELEASE, "binder 3", "Ada Quist", "R7K2PQ", **days)


def sat_for(*papers: Evidence) -> tuple[Answer, ...]:
    return but(Q.DEPICTS, "real-person", *papers)


def told(*papers: Evidence, on: date) -> tuple[State, str, date | None, date | None, str]:
    """State, sentence on the person, until, from, and the release code of a drawing of Ada Quist on a day."""
    verdict = judge(sat_for(*papers), on)
    (finding,) = (f for f in verdict.findings if f.question is Q.DEPICTS)
    assert verdict.releases is not None
    return verdict.state, finding.sentence, verdict.until, verdict.clear_from, verdict.releases.model


FIRST, LAST = date(2026, 4, 1), date(2026, 6, 30)
PERSON = "A real person can be recognised."


@pytest.mark.parametrize(
    ("on", "state", "sentence", "until", "later", "model"),
    [
        (date(2026, 3, 31), State.BLOCKED, f"{PERSON} The model release R7K2PQ of Ada Quist holds only from "
         "2026-04-01 on.", None, FIRST, "MR-NON"),
        (FIRST, State.CLEAR, PERSON, LAST, None, "MR-LMR"),
        (LAST, State.CLEAR, PERSON, LAST, None, "MR-LMR"),
        (date(2026, 7, 1), State.BLOCKED, f"{PERSON} The model release R7K2PQ of Ada Quist ran out on 2026-06-30.",
         None, None, "MR-NON"),
    ],
)  # fmt: skip
def test_a_paper_holds_on_its_days_and_on_no_others(
    on: date, state: State, sentence: str, until: date | None, later: date | None, model: str
) -> None:
    """Both days included, as legal dates are in this project."""
    assert told(release(first_day=FIRST, last_day=LAST), on=on) == (state, sentence, until, later, model)


def test_one_that_was_withdrawn_held_until_the_day_before() -> None:
    paper_ = release(withdrawn_on=FIRST)
    assert told(paper_, on=date(2026, 3, 31))[:3] == (State.CLEAR, PERSON, date(2026, 3, 31))
    state, sentence, *_ = told(paper_, on=FIRST)
    assert (state, sentence.endswith("was withdrawn on 2026-04-01.")) == (State.BLOCKED, True)


def test_another_paper_goes_on_where_one_ends() -> None:
    ending, endless = release(last_day=LAST), release(first_day=FIRST)
    assert told(ending, endless, on=FIRST)[2::2] == (None, "MR-UMR")
    assert told(ending, endless, on=DAY)[2] == LAST
    assert told(ending, on=DAY)[2] == LAST
    later = release(first_day=LAST, last_day=date(2027, 1, 1))
    assert told(ending, later, on=LAST)[2] == date(2027, 1, 1)


def test_until_is_that_of_the_first_paper_that_ends_among_all_answers() -> None:
    traced = Answer(
        Q.ORIGIN, "traced-from-found", (Evidence(PaperKind.RESALE_LICENCE, "mail", last_day=FIRST),)
    )
    answers = [traced, *(a for a in sat_for(release(last_day=LAST)) if a.question is not Q.ORIGIN)]
    verdict = judge(answers)
    assert (verdict.state, verdict.until) == (State.CLEAR, FIRST)
    assert "Clear until 2026-04-01" in verdict.text
    assert judge(OWN).until is None


@given(st.dates(), st.dates(), st.dates())
def test_a_day_is_before_within_or_after(first: date, last: date, on: date) -> None:
    one = release(first_day=min(first, last), last_day=max(first, last))
    assert [one.starts_after(on), one.holds_on(on), one.ended_before(on)].count(True) == 1
