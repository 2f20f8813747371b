"""All that intake wants to know of one file, from one reading and one decoding."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

from assetlib.errors import BadPicture, DiskFull
from assetlib.imaging.cleaning.ink import judge_finish, judge_ground
from assetlib.imaging.formats import VECTOR, check_file, open_reading, reading_errors
from assetlib.imaging.formats.interface import Ask, Facts, Reading, Source
from assetlib.imaging.pages.fixing import PageFix, judge_page, page_size
from assetlib.imaging.pixels import Pixels, hash_image, hash_pixels, hash_plain, plain_pixels
from assetlib.imaging.previews import encode_pixels, reduce_pixels

MOST_BYTES = 4 << 30  # of one file: a day of scanning, not a drawing, lies above
_HELD_BYTES = 128 << 20  # files up to here are read once into memory, larger ones stream
_CHUNK = 1 << 20
_AT_ONCE = 4 << 20  # pixels of a picture that is worked on whole; of a larger one a reduced copy
_ENOUGH = 1400  # pixels of the longest side that such a copy keeps: twice what the judges and the proof take
_SHEET_SIDE = 700  # pixels of the longest side that sheets are judged at (sheets.JUDGED_SIDE)
SMALLEST_SHEET = 700  # below it a picture is no sheet: its judging would be half of all the work


@dataclass(frozen=True, slots=True)
class ProofInfo:
    """A proof in the staging folder: its file name there and its size in pixels."""

    path: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Survey:
    """One file, read: what it is, what it looks like, and its copies in staging.

    `blob` is the file name of the byte-exact copy; `ground` and `finish` are
    values of the judges in `ink`; `sheet_likeness` runs from 0 (one drawing)
    to 1 (a sheet of drawings).
    """

    facts: Facts
    sha256: str
    bytes: int
    pixel_sha256: str
    ground: str
    finish: str
    sheet_likeness: float
    proof: ProofInfo
    blob: str
    page_fix: dict[str, Any] | None = None
    """What was done to the picture to make it a flat page, as `PageFix.plain` says it; proof and judges saw that."""
    page_size: tuple[int, int] | None = None
    """Width and height of that page in pixels; None where nothing was done."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a survey is to find out: whether it is a `sheet`, and whether a `page` lies in it or is printed on."""

    sheet: bool = True
    page: bool = True


def survey(path: str, staging: str, asked: Asked = Asked()) -> Survey:
    """The survey of a file, its copy and proof written to `staging` and synced.

    Where nobody asks whether it is a sheet, its likeness to one comes back as 0.
    Raises BadPicture (nothing is left in staging) and DiskFull.
    """
    file, folder, name = Path(path), Path(staging), str(uuid.uuid4())
    size = check_file(file)
    if size > MOST_BYTES:
        raise BadPicture(f"larger than {MOST_BYTES >> 30} GB", "Save it smaller, or cut it into parts.")
    with _staged(folder, name), reading_errors():
        if size > _HELD_BYTES:
            return _survey_large(file, folder, name, asked)
        with file.open("rb") as opened:
            data = opened.read(MOST_BYTES)
        found = _look(Source(file, data), folder, name, hashlib.sha256(data).hexdigest(), len(data), asked)
        _write_synced(folder / found.blob, data)
        return found


def _survey_large(file: Path, folder: Path, name: str, asked: Asked) -> Survey:
    """The same for a file that is not held in memory: copied first, decoded from the disk."""
    blob = folder / f"{name}.blob"
    digest, length = hashlib.sha256(), 0
    with file.open("rb") as source, _disk_errors(), blob.open("wb") as copy:
        while chunk := source.read(_CHUNK):
            digest.update(chunk)
            copy.write(chunk)
            length += len(chunk)
        copy.flush()
        os.fsync(copy.fileno())
    with contextlib.closing(Source(file)) as source:
        return _look(source, folder, name, digest.hexdigest(), length, asked)


def _look(source: Source, folder: Path, name: str, sha256: str, length: int, asked: Asked) -> Survey:
    reading = open_reading(source)
    image = reading.image(Ask())
    facts = reading.facts()
    pixels, pixel_sha256 = _pixels(image, reading, facts)
    whole = image.size
    del image  # the large one goes: nobody needs it any more
    fix, pixels = _judge_page(pixels, whole) if asked.page and _may_be_page(facts) else (None, pixels)
    size = page_size(fix, whole)
    likeness = _judge_sheet(pixels, size) if asked.sheet and max(size) >= SMALLEST_SHEET else 0.0
    reduced = reduce_pixels(pixels, whole=size)
    ground = judge_ground(reduced)
    finish = judge_finish(reduced, ground)
    proof = ProofInfo(f"{name}.webp", reduced.shape[1], reduced.shape[0])
    _write_synced(folder / proof.path, encode_pixels(reduced))
    return Survey(
        facts, sha256, length, pixel_sha256, str(ground), str(finish), likeness, proof, f"{name}.blob",
        fix.plain() if fix else None, size if fix else None,
    )  # fmt: skip


def _may_be_page(facts: Facts) -> bool:
    """Whether a picture can be a photograph or scan: one page of pixels, without layers."""
    return facts.pages == 1 and not facts.layers and facts.media_type not in VECTOR


def _judge_page(pixels: Pixels, whole: tuple[int, int]) -> tuple[PageFix | None, Pixels]:
    """What makes the picture a flat page, in pixels of all of it, and that page reduced as `pixels` are."""
    judged = judge_page(pixels)
    if judged is None:
        return None, pixels
    return judged[0].enlarged(whole[0] / pixels.shape[1], whole[1] / pixels.shape[0]), judged[1]


def _pixels(image: Image.Image, reading: Reading, facts: Facts) -> tuple[Pixels, str]:
    """The pixels to judge, uint8 (H, W, 4), of a large picture reduced ones; and the hash of all of them."""
    deep = _hash_deep(reading, facts)
    if image.width * image.height <= _AT_ONCE:
        pixels = plain_pixels(image)
        return pixels, deep or hash_plain(pixels)
    step = max(1, max(image.size) // _ENOUGH)
    return plain_pixels(image.reduce(step)), deep or hash_image(image)


def _hash_deep(reading: Reading, facts: Facts) -> str | None:
    """The hash of the deep pixels, where there are any."""
    deep = reading.deep(0) if facts.bits == 16 else None
    return None if deep is None else hash_pixels(deep)


def _judge_sheet(pixels: Pixels, whole: tuple[int, int]) -> float:
    """Sheet likeness of a picture; the judge is not loaded where nobody asks."""
    from assetlib.imaging.cutting.sheets import tell_sheet

    return tell_sheet(pixels, reduce_pixels(pixels, _SHEET_SIDE, whole))


def _write_synced(path: Path, data: bytes) -> None:
    with _disk_errors(), path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


@contextlib.contextmanager
def _staged(folder: Path, name: str) -> Iterator[None]:
    """Removes what a failed survey has left in staging."""
    try:
        yield
    except BaseException:
        for suffix in (".blob", ".webp"):
            (folder / f"{name}{suffix}").unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def _disk_errors() -> Iterator[None]:
    """Turns a full disk under the library into DiskFull."""
    try:
        yield
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise DiskFull("the disk of the library is full", "Make room and run it again.") from None
        raise
