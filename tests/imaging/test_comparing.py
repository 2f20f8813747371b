"""What the candidates of one drawing are to it: by portraits first, by local features where these leave it open."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.comparing import compare_prints
from assetlib.imaging.fingerprints import fingerprint
from assetlib.imaging.matching import Kind
from tests.imaging.art import on_white, van

Pixels = NDArray[np.uint8]


def _kinds(asked: Pixels, library: list[Pixels]) -> dict[int, Kind]:
    prints = {number: fingerprint(drawing) for number, drawing in enumerate(library)}
    return {match.version_id: match.verdict.kind for match in compare_prints(fingerprint(asked), prints)}


def test_a_small_part_erased_makes_a_family() -> None:
    drawing = van(7)
    altered = drawing.copy()
    cv2.circle(drawing, (300, 200), 40, (0, 0, 0, 255), 5, cv2.LINE_AA)
    cv2.circle(drawing, (300, 200), 22, (0, 0, 0, 255), 5, cv2.LINE_AA)
    assert _kinds(altered, [drawing, van(8)]) == {0: Kind.FAMILY}


def test_a_heavier_line_is_the_same_drawing() -> None:
    drawing = on_white(van(9))
    heavier = np.asarray(cv2.erode(drawing, np.ones((3, 3), np.uint8)), np.uint8)
    assert _kinds(heavier, [drawing]) == {0: Kind.SAME_DRAWING}


def test_turned_by_any_angle_it_is_found_by_features() -> None:
    drawing = on_white(van(11))
    matrix = cv2.getRotationMatrix2D((300, 200), 25, 0.7)
    turned = cv2.warpAffine(drawing, matrix, (600, 400), borderValue=(255, 255, 255, 255))
    kinds = _kinds(np.asarray(turned, np.uint8), [van(12), drawing, van(13)])
    assert set(kinds) == {1}
    assert kinds[1] in {Kind.SAME_DRAWING, Kind.FAMILY}


def test_a_shared_part_alone_makes_no_double() -> None:
    one, other = van(14), van(15)
    shared = van(16, side=160)
    one[220:380, 340:580] = shared
    other[10:170, 20:260] = shared
    assert _kinds(one, [other]) == {}
