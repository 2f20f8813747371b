"""The store of originals: what goes in comes out, and nothing that is in is ever touched."""

from __future__ import annotations

import hashlib
import os
import stat
from pathlib import Path

import pytest

from assetlib.errors import DiskFull, LibraryBroken
from assetlib.storage.blobs import BlobStore, Digest, as_digest, digest_of, write_atomic
from assetlib.storage.durable import no_room_said_plainly, staged_file

VAN = b"ink on paper: a delivery van"


@pytest.fixture
def store(tmp_path: Path) -> BlobStore:
    return BlobStore(tmp_path / "originals")


def staged(store: BlobStore, data: bytes) -> Path:
    path = store.staging / "arriving"
    path.write_bytes(data)
    return path


def test_bytes_come_back_under_their_sha256(store: BlobStore) -> None:
    digest = store.put_bytes(VAN)
    assert digest == hashlib.sha256(VAN).hexdigest()
    with store.open(digest) as file:
        assert file.read() == VAN
    assert store.path(digest) == store.root / digest[:2] / digest[2:4] / digest
    assert store.verify(digest)


def test_a_blob_is_read_only(store: BlobStore) -> None:
    mode = store.path(store.put_bytes(VAN)).stat().st_mode
    assert not mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)


def test_a_staged_file_is_moved_in(store: BlobStore) -> None:
    arriving = staged(store, VAN)
    target = store.put_staged(arriving, digest_of(VAN))
    assert target.read_bytes() == VAN
    assert not arriving.exists()


def test_a_blob_that_is_there_stays_the_very_same_file(store: BlobStore) -> None:
    before = store.path(store.put_bytes(VAN)).stat()
    arriving = staged(store, VAN)
    after = store.put_staged(arriving, digest_of(VAN)).stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)
    assert not arriving.exists()
    assert list(store.staging.iterdir()) == []


def test_changed_and_missing_blobs_do_not_verify(store: BlobStore) -> None:
    digest = store.put_bytes(VAN)
    path = store.path(digest)
    path.chmod(0o644)
    path.write_bytes(VAN.replace(b"van", b"VAN"))
    assert not store.verify(digest)
    path.unlink()
    assert not store.verify(digest)
    with pytest.raises(LibraryBroken, match=digest[:12]):
        store.open(digest)


def test_all_lists_blobs_in_order_and_nothing_else(store: BlobStore) -> None:
    digests = sorted(store.put_bytes(bytes([n])) for n in range(40))
    staged(store, b"half way in")
    (store.path(digests[0]).parent / "notes.txt").write_text("a stray file")
    # right name, wrong folder: not reachable by digest, so not a blob
    (store.path(digests[0]).parent / ("f" * 64)).write_bytes(b"lost")
    assert list(store.all()) == digests


def test_an_empty_store_holds_nothing(store: BlobStore) -> None:
    assert list(store.all()) == []


@pytest.mark.parametrize("text", ["", "ab", "../../etc/passwd", "A" * 64, "0" * 63 + "\n", "0" * 65])
def test_only_a_digest_is_a_digest(store: BlobStore, text: str) -> None:
    with pytest.raises(ValueError, match="SHA-256"):
        as_digest(text)
    with pytest.raises(ValueError, match="SHA-256"):
        store.path(Digest(text))


def test_write_atomic_replaces_whole_files_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "list.json"
    write_atomic(path, b"one")
    write_atomic(path, b"two")
    assert path.read_bytes() == b"two"
    assert os.listdir(tmp_path) == ["list.json"]


def test_write_atomic_that_fails_keeps_what_was_there(tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    with pytest.raises(OSError, match="taken"):
        write_atomic(tmp_path / "taken", b"a folder cannot be replaced by a file")
    assert os.listdir(tmp_path) == ["taken"]


def break_off(folder: Path) -> None:
    with staged_file(folder) as (file, staged):
        file.write(b"half a drawing")
        assert staged.exists()
        raise KeyboardInterrupt


def test_a_write_that_breaks_off_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt):
        break_off(tmp_path)
    assert os.listdir(tmp_path) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs the device that is always full")
def test_a_full_disk_is_said_in_words() -> None:
    with (
        pytest.raises(DiskFull, match="no room"),
        no_room_said_plainly(Path("originals")),
        open("/dev/full", "wb", buffering=0) as full,
    ):
        full.write(b"one byte")


def test_files_placed_together_are_there_and_a_double_is_removed(store: BlobStore) -> None:
    for number in range(5):
        assert store.place_staged(staged(store, bytes([number])), digest_of(bytes([number]))).exists()
    store.place_staged(staged(store, bytes([0])), digest_of(bytes([0])))
    store.sync_names()
    assert all(store.verify(digest_of(bytes([number]))) for number in range(5))
    assert list(store.staging.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="folders cannot be synced there")
def test_names_are_synced_up_to_the_root_even_of_a_blob_that_was_there(
    store: BlobStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = store.put_bytes(VAN)
    folders = {store.path(digest).parent, store.path(digest).parent.parent, store.root}
    synced: list[Path] = []
    monkeypatch.setattr("assetlib.storage.blobs.sync_folder", synced.append)
    store.place_staged(staged(store, VAN), digest)
    assert synced == []
    store.sync_names()
    assert sorted(synced) == sorted(folders)
    store.sync_names()
    assert len(synced) == len(folders)
