"""Finding entries by plain words: what was understood raises, what was given as an option filters.

A word counts by how rare it is in the library and by how it matches: as
written in a title or tag, as written elsewhere, as another label of the same
idea, as the beginning of a longer word. Facets that the line names raise what
carries them, and hide nothing.
"""

from __future__ import annotations

import heapq
import json
import math
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.catalogue import lookup
from assetlib.catalogue.cards import Card, read_cards
from assetlib.catalogue.lookup import any_of
from assetlib.errors import AmbiguousCode, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.roles import DRAWN
from assetlib.rules.shots import grammar
from assetlib.rules.words.tags import fold
from assetlib.services.finding import asking
from assetlib.services.finding.asking import Term

if TYPE_CHECKING:
    from assetlib.services.finding.likeness import Looks, Vectors

DEFAULT_ROLES = DRAWN
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

MOSTLY = 0.6
"""Share of a line in words from which an entry comes before what only looks like the line."""

WORDS_WEIGH = 2.0
"""How much a place by words weighs beside a place by looks, for what carries less of the line."""

LOOKS_BESIDES = 0.1
"""What looking like the line adds to what carries it in words: it orders those that match alike."""

CUT_SHEET = 0.1
"""What a sheet that was cut loses: the drawings on it are what can be pasted."""

SHORTEST_BEGINNING = 3
"""Letters from which the beginning of a word is looked up."""

MANY = 20_000
"""Most entries that one way of matching hands on; a word that is on more of them hardly tells them apart."""

SHORTEST_CODE = 3
"""Letters of a code that are taken for one (as `catalogue.codes` has it, whose import a search cannot afford)."""

LEADING = 500
"""How many of the best entries have their titles read; ten times what any list shows."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for: words, and what an entry must carry."""

    text: str = ""
    only: tuple[str, ...] = ()
    """Facets as `FACET=VALUE`; suggested ones count, so that undescribed drawings are found."""
    tags: tuple[str, ...] = ()
    roles: tuple[str, ...] = DEFAULT_ROLES
    limit: int = 24
    in_tray: bool = False
    like: tuple[str, ...] = ()
    """Codes of entries, or paths of pictures, that results are to look like."""
    sketch: tuple[Path, ...] = ()
    """Rough drawings or photos of paper that results are to look like; their ground is taken off."""
    unlike: tuple[str, ...] = ()

    @property
    def shows(self) -> bool:
        """Whether pictures are part of the question."""
        return bool(self.like or self.sketch or self.unlike)


@dataclass(frozen=True, slots=True)
class Result:
    """A found entry: the higher the score, the better it fits; `why` says what matched."""

    card: Card
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
class _Marks:
    """What speaks for entries: for each term the best way it matched each, and the facets each carries."""

    terms: list[dict[int, tuple[float, str]]] = field(default_factory=list)
    facets: dict[int, dict[tuple[str, str], bool]] = field(default_factory=dict)


def find(lib: Library, question: Asked) -> Found:
    """The entries that fit a question best, best first.

    Raises WrongUsage for a facet or tag that cannot be, NotFound or BadPicture for a picture that cannot be looked at.
    """
    return next(find_each(lib, [question]))


def find_each(lib: Library, questions: Iterable[Asked]) -> Iterator[Found]:
    """The answer to each question in turn, all from one opened catalogue."""
    with lookup.looking(lib.catalogue) as connection:
        eye = _Eye(lib, connection)
        for question in questions:
            yield _find(connection, eye, question)


def _find(connection: sqlite3.Connection, eye: _Eye, question: Asked) -> Found:
    understood = grammar.read_line(question.text)
    shelf = _Shelf(connection, question)
    terms = asking.read_terms(connection, understood.rest)
    marks = _Marks()
    weights = [_mark_term(connection, term, shelf, marks) for term in terms]
    ids = set().union(*marks.terms)
    if understood.facets:
        _mark_facets(connection, understood.facets, marks)
        if not ids:
            # A line that is all grammar, or whose words match nothing: what carries a facet of it.
            ids = set(shelf.keep(marks.facets))
    elif not question.text.strip() and not question.shows:
        ids = set(shelf.everything())
    said = _said(ids, weights, marks)
    scores = {i: share + _carried(i, marks) for i, share in said.items()}
    if terms or understood.facets:
        _raise_titles(connection, question.text, scores)
    for sheet in lookup.cut_sheets(connection, heapq.nlargest(LEADING, scores, key=scores.__getitem__)):
        scores[sheet] -= CUT_SHEET
    alike = eye.look(question, understood.rest if terms else "", shelf)
    order = _order(question, scores, {i for i, share in said.items() if share >= MOSTLY}, alike)
    best = dict(order[: question.limit])
    cards = read_cards(connection, list(best))
    results = tuple(
        Result(cards[i], round(score, 4), _why(i, marks, alike)) for i, score in best.items() if i in cards
    )
    total = len(alike) if question.shows else len(ids | alike.keys())
    return Found(question.text, understood.facets, total, results)


def _order(
    question: Asked, scores: dict[int, float], carriers: set[int], alike: dict[int, float]
) -> list[tuple[int, float]]:
    """Entries with the score they are shown with, best first.

    What carries most of the line in words (`carriers`) comes first; the other matches and what looks like the line
    are mixed by reciprocal rank. Where pictures are part of the question, all of it is mixed.
    """
    leading = heapq.nsmallest(
        max(question.limit, LEADING), scores, key=lambda entry_id: (-scores[entry_id], -entry_id)
    )
    if not alike:
        return [(i, scores[i]) for i in leading]
    whole = set() if question.shows else carriers.intersection(leading)
    first = sorted(
        ((i, 1 + scores[i] + LOOKS_BESIDES * alike.get(i, 0.0)) for i in leading if i in whole),
        key=lambda row: -row[1],
    )
    words = [i for i in leading if i not in whole and (not question.shows or i in alike)]
    looks = [i for i in sorted(alike, key=lambda entry_id: (-alike[entry_id], -entry_id)) if i not in whole]
    if not words:
        return [*first, *((i, alike[i]) for i in looks)]

    from assetlib.vectors.fusion import fuse

    mixed = fuse([words, looks], (WORDS_WEIGH, 1.0))
    return [*first, *((fused.thing, fused.score) for fused in mixed)]


class _Eye:
    """Looks at drawings for a question; nothing of it is loaded before a question needs it."""

    def __init__(self, lib: Library, connection: sqlite3.Connection) -> None:
        self._lib, self._connection = lib, connection
        self._looks: Looks | None = None

    def look(self, question: Asked, words: str, shelf: _Shelf) -> dict[int, float]:
        """Entries that look like what is asked for, with how like; none where only grammar or nothing was said."""
        if not (question.shows or words.strip()) or not (self._lib.derived / "vectors").is_dir():
            return {}
        from assetlib.services.finding import likeness

        if self._looks is None:
            self._looks = likeness.Looks(self._lib, self._connection)
        if not self._looks.ready:
            return {}
        if not question.shows:
            found = self._looks.standing_out(self._looks.said(words), 4 * question.limit)
        else:
            wanted, unwanted, themselves = self._shown(question)
            if words.strip():
                wanted.append(self._looks.said(words))
            query = likeness.blended(wanted, unwanted)
            found = self._looks.nearest(query, 4 * question.limit, set(shelf.everything()) - themselves)
        kept = set(shelf.keep(alike.entry_id for alike in found))
        kept -= lookup.cut_sheets(self._connection, kept)
        return {alike.entry_id: alike.score for alike in found if alike.entry_id in kept}

    def _shown(self, question: Asked) -> tuple[list[Vectors], list[Vectors], set[int]]:
        """Vectors of what is wanted and what is not, and the entries among them: they do not find themselves."""
        themselves: set[int] = set()
        wanted = [self._picture(given, themselves) for given in question.like]
        wanted += [self._file(path, sketch=True) for path in question.sketch]
        unwanted = [self._picture(given, themselves) for given in question.unlike]
        return wanted, unwanted, themselves

    def _picture(self, given: str, themselves: set[int]) -> Vectors:
        path = Path(given).expanduser()
        if path.is_file():
            return self._file(path, sketch=False)
        found = lookup.entries_coded(self._connection, given.strip().upper())
        if len(given.strip()) < SHORTEST_CODE or not found:
            raise NotFound(f"'{given}' is neither a file nor the code of a drawing")
        if len(found) > 1:
            raise AmbiguousCode(f"'{given}' begins several codes: {', '.join(code for _, code in found)}")
        entry_id, code = found[0]
        assert self._looks is not None
        vector = self._looks.of(entry_id)
        if vector is None:
            raise NotFound(f"it is not known yet what {code} looks like", "run `assetlib upkeep`")
        themselves.add(entry_id)
        return vector

    def _file(self, path: Path, *, sketch: bool) -> Vectors:
        assert self._looks is not None
        return self._looks.of_file(path, sketch=sketch)


class _Shelf:
    """Which entries a question may find at all."""

    def __init__(self, connection: sqlite3.Connection, question: Asked) -> None:
        self._connection = connection
        self._filtered = bool(question.only or question.tags or question.in_tray)
        self._allowed = "role IN (SELECT value FROM json_each(?)) AND NOT in_attic"
        self._values: list[object] = [json.dumps(question.roles)]
        if question.in_tray:
            self._allowed += " AND described_at IS NULL"
        if question.only:
            self._demand_facets(question.only)
        for tag in question.tags:
            self._allowed += """ AND id IN (SELECT entry_id FROM tags
                                            WHERE concept_id = ? AND state IN ('given', 'taken'))"""
            self._values.append(lookup.concept_called(connection, fold(tag)) or -1)
        # Few entries stand outside by default, so those are what is remembered; a filter turns that round.
        query = self._allowed if self._filtered else f"NOT ({self._allowed})"
        self._ids = set(self._select(query))

    def _demand_facets(self, only: Iterable[str]) -> None:
        from assetlib.services.describing.tagging import read_facets

        for facet, value in read_facets(only):
            if value is None:
                raise WrongUsage(f"'{facet}=' names no value to look for")
            self._allowed += """ AND id IN (SELECT entry_id FROM facets
                                            WHERE facet = ? AND value = ? AND state != 'left')"""
            self._values += [facet, value]

    def _select(self, condition: str) -> list[int]:
        rows = self._connection.execute(f"SELECT id FROM entries WHERE {condition}", self._values)
        return [row[0] for row in rows.fetchall()]

    def keep(self, ids: Iterable[int]) -> list[int]:
        """Those of the ids that may be found."""
        return [i for i in ids if (i in self._ids) == self._filtered]

    def everything(self) -> list[int]:
        """All that may be found."""
        return self._select(self._allowed)


def _mark_term(connection: sqlite3.Connection, term: Term, shelf: _Shelf, marks: _Marks) -> float:
    """Mark every entry that a term matches with the best way it does; returns the term's weight by its rarity."""
    ways = [
        (lookup.in_columns(("title", "tags"), any_of([term.text])), IN_NAME, ""),
        (any_of([term.text]), IN_TEXT, " in the file or its name"),
    ]
    if term.others:
        ways.append((any_of(term.others), OTHER_LABEL, " by another word for it"))
    if term.narrower:
        ways.append((any_of(term.narrower), NARROWER, " by a narrower word"))
    if len(term.text) >= SHORTEST_BEGINNING:
        ways.append((any_of([term.text], prefix=True), BEGINNING, " as the beginning of a word"))
    matched = _matched(connection, term.text, ways, shelf)
    if not matched and (near := lookup.near_words(connection, term.text)):
        way = (any_of(near), NEARLY, f" read as {', '.join(near)}")
        matched = _matched(connection, term.text, [way], shelf)
    marks.terms.append(matched)
    return math.log(1 + lookup.size(connection) / (1 + len(matched))) + 0.1


def _matched(
    connection: sqlite3.Connection, text: str, ways: list[tuple[str, float, str]], shelf: _Shelf
) -> dict[int, tuple[float, str]]:
    """By entry, the best of the ways that match it; they stand best first."""
    matched: dict[int, tuple[float, str]] = {}
    for expression, share, how in reversed(ways):
        found = shelf.keep(lookup.matches(connection, expression, MANY))
        matched.update(dict.fromkeys(found, (share, f"{text}{how}")))
    return matched


def _mark_facets(connection: sqlite3.Connection, facets: lookup.Facets, marks: _Marks) -> None:
    for entry_id, facet, value, live in lookup.facet_carriers(connection, facets):
        marks.facets.setdefault(entry_id, {})[(facet, value)] = live


def _said(ids: Iterable[int], weights: list[float], marks: _Marks) -> dict[int, float]:
    """How much of the line each entry carries in words, 0 to 1, rare words counting for more."""
    whole = sum(weights) or 1.0
    said = dict.fromkeys(ids, 0.0)
    for weight, matched in zip(weights, marks.terms, strict=True):
        for entry_id, (share, _) in matched.items():
            said[entry_id] += weight * share / whole
    return said


def _carried(entry_id: int, marks: _Marks) -> float:
    """What the understood facets add that an entry carries."""
    carried = marks.facets.get(entry_id, {})
    return sum(FACET_GIVEN if given else FACET_SUGGESTED for given in carried.values())


def _raise_titles(connection: sqlite3.Connection, text: str, scores: dict[int, float]) -> None:
    """Among entries that match alike, raise those whose title says little else; here small words count too."""
    asked = {word.casefold() for word in asking.WORD.findall(text)}
    leading = heapq.nlargest(LEADING, scores, key=lambda entry_id: (scores[entry_id], entry_id))
    for entry_id, title in lookup.titles(connection, leading):
        words = [word.casefold() for word in asking.WORD.findall(title)]
        said = sum(1 for word in words if any(word.startswith(a) or a.startswith(word) for a in asked))
        scores[entry_id] += WHOLE_TITLE * said / max(len(words), len(asked), 1)


def _why(entry_id: int, marks: _Marks, alike: dict[int, float]) -> tuple[str, ...]:
    words = [matched[entry_id][1] for matched in marks.terms if entry_id in matched]
    facets = sorted(marks.facets.get(entry_id, {}).items())
    looks = (f"looks like it ({alike[entry_id]:.2f})",) if entry_id in alike else ()
    carried = (value if given else f"{value} (suggested)" for (_, value), given in facets)
    return (*words, *carried, *looks)
