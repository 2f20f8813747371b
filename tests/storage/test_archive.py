"""Our own ZIP: read by others, the same every time, wary of tricks."""

from __future__ import annotations

import io
import subprocess
import zipfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assetlib.errors import BundleInvalid
from assetlib.storage.archive import archive_chunks, is_as_written, is_safe_path
from tests.outside import needs_program

DAY = date(2026, 3, 14)
FILES = st.dictionaries(
    st.from_regex(r"[a-z0-9]{1,8}(/[a-z0-9]{1,8}){0,2}", fullmatch=True), st.binary(max_size=300)
)


def archive_of(files: dict[str, bytes], day: date = DAY) -> bytes:
    return b"".join(archive_chunks(sorted(files.items()), day))


@given(FILES, st.dates(date(1980, 1, 1), date(2107, 12, 31)))
def test_the_standard_library_reads_back_what_was_written(files: dict[str, bytes], day: date) -> None:
    with zipfile.ZipFile(io.BytesIO(archive_of(files, day))) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == files
        for info in archive.infolist():
            assert info.date_time == (day.year, day.month, day.day, 0, 0, 0)
            assert info.external_attr >> 16 == 0o100644
            assert info.compress_type == zipfile.ZIP_STORED


def test_unzip_reads_it(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(archive_of({"top/data/van.txt": b"van" * 1000, "top/empty": b""}))
    done = subprocess.run([needs_program("unzip"), "-tq", path], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@given(FILES.filter(bool), st.data())
def test_a_change_in_any_byte_is_noticed(
    tmp_path_factory: pytest.TempPathFactory, files: dict[str, bytes], data: st.DataObject
) -> None:
    whole = archive_of(files)
    at = data.draw(st.integers(0, len(whole) - 1))
    changed = bytearray(whole)
    changed[at] ^= data.draw(st.integers(1, 255))
    path = tmp_path_factory.getbasetemp() / "changed.zip"
    path.write_bytes(changed)
    try:
        with zipfile.ZipFile(path) as archive:
            assert not is_as_written(path, archive, DAY)
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        # so damaged that it does not open: noticed as well
        pass


def test_a_bundle_beyond_what_old_tools_read_is_refused() -> None:
    with pytest.raises(BundleInvalid, match="4 GB"):
        for _ in archive_chunks(((f"f{n}", b"") for n in range(70_000)), DAY):
            pass


@pytest.mark.parametrize("path", ["a", "data/images/van-k7wdm2.png", "0/9_", "a.b.c/d-e_f", "console/com10x"])
def test_plain_paths_are_safe(path: str) -> None:
    assert is_safe_path(path)


@pytest.mark.parametrize(
    "path",
    [
        "", "/", "/a", "a/", "a//b", ".", "..", "../a", "a/../b", "a/./b", ".hidden", "-dash", "_x",
        "A", "a/B.png", "a b", "ä", "a\\b", "c:/x", "c:x", "a\x00b", "a\n", "a%2e", "~/a", "a.", "a./b",
        "con", "aux.png", "a/nul", "com1", "lpt9.txt", "prn.tar.gz",
    ],
)  # fmt: skip
def test_paths_that_mean_something_else_somewhere_are_not(path: str) -> None:
    assert not is_safe_path(path)
