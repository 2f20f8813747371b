"""What lies under a stain comes back: paper, tone and line."""

from __future__ import annotations

import cv2
import numpy as np

from assetlib.imaging.pages.stains import free_of_stain

COFFEE = np.float32((0.84, 0.68, 0.5))  # share of light that it lets back


def test_tone_and_line_under_a_ring_come_back_and_the_ring_goes() -> None:
    plain = np.ones((300, 300, 3), np.float32)
    plain[:, 150:] = 0.6  # a tone
    cv2.line(plain, (20, 60), (280, 250), (0.1, 0.1, 0.1), 3)
    band = np.zeros((300, 300), np.uint8)
    cv2.circle(band, (150, 150), 90, 1, 9)
    soft = cv2.GaussianBlur(band.astype(np.float32), (0, 0), 1.2)[..., None]
    stained = plain * (1 - soft * (1 - COFFEE))
    missing, changed = free_of_stain(1 - stained, band > 0)
    assert np.abs(1 - missing - plain)[changed].mean() < 0.02
    assert np.quantile(np.abs(1 - missing - plain).max(axis=2), 0.995) < 0.16
    line = plain[..., 0] < 0.2
    assert (missing[..., 0][line] > 0.75).all()


def test_without_a_stain_nothing_changes() -> None:
    missing = np.random.default_rng(1).uniform(0, 0.05, (80, 80, 3)).astype(np.float32)
    freed, changed = free_of_stain(missing, np.zeros((80, 80), np.bool_))
    assert not changed.any()
    assert (freed == missing).all()
