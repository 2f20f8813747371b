"""Telling what the library has already: the same bytes, or the same pixels in another file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Entry, Original, Piece, Version
from assetlib.imaging.survey import Survey


@dataclass(frozen=True, slots=True)
class LookedUp:
    """What is known of a file's bytes and pixels: its row, and whether files before it had them."""

    original: Original
    same_bytes: bool
    same_pixels: bool

    @property
    def maybe(self) -> bool:
        """Whether an entry may hold them already."""
        return self.same_bytes or self.same_pixels


class Hashes:
    """The rows of all originals of a batch, and which bytes and pixels are known already.

    Asked once for the whole batch: most files are new, and then nothing more need be asked of each.
    """

    def __init__(self, session: Session, results: Sequence[Survey], now: dt.datetime) -> None:
        found = _originals_like(session, results)
        self._kept = {original.sha256 for original in found}
        self._pixels = {original.pixel_sha256 for original in found}
        self._originals = {original.sha256: original for original in found}
        for result in results:
            if result.sha256 not in self._originals:
                self._originals[result.sha256] = new_original(result, now)
        session.add_all(self._originals.values())
        session.flush()

    def look_up(self, result: Survey) -> LookedUp:
        """What is known of a file; from then on its own bytes and pixels are known too."""
        found = LookedUp(
            self._originals[result.sha256],
            same_bytes=result.sha256 in self._kept,
            same_pixels=result.pixel_sha256 in self._pixels,
        )
        self._kept.add(result.sha256)
        self._pixels.add(result.pixel_sha256)
        return found


def _originals_like(session: Session, results: Sequence[Survey]) -> list[Original]:
    """The originals in the library that share bytes or pixels with any of these files."""
    return list(
        session.scalars(
            select(Original).where(
                Original.sha256.in_({result.sha256 for result in results})
                | Original.pixel_sha256.in_({result.pixel_sha256 for result in results})
            )
        )
    )


def holder_of(session: Session, result: Survey, role: str | None) -> Entry | None:
    """The entry that holds these bytes or these pixels already.

    A picture that is known as a reference stays one unless the artist says outright what it is to be:
    somebody's photograph must not become an element unnoticed. A layered file is never taken for the
    flat picture it looks like.
    """
    query = (
        select(Entry, Original)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
        .join(Original, Original.id == Piece.original_id)
        # a drawing cut from its layers without their ground is still the one of its file
        .where(Piece.reading_order.is_(None), Entry.removed_at.is_(None))
        .order_by(Entry.id)
    )
    if role is not None:
        query = query.where(Entry.role == role)
    layered = len(result.facts.layers) > 1
    same = list(session.execute(query.where(Original.sha256 == result.sha256)))
    if not same:
        same = [
            row
            for row in session.execute(query.where(Original.pixel_sha256 == result.pixel_sha256))
            if result.facts.pages == row[1].pages and layered == (len(row[1].layers) > 1)
        ]
    references = [row[0] for row in same if row[0].role == "reference"]
    return references[0] if references else (same[0][0] if same else None)


class SeenHere:
    """What came in as new in this intake: a double of it is told by its name, in a trial run as in a real one."""

    def __init__(self) -> None:
        self._by_bytes: dict[str, str] = {}
        self._by_pixels: dict[tuple[str, int, bool], str] = {}

    def note(self, name: str, result: Survey) -> None:
        """Keep the name of a file that is new."""
        self._by_bytes[result.sha256] = self._by_pixels[_looks(result)] = name

    def told(self, name: str, result: Survey) -> str | None:
        """Of which new file this one is a double, in words; None where it is none, by the rules of `holder_of`.

        One of the same pixels has bytes of its own, of which later files may be doubles again.
        """
        if result.sha256 in self._by_bytes:
            return f"same file as {self._by_bytes[result.sha256]} of this intake"
        first = self._by_pixels.get(_looks(result))
        if first is None:
            return None
        self._by_bytes[result.sha256] = name
        return f"same picture as {first} of this intake"


def _looks(result: Survey) -> tuple[str, int, bool]:
    """What files of the same pixels share: a layered one is not the flat picture that it looks like."""
    return result.pixel_sha256, result.facts.pages, len(result.facts.layers) > 1


def how_known(holder: Entry, same_bytes: bool) -> str:
    """How a file is known, in words."""
    how = "same file" if same_bytes else "same picture"
    if holder.role == "reference":
        how += ", known as a reference"
    return how + (", in the attic" if holder.in_attic else "")


def new_original(result: Survey, now: dt.datetime) -> Original:
    """The row of an original, from what its survey told."""
    facts = result.facts
    words = facts.words
    return Original(
        sha256=result.sha256,
        bytes=result.bytes,
        format=facts.format,
        media_type=facts.media_type,
        width=facts.size[0],
        height=facts.size[1],
        pages=facts.pages,
        bits=facts.bits,
        mode=facts.mode,
        has_alpha=facts.has_alpha,
        x_dpi=facts.resolution[0] if facts.resolution else None,
        y_dpi=facts.resolution[1] if facts.resolution else None,
        orientation=facts.orientation_applied,
        icc=facts.icc,
        ground=result.ground,
        pixel_sha256=result.pixel_sha256,
        words={
            "title": words.title,
            "description": words.description,
            "keywords": list(words.keywords),
            "creator": words.creator,
            "licence": words.licence,
        },
        layers=[
            {
                "path": layer.path,
                "name": layer.name,
                "visible": layer.visible,
                "kind": layer.kind,
                "box": list(layer.box),
            }
            for layer in facts.layers
        ],
        note=facts.note,
        created_at=now,
    )
