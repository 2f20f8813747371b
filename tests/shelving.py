"""Drawings on the shelf by their titles alone, for tests of what words find."""

from __future__ import annotations

from collections.abc import Sequence

from assetlib.catalogue.entries import Original
from assetlib.catalogue.fulltext import refresh_text
from assetlib.library import Library
from assetlib.services.shelf import PiecePart, add_entry
from assetlib.storage.blobs import as_digest


def put_titles(lib: Library, titles: Sequence[str]) -> dict[str, str]:
    """Put drawings with these titles on the shelf; their codes by title.

    All are pieces of one original: what is found by words does not depend on what is drawn.
    """
    kept = lib.originals.path(as_digest("0" * 64))
    kept.parent.mkdir(parents=True, exist_ok=True)
    kept.write_bytes(b"a picture that nothing here looks at")
    with lib.transaction() as session:
        original = Original(
            sha256="0" * 64, bytes=1, format="PNG", media_type="image/png", width=9, height=9, pages=1, bits=8,
            mode="L", has_alpha=False, orientation=1, ground="white paper", pixel_sha256="0" * 64, words={},
            layers=[], created_at=lib.now(),
        )  # fmt: skip
        session.add(original)
        session.flush()
        parts = [PiecePart(original.id, (0, 0, 9, 9))]
        entries = [
            add_entry(
                lib, session, role="element", title=title, title_source="artist", ground="white", parts=parts
            )
            for title in titles
        ]
        refresh_text(session, [entry.id for entry in entries])
        return {entry.title: entry.code.code for entry in entries}
