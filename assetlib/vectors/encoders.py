"""The models that turn drawings and words into vectors of one space; loaded only when first used.

The image tower is an ONNX file run on the processor; how words are read depends on the model (see `texttowers`).
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assetlib.errors import ModelBroken
from assetlib.vectors.description import BYTE_PAIRS, read_description
from assetlib.vectors.texttowers import BagOfPieces, TextTower, Transformer, open_session

__all__ = ["SHIPPED", "DrawingEncoder", "Encoder", "ModelBroken", "open_encoder", "shipped_folder"]

Picture = NDArray[np.uint8]
Vectors = NDArray[np.float32]
SHIPPED = "drawings-1"
_MODELS = Path(__file__).with_name("models")
_BATCH = 16  # pictures a run; larger ones gained nothing on two cores and cost memory


class Encoder(Protocol):
    """Anything that gives drawings and words vectors of one space."""

    name: str
    digest: str
    dimension: int

    @property
    def size(self) -> int:
        """Bytes of the model's files on disk."""

    def images(self, pictures: list[Picture]) -> Vectors:
        """Unit vectors (N, D) of straight-alpha pictures, each uint8 (H, W, 4)."""

    def text(self, texts: list[str]) -> Vectors:
        """Unit vectors (N, D); a text without any word gets zeros and so is like nothing."""


class DrawingEncoder:
    """The shipped model, or another exported into a folder of the same kind."""

    def __init__(self, folder: Path, threads: int = 0) -> None:
        """`threads` for the towers, 0 for as many as onnxruntime thinks right."""
        self._folder, self._threads = folder, threads
        described = read_description(folder)
        self._described = described
        self.name, self.digest, self.dimension = described.name, described.digest, described.dimension
        self.recipe = described.recipe

    @property
    def size(self) -> int:
        """Bytes of the model's files on disk."""
        return sum(path.stat().st_size for path in self._folder.iterdir() if path.is_file())

    @property
    def folder(self) -> Path:
        """Where the model lies."""
        return self._folder

    def images(self, pictures: list[Picture]) -> Vectors:
        """Unit vectors float32 (N, D) of straight-alpha pictures, each uint8 (H, W, 4), cropped to their ink here."""
        parts = [self.run(self.prepare(pictures[i : i + _BATCH])) for i in range(0, len(pictures), _BATCH)]
        return np.concatenate(parts) if parts else np.zeros((0, self.dimension), np.float32)

    def prepare(self, pictures: list[Picture]) -> NDArray[np.float32]:
        """The image tower's input, float32 (N, 3, S, S)."""
        import cv2

        from assetlib.vectors.crop import crop_to_ink

        side, described = self._described.image_side, self._described
        out = np.empty((len(pictures), 3, side, side), np.float32)
        for row, picture in enumerate(pictures):
            planes = cv2.split(crop_to_ink(picture, side))
            for channel, plane in enumerate(planes):
                scale = np.float32(1 / described.image_scale[channel])
                np.multiply(plane, scale, out=out[row, channel])
        for channel in range(3):
            out[:, channel] -= described.image_mean[channel] / described.image_scale[channel]
        return out

    def run(self, tensors: NDArray[np.float32]) -> Vectors:
        """Unit vectors float32 (N, D) of prepared input."""
        return np.asarray(self._session.run(None, {"pictures": tensors})[0], np.float32)

    def text(self, texts: list[str]) -> Vectors:
        """Unit vectors float32 (N, D); a text without any word gets zeros and so is like nothing."""
        return self._words.vectors(texts)

    @cached_property
    def _session(self) -> Any:
        return open_session(self._folder, "image.onnx", self._threads)

    @cached_property
    def _words(self) -> TextTower:
        if self._described.words.kind == BYTE_PAIRS:
            return Transformer(self._folder, self._described, self._threads)
        return BagOfPieces(self._folder)


def open_encoder(folder: Path | None = None, threads: int = 0) -> DrawingEncoder:
    """The shipped encoder, or the one exported into `folder`; nothing heavy is loaded yet."""
    return DrawingEncoder(folder if folder is not None else shipped_folder(), threads)


def shipped_folder() -> Path:
    """Where the shipped model lies."""
    return _MODELS / SHIPPED
