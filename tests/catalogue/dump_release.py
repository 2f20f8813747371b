"""Keep a catalogue with data from every room, as this schema writes it, for the migration tests.

Run once when a schema is released:

python -m tests.catalogue.dump_release
"""

from __future__ import annotations

import gzip
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from PIL import Image, ImageDraw

from assetlib.catalogue.schema import SCHEMA_VERSION
from assetlib.config import Settings
from assetlib.rules.rights.clearance import PaperKind
from assetlib.rules.rights.clearance import Question as Asked
from assetlib.rules.shots.lists.reading import read_text
from assetlib.services.bringing import cutting
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.jobs import jobs, sheets
from assetlib.services.keeping.starting import start_library
from assetlib.services.trade import bundling, clearance, collections, releases, sales


def fill(folder: Path) -> Path:
    """The catalogue of a small library in which every room was used."""
    lib = start_library(folder / "library", Settings(artist="Ida Brandt", contact="ida@boards.example"))
    sheet = Image.new("L", (600, 260), 255)
    pen = ImageDraw.Draw(sheet)
    pen.ellipse((30, 40, 220, 220), outline=0, width=5)
    pen.rectangle((360, 40, 560, 220), outline=0, width=5)
    drawings = folder / "drawings"
    drawings.mkdir()
    sheet.save(drawings / "bakers and crates sheet.png")
    sheet.crop((0, 0, 260, 260)).save(drawings / "baker CU.png")
    jobs.open_job(lib, "Bakery van", jobs.Facts("Two Gulls", frame="16:9"), jobs.Agreement("rights kept"))
    report = bring_in(
        lib, [drawings / "baker CU.png"], Wishes(role="element", tags=("baker",), job="Bakery van")
    )
    code = report.added[0].code
    sheet_code = bring_in(lib, [drawings / "bakers and crates sheet.png"], Wishes(role="sheet")).added[0].code
    cutting.cut_sheet(lib, sheet_code)
    tagging.describe(
        lib,
        [code],
        tagging.Description(set=("pose=standing", "mirror=do not mirror"), note="for the bakery van"),
    )
    values = (
        (Asked.ORIGIN, "out-of-the-head"),
        (Asked.OWNERSHIP, "own"),
        (Asked.DEPICTS, "none"),
        (Asked.AI, "none"),
    )
    sheets.pull(lib, read_text("1 CU, baker"), sheets.Wishes("Bakery van", {"1": (code,)}))
    clearance.answer(lib, [code], clearance.Statement(values))
    clearance.answer(lib, [code], clearance.Statement(((Asked.DEPICTS, "real-person"),)))
    signed = releases.NewRelease(PaperKind.MODEL_RELEASE, "Ada Quist", lib.now().date(), place="binder 3")
    releases.add(lib, signed, [code])
    collections.make(lib, "Bakers")
    collections.put(lib, "Bakers", [code])
    collections.choose_licence(lib, "Bakers", "one artist")
    issue = bundling.build(lib, "Bakers")
    sales.issue(lib, issue.code, "Two Gulls", folder)
    lib.close()
    return lib.catalogue


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        catalogue = fill(Path(place))
        with closing(sqlite3.connect(catalogue)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
            connection.execute("VACUUM")
        target = Path(__file__).parent / "released" / f"{SCHEMA_VERSION}.sqlite.gz"
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(gzip.compress(catalogue.read_bytes(), mtime=0))
