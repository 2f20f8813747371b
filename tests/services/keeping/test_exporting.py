"""Nobody is locked in: what an export holds, read by programs and libraries outside the project."""

from __future__ import annotations

import csv
import hashlib
import json
from pathlib import Path

import jsonschema
import pytest
import rdflib

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.words import sidecars
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.jobs import jobs
from assetlib.services.keeping.exporting import COLUMNS, export
from tests.conftest import Draw
from tests.outside import read_with_exiftool
from tests.services.keeping.test_backups import files_of

SKOS = rdflib.Namespace("http://www.w3.org/2004/02/skos/core#")


@pytest.fixture
def exported(lib: Library, draw: Draw, tmp_path: Path) -> Path:
    """An export of two drawings, one of them with odd words, for a job."""
    jobs.open_job(lib, "Ferry spot", jobs.Facts())
    code = bring_in(lib, [draw("dog.png", 1)], Wishes(role="element", job="Ferry spot")).added[0].code
    bring_in(lib, [draw("büro & café.png", 2)], Wishes(role="element"))
    words = tagging.Description(
        add=("wet dog", "grünbär"), set=("pose=seated",), title='=1+1 "<dog>" & \x1b[2J'
    )
    tagging.describe(lib, [code], words)
    made = export(lib, tmp_path / "out")
    assert (made.drawings, made.originals, made.copies, made.lost) == (2, 2, 6, ())
    return tmp_path / "out"


def test_originals_under_their_names_and_a_document_that_keeps_its_schema(exported: Path) -> None:
    document = json.loads((exported / "library.json").read_text(encoding="utf-8"))
    schema = json.loads((exported / "library.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(document, schema)
    assert {path.name for path in (exported / "originals").glob("*.png")} == {"dog.png", "büro & café.png"}
    for row in document["originals"]:
        data = (exported / row["file"]).read_bytes()
        assert (hashlib.sha256(data).hexdigest(), len(data)) == (row["sha256"], row["bytes"])
    for drawing in document["drawings"]:
        assert all((exported / drawing[kind]).is_file() for kind in ("file", "ink", "body", "mask"))
    assert set(COLUMNS) <= set(schema["properties"]["drawings"]["items"]["properties"])


def test_goes_on_where_it_was_stopped_in_its_first_moment(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png", 1)], Wishes(role="element"))
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / f".new-{'0a' * 16}").write_bytes(b"{")
    assert export(lib, tmp_path / "out").originals == 1
    assert not list((tmp_path / "out").glob(".new-*"))


def test_the_table_says_the_same_and_holds_no_formula(exported: Path) -> None:
    with (exported / "drawings.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    document = json.loads((exported / "library.json").read_text(encoding="utf-8"))
    assert [row["code"] for row in rows] == [drawing["code"] for drawing in document["drawings"]]
    assert tuple(rows[0]) == COLUMNS
    assert rows[0]["title"].startswith("'=1+1")
    assert "pose=seated" in rows[0]["facets"].split("; ")
    assert not any(cell[:1] in "=+-@" for row in rows for cell in row.values() if cell)


def test_exiftool_reads_the_sidecars(exported: Path) -> None:
    told = read_with_exiftool(exported / "originals" / "dog.png.xmp", "XMP-dc:all")
    assert told["Title"].startswith('=1+1 "<dog>" &')
    assert set(told["Subject"]) == {"dog", "wet dog", "grünbär"}  # what its title says is a tag, too
    assert told["Identifier"].startswith("urn:uuid:")
    assert len(list((exported / "clean").glob("*.xmp"))) == 4


def test_rdflib_reads_the_words(lib: Library, exported: Path) -> None:
    graph = rdflib.Graph().parse(exported / "words.ttl", format="turtle")
    labels = {str(label) for label in graph.objects(None, SKOS.prefLabel)}
    assert {"wet dog", "grünbär"} <= labels
    concepts = set(graph.subjects(rdflib.RDF.type, SKOS.Concept))
    assert len(concepts) > 50
    assert all((concept, SKOS.inScheme, None) in graph for concept in concepts)
    assert set(graph.objects(None, SKOS.broader)) <= concepts


def test_only_a_private_export_names_clients_and_sources(
    lib: Library, exported: Path, tmp_path: Path
) -> None:
    everything = b"".join(files_of(exported).values())
    assert b"Ferry spot" not in everything
    assert str(tmp_path).encode() not in everything
    export(lib, tmp_path / "mine", private=True)
    document = json.loads((tmp_path / "mine" / "library.json").read_text(encoding="utf-8"))
    jsonschema.validate(document, json.loads((exported / "library.schema.json").read_text(encoding="utf-8")))
    assert document["jobs"][0]["name"] == "Ferry spot"
    assert document["drawings"][0]["arrivals"][0]["job"] == "Ferry spot"


def test_a_rerun_goes_on_and_another_folder_is_left_alone(
    lib: Library, exported: Path, tmp_path: Path
) -> None:
    before = files_of(exported)
    gone = next((exported / "originals").glob("dog.png"))
    gone.unlink()
    next((exported / "clean").glob("*ink.png")).write_bytes(b"half")
    export(lib, exported)
    assert files_of(exported) == before
    (tmp_path / "used").mkdir()
    (tmp_path / "used" / "mine.txt").write_text("mine", encoding="utf-8")
    for target in (tmp_path / "used", lib.folder, lib.folder / "derived", tmp_path):
        with pytest.raises(WrongUsage):
            export(lib, target)


@pytest.mark.parametrize(
    "text", ["plain", 'a "b" \\ c', "]]>", "\x00\x01\x1b", "\ud800", "é\n\t", "a" * 5000, "𝄞"]
)
def test_any_word_is_valid_in_every_format(text: str, tmp_path: Path) -> None:
    concept = sidecars.Concept(text, (("preferred", text, "en"),), text)
    graph = rdflib.Graph().parse(data=sidecars.turtle([concept]), format="turtle")
    assert len(set(graph.subjects(rdflib.RDF.type, SKOS.Concept))) == 1
    from xml.etree import ElementTree

    packet = sidecars.xmp_packet(sidecars.Said(text, "urn:uuid:x", (text,), text))
    ElementTree.fromstring(packet)
