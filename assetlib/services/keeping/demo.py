"""The demo: a library of invented drawings, built from the files that travel with assetlib."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from pathlib import Path

from assetlib.config import Settings
from assetlib.errors import LibraryBroken
from assetlib.library import Library
from assetlib.services.keeping.starting import start_library

ARTIST = "Ida Brandt"
CONTACT = "ida@boards.example"
"""An invented artist; .example is reserved for examples (RFC 2606)."""


def demo_drawings() -> Path:
    """The folder of demo drawings: inside an installed wheel, or beside the package in a checkout."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "_demo_assets", package.parent / "demo_assets"):
        if (folder / "sheets").is_dir():
            return folder
    raise LibraryBroken("the demo drawings are missing from this installation", "install assetlib again")


def start_demo(folder: Path | None) -> Library:
    """A new library for the demo in `folder`, or in a new temporary folder."""
    folder = folder or Path(tempfile.mkdtemp(prefix="assetlib-demo-")) / "library"
    return start_library(folder, Settings(name="Demo library", artist=ARTIST, contact=CONTACT, workers=1))


def put_titles(lib: Library, titles: Mapping[str, str]) -> None:
    """Give the drawings with these codes the titles that the artist would write, all in one step."""
    from assetlib.catalogue import queries
    from assetlib.catalogue.fulltext import refresh_text

    with lib.transaction("titles of the demo") as session:
        entries = {code: queries.entry(session, code) for code in titles}
        for code, entry in entries.items():
            entry.title, entry.title_source = titles[code], "artist"
        refresh_text(session, [entry.id for entry in entries.values()])


def told_titles() -> dict[str, list[str]]:
    """What the artist would write under each sheet's drawings: titles in reading order by the sheet's file name."""
    told = json.loads((demo_drawings() / "expected.json").read_text(encoding="utf-8"))
    return {
        Path(sheet["file"]).name: [item["title"] for item in sheet["elements"]] for sheet in told["sheets"]
    }
