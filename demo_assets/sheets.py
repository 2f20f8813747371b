"""The five asset sheets: what stands where, and where its ink came to lie."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter

from . import animals, arrows, cars, hands, people, places, props
from .lettering import caption
from .pen import Pen, box

Draw = Callable[[Pen], None]
Box = tuple[int, int, int, int]

PAGE = (2400, 1800)
REACH = 150.0  # units: no element reaches farther from its origin
INK_LEVEL = 160  # grey below which a pixel counts as visible ink


@dataclass(frozen=True)
class Item:
    """One element on a sheet: its title, the middle of its place, and the room it may fill, in pixels."""

    title: str
    draw: Draw
    x: int
    y: int
    wide: int
    tall: int
    words: str = ""
    mirrored: bool = False


@dataclass(frozen=True)
class Sheet:
    """A page of items in reading order."""

    file: str
    items: tuple[Item, ...]
    weight: float = 3.3
    frames: tuple[Box, ...] = field(default=())
    scan: bool = False


def seed_of(title: str) -> int:
    """A seed that depends on the title alone, so that a drawing does not change when its neighbours do."""
    return zlib.crc32(title.encode())


def render(title: str, draw: Draw, wide: int, tall: int, weight: float = 3.3,
           colours: dict[str, tuple[int, int, int]] | None = None) -> Image.Image:
    """The drawing, RGBA on transparent ground, as large as fits into wide by tall pixels."""
    rough = Pen(seed_of(title), 1.0, (2 * REACH, 2 * REACH), weight=1.0)
    draw(rough)
    small = rough.finish(pad=0)
    scale = min(wide / small.width, tall / small.height) * 0.985
    left, top, right, bottom = _extent(rough)
    span = (2 * max(-left, right) + 8, 2 * max(-top, bottom) + 8)
    pen = Pen(seed_of(title), scale, span, weight=weight, colours=colours)
    draw(pen)
    return pen.finish(pad=2)


def _extent(rough: Pen) -> tuple[float, float, float, float]:
    """What was drawn with the rough pen reaches from left, top to right, bottom, in units round the origin."""
    k = rough.matrix[0, 0]
    x0, y0, x1, y1 = rough.body.getbbox() or (0, 0, 1, 1)
    mx, my = rough.matrix[0, 2], rough.matrix[1, 2]
    return (x0 - mx) / k, (y0 - my) / k, (x1 - mx) / k, (y1 - my) / k


def _visible(art: Image.Image) -> tuple[int, int, int, int]:
    grey = Image.new("L", art.size, 255)
    grey.paste(art.convert("L"), mask=art.getchannel("A"))
    dark = grey.point(lambda v: 255 if v < INK_LEVEL else 0)
    return dark.getbbox() or (0, 0, 1, 1)


def _letter(page: Image.Image, words: str, x: int, y: int, weight: float) -> None:
    pen = Pen(seed_of("caption " + words), 5.0, (140, 16), weight=weight * 0.8)
    caption(pen, words, 0, 3, 5.4)
    art = pen.finish()
    page.paste(art.convert("L"), (x - art.width // 2, y - art.height // 2), art.getchannel("A"))


def _frame(page: Image.Image, frame: Box, weight: float) -> None:
    x, y, w, h = frame
    pen = Pen(seed_of(f"frame {x} {y}"), 4.0, (w / 4 + 12, h / 4 + 12), weight=weight)
    pen.shape(box(-w / 8, -h / 8, w / 8, h / 8), "white", 0.9)
    art = pen.finish()
    page.paste(art.convert("L"), (x + w // 2 - art.width // 2, y + h // 2 - art.height // 2), art.getchannel("A"))


def draw_sheet(sheet: Sheet) -> tuple[Image.Image, list[Box]]:
    """The page in grey on white, and the box x, y, w, h of each item's visible ink."""
    page = Image.new("L", PAGE, 255)
    boxes: list[Box] = []
    for frame in sheet.frames:
        _frame(page, frame, sheet.weight)
    for item in sheet.items:
        art = render(item.title, item.draw, item.wide, item.tall, sheet.weight)
        if item.mirrored:
            art = art.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        x, y = item.x - art.width // 2, item.y - art.height // 2
        page.paste(art.convert("L"), (x, y), art.getchannel("A"))
        x0, y0, x1, y1 = _visible(art)
        boxes.append((x + x0, y + y0, x1 - x0, y1 - y0))
        if item.words:
            _letter(page, item.words, item.x, item.y + item.tall // 2 + 36, sheet.weight)
    return page, boxes


def scanned(page: Image.Image, seed: int = 41) -> Image.Image:
    """The page as a flatbed gives it back: warm paper, grain, a shadow along the left and lower edge, RGB."""
    rng = np.random.default_rng(seed)
    w, h = page.size
    ink = np.asarray(page.filter(ImageFilter.GaussianBlur(0.8)), np.float32)[..., None] / 255
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    shade = 1 - 0.16 * np.exp(-x / 70) - 0.11 * np.exp(-(h - y) / 60) - 0.035 * (x / w) - 0.02 * (y / h)
    blotch = Image.fromarray(rng.normal(128, 60, (h // 60, w // 60)).clip(0, 255).astype(np.uint8))
    mottle = (np.asarray(blotch.resize((w, h), Image.Resampling.BICUBIC), np.float32) - 128) / 128
    grain = rng.normal(0, 0.011, (h, w)).astype(np.float32)
    paper = np.array([246, 239, 224], np.float32) * (shade + grain + 0.006 * mottle)[..., None]
    black = np.array([44, 41, 44], np.float32)
    mixed = paper * ink + (black + 300 * grain[..., None]) * (1 - ink)
    return Image.fromarray(mixed.clip(0, 255).astype(np.uint8), "RGB")


def save_sheet(sheet: Sheet, page: Image.Image, folder: Path) -> None:
    """Writes the page: 16 greys as PNG, or as a JPEG scan."""
    target = folder / sheet.file
    if sheet.scan:
        scanned(page).save(target, quality=74, optimize=True, dpi=(200, 200))
    else:
        page.quantize(16).save(target, optimize=True, dpi=(300, 300))


def _cells(columns: int, rows: int, top: int = 0, margin: int = 60) -> list[tuple[int, int]]:
    w, h = (PAGE[0] - 2 * margin) / columns, (PAGE[1] - 2 * margin - top) / rows
    return [(int(margin + (c + 0.5) * w), int(margin + top + (r + 0.5) * h)) for r in range(rows) for c in range(columns)]


HAND_LIST: tuple[tuple[str, Draw, str], ...] = (
    ("Hand holding phone, screen to camera", hands.hand_phone_front, "phone front"),
    ("Hand holding phone, from behind", hands.hand_phone_back, "phone back"),
    ("Thumbs typing on phone", hands.hand_thumbs_typing, "thumbs typing"),
    ("Finger scrolling on phone", hands.hand_scrolling, "scrolling"),
    ("Hand pointing right", hands.hand_pointing, "pointing"),
    ("Two hands holding tablet with map", hands.hand_tablet, "tablet map"),
    ("Finger tapping a tablet", hands.hand_tablet_point, "tablet tap"),
    ("Open palm", hands.hand_open, "palm"),
    ("Hands on steering wheel", hands.hand_wheel, "wheel 10+2"),
    ("Hand with paper cup", hands.hand_cup, "hot cup"),
    ("Hand with van key", hands.hand_key, "van key"),
    ("Hands offering a loaf", hands.hand_loaf, "loaf offered"),
    ("Laptop from the front", props.laptop_front, "laptop front"),
    ("Laptop three-quarter", props.laptop_three_quarter, "laptop 3/4"),
)
HANDS = Sheet("hands_phones_sheet 02.png", tuple(
    Item(title, draw, x, y - 24, 390, 420, words)
    for (title, draw, words), (x, y) in zip(HAND_LIST, _cells(5, 3), strict=False)
))  # fmt: skip

VAN_LIST: tuple[tuple[str, Draw], ...] = (
    ("Hood mount two-shot", cars.hood_mount_two),
    ("Hood mount, driver alone", cars.hood_mount_driver),
    ("Hood mount, passenger asleep", cars.hood_mount_sleeping),
    ("Driver's side in profile", cars.drivers_side),
    ("Two on the back seat", cars.back_seat),
    ("Over the driver's shoulder", cars.over_shoulder_drive),
    ("Dashboard with phone", cars.dash_phone),
    ("Eyes in the rear-view mirror", cars.mirror_eyes),
    ("Delivery van, front", cars.van_front),
    ("Delivery van, profile", cars.van_profile),
    ("Delivery van, three-quarter back", cars.van_back),
    ("Bakery at night", places.bakery_night),
)
FRAME = (540, 500)
VAN = Sheet("BAKERY_van_interiors_v3.png", tuple(
    Item(title, draw, x, y, FRAME[0] - 80, FRAME[1] - 80) for (title, draw), (x, y) in zip(VAN_LIST, _cells(4, 3, margin=30), strict=True)
), frames=tuple((x - FRAME[0] // 2, y - FRAME[1] // 2, *FRAME) for x, y in _cells(4, 3, margin=30)), weight=3.1)  # fmt: skip

CROWD = Sheet("ferry-crowd people 01.png", (
    Item("Commuter crowd from the front", people.crowd, 480, 320, 800, 520),
    Item("Woman looking at her phone", people.woman_phone, 1070, 345, 240, 520),
    Item("Baker with a tray of loaves", people.baker_tray, 1420, 300, 280, 500),
    Item("Man leaning on a post", people.man_leaning, 1790, 330, 260, 520),
    Item("Boy waving", people.boy_waving, 2160, 300, 260, 430),
    Item("Man waiting with a bag", people.man_waiting, 200, 900, 260, 510),
    Item("Woman walking", people.woman_walking, 560, 880, 300, 520),
    Item("Queue in profile", people.queue, 1170, 900, 760, 430),
    Item("Two people talking", people.two_talking, 1790, 920, 360, 500),
    Item("Woman from behind with rucksack", people.woman_back, 2180, 850, 260, 520),
    Item("Woman seated on a bench", people.woman_seated, 270, 1490, 330, 480),
    Item("Baker walking", people.baker_walking, 720, 1480, 300, 520),
    Item("Commuter crowd from behind", people.crowd_back, 1350, 1480, 700, 500),
    Item("Man from behind in a dark coat", people.man_back, 2050, 1480, 260, 520),
))  # fmt: skip

FERRY = Sheet("island_ferry scan 11.jpg", (
    Item("Ferry in profile", props.ferry_profile, 510, 340, 780, 460, "ferry profile"),
    Item("Ferry from the bow", props.ferry_bow, 1290, 340, 560, 450, "from the bow"),
    Item("Waiting shelter", places.ferry_shelter, 1960, 340, 600, 420),
    Item("Deckhand hauling a rope", people.deckhand_rope, 330, 920, 430, 470),
    Item("Deckhand pointing the way", people.deckhand_pointing, 830, 910, 330, 500, "this way"),
    Item("Gangway", props.gangway, 1340, 900, 480, 400, "gangway"),
    Item("Ticket machine", props.ticket_machine, 1790, 910, 270, 430),
    Item("Gull in flight", props.gull, 2150, 860, 320, 260),
    Item("Bollard with mooring rope", props.bollard_rope, 350, 1500, 440, 330, "bollard"),
    Item("Quay edge with ladder", places.quay_edge, 1010, 1500, 660, 300),
    Item("Life ring", props.life_ring, 1570, 1490, 300, 340),
    Item("Suitcase on wheels", props.suitcase, 1900, 1490, 230, 380),
    Item("Satchel", props.satchel, 2200, 1500, 250, 310, "satchel"),
), scan=True, weight=3.5)  # fmt: skip

MIXED = Sheet("arrows+dogs+bits_05.png", (
    Item("Camera pushes in", arrows.push_in, 320, 300, 480, 330, "push in"),
    Item("Camera pulls out", arrows.pull_out, 900, 300, 460, 330, "pull out"),
    Item("Camera pans right", arrows.pan_right, 1480, 300, 460, 300, "pan"),
    Item("Camera on track", arrows.track, 2060, 300, 500, 330, "track"),
    Item("Actor walks", arrows.actor_walks, 300, 850, 430, 300, "walks"),
    Item("Actor turns", arrows.actor_turns, 790, 850, 330, 250, "turns"),
    Item("Van drives off", arrows.van_drives, 1210, 840, 280, 360, "van off"),
    Item("Camera cranes up", arrows.crane_up, 1640, 840, 330, 350, "crane up"),
    Item("Handheld camera", arrows.handheld, 2110, 850, 400, 200, "handheld"),
    Item("Dog sitting", animals.dog_sitting, 260, 1460, 350, 390),
    Item("Dog walking", animals.dog_walking, 790, 1460, 470, 360),
    Item("Dog from behind", animals.dog_back, 1250, 1450, 280, 400),
    Item("Stack of bread crates", props.bread_crates, 1680, 1460, 460, 340),
    Item("Coffee to go", props.coffee_cup, 2140, 1450, 230, 390),
))  # fmt: skip

SHEETS = (HANDS, VAN, CROWD, FERRY, MIXED)
