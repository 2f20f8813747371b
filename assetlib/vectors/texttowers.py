"""The text towers: a bag of word-piece vectors for numpy alone, or a CLIP model's transformer for onnxruntime."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assetlib.vectors.description import ModelDescription, broken

if TYPE_CHECKING:
    from assetlib.vectors.bytepairs import BytePairs
    from assetlib.vectors.wordpieces import WordPieces

Vectors = NDArray[np.float32]
_LONGEST_TEXT = 32  # word pieces; as in training
_BATCH = 64  # texts a run of a transformer


class TextTower(Protocol):
    """Anything that gives words vectors."""

    def vectors(self, texts: list[str]) -> Vectors:
        """Unit vectors (N, D); a text without any word gets zeros and so is like nothing."""


class BagOfPieces:
    """The shipped model's text tower, evaluated with numpy: a search by words never loads onnxruntime."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def vectors(self, texts: list[str]) -> Vectors:
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
    def _tables(self) -> _Tables:
        try:
            loaded = {
                name: np.load(self._folder / f"{name}.npy", mmap_mode="r")
                for name in ("pieces", "piece_scale", "linear", "bias")
            }
        except (OSError, ValueError) as error:
            raise broken(self._folder, "the text tower cannot be read") from error
        return _Tables(**loaded)

    @cached_property
    def _word_pieces(self) -> WordPieces:
        from assetlib.vectors.wordpieces import WordPieces

        try:
            lines = (self._folder / "vocab.txt").read_text(encoding="utf-8").split("\n")
        except OSError as error:
            raise broken(self._folder, "vocab.txt cannot be read") from error
        return WordPieces(lines[: len(self._tables.pieces)])


@dataclass(frozen=True)
class _Tables:
    """pieces int8 (P, W) with a scale float16 (P,), linear float16 (D, W), bias float32 (D,)."""

    pieces: NDArray[np.int8]
    piece_scale: NDArray[np.float16]
    linear: NDArray[np.float16]
    bias: NDArray[np.float32]


class Transformer:
    """The text tower of a model made elsewhere: byte pairs, and `text.onnx` on the processor."""

    def __init__(self, folder: Path, described: ModelDescription, threads: int) -> None:
        self._folder, self._described, self._threads = folder, described, threads

    def vectors(self, texts: list[str]) -> Vectors:
        """Unit vectors float32 (N, D); a text without any word gets zeros and so is like nothing."""
        out = np.zeros((len(texts), self._described.dimension), np.float32)
        numbered = [self._byte_pairs.numbers(text) for text in texts]
        said = [row for row, numbers in enumerate(numbered) if numbers]
        for start in range(0, len(said), _BATCH):
            rows = said[start : start + _BATCH]
            tokens = self._byte_pairs.framed([numbered[row] for row in rows], self._described.words.length)
            out[rows] = self._session.run(None, {"tokens": tokens})[0]
        return out

    @cached_property
    def _session(self) -> Any:
        return open_session(self._folder, "text.onnx", self._threads)

    @cached_property
    def _byte_pairs(self) -> BytePairs:
        from assetlib.vectors.bytepairs import BytePairs

        try:
            lines = (self._folder / "merges.txt").read_text(encoding="utf-8").split("\n")
        except OSError as error:
            raise broken(self._folder, "merges.txt cannot be read") from error
        return BytePairs([line for line in lines if line], self._described.words.cleaning)


def open_session(folder: Path, name: str, threads: int) -> Any:
    """An onnxruntime session on a model's file; raises ModelBroken."""
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = threads
    options.log_severity_level = 3
    try:
        return onnxruntime.InferenceSession(str(folder / name), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime raises its own kinds, not importable by name everywhere
        raise broken(folder, f"{name} cannot be run ({type(error).__name__})") from error
