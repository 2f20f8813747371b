"""Whether a drawing serves what a shot needs: as it is, altered, or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from assetlib.rules.shots import asides, grammar, things
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.needs import Need
from assetlib.rules.shots.phrases import word_set
from assetlib.rules.shots.turning import SIDEWAYS
from assetlib.rules.words.forms import is_plural

YES, HALF, NO = "yes", "half", "no"

MIRROR_IT = "mirror it"
"""What is to be done to a drawing that goes the other way."""

_STILL_WORDS = word_set(
    "waits wait looks look sees see watches watch stares stands standing sits sitting seated alone "
    "single is holds seen parked stacked leaves leaving set being tired happy young old whole big "
    "small little one two three four five six focus blurred background foreground distance asks says "
    "talks lit shut open empty left behind her his new overhead above below alight wet "
    "next now same again still then here there already almost soon slowly quickly rings ringing white black "
    "red green blue yellow grey gray brown pink orange purple colour color logo"
)
_STILL = frozenset(things.stem(word) for word in _STILL_WORDS)
"""Words that most drawings of a thing go with: they ask for no drawing of their own."""
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
_COMPARED = ("view", "pose", "camera_position", "shot_type", "age_group", "hand")


@dataclass(frozen=True, slots=True)
class Judgement:
    """How a drawing serves a need: `fit` is yes, half or no; `alter` says what has to be done to it."""

    fit: str
    score: float
    why: tuple[str, ...] = ()
    alter: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What finding says of a drawing for a need: the parts of it that are met and those that are not, in its words."""

    met: tuple[str, ...] = ()
    unmet: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    """What it shows that the need is to be without."""
    mirror: bool = False
    score: float = 1.0
    read_as: Mapping[str, str] = field(default_factory=dict)
    """Words of the need that were read as another: misspelt ones."""
    is_near: bool = False
    """Whether it only looks like it."""
    is_silent: bool = False
    """Whether nothing was said of it yet, so that its picture alone can tell."""


def judge(need: Need, answer: Answer, drawing: Drawing) -> Judgement:
    """How a drawing serves a need: *yes* where finding says that it fits, else what would have to be altered.

    It does not serve where the thing itself is missing, or is drawn otherwise than asked.
    """
    need = _respelt(need, answer.read_as)
    facets = need.facets or {}
    lacking = _lacking(need, answer, drawing)
    if answer.is_near:
        looks = answer.is_silent and not need.is_scene and answer.score >= LOOKS_ENOUGH
        return Judgement(HALF, answer.score, (), (LOOK_AT_IT,)) if looks else Judgement(NO, 0.0)
    if answer.is_silent and _may_show_it(need, lacking, answer, drawing):
        return Judgement(HALF, answer.score, answer.met, (LOOK_AT_IT,))
    if need.kind == "main" and need.is_scene and answer.met and not (answer.unmet or answer.against):
        before = (
            [thing for thing in drawing.named if not thing.is_place][:1] if not _is_place(drawing) else []
        )
        if before and need.head in drawing.keys:
            return Judgement(HALF, answer.score, answer.met, (f"take out the {before[0].text.casefold()}",))
    if other := _another_person(need, lacking, drawing):
        return Judgement(HALF, answer.score, answer.met, (other,))
    if _lacks_the_thing(need, answer, drawing) or _contradicts(need.head, facets, lacking, drawing):
        return Judgement(NO, 0.0)
    alter = [*_take_out(need, drawing), *(f"take out the {text}" for text in answer.against)]
    alter += [
        *_people_alter(facets, drawing),
        *_count_alter(need, answer, drawing),
        *_finish_alter(facets, drawing),
    ]
    if _OTHER_CROWD in alter or _is_other(need, lacking, drawing):
        return Judgement(NO, 0.0)
    alter += [MIRROR_IT] if answer.mirror else []
    alter += [f"go closer: {things.label_of(need.head)}"] if _shows_it_whole(need, drawing) else []
    alter += _redo(need, lacking, drawing)
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
HOW_MANY = "see how many people it shows"


def _may_show_it(need: Need, lacking: _Lacking, answer: Answer, drawing: Drawing) -> bool:
    """Whether a drawing of which only a file's name is known may be what is asked for.

    Much of the line is in its name; or the thing is, and the name of a file does not say what it does.
    """
    if need.is_scene and not _is_place(drawing):
        return False
    if _lacks_the_thing(need, answer, drawing):
        return answer.score >= NAMED_ENOUGH
    return (
        bool(lacking.doing)
        and not lacking.things
        and not lacking.facets
        and _is_other(need, lacking, drawing)
    )


NAMED_ENOUGH = 0.5
"""How much of the line has to be in the name of a file that lacks the thing itself."""


def _another_person(need: Need, lacking: _Lacking, drawing: Drawing) -> str:
    """What to alter where somebody else does all of it: *make it a girl*; empty where that is not so."""
    if not _is_person(need.head) or lacking.doing or lacking.facets or not (need.doing or need.parts):
        return ""
    of_head = [text for text in lacking.things if _names(text, need.head) or _says_which(text, need.head)]
    if len(of_head) < len(lacking.things) or not of_head or not drawing.named:
        return ""
    first = drawing.named[0]
    if need.head in drawing.keys or not _is_person(first.key) or drawing.count in ("crowd", "2", "3"):
        return ""
    return f"make it {_a(things.label_of(need.head))}: it is {_a(first.text.casefold())}"


def turned_away(need: Need, drawing: Drawing) -> bool:
    """Whether people are drawn from behind and the line does not ask for it: others come first."""
    asked = {"view", "shot_type"} & (need.facets or {}).keys()
    views = {*drawing.said.get("view", ())}
    return not asked and _is_person(need.head) and not views.isdisjoint(("back", "three-quarter back"))


def _a(name: str) -> str:
    return f"{'an' if name[:1] in 'aeiou' else 'a'} {name}"


def _says_which(text: str, head: str) -> bool:
    """Whether words are a part of the name of a person: *delivery* of *delivery driver*."""
    if any(thing.key in (*things.above(head), "man", "woman") for thing in things.things_in(text)):
        return _is_person(head) and head not in ("man", "woman")
    said = things.stems_of(text)
    return bool(said) and _is_person(head) and said <= things.stems_of(things.label_of(head))


@dataclass(frozen=True, slots=True)
class _Lacking:
    """What of a need a drawing does not show: things, what is done, and facets."""

    things: tuple[str, ...]
    doing: tuple[str, ...]
    facets: Mapping[str, tuple[str, ...]]


def _lacking(need: Need, answer: Answer, drawing: Drawing) -> _Lacking:
    named: list[str] = []
    doing: list[str] = []
    facets: dict[str, tuple[str, ...]] = {}
    asked = grammar.read_line(need.asked or need.text).facets
    for text in answer.unmet:
        if _counted_only(text, answer) or _is_anybody(text):
            continue
        bare = _bare(text)
        told = {name: values for name, values in grammar.read_line(bare).facets.items() if name in _COMPARED}
        told = {name: values for name, values in told.items() if {*values} & {*asked.get(name, ())}}
        own = things.things_in(bare)
        if things.stems_of(bare) <= need.doing and not any(_names(bare, part.key) for part in need.parts):
            own = ()  # *the phone rings*: what it does, though the word may name a thing
        if _says_which(bare, need.head) or (
            own
            and not own[-1].is_place
            and set(told) <= {"age_group"}
            and not _is_there(own[-1], need, drawing)
        ):
            named.append(bare)
        elif told and not (own and own[-1].is_place):
            facets |= told
        elif not own and things.stems_of(bare) - _STILL and not _is_how(bare, need.text):
            doing.append(bare)
    return _Lacking(tuple(_as_said(named, need.text)), tuple(doing), facets)


def _is_how(word: str, text: str) -> bool:
    """Whether a word only says what a thing is like, before it: *fresh loaves*; *sleeping dog* says what it does."""
    words = [known.casefold() for known in things.words_of(text)]
    if word.casefold() not in words or word.casefold().endswith(("ing", "ed")):
        return False
    return any(thing.first == words.index(word.casefold()) + 1 for thing in things.things_in(text))


def _is_there(thing: things.Thing, need: Need, drawing: Drawing) -> bool:
    """Whether a part that no word of a drawing meets need not be drawn all the same.

    A knee under a laptop, a rope of whichever kind, and the two who are not named in a two-shot.
    """
    if need.head and thing.key == need.head:
        return False
    last = things.stems_of(thing.text.split()[-1])
    of_a_kind = " " in thing.text and bool(last) and last <= drawing.stems
    people = [part for part in need.parts if _is_person(part.key)]
    somebody = not need.head and _is_person(thing.key) and drawing.count == str(len(people))
    return thing.is_of_body or of_a_kind or somebody


def _as_said(named: Sequence[str], text: str) -> list[str]:
    """Words that stand next to each other in the line as one: *paper*, *bag* as *paper bag*."""
    told: list[str] = []
    for word in named:
        if told and f"{told[-1]} {word}".casefold() in text.casefold():
            told[-1] = f"{told[-1]} {word}"
        else:
            told.append(word)
    return told


_ANYBODY = word_set("someone somebody anyone anybody one person")


def _is_anybody(text: str) -> bool:
    return text.casefold() in _ANYBODY


def _bare(text: str) -> str:
    """A part without the number before it."""
    first, _, rest = text.partition(" ")
    return rest if rest and (first.isdigit() or first == "one") else text


def _counted_only(text: str, answer: Answer) -> bool:
    """Whether a part is there, and only another number of it."""
    return _bare(text) in answer.met


def _lacks_the_thing(need: Need, answer: Answer, drawing: Drawing) -> bool:
    """Whether the thing itself is not there: the drawing is of something else."""
    if need.is_scene and not _is_place(drawing):
        return True
    if need.kind == "place" and not _is_scenery(need.head, drawing):
        return True
    missing = [text for text in answer.unmet if not (_counted_only(text, answer) or _is_anybody(text))]
    if not need.head:
        facets = need.facets or {}
        set_up = {
            v for v in (*facets.get("camera_position", ()), *facets.get("shot_type", ())) if v not in _COUNTS
        }
        told = [values for text in missing for values in grammar.read_line(text).facets.values()]
        return bool(set_up) and set_up <= {value for values in told for value in values}
    if _shows_it_whole(need, drawing):
        return False
    if any(_names(text, need.head) for text in missing):
        return True
    if any(_names(text, part.key) for text in missing for part in need.parts if part.text in need.made_of):
        return True
    if need.head in drawing.keys or (need.doing & drawing.stems and any(map(_is_anybody, answer.unmet))):
        return False  # *someone texting* may be two thumbs
    words = things.stems_of(things.label_of(need.head)) | {need.head}
    if things.is_concept(need.head) and drawing.named and words.isdisjoint(drawing.stems):
        shown = {key for thing in drawing.named for key in (thing.key, *things.above(thing.key))}
        # who has drawn eyes has drawn no face; but a man and a woman are a couple
        if need.head not in shown and not (_is_person(need.head) and _shows_people(drawing)):
            return True
    return _only_in_a_name(need.head, drawing) or bool(_OTHER_SEX.get(need.head, frozenset()) & drawing.keys)


_DETAILS = word_set(
    "screen keyboard handle lid wheel door window hood tail face ear eye mirror seat label button"
)
"""Parts that a drawing of the whole shows, whether its title says so or not."""


def _shows_it_whole(need: Need, drawing: Drawing) -> bool:
    """Whether a part is asked for, and the drawing is of what it is a part of: the *laptop screen* of a laptop."""
    if need.head not in _DETAILS or need.head in drawing.keys or not drawing.named:
        return False
    words = things.words_of(need.text.casefold())
    at = next((i for i, word in enumerate(words) if things.stem(word) == things.stem(need.head)), 0)
    whole = things.things_in(" ".join(words[:at]))
    return bool(whole) and whole[-1].last == at and whole[-1].key == drawing.named[0].key


_OTHER_SEX = {"woman": frozenset({"man", "boy"}), "man": frozenset({"woman", "girl"})}


def _only_in_a_name(head: str, drawing: Drawing) -> bool:
    """Whether a drawing has a word only in the name of something else: a *ticket machine*, a hand with a *van key*."""
    own = [thing for thing in drawing.named if not thing.is_place]
    if own and head in (own[0].key, *things.above(own[0].key)):
        return False  # *bike basket* may be a bike with a basket
    words = things.stems_of(things.label_of(head)) | {head}
    return any(
        head in (thing.key, *things.above(thing.key)) or words & _before_the_last(thing.text) for thing in own
    )


def _before_the_last(name: str) -> frozenset[str]:
    """Stems of the words of a name that only say of what kind it is: *ticket* of *ticket machine*."""
    words = things.words_of(name)
    end = next((i for i, word in enumerate(words) if i and things.is_small(word)), len(words))
    return things.stems_of(" ".join(words[: end - 1]))


def _names(text: str, head: str) -> bool:
    return any(
        head in (t.key, *things.above(t.key)) for t in things.things_in(text)
    ) or head in things.stems_of(text)


def _asked_doing(need: Need) -> frozenset[str]:
    """Stems of what the thing is to do, as far as it shows in a drawing of it."""
    moves = (
        not {"vehicle", "boat", "cyclist"}.isdisjoint((need.head, *things.above(need.head)))
        if need.head
        else False
    )
    return need.doing - _STILL - (_MOVES if moves else frozenset())


def _is_other(need: Need, lacking: _Lacking, drawing: Drawing) -> bool:
    """Whether a drawing shows its thing doing something else, so that it would be drawn anew."""
    asked = _asked_doing(need)
    if need.is_scene or not lacking.doing or not asked or asked & drawing.stems:
        return False
    if "pose" in (need.facets or {}) and "pose" not in lacking.facets:
        return False
    parts = [part for part in need.parts if not part.is_place]
    if parts and lacking.things and len(lacking.things) >= len(parts) and things.lives(need.head):
        return True  # neither what it does nor what with is there: who it is alone is no half of it
    lives = bool(need.head) and ("animal" in (need.head, *things.above(need.head)) or _is_person(need.head))
    seen_otherwise = lives and "view" in drawing.said
    return len(lacking.things) >= len(parts) and (seen_otherwise or _does_otherwise(drawing, need))


_WHOSE = ("'s", "’s", "s'", "s’")
_COUNTS = ("two-shot", "three-shot", "single")
_FACET_TOLD = {"view": "view", "age_group": "age"}


def _redo(need: Need, lacking: _Lacking, drawing: Drawing) -> list[str]:
    """What is to be added and redrawn."""
    if need.is_scene:
        return []  # what is drawn behind has no pose, and what stands in it is another need
    told: list[str] = []
    asked = _asked_doing(need)
    done = asked & drawing.stems
    missing = [
        text for text in lacking.things if not (_shows_it_whole(need, drawing) and _names(text, need.head))
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


def _poses_otherwise(lacking: _Lacking, asked: bool) -> bool:
    """Whether a pose that was asked for is to be redrawn; that somebody stands goes without saying."""
    return asked or "standing" not in lacking.facets["pose"]


def _count_alter(need: Need, answer: Answer, drawing: Drawing) -> list[str]:
    """What is to be done about how many of a thing a drawing shows."""
    for text in answer.unmet:
        wanted = asides.number_of(text.split()[0])
        if wanted is None or not _counted_only(text, answer) or _is_person(need.head):
            continue
        words = things.words_of(drawing.title)
        there = next((n for word in words if (n := asides.number_of(word))), None)
        if there is None:
            there = 1 if not any(is_plural(word) for word in words) else None
        if there is None or abs(there - wanted) == 1:
            return ["one too many" if there and there > wanted else "too few: draw another"]
        return [_OTHER_CROWD]
    return []


def _finish_alter(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """*other finish*, where the line asks for one and the drawing has another."""
    asked, has = set(facets.get("finish", ())), set(drawing.said.get("finish", ()))
    return [f"other finish: {sorted(asked)[0]}"] if asked and has and asked.isdisjoint(has) else []


def _is_place(drawing: Drawing) -> bool:
    """Whether a drawing shows a place first, or nothing that is known to be something else."""
    return not drawing.named or drawing.named[0].is_place or drawing.is_backdrop


_SCENERY = frozenset(("building", "room", "landscape", "place", "harbour", "street-front"))


def _is_scenery(head: str, drawing: Drawing) -> bool:
    """Whether a drawing is the place itself, and not a thing that stands in such a place: a *mailbox* is no street."""
    if drawing.is_backdrop or not drawing.named:
        return True
    first = drawing.named[0].key
    return head == first or not _SCENERY.isdisjoint((first, *things.above(first)))


def _is_person(key: str) -> bool:
    return "person" in (key, *things.above(key))


def _take_out(need: Need, drawing: Drawing) -> list[str]:
    """What a drawing shows first that the need does not name: the hand, where only a phone is asked for."""
    own = [thing for thing in drawing.named if not thing.is_place]
    if not need.head or not own:
        return []
    if (need.doing & drawing.stems) - (_STILL - _HELD) - _MOVES:
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
        things.stems_of(first.text) - _before_the_last(first.text)
    ):
        return []  # *coffee to go* is coffee
    named = things.stems_of(first.text) <= things.stems_of(need.text)
    if named or not kinds_of.isdisjoint((first.key, *things.above(first.key))):
        return []
    return [f"take out the {first.text.casefold()}"]


def _contradicts(
    head: str, facets: Mapping[str, tuple[str, ...]], lacking: _Lacking, drawing: Drawing
) -> bool:
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


_OTHER_CROWD = "another number of people"


def _people_alter(facets: Mapping[str, tuple[str, ...]], drawing: Drawing) -> list[str]:
    """What is to be done about how many people a drawing shows."""
    wanted = facets.get("people", ())
    if not wanted:
        wanted = tuple(
            {"two-shot": "2", "three-shot": "3"}.get(value, "") for value in facets.get("shot_type", ())
        )
    asked = next((value for value in wanted if value), "")
    if asked.isdigit() and int(asked) > 1 and not drawing.count and _shows_people(drawing):
        return [HOW_MANY]
    if not asked or not drawing.count or asked == drawing.count:
        return []
    if "crowd" in (asked, drawing.count):
        number = asked if drawing.count == "crowd" else drawing.count
        return [] if int(number) > 3 else [_OTHER_CROWD]
    more = int(drawing.count) - int(asked)
    if abs(more) == 1:
        return ["one person too many" if more > 0 else "one person too few: draw another"]
    return [_OTHER_CROWD] if abs(more) > 2 else [f"{abs(more)} people too {'many' if more > 0 else 'few'}"]


def _shows_people(drawing: Drawing) -> bool:
    """Whether a drawing names somebody, in whatever number."""
    return any(_is_person(thing.key) for thing in drawing.named)


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
