"""What the largest page costs: A3 at 600 dpi on ruled, grainy paper, cut by one process alone.

`python -m tests.bench.large_page` prints the most memory that the process held (POSIX alone) and its processor time.
"""

from __future__ import annotations

import multiprocessing
import resource
import tempfile
import time
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from assetlib.imaging.cutting.cutwork import CutJob, cut_page

SIZE = (9921, 7016)  # ISO 216 A3 at 600 dpi, landscape
RULE, GRAIN, SEED = 190, 3.0, 42  # 8 mm between rules
ACROSS, DOWN = 4, 3


def draw(path: Path) -> None:
    """A ruled page with a dozen drawings in brush line, as JPEG."""
    rng = np.random.default_rng(SEED)
    width, height = SIZE
    page = np.full((height, width, 3), 244, np.uint8)
    page[RULE::RULE] = page[RULE + 1 :: RULE] = page[RULE + 2 :: RULE] = (224, 206, 190)
    for row in range(DOWN):
        for column in range(ACROSS):
            middle = ((2 * column + 1) * width // (2 * ACROSS), (2 * row + 1) * height // (2 * DOWN))
            turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
            far = rng.uniform(350, 850, 40)
            points = np.stack([middle[0] + far * np.cos(turns), middle[1] + far * np.sin(turns)], 1)
            cv2.polylines(page, [points.astype(np.int32)], True, (40, 36, 34), 22, cv2.LINE_AA)
            cv2.circle(page, middle, 160, (40, 36, 34), 18, cv2.LINE_AA)
    for top in range(0, height, 512):
        strip = page[top : top + 512]
        strip[:] = np.clip(strip + rng.normal(0, GRAIN, strip.shape[:2])[..., None], 0, 255)
    Image.fromarray(page[..., ::-1]).save(path, quality=92, dpi=(600, 600))


def measure(path: str) -> tuple[int, float, float]:
    """Drawings found, the most memory in GB (10^9 bytes), processor time in seconds."""
    began = time.process_time()
    found = len(cut_page(CutJob(path)).elements)
    return (
        found,
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e9,
        time.process_time() - began,
    )


def main() -> None:
    """Measure in a fresh process, so that the drawing of the page does not count."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a3.jpg"
        draw(path)
        with multiprocessing.get_context("spawn").Pool(1) as pool:
            found, memory, seconds = pool.apply(measure, (str(path),))
    print(f"{found} of {ACROSS * DOWN} drawings, {memory:.2f} GB, {seconds:.1f} s of processor time")


if __name__ == "__main__":
    main()
