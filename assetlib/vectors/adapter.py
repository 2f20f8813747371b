"""What the artist's own words look like, learned from the drawings that carry them.

Closed form, so that it is fitted anew in a moment: a word's direction is that of the mean of its drawings, seen against
all described drawings and freed of the directions in which drawings differ anyway (linear discriminant analysis with a
ridge). A word of few drawings is trusted less: the strength shrinks towards what the text tower says.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Vectors = NDArray[np.float32]

# Tuned on the 184 validation drawings, 20 % described, 12 draws; the ridge hardly matters between 0.1 and 30.
RIDGE = 2.0  # of the mean variance of the described vectors
PSEUDO_DRAWINGS = 2.0  # a word of so many drawings is half trusted
STRENGTH = 1.2  # of a fully trusted word against the text tower's unit vector
_LONGEST_PHRASE = 5  # words of a tag that are looked for in a typed line


@dataclass(frozen=True)
class Adapter:
    """The words of a library: `directions` unit vectors float32 (K, D), `counts` drawings that carried each."""

    words: tuple[str, ...]
    directions: Vectors
    counts: NDArray[np.int64]

    def words_in(self, text: str) -> list[str]:
        """The library's words within a typed line, longest first wherever several fit, in the line's order."""
        known = set(self.words)
        pieces = text.lower().split()
        found, start = [], 0
        while start < len(pieces):
            for end in range(min(len(pieces), start + _LONGEST_PHRASE), start, -1):
                phrase = " ".join(pieces[start:end]).strip(",.;:")
                if phrase in known:
                    found.append(phrase)
                    break
            else:
                end = start + 1
            start = end
        return found

    def text_vector(self, words: Sequence[str], said: Vectors) -> Vectors:
        """Unit vector (D,) to search with: the text tower's vector `said` (D,) drawn towards the words' drawings.

        Words that the library does not know change nothing.
        """
        total = np.asarray(said, np.float32).copy()
        places = {word: row for row, word in enumerate(self.words)}
        rows = [places[word] for word in dict.fromkeys(w.lower() for w in words) if word in places]
        for row in rows:
            total += self._strength(row) / len(rows) * self.directions[row]
        length = float(np.linalg.norm(total))
        return total / length if length > 0 else total

    def scores(self, word: str, said: Vectors, vectors: Vectors) -> Vectors:
        """How well drawings (N, D) fit one word, float32 (N,)."""
        return np.asarray(vectors @ self.text_vector([word], said), np.float32)

    def _strength(self, row: int) -> float:
        count = float(self.counts[row])
        return STRENGTH * count / (count + PSEUDO_DRAWINGS)

    def save(self, path: Path) -> None:
        """Writes the adapter to a new file."""
        names = np.frombuffer(json.dumps(self.words).encode("utf-8"), np.uint8)
        with path.open("xb") as file:
            np.savez(file, words=names, directions=self.directions, counts=self.counts)

    @classmethod
    def load(cls, path: Path) -> Adapter:
        """The adapter from a file that `save` wrote; raises ValueError if it is damaged."""
        with np.load(path) as kept:
            words = tuple(json.loads(kept["words"].tobytes().decode("utf-8")))
            return cls(words, kept["directions"], kept["counts"])


def fit(vectors: Vectors, word_lists: Sequence[Sequence[str]], ridge: float = RIDGE) -> Adapter:
    """The adapter of described drawings: unit vectors (N, D) and the words of each."""
    if len(vectors) != len(word_lists):
        raise ValueError(f"{len(word_lists)} word lists for {len(vectors)} vectors")
    rows_of: dict[str, list[int]] = defaultdict(list)
    for row, words in enumerate(word_lists):
        for word in dict.fromkeys(w.lower() for w in words):
            rows_of[word].append(row)
    words = tuple(sorted(rows_of))
    counts = np.array([len(rows_of[w]) for w in words], np.int64)
    if not words:
        return Adapter((), np.zeros((0, vectors.shape[1]), np.float32), counts)
    centre = vectors.mean(0)
    means = np.stack([vectors[rows_of[w]].mean(0) for w in words]) - centre
    directions = np.linalg.solve(_spread(vectors - centre, ridge), means.T.astype(np.float64)).T
    lengths = np.linalg.norm(directions, axis=1, keepdims=True)
    # A word that every described drawing carries tells nothing and gets no direction.
    unit = np.divide(directions, lengths, out=np.zeros_like(directions), where=lengths > _NOTHING)
    return Adapter(words, unit.astype(np.float32), counts)


_NOTHING = 1e-6


def _spread(centred: Vectors, ridge: float) -> NDArray[np.float64]:
    # Covariance plus a ridge; with few drawings the ridge decides and the direction is nearly the plain mean.
    size = centred.shape[1]
    covariance = (centred.T @ centred).astype(np.float64) / max(1, len(centred))
    level = float(np.trace(covariance)) / size
    added = (ridge * level + 1e-9) * max(1.0, size / len(centred))
    return np.asarray(covariance + added * np.eye(size), np.float64)
