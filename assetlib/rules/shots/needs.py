"""A shot taken apart into what has to be drawn: *this van, this dog, a night street*."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from assetlib.rules.shots import asides, grammar, things
from assetlib.rules.shots.lists import kinds
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.things import Thing

Facets = dict[str, tuple[str, ...]]

_SEGMENT = re.compile(r"\s*[,;:]\s+|\s+[-–—/]+\s+|\.\s+|\s+(?:while|as|then|and then)\s+", re.IGNORECASE)
_AWAY = word_set(
    "at beside by behind outside inside near toward towards for past beyond from under against "
    "between around with and to after follows watches passes sees meets"
)
"""Words before a thing that stands by itself beside the first one."""
_LOOSE_END = re.compile(
    r"(?:\s+(?:a|an|the|at|for|by|and|of|in|on|with|from|to|waits|behind|beside|past|beyond|his|her))+\s*$",
    re.IGNORECASE,
)
_JOINED = word_set("with and to")
_STRUCTURE = ("camera_position", "view", "pose", "people", "age_group", "hand", "screen_direction", "finish")


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that has to be drawn, or the place it is drawn in."""

    text: str
    kind: str
    """*main*, *beside* (stands by itself next to the main one) or *place*."""
    head: str = ""
    """Key of the thing itself; empty where the line names none that is known, and for set-ups of the camera."""
    parts: tuple[Thing, ...] = ()
    """What else the same drawing shows: the tray that the baker holds."""
    doing: frozenset[str] = frozenset()
    """Stems of the words that say what it does or is like."""
    facets: Facets | None = None
    made_of: frozenset[str] = frozenset()
    """Texts of parts without which it is something else: the cheese of a *wheel of cheese*."""
    called: str = ""
    """The thing with what it holds, as the line names it: *baker w/ bread*."""
    asked: str = ""
    """The words of the line that finding is asked with, grammar and all."""

    @property
    def name(self) -> str:
        """In few words what is to be drawn."""
        return self.called or self.text

    @property
    def is_scene(self) -> bool:
        """Whether it is drawn behind, as a backdrop is: a place, or a shot of nothing but one."""
        return self.kind == "place" or things.is_place(self.head)


def needs_of(shot: Shot) -> tuple[Need, ...]:
    """What a shot needs: its things in the order they are named, and last its place. Never empty."""
    found: list[Need] = []
    seen: set[str] = set()
    whole = grammar.read_line(shot.text).facets
    text, denied = _without_denied(shot.text)
    segments = _SEGMENT.split(text)
    # *passenger sleeps, hood mount*: the set-up holds the rest, wherever it stands
    segments.sort(key=lambda segment: not _is_set_up(_of_thing(grammar.read_line(segment).facets)))
    for segment in segments:
        for need in _segment_needs(segment, shot.text, whole, first=not found):
            if found and _is_set_up(found[0].facets or {}) and need.kind != "place":
                # who and what is seen in a set-up of the camera belongs to its one drawing
                found[0] = replace(found[0], parts=(*found[0].parts, *_as_parts(need)))
                continue
            if need.head in _HOW_IT_IS_HELD and any(things.lives(other.head) for other in found):
                continue  # *dog sits, head up*: how the dog holds itself
            if need.head and (need.head in seen or _same(need.head, seen)):
                continue
            seen.update({need.head, *(part.key for part in need.parts)})
            found.append(need)
    if denied:
        found = [replace(need, asked=f"{need.asked or need.text}, {denied}") for need in found]
    main = [need for need in found if need.kind != "place"]
    places = [need for need in found if need.kind == "place"]
    if not main:
        main = [_whole(replace(shot, text=text), whole, places)]
        main = [replace(main[0], asked=f"{main[0].text}, {denied}")] if denied else main
        places = [place for place in places if place.head != main[0].head]
    own = tuple(Thing(need.head, need.text, 0, 0) for need in main if need.head)
    # what the shot shows may stand in its backdrop: a door with the dog that waits there
    return (*main, *(replace(place, parts=(*place.parts, *own)) for place in _place_needs(shot, places)))


_HOW_IT_IS_HELD = word_set("head arm shoulder leg torso mouth nose tail ear paw wing")
"""Parts of somebody named before: what is told of them says how that one is to be drawn."""


def _without_denied(text: str) -> tuple[str, str]:
    """A line without what it says is not there, and that in words that finding reads: *no people*."""
    denied = asides.read_without(text)
    for aside in reversed(denied):
        text = f"{text[: aside.first]} {text[aside.last :]}"
    return text, ", ".join(dict.fromkeys(f"no {aside.things[0]}" for aside in denied))


def _as_parts(need: Need) -> tuple[Thing, ...]:
    return (Thing(need.head, need.text, 0, 0), *need.parts) if need.head else need.parts


def _same(head: str, seen: set[str]) -> bool:
    """Whether a thing was named already by a broader or narrower word: *the woman*, then *her face*, *she*."""
    return any(head in things.above(other) or other in things.above(head) for other in seen if other)


def _whole(shot: Shot, facets: Facets, places: list[Need]) -> Need:
    """A shot that names no thing but a place, or nothing known: all of it is the need."""
    rest = grammar.read_line(shot.text).rest or shot.text
    keys = things.things_in(rest)
    head = keys[0].key if keys else _unknown_head(rest)
    return Need(rest, "main", head, keys[1:], _doing(rest, keys), _of_thing(facets))


def _unknown_head(text: str) -> str:
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


def _of_thing(facets: Facets) -> Facets:
    """The facets that a drawing has to have, whatever part of it the frame shows."""
    found = {name: facets[name] for name in _STRUCTURE if name in facets}
    types = tuple(
        v for v in facets.get("shot_type", ()) if v in ("over the shoulder", "two-shot", "three-shot")
    )
    return {**found, "shot_type": types} if types else found


def _segment_needs(segment: str, text: str, whole: Facets, *, first: bool) -> Iterator[Need]:
    """The needs of one part of a line between commas."""
    understood = grammar.read_line(segment)
    way = {"screen_direction": whole["screen_direction"]} if first and "screen_direction" in whole else {}
    set_up = {
        name: values for name, values in _of_thing(understood.facets).items() if name != "screen_direction"
    }
    named = [thing for thing in things.things_in(segment) if not _is_camera(thing, segment, understood)]
    named = [one for thing in named for one in _whose(thing)]
    is_set_up = _is_set_up(set_up)
    if is_set_up and first:
        # a set-up of the camera is a drawing of its own, whoever sits in it
        of_shot = {
            k: v for k, v in _of_thing(whole).items() if k in ("camera_position", "shot_type", "people")
        }
        yield Need(segment, "main", "", tuple(named), facets={**set_up, **of_shot}, asked=text)
        return
    if all(word.casefold() in _MOODS or things.is_small(word) for word in things.words_of(understood.rest)):
        return  # how somebody feels or looks
    if subject := _pronoun(segment) or _unknown_subject(segment, named, understood):
        named.insert(0, subject)
    about = _furniture(segment, named)
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
    yield from _objects(segment, objects, named, {**set_up, **way}, understood.rest)


def _furniture(segment: str, named: list[Thing]) -> list[Thing]:
    """Furniture that a line is about, though a backdrop shows it: *two chairs and a table*, *a bench under a tree*.

    By itself, and after a word for where something is, it is a place.
    """
    words = [word.casefold() for word in things.words_of(segment)]
    if not named or not _WHERE.isdisjoint(words[: named[0].first]):
        return []
    first, *later = named
    counted = any(asides.number_of(word) for word in words[: first.first])
    leads = [first] if _is_furniture(first) and (counted or later) else []
    return leads + [thing for thing in later if _is_furniture(thing) and _joins(words, first.last, thing)]


def _is_furniture(thing: Thing) -> bool:
    return "furniture" in things.above(thing.key)


def _joins(words: list[str], last: int, thing: Thing) -> bool:
    """Whether *and* stands before a thing, with nothing but a number, an article and words for its look between."""
    begun = _begin(words, last, thing)
    return begun > last and words[begun - 1] == "and"


def _begin(words: list[str], last: int, thing: Thing) -> int:
    """Where the words of a thing begin: at its number or article where words for its look stand between."""
    for at in range(thing.first - 1, max(last, thing.first - 2 - _MOST_ADJECTIVES) - 1, -1):
        if words[at] in _ARTICLES or asides.number_of(words[at]) is not None:
            return at
        if things.is_small(words[at]):
            break
    return thing.first


_ARTICLES = word_set("a an the another some his her their")


_THERE = re.compile(
    r"\b(?:next to|in front of|beside|behind|before|under|near|around|against) (?:it|them)\b", re.IGNORECASE
)


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


_SUBJECTS = {"she": "woman", "he": "man"}


def _pronoun(segment: str) -> Thing | None:
    """Whom a sentence is about that begins *she* or *he*."""
    words = things.words_of(segment)
    key = _SUBJECTS.get(words[0].casefold()) if len(words) > 1 else None
    return Thing(key, words[0], 0, 1) if key else None


_LIES = word_set("on in under underneath beneath beside behind against by near inside atop among")
"""Words between a thing and where it lies or stands."""


def _unknown_subject(segment: str, named: list[Thing], understood: grammar.Understood) -> Thing | None:
    """What lies on, in or under the first thing that is known: a *gramophone on a table* is no table."""
    hits = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    words = [hit.group().casefold() for hit in hits]
    if not named or not named[0].first:
        return None
    places = [at for at in range(1, named[0].first) if words[at] in _LIES]
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
    if not _is_phrase(text) or len(between) > 1 + _MOST_ADJECTIVES:
        return None
    head = _unknown_head(text)
    last = next(at for at in reversed(told) if things.stem(words[at]) == head) + 1
    return Thing(head, hits[last - 1].group(), last - 1, last)


_WHERE = _LIES | word_set("at over above with from to of into onto through")
_MOST_ADJECTIVES = 2
"""Words between *on* and what something lies on: *on the old wooden table*."""


def _is_set_up(facets: Facets) -> bool:
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
    head = _unknown_head(rest)
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


def _objects(
    segment: str, objects: list[Thing], named: list[Thing], facets: Facets, rest: str
) -> Iterator[Need]:
    """The first thing with what it holds, and each thing that stands by itself beside it."""
    words = [word.casefold() for word in things.words_of(segment)]
    head, later = _head(objects)
    if head.key in _AIRY and later and {*words[head.last : later[0].first]} & _OVER:
        head, later = later[0], [head, *later[1:]]  # *steam over the coffee mug*: the mug, with steam
    parts: list[Thing] = []
    beside: list[Thing] = []
    for thing in later:
        (beside if _stands_apart(words, head, thing) else parts).append(thing)
    begun = [_begin(words, head.last, thing) for thing in beside]
    doing = _doing(
        segment, [*named], [range(at, thing.first) for at, thing in zip(begun, beside, strict=True)]
    )
    text = _phrase(segment, head, begun, rest)
    asked = _asked(segment, head, begun, facets)
    made_of = _made_of(words, head, parts)
    called = _called(segment, head, parts)
    yield Need(text, "main", head.key, tuple(parts), doing, facets, made_of, called, asked)
    for at, thing in zip(begun, beside, strict=True):
        yield _beside(segment, at, thing)


def _beside(segment: str, begun: int, thing: Thing) -> Need:
    """What stands by itself beside the first thing, with its number and the words for its look."""
    told = things.words_of(segment)[begun : thing.last]
    if told[0].casefold() in _ARTICLES:
        del told[0]
    text = " ".join(told)
    return Need(
        text, "beside", thing.key, (), things.stems_of(" ".join(told[: thing.first - thing.last])), {}
    )


_AIRY = word_set("steam smoke shadow reflection glow sparkle")
_OVER = word_set("over above from on of around off")
"""Words between what is only seen on something, and that."""

_HOLDS = ("tableware", "box", "object")
_HOLDERS = word_set(
    "tray baking-tray bag bottle bucket can tin jar jug pot pan sack carton packet basket box crate"
)


def _made_of(words: list[str], head: Thing, parts: list[Thing]) -> frozenset[str]:
    """What comes after *of* makes the thing what it is, unless it is what the thing holds: *a tray of loaves*."""
    if head.key in _HOLDERS or not {head.key, *things.above(head.key)}.isdisjoint(_HOLDS):
        return frozenset()
    return frozenset(
        part.text for part in parts if part.first and words[head.last : part.first][:1] == ["of"]
    )


def _head(objects: list[Thing]) -> tuple[Thing, list[Thing]]:
    """The thing itself: the last of names in a row (*commuter crowd*, *bread crates*), and the things after it."""
    place = 0
    while place + 1 < len(objects) and objects[place + 1].first == objects[place].last:
        place += 1
    return objects[place], objects[place + 1 :]


def _stands_apart(words: list[str], head: Thing, thing: Thing) -> bool:
    """Whether a thing is another drawing beside the first: both live, or it lies beyond a word of distance."""
    between = words[head.last : thing.first]
    if between[:1] == ["and"] and (
        all(things.is_small(word) for word in between) or _joins(words, head.last, thing)
    ):
        return True  # *calculator and envelope*, *chairs and a wooden table*: each may be drawn by itself
    if thing.lives and head.lives:
        # *girl walks the dog* is one drawing, *girl and dog* are two
        return bool({*between} & _AWAY) or len(between) < _WITH_A_VERB
    far = _AWAY - _JOINED
    return (thing.lives or _is_large(thing)) and (any(word in far for word in between) or not head.lives)


_WITH_A_VERB = 1  # words between two who live, from which one does something to the other


def _is_large(thing: Thing) -> bool:
    return not {"vehicle", "boat"}.isdisjoint((thing.key, *things.above(thing.key)))


def _doing(text: str, named: Sequence[Thing], others: Iterable[range] = ()) -> frozenset[str]:
    """Stems of what is neither thing, number, small word nor grammar; `others` are words for the look of others."""
    words = things.words_of(text)
    taken = {i for thing in named for i in range(thing.first, thing.last)}
    taken.update(place for span in others for place in span)
    grammar_words = {
        things.stem(word)
        for s, e, facet, _ in grammar.read_line(text).spans
        if facet != "pose"
        for word in things.words_of(text[s:e])
    }
    found = {
        things.stem(things.bare(word))
        for place, word in enumerate(words)
        if place not in taken and not things.is_small(word) and not word.isdigit()
    }
    return frozenset(found - grammar_words)


def _asked(segment: str, head: Thing, beside: list[int], facets: Facets) -> str:
    """What finding is asked for a thing: the words of the line, without what stands beside it from some word on."""
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    if beside:
        segment = segment[: words[beside[0]].start()]
    if words[0].group() == head.text and head.text.casefold() in _SUBJECTS:
        segment = f"{_SUBJECTS[head.text.casefold()]}{segment[words[0].end() :]}"
    ways = facets.get("screen_direction", ())
    said = grammar.read_line(segment).facets.get("screen_direction", ())
    return ", ".join([segment.strip(), *(way for way in ways if way not in said)])


_HELD_AFTER = 3
"""Words between a thing and what it holds, to which both are told as one: *baker with a tray*."""


def _called(segment: str, head: Thing, parts: list[Thing]) -> str:
    """A thing as the line names it, with what it holds."""
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    if head.text.casefold() in _SUBJECTS:
        return _SUBJECTS[head.text.casefold()]
    last = head.last
    for part in parts:
        between = [word.group().casefold() for word in words[last : part.first]]
        if len(between) < _HELD_AFTER and {"with", "w", "of", "in"} & {*between}:
            last = part.last
    return segment[words[head.first].start() : words[last - 1].end()]


def _phrase(segment: str, head: Thing, beside: list[int], rest: str) -> str:
    """The words of a need, to be shown and to be searched with."""
    if not beside:
        return rest or segment
    words = list(re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", segment))
    end = words[beside[0]].start()
    left = grammar.read_line(segment[:end]).rest or segment[:end]
    return _LOOSE_END.sub("", left).strip() or head.text


def _place_needs(shot: Shot, places: list[Need]) -> Iterator[Need]:
    """The place a shot plays in: its heading's, and what the line adds to it."""
    bare = re.sub(rf"(?i)^{kinds.SETTING}\s*", "", shot.heading).strip()
    told, bare = bare, _without_time(bare)
    if bare:
        named = things.things_in(bare)
        if not named or named[-1].is_place:
            inside: Facets = {"setting": ("INT",)} if re.match(r"(?i)int(?!.{0,3}ext)", shot.heading) else {}
            head = named[-1].key if named else _unknown_head(bare)
            yield Need(
                bare, "place", head, tuple(named[:-1]), frozenset(), inside, asked=_asked_of_place(told, bare)
            )
    yield from places


def _without_time(place: str) -> str:
    """*KITCHEN - MORNING* without its time, which is no part of the place."""
    parts = re.split(r"(\s+[-–—/|]+\s+|\s*[,.;|]\s*|\s*\(|\)\s*)", place)
    while len(parts) > 1 and _is_time(parts[-1]):
        del parts[-2:]
    return "".join(parts).strip() or place


def _is_time(part: str) -> bool:
    return all(word.casefold() in kinds.HEADING_TIMES or word.isdigit() for word in things.words_of(part))


def _asked_of_place(told: str, bare: str) -> str:
    """What finding is asked for a place: with its time where that is one that drawings have."""
    return told if "time" in grammar.read_line(told).facets else bare
