"""What a title says of a drawing: grammar, people and things, so that nothing has to be entered twice."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from assetlib.rules.shots.grammar import read_line
from assetlib.rules.shots.titles import read_title
from assetlib.rules.words.tags import fold
from assetlib.rules.words.thesaurus import Thesaurus, ThesaurusConcept

_GLUE_WORDS = """
    a about above across after against all along among an and around as at away back before behind below beside between
    both bottom by down end far for from front half her his in inside into is it its left near of off on one onto or out
    outside over pair right round side some the their them this three through to together top towards two under up us
    very we while with without you"""
_GLUE = frozenset(_GLUE_WORDS.split())
"""Words that part a title into phrases."""

_VERBAL = ("ing", "ed", "ly")
"""Endings of what is done and how, by far more often than of things (by eye)."""

ACTION = "action"
PERSON = "person"
SEVERAL = {"couple": "2", "twins": "2", "bride-and-groom": "2", "parents": "2"}
"""Concepts that stand for a number of people."""

_NO_HEADS = """
    face head arm leg foot torso shoulder hair silhouette portrait back-of-head crowd group-of-people family audience
    passenger friends team siblings grandparents flatmates elderly-person"""
NO_HEAD_COUNT = frozenset(_NO_HEADS.split())
"""Concepts below *person* that do not say how many there are, with all that is below them."""

SHOTS_OF = {"single": "1", "two-shot": "2", "three-shot": "3"}
"""How many people a shot type says (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a title says: values of facets, and concepts by id, each with the preferred label."""

    facets: Mapping[str, tuple[str, ...]]
    concepts: Mapping[str, str]


def told_by(title: str, trade: Thesaurus) -> Told:
    """The facets and things that a title names; nothing in it is an error."""
    facets: dict[str, tuple[str, ...]] = {}
    for facet, value in read_title([title]):
        facets[facet] = (*facets.get(facet, ()), value)
    named = trade.suggest(_plain(read_line(title).rest))
    concepts = [c for c in named if not c.facet and not (ACTION in c.broader and _is_noun(title, c))]
    if "people" not in facets and (count := _head_count(title, facets, concepts, trade)):
        facets["people"] = (count,)
    return Told(facets, {concept.id: concept.pref for concept in concepts})


def _is_noun(title: str, action: ThesaurusConcept) -> bool:
    """Whether the verb that names an action is none here: *scroll of paper*, or *flower, open*, how something is."""
    text = f" {fold(title)} "
    bare = [fold(label) for label in action.alt if fold(f"{label}s") in map(fold, action.alt)]
    told = [label for label in map(fold, action.labels) if re.search(rf"\W{re.escape(label)}\W", text)]
    return bool(told) and all(
        label in bare and re.search(rf"\W{label} of |,\s*{label}\s*(,|$)", text) for label in told
    )


def unknown_things(title: str, trade: Thesaurus) -> tuple[str, ...]:
    """Words of a title that may be things no thesaurus knows: the last of each phrase, as typed, *bell* of *with bell*.

    What stands alone behind a comma (*Jar, empty*) says how something is, and what ends like a verb what it does.
    """
    found = []
    for start, end, *_ in read_line(title).spans:
        title = f"{title[:start]}{' and '.center(end - start)[: end - start]}{title[end:]}"
    pieces = re.split(r"([^\w\s'’-])", title)
    for place in range(0, len(pieces), 2):
        words = re.findall(r"[^\W\d_][\w'’-]*", pieces[place])
        if place and len(words) == 1:
            continue
        phrase: list[str] = []
        for word in (*words, "and"):
            if fold(word) not in _GLUE:
                phrase.append(word)
                continue
            if phrase and _is_thing(phrase, trade):
                found.append(phrase[-1])
            phrase = []
    return tuple(dict.fromkeys(found))


def _is_thing(phrase: list[str], trade: Thesaurus) -> bool:
    last = fold(phrase[-1])
    known = any(trade.concept_for(" ".join(phrase[start:])) for start in range(len(phrase)))
    return len(last) > 2 and not known and not last.endswith(_VERBAL)


def _plain(text: str) -> str:
    return re.sub(r"[^\w\s'’-]", " ", text)


def _head_count(
    title: str,
    facets: Mapping[str, tuple[str, ...]],
    concepts: list[ThesaurusConcept],
    trade: Thesaurus,
) -> str | None:
    for value in facets.get("shot_type", ()):
        if value in SHOTS_OF:
            return SHOTS_OF[value]
    counted = _countable(trade)
    people = [concept for concept in concepts if concept.id in counted]
    if len(people) == 1 and people[0].id in SEVERAL:
        return SEVERAL[people[0].id]
    heads = [concept for concept in people if concept.id not in SEVERAL and _is_one(title, concept)]
    return str(len(heads)) if heads and len(heads) == len(people) else None


def _is_one(title: str, concept: ThesaurusConcept) -> bool:
    """Whether the title names one of them: a singular label that owns nothing (*the driver's shoulder*)."""
    line = " " + re.sub(r"['’]s\b", "_owns", title.casefold()) + " "
    words = re.sub(r"[^\w]+", " ", line)
    singular = [
        fold(label) for label in concept.labels if not fold(label).endswith(("s", "men", "women", "people"))
    ]
    return any(f" {label} " in words for label in singular)


@cache
def _countable_of(concepts: tuple[tuple[str, tuple[str, ...]], ...]) -> frozenset[str]:
    below = dict(concepts)
    found: set[str] = set()
    waiting = [PERSON]
    while waiting:
        concept = waiting.pop()
        if concept not in found and concept not in NO_HEAD_COUNT:
            found.add(concept)
            waiting.extend(below.get(concept, ()))
    return frozenset(found)


def _countable(trade: Thesaurus) -> frozenset[str]:
    return _countable_of(tuple((c.id, c.narrower) for c in trade.concepts.values() if c.narrower))
