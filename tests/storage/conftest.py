"""A small collection of invented drawings, and the bundle it becomes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from uuid import NAMESPACE_DNS, uuid5

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from PIL import Image, ImageDraw, PngImagePlugin

from assetlib.rules.rights.clearance import Answer, Question, judge
from assetlib.rules.rights.licences import Tier, render
from assetlib.storage import bundles
from assetlib.storage.bundles import BundlePlan, BundleReceipt, PlannedItem, SourceType
from assetlib.storage.signing import Signer, signer_of

ISSUED = date(2026, 3, 14)
CLEAR = judge(
    [
        Answer(Question.ORIGIN, "observed"),
        Answer(Question.OWNERSHIP, "own"),
        Answer(Question.DEPICTS, "none"),
        Answer(Question.AI, "none"),
    ],
    date(2026, 3, 10),
)
DRAWINGS = {"K7WDM2": "Bäckerei van, before dawn", "P3XHR9": "Hand with phone", "T8NCA4": "渡し船"}


def key_of(seed: int) -> Signer:
    """A key that is the same every time."""
    return signer_of(Ed25519PrivateKey.from_private_bytes(bytes([seed]) * 32))


SIGNER = key_of(7)
"""The artist's."""


def write_bundle(plan: BundlePlan, path: Path) -> BundleReceipt:
    """The plan sealed and signed by the artist."""
    return bundles.write_bundle(plan, path, SIGNER)


def draw(path: Path, turn: int, *, body: bool) -> Path:
    """An ink ellipse on transparent ground, with a white body or none, and the words a paint program leaves."""
    picture = Image.new("RGBA", (120, 90), (0, 0, 0, 0))
    fill = "white" if body else None
    ImageDraw.Draw(picture).ellipse((10 + turn * 9, 12, 108, 80), fill=fill, outline="black", width=4)
    words = PngImagePlugin.PngInfo()
    words.add_text("Software", "a paint program")
    words.add_text("Source", "/home/mira/clients/secret spot/van.kra")
    picture.save(path, pnginfo=words, dpi=(300, 300))
    return path


def plan_of(folder: Path) -> BundlePlan:
    """The plan of three drawings, whose clean copies are drawn into `folder`."""
    items = tuple(
        PlannedItem(
            code=code,
            uuid=uuid5(NAMESPACE_DNS, code),
            title=title,
            with_body=draw(folder / f"{code}-body.png", turn, body=True),
            ink_alone=draw(folder / f"{code}-ink.png", turn, body=False),
            verdict=CLEAR,
            checked=date(2026, 3, 10),
            source_type=SourceType.DIGITAL_CREATION,
        )
        for turn, (code, title) in enumerate(DRAWINGS.items())
    )
    return BundlePlan(
        slug="before-the-ovens",
        title="Before the Ovens",
        version="1.0.0",
        issued=ISSUED,
        id=uuid5(NAMESPACE_DNS, "before the ovens"),
        licensor="Mira Holm",
        contact="rights@example.org",
        tier=Tier.ONE_ARTIST,
        licence_text=render(Tier.ONE_ARTIST, "Mira Holm", "Before the Ovens", ISSUED),
        items=items,
    )


@pytest.fixture
def plan(tmp_path: Path) -> BundlePlan:
    return plan_of(tmp_path)


@dataclass(frozen=True)
class Sealed:
    plan: BundlePlan
    path: Path


@pytest.fixture(scope="session")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Sealed:
    folder = tmp_path_factory.mktemp("sealed")
    plan = plan_of(folder)
    return Sealed(plan, write_bundle(plan, folder / "bundle.zip").path)
