"""What large pages cost: A3 at 600 dpi on ruled, grainy paper, and a phone's photographs of 12 megapixels.

`python -m tests.bench.large_page` prints the most memory that the process held (POSIX alone) and its processor time;
`--photo` cuts photographs with cold commands, and prints the processor time of each with all its processes, its time
by the clock, and that of the steps between (`--keep FOLDER` keeps the photographs).
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import resource
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from assetlib.imaging.cutting.cutwork import CutJob, cut_page
from assetlib.imaging.cutting.sheets import cut
from assetlib.imaging.formats import read_picture
from assetlib.imaging.pages.finding import find_page
from assetlib.imaging.pages.fixing import judge_page
from tests.bench.page_photos import make_page

SIZE = (9921, 7016)  # ISO 216 A3 at 600 dpi, landscape
RULE, GRAIN, SEED = 190, 3.0, 42  # 8 mm between rules
ACROSS, DOWN = 4, 3
SENSOR = (4032, 3024)  # pixels of a phone's main camera as it reads them, whichever way it is held
ON_ITS_SIDE = 6  # Exif orientation of a photograph held upright (Exif 2.32, tag 0x0112)
COMPILED = str(Path(tempfile.gettempdir()) / "assetlib-bench" / "compiled")
PHOTOS = (("grid", "ink", "plain"), ("scatter", "pencil", "plain"), ("line art", "ball-pen", "squared"))


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


def photographs(folder: Path) -> Iterator[Path]:
    """Photographs of sheets on tables, JPEG of twelve megapixels, on their side with an Exif orientation."""
    for k, (kind, medium, printed) in enumerate(PHOTOS):
        page = make_page(kind, SEED + 2 * k, medium=medium, print_=printed, width=2600)
        rgb = page.rgba[..., :3]
        upright = SENSOR[::-1] if rgb.shape[0] > rgb.shape[1] else SENSOR
        seen = Image.fromarray(rgb).resize(upright, Image.Resampling.BICUBIC)
        exif = Image.Exif()
        if upright != SENSOR:
            seen = seen.transpose(Image.Transpose.ROTATE_90)
            exif[0x0112] = ON_ITS_SIDE
        path = folder / f"{kind} {medium} {printed}.jpg"
        seen.save(path, quality=92, exif=exif)
        yield path


def command(*words: str) -> tuple[float, float]:
    """Processor time of a cold command and all its processes, and its time by the clock, seconds."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    compiled = {**os.environ, "PYTHONPYCACHEPREFIX": COMPILED}  # as an installed program's modules are
    compiled.pop("PYTHONDONTWRITEBYTECODE", None)
    subprocess.run(["assetlib", *words], check=True, capture_output=True, env=compiled)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return used, time.perf_counter() - began


def steps(path: Path) -> dict[str, float]:
    """Processor time of what cutting a photograph does, seconds, by what it is."""
    took = {}
    began = time.process_time()
    picture = read_picture(path)
    took["read"], began = time.process_time() - began, time.process_time()
    find_page(picture)
    took["page found"], began = time.process_time() - began, time.process_time()
    judged = judge_page(picture)
    took["page made flat"] = time.process_time() - began - took["page found"]
    began = time.process_time()
    cut(judged[1] if judged else picture)
    took["cut"] = time.process_time() - began
    return took


def measure_photographs(keep: Path | None) -> None:
    """Print what cutting each photograph costs, cold, and what bringing it in and cutting it there does."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        library = Path(temporary) / "library"
        command("start", str(library))
        os.environ["ASSETLIB_LIBRARY"] = str(library)
        paths = list(photographs(folder))
        command("cut", "--dry-run", str(paths[0]))  # the modules are compiled
        for path in paths:
            tried = command("cut", "--dry-run", str(path))
            brought = command("intake", str(path))
            kept = command("cut", str(path))
            told = [f"{name} {used:.2f} / {clock:.2f}" for name, (used, clock) in
                    (("cut --dry-run", tried), ("intake", brought), ("cut", kept))]  # fmt: skip
            print(f"{path.stem}: {', '.join(told)} s of processor time / by the clock", flush=True)
            print(
                "   in a warm process: "
                + ", ".join(f"{name} {used:.2f}" for name, used in steps(path).items())
            )


def main() -> None:
    """Measure in a fresh process, so that the drawing of the page does not count."""
    options = argparse.ArgumentParser()
    options.add_argument("--photo", action="store_true")
    options.add_argument("--keep", type=Path)
    asked = options.parse_args()
    if asked.photo:
        measure_photographs(asked.keep)
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a3.jpg"
        draw(path)
        with multiprocessing.get_context("spawn").Pool(1) as pool:
            found, memory, seconds = pool.apply(measure, (str(path),))
    print(f"{found} of {ACROSS * DOWN} drawings, {memory:.2f} GB, {seconds:.1f} s of processor time")


if __name__ == "__main__":
    main()
