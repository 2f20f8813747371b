"""One page of a sheet, cut in a worker process: plain values in, plain values out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from assetlib.imaging.cutting.overlay import overlay, with_fix
from assetlib.imaging.cutting.sheets import Box, CutSettings, cut
from assetlib.imaging.formats import read_facts, read_picture
from assetlib.imaging.masks import pack_mask
from assetlib.imaging.pages.fixing import judge_page

QUICKLY = (
    1  # PNG compression of an overlay, looked at once: a fifth larger than usual, in a fifth of the time
)


@dataclass(frozen=True, slots=True)
class CutJob:
    """Which page to cut and how; `overlay` is where a picture with numbered boxes is to be written."""

    path: str
    page: int = 0
    settings: CutSettings = field(default_factory=CutSettings)
    overlay: str | None = None


@dataclass(frozen=True, slots=True)
class CutElement:
    """An element on the page: its place in reading order from 1, its box and mask, and its caption's box."""

    order: int
    box: Box
    mask: bytes
    caption_box: Box | None
    numbers: tuple[int, ...]
    """What corrections call it: pieces of the uncorrected cut."""


@dataclass(frozen=True, slots=True)
class CutPage:
    """A page in elements; `size` is (width, height) in pixels."""

    size: tuple[int, int]
    elements: tuple[CutElement, ...]
    kind: str
    missing: tuple[int, ...] = ()
    empty: tuple[Box, ...] = ()
    """Corrections that found nothing: numbers that are not there, boxes without ink."""
    page_fix: dict[str, Any] | None = None
    """What was done to the picture before it was cut, as `PageFix.plain` says it."""
    is_sheet: float = 0.0
    """How surely the page is several drawings, 0..1."""
    picture: tuple[int, int] = (0, 0)
    """Width and height of the picture before anything was done to it."""
    whole: tuple[int, ...] = ()
    """Numbers that were to be split, and that nothing parts."""


def count_pages(path: str) -> int:
    """How many pages a file has. Raises BadPicture."""
    return read_facts(path).pages


def cut_page(job: CutJob) -> CutPage:
    """The elements of a page. Raises BadPicture."""
    picture = read_picture(job.path, page=job.page)
    taken = (picture.shape[1], picture.shape[0])
    judged = None if job.settings.as_it_is else judge_page(picture)
    whole = picture if job.overlay is not None else None
    fix, picture = (None, picture) if judged is None else judged
    del judged
    result = cut(picture, job.settings)
    if job.overlay is not None:
        shown = overlay(picture, result)
        if fix is not None and whole is not None:
            shown = with_fix(shown, whole, fix)
        shown.save(job.overlay, compress_level=QUICKLY)
    elements = tuple(
        CutElement(
            piece.order,
            tuple(int(v) for v in piece.box),  # type: ignore[arg-type]
            pack_mask(piece.mask),
            piece.caption_box,
            piece.numbers,
        )
        for piece in result.pieces
    )
    told = fix.plain() if fix is not None else None
    return CutPage(
        result.size,
        elements,
        result.kind,
        result.missing,
        result.empty,
        told,
        result.is_sheet,
        taken,
        result.whole,
    )
