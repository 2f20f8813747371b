"""A catalogue as the first schema wrote it, where every correction of a cut was a version of its own."""

from __future__ import annotations

import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import numpy as np
from PIL import Image

from assetlib.catalogue import schema

NOW = "2026-03-14T12:00:00.000000Z"
SIDE = 200
"""Pixels of the square that every drawing is made of."""

MOVES = (0, 2, 60)
"""How far its box stood to the left at each cutting: what moves 2 pixels is hardly changed, what moves 60 much."""

VECTOR = bytes(1024)
FINGERPRINT = bytes(6000)


def mask() -> bytes:
    """All pixels of the square, as a 1-bit PNG."""
    buffer = io.BytesIO()
    Image.fromarray(np.ones((SIDE, SIDE), np.bool_)).save(buffer, "PNG")
    return buffer.getvalue()


def fill(path: Path, count: int) -> None:
    """`count` elements on one sheet: every fourth was cut twice, every twelfth three times; all are answered for.

    The answers and decisions are said of the first cutting. Element 12 was issued as it was cut second.
    """
    schema.migrate(path, "0001")
    with closing(sqlite3.connect(path)) as connection, connection:
        put = connection.executemany
        connection.execute(
            "INSERT INTO originals VALUES (1, ?, 1, 'PNG', 'image/png', 9, 9, 1, 8, 'L', 0, NULL, NULL, 1, NULL,"
            " 'white paper', 'p', '{}', '[]', NULL, ?)",
            ("0" * 64, NOW),
        )
        connection.execute("INSERT INTO recipes VALUES (1, 'vector', 'r', '{}', ?)", (NOW,))
        numbers = range(1, count + 1)
        put(
            "INSERT INTO codes VALUES (?, ?, 'element', ?)",
            [(n, f"{n:06}".translate(LETTERS), NOW) for n in numbers],
        )
        versions = [(3 * n + k, n, k + 1) for n in numbers for k in range(cuttings(n))]
        put(
            "INSERT INTO entries VALUES (?, ?, 'element', ?, 'artist', NULL, 0, NULL, ?, NULL)",
            [(n, f"{n:036}", f"drawing {n}", NOW) for n in numbers],
        )
        put(
            "INSERT INTO versions VALUES (?, ?, ?, ?, ?, ?, 'white paper', ?, ?)",
            [(v, f"v{v:035}", n, k, SIDE, SIDE, NOW, "brought in" if k == 1 else "cut again")
             for v, n, k in versions],
        )  # fmt: skip
        put("UPDATE entries SET current_version_id = ? WHERE id = ?", [(v, n) for v, n, _ in versions])
        put(
            "INSERT INTO pieces (version_id, ordinal, original_id, page, x, y, w, h, mask, reading_order)"
            " VALUES (?, 0, 1, 0, ?, 0, ?, ?, ?, ?)",
            [(v, 300 * n - MOVES[k - 1], SIDE, SIDE, mask(), n) for v, n, k in versions],
        )
        put("INSERT INTO vectors VALUES (?, 1, ?)", [(v, VECTOR) for v, *_ in versions])
        put("INSERT INTO fingerprints VALUES (?, 1, ?)", [(v, FINGERPRINT) for v, *_ in versions])
        put(
            "INSERT INTO derived (version_id, recipe_id, path, made_at) VALUES (?, 1, 'x.webp', ?)",
            [(v, NOW) for v, *_ in versions],
        )
        put(
            "INSERT INTO origin_answers (version_id, question, value, evidence, answered_at) VALUES (?, ?, ?, ?, ?)",
            [(3 * n, "origin", "traced-from-found", "[]", NOW) for n in numbers],
        )
        put(
            "INSERT INTO pair_decisions (a_id, b_id, verdict, decided_at) VALUES (?, ?, 'different', ?)",
            [(3 * n, 3 * n + 3, NOW) for n in numbers if n < count],
        )
        connection.execute("INSERT INTO opening_choices (version_id, x, y, is_open) VALUES (37, 5, 6, 1)")
        connection.execute("INSERT INTO codes VALUES (900001, 'BBBBBB', 'collection', ?)", (NOW,))
        connection.execute("INSERT INTO codes VALUES (900002, 'BBBBBC', 'bundle', ?)", (NOW,))
        connection.execute("INSERT INTO collections VALUES (900001, 'u', 'Squares', 'one artist', ?)", (NOW,))
        connection.execute(
            "INSERT INTO bundles VALUES (900002, 'w', 900001, 1, 'one artist', '2026-03-14', 'b.zip', 's', 1, '{}', ?)",
            (NOW,),
        )
        connection.execute(
            "INSERT INTO bundle_items VALUES (1, 900002, 37, 0, ?)", (json.dumps({"state": "clear"}),)
        )


LETTERS = str.maketrans("0123456789", "CDFGHJKMNP")


def cuttings(number: int) -> int:
    """How often an element was cut."""
    return 3 if number % 12 == 0 else 2 if number % 4 == 0 else 1
