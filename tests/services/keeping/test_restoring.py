"""Restoring: a new folder only, from media that cannot be written, after a stop, and of what is whole."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from assetlib.errors import LibraryBroken, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.inspecting import check_backup
from assetlib.services.keeping.restoring import UNFINISHED, restore
from assetlib.services.keeping.safekeeping import back_up
from tests.conftest import Draw
from tests.services.keeping.test_backups import files_of, older_backup, older_library, spoil, totals


@pytest.fixture
def safe(lib: Library, draw: Draw, tmp_path: Path) -> Path:
    """A backup of two drawings."""
    bring_in(lib, [draw("dog.png", 1), draw("ferry.png", 2)])
    back_up(lib, tmp_path / "safe")
    return tmp_path / "safe"


def _read_only(folder: Path) -> bool:
    """Mount a folder over itself so that nobody can write in it; whether that worked."""
    for command in (
        ["mount", "--bind", str(folder), str(folder)],
        ["mount", "-o", "remount,ro,bind", str(folder)],
    ):
        if not shutil.which("mount") or subprocess.run(command, capture_output=True, check=False).returncode:
            return False
    return True


@pytest.mark.parametrize("kind", ["of states", "of the first release"])
def test_from_read_only_media(safe: Path, tmp_path: Path, draw: Draw, kind: str) -> None:
    if kind != "of states":
        safe = older_backup(older_library(tmp_path, draw)[0], tmp_path / "disc")
    before = files_of(safe)
    mounted = _read_only(safe)
    try:
        restored = restore(safe, tmp_path / "again")
    finally:
        if mounted:
            subprocess.run(["umount", str(safe)], check=True)
    if not mounted:
        pytest.skip("this machine lets nobody mount a folder read-only")
    assert restored.lost == ()
    assert files_of(safe) == before
    again = Library.open(tmp_path / "again")
    assert check(again).clean
    again.close()


def test_goes_on_where_it_was_stopped_in_its_first_moment(safe: Path, tmp_path: Path) -> None:
    """Folders are made and the mark is half written: nothing in there is anybody's."""
    target = tmp_path / "again"
    (target / "originals").mkdir(parents=True)
    (target / f".new-{'0a' * 16}").write_bytes(b"{")
    restore(safe, target)
    assert not list(target.glob(".new-*"))
    again = Library.open(target)
    assert check(again).clean
    again.close()


@pytest.mark.parametrize("name", [".new-plan.txt", "originals/mine.png", "notes.txt"])
def test_a_folder_with_something_of_the_artist_in_it_is_left_alone(
    safe: Path, tmp_path: Path, name: str
) -> None:
    mine = tmp_path / "again" / name
    mine.parent.mkdir(parents=True)
    mine.write_text("mine")
    with pytest.raises(WrongUsage, match="is not empty"):
        restore(safe, tmp_path / "again")
    assert mine.read_text() == "mine"


def test_numbers_that_are_none_in_a_state_s_note_are_damage(safe: Path) -> None:
    note = next(safe.glob("generations/*/*.json"))
    note.write_text(note.read_text().replace('"files": ', '"files": 1e999, "was": '))
    state = check_backup(safe)[0]
    assert state.problems


def test_whatever_is_whole_is_restored(safe: Path, tmp_path: Path) -> None:
    one, other = sorted((safe / "originals").glob("??/??/*"))
    spoil(one)
    other.unlink()
    other.symlink_to(__file__)
    restored = restore(safe, tmp_path / "again")
    assert restored.files == 0
    assert len(restored.lost) == 2
    again = Library.open(tmp_path / "again", repairing=True)
    assert totals(again) == 2
    again.close()


@pytest.mark.parametrize(
    "what", ["a file in it", "another library", "the backup itself", "inside the backup"]
)
def test_only_a_new_folder_is_restored_to(lib: Library, safe: Path, tmp_path: Path, what: str) -> None:
    target = {
        "another library": lib.folder,
        "the backup itself": safe,
        "inside the backup": safe / "new",
    }.get(what, tmp_path / "used")
    if what == "a file in it":
        target.mkdir()
        (target / "mine.txt").write_text("mine", encoding="utf-8")
    before = files_of(target) if target.exists() else {}
    lib.close()
    with pytest.raises(WrongUsage):
        restore(safe, target)
    assert (files_of(target) if target.exists() else {}) == before


def test_a_restoring_that_was_stopped_goes_on(safe: Path, tmp_path: Path) -> None:
    target = tmp_path / "again"
    restore(safe, target)
    # as it is when it is stopped before its end: no settings, one file half there
    (target / "assetlib.toml").unlink()
    (target / UNFINISHED).write_text(f'{{"from": "{safe / "generations" / "0001"}"}}', encoding="utf-8")
    spoil(next((target / "originals").glob("??/??/*")))
    restored = restore(safe, target)
    assert restored.lost == ()
    again = Library.open(target)
    assert check(again).clean
    again.close()
    assert not (target / UNFINISHED).exists()


def test_a_damaged_state_says_which_other_one_there_is(lib: Library, safe: Path, tmp_path: Path) -> None:
    back_up(lib)
    catalogue = safe / "generations" / "0002" / "catalogue.sqlite"
    catalogue.write_bytes(catalogue.read_bytes()[:5000])
    with pytest.raises(LibraryBroken) as caught:
        restore(safe, tmp_path / "again")
    assert "--generation 1" in str(caught.value.hint)
    assert restore(safe, tmp_path / "again", generation=1).lost == ()


def test_what_is_no_backup(tmp_path: Path, safe: Path) -> None:
    (tmp_path / "empty").mkdir()
    for folder in (tmp_path / "empty", tmp_path / "gone"):
        with pytest.raises(NotFound):
            restore(folder, tmp_path / "again")
    with pytest.raises(NotFound, match="no state 7"):
        restore(safe, tmp_path / "again", generation=7)
