"""Whether a drawing serves what a shot needs: as it is, altered, or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from assetlib.rules.shots import grammar, things
from assetlib.rules.shots.needs import Need
from assetlib.rules.shots.phrases import word_set

YES, HALF, NO = "yes", "half", "no"

# What a drawing gains for each thing it carries; set by hand on the demo's list and the ten lists of the tests.
_HEAD, _PARTS, _DOING, _FACETS = 0.5, 0.2, 0.2, 0.1
_TOO_MUCH = 0.04
"""What each thing costs that a drawing shows and the line does not name."""
_MOST_TOO_MUCH = 3
_HALF_SCORE = 0.25
"""What having to alter a drawing costs: one that serves as it is comes first."""

_STILL_WORDS = word_set(
    "waits wait looks look sees see watches watch stares stands standing sits sitting seated alone "
    "single is holds seen parked stacked leaves leaving set being tired happy young old whole big "
    "small little one two three four five six focus blurred background foreground distance asks says "
    "talks lit shut open empty left behind her his new overhead above below alight wet"
)
_STILL = frozenset(things.stem(word) for word in _STILL_WORDS)
"""Words that most drawings of a thing go with: they ask for no drawing of their own."""
_COMPARED = ("view", "pose", "camera_position", "shot_type", "age_group", "hand")


@dataclass(frozen=True)
class Drawing:
    """What is known of a drawing in words: its title, its tags, and facets that somebody gave it."""

    title: str
    tags: tuple[str, ...] = ()
    facets: Mapping[str, tuple[str, ...]] | None = None
    is_backdrop: bool = False

    @cached_property
    def text(self) -> str:
        """Title and tags in one."""
        return ", ".join((self.title, *self.tags))

    @cached_property
    def keys(self) -> frozenset[str]:
        """Keys of all it shows, broader ones too."""
        return things.keys_shown((self.title, *self.tags))

    @cached_property
    def stems(self) -> frozenset[str]:
        """Stems of its words."""
        return things.stems_of(self.text)

    @cached_property
    def said(self) -> Mapping[str, tuple[str, ...]]:
        """Facets that its title says, and for the others those that were given."""
        return {**(self.facets or {}), **grammar.read_line(self.title).facets}

    @cached_property
    def named(self) -> tuple[things.Thing, ...]:
        """The things its title names."""
        return things.things_in(self.title)

    @cached_property
    def count(self) -> str:
        """How many people its title says: a number, *crowd*, or nothing."""
        told = grammar.read_line(self.title).facets.get("people", ())
        if told:
            return told[0]
        types = self.said.get("shot_type", ())
        if "two-shot" in types or "three-shot" in types:
            return "2" if "two-shot" in types else "3"
        if not {"crowd", "queue"}.isdisjoint(self.keys):
            return "crowd"
        living = [
            thing for thing in self.named if thing.lives and "person" in (thing.key, *things.above(thing.key))
        ]
        return str(len(living)) if living and not living[0].text.casefold().endswith(("s", "people")) else ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """How a drawing serves a need: `fit` is yes, half or no; `alter` says what has to be done to it."""

    fit: str
    score: float
    why: tuple[str, ...] = ()
    alter: tuple[str, ...] = ()


def judge(need: Need, drawing: Drawing) -> Judgement:
    """How a drawing serves a need, by what is said of it in words."""
    head = _head_weight(need, drawing)
    facets = need.facets or {}
    if need.kind == "place" and not _is_place(drawing):
        head = 0.0
    if not head or _contradicts(facets, drawing):
        return Judgement(NO, 0.0)
    parts = [part for part in need.parts if not part.is_place]
    missing = [part for part in parts if not _shows(drawing, part.key, part.text)]
    asked = need.doing - _STILL
    done = {word for word in need.doing if word in drawing.stems}
    alter = [*_take_out(need, drawing), *_people_alter(facets, drawing), *_way_alter(facets, drawing)]
    if _OTHER_CROWD in alter:
        return Judgement(NO, 0.0)
    if not (asked & done and len(missing) < len(parts)):
        # titles do not name all that is drawn: where the doing and one part are right, the eye decides on the rest
        alter += [f"add the {part.text}" for part in missing if need.head or not part.lives]
    posed = "pose" in facets and not set(facets["pose"]).isdisjoint(drawing.said.get("pose", ()))
    if asked and not (asked & done) and not posed:
        lives = (bool(need.head) and "animal" in (need.head, *things.above(need.head))) or _is_person(
            need.head
        )
        if len(missing) == len(parts) and (lives or _does_otherwise(drawing, need)):
            return Judgement(NO, 0.0)
        alter.append(f"redraw what it does: {need.text}")
    elif "pose" in facets and not posed and not (need.doing & done):
        alter.append(f"redraw the pose: {facets['pose'][0]}")
    score = head * _HEAD + _share(len(parts) - len(missing), len(parts)) * _PARTS
    score += _share(len(done), len(need.doing)) * _DOING + _facet_share(facets, drawing) * _FACETS
    score -= _TOO_MUCH * min(_MOST_TOO_MUCH, len(_too_much(need, drawing)))
    score -= _HALF_SCORE if alter else 0
    return Judgement(
        HALF if alter else YES, round(max(score, 0.01), 4), _why(need, drawing, done), tuple(alter)
    )


def _is_place(drawing: Drawing) -> bool:
    """Whether a drawing shows a place first, or nothing that is known to be something else."""
    return not drawing.named or drawing.named[0].is_place or drawing.is_backdrop


def _is_person(key: str) -> bool:
    return "person" in (key, *things.above(key))


def _take_out(need: Need, drawing: Drawing) -> list[str]:
    """What a drawing shows first that the need does not name: the hand, where only a phone is asked for."""
    own = [thing for thing in drawing.named if not thing.is_place]
    if not need.head or not own:
        return []
    wanted = {need.head, *(part.key for part in need.parts)}
    kinds_of = {need.head, *things.above(need.head), *wanted}
    run = [own[0]]
    for thing in own[1:]:
        if thing.first == run[-1].last:
            run.append(thing)
    first = run[-1]
    named = things.stems_of(first.text) <= things.stems_of(need.text)
    if named or not kinds_of.isdisjoint((first.key, *things.above(first.key))):
        return []
    return [f"take out the {first.text.casefold()}"]


def _head_weight(need: Need, drawing: Drawing) -> float:
    """How surely a drawing shows the thing itself, 0 to 1: less where it is only beside another thing."""
    facets = need.facets or {}
    set_up = {
        k: v
        for k, v in facets.items()
        if k == "camera_position" or (k == "shot_type" and "over the shoulder" in v)
    }
    if not need.head and set_up:
        carried = [not set(values).isdisjoint(drawing.said.get(name, ())) for name, values in set_up.items()]
        return 1.0 if all(carried) else 0.0
    if not need.head or not _shows(drawing, need.head, need.head):
        return 0.0
    own = [thing for thing in drawing.named if not thing.is_place] or list(drawing.named)
    first = bool(own) and need.head in (own[0].key, *things.above(own[0].key))
    in_row = (
        len(own) > 1 and own[1].first == own[0].last and need.head in (own[1].key, *things.above(own[1].key))
    )
    return 1.0 if first or in_row or not own else 0.7


def _shows(drawing: Drawing, key: str, text: str) -> bool:
    if key in drawing.keys:
        return True
    if things.is_concept(key):
        # a *mooring rope* is a rope, and a *hand with a key* is shown where a hand and a key are
        single = things.single_keys(text if " " in text.strip() else things.label_of(key)) - {key}
        return bool(single) and single <= drawing.keys
    words = things.stems_of(text) | {key}
    return bool(words) and words <= drawing.stems


def _contradicts(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> bool:
    """Whether a drawing says the opposite of what is asked: seen from elsewhere, in another pose."""
    if "setting" in facets and "INT" not in drawing.said.get("setting", ()):
        return True  # a room is asked for, and buildings are drawn from outside unless they say so
    for name in _COMPARED:
        asked, has = set(facets.get(name, ())), set(drawing.said.get(name, ()))
        if name == "shot_type":
            asked &= {"over the shoulder"}
            if "over the shoulder" in has and not asked:
                return True
            continue
        if asked and has and asked.isdisjoint(has):
            return True
    return False


_OTHER_CROWD = "another number of people"


def _people_alter(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """What is to be done about how many people a drawing shows."""
    wanted = facets.get("people", ())
    if not wanted:
        wanted = tuple(
            {"two-shot": "2", "three-shot": "3"}.get(value, "") for value in facets.get("shot_type", ())
        )
    asked = next((value for value in wanted if value), "")
    if not asked or not drawing.count or asked == drawing.count:
        return []
    if "crowd" in (asked, drawing.count):
        number = asked if drawing.count == "crowd" else drawing.count
        return [] if int(number) > 3 else [_OTHER_CROWD]
    more = int(drawing.count) - int(asked)
    if abs(more) == 1:
        return ["one person too many" if more > 0 else "one person too few: draw another"]
    return [_OTHER_CROWD] if abs(more) > 2 else [f"{abs(more)} people too {'many' if more > 0 else 'few'}"]


_OPPOSITE = {"left to right": "right to left", "right to left": "left to right"}


def _way_alter(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """*mirror it*, where a drawing goes the other way than the line."""
    asked, has = facets.get("screen_direction", ()), drawing.said.get("screen_direction", ())
    return (
        ["mirror it"] if any(_OPPOSITE.get(way) in has for way in asked) and not set(asked) & set(has) else []
    )


def _does_otherwise(drawing: Drawing, need: Need) -> bool:
    """Whether a drawing shows its thing doing something of its own."""
    if "pose" in drawing.said:
        return True
    named = {things.stem(word) for thing in drawing.named for word in things.words_of(thing.text)}
    verbs = {
        things.stem(word)
        for word in things.words_of(drawing.title)
        if word.casefold().endswith("ing") and things.stem(word) not in named
    }
    return bool(verbs - _STILL - need.doing)


def _too_much(need: Need, drawing: Drawing) -> list[str]:
    """Things that a drawing shows and the need does not name."""
    wanted = {
        need.head,
        *things.above(need.head),
        *(key for part in need.parts for key in (part.key, *things.above(part.key))),
    }
    words = things.stems_of(need.text)
    return [
        thing.text
        for thing in drawing.named
        if not thing.is_place
        and wanted.isdisjoint((thing.key, *things.above(thing.key)))
        and not words & things.stems_of(thing.text)
    ]


def _facet_share(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> float:
    asked = [name for name in _COMPARED if name in facets]
    return _share(
        sum(not set(facets[name]).isdisjoint(drawing.said.get(name, ())) for name in asked), len(asked)
    )


def _share(count: int, of: int) -> float:
    return count / of if of else 1.0


def _why(need: Need, drawing: Drawing, done: set[str]) -> tuple[str, ...]:
    """The words of the need that a drawing carries."""
    found = [word for word in things.words_of(need.text) if not things.is_small(word) and
             (things.stem(things.bare(word)) in drawing.stems or things.stem(things.bare(word)) in done)]  # fmt: skip
    facets = [
        v for name, values in (need.facets or {}).items() for v in values if v in drawing.said.get(name, ())
    ]
    return tuple(dict.fromkeys([*found, *facets]))


def served(fits: Sequence[tuple[Need, str]]) -> tuple[str, list[str]]:
    """How a shot is served by the best fit of each of its needs, and what is to be added to it.

    Places are drawn behind and decide nothing, unless a shot shows nothing else.
    """
    counted = [pair for pair in fits if pair[0].kind != "place"] or list(fits)
    lacking = [need for need, fit in counted if fit == NO]
    if all(fit == YES for _, fit in counted):
        return YES, []
    if len(lacking) == len(counted):
        return NO, []
    return HALF, [f"add: {need.text}" for need in lacking]
