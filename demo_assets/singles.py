"""Twelve single drawings as files come from an artist: several formats, some of them copies of others."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from . import animals, cars, people, places, props
from .pen import Pen
from .sheets import Draw, render

COLOURS = {
    "white": (255, 255, 255), "skin": (243, 208, 178), "coat": (214, 164, 60), "hat": (88, 122, 150), "hair": (168, 116, 72),
    "bread": (222, 170, 104), "paper": (226, 204, 166), "case": (205, 213, 219), "screen": (224, 238, 246),
    "scarf": (190, 64, 52), "cup": (250, 244, 232), "apron": (244, 240, 230),
}  # fmt: skip


@dataclass(frozen=True)
class Single:
    """One file: its drawing, and, where it is a copy, of which other file and how it was made from it."""

    file: str
    title: str
    draw: Draw
    size: tuple[int, int] = (900, 900)
    ground: str = "white"
    copy_of: str = ""
    how: str = ""
    seed_title: str = ""


def couple_one(pen: Pen) -> None:
    """The running couple with the man gone."""
    with pen.place(-16, 2, 0.94):
        people.person(pen, people.LOOKS[11], people.RUNNING, coat="coat", turn=1)


def baker_no_tray(pen: Pen) -> None:
    people.person(pen, people.BAKER, people.CARRYING, coat="white", apron=True, turn=0.3)


def van_lettered(pen: Pen) -> None:
    """The van in profile, a loaf painted on its side."""
    cars.van_profile(pen)
    pen.fill([(-52, -26), (-16, -26), (-16, 2), (-52, 2)], "white")
    props.loaf(pen, -34, -12, 0.62)


SINGLES = (
    Single("couple_running-03 FINAL.png", "Couple running for the ferry", people.couple_running, ground="clear"),
    Single("couple_running-03 flipped.png", "Couple running for the ferry, to the left", people.couple_running,
           copy_of="couple_running-03 FINAL.png", how="mirrored"),
    Single("shop row_v2.tif", "Shop row", places.shop_row, (1300, 900)),
    Single("van_profile_A.png", "Delivery van in profile, clean", cars.van_profile, (1000, 800), "clear"),
    Single("van_profile_A loaf.png", "Delivery van in profile, loaf on its side", van_lettered, (1000, 800),
           copy_of="van_profile_A.png", how="altered", seed_title="Delivery van in profile, clean"),
    Single("baker w tray 07.png", "Baker with tray, single", people.baker_tray, (700, 1100), "clear"),
    Single("baker no tray 07b.png", "Baker without tray", baker_no_tray, (700, 1100),
           copy_of="baker w tray 07.png", how="altered", seed_title="Baker with tray, single"),
    Single("laptop_back-01.webp", "Laptop from behind", props.laptop_back),
    Single("bread basket.png", "Basket of bread", props.bread_basket),
    Single("bread basket COLOUR.png", "Basket of bread, coloured", props.bread_basket, ground="coloured",
           copy_of="bread basket.png", how="coloured"),
    Single("bike w basket.png", "Bicycle with a basket", props.bicycle, (1000, 800), "clear"),
    Single("dog lying_old scan.tif", "Dog lying", animals.dog_lying, (900, 600)),
)  # fmt: skip


def _on_white(art: Image.Image, pad: int = 48) -> Image.Image:
    page = Image.new("L", (art.width + 2 * pad, art.height + 2 * pad), 255)
    page.paste(art.convert("L"), (pad, pad), art.getchannel("A"))
    return page


def draw_single(single: Single) -> Image.Image:
    """The picture: grey on white, grey with alpha, or colours with alpha. A copy has its original's own strokes."""
    original = next((s for s in SINGLES if s.file == single.copy_of), single)
    title = single.seed_title or original.title
    colours = COLOURS if single.ground == "coloured" else None
    art = render(title, single.draw, *single.size, colours=colours)
    if single.how == "mirrored":
        art = art.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    if single.ground == "white":
        return _on_white(art)
    return art if single.ground == "coloured" else art.convert("LA")


def save_single(single: Single, folder: Path) -> None:
    """Writes the picture in the format of its name."""
    picture, target = draw_single(single), folder / single.file
    save: dict[str, Callable[[], None]] = {
        ".tif": lambda: picture.save(target, compression="tiff_lzw", dpi=(300, 300)),
        ".webp": lambda: picture.convert("RGB").save(target, lossless=True),
        ".png": lambda: _png(picture).save(target, optimize=True, dpi=(300, 300)),
    }
    save[target.suffix]()


def _png(picture: Image.Image) -> Image.Image:
    if picture.mode == "RGBA":
        return picture.quantize(64, method=Image.Quantize.FASTOCTREE)
    return picture.quantize(16) if picture.mode == "L" else picture
