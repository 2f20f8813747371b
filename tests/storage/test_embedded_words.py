"""What a buyer's programs read in the pictures of a bundle: exiftool (Debian: libimage-exiftool-perl) reads it here.

The fields are those of the IPTC Photo Metadata Standard 2025.1 and of PLUS LDF 1.2.1. exiftool 12.57 knows no
DataMining yet and prints its whole address; newer ones print the code: ends are compared.
"""

from __future__ import annotations

import dataclasses
import io
import json
import subprocess
import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from PIL import Image

from assetlib.errors import WrongUsage
from assetlib.rules.rights.clearance import Answer, Evidence, PaperKind, Question, judge
from assetlib.storage.bundles import BundlePlan, verify_bundle
from assetlib.storage.plans import SourceType
from tests.outside import PATIENCE, needs_program
from tests.storage.conftest import ISSUED, write_bundle

PEOPLE = judge(
    [
        Answer(Question.ORIGIN, "own-photo"),
        Answer(Question.OWNERSHIP, "own"),
        Answer(Question.DEPICTS, "real-person", (Evidence(PaperKind.MODEL_RELEASE, "drawer 2, Ada Quist"),)),
        Answer(Question.AI, "none"),
    ],
    ISSUED,
)


def told_by_exiftool(folder: Path, *options: str) -> list[dict[str, Any]]:
    """Every tag of every picture below a folder, raw, by file."""
    command = [needs_program("exiftool"), "-json", "-n", "-struct", "-G1", "-r", *options, str(folder)]
    done = subprocess.run(command, capture_output=True, check=True, timeout=PATIENCE)
    return list(json.loads(done.stdout))


def unpacked(plan: BundlePlan, folder: Path) -> Path:
    receipt = write_bundle(plan, folder / "bundle.zip")
    assert verify_bundle(receipt.path).ok
    with zipfile.ZipFile(receipt.path) as archive:
        archive.extractall(folder / "unpacked")
    return folder / "unpacked" / plan.name / "data"


@pytest.fixture
def told(plan: BundlePlan, tmp_path: Path) -> list[dict[str, Any]]:
    first, second, third = plan.items
    second = dataclasses.replace(
        second,
        subjects=("hand & phone", "night", "電話"),
        description="Hand with phone. CU, night",
        verdict=PEOPLE,
    )
    plan = dataclasses.replace(plan, items=(first, second, third), website="https://mira.example/terms")
    return told_by_exiftool(unpacked(plan, tmp_path))


def of(told: list[dict[str, Any]], name: str) -> list[dict[str, Any]]:
    return [row for row in told if name in row["SourceFile"] and not row["SourceFile"].endswith("pdf")]


def test_every_picture_says_whose_it_is_and_what_may_be_done_with_it(told: list[dict[str, Any]]) -> None:
    pictures = [row for row in told if row["SourceFile"].endswith((".png", ".jpg"))]
    assert len(pictures) == 9
    for row in pictures:
        assert row["XMP-dc:Creator"] == ["Mira Holm"]
        assert row["XMP-dc:Rights"] == "© 2026 Mira Holm"
        assert row["XMP-xmpRights:Marked"] is True
        assert "LicenseRef-Assetlib-One-Artist-2" in row["XMP-xmpRights:UsageTerms"]
        assert row["XMP-xmpRights:WebStatement"] == "https://mira.example/terms"
        assert row["XMP-photoshop:Credit"] == "Mira Holm"
        assert row["XMP-iptcExt:DigitalSourceType"].endswith("/digitalsourcetype/digitalCreation")
        assert row["XMP-iptcCore:CreatorContactInfo"] == {
            "CiEmailWork": "rights@example.org", "CiUrlWork": "https://mira.example/terms"
        }  # fmt: skip
        assert row["XMP-plus:Licensor"] == [
            {"LicensorName": "Mira Holm", "LicensorEmail": "rights@example.org",
             "LicensorURL": "https://mira.example/terms"}
        ]  # fmt: skip
        assert row["XMP-plus:CopyrightOwner"] == [{"CopyrightOwnerName": "Mira Holm"}]
        assert row["XMP-plus:ImageCreator"] == [{"ImageCreatorName": "Mira Holm"}]
        codes = [row[f"XMP-plus:{name}"] for name in
                 ("CopyrightStatus", "ImageType", "CreditLineRequired", "ImageDuplicationConstraints")]  # fmt: skip
        assert codes == ["CS-PRO", "TY-ILL", "CR-NRQ", "DP-LIC"]
        assert row["XMP-plus:DataMining"].endswith("DMI-PROHIBITED-AIMLTRAINING")
        assert "ExifTool:Warning" not in row


def test_a_picture_says_what_it_shows_and_which_releases_there_are(told: list[dict[str, Any]]) -> None:
    hands = of(told, "hand-with-phone")
    assert len(hands) == 3
    for row in hands:
        assert row["XMP-dc:Title"] == "Hand with phone"
        assert row["XMP-dc:Description"] == "Hand with phone. CU, night"
        assert row["XMP-iptcCore:AltTextAccessibility"] == "Hand with phone. CU, night"
        assert row["XMP-dc:Subject"] == ["hand & phone", "night", "電話"]
        assert row["XMP-plus:LicensorImageID"] == "P3XHR9"
        assert (row["XMP-plus:ModelReleaseStatus"], row["XMP-plus:PropertyReleaseStatus"]) == (
            "MR-UMR",
            "PR-NAP",
        )
    others = of(told, "t8nca4")
    assert {row["XMP-plus:ModelReleaseStatus"] for row in others} == {"MR-NAP"}
    assert {row["XMP-dc:Title"] for row in others} == {"渡し船"}


def test_every_picture_has_an_id_of_its_own_that_stays(told: list[dict[str, Any]]) -> None:
    ids = [row["XMP-iptcExt:DigitalImageGUID"] for row in told if "XMP-iptcExt:DigitalImageGUID" in row]
    assert len(set(ids)) == 9
    assert all(UUID(one.removeprefix("urn:uuid:")).version == 5 for one in ids)


def test_nothing_else_stands_in_them(told: list[dict[str, Any]]) -> None:
    """Groups of tags that exiftool finds: those of the file itself, of its container, and ours."""
    allowed = {"System", "File", "ExifTool", "Composite", "PNG", "PNG-pHYs", "JFIF", "XMP-x",
               "XMP-dc", "XMP-xmpRights", "XMP-photoshop", "XMP-iptcCore", "XMP-iptcExt", "XMP-plus"}  # fmt: skip
    for row in of(told, ""):
        groups = {key.partition(":")[0] for key in row} - {"SourceFile"}
        if row["SourceFile"].endswith((".png", ".jpg")):
            assert groups <= allowed, groups - allowed
    assert "Ada Quist" not in json.dumps(told)


def test_pixels_are_those_of_the_clean_copy_and_the_originals_are_not_touched(
    plan: BundlePlan, tmp_path: Path
) -> None:
    before = {path: path.read_bytes() for item in plan.items for path in (item.with_body, item.ink_alone)}
    data = unpacked(plan, tmp_path)
    assert {path: path.read_bytes() for path in before} == before
    manifest = json.loads((data / "manifest.json").read_text())
    for item, planned in zip(manifest["items"], sorted(plan.items, key=lambda one: one.stem), strict=True):
        for kind, source in (("withBody", planned.with_body), ("inkAlone", planned.ink_alone)):
            sealed = (data.parent / item[kind]["file"]).read_bytes()
            with Image.open(source) as ours, Image.open(io.BytesIO(sealed)) as theirs:
                assert (theirs.mode, theirs.size, theirs.tobytes()) == (ours.mode, ours.size, ours.tobytes())


def test_help_of_a_model_is_told(plan: BundlePlan, tmp_path: Path) -> None:
    items = tuple(dataclasses.replace(item, source_type=SourceType.ASSISTED) for item in plan.items)
    (row, *_) = told_by_exiftool(unpacked(dataclasses.replace(plan, items=items), tmp_path) / "images")
    assert row["XMP-iptcExt:DigitalSourceType"].endswith("/compositeWithTrainedAlgorithmicMedia")


def test_words_without_end_still_fit_and_odd_ones_stay_words(plan: BundlePlan, tmp_path: Path) -> None:
    odd = "</rdf:li>\x00\ud800<x>&amp;"  # a zero and half a character become a space
    items = tuple(
        dataclasses.replace(
            item, title="旅" * 4000, subjects=(odd, *("渡" * 900 + str(n) for n in range(900)))
        )
        for item in plan.items
    )
    plan = dataclasses.replace(plan, items=items, licensor="渡" * 3000)
    rows = told_by_exiftool(unpacked(plan, tmp_path) / "previews")
    assert [len(row["XMP-dc:Subject"]) for row in rows] == [60] * 3
    assert {row["XMP-dc:Subject"][0] for row in rows} == {"</rdf:li> <x>&amp;"}


def test_a_website_that_is_none_is_refused(plan: BundlePlan, tmp_path: Path) -> None:
    with pytest.raises(WrongUsage, match="website"):
        write_bundle(dataclasses.replace(plan, website="my page"), tmp_path / "bundle.zip")
