"""From what is known of a drawing to whether it may be sold: facts in, findings out.

The table below follows the decision table that the project keeps for this step:
common copyright practice, no source, except the meaning of "artist's reference"
(PLUS Glossary, 10580000 0100: such a licence alone gives no right to distribute)
and the release codes (PLUS License Data Format 1.2.1).

Four questions are asked of every drawing; a question without an answer is never
read as "no". Not asked yet: confidential content, fonts and brushes of others,
credit promised to somebody, limits in region. Papers hold on days: a verdict is one on a day, and tells until when
it holds where a paper that it rests on ends.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import StrEnum

from assetlib.rules.rights.names import is_named
from assetlib.rules.wording import NO_LEGAL_ADVICE


class Question(StrEnum):
    """What is asked of every drawing."""

    ORIGIN = "origin"
    OWNERSHIP = "ownership"
    DEPICTS = "depicts"
    AI = "ai"

    @property
    def option(self) -> str:
        """How it is answered on the line."""
        return {"origin": "--drawn", "ownership": "--rights", "depicts": "--shows", "ai": "--ai"}[self.value]


class State(StrEnum):
    """Whether a drawing may be sold, said in words."""

    CLEAR = "clear"
    ASK = "ask"
    BLOCKED = "blocked"

    @property
    def weight(self) -> int:
        """0 for clear, 1 for ask, 2 for blocked; the heaviest finding decides."""
        return list(State).index(self)


class PaperKind(StrEnum):
    """What a kept paper says. To name the kind is to state that it says so without limits but its days."""

    RESALE_PERMISSION = "resale-permission"
    RESALE_LICENCE = "resale-licence"
    PUBLIC_DOMAIN_PROOF = "public-domain-proof"
    COMPARISON = "comparison"
    AGREEMENT = "agreement"
    CONSENT = "consent"
    EXCLUSIVITY_ENDED = "exclusivity-ended"
    MODEL_RELEASE = "model-release"
    PROPERTY_RELEASE = "property-release"
    LAWYER_NOTE = "lawyer-note"
    LIMITED = "limited"
    """It allows something, within limits; limits are not weighed here yet, so it changes nothing."""


@dataclass(frozen=True)
class Evidence:
    """A kept paper: what it says, and where it is (never empty)."""

    kind: PaperKind
    place: str
    who: str = ""
    """Who gave it."""
    code: str = ""
    """Of the release that is kept in the library; empty for a paper that is only named."""
    first_day: date | None = None
    last_day: date | None = None
    """The days it holds, both included; None for no limit."""
    withdrawn_on: date | None = None
    """From this day on it holds no more."""

    def holds_on(self, day: date) -> bool:
        """Whether it holds on a day."""
        return not (self.starts_after(day) or self.ended_before(day))

    def starts_after(self, day: date) -> bool:
        """Whether it holds only later."""
        return self.first_day is not None and day < self.first_day

    def ended_before(self, day: date) -> bool:
        """Whether it held only earlier."""
        return self.last_held is not None and self.last_held < day

    @property
    def last_held(self) -> date | None:
        """The last day it holds; None where it holds without an end."""
        ends = [self.last_day, self.withdrawn_on - timedelta(days=1) if self.withdrawn_on else None]
        return min((end for end in ends if end is not None), default=None)

    @property
    def label(self) -> str:
        """What it is called in a sentence: *model release R7K2PQ of Ada Quist*."""
        words = [self.kind.value.replace("-", " "), self.code]
        return " ".join(filter(None, [*words, f"of {self.who}" if self.who else ""]))


@dataclass(frozen=True)
class Answer:
    """One fact somebody stated; a question may have several answers (two references, say)."""

    question: Question
    value: str
    evidence: tuple[Evidence, ...] = ()
    note: str = ""
    when: date | None = None
    """The day it was said."""
    to_confirm: bool = False
    """It was said of an earlier state of the drawing, or of its double, and waits to be confirmed."""
    whose: str = ""
    """Who owns the reference or the work."""


@dataclass(frozen=True)
class Finding:
    """What one answer, or its absence, means for selling; `code` stays the same for ever."""

    code: str
    question: Question
    state: State
    sentence: str
    what_would_help: str


@dataclass(frozen=True)
class Releases:
    """PLUS codes for people and property shown: none, not applicable, unlimited or limited."""

    model: str
    property: str


@dataclass(frozen=True)
class Verdict:
    """The heaviest state and every finding, heaviest first.

    `releases` is None until it was answered what the drawing shows.
    """

    state: State
    findings: tuple[Finding, ...]
    releases: Releases | None = None
    on: date | None = None
    """The day it was judged on; None where no day mattered."""
    until: date | None = None
    """Where it is clear: the last day that all the papers it rests on hold; None without an end."""
    clear_from: date | None = None
    """Where it is not: the first day on which all papers that are there hold and it is clear, if there is one."""
    notice: str = field(default=NO_LEGAL_ADVICE, init=False)

    @property
    def open_findings(self) -> tuple[Finding, ...]:
        """Those that stand in the way of a sale."""
        return tuple(finding for finding in self.findings if finding.state is not State.CLEAR)

    @property
    def text(self) -> str:
        """The verdict for reading, one finding a line, ending in the notice."""
        lines = [f"{self.state.value}:"]
        for finding in self.open_findings or self.findings:
            help_ = f" {finding.what_would_help}" if finding.what_would_help else ""
            lines.append(f"- {finding.sentence}{help_}")
        return "\n".join([*lines, *self.days, self.notice])

    @property
    def days(self) -> tuple[str, ...]:
        """What is to be said of days: until when it is clear, or from when on it will be."""
        if self.until is not None:
            return (f"Clear until {self.until}, when a paper that it rests on ends.",)
        if self.clear_from is not None:
            return (f"Clear from {self.clear_from} on, when the papers that are there hold.",)
        return ()


@dataclass(frozen=True)
class Rule:
    """One line of the table: an answer, where it starts, which papers make it clear."""

    question: Question
    value: str
    code: str
    start: State
    sentence: str
    what_would_help: str = ""
    cleared_by: tuple[PaperKind, ...] = ()


_ORIGIN, _OWNERSHIP, _DEPICTS, _AI = Question
_CLEAR, _ASK, _BLOCKED = State
_ASKED = {
    _ORIGIN: "how it came to be",
    _OWNERSHIP: "who else has rights in it",
    _DEPICTS: "whether it shows anything that is protected",
    _AI: "whether a model had a hand in it",
}
_REDRAW = "Or draw it anew without the reference: a new version, whose origin is answered anew."
_LICENCE_TEXT = "The licence text, with source and date, that allows derivatives and resale."
_WHY_FREE = "Where it comes from and why it is in the public domain."
_REFERENCE_PAPERS = (PaperKind.RESALE_PERMISSION, PaperKind.RESALE_LICENCE, PaperKind.PUBLIC_DOMAIN_PROOF)
_LICENCE_PAPERS = (PaperKind.RESALE_LICENCE, PaperKind.RESALE_PERMISSION)
_FREE_PAPERS = (PaperKind.PUBLIC_DOMAIN_PROOF,)
_SOLD_ON = "A licence or permission that allows it to be sold on, or proof that it is in the public domain."
_RIGHTS_BACK = (PaperKind.AGREEMENT, PaperKind.CONSENT)
_AI_HELP = "How far a model's share can be sold is not weighed here yet; draw it anew without it."

# fmt: off
TABLE: tuple[Rule, ...] = (
    Rule(_ORIGIN, "out-of-the-head", "out-of-the-head", _CLEAR, "Drawn out of the head."),
    Rule(_ORIGIN, "observed", "observed", _CLEAR, "Drawn from life."),
    Rule(_ORIGIN, "own-photo", "own-photo", _CLEAR, "Drawn from the artist's own photo."),
    Rule(_ORIGIN, "traced-from-client", "traced-from-client-reference", _BLOCKED,
         "Traced from a reference the client gave.",
         f"Written permission to redraw and resell from the picture's owner, often not the client. {_REDRAW}",
         (PaperKind.RESALE_PERMISSION,)),
    Rule(_ORIGIN, "traced-from-found", "traced-from-found-photo", _BLOCKED,
         "Traced from a picture that was found.",
         f"A licence that allows redrawing and resale, or proof of public domain. {_REDRAW}",
         _REFERENCE_PAPERS),
    Rule(_ORIGIN, "traced-from-licensed", "traced-from-licensed-reference", _ASK,
         "Traced from a licensed reference.",
         f"{_LICENCE_TEXT} A licence to use it as an artist's reference is not enough.",
         _LICENCE_PAPERS),
    Rule(_ORIGIN, "traced-from-public-domain", "traced-from-public-domain-reference", _ASK,
         "Traced from a reference said to be in the public domain.", _WHY_FREE, _FREE_PAPERS),
    Rule(_ORIGIN, "eyeballed-from-client", "eyeballed-from-client-reference", _ASK,
         "Drawn by eye from a reference the client gave.",
         "The clause or written permission that covers use outside the job.",
         (PaperKind.RESALE_PERMISSION, PaperKind.AGREEMENT)),
    Rule(_ORIGIN, "eyeballed-from-found", "eyeballed-from-found-photo", _ASK,
         "Drawn by eye from a picture that was found.",
         "A side-by-side note of what was taken, seen by a second person; or redraw from several pictures.",
         (PaperKind.COMPARISON, *_REFERENCE_PAPERS)),
    Rule(_ORIGIN, "eyeballed-from-licensed", "eyeballed-from-licensed-reference", _ASK,
         "Drawn by eye from a licensed reference.", _LICENCE_TEXT, _LICENCE_PAPERS),
    Rule(_ORIGIN, "eyeballed-from-public-domain", "eyeballed-from-public-domain-reference", _ASK,
         "Drawn by eye from a reference said to be in the public domain.", _WHY_FREE, _FREE_PAPERS),
    Rule(_ORIGIN, "someone-else", "drawn-by-someone-else", _BLOCKED,
         "Drawn by somebody else: bought, given or downloaded.", _SOLD_ON, _REFERENCE_PAPERS),

    Rule(_OWNERSHIP, "own", "own-work", _CLEAR, "Drawn for oneself; nobody else has rights in it."),
    Rule(_OWNERSHIP, "commissioned-rights-kept", "commissioned-rights-kept", _CLEAR,
         "Commissioned, and the artist kept the rights."),
    Rule(_OWNERSHIP, "made-for-hire", "made-for-hire", _BLOCKED, "Made for hire.",
         "The clause or written consent that gives the right to resell to the artist.", _RIGHTS_BACK),
    Rule(_OWNERSHIP, "employment", "drawn-in-employment", _BLOCKED, "Drawn in employment.",
         "The clause or written consent that gives the right to resell to the artist.", _RIGHTS_BACK),
    Rule(_OWNERSHIP, "commissioned-assigned", "commissioned-rights-assigned", _BLOCKED,
         "Commissioned, and the copyright was assigned.",
         "A written licence back, or the return of the rights.", _RIGHTS_BACK),
    Rule(_OWNERSHIP, "commissioned-exclusive", "commissioned-exclusive-licence", _BLOCKED,
         "Commissioned under an exclusive licence.",
         "The paper that shows that the licence has ended, or the client's written consent.",
         (PaperKind.EXCLUSIVITY_ENDED, PaperKind.CONSENT)),
    Rule(_OWNERSHIP, "co-authored", "co-authored", _ASK, "Drawn together with somebody.",
         "The co-author's written consent, and how the money is shared.", (PaperKind.CONSENT,)),
    Rule(_OWNERSHIP, "someone-else", "rights-of-someone-else", _BLOCKED,
         "Somebody else's work.", _SOLD_ON, _REFERENCE_PAPERS),

    Rule(_DEPICTS, "none", "shows-nothing-protected", _CLEAR,
         "Shows no real person, brand, recognisable property or artwork."),
    Rule(_DEPICTS, "real-person", "shows-real-person", _BLOCKED, "A real person can be recognised.",
         "A model release for this kind of use, a guardian's for a minor; or change the likeness.",
         (PaperKind.MODEL_RELEASE,)),
    Rule(_DEPICTS, "brand", "shows-brand", _BLOCKED, "Shows a brand, a logo or somebody's character.",
         "The owner's permission; or take it out or make one up, as a new version.",
         (PaperKind.RESALE_PERMISSION,)),
    Rule(_DEPICTS, "property", "shows-property", _ASK,
         "Private property, a protected building or a product design can be recognised.",
         "A property release or a lawyer's note on local exceptions; or redraw it so that it is nobody's.",
         (PaperKind.PROPERTY_RELEASE, PaperKind.LAWYER_NOTE)),
    Rule(_DEPICTS, "artwork", "shows-artwork", _BLOCKED, "Shows somebody's artwork.",
         "The owner's permission or proof that it is free; or take it out, as a new version.",
         (PaperKind.RESALE_PERMISSION, PaperKind.PUBLIC_DOMAIN_PROOF)),
    Rule(_DEPICTS, "official-mark", "shows-official-mark", _ASK,
         "Shows a flag, emblem, uniform, banknote or religious mark.",
         "A note on the local rule by somebody who knows it.", (PaperKind.LAWYER_NOTE,)),

    Rule(_AI, "none", "no-ai", _CLEAR, "No generative model was used."),
    Rule(_AI, "reference-only", "ai-reference", _ASK, "A generated picture served as reference.", _AI_HELP),
    Rule(_AI, "assisted", "ai-assisted", _ASK, "Partly made with a generative model.", _AI_HELP),
    Rule(_AI, "generated", "ai-generated", _BLOCKED, "Made by a generative model.",
         "Draw it by hand, as a new version."),
)
# fmt: on

_RULES = {(rule.question, rule.value): rule for rule in TABLE}


def choices(question: Question) -> tuple[str, ...]:
    """The answers a question takes, in the order of the table."""
    return tuple(rule.value for rule in TABLE if rule.question is question)


def asking_for(kind: PaperKind) -> tuple[Rule, ...]:
    """The answers that a paper of this kind makes clear, in the order of the table."""
    return tuple(rule for rule in TABLE if kind in rule.cleared_by)


def clears(kind: PaperKind, question: Question, value: str) -> bool:
    """Whether a paper of this kind would make this answer clear."""
    rule = _RULES.get((question, value))
    return rule is not None and kind in rule.cleared_by


def judge(answers: Iterable[Answer], on: date, others: Sequence[str] = ()) -> Verdict:
    """The verdict on one version of a drawing on a day; every answer counts, and the heaviest decides.

    `others` are names that its file gives as author or holder of rights and that are not the artist's: a question
    until somebody has said whose it is.
    """
    given = tuple(answers)
    verdict = _judged(given, on, others)
    if verdict.state is State.CLEAR:
        return replace(verdict, until=_until(given, on))
    starts = sorted({p.first_day for a in given for p in a.evidence if p.starts_after(on) and p.first_day})
    later = (day for day in starts if _judged(given, day, others).state is State.CLEAR)
    return replace(verdict, clear_from=next(later, None))


def _judged(given: tuple[Answer, ...], on: date, others: Sequence[str]) -> Verdict:
    findings = [weigh(answer, on) for answer in given]
    findings += [_unanswered(question) for question in Question if not _values(given, question)]
    findings += [_contradicting(question) for question in Question if _contradicts(_values(given, question))]
    findings += _another_named(given, others)
    findings.sort(key=lambda finding: -finding.state.weight)
    return Verdict(findings[0].state, tuple(findings), _releases(given, on), on)


def _until(given: tuple[Answer, ...], on: date) -> date | None:
    """The last day before some answer has no paper left of those that it needs."""
    ends = []
    for answer in given:
        rule = _RULES.get((answer.question, answer.value))
        if rule is None or rule.start is State.CLEAR:
            continue
        held = [p.last_held for p in answer.evidence if p.kind in rule.cleared_by and p.holds_on(on)]
        if held and None not in held:
            ends.append(max(end for end in held if end))
    return min(ends, default=None)


def weigh(answer: Answer, on: date) -> Finding:
    """What one answer means on a day. One that waits to be confirmed never counts as clear; what blocks blocks."""
    finding = _weigh(answer, on)
    if not answer.to_confirm or finding.state is not State.CLEAR:
        return finding
    sentence = f"{finding.sentence} Said of an earlier state or a double: to confirm."
    help_ = "Look, then confirm it or answer anew."
    return Finding(f"{answer.question.value}-to-confirm", answer.question, State.ASK, sentence, help_)


def _weigh(answer: Answer, on: date) -> Finding:
    rule = _RULES.get((answer.question, answer.value))
    if rule is None:
        sentence = f"It was said {_ASKED[answer.question]}, but {answer.value!r} is not an answer known here."
        return _question_open(answer.question, "not-understood", sentence)
    if rule.start is State.CLEAR or _has_paper(answer, rule.cleared_by, on):
        return Finding(rule.code, rule.question, State.CLEAR, rule.sentence, "")
    sentence = " ".join([rule.sentence, *_not_on_the_day(answer, rule.cleared_by, on)])
    return Finding(rule.code, rule.question, rule.start, sentence, rule.what_would_help)


def _has_paper(answer: Answer, kinds: Iterable[PaperKind], on: date) -> bool:
    """Whether a paper of one of these kinds is kept somewhere, and holds on the day."""
    return any(p.kind in kinds and p.place.strip() and p.holds_on(on) for p in answer.evidence)


def _not_on_the_day(answer: Answer, kinds: Iterable[PaperKind], on: date) -> Iterable[str]:
    """A sentence for each paper that would help and does not hold on the day."""
    for paper in (p for p in answer.evidence if p.kind in kinds and not p.holds_on(on)):
        name = f"The {paper.label}"
        if paper.starts_after(on):
            yield f"{name} holds only from {paper.first_day} on."
        elif paper.withdrawn_on and paper.withdrawn_on <= on:
            yield f"{name} was withdrawn on {paper.withdrawn_on}."
        else:
            yield f"{name} ran out on {paper.last_day}."


OTHER_NAMED = "file-names-another"
"""The finding's code where a file names somebody else; it asks until an answer names them, too."""


def _another_named(given: tuple[Answer, ...], others: Sequence[str]) -> Iterable[Finding]:
    """A question for the names in a file that no answer speaks of; that it is someone else's answers it."""
    said = " ".join(answer.whose for answer in given)
    if any(answer.value == "someone-else" for answer in given):
        return
    if open_names := [name for name in others if not is_named(name, said)]:
        names = " and ".join(open_names)
        yield Finding(
            OTHER_NAMED, _OWNERSHIP, _ASK, f"The file names {names}: is it yours?",
            f'If it is: --rights own --whose "{", ".join(others)}"; if not: --rights "someone else".',
        )  # fmt: skip


def _unanswered(question: Question) -> Finding:
    return _question_open(question, "unanswered", f"Nobody has said yet {_ASKED[question]}.")


def _contradicting(question: Question) -> Finding:
    sentence = f"It was said in two ways {_ASKED[question]}: none, and something."
    return _question_open(question, "contradicts-itself", sentence)


def _question_open(question: Question, why: str, sentence: str) -> Finding:
    help_ = f"Answer {question.option} with one of: {', '.join(choices(question))}."
    return Finding(f"{question.value}-{why}", question, State.ASK, sentence, help_)


def _values(answers: tuple[Answer, ...], question: Question) -> set[str]:
    return {answer.value for answer in answers if answer.question is question}


def _contradicts(values: set[str]) -> bool:
    return "none" in values and len(values) > 1


def _releases(answers: tuple[Answer, ...], on: date) -> Releases | None:
    """Release codes on a day, once what the drawing shows was answered in words that are understood."""
    shown = _values(answers, Question.DEPICTS)
    if not shown or _contradicts(shown) or not shown <= set(choices(Question.DEPICTS)):
        return None
    asked = [answer for answer in answers if answer.question is Question.DEPICTS]
    people = [answer for answer in asked if answer.value == "real-person"]
    places = [answer for answer in asked if answer.value == "property"]
    return Releases(
        model=_release("MR", people, PaperKind.MODEL_RELEASE, on),
        property=_release("PR", places, PaperKind.PROPERTY_RELEASE, on),
    )


def _release(prefix: str, asked: list[Answer], release: PaperKind, on: date) -> str:
    """The PLUS code: NAP not applicable, UMR/UPR unlimited, LMR/LPR limited, NON none."""
    if not asked:
        return f"{prefix}-NAP"
    limited = f"{prefix}-L{prefix}"
    if all(_has_paper(answer, [release], on) for answer in asked):
        # one with an end is limited, by that alone
        return limited if any(_ends(answer, release, on) for answer in asked) else f"{prefix}-U{prefix}"
    if all(_weigh(answer, on).state is State.CLEAR for answer in asked):
        # a lawyer's note says that here no release is needed
        return f"{prefix}-NAP"
    has_limited = all(_has_paper(answer, [release, PaperKind.LIMITED], on) for answer in asked)
    return limited if has_limited else f"{prefix}-NON"


def _ends(answer: Answer, kind: PaperKind, on: date) -> bool:
    """Whether every paper of this kind that holds on the day ends on another."""
    return all(p.last_held is not None for p in answer.evidence if p.kind is kind and p.holds_on(on))
