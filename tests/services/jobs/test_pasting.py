"""Drawings are pasted with white under their lines, where they were asked to stand, and never over another file."""

from __future__ import annotations

from pathlib import Path

import imagecodecs
import numpy as np
import pytest
import tifffile
from PIL import Image, ImageDraw
from psd_tools import PSDImage

from assetlib.errors import AssetlibError, NotFound, WrongUsage
from assetlib.imaging.layering.flat import png_of
from assetlib.library import Library
from assetlib.rules.shots.frame_sizes import parse_frame
from assetlib.services.bringing import intake
from assetlib.services.jobs import jobs, pasting
from assetlib.services.jobs.pasting import Wishes
from assetlib.services.keeping import attic
from tests.conftest import Draw

SLATE = (26, 30, 38)
WIDE: bytes = imagecodecs.cms_profile("adobergb")


@pytest.fixture
def codes(lib: Library, draw: Draw) -> list[str]:
    paths = [draw("dog sitting.png", 1), draw("van profile.png", 4)]
    intake.bring_in(lib, [paths[0].parent], intake.Wishes(role="element"))
    report = intake.bring_in(lib, paths)
    by_name = {Path(out.source).name: out.code for out in (*report.added, *report.known)}
    return [str(by_name[path.name]) for path in paths]


def over(path: Path, ground: tuple[int, int, int]) -> np.ndarray:
    picture = Image.open(path).convert("RGBA")
    below = Image.new("RGBA", picture.size, (*ground, 255))
    below.alpha_composite(picture)
    return np.asarray(below)[..., :3]


@pytest.mark.parametrize(
    ("title", "line", "mirrored", "told"),
    [
        ("van left to right", "van passes R to L", True, "mirrored"),
        ("van left to right", "van passes L to R", False, ""),
        ("van parked", "van passes R to L", False, "see which way it faces"),
        ("van left to right, do not mirror", "van passes R to L", False, "not to be mirrored"),
    ],
)
def test_a_drawing_is_turned_as_the_line_says(
    lib: Library, draw: Draw, tmp_path: Path, title: str, line: str, mirrored: bool, told: str
) -> None:
    (added,) = intake.bring_in(lib, [draw(f"{title}.png", 4)], intake.Wishes(role="element")).added
    done = pasting.paste(lib, [added.code], tmp_path / "van.png", Wishes(line=line))
    assert done.laid[0].place.mirrored is mirrored
    assert told in " ".join(done.warnings)
    assert bool(told) == bool(done.warnings)


def test_one_drawing_is_its_own_frame_with_white_under_its_line(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    done = pasting.paste(lib, codes[:1], tmp_path / "dog.png")
    seen = over(tmp_path / "dog.png", (200, 0, 0))
    assert seen.shape[:2] == (done.size[1], done.size[0])
    assert tuple(seen[0, 0]) == (200, 0, 0)  # outside of the ellipse the ground shows
    assert (seen[seen.shape[0] // 5, seen.shape[1] // 2] >= 250).all() or (seen >= 250).all(
        axis=2
    ).sum() > 500


def test_body_none_lets_the_ground_through_and_toned_is_grey(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    pasting.paste(lib, codes[:1], tmp_path / "none.png", Wishes(body="none"))
    pasting.paste(lib, codes[:1], tmp_path / "toned.png", Wishes(body="toned"))
    assert not (over(tmp_path / "none.png", (200, 0, 0)) >= 250).all(axis=2).any()
    grey = over(tmp_path / "toned.png", (200, 0, 0))
    assert (np.ptp(grey.astype(int), axis=2) == 0).sum() > 500


@pytest.fixture
def chalk(lib: Library, tmp_path: Path) -> str:
    """The code of a box in white line on slate."""
    page = Image.new("RGB", (400, 300), SLATE)
    ImageDraw.Draw(page).rectangle((80, 60, 320, 240), outline=(240, 240, 235), width=7)
    page.save(tmp_path / "box in chalk.png")
    return intake.bring_in(lib, [tmp_path / "box in chalk.png"], intake.Wishes(role="element")).added[0].code


def pasted(lib: Library, code: str, target: Path, wishes: Wishes) -> tuple[np.ndarray, np.ndarray]:
    """The middle of what was pasted on red, which is body, and the brightness (h, w) of all of it."""
    pasting.paste(lib, [code], target, wishes)
    seen = over(target, (200, 0, 0)).astype(int)
    return seen[seen.shape[0] // 2, seen.shape[1] // 2], seen.mean(axis=2)


def test_white_line_is_pasted_on_the_dark_body_that_its_clean_copy_shows(
    lib: Library, chalk: str, tmp_path: Path
) -> None:
    body, seen = pasted(lib, chalk, tmp_path / "own.png", Wishes())
    assert np.abs(body - SLATE).max() < 16
    assert (seen > 220).sum() > 3000  # its line


@pytest.mark.parametrize(("asked", "level"), [("white", 255), ("toned", 214)])
def test_white_line_is_dark_on_a_light_body_that_was_asked_for(
    lib: Library, chalk: str, tmp_path: Path, asked: str, level: int
) -> None:
    body, seen = pasted(lib, chalk, tmp_path / f"{asked}.png", Wishes(body=asked))
    assert (body == level).all()
    assert (seen < 60).sum() > 3000


def test_white_line_takes_the_colour_that_is_asked_for(lib: Library, chalk: str, tmp_path: Path) -> None:
    pasted(lib, chalk, tmp_path / "blue.png", Wishes(ink=(43, 76, 240)))
    seen = over(tmp_path / "blue.png", (200, 0, 0)).astype(int)
    assert (np.abs(seen - (43, 76, 240)).max(axis=2) < 16).sum() > 3000


def test_several_drawings_become_one_layered_file(lib: Library, codes: list[str], tmp_path: Path) -> None:
    backdrop = tmp_path / "street.png"
    Image.new("RGB", (400, 300), (180, 200, 220)).save(backdrop)
    wishes = Wishes(frame=parse_frame("16:9, 1:1"), backdrop=str(backdrop), safe_area=True)
    done = pasting.paste(lib, codes, tmp_path / "A_05a_r1.psd", wishes)
    read = PSDImage.open(tmp_path / "A_05a_r1.psd")
    assert (read.width, read.height) == done.size == (1920, 1080)
    names = [layer.name for layer in read]
    assert names[0] == "backdrop"
    assert names[-2:] == ["1:1", "safe area"]
    assert f"dog sitting · {codes[0]}" in names
    groups = [layer for layer in read if layer.is_group()]
    assert [[part.name for part in group] for group in groups] == [["body", "ink"]] * 2
    corner = np.asarray(read.topil().convert("RGB"))[5, 5]
    assert tuple(corner) == (180, 200, 220)


def test_scale_corner_and_mirror_are_as_asked(lib: Library, codes: list[str], tmp_path: Path) -> None:
    code = codes[0]
    wishes = Wishes(
        frame=parse_frame("800x600"), scale={code[:3]: 2.0}, at={code[:3]: (100, 50)}, mirror=(code,)
    )
    done = pasting.paste(lib, [code], tmp_path / "dog.png", wishes)
    laid = done.laid[0]
    assert (laid.place.x, laid.place.y, laid.place.mirrored) == (100, 50, True)
    box = Image.open(tmp_path / "dog.png").getchannel("A").getbbox()
    assert box is not None
    assert abs(box[0] - 100) <= 1
    assert abs(box[1] - 50) <= 1
    assert abs((box[2] - box[0]) - laid.place.width) <= 2
    straight = tmp_path / "straight.png"
    pasting.paste(lib, [code], straight, Wishes(frame=wishes.frame, scale=wishes.scale, at=wishes.at))
    turned = np.asarray(Image.open(tmp_path / "dog.png").crop(box))
    assert np.abs(turned.astype(int) - np.asarray(Image.open(straight).crop(box))[:, ::-1]).max() <= 2
    assert any("enlarged" in note for note in laid.notes)


@pytest.mark.parametrize(
    ("line", "dog_is_left"), [("dog left, van right", True), ("van left, dog right", False)]
)
def test_a_line_says_which_side_each_stands_on(
    lib: Library, codes: list[str], tmp_path: Path, line: str, dog_is_left: bool
) -> None:
    done = pasting.paste(lib, codes, tmp_path / "both.png", Wishes(line=line))
    dog, van = (laid.place.x + laid.place.width / 2 for laid in done.laid)
    assert (dog < done.size[0] / 2 < van, van < done.size[0] / 2 < dog) == (dog_is_left, not dog_is_left)


def test_the_picture_is_the_same_in_every_kind_of_file(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    wishes = Wishes(frame=parse_frame("640x360"), fit=True)
    for ending in ("png", "tif", "webp", "psd", "ora"):
        pasting.paste(lib, codes, tmp_path / f"frame.{ending}", wishes)
    shown = over(tmp_path / "frame.png", (255, 255, 255)).astype(int)
    for ending in ("tif", "webp"):
        assert np.abs(over(tmp_path / f"frame.{ending}", (255, 255, 255)) - shown).max() == 0
    merged = np.asarray(PSDImage.open(tmp_path / "frame.psd").topil().convert("RGBA")).astype(int)
    alpha = merged[..., 3:] / 255
    assert np.abs(merged[..., :3] * alpha + 255 * (1 - alpha) - shown).max() <= 1


def test_a_file_that_is_there_is_never_replaced(lib: Library, codes: list[str], tmp_path: Path) -> None:
    target = tmp_path / "A_05a_r1.psd"
    target.write_bytes(b"drawn on for hours")
    with pytest.raises(WrongUsage, match="is there already"):
        pasting.paste(lib, codes, target)
    assert target.read_bytes() == b"drawn on for hours"


@pytest.mark.parametrize(
    ("wishes", "name", "error"),
    [
        (Wishes(), "frame.docx", WrongUsage),
        (Wishes(), "nowhere/frame.png", WrongUsage),
        (Wishes(body="striped"), "frame.png", WrongUsage),
        (Wishes(backdrop="NOSUCH"), "frame.png", NotFound),
        (Wishes(scale={"": 500.0}), "frame.png", AssetlibError),
    ],
)
def test_what_cannot_be_pasted_leaves_nothing(
    lib: Library, codes: list[str], tmp_path: Path, wishes: Wishes, name: str, error: type[Exception]
) -> None:
    before = sorted(tmp_path.iterdir())
    with pytest.raises(error):
        pasting.paste(lib, codes[:1], tmp_path / name, wishes)
    assert sorted(tmp_path.iterdir()) == before


def test_a_backdrop_that_is_no_picture_is_said(lib: Library, codes: list[str], tmp_path: Path) -> None:
    broken = tmp_path / "broken.png"
    broken.write_bytes(b"\x89PNG\r\n\x1a\nxx")
    with pytest.raises(AssetlibError, match=r"backdrop broken\.png"):
        pasting.paste(lib, codes, tmp_path / "frame.png", Wishes(backdrop=str(broken)))


def deep_drawing(path: Path, profile: bytes | None) -> np.ndarray:
    """A shaded ellipse on nothing with more greys than 8 bits hold, as a PNG of 16 bits: uint16 (300, 400, 4)."""
    y, x = np.mgrid[:300, :400]
    inside = ((x - 200) / 150) ** 2 + ((y - 150) / 100) ** 2 <= 1
    shade = (x * 97 + y * 31).astype(np.uint16)
    pixels = np.stack([shade, shade // 2, shade // 3, np.where(inside, 65535, 0).astype(np.uint16)], axis=2)
    pixels[~inside] = 0
    path.write_bytes(png_of(pixels, profile, level=1))
    return pixels


@pytest.mark.parametrize("profile", [None, WIDE])
def test_sixteen_bits_and_their_profile_come_through(
    lib: Library, tmp_path: Path, profile: bytes | None
) -> None:
    drawing = tmp_path / "shaded ball.png"
    pixels = deep_drawing(drawing, profile)
    report = intake.bring_in(lib, [drawing], intake.Wishes(role="element"))
    (code,) = [out.code for out in report.added]
    done = pasting.paste(lib, [str(code)], tmp_path / "ball.tif", Wishes(body="none"))
    assert done.bits == 16
    with tifffile.TiffFile(tmp_path / "ball.tif") as opened:
        written = opened.asarray()
        assert opened.pages[0].iccprofile == profile  # type: ignore[union-attr]
    left, top, right, bottom = Image.fromarray(written[..., 3] > 0).getbbox() or (0, 0, 0, 0)
    assert (written[top:bottom, left:right] == pixels[50:251, 50:351]).all()
    assert pasting.paste(lib, [str(code)], tmp_path / "ball.webp").bits == 8
    copied: list[np.ndarray] = []
    done = pasting.paste(lib, [str(code)], None, hand_over=copied.append)
    assert (copied[0].dtype, done.path, len(done.uses)) == (np.uint8, None, 1)


def test_drawings_take_on_the_colours_of_a_deep_backdrop(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    backdrop = tmp_path / "street.png"
    ground = np.full((108, 192, 4), 65535, np.uint16)
    ground[..., 0] = 20001
    backdrop.write_bytes(png_of(ground, WIDE, level=1))
    wishes = Wishes(frame=parse_frame("192x108"), fit=True, backdrop=str(backdrop))
    done = pasting.paste(lib, codes[:1], tmp_path / "street.psd", wishes)
    assert (done.bits, done.profile) == (16, "Adobe RGB (compatible)")
    read = PSDImage.open(tmp_path / "street.psd")
    merged = np.rint(read.numpy() * 65535)
    assert tuple(merged[2, 2]) == (20001, 65535, 65535)
    assert (merged[..., :3].max(axis=2) < 2000).any()  # black ink stays black


def test_ink_of_a_scan_keeps_the_colours_of_the_scan(lib: Library, tmp_path: Path) -> None:
    """Paper is taken out at 8 bits, yet what is all ink has the scan's own values."""
    scan = np.full((300, 400, 3), 65535, np.uint16)
    scan[80:220, 90:310] = (9001, 4003, 2005)
    drawing = tmp_path / "block.png"
    drawing.write_bytes(png_of(scan, WIDE, level=1))
    report = intake.bring_in(lib, [drawing], intake.Wishes(role="element"))
    pasting.paste(lib, [str(report.added[0].code)], tmp_path / "block.tif", Wishes(body="none"))
    with tifffile.TiffFile(tmp_path / "block.tif") as opened:
        middle = opened.asarray()[70, 110]
    assert tuple(middle[:3]) == (9001, 4003, 2005)


def test_a_drawing_in_the_attic_is_not_pasted(lib: Library, codes: list[str], tmp_path: Path) -> None:
    pasting.paste(lib, codes[:1], tmp_path / "before.png")  # its copy is there
    attic.take_up(lib, codes[:1])
    with pytest.raises(WrongUsage, match="lies in the attic"):
        pasting.paste(lib, codes, tmp_path / "dog.png")
    assert not (tmp_path / "dog.png").exists()


def test_several_drawings_stand_on_the_frame_of_their_job(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    jobs.open_job(lib, "Two Gulls", jobs.Facts(frame="9:16,1:1"))
    done = pasting.paste(lib, codes, tmp_path / "both.psd", Wishes(job="Two Gulls"))
    assert done.size == parse_frame("9:16").size
    assert [layer.name for layer in PSDImage.open(tmp_path / "both.psd")][-1] == "1:1"
    own = pasting.paste(lib, codes[:1], tmp_path / "dog.png", Wishes(job="Two Gulls"))
    assert own.size != done.size
    other = pasting.paste(lib, codes, tmp_path / "c.png", Wishes(job="Two Gulls", frame=parse_frame("64x48")))
    assert other.size == (64, 48)


@pytest.mark.parametrize(
    ("text", "colour"),
    # values of the names: CSS Color Module Level 4, 6.1
    [("blue", (0, 0, 255)), ("Dark Red", (139, 0, 0)), ("#2b4c7e", (43, 76, 126)), ("2B4C7E", (43, 76, 126))],
)
def test_ink_has_the_colour_that_was_named(text: str, colour: tuple[int, int, int]) -> None:
    assert pasting.read_ink(text) == colour


@pytest.mark.parametrize("text", ["bluish", "", "#12345", "hsl(0,0%,0%)"])
def test_what_is_no_colour_is_told_with_examples(text: str) -> None:
    with pytest.raises(WrongUsage) as told:
        pasting.read_ink(text)
    assert "navy" in str(told.value.hint)
