"""What looks like what: vectors searched exactly, and the artist's own words learned from the drawings that carry them.

The searched file is derived from the vectors in the catalogue, one generation
after the other; nothing that may be open is ever overwritten.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.catalogue import lookup
from assetlib.library import Library
from assetlib.storage.durable import write_atomic
from assetlib.vectors.adapter import Adapter, fit
from assetlib.vectors.encoders import DrawingEncoder, open_encoder
from assetlib.vectors.looks import unpacked
from assetlib.vectors.neighbours import NoVectors, VectorFile, newest_generation

Vectors = NDArray[np.float32]

STANDS_OUT = 1.5
"""Standard deviations above the library's mean likeness from which a drawing is offered for words that it does not
carry: on the validation drawings that is about the first tenth. Common sense rather than a fitted number."""

LEAST_DRAWINGS = 8
"""Under so many drawings nothing stands out from the rest."""


@dataclass(frozen=True, slots=True)
class Alike:
    """An entry and how like it is, as a cosine (-1 to 1)."""

    entry_id: int
    score: float


def _folder(lib: Library, encoder: DrawingEncoder) -> Path:
    return lib.derived / "vectors" / f"{encoder.name}-{encoder.digest[:12]}"


def _recipe(encoder: DrawingEncoder) -> str:
    return f"{encoder.name}-{encoder.digest[:12]}"


def build(lib: Library) -> None:
    """Write the searched file anew when vectors have come or gone since, and learn the artist's words anew."""
    encoder = open_encoder()
    folder = _folder(lib, encoder)
    with lookup.looking(lib.catalogue) as connection:
        state = list(lookup.vector_state(connection, _recipe(encoder)))
        known = folder / "state.json"
        if not known.is_file() or json.loads(known.read_text(encoding="utf-8")) != state:
            rows = lookup.vectors(connection, _recipe(encoder))
            ids = np.array([row[0] for row in rows], np.int64)
            vectors = unpacked([row[1] for row in rows])
            VectorFile.write(folder, ids, vectors.astype(np.float16), newest_generation(folder) + 1)
            write_atomic(known, json.dumps(state).encode())
        _adapter(connection, folder, encoder)


def _adapter(connection: sqlite3.Connection, folder: Path, encoder: DrawingEncoder) -> Adapter:
    """The library's own words, fitted anew when a description has changed since."""
    state = (*lookup.tag_state(connection), *lookup.vector_state(connection, _recipe(encoder)))
    path = folder / f"words-{'-'.join(map(str, state))}.npz"
    if path.is_file():
        try:
            return Adapter.load(path)
        except (OSError, ValueError):
            path.unlink(missing_ok=True)
    words: dict[int, list[str]] = defaultdict(list)
    for entry_id, label in lookup.described(connection):
        words[entry_id].append(label)
    rows = lookup.vectors(connection, _recipe(encoder), words)
    adapter = fit(unpacked([row[1] for row in rows]), [words[row[0]] for row in rows])
    folder.mkdir(parents=True, exist_ok=True)
    _keep(adapter, folder, path)
    return adapter


def _keep(adapter: Adapter, folder: Path, path: Path) -> None:
    """Keep a fitted adapter for the next search; another process may be keeping the same."""
    for older in folder.glob("words-*.npz"):
        older.unlink(missing_ok=True)
    try:
        adapter.save(path)
    except FileExistsError:
        return


class Looks:
    """The vectors of a library, opened for one or many questions."""

    def __init__(self, lib: Library, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._encoder = open_encoder()
        self._folder = _folder(lib, self._encoder)
        try:
            self._file: VectorFile | None = VectorFile.open(self._folder)
        except NoVectors:
            self._file = None
        self._learned: Adapter | None = None

    @property
    def ready(self) -> bool:
        """Whether there is anything to search."""
        return self._file is not None and len(self._file.ids) > 0

    def said(self, text: str) -> Vectors:
        """The vector of a line of words, drawn towards the drawings that carry them; zeros when it says nothing."""
        said = self._encoder.text([text])[0]
        if self._learned is None:
            self._learned = _adapter(self._connection, self._folder, self._encoder)
        return self._learned.text_vector(self._learned.words_in(text), said)

    def of(self, entry_id: int) -> Vectors | None:
        """The vector of an entry's drawing; None while it waits for upkeep."""
        rows = lookup.vectors(self._connection, _recipe(self._encoder), [entry_id])
        return unpacked([rows[0][1]])[0] if rows else None

    def nearest(self, query: Vectors, count: int, allowed: Collection[int] | None = None) -> list[Alike]:
        """The entries most like a vector, most like first; `allowed` are ids of entries that may be found."""
        if self._file is None or not np.any(query):
            return []
        mask = None if allowed is None else np.isin(self._file.ids, np.fromiter(allowed, np.int64))
        scores, ids = self._file.search(query, count, mask)
        return [Alike(int(i), float(s)) for i, s in zip(ids[0], scores[0], strict=True)] if len(ids) else []

    def standing_out(self, query: Vectors, count: int) -> list[Alike]:
        """Those of the nearest that are clearly more like the query than the library's drawings are."""
        if self._file is None or len(self._file.ids) < LEAST_DRAWINGS or not np.any(query):
            return []
        sample = self._file.vectors[:: max(1, len(self._file.ids) // 2000)] @ query
        least = float(sample.mean() + STANDS_OUT * sample.std())
        return [alike for alike in self.nearest(query, count) if alike.score >= least]


def blended(wanted: Sequence[Vectors], unwanted: Sequence[Vectors]) -> Vectors:
    """One vector to search with: the mean of what is wanted, away from what is not."""
    total = np.mean(np.stack(wanted), axis=0) if wanted else np.zeros_like(unwanted[0])
    if unwanted:
        total = total - UNLIKE_SHARE * np.mean(np.stack(unwanted), axis=0)
    length = float(np.linalg.norm(total))
    return np.asarray(total / length if length else total, np.float32)


UNLIKE_SHARE = 0.5
"""How far the search is pushed from what it shall not be like; more pushes it into nowhere (tried by eye)."""
