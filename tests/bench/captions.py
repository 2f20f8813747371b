"""How well captions are read, printed and lettered by hand; run by hand, with `pip install '.[captions]'`.

python -m tests.bench.captions [--half tune|report|fresh] [--show]

Pages of six drawings with a caption under each (lines/captions.txt), flat, scanned or photographed; the tool cuts them
and reads the captions it found itself. Fonts, words and drawings of one half are not those of the other. Printed:
Debian's fonts-dejavu, fonts-liberation, fonts-urw-base35; hand: fonts that were made from somebody's hand
(fonts-dkg-handwriting, -breip, -bwht, -femkeklaver, -humor-sans, -rufscript, -kristi, -klee), every letter set apart,
turned and pressed a little differently. Agreement is with what was written: to the letter, and with case, punctuation
and spaces set aside. *Offered* is what the library offers as a title. What a font cannot write (accents, mostly) is
written without. The fresh part has other fonts, of which three are cuts of the tuning
part's hands, and was made after the last rule was.
"""

from __future__ import annotations

import argparse
import re
import tempfile
import unicodedata
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont
from sqlalchemy.orm import Session

from assetlib.config import Settings
from assetlib.imaging.assembly import PicturePlan, PiecePlan
from assetlib.imaging.cutting.cutwork import CutJob, cut_page
from assetlib.imaging.lettering import Lettering, caption_picture, read_lettering
from assetlib.imaging.pages.fixing import fix_from
from assetlib.services.describing.captions import least_sure, title_of
from assetlib.services.keeping.starting import start_library
from tests.bench.page_photos import photograph
from tests.bench.sheet_finish import scan_page
from tests.bench.sheet_page import Page, drawing_for

LINES = Path(__file__).with_name("lines") / "captions.txt"
FONTS = Path("/usr/share/fonts")
PRINTED = (
    "truetype/dejavu/DejaVuSans.ttf", "truetype/liberation/LiberationSerif-Italic.ttf",
    "truetype/dejavu/DejaVuSerif-Bold.ttf", "opentype/urw-base35/P052-Roman.otf",
    "truetype/liberation/LiberationSans-Regular.ttf", "opentype/urw-base35/URWBookman-LightItalic.otf",
    "truetype/dejavu/DejaVuSansMono.ttf", "opentype/urw-base35/NimbusSansNarrow-Regular.otf",
)  # fmt: skip
HAND = (
    "truetype/fifthhorseman/dkg.ttf", "truetype/femkeklaver/femkeklaver.ttf",
    "opentype/bwht/BecauseWeBuild-Regular.otf", "truetype/breip/Breip.ttf",
    "truetype/rufscript/Rufscript010.ttf", "truetype/humor-sans/Humor-Sans.ttf",
    "opentype/bwht/BecauseWeLearn-Regular.otf", "opentype/bwht/BecauseWeMentor-Regular.otf",
    "truetype/klee/KleeOne-Regular.ttf", "truetype/kristi/Kristi.ttf",
    "opentype/bwht/BecauseWeConnect-Regular.otf", "opentype/bwht/BecauseWeOrganize-Regular.otf",
)  # fmt: skip
FRESH = (
    "opentype/bwht/BecauseWeCreate-Regular.otf", "truetype/fifthhorseman/dkgIt.ttf",
    "opentype/dancingscript/DancingScript-Regular.otf", "opentype/comic-neue/ComicNeue-LightItalic.otf",
    "truetype/klee/KleeOne-SemiBold.ttf", "truetype/fifthhorseman/dkgBd.ttf",
)  # fmt: skip
HOWS = ("flat", "flat", "scan", "photo")
A_PAGE = 6
SIZES = (30, 64)
"""Pixels of a letter's height with its room, on a page 2,000 wide: 3 to 7 mm on A4, as people letter sheets (common
practice, no source)."""


@dataclass(frozen=True)
class Told:
    """A caption as it was written, and what came of it; `read` is None where no caption was found there."""

    wrote: str
    kind: str
    how: str
    found: bool
    read: Lettering | None
    offered: str | None = None


def lettered(text: str, font: ImageFont.FreeTypeFont, rng: np.random.Generator) -> Image.Image:
    """A line as a hand writes it, ink 0..255: letters a little up and down, apart, turned, pressed."""
    size = font.size
    line = Image.new("L", (round(font.getlength(text) * 1.3) + 4 * round(size), round(size * 2.4)))
    x, slope = float(size), rng.normal(0, 0.008)
    for letter in text:
        glyph = Image.new("L", (round(size * 2.4), round(size * 2.4)))
        ImageDraw.Draw(glyph).text(
            (size * 0.7, size * 0.5), letter, fill=int(rng.integers(190, 256)), font=font
        )
        glyph = glyph.rotate(rng.normal(0, 2.0), Image.Resampling.BICUBIC)
        at = (round(x - size * 0.7), round(rng.normal(0, 0.02) * size + slope * x))
        line.paste(255, at, glyph)
        x += font.getlength(letter) * rng.uniform(0.97, 1.07) + rng.normal(0, 0.012) * size
    return line.crop(line.getbbox())


def writable(text: str, font: ImageFont.FreeTypeFont) -> str:
    """The text in letters that a font has: an accent that it lacks goes."""
    missing = bytes(font.getmask("\uffff"))
    letters = (
        letter
        if letter.isascii() or bytes(font.getmask(letter)) not in (missing, b"")
        else unicodedata.normalize("NFD", letter)[0]
        for letter in text
    )
    return "".join(letters)


def made(kind: str, half: str, number: int, texts: list[str]) -> tuple[np.ndarray, list[np.ndarray], str]:
    """A page uint8 (H, W, 4), the middle of each drawing as a share of the flat page, and how it came to be seen."""
    rng = np.random.default_rng([number, kind == "hand", half == "tune", 2026 + (half == "fresh")])
    fonts = (HAND if kind == "hand" else PRINTED)[0 if half == "tune" else 1 :: 2]
    if half == "fresh":
        fonts, half = (FRESH if kind == "hand" else PRINTED[::-1]), "report"
    page = Page(2000, 2600, (252, 250, 245) if number % 2 else (255, 255, 255), rng, half)
    font = ImageFont.truetype(str(FONTS / fonts[number % len(fonts)]), int(rng.integers(*SIZES)))
    ink = int(rng.integers(10, 110))
    middles = []
    texts[:] = [writable(text, font) for text in texts]
    for place, text in enumerate(texts):
        left, top = 120 + 920 * (place % 2), 110 + 820 * (place // 2)
        style = "line" if rng.random() < 0.6 else "colour"
        drawing = drawing_for(page, style, 760, 520, {"weight": 4.0, "breaks": 0.0})
        h, w = drawing.shape[:2]
        page.put(drawing, left + (760 - w) / 2, top + 520 - h)
        middles.append(np.array([(left + 380) / page.width, (top + 520 - h / 2) / page.height]))
        plain = Image.new("L", (round(font.getlength(text)) + 20, round(font.size * 2)))
        ImageDraw.Draw(plain).text((8, 8), text, fill=255, font=font)
        image = lettered(text, font, rng) if kind == "hand" else plain.crop(plain.getbbox())
        rgba = np.zeros((image.height, image.width, 4), np.uint8)
        rgba[..., :3], rgba[..., 3] = ink, np.asarray(image)
        page.put(rgba, left + (760 - image.width) / 2, top + 520 + font.size * rng.uniform(0.6, 1.4), 255)
    how = HOWS[number % len(HOWS)]
    rgba = page.finish(kind).rgba
    if how == "scan":
        rgba = scan_page(rgba, page.ids, page.count, rng)[0]
    if how == "photo":
        rgb = photograph(np.ascontiguousarray(rgba[..., :3]), rng)[0]
        rgba = cv2.cvtColor(rgb, cv2.COLOR_RGB2RGBA)
    return rgba, middles, how


def told_of(kind: str, half: str, number: int, texts: list[str], folder: Path) -> list[Told]:
    """What the tool reads of one page."""
    rgba, middles, how = made(kind, half, number, texts)
    path = folder / f"{half}-{kind}-{number}-{how}.png"
    Image.fromarray(rgba).save(path)
    page = cut_page(CutJob(str(path)))
    result = []
    for text, middle in zip(texts, middles, strict=True):
        read, found, nearest = None, False, 0.2
        for element in page.elements:
            x, y, w, h = element.box
            away = float(
                np.abs(np.array([(x + w / 2) / page.size[0], (y + h / 2) / page.size[1]]) - middle).max()
            )
            if away < nearest and element.caption_box is not None:
                piece = PiecePlan(str(path), element.box, page_fix=fix_from(page.page_fix))
                plan = PicturePlan((piece,), caption=element.caption_box)
                read, found, nearest = read_lettering(caption_picture(plan)), True, away
        result.append(Told(text, kind, how, found, read))
    return result


def _offered(session: Session, read: Lettering | None) -> str | None:
    """The title that is offered for what was read."""
    title = title_of(read.text) if read is not None else ""
    return title if read is not None and title and read.sure >= least_sure(session, title) else None


def bare(text: str) -> str:
    """A caption with case, accents' encoding, punctuation and spaces set aside."""
    return re.sub(r"[\W_]", "", unicodedata.normalize("NFC", text)).casefold()


def main() -> None:
    """Prints a table by kind."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--half", default="report", choices=("tune", "report", "fresh"))
    parser.add_argument("--show", action="store_true", help="every caption that was read otherwise, or not")
    parser.add_argument("--keep", type=Path, help="a folder for the pages")
    options = parser.parse_args()
    lines = LINES.read_text(encoding="utf-8").splitlines()
    mine = lines[0 if options.half == "tune" else 1 :: 2]
    if options.half == "fresh":
        mine = [str(line) for line in np.random.default_rng(7).permutation(lines)[: len(mine)]]
    read: list[Told] = []
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("printed", "hand"):
            for number, first in enumerate(range(0, len(mine), A_PAGE)):
                read += told_of(
                    kind, options.half, number, mine[first : first + A_PAGE], options.keep or Path(folder)
                )
        lib = start_library(Path(folder) / "library", Settings())
        with lib.reading() as session:
            told = [replace(t, offered=_offered(session, t.read)) for t in read]
        lib.close()
    for kind in ("printed", "hand"):
        for how in (*dict.fromkeys(HOWS), ""):
            some = [t for t in told if t.kind == kind and t.how.startswith(how)]
            offered = [t for t in some if t.offered]
            right = [t for t in offered if bare(t.wrote) == bare(t.offered or "")]
            exact = [t for t in offered if t.wrote == t.offered]
            print(
                f"{kind:8s} {how or 'all':6s} {len(some):3d} written, {sum(t.found for t in some):3d} found, "
                f"{len(offered):3d} offered, {len(exact):3d} to the letter, {len(right):3d} but for case and points: "
                f"right when offered {len(right) / max(1, len(offered)):.3f}"
            )
    if options.show:
        for t in told:
            if t.offered is None or bare(t.wrote) != bare(t.offered):
                print(
                    f"{t.kind} {t.how} {'found' if t.found else 'MISSED'} | {t.wrote} | {t.read} | {t.offered}"
                )


if __name__ == "__main__":
    main()
