"""One part of a line between commas as what it needs: who or what it is about, a set-up of the camera, or a place."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assetlib.rules.shots import grammar, things
from assetlib.rules.shots.lists import kinds
from assetlib.rules.shots.need_values import Facets, Need
from assetlib.rules.shots.objects import LIES, MOST_ADJECTIVES, SUBJECTS, furniture_in, object_needs
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.things import Thing

_STRUCTURE = ("camera_position", "view", "pose", "people", "age_group", "hand", "screen_direction", "finish")


def unknown_head(text: str) -> str:
    """The stem of the last word before a preposition or verb: the thing, in a phrase whose words are not known."""
    words = things.words_of(text)
    while words and (things.is_small(words[0]) or words[0].isdigit()):
        words.pop(0)
    taken = []
    for word in words:
        if things.is_small(word) or word.casefold().endswith(("ing", "ed")):
            break
        taken.append(word)
    chosen = (taken or words)[:3]
    if len(chosen) > 1 and re.search(r"[^s]s$", chosen[-1]):
        chosen.pop()  # *a compass needle trembles*: the verb; for *sea shells* the words before it still count
    return things.stem(chosen[-1]) if chosen else ""


def of_thing(facets: Facets) -> Facets:
    """The facets that a drawing has to have, whatever part of it the frame shows."""
    found = {name: facets[name] for name in _STRUCTURE if name in facets}
    types = tuple(
        v for v in facets.get("shot_type", ()) if v in ("over the shoulder", "two-shot", "three-shot")
    )
    return {**found, "shot_type": types} if types else found


def segment_needs(segment: str, text: str, whole: Facets, *, first: bool) -> Iterator[Need]:
    """The needs of one part of a line between commas."""
    understood = grammar.read_line(segment)
    way = {"screen_direction": whole["screen_direction"]} if first and "screen_direction" in whole else {}
    set_up = {
        name: values for name, values in of_thing(understood.facets).items() if name != "screen_direction"
    }
    named = [thing for thing in things.things_in(segment) if not _is_camera(thing, segment, understood)]
    named = _without_kinds_of_places([one for thing in named for one in _whose(thing)])
    is_set_up = names_a_set_up(set_up)
    if is_set_up and first:
        # a set-up of the camera is a drawing of its own, whoever sits in it
        of_shot = {
            k: v for k, v in of_thing(whole).items() if k in ("camera_position", "shot_type", "people")
        }
        yield Need(segment, "main", "", tuple(named), facets={**set_up, **of_shot}, asked=text)
        return
    if all(word.casefold() in _MOODS or things.is_small(word) for word in things.words_of(understood.rest)):
        return  # how somebody feels or looks
    if subject := _pronoun(segment) or _unknown_subject(segment, named, understood):
        named.insert(0, subject)
    about = furniture_in(segment, named)
    objects = [thing for thing in named if not thing.is_place or thing in about]
    objects = objects[_is_measure(segment, objects) :]
    # a knee or a shoulder after something else is where that lies, not what is drawn
    objects = objects[:1] + [thing for thing in objects[1:] if not thing.is_of_body]
    if not objects:
        if named and _THERE.search(text):
            # what something stands next to is what the shot shows, not the place behind it
            yield Need(understood.rest or segment, "main", named[-1].key, (), frozenset(), set_up)
            return
        if named:
            yield Need(understood.rest or segment, "place", named[-1].key, (), frozenset(), {})
        elif understood.rest and _is_phrase(understood.rest):
            yield _unknown(understood.rest, segment, set_up)
        return
    yield from object_needs(segment, objects, named, {**set_up, **way}, understood.rest)


_THERE = re.compile(
    r"\b(?:next to|in front of|beside|behind|before|under|near|around|against) (?:it|them)\b", re.IGNORECASE
)


def _without_kinds_of_places(named: list[Thing]) -> list[Thing]:
    """Things without those that only say which place is meant: the picnic of *a bottle on a picnic table*."""
    return [
        thing
        for place, thing in enumerate(named)
        if not (
            0 < place < len(named) - 1
            and named[place + 1].first == thing.last
            and named[place + 1].is_place
            and not thing.lives
        )
    ]


def _whose(thing: Thing) -> tuple[Thing, ...]:
    """*Bearded man* as a beard and a man: the thing itself is who has it."""
    words = thing.text.split()
    own = things.things_in(words[-1]) if len(words) > 1 else ()
    if not own or _is_somebody(thing.key) or not _is_somebody(own[0].key):
        return (thing,)
    return (
        Thing(thing.key, " ".join(words[:-1]), thing.first, thing.last - 1),
        Thing(own[0].key, words[-1], thing.last - 1, thing.last),
    )


def _is_somebody(key: str) -> bool:
    return "person" in (key, *things.above(key))


_MEASURES = word_set(
    "pair couple trio group bunch number set lot handful dozen row line crowd flock herd stack pile"
)


def _is_measure(segment: str, objects: list[Thing]) -> bool:
    """Whether the first thing only says how many of the second there are: *a pair of old ladies*."""
    words = [word.casefold() for word in things.words_of(segment)]
    return (
        len(objects) > 1
        and words[objects[0].last - 1] in _MEASURES
        and words[objects[0].last : objects[1].first] in (["of"], ["of", "the"])
    )


def _pronoun(segment: str) -> Thing | None:
    """Whom a sentence is about that begins *she* or *he*."""
    words = things.words_of(segment)
    key = SUBJECTS.get(words[0].casefold()) if len(words) > 1 else None
    return Thing(key, words[0], 0, 1) if key else None


_PASSED = LIES | word_set("past across along")
"""Words between a subject that is not known and the first thing that is: *dachshund trots past a bicycle*."""


def _unknown_subject(segment: str, named: list[Thing], understood: grammar.Understood) -> Thing | None:
    """What lies on, in or under the first thing that is known: a *gramophone on a table* is no table."""
    hits = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    words = [hit.group().casefold() for hit in hits]
    if not named or not named[0].first:
        return None
    places = [at for at in range(1, named[0].first) if words[at] in _PASSED]
    if not places:
        return None
    told = [
        at
        for at in range(places[0])
        if not (things.is_small(words[at]) or words[at].isdigit() or words[at] in _EMPTY)
        and not any(s <= hits[at].start() < e for s, e, _, _ in understood.spans)
    ]
    between = range(places[-1] + 1, named[0].first)
    if not told or any(not things.is_small(words[at]) for at in range(places[0], places[-1] + 1)):
        return None
    text = " ".join(words[at] for at in told)
    if not _is_phrase(text) or len(between) > 1 + MOST_ADJECTIVES:
        return None
    head = unknown_head(text)
    last = next(at for at in reversed(told) if things.stem(words[at]) == head) + 1
    return Thing(head, hits[last - 1].group(), last - 1, last)


def names_a_set_up(facets: Facets) -> bool:
    """Whether facets name a set-up of the camera that is drawn as one: *hood mount*, *over the shoulder*."""
    positions = [value for value in facets.get("camera_position", ()) if value != "dash"]
    return bool(positions) or "over the shoulder" in facets.get("shot_type", ())


def _is_phrase(rest: str) -> bool:
    """Whether words that name nothing known may still name a thing: not *same*, *new*, *slow*, *out of focus*."""
    words = [word for word in things.words_of(rest) if not things.is_small(word)]
    told = [word for word in words if not (word.casefold() in _EMPTY or word.isdigit())]
    pronoun = things.words_of(rest)[0].casefold() in _PRONOUNS
    return bool(told) and not pronoun and not all(word.casefold().endswith(("ing", "ed")) for word in told)


_PRONOUNS = word_set("who which he she it they we that this same")


_MOODS = word_set(
    "looks look turns smiles talks speaks laughs nods waits walks runs stops "
    "angry happy sad tired surprised scared worried bored excited nervous proud relieved shocked asleep awake "
    "reacts cries sighs waves sits stands enters exits leaves comes goes listens thinks sleeps stares watches"
)
"""What somebody does or feels without anything more to draw."""


_EMPTY = (
    kinds.TIME_WORDS
    | _MOODS
    | word_set(
        "same new slow slowly fast quick focus soft sharp beat pause hold rack again later alone empty "
        "dark light bright wet dry shut open closed alight lit blurred background foreground still quiet "
        "early late driver's pov silhouette continuous handheld end start begins ends opening final "
        "reveal reveals detail close wide"
    )
)


def _unknown(rest: str, segment: str, facets: Facets) -> Need:
    head = unknown_head(rest)
    return Need(rest, "main", head, (), things.stems_of(rest) - {head}, facets)


def _is_camera(thing: Thing, segment: str, understood: grammar.Understood) -> bool:
    """Whether a thing is only named to say where the camera is: *hood mount*, *driver's POV*."""
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    start, end = words[thing.first].start(), words[thing.last - 1].end()
    told = ("shot_type", "shot_size", "camera_position", "camera_move", "camera_angle", "screen_direction")
    owner = words[thing.first].group().endswith(("'s", "’s")) and "point of view" in understood.facets.get(
        "shot_type", ()
    )
    # the dash is a thing to draw, too
    return owner or any(
        s <= start and end <= e
        for s, e, facet, value in understood.spans
        if facet in told and value != "dash"
    )
