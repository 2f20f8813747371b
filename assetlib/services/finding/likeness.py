"""What looks like what: vectors searched exactly, and the artist's own words learned from the drawings that carry them.

The searched file is derived from the vectors in the catalogue, one generation
after the other; nothing that may be open is ever overwritten.
"""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assetlib.catalogue import lookup
from assetlib.errors import BadPicture, NoVectors
from assetlib.library import Library
from assetlib.services.finding import modelshelf
from assetlib.storage.durable import write_atomic
from assetlib.vectors.adapter import Adapter, fit
from assetlib.vectors.encoders import DrawingEncoder, open_encoder
from assetlib.vectors.neighbours import VectorFile, newest_generation
from assetlib.vectors.stored import unpacked

Vectors = NDArray[np.float32]

TOWARDS_CARRIERS = 1.5
"""How far a line is drawn towards the drawings that carry its words; what the text tower says weighs 1."""

SHARPLY = 3
"""Power of the share of a line that a drawing carries, by which it speaks for what the line looks like."""

LAID_OVER = 50
"""Drawings that look most like a sketch and are laid over it."""

SAMPLE = 2000
"""Drawings that stand for all of a library."""


BACKGROUND = 32
"""Drawings that a word's are seen against, at least; those without words fill up what few described ones leave. With
one word on two drawings alone its keyword mAP on the validation drawings rose from .07 to .30, and from a tenth of
the drawings described onwards it changed nothing; 16 to 64 did about the same."""


@dataclass(frozen=True, slots=True)
class Alike:
    """An entry and how like it is, as a cosine (-1 to 1)."""

    entry_id: int
    score: float


def _folder(lib: Library, encoder: DrawingEncoder) -> Path:
    return lib.derived / "vectors" / encoder.recipe


def build(lib: Library) -> None:
    """Write the searched file anew when vectors have come or gone since, and learn the artist's words anew.

    Where a newly wanted model has all its vectors by now, searches go by it from here on.
    """
    with lookup.looking(lib.catalogue) as connection:
        kept = modelshelf.due(lib, connection)
        encoder = open_encoder(kept.folder)
        folder = _folder(lib, encoder)
        state = list(lookup.vector_state(connection, encoder.recipe))
        known = folder / "state.json"
        if not known.is_file() or json.loads(known.read_text(encoding="utf-8")) != state:
            rows = lookup.vectors(connection, encoder.recipe)
            ids = np.array([row[0] for row in rows], np.int64)
            vectors = unpacked([row[1] for row in rows])
            VectorFile.write(folder, ids, vectors.astype(np.float16), newest_generation(folder) + 1)
            write_atomic(known, json.dumps(state).encode())
        _adapter(connection, folder, encoder)
    modelshelf.note_in_use(lib, kept)


def _adapter(connection: sqlite3.Connection, folder: Path, encoder: DrawingEncoder) -> Adapter:
    """The library's own words, fitted anew when a description has changed since."""
    state = (*lookup.tag_state(connection), *lookup.vector_state(connection, encoder.recipe))
    path = folder / f"words-{'-'.join(map(str, state))}.npz"
    if path.is_file():
        try:
            return Adapter.load(path)
        except (OSError, ValueError):
            path.unlink(missing_ok=True)
    words: dict[int, list[str]] = defaultdict(list)
    for entry_id, label in lookup.described(connection):
        words[entry_id].append(label)
    rows = lookup.vectors(connection, encoder.recipe, words)
    vectors, others = unpacked([row[1] for row in rows]), _others(folder, words, BACKGROUND - len(rows))
    if len(rows) and len(others):
        vectors = np.concatenate([vectors, others])
    wordless: list[list[str]] = [[] for _ in range(len(vectors) - len(rows))]
    adapter = fit(vectors, [words[row[0]] for row in rows] + wordless)
    folder.mkdir(parents=True, exist_ok=True)
    _keep(adapter, folder, path)
    return adapter


def _others(folder: Path, described: Collection[int], count: int) -> Vectors:
    """Vectors of about `count` drawings without words, taken evenly from all."""
    try:
        searched = VectorFile.open(folder)
    except NoVectors:
        return np.zeros((0, 0), np.float32)
    rows = np.flatnonzero(~np.isin(searched.ids, np.fromiter(described, np.int64, len(described))))
    chosen = rows[:: max(1, len(rows) // max(1, count))][: max(0, count)]
    return np.asarray(searched.vectors[chosen])


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
        self._lib, self._connection = lib, connection
        self._encoder = open_encoder(modelshelf.in_use(lib, connection).folder)
        self._folder = _folder(lib, self._encoder)
        try:
            self._file: VectorFile | None = VectorFile.open(self._folder)
        except NoVectors:
            self._file = None
        self._learned: Adapter | None = None
        self._sketched: list[bytes] = []

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

    def wanted(self, text: str, carriers: Mapping[int, float]) -> Vectors:
        """The vector of a line of words, drawn towards the drawings that carry it; each says so with its share."""
        said = self.said(text)
        known = self._rows(list(carriers))
        if not known:
            return said
        shares = np.array([carriers[i] for i in known], np.float32) ** SHARPLY
        vectors = (
            self._file.vectors[list(known.values())]
            if self._file is not None
            else np.zeros((0, 0), np.float32)
        )
        pointed = (shares @ vectors) / shares.sum() - self._middle
        length = float(np.linalg.norm(pointed))
        # Who carries little of the line says little of what it looks like.
        pull = TOWARDS_CARRIERS * float(max(carriers.values())) ** 2
        return np.asarray(said + pull * pointed / length if length else said, np.float32)

    @cached_property
    def _middle(self) -> Vectors:
        """What the library's drawings have in common."""
        assert self._file is not None
        return np.asarray(
            self._file.vectors[:: max(1, len(self._file.ids) // SAMPLE)].mean(axis=0), np.float32
        )

    def _rows(self, ids: list[int]) -> dict[int, int]:
        """Rows of the searched file by entry, for those of the entries that it has."""
        if self._file is None or not ids:
            return {}
        rows = np.flatnonzero(np.isin(self._file.ids, np.array(ids, np.int64)))
        return {int(self._file.ids[row]): int(row) for row in rows}

    def of(self, entry_id: int) -> Vectors | None:
        """The vector of an entry's drawing; None while it waits for upkeep."""
        rows = lookup.vectors(self._connection, self._encoder.recipe, [entry_id])
        return unpacked([rows[0][1]])[0] if rows else None

    def of_file(self, path: Path, *, sketch: bool) -> Vectors:
        """The vector of a file, decoded in a process of its own like every file; a sketch loses its ground first.

        The ink of a sketch is kept, to be laid over what looks like it. Raises BadPicture.
        """
        from assetlib.imaging.supervise import call_supervised
        from assetlib.vectors.portraits import look_and_lift, room_for

        settings = self._lib.settings
        outcome = call_supervised(
            look_and_lift,
            str(path.expanduser().absolute()),
            sketch,
            str(self._encoder.folder),
            **settings.limits(room_for(self._encoder.size)),
        )
        if outcome.value is None:
            raise BadPicture(f"{path}: {outcome.reason}", outcome.hint)
        packed, ink = outcome.value
        if ink:
            self._sketched.append(ink)
        vector: Vectors = unpacked([packed])[0]
        return vector

    def laid_over(self, found: list[Alike]) -> list[Alike]:
        """The nearest of what looks like a sketch, ordered by how well their ink lies on the sketch's as well."""
        sketched, self._sketched = self._sketched, []
        if len(sketched) != 1 or not LAID_OVER:
            return found
        from assetlib.services.finding import laying

        nearest = laying.by_ink(self._lib, self._connection, sketched[0], found[:LAID_OVER])
        least = min((alike.score for alike in nearest), default=0.0)
        return [
            *nearest,
            *(replace(alike, score=alike.score - 1 + min(0.0, least)) for alike in found[LAID_OVER:]),
        ]

    def nearest(self, query: Vectors, count: int, allowed: Collection[int] | None = None) -> list[Alike]:
        """The entries most like a vector, most like first; `allowed` are ids of entries that may be found."""
        if self._file is None or not np.any(query):
            return []
        if len(query) != self._encoder.dimension:
            raise ValueError(f"a vector of {len(query)} numbers is none of {self._encoder.recipe}")
        mask = None if allowed is None else np.isin(self._file.ids, np.fromiter(allowed, np.int64))
        scores, ids = self._file.search(query, count, mask)
        return [Alike(int(i), float(s)) for i, s in zip(ids[0], scores[0], strict=True)] if len(ids) else []


def blended(wanted: Sequence[Vectors], unwanted: Sequence[Vectors]) -> Vectors:
    """One vector to search with: the mean of what is wanted, away from what is not."""
    total = np.mean(np.stack(wanted), axis=0) if wanted else np.zeros_like(unwanted[0])
    if unwanted:
        total = total - UNLIKE_SHARE * np.mean(np.stack(unwanted), axis=0)
    length = float(np.linalg.norm(total))
    return np.asarray(total / length if length else total, np.float32)


UNLIKE_SHARE = 0.5
"""How far the search is pushed from what it shall not be like; more pushes it into nowhere (tried by eye)."""
