"""The verdict on two drawings: how they belong together and what was done to the one."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np

from assetlib.imaging.doubles.alterations import HEAVIER
from assetlib.imaging.doubles.changes import (
    Laid,
    drawing_changes,
    finish_changes,
    is_coloured_in,
    is_hardened,
    is_scan,
    picture_changes,
)
from assetlib.imaging.doubles.fingerprints import Fingerprint, View
from assetlib.imaging.doubles.local_features import (
    Features,
    Place,
    box_of,
    corners_of,
    find_place,
    turned_round,
)
from assetlib.imaging.doubles.matching import (
    LEAST_ALIKE,
    LEAST_ALIKE_CONTOUR,
    LEAST_ALIKE_PART,
    Agreement,
    DoubleKind,
    Hypothesis,
    PairVerdict,
    evened,
    hypotheses,
    is_bare_inside,
    is_plain,
    is_stray,
    lay_over,
    met_finely,
    met_inside,
    shares_met,
    view_of,
)
from assetlib.imaging.doubles.normalise import Box, Pixels, stretch
from assetlib.imaging.doubles.orientations import ORIENTATIONS

# All bounds below were tuned on one half of openclipart, drawings in colour and as black line.
SAME_DRAWING_SCORE = 0.92
FAMILY_SCORE = 0.86
COLOURED_SCORE = 0.90
PERHAPS_SCORE = 0.84
CONTAINED_SCORE = 0.90
EVEN_WORST = 0.18
"""Largest difference of ink in an eighth by eighth of the picture that is still the same drawing."""

STRICT_INK = 0.10
STRICT_FINE_INK = 0.20
STRICT_COLOUR = 22.0
"""The same for a picture that may be merged unasked: in a 16th by 16th, in a 32nd by 32nd, and in any
colour channel of 255."""

STRICT_GAIN = 0.08
"""Share by which the ink of the whole may differ in any colour channel."""

STRICT_PLAIN = 0.006
"""The same for discs, rings and slabs, which unrelated drawings share: as good as nothing."""

MET_MOST = 0.85
MET_LEAST = 0.60
"""Shares of the lines of either drawing that the other must have where local features lay them over each other."""

CONTOURS_MET = 0.88
"""The same where contours alone agree: a coloured drawing and its line art."""

SAME_CONTOURS_MET = 0.94
"""The same for another line weight or colour of one drawing, its ink agreeing as well."""

ALL_MET = 0.98
"""The same where lines are too thin to be seen here and there: all that is seen is the other's."""

INSIDE_MET = 0.81
INSIDE_MET_TURNED = 0.93
"""The same for the middle of two drawings: less is another sign, card or dial in one frame. More is asked for where
one must be altered and turned as well: of eight ways to lay a sign over another one fits best."""

INSIDE_MET_CLOSELY = 0.72
"""The same where local features lay them over each other, without a map that bends."""

_WHOLE = 0  # the view that every drawing has first
_SAME_INK = 0.7
_WORTH_A_LOOK = 0.7
_SMALL_SHARE = 0.22
_MOST_OF_IT = 0.88
_HARDLY_CUT, _CUT_OFF, _PLAY = 0.985, 0.22, 0.04
_STRICT_ASPECT = 0.04
_SURE = 0.985
_LARGE_PART = 0.2
_LEAST_DETAIL = 0.08
_LEAST_CONTOUR = 0.86


def compare(a: Fingerprint, b: Fingerprint) -> PairVerdict | None:
    """What ``a`` is to ``b``; none where they are unrelated. Never same-file: bytes are not seen here."""
    if a.empty or b.empty:
        return None
    if is_same_picture(a, b):
        return PairVerdict(DoubleKind.SAME_PICTURE, picture_changes(a, b), 1.0)
    best: PairVerdict | None = None
    for hypothesis in hypotheses(a, b):
        verdict = _tried(a, b, hypothesis)
        if verdict is not None and (best is None or _rank(verdict) > _rank(best)):
            best = verdict
        if best is not None and best.score > _SURE:
            break
    return best


def compare_closely(
    a: Fingerprint, b: Fingerprint, features_a: Features | None, features_b: Features | None
) -> PairVerdict | None:
    """The same by local features, for what ``compare`` leaves open: parts altered, added, run into one another.

    Where features agree on a place, the two are laid over each other there, and most lines of both must be
    met: figures that one hand draws share arms and faces, and no more than these agree.
    """
    if features_a is None or features_b is None:
        return None
    if len(features_a.points) <= len(features_b.points):
        place = find_place(features_a, features_b)
    else:
        found = find_place(features_b, features_a)
        place = turned_round(found) if found else None
    if place is None or max(place.held, place.holds) < _MOST_OF_IT:
        return None
    low, high = sorted((place.covered, place.covers))
    if high < MET_MOST or low < MET_LEAST:
        return None
    return _placed(a, b, place, low, high)


def _is_plain_within(a: Fingerprint, b: Fingerprint, place: Place) -> bool:
    return is_plain((a if place.held > place.holds else b).portrait)


def _placed(a: Fingerprint, b: Fingerprint, place: Place, low: float, high: float) -> PairVerdict | None:
    score = (low + high) / 2
    if min(place.held, place.holds) < _MOST_OF_IT and _is_plain_within(a, b, place):
        return None  # slabs and discs stand in many drawings
    if place.holds < _SMALL_SHARE:
        return PairVerdict(DoubleKind.CONTAINED, place.how, score, box_of(place, a, b))
    if place.held < _SMALL_SHARE:
        return PairVerdict(DoubleKind.CONTAINED, (*place.how, "holds the other"), score)
    is_same = low >= SAME_CONTOURS_MET and not place.changed and not _is_altered(place)
    finish = finish_changes(a, b)
    if is_same and _is_cut_round(a, b, place):
        return PairVerdict(DoubleKind.SAME_DRAWING, (*place.how, "cropped", *finish), score)
    if min(place.held, place.holds) < _MOST_OF_IT:
        return PairVerdict(DoubleKind.FAMILY, (*place.how, "pasted beside"), score)
    if low >= SAME_CONTOURS_MET and is_coloured_in(a, b):
        return PairVerdict(DoubleKind.FAMILY, (*place.how, "coloured"), score)
    if is_same:
        weight = ("line weight",) if not finish and abs(place.heavier) > HEAVIER else ()
        return PairVerdict(DoubleKind.SAME_DRAWING, (*place.how, *finish, *weight), score)
    if place.within < INSIDE_MET_CLOSELY:
        return PairVerdict(DoubleKind.PERHAPS_FAMILY, place.how, score)
    if place.alteration.is_scattered and high >= ALL_MET:
        return PairVerdict(DoubleKind.SAME_DRAWING, (*place.how, "line weight"), score)
    if not place.alteration.is_of_part:
        return PairVerdict(DoubleKind.PERHAPS_FAMILY, place.how, score)
    return PairVerdict(DoubleKind.FAMILY, (*place.how, place.alteration.word), score)


def _is_altered(place: Place) -> bool:
    return place.alteration.is_plain or place.alteration.is_both_ways


def _is_cut_round(a: Fingerprint, b: Fingerprint, place: Place) -> bool:
    """Whether one is the middle of the other, a little cut off on any side; what is pasted beside takes more."""
    if place.holds > place.held:
        inner, outer, place = b, a, turned_round(place)
    else:
        inner, outer = a, b
    if min(place.held, place.holds) > _HARDLY_CUT:
        return False
    high, wide = outer.portrait.shape
    corners = corners_of(inner.portrait.shape, place.matrix) / (wide, high)
    return bool(
        corners.min() > -_PLAY
        and (corners.min(axis=0) <= _CUT_OFF).all()
        and (corners.max(axis=0) >= 1 - _CUT_OFF).all()
        and corners.max() < 1 + _PLAY
    )


def is_same_picture(a: Fingerprint, b: Fingerprint) -> bool:
    """Whether the two agree in every block of ink and colour as they lie, as far as portraits show it.

    Before merging without being asked, ``sameness.confirm_same_picture`` must have seen both pictures.
    """
    if a.empty or b.empty or abs(float(a.aspects()[0] - b.aspects()[0])) > _STRICT_ASPECT:
        return False
    if is_scan(a) != is_scan(b) or a.two_tone != b.two_tone or not _same_ink(a, b):
        return False
    fine = stretch(a.portrait, 128), stretch(b.portrait, 128)
    if _worst_block(*fine) > STRICT_FINE_INK:
        return False
    one, other = stretch(a.portrait, 64), stretch(b.portrait, 64)
    plain = is_plain(a.portrait) or is_plain(b.portrait)
    if _worst_block(one, other) > (STRICT_PLAIN if plain else STRICT_INK):
        return False
    inked = (stretch(one, 32) > 40) & (stretch(other, 32) > 40)
    apart = np.abs(cv2.blur(a.colours, (3, 3)).astype(np.float32) - cv2.blur(b.colours, (3, 3)))
    return not bool(inked.any()) or float(apart[inked].max()) <= STRICT_COLOUR


def _same_ink(a: Fingerprint, b: Fingerprint) -> bool:
    """Whether as much ink is there in each colour channel: a line in another colour shows in no block."""
    sums = [
        np.abs(f.colours.astype(np.float32) - np.asarray(f.ground, np.float32)).sum(axis=(0, 1))
        for f in (a, b)
    ]
    return float(np.abs(sums[0] - sums[1]).max()) <= STRICT_GAIN * max(float(sums[0].max()), 1.0)


def _worst_block(one: Pixels, other: Pixels) -> float:
    """Largest difference of mean ink in a block, 0 to 1, the pictures moved by a pixel where that helps.

    Trimming to whole pixels of a small picture shifts the drawing by up to one of these.
    """
    side = len(one)
    framed = cv2.copyMakeBorder(one, 1, 1, 1, 1, cv2.BORDER_REPLICATE)
    theirs = stretch(other, side // 4).astype(np.float32)
    shifts = (np.ascontiguousarray(framed[y : y + side, x : x + side]) for y in range(3) for x in range(3))
    return min(float(np.abs(stretch(shifted, side // 4) - theirs).max()) for shifted in shifts) / 255


def score_of(agreement: Agreement) -> float:
    """One number, 0 to 1, from how contours and ink agree."""
    g = agreement
    low, high = sorted((g.covered, g.covers))
    return max(0.0, (g.contour + 2 * g.contour_most + g.ink_most + 2 * low + high) / 7)


def _rank(verdict: PairVerdict) -> tuple[bool, float]:
    return verdict.kind is not DoubleKind.PERHAPS_FAMILY, verdict.score


def _tried(a: Fingerprint, b: Fingerprint, hypothesis: Hypothesis) -> PairVerdict | None:
    mine = ORIENTATIONS[hypothesis.orientation].apply(view_of(a, hypothesis.mine))
    theirs = view_of(b, hypothesis.theirs)
    kinds = View(int(a.kinds[hypothesis.mine])), View(int(b.kinds[hypothesis.theirs]))
    least = LEAST_ALIKE_CONTOUR if kinds[0] is View.CONTOUR else LEAST_ALIKE
    if View.PART in kinds:
        mine, theirs, least = evened(mine), evened(theirs), LEAST_ALIKE_PART
    agreement = lay_over(mine, theirs, kinds[0] is View.CONTOUR, least)
    if agreement is None:
        return None
    score = score_of(agreement)
    how = ORIENTATIONS[hypothesis.orientation].how
    laid = Laid(hypothesis.orientation, mine, theirs, agreement, View.CROP in kinds)
    if View.PART not in kinds and agreement.detail >= _LEAST_DETAIL and is_hardened(a, b, laid):
        return PairVerdict(DoubleKind.SAME_DRAWING, (*how, *drawing_changes(a, b, laid)), score)
    if kinds[0] is View.CONTOUR and agreement.ink <= _SAME_INK:
        verdict = _as_coloured(laid, how, score)
        if verdict is not None:
            return verdict
    if score < PERHAPS_SCORE or agreement.contour_most < _LEAST_CONTOUR or agreement.detail < _LEAST_DETAIL:
        return None
    if is_plain(mine) or is_plain(theirs):
        return (
            PairVerdict(DoubleKind.PERHAPS_FAMILY, how, score)
            if score > 0.93 and View.PART not in kinds
            else None
        )
    if View.PART in kinds and (is_bare_inside(mine) or is_bare_inside(theirs)):
        return None
    if View.PART in kinds:
        return _as_part(a, b, hypothesis, agreement, score)
    if _is_same(laid, score):
        if is_coloured_in(a, b):
            return PairVerdict(DoubleKind.FAMILY, (*how, "coloured"), score)
        whole = _as_whole(a, b, hypothesis) if laid.cropped else None
        return whole or PairVerdict(DoubleKind.SAME_DRAWING, (*how, *drawing_changes(a, b, laid)), score)
    return _as_altered(laid, how, score)


def _as_whole(a: Fingerprint, b: Fingerprint, hypothesis: Hypothesis) -> PairVerdict | None:
    """The verdict on the two as wholes, where one is the other turned a little: it looks cropped as well."""
    verdict = _tried(a, b, replace(hypothesis, mine=_WHOLE, theirs=_WHOLE))
    is_turned = verdict is not None and verdict.kind is DoubleKind.SAME_DRAWING and "turned" in verdict.how
    return verdict if is_turned else None


def _as_coloured(laid: Laid, how: tuple[str, ...], score: float) -> PairVerdict | None:
    """The verdict on a drawing and its line art, or another finish of it: all contours are met, ink may differ."""
    agreement = laid.agreement
    hopeless = min(agreement.covered, agreement.covers) < _WORTH_A_LOOK or agreement.detail < _LEAST_DETAIL
    if hopeless or is_plain(laid.mine) or is_plain(laid.theirs):
        return None
    met = met_finely(laid.contours)
    # signs and cards of a series share a frame, and differ in one place
    if met < CONTOURS_MET or is_stray(*laid.contours):
        return None
    return PairVerdict(DoubleKind.FAMILY, (*how, "coloured"), max(score, met))


def _is_same(laid: Laid, score: float) -> bool:
    """Whether the ink agrees in every block, or else nearly all contours (thicker, recoloured); nowhere altered."""
    agreement = laid.agreement
    even = score >= SAME_DRAWING_SCORE and agreement.worst <= EVEN_WORST and agreement.ink > 0.8
    if not even and (score < FAMILY_SCORE or agreement.ink <= _SAME_INK):
        return False
    if laid.alteration.is_both_ways or (even and laid.alteration.is_plain):
        return False
    if not even and met_finely(laid.contours) < SAME_CONTOURS_MET:
        return False
    return met_inside(laid.contours) >= INSIDE_MET and not is_stray(*laid.contours)


def _as_part(
    a: Fingerprint, b: Fingerprint, hypothesis: Hypothesis, agreement: Agreement, score: float
) -> PairVerdict | None:
    if score < CONTAINED_SCORE or agreement.worst > EVEN_WORST:
        return None
    holder, view = (b, hypothesis.theirs) if b.kinds[hypothesis.theirs] == View.PART else (a, hypothesis.mine)
    how = ORIENTATIONS[hypothesis.orientation].how
    box = _pixels(holder, view)
    if _share(holder, view) >= _LARGE_PART:
        return PairVerdict(DoubleKind.FAMILY, (*how, "pasted beside"), score, box if holder is b else None)
    if holder is a:
        return PairVerdict(DoubleKind.CONTAINED, (*how, "holds the other"), score)
    return PairVerdict(DoubleKind.CONTAINED, how, score, box)


def _as_altered(laid: Laid, how: tuple[str, ...], score: float) -> PairVerdict | None:
    agreement = laid.agreement
    low, high = sorted((agreement.covered, agreement.covers))
    if score >= COLOURED_SCORE and agreement.ink < 0.6 and agreement.contour > 0.8 and low > 0.8:
        return PairVerdict(DoubleKind.FAMILY, (*how, "coloured"), score)
    # One part changed and all the rest the same, line for line; siblings of a series differ more evenly.
    alike = agreement.contour_most > 0.95 and agreement.ink_most > 0.93 and high > 0.95
    inside = INSIDE_MET_TURNED if how else INSIDE_MET
    if score >= FAMILY_SCORE and alike and met_inside(laid.contours) >= inside:
        if laid.alteration.is_scattered and max(shares_met(laid.contours), default=0) >= ALL_MET:
            if is_stray(*laid.contours):  # arms drawn anew and a tray put in, at more places than one
                return PairVerdict(DoubleKind.FAMILY, (*how, laid.alteration.word), score)
            return PairVerdict(DoubleKind.SAME_DRAWING, (*how, "line weight"), score)
        if laid.alteration.is_of_part:
            return PairVerdict(DoubleKind.FAMILY, (*how, laid.alteration.word), score)
    return PairVerdict(DoubleKind.PERHAPS_FAMILY, how, score)


def _pixels(fingerprint: Fingerprint, view: int) -> Box:
    wide, high = fingerprint.size
    left, top, right, bottom = (float(value) for value in fingerprint.boxes[view])
    return (round(left * wide), round(top * high), round(right * wide), round(bottom * high))


def _share(fingerprint: Fingerprint, view: int) -> float:
    spans = fingerprint.boxes[[0, view], 2:] - fingerprint.boxes[[0, view], :2]
    return float(spans[1].prod() / max(float(spans[0].prod()), 1e-6))
