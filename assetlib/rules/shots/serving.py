"""Whether a drawing serves what a shot needs: as it is, altered, or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from assetlib.rules.shots import things
from assetlib.rules.shots.altering import (
    OTHER_CROWD,
    contradicts,
    count_altered,
    finish_altered,
    is_other,
    people_altered,
    redone,
    taken_out,
)
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.lacking import Answer, Lacking, is_person, names_it, read_lacking, says_which
from assetlib.rules.shots.need_values import Need
from assetlib.rules.shots.turning import SIDEWAYS
from assetlib.rules.shots.wrong_things import is_place, lacks_the_thing, shows_all_else, shows_it_whole

YES, HALF, NO = "yes", "half", "no"


MIRROR_IT = "mirror it"
"""What is to be done to a drawing that goes the other way."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """How a drawing serves a need: `fit` is yes, half or no; `alter` says what has to be done to it."""

    fit: str
    score: float
    why: tuple[str, ...] = ()
    alter: tuple[str, ...] = ()


def judge(need: Need, answer: Answer, drawing: Drawing) -> Judgement:
    """How a drawing serves a need: *yes* where finding says that it fits, else what would have to be altered.

    It does not serve where the thing itself is missing, or is drawn otherwise than asked.
    """
    need = _respelt(need, answer.read_as)
    facets = need.facets or {}
    lacking = read_lacking(need, answer, drawing)
    if answer.is_near:
        looks = answer.is_silent and not need.is_scene and answer.score >= LOOKS_ENOUGH
        return Judgement(HALF, answer.score, (), (LOOK_AT_IT,)) if looks else Judgement(NO, 0.0)
    if answer.is_silent and _may_show_it(need, lacking, answer, drawing):
        return Judgement(HALF, answer.score, answer.met, (LOOK_AT_IT,))
    if need.kind == "main" and need.is_scene and answer.met and not (answer.unmet or answer.against):
        before = [thing for thing in drawing.named if not thing.is_place][:1] if not is_place(drawing) else []
        if before and need.head in drawing.keys:
            return Judgement(HALF, answer.score, answer.met, (f"take out the {before[0].text.casefold()}",))
    if other := _another_person(need, lacking, drawing):
        return Judgement(HALF, answer.score, answer.met, (other,))
    if lacks_the_thing(need, answer, drawing) and shows_all_else(need, answer, drawing):
        return Judgement(
            HALF, answer.score, answer.met, (f"see whether it shows the {things.label_of(need.head)}",)
        )
    if lacks_the_thing(need, answer, drawing) or contradicts(need.head, facets, lacking, drawing):
        return Judgement(NO, 0.0)
    alter = [*taken_out(need, drawing), *(f"take out the {text}" for text in answer.against)]
    alter += [
        *people_altered(facets, drawing),
        *count_altered(need, answer, drawing),
        *finish_altered(facets, drawing),
    ]
    if OTHER_CROWD in alter or is_other(need, lacking, drawing):
        return Judgement(NO, 0.0)
    alter += [MIRROR_IT] if answer.mirror else []
    alter += [f"go closer: {things.label_of(need.head)}"] if shows_it_whole(need, drawing) else []
    alter += redone(need, lacking, drawing)
    # which way it faces is a matter of turning it: it serves all the same
    ways = [WHICH_WAY] if not answer.mirror and _may_face_either(need, drawing) else []
    return Judgement(HALF if alter else YES, answer.score, answer.met, tuple(dict.fromkeys([*alter, *ways])))


def _respelt(need: Need, read_as: Mapping[str, str]) -> Need:
    """The need as finding read it: a *pengiun* is a penguin."""
    for typed, meant in read_as.items():
        if need.head == things.stem(typed) and (named := things.things_in(meant)):
            need = replace(need, head=named[-1].key)
        if things.stem(typed) in need.doing:
            need = replace(need, doing=need.doing - {things.stem(typed)} | {things.stem(meant)})
    return need


_NO_SIDE = frozenset(("front", "back", "from above", "from below"))


def _may_face_either(need: Need, drawing: Drawing) -> bool:
    """Whether a line says which way a thing goes, and nothing is known of that in a drawing of it."""
    asked = {*(need.facets or {}).get("screen_direction", ())} & SIDEWAYS
    goes = not {"person", "animal", "vehicle", "boat"}.isdisjoint((need.head, *things.above(need.head)))
    known = {*drawing.said.get("screen_direction", ())} or {*drawing.said.get("view", ())} & _NO_SIDE
    return bool(asked) and goes and not known


LOOKS_ENOUGH = 0.39
"""How much a drawing of which nothing is said has to look like the line; tuned on openclipart and a studio's."""


LOOKS_LIKE_IT = 0.29
"""The same for one that is only shown to be looked at, where nothing serves; tuned on the same."""


LOOK_AT_IT = "see whether it serves: only its file's name is known"


WHICH_WAY = "see which way it faces"
"""What is to be done about a drawing of which nobody said which way it goes, where the line says a side."""


def _may_show_it(need: Need, lacking: Lacking, answer: Answer, drawing: Drawing) -> bool:
    """Whether a drawing of which only a file's name is known may be what is asked for.

    Much of the line is in its name; or the thing is, and the name of a file does not say what it does.
    """
    if need.is_scene and not is_place(drawing):
        return False
    if lacks_the_thing(need, answer, drawing):
        return answer.score >= NAMED_ENOUGH
    return (
        bool(lacking.doing) and not lacking.things and not lacking.facets and is_other(need, lacking, drawing)
    )


NAMED_ENOUGH = 0.5
"""How much of the line has to be in the name of a file that lacks the thing itself."""


def _another_person(need: Need, lacking: Lacking, drawing: Drawing) -> str:
    """What to alter where somebody else does all of it: *make it a girl*; empty where that is not so."""
    if not is_person(need.head) or lacking.doing or lacking.facets or not (need.doing or need.parts):
        return ""
    of_head = [text for text in lacking.things if names_it(text, need.head) or says_which(text, need.head)]
    if len(of_head) < len(lacking.things) or not of_head or not drawing.named:
        return ""
    first = drawing.named[0]
    if need.head in drawing.keys or not is_person(first.key) or drawing.count in ("crowd", "2", "3"):
        return ""
    return f"make it {_a(things.label_of(need.head))}: it is {_a(first.text.casefold())}"


def turned_away(need: Need, drawing: Drawing) -> bool:
    """Whether people are drawn from behind and the line does not ask for it: others come first."""
    asked = {"view", "shot_type"} & (need.facets or {}).keys()
    views = {*drawing.said.get("view", ())}
    return not asked and is_person(need.head) and not views.isdisjoint(("back", "three-quarter back"))


def _a(name: str) -> str:
    return f"{'an' if name[:1] in 'aeiou' else 'a'} {name}"


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
    return HALF, [f"add the {need.name}" for need in lacking]
