"""Releases: signed papers that hold on days, are kept with the library, and decide what may be sold on a day."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from fpdf import FPDF
from PIL import Image

from assetlib.errors import BadPicture, NotClear, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.clearance import PaperKind, Question
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.keeping import checking, history, restoring, safekeeping
from assetlib.services.trade import bundling, clearance, collections, releases
from tests.conftest import Assetlib, Draw

TODAY = dt.date(2026, 3, 14)
OF_ADA = ((Question.ORIGIN, "observed"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "real-person"),
          (Question.AI, "none"))  # fmt: skip


@pytest.fixture
def codes(lib: Library, draw: Draw) -> list[str]:
    """Two drawings that a real person sat for."""
    paths = [draw(f"ada {number}.png", number) for number in (1, 2)]
    found = [item.code for item in bring_in(lib, paths, Wishes(role="element")).added]
    clearance.answer(lib, found, clearance.Statement(OF_ADA))
    return found


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """A signed release of one page."""
    page = FPDF()
    page.add_page()
    page.set_font("Times", size=12)
    page.cell(text="I, Ada Quist, sat for these drawings and allow that they are sold.")
    path = tmp_path / "ada quist.pdf"
    path.write_bytes(bytes(page.output()))
    return path


def new(**changes: object) -> releases.NewRelease:
    told: dict[str, object] = {
        "kind": PaperKind.MODEL_RELEASE,
        "who": "Ada Quist",
        "signed_on": dt.date(2026, 3, 1),
    }
    if not {"file", "place"} & changes.keys():
        told["place"] = "binder 3"
    return releases.NewRelease(**(told | changes))  # type: ignore[arg-type]


def states(lib: Library, codes: list[str], on: dt.date | None = None) -> list[str]:
    return [item.verdict.state.value for item in clearance.clearance(lib, codes, on)]


def test_one_paper_makes_all_its_drawings_clear_and_undo_takes_it_back(
    lib: Library, codes: list[str]
) -> None:
    assert states(lib, codes) == ["blocked", "blocked"]
    kept = releases.add(lib, new(), codes)
    assert (kept.drawings, kept.holds) == (tuple(codes), True)
    assert states(lib, codes) == ["clear", "clear"]
    history.undo_steps(lib)
    assert states(lib, codes) == ["blocked", "blocked"]
    assert releases.everything(lib) == []


def test_a_drawing_that_comes_later_gets_it_laid_to(lib: Library, codes: list[str]) -> None:
    kept = releases.add(lib, new(), codes[:1])
    assert states(lib, codes) == ["clear", "blocked"]
    assert releases.lay(lib, kept.code, codes).drawings == tuple(codes)
    assert states(lib, codes) == ["clear", "clear"]
    assert len(clearance.clearance(lib, codes[:1])[0].answers[2].evidence) == 1  # not twice


def test_clearance_is_judged_on_a_day(lib: Library, codes: list[str]) -> None:
    releases.add(lib, new(first_day=dt.date(2026, 4, 1), last_day=dt.date(2026, 6, 30)), codes)
    days = [dt.date(2026, 3, 31), dt.date(2026, 4, 1), dt.date(2026, 6, 30), dt.date(2026, 7, 1)]
    assert [states(lib, codes[:1], day)[0] for day in days] == ["blocked", "clear", "clear", "blocked"]
    (before,) = clearance.clearance(lib, codes[:1])
    assert before.verdict.clear_from == dt.date(2026, 4, 1)
    (within,) = clearance.clearance(lib, codes[:1], days[1])
    assert within.verdict.until == dt.date(2026, 6, 30)


def test_a_paper_says_nothing_of_days_before_it_was_signed(lib: Library, codes: list[str]) -> None:
    releases.add(lib, new(first_day=dt.date(2020, 1, 1)), codes)
    assert states(lib, codes[:1], dt.date(2026, 2, 28)) == ["blocked"]
    assert states(lib, codes[:1], dt.date(2026, 3, 1)) == ["clear"]


def test_one_that_is_taken_back_no_longer_counts_and_stops_the_next_bundle(
    lib: Library, codes: list[str]
) -> None:
    kept = releases.add(lib, new(), codes)
    collections.make(lib, "Ada")
    collections.put(lib, "Ada", codes)
    collections.choose_licence(lib, "Ada", "one artist")
    first = bundling.build(lib, "Ada")
    releases.withdraw(lib, kept.code, TODAY)
    with pytest.raises(NotClear, match="shows-real-person"):
        bundling.build(lib, "Ada")
    assert bundling.verify(first.path).ok


def test_a_paper_that_ends_stops_a_licence_that_does_not(lib: Library, codes: list[str]) -> None:
    releases.add(lib, new(last_day=dt.date(2026, 12, 31)), codes)
    collections.make(lib, "Ada")
    collections.put(lib, "Ada", codes)
    collections.choose_licence(lib, "Ada", "one studio")
    with pytest.raises(NotClear, match="until 2026-12-31"):
        bundling.build(lib, "Ada", dry_run=True)


def test_its_file_is_kept_saved_and_brought_back(
    lib: Library, codes: list[str], scan: Path, tmp_path: Path
) -> None:
    kept = releases.add(lib, new(file=scan), codes)
    assert (kept.format, kept.place) == ("PDF", "ada quist.pdf")
    assert kept.file is not None
    assert kept.file.read_bytes() == scan.read_bytes()
    safekeeping.back_up(lib, tmp_path / "safe")
    restored = restoring.restore(tmp_path / "safe", tmp_path / "again")
    assert (tmp_path / "again" / kept.file.relative_to(lib.folder)).read_bytes() == scan.read_bytes()
    assert restored.lost == ()
    kept.file.chmod(0o600)
    kept.file.unlink()
    assert [t.what for t in checking.check(lib).problems if "paper" in t.what] != []
    checking.check(lib, repair=True, heal_from=tmp_path / "safe")
    assert kept.file.read_bytes() == scan.read_bytes()


def test_no_bundle_names_who_sat(lib: Library, codes: list[str], scan: Path) -> None:
    releases.add(lib, new(file=scan, note="met at the quay"), codes)
    collections.make(lib, "Sitters")
    collections.put(lib, "Sitters", codes)
    collections.choose_licence(lib, "Sitters", "one artist")
    data = bundling.build(lib, "Sitters").path.read_bytes()
    assert [word for word in (b"Quist", b"quist", b"binder", b"quay") if word in data] == []
    assert b"vocab/MR-UMR" in data


def test_a_title_that_names_who_sat_is_told(lib: Library, codes: list[str]) -> None:
    releases.add(lib, new(), codes)
    tagging.describe(lib, codes[:1], tagging.Description(title="Ada Quist with a loaf"))
    tagging.describe(
        lib, codes[1:], tagging.Description(title="Woman with a loaf", add=("ada quist", "loaf"))
    )
    collections.make(lib, "Sitters")
    collections.put(lib, "Sitters", codes)
    collections.choose_licence(lib, "Sitters", "one artist")
    with pytest.raises(NotClear, match="Ada Quist"):
        bundling.build(lib, "Sitters")
    told = bundling.build(lib, "Sitters", dry_run=True, with_names=True).told or ()
    assert ["who gave a release" in line and "Ada Quist" in line for line in told] == [True, True]
    assert [line.partition(" '")[0] for line in told] == [f"{codes[0]}: its title", f"{codes[1]}: the tag"]


def picture(path: Path, kind: str) -> Path:
    Image.new("RGB", (60, 80), "white").save(path, kind)
    return path


@pytest.mark.parametrize(("name", "kind", "told"), [("a.jpg", "JPEG", "JPEG"), ("b.tif", "TIFF", "TIFF"),
                                                    ("c", "PNG", "PNG")])  # fmt: skip
def test_scans_are_known_by_what_they_are(
    lib: Library, codes: list[str], tmp_path: Path, name: str, kind: str, told: str
) -> None:
    assert releases.add(lib, new(file=picture(tmp_path / name, kind)), codes).format == told


def test_a_mail_is_kept_as_text(lib: Library, codes: list[str], tmp_path: Path) -> None:
    (tmp_path / "mail.eml").write_text("From: Ada Quist\n\nYes, sell them — all of them.\n", encoding="utf-8")
    assert releases.add(lib, new(file=tmp_path / "mail.eml"), codes).format == "text"


def test_what_no_paper_can_be_is_told_and_nothing_is_kept(
    lib: Library, codes: list[str], scan: Path, tmp_path: Path
) -> None:
    spoilt = {
        "cut.pdf": scan.read_bytes()[:60],
        "half.png": picture(tmp_path / "y.png", "PNG").read_bytes()[:70],
        "numbers.bin": bytes(range(256)),
        "empty.txt": b"",
    }
    for name, data in spoilt.items():
        (tmp_path / name).write_bytes(data)
        with pytest.raises(BadPicture, match=name):
            releases.add(lib, new(file=tmp_path / name), codes)
    with pytest.raises(NotFound):
        releases.add(lib, new(file=tmp_path / "gone.pdf"), codes)
    assert releases.everything(lib) == []
    assert list(lib.papers.all()) == []
    assert states(lib, codes) == ["blocked", "blocked"]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"who": " "}, "who gave it"),
        ({"signed_on": dt.date(2026, 3, 15)}, "still to come"),
        ({"first_day": dt.date(2026, 5, 2), "last_day": dt.date(2026, 5, 1)}, "before it begins"),
        ({"last_day": dt.date(2026, 2, 1)}, "before it was signed on 2026-03-01"),
        ({"place": " "}, "where the paper is"),
        ({"kind": PaperKind.PROPERTY_RELEASE}, "asks for a paper 'property-release'"),
    ],
)
def test_what_cannot_be_is_refused(
    lib: Library, codes: list[str], changes: dict[str, object], told: str
) -> None:
    with pytest.raises(WrongUsage, match=told):
        releases.add(lib, new(**changes), codes)
    assert releases.everything(lib) == []


def test_on_the_line(lib: Library, codes: list[str], scan: Path, assetlib: Assetlib) -> None:
    run = lambda *line: assetlib(*line, library=lib.folder)  # noqa: E731
    made = run("release", "add", *codes, "--kind", "model release", "--who", "Ada Quist", "--signed", "2020-03-01",
               "--until", "2026-06-30", "--file", scan, "--json")  # fmt: skip
    (kept,) = made.json["releases"]
    assert (kept["kind"], kept["until"], kept["drawings"]) == ("model-release", "2026-06-30", codes)
    said = " ".join(run("clearance", codes[0], "--on", "2026-07-01").out.split())
    assert f"The model release {kept['code']} of Ada Quist ran out on 2026-06-30." in said
    assert "no legal advice" in said
    (row,) = run("clearance", codes[0], "--on", "2026-06-01", "--json").json["drawings"]
    assert (row["state"], row["on"], row["until"]) == ("clear", "2026-06-01", "2026-06-30")
    assert "Clear until 2026-06-30" in run("clearance", codes[0], "--on", "2026-06-01").out
    run("release", "withdraw", kept["code"], "--on", "2026-05-01", "--json")
    (kept,) = run("release", "list", "--json").json["releases"]
    assert kept["withdrawn"] == "2026-05-01"
    assert "Ada Quist" in run("release", "list").out
    assert run("release", "add", "--kind", "paper", "--who", "A", "--signed", "2026-03-01").code == 2
    assert run("clearance", codes[0], "--on", "soon").code == 2


def test_a_photo_of_a_phone_is_kept_and_what_a_name_hides_is_told(
    lib: Library, codes: list[str], tmp_path: Path
) -> None:
    heic = tmp_path / "signed.heic"
    heic.write_bytes(b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + bytes(200))
    kept = releases.add(lib, new(file=heic), codes)
    assert (kept.format, kept.told) == ("HEIC", ())
    kept = releases.add(lib, new(file=picture(tmp_path / "called.pdf", "PNG")), codes)
    assert (kept.format, "called a PDF and is PNG" in kept.told[0]) == ("PNG", True)
    (tmp_path / "a.docx").write_text("hallo", encoding="utf-8")
    kept = releases.add(lib, new(file=tmp_path / "a.docx"), codes)
    assert ["called a DOCX and is text" in kept.told[0], "no signed paper" in kept.told[1]] == [True, True]
    (tmp_path / "mail.eml").write_text("word " * 40, encoding="utf-8")
    assert releases.add(lib, new(file=tmp_path / "mail.eml"), codes).told == ()


def test_a_wrong_one_is_taken_out_by_name(lib: Library, codes: list[str]) -> None:
    kept = releases.add(lib, new(), codes)
    with pytest.raises(WrongUsage, match="before it was signed") as refused:
        releases.withdraw(lib, kept.code, dt.date(2026, 2, 28))
    assert f"release remove {kept.code}" in (refused.value.hint or "")
    assert releases.remove(lib, kept.code).drawings == tuple(codes)
    assert (states(lib, codes), releases.everything(lib)) == (["blocked", "blocked"], [])
    with pytest.raises(NotFound):
        releases.one(lib, kept.code)
    assert [t.what for t in checking.check(lib).problems] == []
    history.undo_steps(lib)
    assert states(lib, codes) == ["clear", "clear"]


def test_kinds_are_told_with_what_they_are_for(lib: Library, assetlib: Assetlib) -> None:
    run = lambda *line: assetlib(*line, library=lib.folder)  # noqa: E731
    rows = {row["kind"]: row["for"] for row in run("release", "kinds", "--json").json["kinds"]}
    assert set(rows) == set(PaperKind)
    assert rows["model-release"] == ["--shows real person"]
    assert "real person" in run("release", "kinds").out
    slip = run(
        "release", "add", "--kind", "model", "--who", "A", "--signed", "2026-03-01", "--place", "binder"
    )
    said = " ".join(slip.err.split())
    assert ("did you mean model-release?" in said, "release kinds" in said) == (True, True)
    assert "release kinds" in " ".join(run("release", "add", "--help").out.split())
