"""One reading tells intake everything, and leaves nothing behind when it fails."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging import survey as surveys
from assetlib.imaging.formats import read_facts
from assetlib.imaging.pixels import hash_image, hash_pixels
from assetlib.imaging.supervise import call_supervised
from assetlib.imaging.survey import Asked, survey
from tests.imaging.pictures import deep_ramp, draw_on_paper, draw_van, png_bytes, save


@pytest.fixture
def staging(tmp_path: Path) -> Path:
    folder = tmp_path / "staging"
    folder.mkdir()
    return folder


def test_everything_is_told_and_copied(tmp_path: Path, staging: Path) -> None:
    path = save(draw_van((1200, 800)), tmp_path / "van.png", dpi=(300, 300))
    found = survey(str(path), str(staging))
    data = path.read_bytes()
    assert (found.sha256, found.bytes) == (hashlib.sha256(data).hexdigest(), len(data))
    assert (staging / found.blob).read_bytes() == data
    assert found.facts == read_facts(path)
    assert found.pixel_sha256 == hash_image(draw_van((1200, 800)))
    assert found.ground == "transparent"
    assert 0 <= found.sheet_likeness <= 1
    with Image.open(staging / found.proof.path) as proof:
        assert proof.format == "WEBP"
        assert proof.size == (found.proof.width, found.proof.height) == (512, 341)


def test_white_paper_is_told_from_a_transparent_ground(tmp_path: Path, staging: Path) -> None:
    path = save(draw_on_paper((600, 400)), tmp_path / "van.jpg", quality=95)
    assert survey(str(path), str(staging)).ground == "white paper"


def test_low_bytes_of_deep_pictures_count(tmp_path: Path, staging: Path) -> None:
    values = deep_ramp(4)
    path = tmp_path / "deep.png"
    path.write_bytes(png_bytes(values, 6))
    assert survey(str(path), str(staging)).pixel_sha256 == hash_pixels(values)


@pytest.mark.parametrize("content", [b"", b"no picture", b"\x89PNG\r\n\x1a\n" + bytes(99)])
def test_a_failure_leaves_nothing_in_staging(tmp_path: Path, staging: Path, content: bytes) -> None:
    path = tmp_path / "thing.png"
    path.write_bytes(content)
    with pytest.raises(BadPicture):
        survey(str(path), str(staging))
    assert list(staging.iterdir()) == []


def test_large_files_stream_to_the_same_result(
    tmp_path: Path, staging: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = save(draw_van(), tmp_path / "van.png")
    held = survey(str(path), str(staging))
    monkeypatch.setattr(surveys, "_HELD_BYTES", 100)
    streamed = survey(str(path), str(staging))
    assert (staging / streamed.blob).read_bytes() == path.read_bytes()
    for name in ("facts", "sha256", "bytes", "pixel_sha256", "ground", "finish", "sheet_likeness"):
        assert getattr(streamed, name) == getattr(held, name)


@pytest.mark.parametrize("size", [(1, 1), (1, 400), (3, 2)])
def test_the_smallest_pictures_are_surveyed(tmp_path: Path, staging: Path, size: tuple[int, int]) -> None:
    path = save(Image.new("RGB", size, "black"), tmp_path / "dot.png")
    found = survey(str(path), str(staging))
    assert found.facts.size == size
    assert np.isfinite(found.sheet_likeness)


def test_a_survey_travels_from_a_worker(tmp_path: Path, staging: Path) -> None:
    path = save(draw_van(), tmp_path / "van.png")
    outcome = call_supervised(survey, str(path), str(staging))
    assert outcome.value is not None, outcome.reason
    assert outcome.value.facts.size == (96, 64)


def test_a_known_role_spares_the_judging_of_sheets(tmp_path: Path, staging: Path) -> None:
    page = Image.new("RGB", (900, 700), "white")
    for left in range(40, 800, 200):
        page.paste("black", (left, 100, left + 120, 220))
        page.paste("black", (left, 400, left + 120, 520))
    path = save(page, tmp_path / "page.png")
    judged, spared = survey(str(path), str(staging)), survey(str(path), str(staging), Asked(sheet=False))
    assert judged.sheet_likeness > 0
    assert spared.sheet_likeness == 0
    assert (spared.ground, spared.finish, spared.pixel_sha256) == (
        judged.ground,
        judged.finish,
        judged.pixel_sha256,
    )


@pytest.mark.parametrize("draw", [draw_van, draw_on_paper])
def test_large_pictures_are_told_the_same_from_a_reduced_copy(
    tmp_path: Path, staging: Path, monkeypatch: pytest.MonkeyPatch, draw: Callable[..., Image.Image]
) -> None:
    path = save(draw((3001, 2000)), tmp_path / "van.png")
    monkeypatch.setattr(surveys, "_AT_ONCE", 3001 * 2000)
    whole = survey(str(path), str(staging))
    monkeypatch.setattr(surveys, "_AT_ONCE", 1000)
    reduced = survey(str(path), str(staging))
    for name in ("pixel_sha256", "ground", "finish"):
        assert getattr(reduced, name) == getattr(whole, name)
    assert (
        (reduced.proof.width, reduced.proof.height) == (whole.proof.width, whole.proof.height) == (512, 341)
    )
    assert abs(reduced.sheet_likeness - whole.sheet_likeness) < 0.1
