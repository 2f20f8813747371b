"""Finding entries by plain words: what was understood raises, what was given as an option filters.

A word counts by how rare it is in the library and by how it matches: as
written in a title or tag, as written elsewhere, as another label of the same
idea, as the beginning of a longer word. Facets that the line names raise what
carries them, and hide nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from sqlalchemy import and_, or_, select
from sqlalchemy.orm import Session

from assetlib.catalogue import fulltext, queries
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.fulltext import any_of
from assetlib.catalogue.words import LIVE_STATES, Facet, Tag
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules import grammar
from assetlib.services import asking, vocabulary
from assetlib.services.asking import Term
from assetlib.services.tagging import read_facets

DEFAULT_ROLES = ("element", "sheet", "backdrop")
"""References are left out unless they are asked for: they are no drawings of the artist's."""

# How much of a word's weight each way of matching earns. Set by hand on the tuning half of the title and
# shot-line queries in tests/bench/finding.py.
IN_NAME = 1.0
IN_TEXT = 0.8
OTHER_LABEL = 0.75
NARROWER = 0.6
BEGINNING = 0.5
NEARLY = 0.35

FACET_GIVEN = 0.3
"""What one understood facet adds where all words of a line together count 1: it orders, it does not outvote a word."""

FACET_SUGGESTED = 0.2
"""The same for a facet that was only read from a file name or guessed from the picture."""

WHOLE_TITLE = 0.25
"""What it adds when the words are the whole title; part of a title adds its share."""

SHORTEST_BEGINNING = 3
"""Letters from which the beginning of a word is looked up."""

MANY = 20_000
"""Most entries that one way of matching hands on; a word that is on more of them hardly tells them apart."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is looked for: words, and what an entry must carry."""

    text: str = ""
    only: tuple[str, ...] = ()
    """Facets as `FACET=VALUE`; suggested ones count, so that undescribed drawings are found."""
    tags: tuple[str, ...] = ()
    roles: tuple[str, ...] = DEFAULT_ROLES
    limit: int = 24
    in_tray: bool = False


@dataclass(frozen=True, slots=True)
class Result:
    """A found entry: the higher the score, the better it fits; `why` says what matched."""

    card: queries.Card
    score: float
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to a question: `total` counts all that match, `results` holds the best."""

    query: str
    understood: dict[str, tuple[str, ...]]
    total: int
    results: tuple[Result, ...]


@dataclass(slots=True)
class _Mark:
    """What speaks for one entry: for each term the best way it matched, and the facets it carries."""

    terms: dict[int, tuple[float, str]] = field(default_factory=dict)
    facets: dict[tuple[str, str], bool] = field(default_factory=dict)


def find(lib: Library, question: Question) -> Found:
    """The entries that fit a question best, best first. Raises WrongUsage for a facet or tag that cannot be."""
    with lib.reading() as session:
        return find_in(session, question)


def find_each(lib: Library, questions: Iterable[Question]) -> Iterator[Found]:
    """The answer to each question in turn, all from one opened catalogue."""
    with lib.reading() as session:
        for question in questions:
            yield find_in(session, question)


def find_in(session: Session, question: Question) -> Found:
    """The answer to a question, on an open session."""
    understood = grammar.read_line(question.text)
    shelf = _Shelf(session, question)
    terms = asking.read_terms(session, understood.rest)
    weights: list[float] = []
    marks: dict[int, _Mark] = {}
    for number, term in enumerate(terms):
        weights.append(_mark_term(session, number, term, shelf, marks))
    if not marks and understood.facets:
        _mark_facet_carriers(session, understood.facets, shelf, marks)
    elif not question.text.strip():
        marks = {entry_id: _Mark() for entry_id in shelf.everything()}
    _mark_facets(session, understood.facets, marks)
    scores = _scores(session, terms, weights, marks)
    best = sorted(scores, key=lambda entry_id: (-scores[entry_id], -entry_id))[: question.limit]
    cards = queries.cards(session, best)
    results = tuple(Result(cards[i], round(scores[i], 4), _why(terms, marks[i])) for i in best if i in cards)
    return Found(question.text, understood.facets, len(marks), results)


class _Shelf:
    """Which entries a question may find at all."""

    def __init__(self, session: Session, question: Question) -> None:
        self._session = session
        self._filtered = bool(question.only or question.tags or question.in_tray)
        self._conditions = [Entry.role.in_(question.roles), ~Entry.in_attic]
        if question.in_tray:
            self._conditions.append(Entry.described_at.is_(None))
        for facet, value in read_facets(question.only):
            if value is None:
                raise WrongUsage(f"'{facet}=' names no value to look for")
            carries = select(Facet.entry_id).where(
                Facet.facet == facet, Facet.value == value, Facet.state != "left"
            )
            self._conditions.append(Entry.id.in_(carries))
        for tag in question.tags:
            concept = vocabulary.concept_for(session, tag)
            carried = select(Tag.entry_id).where(
                Tag.concept_id == (concept.id if concept else -1), Tag.state.in_(LIVE_STATES)
            )
            self._conditions.append(Entry.id.in_(carried))
        # Few entries stand outside by default, so those are what is remembered; a filter turns that round.
        allowed = and_(*self._conditions)
        query = select(Entry.id).where(allowed if self._filtered else ~allowed)
        self._ids = set(session.scalars(query))

    def keep(self, ids: Iterable[int]) -> list[int]:
        """Those of the ids that may be found."""
        return [i for i in ids if (i in self._ids) == self._filtered]

    def everything(self) -> list[int]:
        """All that may be found, newest first."""
        query = select(Entry.id).where(*self._conditions).order_by(Entry.id.desc())
        return list(self._session.scalars(query))


def _mark_term(session: Session, number: int, term: Term, shelf: _Shelf, marks: dict[int, _Mark]) -> float:
    """Mark every entry that a term matches with the best way it does; returns the term's weight by its rarity."""
    ways = [
        (fulltext.in_columns(("title", "tags"), any_of([term.text])), IN_NAME, ""),
        (any_of([term.text]), IN_TEXT, " in the file or its name"),
    ]
    if term.others:
        ways.append((any_of(term.others), OTHER_LABEL, " by another word for it"))
    if term.narrower:
        ways.append((any_of(term.narrower), NARROWER, " by a narrower word"))
    if len(term.text) >= SHORTEST_BEGINNING:
        ways.append((any_of([term.text], prefix=True), BEGINNING, " as the beginning of a word"))
    matched = _mark_ways(session, number, term.text, ways, shelf, marks)
    if not matched and (near := fulltext.near_words(session, term.text)):
        way = (any_of(near), NEARLY, f" read as {', '.join(near)}")
        matched = _mark_ways(session, number, term.text, [way], shelf, marks)
    return math.log(1 + fulltext.size(session) / (1 + matched)) + 0.1


def _mark_ways(
    session: Session,
    number: int,
    text: str,
    ways: list[tuple[str, float, str]],
    shelf: _Shelf,
    marks: dict[int, _Mark],
) -> int:
    matched = 0
    for expression, share, how in ways:
        for entry_id in shelf.keep(fulltext.matches(session, expression, MANY)):
            mark = marks.setdefault(entry_id, _Mark())
            if number not in mark.terms:
                mark.terms[number] = (share, f"{text}{how}")
                matched += 1
    return matched


def _carriers(facets: dict[str, tuple[str, ...]]) -> object:
    pairs = [(facet, value) for facet, values in facets.items() for value in values]
    return and_(Facet.state != "left", or_(*(and_(Facet.facet == f, Facet.value == v) for f, v in pairs)))


def _mark_facet_carriers(
    session: Session, facets: dict[str, tuple[str, ...]], shelf: _Shelf, marks: dict[int, _Mark]
) -> None:
    """For a line that is all grammar, or whose words match nothing: what carries a facet of it."""
    query = select(Facet.entry_id).where(_carriers(facets)).distinct().limit(MANY)  # type: ignore[arg-type]
    for entry_id in shelf.keep(session.scalars(query)):
        marks[entry_id] = _Mark()


def _mark_facets(session: Session, facets: dict[str, tuple[str, ...]], marks: dict[int, _Mark]) -> None:
    if not facets or not marks:
        return
    query = select(Facet.entry_id, Facet.facet, Facet.value, Facet.state).where(_carriers(facets))  # type: ignore[arg-type]
    for entry_id, facet, value, state in session.execute(query):
        if entry_id in marks:
            marks[entry_id].facets[(facet, value)] = state in LIVE_STATES


def _scores(
    session: Session, terms: list[Term], weights: list[float], marks: dict[int, _Mark]
) -> dict[int, float]:
    whole = sum(weights) or 1.0
    scores = {}
    for entry_id, mark in marks.items():
        words = sum(weights[number] * share for number, (share, _) in mark.terms.items()) / whole
        facets = sum(FACET_GIVEN if given else FACET_SUGGESTED for given in mark.facets.values())
        scores[entry_id] = words + facets
    if terms:
        _raise_titles(session, terms, scores)
    return scores


def _raise_titles(session: Session, terms: list[Term], scores: dict[int, float]) -> None:
    """Among entries that match alike, raise those whose title says little else."""
    asked = {word.casefold() for term in terms for word in term.text.split()}
    leading = sorted(scores, key=lambda entry_id: -scores[entry_id])[:2000]
    for entry_id, title in queries.titles(session, leading):
        words = [word.casefold() for word in asking.WORD.findall(title)]
        said = sum(1 for word in words if any(word.startswith(a) or a.startswith(word) for a in asked))
        scores[entry_id] += WHOLE_TITLE * said / max(len(words), len(asked), 1)


def _why(terms: list[Term], mark: _Mark) -> tuple[str, ...]:
    words = [how for _, (_, how) in sorted(mark.terms.items())]
    facets = [value if given else f"{value} (suggested)" for (_, value), given in sorted(mark.facets.items())]
    return (*words, *facets)
