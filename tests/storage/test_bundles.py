"""Building bundles: what goes in, what stops it, and that stock tools accept what comes out."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import json
import os
import subprocess
import sys
import time
import zipfile
from datetime import date
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from PIL import Image

from assetlib.errors import BadPicture, BundleInvalid, NotClear, NotFound, WrongUsage
from assetlib.rules.rights.clearance import Answer, Question, judge
from assetlib.storage.bundles import BundlePlan, PlannedItem, verify_bundle
from tests.outside import needs_program, read_with_exiftool
from tests.storage.conftest import DRAWINGS, ISSUED, Sealed, write_bundle

SEALED_EARLIER = sorted(Path(__file__).with_name("issued").glob("manifest-*.zip"))
"""Sealed by earlier assetlibs: with one picture a drawing (1), without a contact sheet (2)."""


def unpack(path: Path, folder: Path) -> Path:
    with zipfile.ZipFile(path) as archive:
        archive.extractall(folder)
    (top,) = folder.iterdir()
    return top


def with_item(plan: BundlePlan, **changes: Any) -> BundlePlan:
    """The plan with its second drawing changed."""
    first, second, third = plan.items
    return dataclasses.replace(plan, items=(first, dataclasses.replace(second, **changes), third))


def bagit_says(folder: Path) -> int:
    command = [sys.executable, "-W", "ignore", "-m", "bagit", "--validate", "--quiet", str(folder)]
    return subprocess.run(command, capture_output=True, check=False).returncode


def checksums_hold(folder: Path) -> bool:
    manifests = ["manifest-sha512.txt", "tagmanifest-sha512.txt"]
    command = [needs_program("sha512sum"), "--strict", "--status", "-c", *manifests]
    return subprocess.run(command, cwd=folder, check=False).returncode == 0


def test_a_sealed_bundle_verifies(sealed: Sealed) -> None:
    verification = verify_bundle(sealed.path)
    assert verification.problems == ()
    assert verification.ok
    assert verification.sha256 == hashlib.sha256(sealed.path.read_bytes()).hexdigest()


def test_it_holds_what_it_should_and_nothing_else(sealed: Sealed) -> None:
    with zipfile.ZipFile(sealed.path) as archive:
        names = archive.namelist()
    assert names == sorted(names)
    assert [name.removeprefix("before-the-ovens-1.0.0/") for name in names] == [
        "bag-info.txt",
        "bagit.txt",
        "data/catalogue/contact-sheet.pdf",
        "data/images/backerei-van-before-dawn-k7wdm2-ink-alone.png",
        "data/images/backerei-van-before-dawn-k7wdm2-with-body.png",
        "data/images/hand-with-phone-p3xhr9-ink-alone.png",
        "data/images/hand-with-phone-p3xhr9-with-body.png",
        "data/images/t8nca4-ink-alone.png",
        "data/images/t8nca4-with-body.png",
        "data/licence/allowed-signers",
        "data/licence/how-to-check.txt",
        "data/licence/licence.txt",
        "data/manifest.json",
        "data/previews/backerei-van-before-dawn-k7wdm2.jpg",
        "data/previews/hand-with-phone-p3xhr9.jpg",
        "data/previews/t8nca4.jpg",
        "manifest-sha512.txt",
        "tagmanifest-sha512.txt",
        "tagmanifest-sha512.txt.sig",
    ]


def test_the_receipt_says_what_was_sealed(plan: BundlePlan, tmp_path: Path) -> None:
    receipt = write_bundle(plan, tmp_path / "bundle.zip")
    data = receipt.path.read_bytes()
    assert (receipt.sha256, receipt.bytes) == (hashlib.sha256(data).hexdigest(), len(data))
    assert {item.code: item.title for item in receipt.items} == DRAWINGS
    with zipfile.ZipFile(receipt.path) as archive:
        assert archive.read(f"{plan.name}/data/manifest.json").decode() == receipt.manifest
        for picture in (lying for item in receipt.items for lying in (item.with_body, item.ink_alone)):
            data = archive.read(f"{plan.name}/{picture.file}")
            assert (hashlib.sha512(data).hexdigest(), len(data)) == (picture.sha512, picture.bytes)


def test_the_library_for_bags_accepts_it_and_notices_a_change(sealed: Sealed, tmp_path: Path) -> None:
    top = unpack(sealed.path, tmp_path)
    assert bagit_says(top) == 0
    licence = top / "data/licence/licence.txt"
    licence.write_bytes(licence.read_bytes().replace(b"may not", b"may now"))
    assert bagit_says(top) == 1


def test_coreutils_accept_it_and_notice_a_change(sealed: Sealed, tmp_path: Path) -> None:
    top = unpack(sealed.path, tmp_path)
    assert checksums_hold(top)
    (top / "bag-info.txt").write_text("Contact-Email: somebody@example.org\n")
    assert not checksums_hold(top)


def test_unzip_accepts_it(sealed: Sealed) -> None:
    command = [needs_program("unzip"), "-tq", sealed.path]
    assert subprocess.run(command, capture_output=True, check=False).returncode == 0


def test_the_manifest_fits_its_schema_and_the_schema_fits_the_standard(sealed: Sealed) -> None:
    schema = json.loads(resources.files("assetlib.storage").joinpath("manifest-3.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    with zipfile.ZipFile(sealed.path) as archive:
        manifest = json.loads(archive.read("before-the-ovens-1.0.0/data/manifest.json"))
    jsonschema.validate(manifest, schema)
    first = manifest["items"][0]
    assert first["title"] == DRAWINGS["K7WDM2"]
    assert first["clearance"] == {
        "state": "clear",
        "checked": "2026-03-10",
        "modelRelease": "MR-NAP",
        "propertyRelease": "PR-NAP",
        "dataMining": "DMI-PROHIBITED-AIMLTRAINING",
    }
    assert first["pixelsPerMetre"] == [11811, 11811]  # 300 pixels an inch
    assert manifest["licence"]["spdx"] == "LicenseRef-Assetlib-One-Artist-2"


def test_pictures_keep_pixels_and_resolution_and_lose_their_words(sealed: Sealed) -> None:
    data = sealed.path.read_bytes()
    assert b"/home/mira" not in data
    assert b"paint program" not in data
    hand = sealed.plan.items[1]
    for kind, path in (("with-body", hand.with_body), ("ink-alone", hand.ink_alone)):
        delivered = sealed_file(sealed, f"data/images/hand-with-phone-p3xhr9-{kind}.png")
        with Image.open(path) as ours, Image.open(io.BytesIO(delivered)) as theirs:
            assert (theirs.mode, theirs.size, theirs.tobytes()) == (ours.mode, ours.size, ours.tobytes())
            assert theirs.info["dpi"] == ours.info["dpi"]


def sealed_file(sealed: Sealed, path: str) -> bytes:
    with zipfile.ZipFile(sealed.path) as archive:
        return archive.read(f"{sealed.plan.name}/{path}")


def test_what_stands_behind_shows_through_the_ink_alone_and_not_through_the_body(sealed: Sealed) -> None:
    street = Image.new("RGBA", (120, 90), (90, 90, 90, 255))
    seen = {}
    for kind in ("with-body", "ink-alone"):
        data = sealed_file(sealed, f"data/images/hand-with-phone-p3xhr9-{kind}.png")
        with Image.open(io.BytesIO(data)) as drawing:
            pasted = Image.alpha_composite(street, drawing.convert("RGBA"))
        seen[kind] = pasted.getpixel((60, 46)), pasted.getpixel((2, 2))
    assert seen == {
        "with-body": ((255, 255, 255, 255), (90, 90, 90, 255)),
        "ink-alone": ((90, 90, 90, 255), (90, 90, 90, 255)),
    }


def test_another_reader_finds_the_resolution_in_the_sealed_files(sealed: Sealed, tmp_path: Path) -> None:
    for path in sorted((unpack(sealed.path, tmp_path) / "data/images").iterdir()):
        told = read_with_exiftool(path, "PNG-pHYs:all")
        assert (told["PixelsPerUnitX"], told["PixelsPerUnitY"], told["PixelUnits"]) == (11811, 11811, 1)


def test_ink_and_body_of_one_drawing_are_of_one_size(plan: BundlePlan, tmp_path: Path) -> None:
    with Image.open(plan.items[1].ink_alone) as ink:
        ink.crop((0, 0, 100, 90)).save(tmp_path / "smaller.png")
    with pytest.raises(BadPicture, match=r"P3XHR9 Hand with phone.*differ in size"):
        write_bundle(with_item(plan, ink_alone=tmp_path / "smaller.png"), tmp_path / "bundle.zip")


@pytest.mark.parametrize("earlier", SEALED_EARLIER, ids=lambda path: path.stem)
def test_a_bundle_sealed_by_an_earlier_assetlib_still_verifies(earlier: Path, tmp_path: Path) -> None:
    assert verify_bundle(earlier).problems == ()
    assert bagit_says(unpack(earlier, tmp_path / "whole")) == 0
    version = int(earlier.stem[-1])
    spoilt = tmp_path / "spoilt.zip"
    before, after = b'"formatVersion":%d' % version, b'"formatVersion":%d' % (version + 1)
    spoilt.write_bytes(earlier.read_bytes().replace(before, after))
    assert not verify_bundle(spoilt).ok


def test_building_twice_gives_the_same_bytes(
    plan: BundlePlan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = write_bundle(plan, tmp_path / "first.zip")
    for path in (path for item in plan.items for path in (item.with_body, item.ink_alone)):
        os.utime(path, (0, 0))
        path.chmod(0o600)
    if hasattr(time, "tzset"):
        monkeypatch.setenv("TZ", "Pacific/Kiritimati")
        time.tzset()
    shuffled = dataclasses.replace(plan, items=plan.items[::-1])
    second = write_bundle(shuffled, tmp_path / "elsewhere" / "second.zip")
    monkeypatch.undo()
    assert first.sha256 == second.sha256
    assert first.items == second.items


def test_the_same_issue_again_leaves_the_file_alone(plan: BundlePlan, tmp_path: Path) -> None:
    first = write_bundle(plan, tmp_path / "bundle.zip")
    before = first.path.stat()
    assert write_bundle(plan, first.path) == first
    assert (first.path.stat().st_ino, first.path.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_an_issued_bundle_is_never_replaced(plan: BundlePlan, tmp_path: Path) -> None:
    first = write_bundle(plan, tmp_path / "bundle.zip")
    before = first.path.read_bytes()
    with pytest.raises(BundleInvalid, match="already"):
        write_bundle(dataclasses.replace(plan, title="Another"), first.path)
    assert first.path.read_bytes() == before


def nothing_but_drawings(folder: Path) -> bool:
    drawn = [f"{code}-{kind}.png" for code in DRAWINGS for kind in ("body", "ink")]
    return sorted(path.name for path in folder.iterdir()) == sorted(drawn)


@pytest.mark.parametrize(
    ("answers", "finding"),
    [
        ([], "origin-unanswered"),
        ([Answer(Question.ORIGIN, "traced-from-found")], "traced-from-found-photo"),
        ([Answer(Question.OWNERSHIP, "made-for-hire")], "made-for-hire"),
        ([Answer(Question.DEPICTS, "real-person")], "shows-real-person"),
    ],
)
def test_a_drawing_that_is_not_clear_stops_the_build(
    plan: BundlePlan, tmp_path: Path, answers: list[Answer], finding: str
) -> None:
    verdict = judge(answers, ISSUED)
    with pytest.raises(NotClear) as caught:
        write_bundle(with_item(plan, verdict=verdict), tmp_path / "bundle.zip")
    for told in ("1 of 3", "P3XHR9", "Hand with phone", finding):
        assert told in caught.value.sentence
    assert verdict.open_findings[0].what_would_help in (caught.value.hint or "")
    assert nothing_but_drawings(tmp_path)


def test_a_paper_that_ends_stops_a_licence_without_an_end(plan: BundlePlan, tmp_path: Path) -> None:
    verdict = dataclasses.replace(plan.items[1].verdict, until=date(2027, 1, 31))
    with pytest.raises(NotClear) as caught:
        write_bundle(with_item(plan, verdict=verdict), tmp_path / "bundle.zip")
    for told in ("1 of 3", "P3XHR9 Hand with phone (until 2027-01-31)", "'one artist' has no end"):
        assert told in caught.value.sentence
    assert nothing_but_drawings(tmp_path)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"slug": "../out"}, "short name"),
        ({"slug": "a/b"}, "short name"),
        ({"slug": "con"}, "short name"),
        ({"slug": "Ovens"}, "short name"),
        ({"version": "one"}, "version"),
        ({"version": "1.0.0/../.."}, "version"),
        ({"issued": date(1979, 12, 31)}, "1980"),
        ({"contact": "nobody"}, "e-mail"),
        ({"contact": "rights@example.org\udcff"}, "e-mail"),
        ({"licence_text": "All of it \udcff"}, "half a character"),
        ({"title": " \n"}, "title"),
        ({"licensor": ""}, "licensor"),
        ({"licence_text": ""}, "licence text"),
        ({"items": ()}, "empty"),
    ],
)
def test_a_plan_with_gaps_is_refused(
    plan: BundlePlan, tmp_path: Path, changes: dict[str, Any], named: str
) -> None:
    with pytest.raises(WrongUsage, match=named):
        write_bundle(dataclasses.replace(plan, **changes), tmp_path / "bundle.zip")
    assert nothing_but_drawings(tmp_path)


def test_the_same_drawing_twice_is_refused(plan: BundlePlan, tmp_path: Path) -> None:
    with pytest.raises(WrongUsage, match="K7WDM2 is in it 2 times"):
        write_bundle(with_item(plan, code="k7wdm2"), tmp_path / "bundle.zip")


@pytest.mark.parametrize("kind", ["with_body", "ink_alone"])
def test_a_picture_that_cannot_be_read_is_named_and_leaves_nothing(
    plan: BundlePlan, tmp_path: Path, kind: str
) -> None:
    getattr(plan.items[1], kind).write_bytes(b"no picture")
    with pytest.raises(BadPicture, match="P3XHR9 Hand with phone"):
        write_bundle(plan, tmp_path / "bundle.zip")
    assert nothing_but_drawings(tmp_path)


def test_titles_cannot_break_out_of_their_line(plan: BundlePlan, tmp_path: Path) -> None:
    sly = "Van\nPayload-Oxum: 0.0\r\n\udcff\u2028x"
    plan = with_item(dataclasses.replace(plan, title=sly, licensor=sly), title=sly)
    receipt = write_bundle(plan, tmp_path / "bundle.zip")
    assert verify_bundle(receipt.path).ok
    assert bagit_says(unpack(receipt.path, tmp_path / "unpacked")) == 0


def test_an_untitled_drawing_goes_by_its_code(plan: BundlePlan, tmp_path: Path) -> None:
    receipt = write_bundle(with_item(plan, title=""), tmp_path / "bundle.zip")
    assert [(item.title, item.with_body.file) for item in receipt.items if item.code == "P3XHR9"] == [
        ("P3XHR9", "data/images/p3xhr9-with-body.png")
    ]


def test_long_titles_make_short_names(plan: BundlePlan) -> None:
    item: PlannedItem = dataclasses.replace(plan.items[0], title="very " * 60 + "long")
    assert len(item.stem) < 50


def test_no_bundle_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match=r"gone\.zip"):
        verify_bundle(tmp_path / "gone.zip")
