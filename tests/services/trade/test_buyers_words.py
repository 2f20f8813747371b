"""Words that go to buyers, and what of files, jobs and clients never does."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from pathlib import Path

import pytest
from PIL import Image, ImageDraw, PngImagePlugin

from assetlib.catalogue import queries
from assetlib.errors import NotClear
from assetlib.library import Library
from assetlib.rules.rights.clearance import PaperKind, Question
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.jobs import jobs
from assetlib.services.trade import bundling, buyers_words, clearance, collections, releases
from tests.conftest import Assetlib, Draw
from tests.outside import read_with_exiftool

OWN = ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
       (Question.AI, "none"))  # fmt: skip
SECRETS = (
    "Acme Optik",
    "SN-99-1234",
    "Petra Falk",
    "/home/ida/clients",
    "Falk Studios",
    "paint program",
    "Two Gulls",
)


def talkative(path: Path) -> Path:
    """A photographed drawing that tells of a camera, a place, a photographer and a client."""
    page = Image.new("RGB", (400, 300), "white")
    ImageDraw.Draw(page).ellipse((80, 60, 320, 240), outline="black", width=8)
    exif = Image.Exif()
    exif[0x010F], exif[0x0131], exif[0x013B] = "Acme Optik", "paint program", "Petra Falk"
    exif.get_ifd(0x8769)[0xA431] = "SN-99-1234"
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 20.0, 11.5), 3: "E", 4: (10.0, 8.0, 2.0)})
    words = PngImagePlugin.PngInfo()
    words.add_text("Copyright", "Falk Studios")
    words.add_text("Source", "/home/ida/clients/Two Gulls/van.kra")
    page.save(path, exif=exif, pnginfo=words, dpi=(300, 300))
    return path


def sealed(
    lib: Library, path: Path, *answers: tuple[Question, str], **tags: tuple[str, ...]
) -> bundling.Issue:
    """The bundle that one drawing is sold in."""
    code = bring_in(lib, [path], Wishes(role="element", job="Gull van")).added[0].code
    tagging.describe(
        lib, [code], tagging.Description(add=tags.get("add", ()), set=("pose=seated",), title="Dog")
    )
    clearance.answer(lib, [code], clearance.Statement(answers or OWN, whose="Petra Falk, Falk Studios"))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", [code])
    collections.choose_licence(lib, "Dogs", "one artist")
    return bundling.build(lib, "Dogs")


@pytest.fixture
def job(lib: Library) -> str:
    jobs.open_job(lib, "Gull van", jobs.Facts("Two Gulls", confidential_until=dt.date(2026, 12, 31)))
    return "Gull van"


@pytest.mark.usefixtures("job")
def test_what_a_file_tells_of_people_places_and_machines_stays_at_home(lib: Library, tmp_path: Path) -> None:
    issue = sealed(lib, talkative(tmp_path / "dog.png"))
    data = issue.path.read_bytes()
    assert [secret for secret in SECRETS if secret.encode() in data] == []
    with zipfile.ZipFile(issue.path) as archive:
        archive.extractall(tmp_path / "bought")
    for path in sorted((tmp_path / "bought").rglob("*.[pj][np]g")):
        told = read_with_exiftool(path, "GPS:all", "EXIF:all", "MakerNotes:all", "IPTC:all", "XMP-xmpMM:all")
        assert set(told) == {"SourceFile"}


@pytest.mark.usefixtures("job")
def test_tags_that_name_a_client_stay_here_and_the_artist_is_told(lib: Library, tmp_path: Path) -> None:
    issue = sealed(lib, talkative(tmp_path / "dog.png"), add=("dog", "two gulls spring spot", "quay"))
    with zipfile.ZipFile(issue.path) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith("with-body.png"))
        data = archive.read(name)
        (tmp_path / "dog-bought.png").write_bytes(data)
    told = read_with_exiftool(tmp_path / "dog-bought.png", "XMP-dc:all")
    assert set(told["Subject"]) == {"dog", "quay", "seated"}
    assert told["Description"] == "Dog. seated"
    assert b"gulls" not in data.lower()
    assert issue.told is not None
    assert [("two gulls" in line, "the client Two Gulls" in line) for line in issue.told] == [(True, True)]


@pytest.mark.usefixtures("job")
def test_a_title_that_names_a_client_or_comes_from_a_file_is_told(lib: Library, tmp_path: Path) -> None:
    page = talkative(tmp_path / "two gulls.png")
    code = bring_in(lib, [page], Wishes(role="element")).added[0].code
    clearance.answer(lib, [code], clearance.Statement(OWN, whose="Petra Falk, Falk Studios"))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", [code])
    collections.choose_licence(lib, "Dogs", "one artist")
    with pytest.raises(NotClear, match="names the client Two Gulls") as stopped:
        bundling.build(lib, "Dogs", dry_run=True)
    assert f"assetlib tag {code} --title" in (stopped.value.hint or "")
    (line,) = bundling.build(lib, "Dogs", dry_run=True, with_names=True).told or ()
    assert "names the client Two Gulls" in line
    tagging.describe(lib, [code], tagging.Description(title="Dog"))
    assert bundling.build(lib, "Dogs", dry_run=True).told == ()


@pytest.mark.usefixtures("job")
def test_titles_that_leak_come_first_and_those_of_files_in_one_line(
    lib: Library, draw: Draw, assetlib: Assetlib
) -> None:
    pages = [draw(f"umbrella {number}.png", number) for number in range(1, 8)]
    codes = [item.code for item in bring_in(lib, pages, Wishes(role="element")).added]
    clearance.answer(lib, codes, clearance.Statement(OWN))
    releases.add(
        lib, releases.NewRelease(PaperKind.CONSENT, "Ole Friend", dt.date(2026, 3, 1), place="binder 3")
    )
    title = "Two Gulls: Ole Friend's van"
    tagging.describe(lib, codes[-1:], tagging.Description(title=title))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", codes)
    collections.choose_licence(lib, "Dogs", "one artist")
    refused = assetlib("bundle", "build", "Dogs", "--dry-run", library=lib.folder)
    assert refused.code == NotClear.exit_code
    said = " ".join(refused.err.split())
    both = "names the client Two Gulls and somebody who gave a release, Ole Friend"
    assert (both in said, "--title" in said, "--with-names" in said) == (True, True, True)
    lines = " ".join(
        assetlib("bundle", "build", "Dogs", "--dry-run", "--with-names", library=lib.folder).out.split()
    )
    assert lines.index(both) < lines.index("buyers read 6 titles that were taken from files")
    assert lines.count("taken from") == 1
    answer = assetlib("bundle", "build", "Dogs", "--dry-run", "--with-names", "--json", library=lib.folder)
    assert [codes[-1] in line for line in answer.json["told"]] == [True] + [False] * 6


@pytest.mark.usefixtures("job")
def test_a_suggestion_that_nobody_took_stays_here(lib: Library, draw: Draw) -> None:
    (code,) = (item.code for item in bring_in(lib, [draw("umbrella.png")], Wishes(role="element")).added)
    clearance.answer(lib, [code], clearance.Statement(OWN))
    with lib.reading() as session:
        card = queries.cards(session, [queries.entry(session, code).id]).popitem()[1]
        words = buyers_words.of_drawing(session, card, (), ())
    assert card.facets == {"finish": ("clean line",)}  # offered, as the in-tray shows it
    assert (words.subjects, words.description) == ((), "umbrella")


def source_type(issue: bundling.Issue) -> str:
    with zipfile.ZipFile(issue.path) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith("manifest.json"))
        return str(json.load(io.BytesIO(archive.read(name)))["items"][0]["digitalSourceType"]).rpartition(
            "/"
        )[2]


@pytest.mark.usefixtures("job")
def test_a_drawing_whose_paper_was_taken_away_says_that_an_algorithm_did(
    lib: Library, tmp_path: Path
) -> None:
    assert source_type(sealed(lib, talkative(tmp_path / "dog.png"))) == "algorithmicallyEnhanced"


@pytest.mark.usefixtures("job")
def test_what_was_drawn_as_lines_is_a_digital_creation(lib: Library, tmp_path: Path) -> None:
    path = tmp_path / "dog.svg"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="90" height="60"><circle cx="40" cy="30" r="20" '
                    'fill="none" stroke="black" stroke-width="3"/></svg>')  # fmt: skip
    assert source_type(sealed(lib, path)) == "digitalCreation"
