"""What each mark on a page is: a trained judge tells drawing from print, soil, specks and what is no page.

A network sees the whole page reduced. Made by tests/bench/marks_net.py; MARKS_CARD.md says from what.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from assetlib.errors import ModelBroken
from assetlib.imaging.pages.guesses import Picture

JUDGE = Path(__file__).with_name("marks.onnx")
THREADS = 2
SIDE = 1024  # pixels of the longer side that the judge sees
STEP = 32  # of which both sides are multiples
PAPER, INK, PRINT, SOIL, SPECK, OFF, UNDER = range(7)
DRAWN = 0.35  # how likely ink what is drawn is, or more; tuned on made pages
REACH = 2  # pixels at the judge's scale beyond ink that its soft edges may lie


def judge_marks(rgb: Picture) -> NDArray[np.float32]:
    """How likely each pixel of a page, uint8 (H, W, 3), is one of the seven kinds, float32 (7, h, w).

    The page is reduced to `SIDE` pixels at most; raises ModelBroken.
    """
    scale = min(1.0, SIDE / max(rgb.shape[:2]))
    size = max(1, round(rgb.shape[1] * scale)), max(1, round(rgb.shape[0] * scale))
    small = cv2.resize(rgb, size, interpolation=cv2.INTER_AREA) if scale < 1 else rgb
    framed = cv2.copyMakeBorder(small, 0, -size[1] % STEP, 0, -size[0] % STEP, cv2.BORDER_REPLICATE)
    given = np.ascontiguousarray(framed.transpose(2, 0, 1)[None])
    logits = _judge(JUDGE).run(None, {"picture": given})[0][0, :, : size[1], : size[0]]
    chances = np.exp(logits - logits.max(axis=0), dtype=np.float32)
    return np.asarray(chances / chances.sum(axis=0), np.float32)


def drawn_at(chances: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Where a judged page is drawn on, 255 or 0, uint8 (h, w): ink, and what lies close to it and is nothing else."""
    drawing = chances[INK] + chances[UNDER]
    sure = (drawing >= DRAWN).astype(np.uint8)
    near = cv2.dilate(sure, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * REACH + 1,) * 2)) > 0
    told = chances.argmax(axis=0)
    free = (told == PAPER) | (told == INK) | (told == UNDER)
    return np.where((sure > 0) | (near & free), np.uint8(255), np.uint8(0))


@cache
def _judge(file: Path) -> Any:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = THREADS
    # several pages at once share the cores
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    options.log_severity_level = 3
    try:
        return onnxruntime.InferenceSession(str(file), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime raises its own kinds, not importable by name everywhere
        sentence = f"{file.name}, which tells drawing from soil, cannot be run ({type(error).__name__})"
        raise ModelBroken(sentence, "Install assetlib again.") from error
