"""A caption as a picture, and in words where a text reader is installed: pip install 'assetlib[captions]'.

The reader is rapidocr with the networks in its own wheel (PP-OCRv6, Apache-2.0): nothing is fetched. It is opened only
where those files are there, because it would go and look for them elsewhere. Functions here run in worker processes.
"""

from __future__ import annotations

import io
import unicodedata
from dataclasses import dataclass, replace
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.assembly import PicturePlan, assemble_piece, write_synced

Pixels = NDArray[np.uint8]

LONGEST = 80
"""Characters; what is longer is no caption of one drawing."""

ROOM = 300 << 20
"""Bytes that a worker needs for the reader beside its picture (measured: 140 MB, of a large caption)."""

# Tuned on made pages (`python -m tests.bench.captions --half tune`).
LINE = 40  # pixels that a line of lettering is brought to: the networks were made for 48 with its margin
MARGIN = 0.5  # of a line's height, of bare paper around it
MOST_TIMES = 4.0  # small lettering is enlarged by at most
LEAST_LETTERS = 2


@dataclass(frozen=True, slots=True)
class Lettering:
    """What stands in a picture, and how sure that is, 0 to 1: the mean chance of the letters of its worst line."""

    text: str
    sure: float


@dataclass(frozen=True, slots=True)
class CaptionMade:
    """The file of a caption's picture, and what was read; `text` is empty where nothing was."""

    path: str
    text: str = ""
    sure: float = 0.0


def reader_name() -> str | None:
    """Name and version of the text reader, for the recipe; None where there is none."""
    if not _networks():
        return None
    try:
        return f"rapidocr {version('rapidocr')}"
    except PackageNotFoundError:
        return None


def caption_picture(plan: PicturePlan) -> Pixels:
    """The caption of a drawing as it stands on its page, uint8 (H, W, 3). Raises BadPicture."""
    assert plan.caption is not None
    return _on_paper(assemble_piece(replace(plan.pieces[0], box=plan.caption, mask=None)))


def make_caption(read: bool, plan: PicturePlan) -> CaptionMade:
    """Write a caption's picture to the plan's target, and read it where asked. Raises BadPicture."""
    picture = caption_picture(plan)
    buffer = io.BytesIO()
    Image.fromarray(picture).save(buffer, "WEBP", quality=80)
    path = write_synced(plan.target, buffer.getvalue())
    found = read_lettering(picture) if read else None
    return CaptionMade(path) if found is None else CaptionMade(path, found.text, round(found.sure, 4))


def read_lettering(picture: Pixels) -> Lettering | None:
    """What stands in a picture uint8 (H, W, 3), line by line from the top; None where nothing does."""
    lines = []
    for line in rows_of(picture):
        told = _engine()(line[..., ::-1], use_det=False, use_cls=False, use_rec=True)
        if told.txts and told.txts[0].strip():
            lines.append((told.txts[0].strip(), float(told.scores[0])))
    text = " ".join(unicodedata.normalize("NFC", " ".join(words.split())) for words, _ in lines)
    letters = sum(letter.isalpha() for letter in text)
    if letters < LEAST_LETTERS or len(text) > LONGEST:
        return None
    return Lettering(text, min(sure for _, sure in lines))


def rows_of(picture: Pixels) -> list[Pixels]:
    """The lines of lettering, top first, each brought to one height with bare paper around it."""
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    paper = float(np.median(grey))
    away = np.abs(grey.astype(np.float32) - paper)
    marks = away > max(24.0, 0.35 * float(np.percentile(away, 99)))
    found = [_line(picture, top, bottom) for top, bottom in _bands(marks)]
    return [line for line in found if line is not None]


def _bands(marks: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Top and bottom of the rows that are written on, parted where a row is bare; dots go to what is below them."""
    rows = np.flatnonzero(marks.any(axis=1))
    if not rows.size:
        return []
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    bands = [(int(run[0]), int(run[-1]) + 1) for run in runs]
    tallest = max(bottom - top for top, bottom in bands)
    joined: list[tuple[int, int]] = []
    for top, bottom in bands:
        small = bottom - top < 0.4 * tallest or (joined and joined[-1][1] - joined[-1][0] < 0.4 * tallest)
        if joined and small:
            joined[-1] = (joined[-1][0], bottom)
        else:
            joined.append((top, bottom))
    return joined


def _line(picture: Pixels, top: int, bottom: int) -> Pixels | None:
    height = bottom - top
    if height < 4:
        return None
    line = picture[top:bottom]
    times = min(MOST_TIMES, LINE / height)
    size = (max(1, round(line.shape[1] * times)), max(1, round(height * times)))
    scaled = cv2.resize(line, size, interpolation=cv2.INTER_CUBIC if times > 1 else cv2.INTER_AREA)
    margin = round(MARGIN / 2 * size[1])
    paper = tuple(int(v) for v in np.median(picture.reshape(-1, 3), axis=0))
    bordered = cv2.copyMakeBorder(
        scaled, margin, margin, 2 * margin, 2 * margin, cv2.BORDER_CONSTANT, value=paper
    )
    return np.asarray(bordered, np.uint8)


def _on_paper(picture: Pixels) -> Pixels:
    """A picture with straight alpha, over white."""
    alpha = picture[..., 3:].astype(np.float32) / 255
    return np.asarray(np.rint(picture[..., :3] * alpha + 255 * (1 - alpha)), np.uint8)


def _networks() -> dict[str, Path]:
    """The reader's networks by the task in their names, where all that it opens are in its package."""
    found = find_spec("rapidocr")
    if found is None or found.origin is None:
        return {}
    models = Path(found.origin).parent / "models"
    named = {task: sorted(models.glob(f"*_{task}_*.onnx")) for task in ("det", "rec", "cls")}
    return {task: paths[0] for task, paths in named.items()} if all(named.values()) else {}


@cache
def _engine() -> Any:
    """One reader a worker, on one thread: there are as many workers as cores."""
    from rapidocr import RapidOCR

    at = {f"{task.capitalize()}.model_path": str(path) for task, path in _networks().items()}
    threads = {f"EngineConfig.onnxruntime.{kind}_op_num_threads": 1 for kind in ("intra", "inter")}
    return RapidOCR(params={"Global.log_level": "critical", **at, **threads})
