"""Blemishes drawn onto a page and taken out again, with the drawing left as it was."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.cleaning.blemishes import Blemish, clean, propose, restore, still_there
from assetlib.imaging.cleaning.body import fill_body
from assetlib.imaging.cleaning.ink import lift

Pixels = NDArray[np.uint8]
CREAM = (244, 238, 224)


def a_page() -> Pixels:
    """A loaf in line on cream paper."""
    page = np.full((600, 440, 4), 255, np.uint8)
    page[..., :3] = CREAM
    canvas = np.ascontiguousarray(page[..., :3])
    cv2.ellipse(canvas, (230, 320), (120, 80), 0, 0, 360, (10, 10, 10), 4, cv2.LINE_AA)
    cv2.line(canvas, (180, 290), (200, 350), (10, 10, 10), 3, cv2.LINE_AA)
    page[..., :3] = canvas
    return page


def draw(page: Pixels, kind: Blemish) -> Pixels:
    canvas = np.ascontiguousarray(page[..., :3])
    if kind is Blemish.SPECK:
        for centre in ((60, 80), (400, 520)):
            cv2.circle(canvas, centre, 1, (90, 90, 90), -1)
    elif kind is Blemish.PUNCH_HOLE:
        for y in (220, 380):
            cv2.circle(canvas, (22, y), 6, (40, 40, 40), -1)
    elif kind is Blemish.RULED_LINE:
        for y in range(60, 580, 40):
            canvas[y : y + 2][canvas[y : y + 2].min(axis=2) > 150] = (190, 205, 225)
    elif kind is Blemish.UNDERDRAWING:
        under = canvas.copy()
        cv2.ellipse(under, (230, 320), (130, 90), 0, 0, 360, (228, 126, 122), 2)
        cv2.ellipse(under, (230, 320), (110, 70), 0, 0, 360, (228, 126, 122), 2)
        bare = canvas.min(axis=2) > 150
        canvas[bare] = under[bare]
    elif kind is Blemish.STAIN:
        ring = np.zeros(canvas.shape[:2], np.float32)
        cv2.circle(ring, (330, 110), 40, 1.0, 7)
        ring = cv2.GaussianBlur(ring, (0, 0), 1.5)[..., None]
        canvas = np.rint(canvas * (1 - ring * (1 - np.float32((0.8, 0.66, 0.48))))).astype(np.uint8)
    elif kind is Blemish.TORN_EDGE:
        rng = np.random.default_rng(4)
        depth = np.clip(14 + np.cumsum(rng.normal(0, 1.2, 440)), 4, 30)
        canvas[np.arange(600)[:, None] < depth[None]] = (70, 60, 52)
    else:
        patch = canvas[0:60, 180:260].astype(np.float32) * 0.9
        canvas[0:60, 180:260] = np.rint(patch)
    drawn = page.copy()
    drawn[..., :3] = canvas
    return drawn


@pytest.mark.parametrize("kind", list(Blemish))
def test_a_blemish_is_taken_out_told_and_the_drawing_kept(kind: Blemish) -> None:
    page = a_page()
    cleaned, removals = clean(draw(page, kind), [kind])
    assert {removal.blemish for removal in removals} == {kind}
    off = np.abs(cleaned.astype(int) - page)
    ink = page[..., 0] < 120
    assert off[ink].max() <= 3
    assert (off.max(axis=2) > 12).mean() < 0.001


@pytest.mark.parametrize("kind", list(Blemish))
def test_a_clean_page_is_left_alone(kind: Blemish) -> None:
    cleaned, removals = clean(a_page(), [kind])
    assert removals == ()
    assert np.array_equal(cleaned, a_page())


@pytest.mark.parametrize("kind", list(Blemish))
def test_what_was_removed_can_be_taken_back(kind: Blemish) -> None:
    blemished = draw(a_page(), kind)
    cleaned, removals = clean(blemished, [kind])
    assert not np.array_equal(cleaned, blemished)
    assert np.array_equal(restore(cleaned, blemished, removals), blemished)


def test_only_what_was_asked_for_is_removed() -> None:
    blemished = draw(draw(a_page(), Blemish.SPECK), Blemish.PUNCH_HOLE)
    _, removals = clean(blemished, [Blemish.PUNCH_HOLE])
    assert {removal.blemish for removal in removals} == {Blemish.PUNCH_HOLE}
    assert len(removals) == 2


def test_stippling_is_not_taken_for_specks() -> None:
    page = a_page()
    canvas = np.ascontiguousarray(page[..., :3])
    for x, y in np.random.default_rng(1).integers([40, 60], [160, 160], (40, 2)):
        cv2.circle(canvas, (int(x), int(y)), 1, (20, 20, 20), -1)
    page[..., :3] = canvas
    assert clean(page, [Blemish.SPECK])[1] == ()


def test_the_holes_of_a_spiral_are_taken_out() -> None:
    page = a_page()
    canvas = np.ascontiguousarray(page[..., :3])
    for y in range(14, 600, 22):
        cv2.circle(canvas, (12, y), 4, (60, 52, 46), -1, cv2.LINE_AA)
    holed = page.copy()
    holed[..., :3] = canvas
    cleaned, removals = clean(holed, [Blemish.PUNCH_HOLE])
    assert {removal.blemish for removal in removals} == {Blemish.PUNCH_HOLE}
    assert (np.abs(cleaned.astype(int) - page).max(axis=2) > 12).mean() < 0.001


def test_no_red_stays_in_black_line_drawn_over_red() -> None:
    page = a_page()
    blemished = draw(page, Blemish.UNDERDRAWING)
    soft = cv2.GaussianBlur(np.ascontiguousarray(blemished[..., :3]), (0, 0), 0.8)
    coded = cv2.imdecode(cv2.imencode(".jpg", soft[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 80])[1], 1)[
        ..., ::-1
    ]
    blemished[..., :3] = coded
    cleaned, _ = clean(blemished, [Blemish.UNDERDRAWING])
    before, after = (np.ptp(one[..., :3].astype(int), axis=2) - np.ptp(CREAM) for one in (blemished, cleaned))
    assert (before > 25).mean() > 0.005
    assert (after > 25).mean() < 0.0005
    ink = page[..., 0] < 60
    assert np.median(cleaned[ink][:, 0]) < 70


@pytest.mark.parametrize(
    "kind", [Blemish.PUNCH_HOLE, Blemish.RULED_LINE, Blemish.TAPE_SHADOW, Blemish.TORN_EDGE, Blemish.STAIN]
)
def test_what_is_seen_on_a_page_is_proposed(kind: Blemish) -> None:
    assert kind.value in propose(draw(a_page(), kind))
    assert propose(a_page()) == ()


def ringed(size: int, weight: float) -> tuple[Pixels, Pixels]:
    """A crate with a ring of coffee across it, wobbly and wide for the picture, and the same crate without."""
    plain = np.full((size, size, 4), 255, np.uint8)
    cv2.rectangle(plain, (90, 150), (420, 480), (20, 20, 24, 255), 5)
    y, x = np.mgrid[:size, :size].astype(np.float32) - np.float32((330, 390))[:, None, None]
    turn = np.arctan2(y, x)
    band = np.exp(-(((np.hypot(x, y) - 130 - 4 * np.sin(3 * turn)) / weight) ** 2))
    stained = plain.copy()
    taken = 0.5 * band[..., None] * (1 - np.float32((0.55, 0.36, 0.18)))
    stained[..., :3] = np.rint(plain[..., :3] * (1 - taken)).astype(np.uint8)
    return stained, plain


@pytest.mark.parametrize("weight", [4, 8])
def test_a_ring_is_taken_out_whole_and_what_it_goes_round_is_not_filled(weight: float) -> None:
    stained, plain = ringed(600, weight)
    cleaned, removals = clean(stained, [Blemish.STAIN])
    assert {removal.blemish for removal in removals} == {Blemish.STAIN}
    assert (np.abs(cleaned.astype(int) - plain).max(axis=2) > 30).mean() < 0.001
    assert not fill_body(lift(cleaned))[330, 480]
    ink = lift(cleaned)[..., 3] > 40
    assert still_there(stained, cleaned, [Blemish.STAIN], removals, ink) == ()


def test_a_stain_that_stands_after_it_was_taken_out_is_told() -> None:
    stained, plain = ringed(600, 5)
    _, removals = clean(stained, [Blemish.STAIN])
    half = stained.copy()
    half[:, :390] = plain[:, :390]
    ink = lift(half)[..., 3] > 40
    assert still_there(stained, half, [Blemish.STAIN], removals, ink) == (Blemish.STAIN,)
    assert still_there(stained, half, [], removals, ink) == ()
