"""The width of lines on frames: fat line beside thin gives reuse away, and so do lines enlarged past their pixels."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from statistics import median

from assetlib.rules.shots.figures import Placed
from assetlib.services.jobs import cutouts
from assetlib.services.jobs.cutouts import Drawn
from assetlib.services.jobs.pulling import NeedPulled, Offer, ShotPulled

OTHER_LINE = 0.5
"""A line this share thicker or thinner than the job's gives reuse away: common practice, no source."""
SHARP = 1.25
"""Enlarged more than this, a drawing's lines turn soft: judged by eye on scans of 300 dots an inch."""
_FEWEST = 3
"""Drawings from which there is a line that is the job's."""
_NO_LINE = 0.05
"""Pixels below which a drawing has no line to speak of: it is all black areas and tone."""
_ALIKE = 0.05
"""Scores that differ no more serve alike, so that lines may decide between them."""


def width_of(drawn: Drawn, spot: Placed) -> float:
    """The width of a drawing's lines on the frame, in pixels."""
    return drawn.line * cutouts.enlarged(drawn, spot)


def usual_line(widths: Iterable[float]) -> float | None:
    """The line of a job, in pixels of the frame: the median of its drawings; None of too few."""
    found = list(widths)
    return median(found) if len(found) >= _FEWEST else None


def draw_over(drawn: Drawn, spot: Placed, usual: float | None = None) -> list[str]:
    """Why a drawing is to be drawn over on its frame: another line than the job's, or enlarged past its pixels."""
    told = []
    width, larger = width_of(drawn, spot), cutouts.enlarged(drawn, spot)
    if usual is not None and not usual * (1 - OTHER_LINE) <= width <= usual * (1 + OTHER_LINE):
        own = f"{width:.1f} px on the frame" if width >= _NO_LINE else "too thick to measure, or none"
        told.append(f"draw over: its line is {own}, the job's is {usual:.1f}")
    if larger > SHARP:
        told.append(f"draw over: enlarged {larger:.1f} times past its pixels")
    return told


def ranked(shot: ShotPulled, marks: Mapping[int, Sequence[str]]) -> ShotPulled:
    """The shot with drawings that are to be drawn over behind those that serve alike and need it less, each marked.

    Drawings that the artist chose keep their place, and so do places, which have thin lines by nature.
    """
    return replace(shot, needs=tuple(_ranked(need, marks) for need in shot.needs))


def _ranked(need: NeedPulled, marks: Mapping[int, Sequence[str]]) -> NeedPulled:
    order: list[Offer] = []
    if need.need.kind == "place" or any(offer.picked for offer in need.offers):
        order += need.offers
    else:
        for _, alike in groupby(_with_leader(need.offers), key=lambda row: row[0]):
            order += sorted(
                (offer for _, offer in alike), key=lambda offer: len(marks.get(offer.card.id, ()))
            )
    return replace(need, offers=tuple(replace(o, warn=(*o.warn, *marks.get(o.card.id, ()))) for o in order))


def _with_leader(offers: Sequence[Offer]) -> Iterable[tuple[int, Offer]]:
    """Each offer with the place of the first that it serves as well as."""
    leader = 0
    for place, offer in enumerate(offers):
        first = offers[leader]
        alike = (offer.fit, offer.whole, offer.alter, bool(offer.warn), len(offer.why)) == (
            first.fit,
            first.whole,
            first.alter,
            bool(first.warn),
            len(first.why),
        ) and abs(offer.score - first.score) <= _ALIKE
        leader = leader if alike else place
        yield leader, offer
