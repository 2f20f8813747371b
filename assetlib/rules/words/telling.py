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
VEHICLE, BOAT = "vehicle", "boat"
HAND = "hand"
ARRIVING_ON_FOOT, ARRIVING_ON_WHEELS = "walking-in", "pulling-up"
_LIVING = frozenset((PERSON, HAND, "animal"))
_CLASSES = frozenset((VEHICLE, BOAT, "tool", "device"))
"""Classes of which hardly two stand in a title without a comma or a word between them (by eye)."""
_WORKED = frozenset(("tool", "bag", "vehicle", "vehicle-part", "device", "appliance", "clothing"))
_FILLING, _VESSELS = frozenset(("food", "drink")), frozenset(("tableware", "kitchenware", "bottle", "box"))
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
    rest = read_line(title).rest
    away, instead = _misread(title, trade)
    named = {
        c.id: c for c in (trade.concepts.get(instead.get(c.id, c.id), c) for c in trade.suggest(_plain(rest)))
    }
    concepts = [
        c for c in named.values()
        if not c.facet and c.id not in away and not (ACTION in c.broader and _is_noun(title, c))
    ]  # fmt: skip
    if "people" not in facets and (count := _head_count(title, facets, concepts, trade)):
        facets["people"] = (count,)
    return Told(facets, {concept.id: concept.pref for concept in concepts})


def _misread(title: str, trade: Thesaurus) -> tuple[frozenset[str], Mapping[str, str]]:
    """Ids of concepts that a line only seems to name, and of those that are meant by others' words.

    Of two things of one class side by side the first tells which kind the second is (*chopper motorcycle*), as does
    what a body's part works (*hand saw*) and what a vessel is for (*tea cup*); more than two are a list. How a thing is
    (*scissors open*, *van parked*) is nothing that it does, and a vehicle that arrives does not walk in.
    """
    away: set[str] = set()
    kept: set[str] = set()
    instead: dict[str, str] = {}
    for phrase in re.split(r"[^\w\s'’-]", title):
        words = fold(phrase).split()
        placed = trade.placed(phrase)
        for place, (first, last, concept) in enumerate(placed):
            beside = placed[place + 1] if place + 1 < len(placed) and placed[place + 1][0] == last else None
            before = placed[place - 1][2] if place and placed[place - 1][1] == first else None
            is_last = beside is None or placed[-1] == beside
            is_pair = beside is not None and not (before and not _acts(before)) and is_last
            if beside is not None and is_pair and _tells_kind(concept, beside[2], trade):
                away.add(concept.id)
            elif ACTION in concept.broader and before is not None:
                above = trade.above(before.id)
                if concept.id == ARRIVING_ON_FOOT and above & {VEHICLE, BOAT}:
                    away.add(concept.id)
                    instead |= {concept.id: ARRIVING_ON_WHEELS} if VEHICLE in above else {}
                elif _is_state(words, first, last, concept) and not _can_act(before, trade):
                    away.add(concept.id)
                else:
                    kept.add(concept.id)
            else:
                kept.add(concept.id)
    return frozenset(away - kept), {said: meant for said, meant in instead.items() if said not in kept}


def _acts(concept: ThesaurusConcept) -> bool:
    return ACTION in concept.broader


def _tells_kind(first: ThesaurusConcept, second: ThesaurusConcept, trade: Thesaurus) -> bool:
    one, two = trade.above(first.id) | {first.id}, trade.above(second.id) | {second.id}
    if first.facet or second.facet or one & _LIVING - {HAND} or two & (_LIVING | {ACTION}) or ACTION in one:
        return False
    return bool(
        one & two & _CLASSES or (HAND in one and two & _WORKED) or (one & _FILLING and two & _VESSELS)
    )


def _is_state(words: list[str], first: int, last: int, action: ThesaurusConcept) -> bool:
    """Whether what names an action is a participle or an adjective that ends a phrase."""
    label = " ".join(words[first:last])
    if last < len(words) and words[last] not in _GLUE:
        return False
    return label.endswith("ed") or fold(f"{label}s") in map(fold, action.alt)


def _can_act(concept: ThesaurusConcept, trade: Thesaurus) -> bool:
    return bool((trade.above(concept.id) | {concept.id}) & {PERSON, "animal", ACTION})


def _is_noun(title: str, action: ThesaurusConcept) -> bool:
    """Whether the verb that names an action is none here: *scroll of paper*, or *flower, open*, how something is."""
    text = f" {fold(title)} "
    bare = [
        fold(label)
        for label in action.alt
        if fold(f"{label}s") in map(fold, action.alt) or label.endswith("ed")
    ]
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
