"""Doubles from the outside in: files that went through real changes come in, and pairs come out."""

from __future__ import annotations

from pathlib import Path

import imagehash
import pytest
from PIL import Image, ImageDraw, ImageOps

from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.library import Library
from assetlib.rules.rights.clearance import PaperKind, Question, State
from assetlib.services.bringing.intake import Report, Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.doubles import merging, settling
from assetlib.services.finding import showing
from assetlib.services.keeping import history, upkeep
from assetlib.services.trade import clearance, collections


def drawn(variant: int = 0) -> Image.Image:
    """A van with a driver, told apart from its mirror image; variants are other drawings altogether."""
    image = Image.new("RGB", (640, 420), "white")
    pen = ImageDraw.Draw(image)
    if variant == 0:
        pen.line([(60, 300), (60, 150), (140, 70), (560, 70), (590, 140), (590, 300), (60, 300)], "black", 6)
        pen.ellipse((110, 260, 210, 360), outline="black", width=6)
        pen.ellipse((430, 260, 530, 360), outline="black", width=6)
        pen.polygon([(90, 160), (150, 95), (240, 95), (240, 160)], outline="black", width=4)
        pen.ellipse((165, 105, 205, 145), outline="black", width=4)
        pen.line([(280, 70), (280, 300)], "black", 4)
        for x in range(310, 560, 40):
            pen.arc((x, 120, x + 34, 170), 180, 360, "black", 4)
    else:
        pen.arc((120, 40, 420, 380), 30, 330, "black", 7)
        pen.line([(80, 60), (200, 380), (330, 100), (600, 350)], "black", 7)
        pen.rectangle((430, 60, 600, 160), outline="black", width=5)
    return image


@pytest.fixture
def brought(lib: Library, tmp_path: Path) -> tuple[Library, dict[str, str]]:
    """A library with a drawing, four copies of it that came about in different ways, and another drawing."""
    folder = tmp_path / "in"
    folder.mkdir()
    van = drawn()
    van.save(folder / "a van.png")
    (folder / "b van copy.png").write_bytes((folder / "a van.png").read_bytes())
    van.save(folder / "c van.jpg", quality=95)
    van.save(folder / "d van.bmp")
    ImageOps.mirror(van).save(folder / "e van mirrored.png")
    drawn(1).save(folder / "f other.png")
    report: Report = bring_in(lib, [folder], Wishes(role="element"))
    upkeep.work_off(lib)
    codes = {Path(item.source).name[0]: item.code for item in (*report.added, *report.known)}
    return lib, codes


def kinds(library: Library) -> dict[tuple[str, str], tuple[str, tuple[str, ...]]]:
    """Kind and how by the first letters of the two files."""
    found = {}
    for pair in settling.pairs(library):
        key = sorted((Path(pair.a.source).name[0], Path(pair.b.source).name[0]))
        found[key[0], key[1]] = (pair.kind.value, pair.how)
    return found


def test_every_way_a_copy_came_about_is_told(brought: tuple[Library, dict[str, str]]) -> None:
    library, _ = brought
    found = kinds(library)
    assert found["a", "b"] == ("same-file", ())
    assert found["a", "c"][0] == "same-picture"
    assert found["a", "d"] == ("same-picture", ("re-encoded",))
    assert found["a", "e"][0] == "same-drawing"
    assert "mirrored" in found["a", "e"][1]
    assert not any("f" in key for key in found)


def test_groups_are_families(brought: tuple[Library, dict[str, str]]) -> None:
    library, codes = brought
    assert settling.groups(settling.pairs(library)) == [sorted({codes["a"], codes["c"], codes["e"]})]


def test_what_was_compared_is_not_compared_again(brought: tuple[Library, dict[str, str]]) -> None:
    library, _ = brought
    assert not [row for row in upkeep.waiting(library) if row.count]


def test_a_picture_outside_the_library(brought: tuple[Library, dict[str, str]], tmp_path: Path) -> None:
    library, codes = brought
    asked = tmp_path / "asked.png"
    ImageOps.mirror(drawn()).resize((320, 210)).save(asked)
    found = {pair.a.code: pair for pair in settling.ask_outside(library, str(asked)).pairs}
    assert found[codes["e"]].kind in (
        DoubleKind.SAME_PICTURE,
        DoubleKind.SAME_DRAWING,
    )  # half the size leaves a doubt
    assert "mirrored" not in found[codes["e"]].how
    assert found[codes["a"]].kind is DoubleKind.SAME_DRAWING
    assert "mirrored" in found[codes["a"]].how
    assert codes["f"] not in found
    ((same, *_),) = [settling.ask_outside(library, str(tmp_path / "in" / "f other.png")).pairs]
    assert (same.kind, same.a.code) == (DoubleKind.SAME_FILE, codes["f"])


def test_a_picture_is_known_by_its_hash_alone(
    brought: tuple[Library, dict[str, str]], tmp_path: Path
) -> None:
    """Hashes taken by imagehash itself, as somebody who has no assetlib would."""
    library, codes = brought
    grey = drawn().convert("L")
    trimmed = grey.crop(ImageOps.invert(grey).point(lambda level: 255 * (level > 32)).getbbox())
    for side in (8, 16):
        found = settling.ask_outside(library, str(imagehash.phash(trimmed, hash_size=side)))
        assert {pair.a.code for pair in found.pairs} == {codes["a"], codes["c"]}
        assert {pair.kind for pair in found.pairs} == {DoubleKind.PERHAPS_FAMILY}  # no picture was seen
        assert all(how == "the same hash" or "bits apart" in how for pair in found.pairs for how in pair.how)
    assert settling.ask_outside(library, "0123456789abcdef").pairs == ()

    drawn().save(tmp_path / "asked.png")
    told = settling.ask_outside(library, str(tmp_path / "asked.png"))
    assert told.phash_wide is not None
    again = settling.ask_outside(library, told.phash_wide)
    assert {pair.a.code for pair in again.pairs} == {codes["a"], codes["c"]}


def test_safe_merging_takes_only_the_same_picture(brought: tuple[Library, dict[str, str]]) -> None:
    library, codes = brought
    foreseen = merging.merge_safely(library, dry_run=True)
    assert not any(showing.show(library, code).card.in_attic for code in codes.values())
    merged = merging.merge_safely(library)
    assert merged == foreseen
    assert [(row.keep, row.drop) for row in merged] == [(codes["a"], codes["c"])]
    assert ("a", "e") in kinds(library)
    history.undo_steps(library)
    assert merging.merge_safely(library, dry_run=True) == foreseen


def test_merging_carries_words_and_collections_and_undo_brings_all_back(
    brought: tuple[Library, dict[str, str]],
) -> None:
    library, codes = brought
    tagging.describe(
        library,
        [codes["e"]],
        tagging.Description(title="Van with driver", add=("van",), set=("pose=seated",)),
    )
    collections.make(library, "Vans")
    collections.put(library, "Vans", [codes["e"]])
    merging.merge(library, codes["a"], codes["e"])
    kept = showing.show(library, codes["a"]).card
    assert (kept.title, set(kept.tags)) == (
        "Van with driver",
        {"van", "driver"},
    )  # what the title shows is a tag too
    assert kept.facets["pose"] == ("seated",)
    assert [item.card.code for item in collections.view(library, "Vans").items] == [codes["a"]]
    assert not any("e" in key for key in kinds(library))
    history.undo_steps(library)
    assert [item.card.code for item in collections.view(library, "Vans").items] == [codes["e"]]
    assert ("a", "e") in kinds(library)


def test_merging_never_makes_a_verdict_better(brought: tuple[Library, dict[str, str]]) -> None:
    library, codes = brought
    clear = clearance.Statement(
        ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
         (Question.AI, "none"))
    )  # fmt: skip
    clearance.answer(library, [codes["c"]], clear)
    (row,) = merging.merge_safely(library)
    assert row.left
    assert "origins" in row.left
    merging.merge(library, codes["a"], codes["c"])  # what was said of the other is to be confirmed
    (after,) = clearance.clearance(library, [codes["a"]])
    assert (after.verdict.state, after.to_confirm) == (State.ASK, True)
    (confirmed,) = clearance.confirm(library, [codes["a"]])
    assert confirmed.verdict.state is State.CLEAR


def _paper(origin: str, *papers: tuple[PaperKind, str]) -> list[clearance.Statement]:
    others = ((Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"), (Question.AI, "none"))
    return [
        clearance.Statement(others),
        clearance.Statement(((Question.ORIGIN, origin),), papers=papers),
    ]


def test_a_blocked_double_merged_into_a_cleared_one_leaves_it_blocked(
    brought: tuple[Library, dict[str, str]],
) -> None:
    """The same answer on both, but only one of them has the paper that clears it."""
    library, codes = brought
    for statement in _paper("traced-from-found", (PaperKind.RESALE_PERMISSION, "binder 3")):
        clearance.answer(library, [codes["a"]], statement)
    for statement in _paper("traced-from-found"):
        clearance.answer(library, [codes["c"]], statement)
    before = [item.verdict.state for item in clearance.clearance(library, [codes["a"], codes["c"]])]
    assert before == [State.CLEAR, State.BLOCKED]
    merging.merge(library, codes["a"], codes["c"])
    assert clearance.clearance(library, [codes["a"]])[0].verdict.state is State.BLOCKED
    history.undo_steps(library)
    assert [item.verdict.state for item in clearance.clearance(library, [codes["a"], codes["c"]])] == before


def test_a_family_is_shown_on_both_and_forgotten_with_its_step(
    brought: tuple[Library, dict[str, str]],
) -> None:
    library, codes = brought
    settling.decide(library, codes["a"], codes["e"], "family")
    assert showing.show(library, codes["a"]).family == ((codes["e"], "mirrored"),)
    assert showing.show(library, codes["e"]).family == ((codes["a"], "mirrored"),)
    assert ("a", "e") not in kinds(library)
    history.undo_steps(library)
    assert showing.show(library, codes["a"]).family == ()
    settling.decide(library, codes["a"], codes["e"], "family")
    settling.decide(library, codes["a"], codes["e"], "different")
    assert showing.show(library, codes["a"]).family == ()


def test_decided_pairs_are_not_asked_again(brought: tuple[Library, dict[str, str]]) -> None:
    library, codes = brought
    settling.decide(library, codes["a"], codes["e"], "different")
    assert ("a", "e") not in kinds(library)
    history.undo_steps(library)
    assert ("a", "e") in kinds(library)


def test_skipping_new_drawings_keeps_the_older_one(
    brought: tuple[Library, dict[str, str]], tmp_path: Path
) -> None:
    library, codes = brought
    late = tmp_path / "g van turned.png"
    drawn().rotate(90, expand=True, fillcolor="white").save(late)
    (added,) = bring_in(library, [late], Wishes(role="element")).added
    upkeep.work_off(library)
    found = settling.looks_like(library, [added.code])[added.code]
    assert {pair.kind for pair in found} == {DoubleKind.SAME_DRAWING}
    merging.skip_new(library, found, {added.code})
    assert showing.show(library, added.code).card.in_attic
    assert not showing.show(library, codes["a"]).card.in_attic


def test_of_a_mirrored_pair_the_larger_flipped_one_is_not_advised(lib: Library, tmp_path: Path) -> None:
    van = drawn()
    van.save(tmp_path / "van.png")
    large = ImageOps.mirror(van).resize((van.width * 2, van.height * 2), Image.Resampling.LANCZOS)
    large.save(tmp_path / "van flipped for the paste-up.png")
    first = bring_in(lib, [tmp_path / "van.png"], Wishes(role="element")).added[0].code
    second = (
        bring_in(lib, [tmp_path / "van flipped for the paste-up.png"], Wishes(role="element")).added[0].code
    )
    upkeep.work_off(lib)
    choice = merging.choose(lib, first, second)
    assert (choice.keep, choice.why) == (first, "it was there first")
