"""Damage is told as damage, with what to do, and nothing is made worse by looking."""

from __future__ import annotations

import os
import shutil
import stat
import sys
from pathlib import Path

import pytest

from assetlib.errors import LibraryBroken
from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.finding.search import Asked, find
from assetlib.services.finding.showing import show
from assetlib.services.keeping import leftovers, upkeep
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.safekeeping import back_up
from tests.conftest import Assetlib, Draw
from tests.services.keeping.test_backups import files_of, original, spoil, totals


def _empty(lib: Library) -> None:
    lib.catalogue.write_bytes(b"")


def _gone(lib: Library) -> None:
    lib.catalogue.unlink()


def _no_originals(lib: Library) -> None:
    shutil.rmtree(lib.folder / "originals")


def _emptied(lib: Library) -> None:
    _no_originals(lib)
    (lib.folder / "originals").mkdir()


def _another(lib: Library) -> None:
    other = Library.start(lib.folder.parent / "another")
    other.close()
    shutil.copy(other.catalogue, lib.catalogue)


@pytest.mark.parametrize("damage", [_empty, _gone, _no_originals, _emptied, _another])
def test_what_is_lost_is_not_taken_for_a_new_library(
    lib: Library, draw: Draw, assetlib: Assetlib, tmp_path: Path, damage: object
) -> None:
    bring_in(lib, [draw("dog.png")])
    back_up(lib, tmp_path / "safe")
    lib.close()
    for left in lib.folder.glob("catalogue.sqlite-*"):
        left.unlink()
    damage(lib)  # type: ignore[operator]
    before = {**files_of(lib.folder), **files_of(tmp_path / "safe")}
    for command in (("find", "dog"), ("check",), ("backup",), ("backup", tmp_path / "safe")):
        done = assetlib(*command, library=lib.folder)
        assert (done.code, "Traceback" in done.err) == (13, False), (command, done.err)
        assert len(done.err.splitlines()) == 2  # what, and what to do
    assert {**files_of(lib.folder), **files_of(tmp_path / "safe")} == before


def test_originals_that_are_gone_come_back_from_a_backup(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png", 1), draw("ferry.png", 2)])
    back_up(lib, tmp_path / "safe")
    _no_originals(lib)
    damaged = Library.open(lib.folder, repairing=True)
    report = check(damaged, repair=True, heal_from=tmp_path / "safe")
    assert report.clean, report.problems
    damaged.close()
    again = Library.open(lib.folder)
    assert check(again).clean
    again.close()


def test_a_single_lost_original_stops_nothing_and_heals_when_it_passes_by(
    lib: Library, draw: Draw, tmp_path: Path
) -> None:
    dog = draw("dog.png", 1)
    bring_in(lib, [dog])
    kept = original(lib)
    bring_in(lib, [draw("ferry.png", 2)])
    kept.unlink()
    assert totals(lib) == 2
    assert not check(lib).clean
    known = bring_in(lib, [dog]).known
    assert len(known) == 1
    assert check(lib).clean
    spoil(kept, bytes([byte ^ 1 for byte in kept.read_bytes()]))  # as long as before
    assert not check(lib).clean
    bring_in(lib, [dog])
    assert check(lib).clean
    spoil(kept)
    copies = tmp_path / "somewhere"
    copies.mkdir()
    shutil.copy(dog, copies / "another name.dat")
    assert check(lib, repair=True, heal_from=copies).clean
    assert check(lib).clean
    assert not kept.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)


def test_check_alone_changes_nothing(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    upkeep.work_off(lib)
    (lib.folder / "originals" / "ab" / "cd").mkdir(parents=True)
    (lib.folder / "originals" / "ab" / "cd" / ("abcd" + "0" * 60)).write_bytes(b"spare")
    spoil(next(lib.derived.rglob("*.webp")))
    lib.close()
    before = files_of(lib.folder)
    report = check(lib)
    lib.close()
    assert (report.clean, report.spare) == (False, 1)
    ours = {name for name in before if not name.startswith("catalogue.sqlite-")}
    after = files_of(lib.folder)
    assert {name: after[name] for name in ours} == {name: before[name] for name in ours}


def test_repair_never_moves_most_of_a_library_away(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    for number in range(200):
        folder = lib.folder / "originals" / "ab" / f"{number % 100:02}"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"ab{number % 100:02}{number:060}").write_bytes(b"theirs")
    check(lib, repair=True)
    assert len(list(lib.originals.all())) == 201


def test_copies_that_were_cut_short_are_found_and_made_again(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    (proof,) = lib.derived.glob("proof/??/*")
    os.truncate(proof, 50)
    (found,) = find(lib, Asked()).results
    assert show(lib, found.card.code).damaged == ("proof",)  # told, and left to upkeep
    assert proof.stat().st_size == 50
    assert "derived/" in check(lib).problems[0].what
    bad, _ = leftovers.tidy(lib)
    assert bad == 1
    upkeep.work_off(lib, (upkeep.PROOF,))
    assert check(lib).clean


def test_upkeep_collects_what_nothing_names(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    (proof,) = lib.derived.glob("proof/??/*")
    old, new = proof.with_name("left.webp"), proof.with_name("under way.webp")
    for path in (old, new):
        path.write_bytes(b"left")
    os.utime(old, (0, 0))
    now = lib.now().timestamp()
    os.utime(new, (now, now))
    leftovers.tidy(lib)
    assert (old.exists(), new.exists(), proof.exists()) == (False, True, True)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has other permissions")
def test_everything_in_a_library_is_for_its_owner_alone(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    upkeep.work_off(lib)
    lib.close()
    open_to_others = [
        path
        for path in (lib.folder, *lib.folder.rglob("*"))
        if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO)
    ]
    assert open_to_others == []
    lib.folder.chmod(0o755)
    assert not check(lib).clean
    assert check(lib, repair=True).clean
    assert not lib.folder.stat().st_mode & 0o077


def test_a_start_that_was_stopped_can_be_done_again(tmp_path: Path) -> None:
    started = Library.start(tmp_path / "new")
    started.close()
    (tmp_path / "new" / "assetlib.toml").unlink()
    Library.start(tmp_path / "new").close()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "originals").mkdir()
    (tmp_path / "other" / "originals" / "mine.png").write_bytes(b"mine")
    with pytest.raises(Exception, match="not an empty folder"):
        Library.start(tmp_path / "other")


def test_the_counter_rises_with_every_write_and_with_no_read(lib: Library, draw: Draw) -> None:
    from assetlib.catalogue.identity import read_identity
    from assetlib.catalogue.proving import reading_file

    def writes() -> int:
        lib.close()
        with lib.transaction() as session:
            (found,) = session.connection().exec_driver_sql("SELECT writes FROM library").fetchone() or (0,)
        return int(found)

    first = writes()
    assert writes() == first
    bring_in(lib, [draw("dog.png")])
    second = writes()
    assert second > first
    totals(lib)
    check(lib)
    assert writes() == second
    lib.close()
    with reading_file(lib.catalogue) as connection:
        assert read_identity(connection)[0] == lib.settings.identity


def test_originals_without_a_catalogue_row_stay_where_a_stop_left_them(lib: Library, draw: Draw) -> None:
    lib.originals.put_bytes(b"came in just before the stop")
    lib.close()
    again = Library.open(lib.folder)
    assert check(again).clean
    again.close()


def test_damage_inside_the_catalogue_is_exit_13(lib: Library, draw: Draw, assetlib: Assetlib) -> None:
    bring_in(lib, [draw("dog.png")])
    lib.close()
    data = bytearray(lib.catalogue.read_bytes())
    data[100:3000] = os.urandom(2900)
    lib.catalogue.write_bytes(data)
    for command in (("find", "dog"), ("check", "--repair")):
        done = assetlib(*command, library=lib.folder)
        assert (done.code, "Traceback" in done.err) == (13, False)
    with pytest.raises(LibraryBroken):
        Library.open(lib.folder)


def test_a_library_that_is_moved_while_it_is_open_is_not_made_anew(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    moved = lib.folder.with_name("moved")
    lib.catalogue.rename(lib.folder / "away.sqlite")
    for left in lib.folder.glob("catalogue.sqlite-*"):
        left.unlink()
    for use in (totals, check, lambda lib: bring_in(lib, [draw("ferry.png", 2)])):
        with pytest.raises(LibraryBroken):
            use(lib)
        assert not lib.catalogue.exists()
    (lib.folder / "away.sqlite").rename(lib.catalogue)
    lib.folder.rename(moved)
    with pytest.raises((LibraryBroken, OSError)):
        totals(lib)
    assert not lib.folder.exists()
    again = Library.open(moved)
    assert (totals(again), check(again).clean) == (1, True)
    again.close()


def test_a_clock_that_is_set_back_changes_no_order(lib: Library, draw: Draw, tmp_path: Path) -> None:
    import datetime as dt

    bring_in(lib, [draw("dog.png", 1)])
    back_up(lib, tmp_path / "safe")
    before = lib.now
    lib.now = lambda: before() - dt.timedelta(days=400)
    bring_in(lib, [draw("ferry.png", 2)])
    assert back_up(lib).generation == 2
    assert totals(lib) == 2
    assert check(lib).clean
