"""Tones on a page are told from light and shadow, and stay when the light is evened."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.ink import lift
from assetlib.imaging.pages.light import even_light
from assetlib.imaging.pages.tones import find_tones

Picture = NDArray[np.uint8]
SIZE = 900


def page(tone: tuple[float, float, float], shadow: float = 0.3) -> Picture:
    """A grainy photograph of a page, a shadow falling over half of it: a box laid with a tone and an empty one."""
    levels = np.full((SIZE, SIZE, 3), 236.0)
    levels[150:450, 200:700] *= tone
    for top, low in ((150, 450), (550, 800)):
        cv2.rectangle(levels, (200, top), (700, low), (24.0, 24.0, 26.0), 6)
    shade = np.zeros((SIZE, SIZE), np.float32)
    cv2.circle(shade, (880, 500), 420, 1.0, -1)
    levels *= 1 - shadow * cv2.GaussianBlur(shade, (0, 0), 30)[..., None]
    levels += np.random.default_rng(3).normal(0, 2.5, levels.shape)
    return np.clip(np.rint(levels), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("tone", [(0.9, 0.9, 0.9), (0.97, 0.9, 0.86), (0.75, 0.75, 0.75)])
def test_a_tone_within_a_line_is_told_and_a_shadow_is_not(tone: tuple[float, float, float]) -> None:
    found = find_tones(page(tone)).mask
    rows, columns = (int(found.shape[k] / SIZE * v) for k, v in ((0, 300), (1, 450)))
    assert found[rows - 60 : rows + 60, columns - 150 : columns + 150].mean() > 0.95
    assert found[int(0.64 * found.shape[0]) : int(0.86 * found.shape[0])].mean() < 0.01
    assert found[:, int(0.82 * found.shape[1]) :].mean() < 0.01


def test_without_a_tone_nothing_is_told() -> None:
    assert not find_tones(page((1.0, 1.0, 1.0))).mask.any()


def test_light_is_evened_around_a_tone_which_stays() -> None:
    even = even_light(page((0.9, 0.9, 0.9))).astype(float)
    inside, other = even[200:400, 260:640].mean(axis=(0, 1)), even[600:760, 260:640].mean(axis=(0, 1))
    assert inside == pytest.approx(0.9 * other, rel=0.02)
    assert even[600:760, 300:340].mean() == pytest.approx(even[600:760, 600:640].mean(), abs=3)


def test_a_tone_paler_than_the_grain_is_lifted_even_and_opaque_to_no_line() -> None:
    even = even_light(page((0.965, 0.965, 0.965), shadow=0))
    ink = lift(np.dstack([even, np.full((SIZE, SIZE), 255, np.uint8)]))
    alpha = ink[..., 3:].astype(float) / 255
    seen = (255 * (1 - alpha) + alpha * ink[..., :3]).mean(axis=2)
    inside, empty = seen[180:420, 230:670], seen[580:770, 230:670]
    assert np.median(empty) == 255
    assert 4 < 255 - np.median(inside) < 16
    assert np.quantile(np.abs(inside - np.median(inside)), 0.95) < 4
    assert ink[180:420, 230:670, 3].max() < 64
