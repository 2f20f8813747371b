"""A bundle's manifest.json: written as RFC 8785 canonical JSON, held to its schema on every reading."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import islice
from typing import Any

import jsonschema
import rfc8785

from assetlib.rules.rights.clearance import Releases
from assetlib.rules.rights.embedded_words import DATA_MINING, SOURCE_TYPES
from assetlib.rules.rights.licences import licence_id
from assetlib.rules.wording import one_line
from assetlib.storage.bag import PAYLOAD, FileSum, sum_of
from assetlib.storage.delivery import Delivery
from assetlib.storage.plans import BundlePlan, PlannedItem
from assetlib.storage.problems import Problem
from assetlib.storage.signing import Signer

MANIFEST = "data/manifest.json"
LICENCE = "data/licence/licence.txt"
CONTACT_SHEET = "data/catalogue/contact-sheet.pdf"
HOW_TO_CHECK = "data/licence/how-to-check.txt"
ALLOWED_SIGNERS = "data/licence/allowed-signers"
VERSION = 3
"""Of the manifest: from 2 on each drawing lies twice in a bundle, with its body and its ink alone; from 3 on a
contact sheet lies beside them, and all is signed."""
SIGNED_FROM = 3
"""The first version of the manifest whose bundles are signed."""
IMAGES = "data/images"
PREVIEWS = "data/previews"

NOT_TOLD = Releases("MR-NON", "PR-NON")
"""Release codes that the schema refuses, for a verdict that does not know them."""
_SHOWN = 200
"""Characters of a schema message that are shown; it may quote a whole manifest."""
_NAMED_AT_MOST = 20
"""Schema faults that are named; a hostile manifest can have a million."""


@dataclass(frozen=True)
class SealedPicture:
    """One PNG as it lies in a bundle."""

    file: str
    bytes: int
    sha512: str
    pixel_sha256: str
    has_alpha: bool


@dataclass(frozen=True)
class SealedItem:
    """One drawing as it lies in a bundle: with its body, its ink alone, and a preview of the former."""

    code: str
    uuid: str
    title: str
    with_body: SealedPicture
    ink_alone: SealedPicture
    preview: str


def sealed_item(item: PlannedItem, with_body: Delivery, ink_alone: Delivery) -> SealedItem:
    """Where and as what a drawing lies in the bundle."""
    return SealedItem(
        code=item.code,
        uuid=str(item.uuid),
        title=one_line(item.title) or item.code,
        with_body=_sealed_picture(f"{IMAGES}/{item.stem}-with-body.png", with_body),
        ink_alone=_sealed_picture(f"{IMAGES}/{item.stem}-ink-alone.png", ink_alone),
        preview=f"{PREVIEWS}/{item.stem}.jpg",
    )


def _sealed_picture(file: str, delivery: Delivery) -> SealedPicture:
    seen = sum_of(delivery.png)
    return SealedPicture(file, seen.size, seen.sha512, delivery.pixel_sha256, delivery.has_alpha)


def item_entry(item: PlannedItem, sealed: SealedItem, delivery: Delivery) -> dict[str, Any]:
    """The manifest's words on one drawing. Notes and papers behind the clearance stay at home."""
    releases = item.verdict.releases or NOT_TOLD
    entry: dict[str, Any] = {
        "id": f"urn:uuid:{sealed.uuid}",
        "code": sealed.code,
        "title": sealed.title,
        "withBody": _picture_entry(sealed.with_body),
        "inkAlone": _picture_entry(sealed.ink_alone),
        "preview": sealed.preview,
        "width": delivery.width,
        "height": delivery.height,
        "clearance": {
            "state": item.verdict.state.value,
            "checked": item.checked.isoformat(),
            "modelRelease": releases.model,
            "propertyRelease": releases.property,
            "dataMining": DATA_MINING,
        },
    }
    if delivery.pixels_per_metre is not None:
        entry["pixelsPerMetre"] = list(delivery.pixels_per_metre)
    if item.source_type is not None:
        entry["digitalSourceType"] = SOURCE_TYPES + item.source_type.value
    return entry


def _picture_entry(picture: SealedPicture) -> dict[str, Any]:
    return {
        "file": picture.file,
        "mediaType": "image/png",
        "bytes": picture.bytes,
        "sha512": picture.sha512,
        "pixelSha256": picture.pixel_sha256,
        "hasAlpha": picture.has_alpha,
    }


def manifest_bytes(plan: BundlePlan, entries: Iterable[Mapping[str, Any]], signer: Signer) -> bytes:
    """The manifest of a bundle, the same bytes for the same facts on every machine."""
    manifest: Any = {
        "format": "assetlib-bundle",
        "formatVersion": VERSION,
        "bundle": {
            "id": f"urn:uuid:{plan.id}",
            "slug": plan.slug,
            "title": one_line(plan.title),
            "version": plan.version,
            "issued": plan.issued.isoformat(),
        },
        "licensor": {"name": one_line(plan.licensor), "email": plan.contact},
        "licence": {"spdx": licence_id(plan.tier), "tier": plan.tier.value, "text": LICENCE},
        "contactSheet": CONTACT_SHEET,
        "signer": {
            "key": signer.public,
            "fingerprint": signer.fingerprint,
            "allowedSigners": ALLOWED_SIGNERS,
            "howToCheck": HOW_TO_CHECK,
        },
        "items": [dict(entry) for entry in entries],
    }
    return rfc8785.dumps(manifest)


def read_manifest(data: bytes) -> tuple[dict[str, Any], list[Problem]]:
    """The manifest and its faults; empty where it cannot be used at all."""
    if not data:
        return {}, [Problem("manifest-missing", f"{MANIFEST} is missing, empty or damaged.")]
    try:
        manifest = json.loads(data.decode("utf-8"))
        canonical = rfc8785.dumps(manifest)
    except (ValueError, RecursionError) as error:
        return {}, [Problem("manifest-unreadable", f"{MANIFEST} is not JSON that can be used: {error}.")]
    faults = [
        Problem("manifest-schema", f"{MANIFEST}, {fault.json_path}: {str(fault.message)[:_SHOWN]}")
        for fault in islice(_validator(_version(manifest)).iter_errors(manifest), _NAMED_AT_MOST)
    ]
    if faults:
        return {}, faults
    if canonical != data:
        return manifest, [Problem("manifest-not-canonical", f"{MANIFEST} is not written as RFC 8785 asks.")]
    return manifest, []


def manifest_disagreements(manifest: Mapping[str, Any], files: Mapping[str, FileSum]) -> Iterator[Problem]:
    """Where the manifest and the payload part ways. `manifest` has passed its schema."""
    told = {MANIFEST, manifest["licence"]["text"]}
    if "contactSheet" in manifest:
        told.add(manifest["contactSheet"])
    if "signer" in manifest:
        told |= {manifest["signer"]["allowedSigners"], manifest["signer"]["howToCheck"]}
    for item in manifest["items"]:
        told.add(item["preview"])
        for picture in _pictures(item):
            told.add(picture["file"])
            there = files.get(picture["file"])
            if there is not None and there != FileSum(picture["sha512"], picture["bytes"]):
                yield Problem("manifest-disagrees", f"{MANIFEST} says otherwise about {picture['file']}.")
    for path in sorted(told - files.keys()):
        yield Problem("manifest-disagrees", f"{MANIFEST} tells of {path}, which is not there.")
    for path in sorted(files.keys() - told):
        if path.startswith(PAYLOAD):
            yield Problem("manifest-disagrees", f"{MANIFEST} does not tell of {path}.")


def _pictures(item: Mapping[str, Any]) -> tuple[Mapping[str, Any], ...]:
    """The PNGs of an item; manifests of version 1 know one, described by the item itself."""
    return (item["withBody"], item["inkAlone"]) if "withBody" in item else (item,)


def _version(manifest: object) -> int:
    """Which schema a manifest is held to: the one it names where there is such a one, else the newest."""
    named = manifest.get("formatVersion") if isinstance(manifest, dict) else None
    return named if type(named) is int and 1 <= named < VERSION else VERSION


@cache
def _validator(version: int) -> Any:
    text = resources.files("assetlib.storage").joinpath(f"manifest-{version}.schema.json").read_text("utf-8")
    return jsonschema.Draft202012Validator(
        json.loads(text), format_checker=jsonschema.FormatChecker(["date"])
    )
