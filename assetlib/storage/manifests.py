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

from assetlib.rules.rights.licences import licence_id
from assetlib.rules.wording import one_line
from assetlib.storage.bag import PAYLOAD, FileSum
from assetlib.storage.delivery import Delivery
from assetlib.storage.plans import BundlePlan, PlannedItem
from assetlib.storage.problems import Problem

MANIFEST = "data/manifest.json"
LICENCE = "data/licence/licence.txt"
IMAGES = "data/images"
PREVIEWS = "data/previews"
SOURCE_TYPES = "http://cv.iptc.org/newscodes/digitalsourcetype/"
DATA_MINING = "DMI-PROHIBITED-AIMLTRAINING"
"""PLUS code (IPTC Photo Metadata 2023.1): not for training; says what the licence text says."""

_NOT_TOLD = "MR-NON", "PR-NON"
"""Release codes that the schema refuses, for a verdict that does not know them."""
_SHOWN = 200
"""Characters of a schema message that are shown; it may quote a whole manifest."""
_NAMED_AT_MOST = 20
"""Schema faults that are named; a hostile manifest can have a million."""


@dataclass(frozen=True)
class SealedItem:
    """One drawing as it lies in a bundle: what a catalogue keeps of it."""

    code: str
    uuid: str
    title: str
    file: str
    preview: str
    sha512: str
    pixel_sha256: str


def sealed_item(item: PlannedItem, delivery: Delivery, sha512: str) -> SealedItem:
    """Where and as what a drawing lies in the bundle."""
    return SealedItem(
        code=item.code,
        uuid=str(item.uuid),
        title=one_line(item.title) or item.code,
        file=f"{IMAGES}/{item.stem}.png",
        preview=f"{PREVIEWS}/{item.stem}.jpg",
        sha512=sha512,
        pixel_sha256=delivery.pixel_sha256,
    )


def item_entry(item: PlannedItem, sealed: SealedItem, delivery: Delivery) -> dict[str, Any]:
    """The manifest's words on one drawing. Notes and papers behind the clearance stay at home."""
    releases = item.verdict.releases
    model, of_property = (releases.model, releases.property) if releases else _NOT_TOLD
    entry: dict[str, Any] = {
        "id": f"urn:uuid:{sealed.uuid}",
        "code": sealed.code,
        "title": sealed.title,
        "file": sealed.file,
        "preview": sealed.preview,
        "mediaType": "image/png",
        "bytes": len(delivery.png),
        "sha512": sealed.sha512,
        "pixelSha256": sealed.pixel_sha256,
        "width": delivery.width,
        "height": delivery.height,
        "hasAlpha": delivery.has_alpha,
        "clearance": {
            "state": item.verdict.state.value,
            "checked": item.checked.isoformat(),
            "modelRelease": model,
            "propertyRelease": of_property,
            "dataMining": DATA_MINING,
        },
    }
    if item.source_type is not None:
        entry["digitalSourceType"] = SOURCE_TYPES + item.source_type.value
    return entry


def manifest_bytes(plan: BundlePlan, entries: Iterable[Mapping[str, Any]]) -> bytes:
    """The manifest of a bundle, the same bytes for the same facts on every machine."""
    manifest: Any = {
        "format": "assetlib-bundle",
        "formatVersion": 1,
        "bundle": {
            "id": f"urn:uuid:{plan.id}",
            "slug": plan.slug,
            "title": one_line(plan.title),
            "version": plan.version,
            "issued": plan.issued.isoformat(),
        },
        "licensor": {"name": one_line(plan.licensor), "email": plan.contact},
        "licence": {"spdx": licence_id(plan.tier), "tier": plan.tier.value, "text": LICENCE},
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
        for fault in islice(_validator().iter_errors(manifest), _NAMED_AT_MOST)
    ]
    if faults:
        return {}, faults
    if canonical != data:
        return manifest, [Problem("manifest-not-canonical", f"{MANIFEST} is not written as RFC 8785 asks.")]
    return manifest, []


def manifest_disagreements(manifest: Mapping[str, Any], files: Mapping[str, FileSum]) -> Iterator[Problem]:
    """Where the manifest and the payload part ways. `manifest` has passed its schema."""
    told = {MANIFEST, manifest["licence"]["text"]}
    for item in manifest["items"]:
        told |= {item["file"], item["preview"]}
        there = files.get(item["file"])
        if there is not None and there != FileSum(item["sha512"], item["bytes"]):
            yield Problem("manifest-disagrees", f"{MANIFEST} says otherwise about {item['file']}.")
    for path in sorted(told - files.keys()):
        yield Problem("manifest-disagrees", f"{MANIFEST} tells of {path}, which is not there.")
    for path in sorted(files.keys() - told):
        if path.startswith(PAYLOAD):
            yield Problem("manifest-disagrees", f"{MANIFEST} does not tell of {path}.")


@cache
def _validator() -> Any:
    text = resources.files("assetlib.storage").joinpath("manifest.schema.json").read_text("utf-8")
    return jsonschema.Draft202012Validator(
        json.loads(text), format_checker=jsonschema.FormatChecker(["date"])
    )
