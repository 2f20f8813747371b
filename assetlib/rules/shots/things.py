"""The things a text names: what is to be drawn by a line, what is drawn by a title."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from assetlib.rules.shots import asides
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.words import spellings, thesaurus
from assetlib.rules.words.tags import fold

_PLACE_ROOTS = word_set(
    "place street building room landscape sky weather harbour wall fence stairs roof door window "
    "bridge furniture ship-s-deck market-stall shelf curtain floor-grid ground-shadow"
)
"""Concepts that a backdrop shows, and what lies below them in the thesaurus."""

_NO_THING = word_set(
    "motion-blur emotion walking-the-dog lettering mirror-guard logo-space delivery working reading "
    "sleeping eating drinking cooking baking shopping cycling jumping dancing falling climbing "
    "carrying kneeling dawn dusk conversation phone-call hug kiss foot hair"
)
_NO_ROOTS = word_set("action activity light-mood season festival")
"""Concepts below which nothing is a thing to be drawn by itself."""

_LIVING = frozenset(("person", "animal"))

_MORE_PLACES = word_set(
    "kerb curb road rail ramp route lane square floor ground corner deck aisle path platform water "
    "bay horizon background distance scene shore coast garden yard exterior interior row"
)
_SMALL = word_set(
    "ins side back top bottom front a an the of in on at by for with from into onto over under to "
    "toward towards and or his her their its our my your this that these those is are was be as it "
    "he she they we who which while then there up down off out away back through behind beside "
    "before after between near past beyond against around along across outside inside camera frame "
    "shot shots view left right l r cam very some all each no not but so than"
)
# Ends of English words that inflect: crude, but the same on both sides of a comparison.
_ENDINGS = ("ings", "ing", "ies", "ied", "ers", "ed", "es", "s", "e")
SHORTEST_STEM = 3


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing that a text names: its key (a concept, or a word's stem), its words as written, and where they stand."""

    key: str
    text: str
    first: int
    last: int
    """Words of the text, end-exclusive."""

    @property
    def is_place(self) -> bool:
        """Whether a backdrop shows it."""
        return is_place(self.key)

    @property
    def is_of_body(self) -> bool:
        """Whether it is a part of somebody: *on her knees* asks for no knees."""
        return self.key in _OF_BODY

    @property
    def lives(self) -> bool:
        """Whether it is a person or an animal."""
        return lives(self.key)


_NONE = word_set("no without not")
_OF_BODY = word_set("head arm shoulder leg torso mouth nose")


def lives(key: str) -> bool:
    """Whether a key is of a person or an animal."""
    return not _LIVING.isdisjoint((key, *above(key)))


@cache
def stem(word: str) -> str:
    """A word without its ending, for comparing: *offering*, *offers* and *offer* are one."""
    word = fold(word)
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= SHORTEST_STEM:
            word = word[: -len(ending)]
            break
    if len(word) > SHORTEST_STEM and word[-1] == word[-2] and word[-1] not in "ls":
        word = word[:-1]
    return word[:-1] + "i" if word.endswith("y") else word


_PART_OF = word_set(
    "face eye smile head arm shoulder leg torso mouth nose tooth beard moustache emotion "
    "walking-the-dog vehicle-interior ship-s-deck gangway ship-s-bridge mast lifebuoy anchor"
)
"""Concepts that stand below what they are a part of: who draws an eye has drawn no face."""


@cache
def above(key: str) -> tuple[str, ...]:
    """Keys of what a thing is a kind of, nearest first; none for a word that is no concept."""
    concepts = thesaurus.load().concepts
    found: dict[str, None] = {}
    waiting = [key]
    while waiting:
        concept = concepts.get(waiting.pop(0))
        for broader in concept.broader if concept and concept.id not in _PART_OF else ():
            if broader not in found:
                found[broader] = None
                waiting.append(broader)
    return tuple(found)


def is_part_of(key: str, whole: str) -> bool:
    """Whether a concept stands below another as a part of it: the eye of a face."""
    if key not in _PART_OF:
        return False
    concepts = thesaurus.load().concepts
    return any(whole in (broader, *above(broader)) for broader in concepts[key].broader)


def is_place(key: str) -> bool:
    """Whether a key is of something that a backdrop shows."""
    return key in _MORE_PLACES or not _PLACE_ROOTS.isdisjoint((key, *above(key)))


def words_of(text: str) -> list[str]:
    """The words of a text."""
    return re.findall(r"[^\W_]+(?:['’][^\W_]+)?", text)


def stems_of(text: str) -> frozenset[str]:
    """The stems of a text's words, small ones left out."""
    return frozenset(stem(bare(word)) for word in words_of(text) if word.casefold() not in _SMALL)


def bare(word: str) -> str:
    """A word without a possessive s."""
    return re.sub(r"['’]s?$", "", word)


def is_small(word: str) -> bool:
    """Whether a word only joins others."""
    return word.casefold() in _SMALL


def things_in(text: str) -> tuple[Thing, ...]:
    """The things a text names in order, the longest names first where they overlap."""
    words = [bare(word) for word in words_of(text)]
    taken: set[int] = set()
    found: list[Thing] = []
    for size in range(4, 0, -1):
        for first in range(len(words) - size + 1):
            if taken.isdisjoint(range(first, first + size)) and (
                key := _key(" ".join(words[first : first + size]))
            ):
                taken.update(range(first, first + size))
                if first and words[first - 1].casefold() in _NONE:
                    continue  # *no people*, *without a tray*
                found.append(Thing(key, " ".join(words[first : first + size]), first, first + size))
    ends = {thing.last for thing in found}
    return tuple(sorted((t for t in found if not _is_done(words, t, ends)), key=lambda thing: thing.first))


_DONE_BY_ANYTHING = word_set("steams smokes boils glows barks burns blows leaks ticks drips")
_DONE_BY_THINGS = word_set(
    "sails flies falls rolls walks runs jumps dances swings slides waves drinks cooks smiles kisses hugs watches"
)
_RINGING = word_set("phone telephone smartphone mobile bell doorbell alarm")


def _is_done(words: list[str], thing: Thing, ends: set[int]) -> bool:
    """Whether a word that may name a thing says here what the one before it does: *a boat sails*, *a teapot steams*."""
    if thing.last - thing.first > 1 or not thing.first:
        return False
    word, before = words[thing.first].casefold(), words[thing.first - 1].casefold()
    if word == "rings":
        return before in _RINGING
    follows_thing = thing.first in ends and not before.endswith("s")
    said_of_it = word in _DONE_BY_ANYTHING and not is_small(before) and not before.isdigit()
    return said_of_it or (word in _DONE_BY_THINGS and follows_thing)


def keys_shown(texts: tuple[str, ...]) -> frozenset[str]:
    """Keys of what titles and tags name, with all that each is a kind of.

    Of names in a row only the last is shown: a *van key* shows no van, a *ticket machine* no ticket.
    """
    found: set[str] = set()
    for text in (part for given in texts for part in re.split(r"[,;:/()]", given)):
        named = things_in(text)
        for place, thing in enumerate(named):
            follows = (
                named[place + 1] if place + 1 < len(named) and named[place + 1].first == thing.last else None
            )
            if follows is not None and not (thing.lives and follows.lives):
                continue
            if "hand" in above(thing.key):
                found.update(single_keys(thing.text))
            for key in (thing.key, _key(thing.text.split()[-1])):
                found.update((key, *above(key)) if key else ())
    return frozenset(found)


def is_plain(word: str) -> bool:
    """Whether a word is known to say what something does or is like: *sitting*, *old*, *red*, *seated*."""
    folded = fold(word)
    known = thesaurus.load().concept_for(folded) is not None or folded in _LOOKS
    return known or bool(asides.number_of(folded)) or folded in _FACET_WORDS


_LOOKS = word_set(
    "old young big small large little tall short fat thin long happy sad angry tired new open closed shut empty full "
    "black white red green blue yellow grey gray brown pink orange purple colour color coloured wooden "
    "l r lr rl w with facing looking side profile close up line lineart"
)
"""Words for the look of a thing that are no concepts."""

_FACET_WORDS = word_set("ws ms cu ecu mcu mws fs ews wide medium close ots pov int ext day night")
"""Words of the grammar that names of files carry."""


def single_keys(text: str) -> frozenset[str]:
    """Keys of the words of a longer name, each by itself."""
    return frozenset(key for word in words_of(text) if (key := _key(bare(word))))


def label_of(key: str) -> str:
    """The name of a concept; the key itself where it is none."""
    concept = thesaurus.load().concepts.get(key)
    return concept.pref if concept else key


def is_concept(key: str) -> bool:
    """Whether a key is a concept of the thesaurus, not only a word."""
    return key in thesaurus.load().concepts


@cache
def _key(label: str) -> str:
    """The key of the thing that a label names; empty where it names none."""
    folded = fold(label)
    if " " not in folded and (folded in _SMALL or folded.isdigit()):
        return ""
    concept = thesaurus.load().concept_for(folded)
    if concept is not None:
        if "hand" in concept.broader and " " not in folded and folded.endswith("ing"):
            return ""  # *waving*, *typing* alone say what somebody does
        if "emotion" in above(concept.id) and folded.endswith("ing"):
            return ""  # *laughing* says how somebody feels
        if not _NO_ROOTS.isdisjoint((concept.id, *above(concept.id))):
            return ""
        is_thing = not concept.id.startswith("facet-") and not concept.facet and concept.id not in _NO_THING
        return concept.id if is_thing else ""
    if " " in folded:
        return ""
    if folded in _SOMEBODY:
        return "person"
    lists = spellings.load().lists
    for word in _singulars(folded):
        if word in _MORE_PLACES:
            return word
        if word in lists["person"] or word in lists["animal"] or word in lists["thing"]:
            return "" if word in _PRONOUNS else stem(word)
    return ""


_SOMEBODY = word_set("someone somebody anyone anybody")
_PRONOUNS = word_set(
    "he she they we who both ink dye color colour line lines path time times program programme joy anger fear love "
    "pain sleep surprise fun hurry"
)


def _singulars(word: str) -> Iterator[str]:
    yield word
    if word.endswith("ies"):
        yield word[:-3] + "y"
    if word.endswith("ves"):
        yield word[:-3] + "f"
    if word.endswith("es"):
        yield word[:-2]
    if word.endswith("s") and not word.endswith("ss"):
        yield word[:-1]
