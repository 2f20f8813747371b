"""Backups: states beside each other, proven before they count, of one library alone, and nothing ever replaced."""

from __future__ import annotations

import gzip
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from assetlib.catalogue.proving import reading_file
from assetlib.config import change_setting
from assetlib.errors import BackupRefused, LibraryBroken, LibraryBusy, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.inspecting import check_backup
from assetlib.services.keeping.restoring import restore
from assetlib.services.keeping.safekeeping import back_up, last_backup
from assetlib.services.keeping.starting import start_library
from assetlib.storage.generations import BackupFolder
from tests.conftest import Draw
from tests.outside import needs_program


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, by its name there."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def spoil(path: Path, data: bytes = b"rotten") -> None:
    """Alter a file that nobody should alter."""
    path.chmod(0o600)
    path.write_bytes(data)


def original(lib: Library) -> Path:
    """The only original of a library."""
    (path,) = (lib.folder / "originals").glob("??/??/*")
    return path


def totals(lib: Library) -> int:
    return find(lib, Asked(limit=1)).total


def test_each_backup_is_a_state_of_its_own(lib: Library, draw: Draw, tmp_path: Path) -> None:
    safe = tmp_path / "safe"
    bring_in(lib, [draw("dog.png", 1)])
    first = back_up(lib, safe)
    kept = files_of(safe)
    bring_in(lib, [draw("ferry.png", 2)])
    second = back_up(lib)  # without a folder: where the last one went
    assert (first.generation, second.generation, second.copied) == (1, 2, 1)
    last = last_backup(lib)
    assert last is not None
    assert (last.folder, last.generation) == (safe, 2)
    now = files_of(safe)
    assert {name: now.get(name) for name in kept} == kept
    assert [state.problems for state in check_backup(safe)] == [(), ()]
    restored = restore(safe, tmp_path / "one", generation=1)
    assert (restored.files, restored.lost) == (1, ())
    older = Library.open(tmp_path / "one")
    assert totals(older) == 1
    assert check(older).clean
    older.close()
    assert totals(Library.open(restore(safe, tmp_path / "both").folder)) == 2


def test_sha256sum_proves_a_state(lib: Library, draw: Draw, tmp_path: Path) -> None:
    program = needs_program("sha256sum")
    bring_in(lib, [draw("dog.png")])
    back_up(lib, tmp_path / "safe")
    command = [program, "--check", "--strict", "generations/0001/files.sha256"]
    assert subprocess.run(command, cwd=tmp_path / "safe", capture_output=True, check=False).returncode == 0
    spoil(next((tmp_path / "safe" / "originals").glob("??/??/*")))
    assert subprocess.run(command, cwd=tmp_path / "safe", capture_output=True, check=False).returncode == 1


def test_so_many_states_are_kept(lib: Library, draw: Draw, tmp_path: Path) -> None:
    lib.settings = change_setting(lib.folder, "name", "few")
    settings = lib.folder / "assetlib.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("generations = 10", "generations = 2"), encoding="utf-8"
    )
    few = Library.open(lib.folder)
    bring_in(few, [draw("dog.png")])
    for _ in range(3):
        back_up(few, tmp_path / "safe")
    folder = BackupFolder(tmp_path / "safe")
    assert folder.numbers() == [2, 3]
    assert all(not state.problems for state in check_backup(tmp_path / "safe"))
    few.close()


def test_a_damaged_catalogue_is_not_saved_over_anything(lib: Library, draw: Draw, tmp_path: Path) -> None:
    for number in range(6):
        bring_in(lib, [draw(f"dog {number}.png", number)])
    back_up(lib, tmp_path / "safe")
    before = files_of(tmp_path / "safe")
    lib.close()
    with reading_file(lib.catalogue) as connection:
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    with lib.catalogue.open("r+b") as file:
        for page in range(6, lib.catalogue.stat().st_size // size, 2):
            file.seek(page * size)
            file.write(os.urandom(200))
    with pytest.raises(LibraryBroken):
        back_up(Library.open(lib.folder), tmp_path / "safe")
    after = files_of(tmp_path / "safe")
    assert {name: after.get(name) for name in before} == before
    assert BackupFolder(tmp_path / "safe").numbers() == [1]


def test_what_cannot_be_saved_is_listed_and_the_rest_is_saved(
    lib: Library, draw: Draw, tmp_path: Path
) -> None:
    bring_in(lib, [draw("dog.png", 1)])
    path = original(lib)
    bring_in(lib, [draw("ferry.png", 2)])
    spoil(path)
    made = back_up(lib, tmp_path / "safe")
    assert made.files == 1
    assert [name for name in made.lost if path.name in name]
    restored = restore(tmp_path / "safe", tmp_path / "again")
    assert restored.files == 1
    assert len(restored.lost) == 1
    again = Library.open(tmp_path / "again")
    assert totals(again) == 2  # a lost original stops nothing
    assert not check(again).clean
    again.close()


def test_a_rotten_copy_in_the_backup_is_made_good(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png")])
    back_up(lib, tmp_path / "safe")
    spoil(next((tmp_path / "safe" / "originals").glob("??/??/*")))
    assert check_backup(tmp_path / "safe")[0].problems
    assert back_up(lib).copied == 1
    assert all(not state.problems for state in check_backup(tmp_path / "safe"))


def test_two_libraries_never_meet_in_one_backup(lib: Library, draw: Draw, tmp_path: Path) -> None:
    other = start_library(tmp_path / "other")
    bring_in(lib, [draw("dog.png", 1)])
    bring_in(other, [draw("ferry.png", 2)])
    back_up(lib, tmp_path / "safe")
    before = {**files_of(tmp_path / "safe"), **files_of(other.folder)}
    with pytest.raises(BackupRefused, match="another library"):
        back_up(other, tmp_path / "safe")
    for target in (other.folder, tmp_path):
        with pytest.raises((BackupRefused, WrongUsage)):
            back_up(lib, target)
    after = {**files_of(tmp_path / "safe"), **files_of(other.folder)}
    assert {name: after.get(name) for name in before} == before
    with pytest.raises(WrongUsage, match="a library in"):
        restore(tmp_path / "safe", other.folder)
    assert totals(other) == 1
    other.close()


def test_an_older_state_is_added_only_when_it_is_meant(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png", 1)])
    lib.close()
    shutil.copytree(lib.folder, tmp_path / "yesterday")
    bring_in(lib, [draw("ferry.png", 2)])
    back_up(lib, tmp_path / "safe")
    yesterday = Library.open(tmp_path / "yesterday")
    with pytest.raises(BackupRefused) as caught:
        back_up(yesterday, tmp_path / "safe")
    assert "--older" in str(caught.value.hint)
    assert back_up(yesterday, tmp_path / "safe", older=True).generation == 2
    yesterday.close()


def test_a_backup_from_before_generations_becomes_the_first(tmp_path: Path, draw: Draw) -> None:
    old, picture = older_library(tmp_path, draw)
    backup = older_backup(old, tmp_path / "safe")
    assert restore(backup, tmp_path / "from old").files == 1
    lib = Library.open(old)
    assert back_up(lib, backup).generation == 2
    assert sorted(path.name for path in backup.iterdir() if path.is_file() and path.name[0] != ".") == [
        "backup.json"
    ]
    assert all(not state.problems for state in check_backup(backup))
    first = restore(backup, tmp_path / "first", generation=1)
    assert first.files == 1
    again = Library.open(first.folder)
    assert check(again).clean, check(again).problems
    assert original(again).read_bytes() == picture.read_bytes()
    assert again.settings.identity == lib.settings.identity
    lib.close()
    again.close()


RELEASED = Path(__file__).parents[2] / "catalogue" / "released" / "0001.sqlite.gz"


def older_library(tmp_path: Path, draw: Draw) -> tuple[Path, Path]:
    """A library as the first release left it: no identity anywhere, one original, one issued bundle left out."""
    import hashlib
    import sqlite3
    from contextlib import closing

    picture = draw("dog.png")
    data = picture.read_bytes()
    digest = hashlib.sha256(data).hexdigest()
    folder = tmp_path / "old"
    for name in ("originals", "derived", "papers", "bundles", "staging"):
        (folder / name).mkdir(parents=True)
    (folder / "assetlib.toml").write_text('name = "Old"\n', encoding="utf-8")
    (folder / "catalogue.sqlite").write_bytes(gzip.decompress(RELEASED.read_bytes()))
    with closing(sqlite3.connect(folder / "catalogue.sqlite")) as connection, connection:
        keep = connection.execute("SELECT min(original_id) FROM pieces").fetchone()[0]
        connection.execute("DELETE FROM bundle_items")
        connection.execute("DELETE FROM bundles")
        connection.execute("DELETE FROM changes")
        connection.execute("DELETE FROM steps")
        connection.execute("UPDATE pieces SET original_id = ?", (keep,))
        connection.execute("DELETE FROM arrivals WHERE original_id != ?", (keep,))
        connection.execute("DELETE FROM originals WHERE id != ?", (keep,))
        connection.execute("UPDATE originals SET sha256 = ?, bytes = ?", (digest, len(data)))
        connection.execute("DELETE FROM derived WHERE path IS NOT NULL")
    place = folder / "originals" / digest[:2] / digest[2:4] / digest
    place.parent.mkdir(parents=True)
    place.write_bytes(data)
    return folder, picture


def older_backup(library: Path, target: Path) -> Path:
    """What the first release's backup made of it: the same files at the folder's top."""
    shutil.copytree(library, target)
    return target


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such locks")
def test_two_backups_into_one_folder_take_turns(lib: Library, draw: Draw, tmp_path: Path) -> None:
    bring_in(lib, [draw("dog.png")])
    back_up(lib, tmp_path / "safe")
    with BackupFolder(tmp_path / "safe").locked(), pytest.raises(LibraryBusy):
        back_up(lib)
    assert back_up(lib).generation == 2


def test_a_backup_without_a_folder_needs_a_first_one(lib: Library) -> None:
    with pytest.raises(WrongUsage, match="not backed up"):
        back_up(lib)
