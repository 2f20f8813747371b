"""How many people a line speaks of, and the ages it gives in years."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from assetlib.rules.shots.phrases import LINE_END, Line, word_set

_NUMBER_WORDS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
    " seventeen eighteen nineteen twenty"
)
NUMBERS: Mapping[str, int] = {
    **{word: number for number, word in enumerate(_NUMBER_WORDS.split())},
    "lone": 1,
    "lonely": 1,
    "solitary": 1,
    "solo": 1,
    "twin": 2,
    "dozen": 12,
}
LARGEST_COUNT = 30  # above this a line means a crowd or an address, not a head count
LONGEST_NUMBER = 4  # figures; longer ones are no counts
ADJECTIVES_BETWEEN = 3  # "two very tired old women"
PAIRS = {
    "couple": 2,
    "pair": 2,
    "duo": 2,
    "twosome": 2,
    "trio": 3,
    "threesome": 3,
    "quartet": 4,
    "foursome": 4,
    "twins": 2,
    "triplets": 3,
    "newlyweds": 2,
}
ALONE_WITHOUT_OF = word_set("couple duo twosome trio threesome quartet foursome twins triplets newlyweds")
CROWDS = word_set("crowd crowds throng throngs mob")
CROWDED_PLACES = word_set(
    "ferry deck train bus tram street market quay pier station platform room cafe bar beach bakery shop ramp gangway"
    " carriage cabin hall square pavement restaurant classroom pub boat lift stairs bridge"
)
MANY = word_set("dozens scores hundreds thousands")
NOT_A_CROWD = word_set(
    "funding fund control pleaser pleasing source sourced sourcing surfing barrier barriers"
)
NOT_A_PAIR_AFTER = word_set("therapy counselling")
# Words that may stand between a number and the people; anything else ends the search.
FILLERS = word_set(
    "young old older elderly little small big tall short tired happy sad sleepy laughing smiling drunk angry "
    "busy wet cold hungry thirsty male female teenage teen middle aged adult grown older senior very other "
    "more bored excited nervous cheerful sleeping running walking standing seated sitting waiting leaning "
    "lying driving local early commuting chatting sullen barefoot bearded bald blond blonde fat thin slim "
    "large lone curious nosy school ferry bakery delivery street market dock deck night morning shop bus taxi "
    "train van business construction of the these those our my his her their distant tiny shadowy dark hooded "
    "uniformed well dressed best rushing hurried stressed bleary eyed sixteen year yawning shivering loud "
    "quiet rowdy giggling cute adorable good office factory hotel cafe harbour harbor fishing boat police "
    "traffic security crew"
)
AGES = ((1, "baby"), (12, "child"), (19, "teenager"), (64, "adult"), (120, "elderly"))
# Age limits follow common practice of casting sheets, no source.
AGED_THINGS = word_set(
    "whisky whiskey scotch cheese wine car van house building bread starter sourdough laptop phone boat ferry "
    "tree bakery shop oak brandy port rum vinegar church bridge company"
)


class Head(NamedTuple):
    """A count or an age found in a line: token indices, end-exclusive."""

    first: int
    last: int
    facet: str
    value: str


def read_people(line: Line, taken: frozenset[int], people: frozenset[str]) -> Iterator[Head]:
    """Counts and ages in order; `taken` are tokens that already mean something else."""
    for index in range(len(line.tokens)):
        if index in taken or line.halves_compound(index, index + 1):
            continue
        head = _age(line, index) or _counted(line, index, people) or _collective(line, index, people)
        if head is not None:
            yield head


def _number(word: str) -> int | None:
    return int(word) if word.isdecimal() and len(word) <= LONGEST_NUMBER else NUMBERS.get(word)


def _counted(line: Line, index: int, people: frozenset[str]) -> Head | None:
    number = _number(line.tokens[index].text)
    if not number or line.preceding(index) in _NUMBER_IS_A_NAME_AFTER:
        return None
    noun = _people_after(line, index + 1, people)
    value = str(number) if number <= LARGEST_COUNT else "crowd"
    return None if noun is None else Head(index, noun + 1, "people", value)


_NUMBER_IS_A_NAME_AFTER = word_set(
    "platform bus gate deck route line number no take level room pier berth lane flat"
)


def _people_after(line: Line, index: int, people: frozenset[str]) -> int | None:
    for at in range(index, min(index + ADJECTIVES_BETWEEN + 1, len(line.tokens))):
        word = line.tokens[at].text
        if word in people or (word.endswith(("men", "women")) and len(word) > len("omen")):
            after = line.following(at + 1)
            return None if after in _MAKES_A_THING or _possessive(line, at) else at
        if word not in FILLERS:
            return None
    return None


def _possessive(line: Line, at: int) -> bool:
    return "'" in line.tokens[at].raw or "’" in line.tokens[at].raw


_MAKES_A_THING = word_set("seat seats ticket tickets menu menus gloves photo photos portrait")


def _collective(line: Line, index: int, people: frozenset[str]) -> Head | None:
    word = line.tokens[index].text
    if word == "crowded" and line.following(index + 1) in CROWDED_PLACES:
        return Head(index, index + 1, "people", "crowd")
    if word in CROWDS:
        return None if line.following(index + 1) in NOT_A_CROWD else Head(index, index + 1, "people", "crowd")
    if word in MANY and line.following(index + 1) == "of":
        noun = _people_after(line, index + 2, people)
        return None if noun is None else Head(index, noun + 1, "people", "crowd")
    if word in ("family", "party", "group", "crew", "team") and line.following(index + 1) == "of":
        number = _number(line.following(index + 2))
        return Head(index, index + 3, "people", str(number)) if number else None
    if word in PAIRS:
        return _pair(line, index, people)
    return None


def _pair(line: Line, index: int, people: frozenset[str]) -> Head | None:
    word, after = line.tokens[index].text, line.following(index + 1)
    if after == "of" or (after == LINE_END and word == "pair"):
        noun = _people_after(line, index + 2, people) if after == "of" else None
        return None if noun is None else Head(index, noun + 1, "people", str(PAIRS[word]))
    if word not in ALONE_WITHOUT_OF or after in NOT_A_PAIR_AFTER:
        return None
    return Head(index, index + 1, "people", str(PAIRS[word]))


def _age(line: Line, index: int) -> Head | None:
    token = line.tokens[index]
    years = _number(token.text)
    if years is None:
        return None
    words = tuple(line.following(index + step) for step in (1, 2))
    if words[0] not in ("year", "years", "yr", "yrs") or words[1] not in ("old", "olds"):
        return None
    if line.following(index + 3) in AGED_THINGS:
        return None
    group = next((name for limit, name in AGES if years <= limit), None)
    return None if group is None else Head(index, index + 3, "age_group", group)
