"""Pasting drawings onto a frame: clean copies with their bodies, as one picture or in layers."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from PIL import ImageColor

from assetlib.catalogue import queries
from assetlib.errors import AssetlibError, BadPicture, WrongUsage
from assetlib.imaging.formats.colour import profile_name
from assetlib.imaging.layering import colours, elements
from assetlib.imaging.layering.layers import (
    Layer,
    LayeredFrame,
    LayerGroup,
    Pixels,
    as_plain,
    flatten,
    is_deep,
)
from assetlib.imaging.layering.writing import SHALLOW, kind_of, write_frame
from assetlib.library import Library
from assetlib.rules.shots import frame_sizes, grammar, placing, sides, turning
from assetlib.rules.shots.figures import Placed
from assetlib.rules.shots.frame_sizes import Frame
from assetlib.services.finding.showing import show
from assetlib.services.jobs import cutouts, line_widths
from assetlib.services.jobs.cautions import Cautions
from assetlib.services.jobs.cutouts import Drawn
from assetlib.services.jobs.jobs import frame_of, job_asked
from assetlib.services.jobs.uses import Placing, record_use

T = TypeVar("T")

OWN_BODY = "own"
"""White, or under light line the tone of its dark ground, as the clean copy shows it."""

BODIES: Mapping[str, int | None] = {
    OWN_BODY: elements.WHITE,
    "white": elements.WHITE,
    "toned": elements.TONED,
    "none": None,
}
_USUAL_FRAME = Frame(frame_sizes.WIDTH, 1080)
_FIT = 0.9


@dataclass(frozen=True, slots=True)
class Wishes:
    """How drawings are to be pasted. Codes in `scale`, `at` and `mirror` are as given on the line."""

    frame: Frame | None = None
    fit: bool = False
    scale: Mapping[str, float] = field(default_factory=dict)
    at: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Left upper corner in pixels of the frame."""
    mirror: tuple[str, ...] = ()
    ink: tuple[int, int, int] | None = None
    body: str = OWN_BODY
    backdrop: str | None = None
    """A file or a code."""
    line: str = ""
    """A line of a shot list that says how the drawings stand on the frame."""
    under: bool = False
    """Lay the drawings at a quarter of their strength, to be drawn over."""
    safe_area: bool = False
    plain: bool = False
    """sRGB of 8 bits, whatever the pictures have."""
    job: str | None = None
    shot: str | None = None


@dataclass(frozen=True, slots=True)
class Laid:
    """A drawing as it was laid: its place in pixels of the frame, how much it was enlarged, what to look at."""

    code: str
    title: str
    place: Placed
    enlarged: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pasted:
    """What was written, and where."""

    path: Path | None
    size: tuple[int, int]
    laid: tuple[Laid, ...]
    bits: int = 8
    """A channel, of what was written."""
    profile: str | None = None
    """The name of its colour profile; sRGB where there is none."""
    warnings: tuple[str, ...] = ()
    uses: tuple[int, ...] = ()


def paste(
    lib: Library,
    codes: Sequence[str],
    target: Path | None,
    wishes: Wishes | None = None,
    hand_over: Callable[[Pixels], None] | None = None,
) -> Pasted:
    """Paste drawings into a new file of the kind its ending names, or with none named only where `hand_over` puts them.

    `hand_over` is given the picture for a clipboard, uint8 (H, W, 4) in sRGB. Each drawing becomes a use. Raises
    WrongUsage, NotFound, AmbiguousCode, BadPicture, DiskFull, and what `hand_over` raises; nothing is written then.
    """
    wishes = wishes or Wishes()
    if target is not None:
        _check_target(target)
        kind_of(target)
    frame, drawn, spots, picture = _made(lib, codes, wishes)
    warnings = (*_warnings(lib, drawn, wishes.job), *_turned(drawn[0], spots[0], wishes))
    if hand_over is not None:
        hand_over(as_plain(flatten(_made(lib, codes, replace(wishes, plain=True))[3])))
    if target is not None:
        write_frame(picture, target)
    uses = _note_uses(lib, drawn, spots, target, wishes)
    deep = target is not None and is_deep(picture.layers) and kind_of(target) not in SHALLOW
    profile = None if target is None else profile_name(picture.profile)
    laid = tuple(map(_laid, drawn, spots))
    return Pasted(target, frame.size, laid, 16 if deep else 8, profile, warnings, uses)


def _turned(first: Drawn, spot: Placed, wishes: Wishes) -> tuple[str, ...]:
    """What is said of the first drawing where the line says which way it goes."""
    told = turning.turning(grammar.read_line(wishes.line).facets, first.drawing) if wishes.line else ""
    if (
        not told
        or (told != turning.TURNED and spot.mirrored)
        or (told == turning.TURNED and not spot.mirrored)
    ):
        return ()
    return (f"{first.code}: {turning.TOLD[told]}",)


def _warnings(lib: Library, drawn: Sequence[Drawn], job: str | None) -> tuple[str, ...]:
    """What to mind of the drawings before they are delivered. Raises NotFound for a job that is not there."""
    cautions = Cautions(lib, job)
    return tuple(f"{item.code} is {told}" for item in drawn for told in cautions.of(item.entry_id))


def _note_uses(
    lib: Library, drawn: Sequence[Drawn], spots: Sequence[Placed], target: Path | None, wishes: Wishes
) -> tuple[int, ...]:
    """A use for each drawing on the frame, or on what was copied; undoing the step voids them."""
    name, sha256 = (target.name, digest_of(target)) if target is not None else (None, None)
    with lib.transaction(f"pasted onto {name}" if name else "copied to the clipboard") as session:
        job_id = job_asked(session, wishes.job).id if wishes.job else None
        return tuple(
            record_use(lib, session, item.judged, placing_of(spot, name, wishes.shot, job_id, sha256))
            for item, spot in zip(drawn, spots, strict=True)
        )


def placing_of(
    spot: Placed, frame: str | None, shot: str | None, job_id: int | None, sha256: str | None
) -> Placing:
    """How a drawing stands on a frame, as its use keeps it."""
    size = round(spot.width), round(spot.height)
    return Placing(frame, shot, job_id, size, spot.mirrored, sha256)


def digest_of(path: Path) -> str:
    """SHA-256 of a file, as it is kept with a use."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _check_target(target: Path) -> None:
    if target.is_dir():
        raise WrongUsage(f"{target} is a folder", f"name a file in it, such as {target / 'A_05a.psd'}")
    if target.exists():
        raise WrongUsage(f"{target} is there already", "name a new file: what was drawn on is never replaced")
    if target.parent.is_file():
        raise WrongUsage(f"{target.parent} is a file, no folder", "name a folder")
    if not target.parent.is_dir():
        raise WrongUsage(f"there is no folder {target.parent}", "make it first")


def _made(
    lib: Library, codes: Sequence[str], wishes: Wishes
) -> tuple[Frame, list[Drawn], list[Placed], LayeredFrame]:
    if wishes.body not in BODIES:
        raise WrongUsage(f"'{wishes.body}' is no body", f"choose {', '.join(BODIES)}")
    drawn = [cutouts.load(lib, code) for code in dict.fromkeys(codes)]
    if not drawn:
        raise WrongUsage("no drawing was named to be pasted")
    behind = _backdrop(lib, wishes.backdrop) if wishes.backdrop else None
    frame = wishes.frame or _own_frame(lib, drawn, wishes)
    spots = _spots(frame, drawn, codes, wishes)
    return frame, drawn, spots, _layers(frame, drawn, spots, behind, wishes)


def _own_frame(lib: Library, drawn: list[Drawn], wishes: Wishes) -> Frame:
    """Without a frame, one drawing is its own; several, or one on a backdrop, stand on the job's or the usual one."""
    if len(drawn) == 1 and not wishes.backdrop and not wishes.line:
        scale = _for(drawn[0], wishes.scale) or 1.0
        width, height = (max(1, round(side * scale)) for side in drawn[0].cutout.size)
        return Frame(width, height)
    return frame_of(lib, wishes.job) or _USUAL_FRAME


def _backdrop(lib: Library, given: str) -> Path:
    """The file of a backdrop, named by path or by the code of an entry. Raises NotFound, BadPicture."""
    path = Path(given).expanduser()
    if path.is_file():
        return path
    return show(lib, given).original


def _spots(frame: Frame, drawn: list[Drawn], codes: Sequence[str], wishes: Wishes) -> list[Placed]:
    if wishes.line:
        said = grammar.read_line(wishes.line).facets
        figures = [item.figure(role="main" if place == 0 else "beside") for place, item in enumerate(drawn)]
        told = sides.sides_for(wishes.line, [item.title for item in drawn])
        figures = [replace(figure, side=side) for figure, side in zip(figures, told, strict=True)]
        spots = list(placing.place(frame, figures, said))
        asked = any(not given or _means(given, drawn[0]) for given in wishes.mirror)
        if not asked and turning.turning(said, drawn[0].drawing) == turning.TURNED:
            spots[0] = cutouts.mirrored(spots[0])
    else:
        spots = _in_a_row(frame, drawn, fit=wishes.fit, framed=bool(wishes.frame or wishes.backdrop))
    for place, item in enumerate(drawn):
        spots[place] = _as_wished(spots[place], item, codes, wishes)
    return spots


def _in_a_row(frame: Frame, drawn: list[Drawn], *, fit: bool, framed: bool) -> list[Placed]:
    """Drawings side by side on one ground, at their own size where they fit, else as large as they do."""
    if len(drawn) == 1 and not framed:
        return [Placed(0.0, 0.0, float(frame.width), float(frame.height))]
    wide = sum(item.cutout.size[0] for item in drawn)
    high = max(item.cutout.size[1] for item in drawn)
    scale = _FIT * min(frame.width / wide, frame.height / high)
    if not fit:
        scale = min(1.0, scale)
    gap = (frame.width - wide * scale) / (len(drawn) + 1)
    ground = (frame.height + high * scale) / 2
    spots, x = [], gap
    for item in drawn:
        width, height = (side * scale for side in item.cutout.size)
        spots.append(Placed(x, ground - height, width, height))
        x += width + gap
    return spots


def _as_wished(spot: Placed, item: Drawn, codes: Sequence[str], wishes: Wishes) -> Placed:
    """The spot with the artist's own scale, corner and mirroring; scaled about the middle of its foot."""
    if (scale := _for(item, wishes.scale)) is not None:
        if scale <= 0:
            raise WrongUsage(f"a drawing cannot be pasted at {scale:g} times its size")
        foot, middle = spot.y + spot.height, spot.x + spot.width / 2
        width, height = item.cutout.size[0] * scale, item.cutout.size[1] * scale
        if max(width, height) > frame_sizes.LARGEST_SIDE:
            raise WrongUsage(f"{item.code} would be {width:.0f} x {height:.0f} pixels large", "scale it less")
        spot = replace(spot, x=middle - width / 2, y=foot - height, width=width, height=height)
    if (corner := _for(item, wishes.at)) is not None:
        spot = replace(spot, x=float(corner[0]), y=float(corner[1]))
    alone = len(set(codes)) == 1
    if any(_means(given, item) or (alone and not given) for given in wishes.mirror):
        spot = cutouts.mirrored(spot)
    return spot


def _for(item: Drawn, given: Mapping[str, T]) -> T | None:
    return next((value for code, value in given.items() if not code or _means(code, item)), None)


def _means(given: str, item: Drawn) -> bool:
    return bool(given) and item.code.startswith(given.strip().upper())


def _layers(
    frame: Frame, drawn: list[Drawn], spots: list[Placed], behind: Path | None, wishes: Wishes
) -> LayeredFrame:
    """Backdrop below, the first drawing above the others, guides and an empty layer on top of layered ones."""
    layers: list[Layer | LayerGroup] = []
    if behind is not None:
        try:
            layers.append(elements.covering(behind, frame.size))
        except AssetlibError as error:
            raise BadPicture(f"the backdrop {behind.name} cannot be read: {error.sentence}") from error
    for item, spot in reversed(list(zip(drawn, spots, strict=True))):
        layers.append(laid_group(item, spot, wishes.body, ink=wishes.ink, under=wishes.under))
    layers += guides(frame, safe_area=wishes.safe_area)
    return colours.framed(frame.size, layers, plain=wishes.plain)


def laid_group(
    item: Drawn,
    spot: Placed,
    body: str,
    *,
    ink: tuple[int, int, int] | None = None,
    under: bool = False,
    visible: bool = True,
) -> LayerGroup:
    """A drawing at its place as a group named *dog sitting · 7K3*."""
    cutout, corner = cutouts.at_place(item, spot)
    under_line: int | elements.Tone | None = BODIES[body]
    if body == OWN_BODY and cutout.tone is not None:
        under_line = cutout.tone
    elif under_line is not None:
        cutout = elements.on_paper(cutout)
    if ink is not None:
        cutout = elements.recoloured(cutout, ink)
    opacity = 64 if under else 255
    name = f"{item.title} · {item.code}"
    return elements.group(cutout, name, corner, under_line, visible=visible, opacity=opacity)


def guides(frame: Frame, *, safe_area: bool = False) -> list[Layer]:
    """Locked guides: other shapes of the frame, and the safe area when it is asked for."""
    found = []
    for ratio in frame.guides:
        box = frame_sizes.inner_box(frame, frame_sizes.ratio_of(ratio))
        found.append(elements.guide(ratio, frame.size, [box], visible=True))
    if safe_area:
        boxes = [
            frame_sizes.safe_box(frame, share) for share in (frame_sizes.SAFE_ACTION, frame_sizes.SAFE_TITLE)
        ]
        found.append(elements.guide("safe area", frame.size, boxes, visible=True))
    return found


def _laid(item: Drawn, spot: Placed) -> Laid:
    return Laid(
        item.code,
        item.title,
        spot,
        round(cutouts.enlarged(item, spot), 3),
        (*item.look, *line_widths.draw_over(item, spot)),
    )


def read_ink(text: str) -> tuple[int, int, int]:
    """A colour like `#2b4c7e`, or one of the names of CSS Color 4, as Pillow has them. Raises WrongUsage."""
    found = re.fullmatch(r"#?([0-9a-fA-F]{2})([0-9a-fA-F]{2})([0-9a-fA-F]{2})", text.strip())
    name = "".join(text.split()).casefold()
    if found:
        return int(found.group(1), 16), int(found.group(2), 16), int(found.group(3), 16)
    if name not in ImageColor.colormap:
        raise WrongUsage(f"'{text}' is no colour", "write it like '#2b4c7e', or blue, navy, darkred, sienna")
    red, green, blue = ImageColor.getrgb(name)[:3]
    return red, green, blue


def entry_id(lib: Library, code: str) -> int:
    """The entry with this code. Raises NotFound, AmbiguousCode."""
    with lib.reading() as session:
        return queries.entry(session, code).id
