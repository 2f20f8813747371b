"""A version's picture, put together from the pieces of originals that it is made of.

The functions here run in worker processes: they take plain values and paths, and give plain values back.
"""

from __future__ import annotations

import io
import json
import os
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from assetlib.imaging.cleaning.blemishes import Blemish, Removal, clean, propose, still_there
from assetlib.imaging.cleaning.copying import GROUND_TONE, find_openings, make_copy
from assetlib.imaging.cleaning.ink import judge_finish, judge_ground, lift, lift_piece
from assetlib.imaging.cleaning.openings import openings_overlay
from assetlib.imaging.cleaning.pagewide import PageGround
from assetlib.imaging.cleaning.polarity import ground_tone
from assetlib.imaging.cleaning.sureness import with_blemishes, with_tried
from assetlib.imaging.cleaning.unasked import LEFT_IN, take_dust, take_out, take_rim
from assetlib.imaging.formats import read_picture
from assetlib.imaging.masks import unpack_mask
from assetlib.imaging.pages.fixing import PageFix, fix_page
from assetlib.imaging.rulers import with_rulers

Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]
INK_SHOWS = 40  # alpha from which ink is seen


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """A part of an original: where its bytes are and which of its oriented pixels are meant.

    The box of a layer may reach out of the canvas, as the layer does.
    """

    path: str
    box: tuple[int, int, int, int]
    page: int = 0
    layer: str | None = None
    resolution: float | None = None
    mask: bytes | None = None
    """1-bit PNG of the size of the box; None takes the whole box."""
    page_fix: PageFix | None = None
    """What is done to the original first; box and mask are in pixels of what comes of it."""


@dataclass(frozen=True, slots=True)
class PicturePlan:
    """All pieces of a version, bottom first, and where a file made of it is to be written."""

    pieces: tuple[PiecePlan, ...]
    target: str = ""
    openings: tuple[tuple[int, int, bool], ...] = ()
    """Openings the artist switched: a pixel inside each, x and y, and whether it is open."""
    blemishes: tuple[str, ...] = ()
    """Kinds of blemish that are taken out of the clean copy; after `LEFT_IN`, that stay in it."""
    dpi: tuple[float, float] | None = None
    """Pixels an inch across and down, where an original says so; what is written says it too."""

    caption: tuple[int, int, int, int] | None = None
    """The box of its caption, in pixels of the page that the first piece lies on."""

    @property
    def choices(self) -> str:
        """The artist's choices in one text, to tell whether a clean copy was made with the same."""
        return json.dumps([sorted(self.openings), sorted(self.blemishes)])


@dataclass(frozen=True, slots=True)
class OpeningNote:
    """An enclosed paper area by its number: box x, y, w, h, a pixel inside it, whether the ground shows through."""

    number: int
    box: tuple[int, int, int, int]
    inside: tuple[int, int]
    is_open: bool


@dataclass(frozen=True, slots=True)
class CleanCopies:
    """Files of a clean copy: the ink alone, the ink over its body, the body as a mask; and what was told of them."""

    ink: str
    body: str
    mask: str
    openings: tuple[OpeningNote, ...]
    removed: tuple[tuple[str, tuple[int, int, int, int]], ...]
    """Blemishes taken out: kind and box."""
    choices: str
    """The artist's choices that they were made with, as `PicturePlan.choices` says them."""
    sure: str = "sure"
    """sure, look at it, or cannot; and why not sure."""
    sure_why: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()
    """Kinds of blemish that seem to be on its page, which can be taken out."""


@dataclass(frozen=True, slots=True)
class ProofMade:
    """The file of a proof, and how the drawing is finished as it shows there."""

    path: str
    finish: str


def assemble(plan: PicturePlan) -> Pixels:
    """The picture of a version: uint8 (H, W, 4), straight alpha; what a mask leaves out is transparent.

    Raises BadPicture.
    """
    if _are_layers(plan.pieces):
        return _blended(plan.pieces)
    cut = [_cut(piece) for piece in plan.pieces]
    if len(cut) == 1:
        return cut[0]
    left = min(piece.box[0] for piece in plan.pieces)
    top = min(piece.box[1] for piece in plan.pieces)
    right = max(piece.box[0] + piece.box[2] for piece in plan.pieces)
    bottom = max(piece.box[1] + piece.box[3] for piece in plan.pieces)
    whole = Image.new("RGBA", (right - left, bottom - top))
    for piece, pixels in zip(plan.pieces, cut, strict=True):
        layer = Image.fromarray(pixels)
        whole.alpha_composite(layer, (piece.box[0] - left, piece.box[1] - top))
    return np.array(whole)


def _are_layers(pieces: tuple[PiecePlan, ...]) -> bool:
    """Whether pieces are several layers of one file and nothing else: how they blend stands in it."""
    first = pieces[0]
    return len(pieces) > 1 and all(
        piece.layer is not None and piece.mask is None and piece.path == first.path for piece in pieces
    )


def _blended(pieces: tuple[PiecePlan, ...]) -> Pixels:
    layers = tuple(piece.layer for piece in pieces if piece.layer is not None)
    left, top = (min(piece.box[k] for piece in pieces) for k in (0, 1))
    right, bottom = (max(piece.box[k] + piece.box[k + 2] for piece in pieces) for k in (0, 1))
    whole = read_picture(pieces[0].path, page=pieces[0].page, together=layers)
    return whole[top:bottom, left:right].copy()


def _cut(piece: PiecePlan) -> Pixels:
    pixels = assemble_piece(piece)
    if piece.mask is not None:
        pixels[~unpack_mask(piece.mask)] = 0
    return pixels


def assemble_piece(piece: PiecePlan) -> Pixels:
    """What stands in the box of a piece, without its mask: uint8 (h, w, 4). Raises BadPicture."""
    x, y, w, h = piece.box
    page, _ = _page_of(piece)
    outside = x < 0 or y < 0 or x + w > page.shape[1] or y + h > page.shape[0]
    if piece.layer is not None and outside:
        return read_picture(piece.path, page=piece.page, layer=piece.layer, box=piece.box)
    return page[y : y + h, x : x + w].copy()


_last_page: dict[tuple[object, ...], tuple[Pixels, PageGround]] = {}
"""The page that was read last, alone: drawings come sheet by sheet, and most of the time goes into their page."""


def _page_of(piece: PiecePlan) -> tuple[Pixels, PageGround]:
    key = (piece.path, _state(piece.path), piece.page, piece.layer, piece.resolution, piece.page_fix)
    if key not in _last_page:
        _last_page.clear()  # first, so that there are never two pages in memory
        picture = read_picture(piece.path, page=piece.page, layer=piece.layer, resolution=piece.resolution)
        page = fix_page(picture, piece.page_fix)
        page.flags.writeable = False
        _last_page[key] = page, PageGround(page)
    return _last_page[key]


def _state(path: str) -> tuple[int, int] | None:
    """What changes when a file does; None for one that cannot be read."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns


@dataclass(frozen=True, slots=True)
class _Lifted:
    """A picture without its blemishes, its ink, the blemishes, and where it may go on.

    `rim` is 1 for top, bottom, left and right where bare page follows: a drawing that was cut out ends there,
    while one that meets the border of its picture runs out of it.
    """

    picture: Pixels
    ink: Pixels
    removed: tuple[Removal, ...]
    rim: tuple[tuple[int, int], tuple[int, int]] = ((0, 0), (0, 0))
    page: Pixels | None = None
    """The page that it was cut from, where it was."""
    ground: PageGround | None = None
    """The ground of that page."""
    still: tuple[str, ...] = ()
    """Kinds of blemish that were taken out and are still seen."""


def _lifted(plan: PicturePlan, copied: bool = False) -> _Lifted:
    """The ink of a version. Of a piece that was cut out by a mask, the page tells what paper is.

    What does not belong to such a piece comes back white, on the ground of its sheet. Where it is `copied` clean,
    blemishes beyond doubt are taken out unasked.
    """
    (piece, *others) = plan.pieces
    mask = None if others or piece.mask is None else unpack_mask(piece.mask)
    if mask is None:
        page = assemble(plan)
        ground, box = PageGround(page), (0, 0, page.shape[1], page.shape[0])
    else:
        (page, ground), box = _page_of(piece), piece.box
    x, y, w, h = box
    before = page[y : y + h, x : x + w]
    picture, removed = _without_blemishes(before.copy(), plan.blemishes)
    if copied:
        removed += take_out(picture, ground, box, plan.blemishes)
    ink = lift(picture) if mask is None else lift_piece(picture, mask, page, box, ground)
    taken = removed
    if copied:
        removed += take_dust(ink, ground, box, plan.blemishes)
        removed += take_rim(ink, plan.blemishes) if mask is None else ()
    still = _still(before, picture, ink, taken)
    if mask is None:
        return _Lifted(picture, ink, removed, still=still)
    picture[~mask, :3] = 255
    rim = ((int(y > 0), int(y + h < page.shape[0])), (int(x > 0), int(x + w < page.shape[1])))
    return _Lifted(picture, ink, removed, rim, page, ground, still)


def _still(before: Pixels, after: Pixels, ink: Pixels, removed: tuple[Removal, ...]) -> tuple[str, ...]:
    kinds = {item.blemish for item in removed}
    return tuple(still_there(before, after, kinds, removed, ink[..., 3] > INK_SHOWS)) if removed else ()


def _without_blemishes(picture: Pixels, names: tuple[str, ...]) -> tuple[Pixels, tuple[Removal, ...]]:
    kinds = [Blemish(name) for name in names if name != GROUND_TONE and not name.startswith(LEFT_IN)]
    if not kinds:
        return picture, ()
    cleaned, removed = clean(picture, kinds)
    return cleaned.copy(), removed


def seen(plan: PicturePlan) -> Pixels:
    """A version as people see it: the whole picture, or, cut from a sheet, what was cut out without the paper."""
    masked = any(piece.mask is not None for piece in plan.pieces)
    if not masked:
        return assemble(plan)
    lifted = _lifted(plan)
    # light line would not show on white: it is shown on its own ground
    on_dark = ground_tone(
        lifted.page if lifted.page is not None else lifted.picture, lifted.ink, lifted.ground
    )
    return lifted.ink if on_dark is None else assemble(plan)


def write_proof(plan: PicturePlan) -> ProofMade:
    """Write the proof of a version to the plan's target, synced."""
    from assetlib.imaging.previews import encode_proof, reduce_image

    reduced = reduce_image(Image.fromarray(seen(plan)))
    pixels = np.asarray(reduced.convert("RGBA"), np.uint8)
    finish = judge_finish(pixels, judge_ground(pixels))
    return ProofMade(write_synced(plan.target, encode_proof(reduced)), str(finish))


def write_clean(plan: PicturePlan) -> CleanCopies:
    """Write the clean copies of a version as PNGs beside the plan's target, synced; returns where and what."""
    lifted = _lifted(plan, copied=True)
    white = GROUND_TONE in plan.blemishes
    page = lifted.picture if lifted.page is None else lifted.page
    copy = make_copy(lifted.picture, lifted.ink, page, plan.openings, lifted.rim, white)
    seen_on_it = propose(page, _on_page(lifted, plan))
    taken = {item.blemish.value for item in lifted.removed}
    settled = taken | {name.removeprefix(LEFT_IN) for name in plan.blemishes}
    left_in = [kind for kind in seen_on_it if kind not in settled]
    nothing = [kind for kind in seen_on_it if kind in plan.blemishes and kind not in taken]
    sure = with_tried(with_blemishes(copy.sure, left_in), nothing, lifted.still)
    ink = Image.fromarray(copy.ink)
    layer, openings = copy.layer, copy.openings
    bodied = Image.fromarray(layer)
    bodied.alpha_composite(ink)
    stem = plan.target.removesuffix(".png")
    return CleanCopies(
        write_synced(plan.target, _png(ink, plan.dpi)),
        write_synced(f"{stem}-body.png", _png(bodied, plan.dpi)),
        write_synced(f"{stem}-mask.png", _png(Image.fromarray(layer[..., 3]), plan.dpi)),
        tuple(OpeningNote(o.number, o.box, _inside(o.mask), o.is_open) for o in openings),
        tuple((item.blemish.value, item.box) for item in lifted.removed),
        plan.choices,
        sure.level.value,
        sure.why,
        seen_on_it,
    )


def _on_page(lifted: _Lifted, plan: PicturePlan) -> Mask:
    """Where on its page the ink of a drawing is, bool (H, W)."""
    ink = lifted.ink[..., 3] > INK_SHOWS
    if lifted.page is None:
        return np.asarray(ink)
    x, y, w, h = plan.pieces[0].box
    where = np.zeros(lifted.page.shape[:2], np.bool_)
    where[y : y + h, x : x + w] = ink
    return where


def write_openings(plan: PicturePlan) -> str:
    """Write a picture with the openings numbered, and rulers, to the plan's target; returns the target."""
    lifted = _lifted(plan, copied=True)
    _, openings = find_openings(lifted.picture, lifted.ink, plan.openings, lifted.rim)
    return write_synced(plan.target, _png(with_rulers(openings_overlay(lifted.picture, openings))))


def _inside(mask: NDArray[np.bool_]) -> tuple[int, int]:
    """A pixel of a mask, as far from its edges as any."""
    depth = cv2.distanceTransform(np.pad(mask, 1).astype(np.uint8), cv2.DIST_L2, 3)[1:-1, 1:-1]
    y, x = np.unravel_index(int(depth.argmax()), depth.shape)
    return int(x), int(y)


def _png(image: Image.Image, dpi: tuple[float, float] | None = None) -> bytes:
    """The picture as a PNG; its pHYs chunk says the resolution where there is one."""
    buffer = io.BytesIO()
    image.save(buffer, "PNG", **({"dpi": dpi} if dpi else {}))
    return buffer.getvalue()


def write_synced(target: str, data: bytes) -> str:
    """Write a file and have it on the disk; returns its path."""
    with open(target, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    return target
