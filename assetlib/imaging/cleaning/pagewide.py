"""What a whole page tells of its ground, worked out once for all drawings that are cut from it."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from assetlib.imaging.cleaning.grounds import Ground, Paper, estimate_paper, judge_ground

Pixels = NDArray[np.uint8]


class PageGround:
    """The ground of a page, uint8 (H, W, 4); nothing of it is measured before it is asked for."""

    def __init__(self, page: Pixels) -> None:
        self._page = page
        self._papers: dict[int, Paper] = {}

    @cached_property
    def kind(self) -> Ground:
        """What kind of ground it is."""
        return judge_ground(self._page)

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
