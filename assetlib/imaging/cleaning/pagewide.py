"""What a whole page tells of its ground, worked out once for all drawings that are cut from it."""

from __future__ import annotations

from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Ground, Paper, estimate_paper, judge_ground
from assetlib.imaging.cleaning.soil import Soil, find_soil
from assetlib.imaging.pages.tones import find_tones

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

PAGE_SIDE = 1536  # longest side, pixels, that a page's paper is estimated at


class PageGround:
    """The ground of a page, uint8 (H, W, 4); nothing of it is measured before it is asked for."""

    def __init__(self, page: Pixels) -> None:
        self._page = page
        self._papers: dict[int, Paper] = {}

    @cached_property
    def kind(self) -> Ground:
        """What kind of ground it is."""
        return judge_ground(self._page)

    @cached_property
    def tones(self) -> Mask:
        """Where tones are, at the scale that they are looked for at."""
        return find_tones(np.ascontiguousarray(self._page[..., :3])).mask

    @cached_property
    def soil(self) -> Soil:
        """What is on it that no drawing is made with."""
        return find_soil(self._page)

    @property
    def size(self) -> tuple[int, int]:
        """Height and width in pixels."""
        return self._page.shape[0], self._page.shape[1]

    def step(self, side: int) -> int:
        """Every how many pixels is looked at where the longest side is to be about `side` pixels."""
        height, width = self._page.shape[:2]
        return max(1, int(max(height, width)) // side)

    def paper(self, side: int) -> Paper:
        """Its paper, measured where the longest side is about `side` pixels."""
        step = self.step(side)
        if step not in self._papers:
            self._papers[step] = estimate_paper(np.ascontiguousarray(self._page[::step, ::step, :3]))
        return self._papers[step]


def paper_at(ground: PageGround, box: tuple[int, int, int, int]) -> Paper:
    """The paper of a page where the box stands on it."""
    step, paper = ground.step(PAGE_SIDE), ground.paper(PAGE_SIDE)
    if paper.shading is None:
        return paper
    x, y, width, height = box
    here = paper.shading[y // step : -(-(y + height) // step), x // step : -(-(x + width) // step)]
    shading = cv2.resize(here, (width, height), interpolation=cv2.INTER_LINEAR)
    return Paper(paper.colour, np.asarray(shading, np.float32), paper.grain)
