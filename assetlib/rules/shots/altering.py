"""What has to be done to a drawing before it serves, and when that is as good as drawing it anew."""

from __future__ import annotations

from collections.abc import Mapping

from assetlib.rules.shots import asides, things
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.lacking import STILL, Answer, Lacking, counted_only, is_person, names_it
from assetlib.rules.shots.need_values import Need
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.wrong_things import before_the_last, shows_it_whole, shows_people
from assetlib.rules.words.forms import is_plural

_HELD = frozenset(things.stem(word) for word in ("holds", "holding"))


_MOVES = frozenset(
    things.stem(word)
    for word in word_set(
        "arrives arrive departs depart drives drive driving passes pass stops stop crosses cross approaches "
        "approach parks park turns turn moves move comes come pulls pull speeds speed sails sail rides ride "
        "lands land races race rushes rush travels travel"
    )
)
"""What a vehicle and who rides one do without looking otherwise."""


HOW_MANY = "see how many people it shows"


def _asked_doing(need: Need) -> frozenset[str]:
    """Stems of what the thing is to do, as far as it shows in a drawing of it."""
    moves = (
        not {"vehicle", "boat", "cyclist"}.isdisjoint((need.head, *things.above(need.head)))
        if need.head
        else False
    )
    return need.doing - STILL - (_MOVES if moves else frozenset())


def is_other(need: Need, lacking: Lacking, drawing: Drawing) -> bool:
    """Whether a drawing shows its thing doing something else, so that it would be drawn anew."""
    asked = _asked_doing(need)
    if need.is_scene or not lacking.doing or not asked or asked & drawing.stems:
        return False
    if "pose" in (need.facets or {}) and "pose" not in lacking.facets:
        return False
    parts = [part for part in need.parts if not part.is_place]
    if parts and lacking.things and len(lacking.things) >= len(parts) and things.lives(need.head):
        return True  # neither what it does nor what with is there: who it is alone is no half of it
    lives = bool(need.head) and ("animal" in (need.head, *things.above(need.head)) or is_person(need.head))
    seen_otherwise = lives and "view" in drawing.said
    return len(lacking.things) >= len(parts) and (seen_otherwise or _does_otherwise(drawing, need))


_WHOSE = ("'s", "’s", "s'", "s’")


_FACET_TOLD = {"view": "view", "age_group": "age"}


def redone(need: Need, lacking: Lacking, drawing: Drawing) -> list[str]:
    """What is to be added and redrawn."""
    if need.is_scene:
        return []  # what is drawn behind has no pose, and what stands in it is another need
    told: list[str] = []
    asked = _asked_doing(need)
    done = asked & drawing.stems
    missing = [
        text for text in lacking.things if not (shows_it_whole(need, drawing) and names_it(text, need.head))
    ]
    told += [f"make it the {text}" if text.endswith(_WHOSE) else f"add the {text}" for text in missing]
    if lacking.doing and asked and not done:
        told.append(f"redraw what it does: {', '.join(lacking.doing)}")
    elif (
        "pose" in lacking.facets
        and _poses_otherwise(lacking, bool(asked) or not need.doing)
        and not need.doing & drawing.stems
    ):
        told.append(f"redraw the pose: {lacking.facets['pose'][0]}")
    told += [
        f"redraw the {_FACET_TOLD[name]}: {value}"
        for name in _FACET_TOLD
        for value in lacking.facets.get(name, ())
    ]
    return told


def _poses_otherwise(lacking: Lacking, asked: bool) -> bool:
    """Whether a pose that was asked for is to be redrawn; that somebody stands goes without saying."""
    return asked or "standing" not in lacking.facets["pose"]


def count_altered(need: Need, answer: Answer, drawing: Drawing) -> list[str]:
    """What is to be done about how many of a thing a drawing shows."""
    for text in answer.unmet:
        wanted = asides.number_of(text.split()[0])
        if wanted is None or not counted_only(text, answer) or is_person(need.head):
            continue
        words = things.words_of(drawing.title)
        there = next((n for word in words if (n := asides.number_of(word))), None)
        if there is None:
            there = 1 if not any(is_plural(word) for word in words) else None
        if there is None or abs(there - wanted) == 1:
            return ["one too many" if there and there > wanted else "too few: draw another"]
        return [OTHER_CROWD]
    return []


def finish_altered(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """*other finish*, where the line asks for one and the drawing has another."""
    asked, has = set(facets.get("finish", ())), set(drawing.said.get("finish", ()))
    return [f"other finish: {sorted(asked)[0]}"] if asked and has and asked.isdisjoint(has) else []


def taken_out(need: Need, drawing: Drawing) -> list[str]:
    """What a drawing shows first that the need does not name: the hand, where only a phone is asked for."""
    own = [thing for thing in drawing.named if not thing.is_place]
    if not need.head or not own:
        return []
    if (need.doing & drawing.stems) - (STILL - _HELD) - _MOVES:
        return []  # whose hand does it is not said, and somebody has to: *holding a croissant*
    wanted = {need.head, *(part.key for part in need.parts)}
    kinds_of = {need.head, *things.above(need.head), *wanted}
    run = [own[0]]
    for thing in own[1:]:
        if thing.first == run[-1].last:
            run.append(thing)
    first = run[-1]
    if need.head in (own[0].key, *things.above(own[0].key)):
        return []
    if things.stems_of(things.label_of(need.head)) & (
        things.stems_of(first.text) - before_the_last(first.text)
    ):
        return []  # *coffee to go* is coffee
    named = things.stems_of(first.text) <= things.stems_of(need.text)
    if named or not kinds_of.isdisjoint((first.key, *things.above(first.key))):
        return []
    return [f"take out the {first.text.casefold()}"]


def contradicts(head: str, facets: Mapping[str, tuple[str, ...]], lacking: Lacking, drawing: Drawing) -> bool:
    """Whether a drawing says the opposite of what is asked: seen from elsewhere, in another pose."""
    is_room = "room" in (head, *things.above(head)) and head in drawing.keys
    if "setting" in facets and "INT" not in drawing.said.get("setting", ()) and not is_room:
        return True  # a room is asked for, and buildings are drawn from outside unless they say so
    if "over the shoulder" in drawing.said.get("shot_type", ()) and "over the shoulder" not in facets.get(
        "shot_type", ()
    ):
        return True
    return any(
        has and has.isdisjoint(asked)
        for name, asked in lacking.facets.items()
        if (has := set(drawing.said.get(name, ())))
    )


OTHER_CROWD = "another number of people"


def people_altered(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """What is to be done about how many people a drawing shows."""
    wanted = facets.get("people", ())
    if not wanted:
        wanted = tuple(
            {"two-shot": "2", "three-shot": "3"}.get(value, "") for value in facets.get("shot_type", ())
        )
    asked = next((value for value in wanted if value), "")
    if asked.isdigit() and int(asked) > 1 and not drawing.count and shows_people(drawing):
        return [HOW_MANY]
    if not asked or not drawing.count or asked == drawing.count:
        return []
    if "crowd" in (asked, drawing.count):
        number = asked if drawing.count == "crowd" else drawing.count
        return [] if int(number) > 3 else [OTHER_CROWD]
    more = int(drawing.count) - int(asked)
    if abs(more) == 1:
        return ["one person too many" if more > 0 else "one person too few: draw another"]
    return [OTHER_CROWD] if abs(more) > 2 else [f"{abs(more)} people too {'many' if more > 0 else 'few'}"]


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
    return bool(verbs - STILL - need.doing)
