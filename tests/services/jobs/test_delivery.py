"""Frames come back: what was pasted and left is recognised, what was altered and what is new is offered."""

from __future__ import annotations

import os
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from psd_tools import PSDImage

from assetlib.errors import NotFound, WrongUsage
from assetlib.imaging.layering import returning
from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup, extent
from assetlib.imaging.layering.writing import write_frame
from assetlib.library import Library
from assetlib.rules.shots.lists.reading import read_text
from assetlib.services.bringing import clean_copies, intake, redrawing
from assetlib.services.describing import tagging
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.jobs import delivery, jobs, sheets
from assetlib.services.jobs.delivery import Delivered
from assetlib.services.jobs.frame_lines import told_by
from assetlib.services.keeping import history
from tests.conftest import NOON, Draw

JOB = "Bakery van"


@pytest.fixture
def begun(lib: Library, draw: Draw, tmp_path: Path) -> Path:
    """A folder with one frame begun: a dog and a van in layers."""
    paths = [draw("dog sitting.png", 1, size=(300, 240)), draw("delivery van.png", 4, size=(400, 240))]
    intake.bring_in(lib, paths, intake.Wishes(role="element"))
    jobs.open_job(lib, JOB, jobs.Facts(frame="1280x720"))
    sheet = sheets.pull(lib, read_text("1 WS, dog sitting waits for the van"), sheets.Wishes(JOB))
    folder = tmp_path / "frames"
    sheets.write_frames(lib, sheet, sheets.plan_for(lib, folder, JOB, None, None))
    return folder


def redrawn(path: Path, **drawn: str) -> None:
    """The file written anew by other means: its layers read by psd-tools, one painted on, some added or renamed."""
    document = PSDImage.open(path)
    _, layers = returning.read_layers(path)
    for place, layer in enumerate(layers):
        for wanted, what in drawn.items():
            if wanted in layer.name and isinstance(layer, LayerGroup):
                layers[place] = _changed(layer, what)
    if "new" in drawn:
        picture = Image.new("RGBA", (90, 60))
        ImageDraw.Draw(picture).ellipse((5, 5, 80, 50), outline=(0, 0, 0, 255), width=4)
        layers.append(Layer("kite", np.asarray(picture), 500, 40))
    write_frame(LayeredFrame((document.width, document.height), tuple(layers)), path)


def _changed(group: LayerGroup, what: str) -> LayerGroup:
    if what == "painted over":
        return LayerGroup(group.name, tuple(_scribbled(layer) for layer in group.layers))
    if what == "renamed":
        return LayerGroup("Group 3", group.layers)
    if what == "scaled":
        return LayerGroup(group.name, tuple(_scaled(layer) for layer in group.layers))
    ink = group.layers[-1]
    assert isinstance(ink, Layer)
    picture = Image.fromarray(np.ascontiguousarray(ink.pixels))
    pen, (width, height) = ImageDraw.Draw(picture), picture.size
    pen.line((width * 0.3, height * 0.4, width * 0.7, height * 0.6), fill=(0, 0, 0, 255), width=5)
    return LayerGroup(group.name, (*group.layers[:-1], Layer("ink", np.asarray(picture), ink.x, ink.y)))


def _scribbled(layer: Layer | LayerGroup) -> Layer:
    """Lines all over the ink, so that some are seen wherever it is cut off."""
    assert isinstance(layer, Layer)
    picture = Image.fromarray(np.ascontiguousarray(layer.pixels))
    if layer.name == "ink":
        for x in range(10, picture.width, 40):
            ImageDraw.Draw(picture).line((x, 0, x, picture.height), fill=(0, 0, 0, 255), width=8)
    return replace(layer, pixels=np.asarray(picture))


def _scaled(layer: Layer | LayerGroup) -> Layer:
    assert isinstance(layer, Layer)
    picture = Image.fromarray(np.ascontiguousarray(layer.pixels))
    size = round(picture.width * 1.3), round(picture.height * 1.3)
    larger = np.asarray(picture.resize(size, Image.Resampling.BICUBIC))
    return Layer(layer.name, larger, round(layer.x * 1.3), round(layer.y * 1.3))


def states(found: Delivered) -> list[tuple[str, str]]:
    return [(row.name.split(" ·")[0], row.state) for row in found.frames[0].layers]


def test_what_was_pasted_and_left_is_recognised(lib: Library, begun: Path) -> None:
    found = delivery.close_delivered(lib, JOB, begun)
    assert states(found) == [("dog sitting", "unchanged"), ("delivery van", "unchanged")]
    (frame,) = found.frames
    assert (frame.shot, frame.round) == ("01a", 1)
    assert found.job is not None
    assert found.job.closed_on is not None


@pytest.mark.parametrize("what", ["scaled", "renamed"])
def test_moved_scaled_or_renamed_groups_are_no_alteration(lib: Library, begun: Path, what: str) -> None:
    redrawn(next(begun.iterdir()), **{"dog sitting": what})
    found = delivery.close_delivered(lib, JOB, begun)
    assert [row.state for row in found.frames[0].layers] == ["unchanged", "unchanged"]


def test_what_was_painted_on_is_offered_as_the_next_version_and_what_is_new_as_an_element(
    lib: Library, begun: Path
) -> None:
    (path,) = begun.iterdir()
    redrawn(path, **{"dog sitting": "painted", "new": "yes"})
    found = delivery.close_delivered(lib, JOB, begun)
    assert sorted(states(found)) == [
        ("delivery van", "unchanged"),
        ("dog sitting", "altered"),
        ("kite", "new"),
    ]
    rows = {row.state: row for row in found.frames[0].layers}
    assert rows["altered"].as_what == "next version"
    assert (
        rows["altered"].command
        == f"assetlib doubles {rows['altered'].code} {rows['altered'].element} --altered"
    )
    titles = {result.card.code: result.card.title for result in find(lib, Asked()).results}
    assert titles[rows["new"].element] == "kite"
    assert titles[rows["altered"].element] == "dog sitting"


def test_delivered_frames_have_a_role_of_their_own_and_are_found_when_asked_for(
    lib: Library, begun: Path
) -> None:
    found = delivery.close_delivered(lib, JOB, begun)
    code = found.frames[0].code
    assert code not in [result.card.code for result in find(lib, Asked()).results]
    assert [result.card.code for result in find(lib, Asked(roles=("frame",), job=JOB)).results] == [code]
    assert find(lib, Asked(roles=("frame",), job="Ferry")).results == ()
    assert [frame.code for frame in delivery.frames_of(lib, JOB)] == [code]
    history.undo_steps(lib, 1)  # one step for all of it
    assert delivery.frames_of(lib, JOB) == []
    assert jobs.show(lib, JOB).closed_on is None


def test_a_flat_frame_is_looked_through_for_drawings(lib: Library, begun: Path) -> None:
    (path,) = begun.iterdir()
    with Image.open(path) as opened:
        opened.convert("RGB").save(begun / "A_01a_r2.png")
    path.unlink()
    (frame,) = delivery.close_delivered(lib, JOB, begun).frames
    assert (frame.shot, frame.round) == ("01a", 2)
    assert "delivery van" in [title for _, title in frame.seen]


def test_a_frame_merged_into_one_layer_is_a_flat_one(lib: Library, begun: Path) -> None:
    (path,) = begun.iterdir()
    merged = PSDImage.open(path).topil()
    assert merged is not None
    document = PSDImage.new("RGB", merged.size, color=(255, 255, 255))
    document.create_pixel_layer(merged.convert("RGBA"), name="Merged")
    document.save(path)
    (frame,) = delivery.close_delivered(lib, JOB, begun).frames
    assert frame.layers == ()
    assert "delivery van" in [title for _, title in frame.seen]


@pytest.mark.parametrize("ending", [".psd", ".ora"])
@pytest.mark.parametrize("kept_whole", [True, False])
def test_an_altered_drawing_that_runs_out_of_the_frame_comes_back_whole(
    lib: Library, begun: Path, ending: str, kept_whole: bool
) -> None:
    """As far as its layer carries it; where the program cut it off at the frame it is a member of the family."""
    (path,) = begun.iterdir()
    redrawn(path, **{"dog sitting": "painted"})
    size, layers = returning.read_layers(path)
    for place, layer in enumerate(layers):
        if "dog sitting" in layer.name and isinstance(layer, LayerGroup):
            layers[place] = moved(layer, 1180, 300, None if kept_whole else size)
            whole = returning.alone(layer).pixels.shape[:2]
    path.unlink()
    write_frame(LayeredFrame(size, tuple(layers)), path.with_suffix(ending))
    found = delivery.close_delivered(lib, JOB, begun)
    (row,) = [row for row in found.frames[0].layers if row.state == "altered"]
    assert row.as_what == ("next version" if kept_whole else "family member")
    copies = clean_copies.make(lib, row.element)
    with Image.open(copies.ink) as ink:
        wide, high = ink.size
    assert (abs(wide - whole[1]) <= 2) == kept_whole
    if kept_whole:
        assert abs(high - whole[0]) <= 2


def test_a_drawing_that_came_back_in_a_frame_is_still_what_its_name_says(lib: Library, begun: Path) -> None:
    redrawn(next(begun.iterdir()), **{"dog sitting": "painted"})
    found = delivery.close_delivered(lib, JOB, begun)
    (row,) = [row for row in found.frames[0].layers if row.state == "altered"]
    before = show(lib, row.code).card.facets
    redrawing.next_version(lib, row.code, row.element, "came back altered")
    assert before["pose"]
    assert show(lib, row.code).card.facets == before


@pytest.mark.parametrize("ending", [".psd", ".ora"])
@pytest.mark.parametrize("painted", [False, True])
@pytest.mark.parametrize("corner", [(1150, 300), (-90, 560), (1150, 560)])
def test_a_drawing_that_was_cut_off_at_the_frame_is_compared_as_far_as_it_is_there(
    lib: Library, begun: Path, ending: str, painted: bool, corner: tuple[int, int]
) -> None:
    (path,) = begun.iterdir()
    if painted:
        redrawn(path, **{"dog sitting": "painted over"})
    size, layers = returning.read_layers(path)
    for place, layer in enumerate(layers):
        if "dog sitting" in layer.name and isinstance(layer, LayerGroup):
            layers[place] = moved(layer, *corner, size)
    path.unlink()
    write_frame(LayeredFrame(size, tuple(layers)), path.with_suffix(ending))
    found = delivery.close_delivered(lib, JOB, begun, dry_run=True)
    assert dict(states(found))["dog sitting"] == ("altered" if painted else "unchanged")


def test_a_body_that_was_made_anew_since_is_no_alteration_of_the_drawing(lib: Library, begun: Path) -> None:
    path = next(begun.iterdir())
    size, layers = returning.read_layers(path)
    for place, layer in enumerate(layers):
        if "dog sitting" in layer.name and isinstance(layer, LayerGroup):
            body, ink = layer.layers
            assert isinstance(body, Layer)
            pixels = body.pixels.copy()
            pixels[: len(pixels) // 3] = 0
            layers[place] = replace(layer, layers=(replace(body, pixels=pixels), ink))
    write_frame(LayeredFrame(size, tuple(layers)), path)
    found = delivery.close_delivered(lib, JOB, begun, dry_run=True)
    assert dict(states(found))["dog sitting"] == "unchanged"


@pytest.mark.parametrize("words", ["dog", "waits van", "round 1", "bakery", "14 mar 2026"])
def test_a_delivered_frame_is_found_by_its_line_its_drawings_its_job_and_its_day(
    lib: Library, begun: Path, words: str
) -> None:
    for path in begun.iterdir():
        os.utime(path, (NOON.timestamp(), NOON.timestamp()))
    (frame,) = delivery.close_delivered(lib, JOB, begun).frames
    found = find(lib, Asked(words, roles=("frame",))).results
    assert [result.card.code for result in found] == [frame.code]
    assert found[0].card.title == "01a, round 1 — WS, dog sitting waits for the van"
    assert frame.code not in [result.card.code for result in find(lib, Asked(words)).results]


def test_a_frame_keeps_what_the_artist_called_it(lib: Library, begun: Path) -> None:
    (frame,) = delivery.close_delivered(lib, JOB, begun).frames
    tagging.describe(lib, [frame.code], tagging.Description(title="the one they liked"))
    delivery.close_delivered(lib, JOB, begun)
    assert show(lib, frame.code).card.title == "the one they liked"


def test_a_frame_of_an_omitted_shot_is_named(lib: Library, begun: Path) -> None:
    (frame,) = delivery.close_delivered(lib, JOB, begun, dry_run=True).frames
    assert not frame.is_gone
    sheets.pull(lib, read_text("1 OMIT\n2 WS, delivery van"), sheets.Wishes(JOB))
    (frame,) = delivery.close_delivered(lib, JOB, begun).frames
    assert frame.is_gone
    assert frame.line == "WS, dog sitting waits for the van"


def moved(layer: Layer | LayerGroup, x: int, y: int, canvas: tuple[int, int] | None) -> Layer | LayerGroup:
    """A group moved to a corner; with a canvas, as programs save it that keep nothing outside."""
    if isinstance(layer, LayerGroup):
        left, top, *_ = extent(layer.layers)
        parts = [part for part in layer.layers if isinstance(part, Layer)]
        there = (replace(part, x=part.x - left + x, y=part.y - top + y) for part in parts)
        return replace(layer, layers=tuple(cropped(part, canvas) for part in there))
    return layer


def cropped(layer: Layer, canvas: tuple[int, int] | None) -> Layer:
    if canvas is None:
        return layer
    left, top = max(0, -layer.x), max(0, -layer.y)
    pixels = layer.pixels[top : canvas[1] - layer.y, left : canvas[0] - layer.x]
    return replace(layer, pixels=pixels, x=layer.x + left, y=layer.y + top)


def test_a_damaged_frame_is_told_once_and_stops_nothing(lib: Library, begun: Path) -> None:
    (path,) = begun.iterdir()
    (begun / "A_02a_r1.psd").write_bytes(path.read_bytes()[:3000])
    found = delivery.close_delivered(lib, JOB, begun)
    assert len(found.frames) == 1
    ((file, reason),) = found.failed
    assert file.endswith("A_02a_r1.psd")
    assert "A_02a_r1" not in reason


def test_a_trial_run_says_all_of_it_and_changes_nothing(lib: Library, begun: Path) -> None:
    redrawn(next(begun.iterdir()), **{"dog sitting": "painted"})
    found = delivery.close_delivered(lib, JOB, begun, dry_run=True)
    assert ("dog sitting", "altered") in states(found)
    assert delivery.frames_of(lib, JOB) == []
    assert jobs.show(lib, JOB).closed_on is None
    assert find(lib, Asked(roles=("frame",))).results == ()


def test_a_file_that_is_no_picture_stops_nothing(lib: Library, begun: Path, tmp_path: Path) -> None:
    (begun / "A_02a_r1.psd").write_bytes(b"8BPS but no more")
    found = delivery.close_delivered(lib, JOB, begun)
    assert len(found.frames) == 1
    assert [Path(file).name for file, _ in found.failed] == ["A_02a_r1.psd"]
    with pytest.raises(WrongUsage):
        delivery.close_delivered(lib, JOB, tmp_path / "nowhere")
    (tmp_path / "empty").mkdir()
    with pytest.raises(WrongUsage):
        delivery.close_delivered(lib, JOB, tmp_path / "empty")
    with pytest.raises(NotFound):
        delivery.close_delivered(lib, "Bakrey van", begun)


def test_a_frame_delivered_again_is_the_same_frame(lib: Library, begun: Path, tmp_path: Path) -> None:
    first = delivery.close_delivered(lib, JOB, begun)
    again = tmp_path / "again"
    shutil.copytree(begun, again)
    second = delivery.close_delivered(lib, JOB, again)
    assert [frame.code for frame in second.frames] == [frame.code for frame in first.frames]


@pytest.mark.parametrize(
    ("name", "told"),
    [("A_05a_r1", ("05a", 1)), ("12_r2", ("12", 2)), ("A_05a_r1_2", ("05a", 1)), ("07B", ("07B", None)),
     ("final board", (None, None))],
)  # fmt: skip
def test_a_name_tells_shot_and_round(name: str, told: tuple[str | None, int | None]) -> None:
    assert told_by(name) == told
