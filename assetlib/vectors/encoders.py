"""The models that turn drawings and words into vectors of one space; loaded only when first used.

The text tower is a bag of word-piece vectors evaluated with numpy alone, so that a search by words never loads
onnxruntime; the image tower is an ONNX file run on the processor.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assetlib.errors import AssetlibError

if TYPE_CHECKING:
    from assetlib.vectors.wordpieces import WordPieces

Picture = NDArray[np.uint8]
Vectors = NDArray[np.float32]
SHIPPED = "drawings-1"
_MODELS = Path(__file__).with_name("models")
_BATCH = 16  # pictures a run; larger ones gained nothing on two cores and cost memory
_LONGEST_TEXT = 32  # word pieces; as in training


class ModelBroken(AssetlibError):
    """A model's folder lacks a file or holds something else than its description says."""

    exit_code = 34


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


@dataclass(frozen=True)
class Description:
    """What a model's `model.json` says."""

    name: str
    digest: str
    dimension: int
    image_side: int
    image_mean: float
    image_scale: float


class DrawingEncoder:
    """The shipped model, or another exported into the same files."""

    def __init__(self, folder: Path, threads: int = 0) -> None:
        """`threads` for the image tower, 0 for as many as onnxruntime thinks right."""
        self._folder, self._threads = folder, threads
        described = _read_description(folder)
        self._described = described
        self.name, self.digest, self.dimension = described.name, described.digest, described.dimension

    @property
    def size(self) -> int:
        """Bytes of the model's files on disk."""
        return sum(path.stat().st_size for path in self._folder.iterdir() if path.is_file())

    def images(self, pictures: list[Picture]) -> Vectors:
        """Unit vectors float32 (N, D) of straight-alpha pictures, each uint8 (H, W, 4), cropped to their ink here."""
        parts = [self.run(self.prepare(pictures[i : i + _BATCH])) for i in range(0, len(pictures), _BATCH)]
        return np.concatenate(parts) if parts else np.zeros((0, self.dimension), np.float32)

    def prepare(self, pictures: list[Picture]) -> NDArray[np.float32]:
        """The image tower's input, float32 (N, 3, S, S)."""
        import cv2

        from assetlib.vectors.crop import crop_to_ink

        side = self._described.image_side
        out = np.empty((len(pictures), 3, side, side), np.float32)
        for row, picture in enumerate(pictures):
            planes = cv2.split(crop_to_ink(picture, side))
            for channel, plane in enumerate(planes):
                np.multiply(plane, np.float32(1 / self._described.image_scale), out=out[row, channel])
        out -= self._described.image_mean / self._described.image_scale
        return out

    def run(self, tensors: NDArray[np.float32]) -> Vectors:
        """Unit vectors float32 (N, D) of prepared input."""
        return np.asarray(self._session.run(None, {"pictures": tensors})[0], np.float32)

    def text(self, texts: list[str]) -> Vectors:
        """Unit vectors float32 (N, D); a text without any word gets zeros and so is like nothing."""
        bags = np.zeros((len(texts), self._tables.pieces.shape[1]), np.float32)
        said = np.zeros(len(texts), bool)
        for row, text in enumerate(texts):
            numbers = self._word_pieces.numbers(text)[:_LONGEST_TEXT]
            if numbers:
                said[row] = True
                scale = self._tables.piece_scale[numbers].astype(np.float32)
                bags[row] = scale @ self._tables.pieces[numbers].astype(np.float32) / len(numbers)
        vectors = bags @ self._tables.linear.astype(np.float32).T + self._tables.bias
        vectors /= np.linalg.norm(vectors, axis=1, keepdims=True)
        vectors[~said] = 0
        return np.asarray(vectors, np.float32)

    @cached_property
    def _session(self) -> Any:
        import onnxruntime

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = self._threads
        options.log_severity_level = 3
        path = self._folder / "image.onnx"
        try:
            return onnxruntime.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
        except (
            Exception
        ) as error:  # onnxruntime raises its own kinds, which are not importable by name everywhere
            raise _broken(self._folder, f"image.onnx cannot be run ({type(error).__name__})") from error

    @cached_property
    def _tables(self) -> _Tables:
        try:
            loaded = {
                name: np.load(self._folder / f"{name}.npy", mmap_mode="r")
                for name in ("pieces", "piece_scale", "linear", "bias")
            }
        except (OSError, ValueError) as error:
            raise _broken(self._folder, "the text tower cannot be read") from error
        return _Tables(**loaded)

    @cached_property
    def _word_pieces(self) -> WordPieces:
        from assetlib.vectors.wordpieces import WordPieces

        try:
            lines = (self._folder / "vocab.txt").read_text(encoding="utf-8").split("\n")
        except OSError as error:
            raise _broken(self._folder, "vocab.txt cannot be read") from error
        return WordPieces(lines[: len(self._tables.pieces)])


@dataclass(frozen=True)
class _Tables:
    """The text tower: pieces int8 (P, W) with a scale float16 (P,), linear float16 (D, W), bias float32 (D,)."""

    pieces: NDArray[np.int8]
    piece_scale: NDArray[np.float16]
    linear: NDArray[np.float16]
    bias: NDArray[np.float32]


def open_encoder(folder: Path | None = None, threads: int = 0) -> DrawingEncoder:
    """The shipped encoder, or the one exported into `folder`; nothing heavy is loaded yet."""
    return DrawingEncoder(folder if folder is not None else _MODELS / SHIPPED, threads)


def _read_description(folder: Path) -> Description:
    try:
        raw = json.loads((folder / "model.json").read_text(encoding="utf-8"))
        return Description(**{name: raw[name] for name in Description.__dataclass_fields__})
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise _broken(folder, "model.json cannot be read") from error


def _broken(folder: Path, what: str) -> ModelBroken:
    return ModelBroken(
        f"Model {folder.name}: {what}.",
        "Install assetlib again, or choose another with `assetlib model use`.",
    )
