"""Whether a drawing is of something else than what is asked for."""

from __future__ import annotations

from assetlib.rules.shots import grammar, things
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.lacking import Answer, counted_only, is_anybody, is_person, names_it
from assetlib.rules.shots.need_values import Need
from assetlib.rules.shots.phrases import word_set


def lacks_the_thing(need: Need, answer: Answer, drawing: Drawing) -> bool:
    """Whether the thing itself is not there: the drawing is of something else."""
    is_piece = "furniture" in things.above(need.head) and need.head in drawing.keys  # *picnic table*
    if need.is_scene and not is_place(drawing) and not is_piece:
        return True
    if need.kind == "place" and not _is_scenery(need.head, drawing):
        return True
    missing = [text for text in answer.unmet if not (counted_only(text, answer) or is_anybody(text))]
    if not need.head:
        facets = need.facets or {}
        set_up = {
            v for v in (*facets.get("camera_position", ()), *facets.get("shot_type", ())) if v not in _COUNTS
        }
        told = [values for text in missing for values in grammar.read_line(text).facets.values()]
        return bool(set_up) and set_up <= {value for values in told for value in values}
    if shows_it_whole(need, drawing):
        return False
    if need.head not in drawing.keys and any(names_it(text, need.head) for text in missing):
        return True
    if any(names_it(text, part.key) for text in missing for part in need.parts if part.text in need.made_of):
        return True
    if need.head in drawing.keys or (need.doing & drawing.stems and any(map(is_anybody, answer.unmet))):
        return False  # *someone texting* may be two thumbs
    words = things.stems_of(things.label_of(need.head)) | {need.head}
    if things.is_concept(need.head) and drawing.named and words.isdisjoint(drawing.stems):
        shown = {key for thing in drawing.named for key in (thing.key, *things.above(thing.key))}
        # who has drawn eyes has drawn no face; but a man and a woman are a couple, and other words may name the same
        otherwise = bool(answer.unmet) or any(
            things.is_part_of(thing.key, need.head) for thing in drawing.named
        )
        if otherwise and need.head not in shown and not (is_person(need.head) and shows_people(drawing)):
            return True
    if need.head not in drawing.keys and any(_is_done_with_it(text, need.head) for text in missing):
        return True  # a hand with a lamp is no pointing hand
    return _only_in_a_name(need.head, drawing) or bool(_OTHER_SEX.get(need.head, frozenset()) & drawing.keys)


def _is_done_with_it(text: str, head: str) -> bool:
    """Whether words say what the thing of this name does: *pointing* of a *pointing hand*."""
    words = things.words_of(text)
    return all(word.casefold().endswith("ing") for word in words) and things.stems_of(
        text
    ) <= before_the_last(things.label_of(head))


def shows_all_else(need: Need, answer: Answer, drawing: Drawing) -> bool:
    """Whether a drawing meets all but the thing itself, and names nothing else: *pointing left* for a hand."""
    asked = {need.head, *(part.key for part in need.parts)}
    return (
        not is_person(need.head)
        and answer.score >= _NEARLY_ALL
        and bool(answer.met and answer.unmet)
        and all(names_it(text, need.head) for text in answer.unmet)
        and all(thing.key in asked or things.stems_of(thing.text) <= need.doing for thing in drawing.named)
    )


_NEARLY_ALL = 0.7
"""How much of a line a drawing has to meet that does not name the thing itself; tuned on a studio's drawings."""

_DETAILS = word_set(
    "screen keyboard handle lid wheel door window hood tail face ear eye mirror seat label button"
)
"""Parts that a drawing of the whole shows, whether its title says so or not."""


def shows_it_whole(need: Need, drawing: Drawing) -> bool:
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
        head in (thing.key, *things.above(thing.key)) or words & before_the_last(thing.text) for thing in own
    )


def before_the_last(name: str) -> frozenset[str]:
    """Stems of the words of a name that only say of what kind it is: *ticket* of *ticket machine*."""
    words = things.words_of(name)
    end = next((i for i, word in enumerate(words) if i and things.is_small(word)), len(words))
    return things.stems_of(" ".join(words[: end - 1]))


_COUNTS = ("two-shot", "three-shot", "single")


def is_place(drawing: Drawing) -> bool:
    """Whether a drawing shows a place first, or nothing that is known to be something else."""
    return not drawing.named or drawing.named[0].is_place or drawing.is_backdrop


_SCENERY = frozenset(("building", "room", "landscape", "place", "harbour", "street-front"))


def _is_scenery(head: str, drawing: Drawing) -> bool:
    """Whether a drawing is the place itself, and not a thing that stands in such a place: a *mailbox* is no street."""
    if drawing.is_backdrop or not drawing.named:
        return True
    first = drawing.named[0].key
    return head == first or not _SCENERY.isdisjoint((first, *things.above(first)))


def shows_people(drawing: Drawing) -> bool:
    """Whether a drawing names somebody, in whatever number."""
    return any(is_person(thing.key) for thing in drawing.named)
