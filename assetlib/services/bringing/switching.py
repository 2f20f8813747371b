"""Openings of a clean copy that the artist switches: by number, by place, with all that are like them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PIL import Image

from assetlib.errors import WrongUsage
from assetlib.services.versions import Openings

if TYPE_CHECKING:
    from assetlib.services.bringing.clean_copies import Changes, Copies


def said_last(there: Openings, switched: Openings, copies: Copies) -> Openings:
    """All that was switched, what is said now last: of two choices in one area the last one said holds.

    What is so already by the same choice stays where it is, so that saying it again changes nothing.
    """
    now = {tuple(opening["inside"]): opening["open"] for opening in copies.openings}
    said = {
        place: is_open
        for place, is_open in switched.items()
        if not (there.get(place) == is_open == now.get(place))
    }
    return {place: is_open for place, is_open in there.items() if place not in said} | said


def switched(copies: Copies, changes: Changes) -> Openings:
    """What is switched, by a pixel inside each opening.

    Raises WrongUsage for a number there is not, one that is to be both, a place outside or on nothing but line.
    """
    by_number = {opening["number"]: opening for opening in copies.openings}
    width, height = _size(copies)
    for x, y in (*changes.open_at, *changes.shut_at):
        if not (0 <= x < width and 0 <= y < height):
            raise WrongUsage(f"{x},{y} lies outside {copies.card.code}", f"it is {width} by {height} pixels")
    found = dict.fromkeys(_beside_line(copies, changes.open_at), True)
    found |= dict.fromkeys(changes.shut_at, False)
    _check_rooms(copies, changes.shut_at)
    wanted = [*((n, True) for n in changes.open), *((n, False) for n in changes.shut)]
    for numbers, is_open in ((changes.open_like, True), (changes.shut_like, False)):
        wanted += [(like, is_open) for n in numbers for like in _like(copies.openings, n)]
    _refuse_both(copies, wanted)
    for number, is_open in wanted:
        if number not in by_number:
            raise WrongUsage(
                f"{copies.card.code} has no opening {number}",
                f"it has {', '.join(map(str, by_number)) or 'none'}; see them with --overlay",
            )
        x, y = by_number[number]["inside"]
        found[x, y] = is_open
    return found


def _refuse_both(copies: Copies, wanted: Sequence[tuple[int, bool]]) -> None:
    """Raise WrongUsage for a number that one line opens and shuts."""
    both = {n for n, is_open in wanted if is_open} & {n for n, is_open in wanted if not is_open}
    if both:
        raise WrongUsage(f"{min(both)} of {copies.card.code} cannot be both open and shut", "say one of them")


def _beside_line(copies: Copies, places: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The places to be opened, those on line moved to the area beside it. Raises WrongUsage where there is none."""
    if not places:
        return []
    from assetlib.imaging.cleaning.pointing import place_to_open

    ink, body = _pixels(copies)
    moved = []
    for x, y in places:
        place = place_to_open(ink, body, (x, y))
        if place is None:
            raise WrongUsage(f"there is line at {x},{y} of {copies.card.code}", "point beside it")
        moved.append(place)
    return moved


def _pixels(copies: Copies) -> tuple[Any, Any]:
    """The ink of a copy, uint8 (H, W, 4), and where its body is, bool (H, W)."""
    import numpy as np

    with Image.open(copies.ink) as opened, Image.open(copies.mask) as mask:
        return np.asarray(opened.convert("RGBA")), np.asarray(mask.convert("L")) > 127


def _check_rooms(copies: Copies, places: Sequence[tuple[int, int]]) -> None:
    """Raise WrongUsage for a place to be filled that no outline goes round."""
    if not places:
        return
    from assetlib.imaging.cleaning.pointing import area_at

    ink, body = _pixels(copies)
    for x, y in places:
        if not body[y, x] and area_at(ink, body, (x, y), False) is None:
            raise WrongUsage(
                f"no room is found at {x},{y} of {copies.card.code}: its outline is open wider than it can be closed",
                "point where line goes round, or close the outline in the drawing and bring it in again",
            )


def _size(copies: Copies) -> tuple[int, int]:
    """Width and height of the drawing in pixels."""
    with Image.open(copies.ink) as opened:
        return opened.size


def _like(openings: Sequence[dict[str, Any]], number: int) -> list[int]:
    """A number with those of openings about as large and of the same shape: the gaps of one thing."""
    mine = next((o["box"] for o in openings if o["number"] == number), None)
    if mine is None:
        return [number]
    from assetlib.imaging.cleaning.openings import are_alike

    return [o["number"] for o in openings if are_alike(mine, o["box"])]
