"""What is said of network drives, disks without owners and folders that are kept in step with another place.

The kernel here mounts none of these, so psutil is given the list of mounts as Linux writes it (proc(5), fstab(5)) on
machines that do: the lines below are such, but for the folder.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

import psutil
import pytest

from assetlib.library import Library
from assetlib.services.keeping.checking import check
from assetlib.storage import volumes
from tests.cli.conftest import Command, command

__all__ = ["command"]

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="mounts are told so on Linux alone")

ROOT = "/dev/vda1 / ext4 rw,relatime 0 0\nproc /proc proc rw,nosuid,nodev,noexec,relatime 0 0\n"
NFS = "nas:/volume1/boards {} nfs4 rw,relatime,vers=4.2,rsize=1048576,hard,proto=tcp,sec=sys,addr=10.0.0.7 0 0\n"
CIFS = "//nas/boards {} cifs rw,relatime,vers=3.1.1,cache=strict,username=ida,uid=1000,addr=10.0.0.7 0 0\n"
SSHFS = "ida@studio:/boards {} fuse.sshfs rw,nosuid,nodev,relatime,user_id=1000,group_id=1000 0 0\n"
STICK = (
    "/dev/sdb1 {} vfat rw,nosuid,nodev,relatime,uid=1000,gid=1000,fmask=0022,dmask=0022,codepage=437 0 0\n"
)
EXFAT = "/dev/sdc1 {} exfat rw,nosuid,nodev,relatime,uid=1000,gid=1000,fmask=0022,iocharset=utf8 0 0\n"
NTFS = "/dev/sdd1 {} fuseblk rw,nosuid,nodev,relatime,user_id=0,group_id=0,allow_other,blksize=4096 0 0\n"
DISK = "/dev/sde1 {} ext4 rw,relatime 0 0\n"

Mounted = Callable[[Path, str], None]


@pytest.fixture
def mounted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Mounted:
    """Makes the machine tell that a folder is a mount of some kind."""

    def tell(folder: Path, line: str) -> None:
        listing = tmp_path / "proc" / "self"
        listing.mkdir(parents=True, exist_ok=True)
        place = str(folder.resolve()).replace(" ", "\\040")  # as the kernel writes a blank
        (listing / "mounts").write_text(ROOT + line.format(place))
        monkeypatch.setattr(psutil, "PROCFS_PATH", str(tmp_path / "proc"))

    return tell


@pytest.mark.parametrize("line", [NFS, CIFS, SSHFS])
def test_a_network_drive_is_warned_of(tmp_path: Path, mounted: Mounted, line: str) -> None:
    folder = tmp_path / "studio drive" / "library"
    folder.mkdir(parents=True)
    mounted(tmp_path / "studio drive", line)
    (warning,) = volumes.warnings(folder)
    assert "network drive" in warning
    assert "one computer at a time" in warning


@pytest.mark.parametrize("line", [STICK, EXFAT, NTFS, DISK])
def test_a_disk_of_ones_own_is_not_warned_of(tmp_path: Path, mounted: Mounted, line: str) -> None:
    mounted(tmp_path, line)
    assert volumes.warnings(tmp_path) == []
    assert volumes.knows_no_owners(tmp_path) == (line != DISK)


def test_the_nearest_mount_counts(tmp_path: Path, mounted: Mounted) -> None:
    inner = tmp_path / "mnt" / "stick"
    inner.mkdir(parents=True)
    (tmp_path / "mnt2").mkdir()
    mounted(inner, f"{NFS.format(tmp_path / 'mnt')}{STICK}")
    assert volumes.file_system(inner) == "vfat"
    assert volumes.file_system(tmp_path / "mnt") == "nfs4"
    assert volumes.file_system(tmp_path / "mnt2") == "ext4"


@pytest.mark.parametrize(("line", "said"), [(DISK, True), (STICK, False), (EXFAT, False)])
def test_open_folders_are_no_fault_where_a_disk_knows_no_owners(
    lib: Library, mounted: Mounted, line: str, said: bool
) -> None:
    """There every file is everybody's, whatever is asked: nothing that the artist could mend."""
    lib.folder.chmod(0o777)
    mounted(lib.folder, line)
    assert any("other users" in problem.what for problem in check(lib).problems) == said
    Library.open(lib.folder).close()


def test_commands_say_it(command: Command, lib: Library, mounted: Mounted, tmp_path: Path) -> None:
    mounted(tmp_path, NFS)
    checked = command("check")
    assert (checked.code, "network drive (nfs4)" in " ".join(checked.err.split())) == (0, True)
    started = command("start", tmp_path / "another")
    assert (started.code, "network drive (nfs4)" in " ".join(started.err.split())) == (0, True)
    assert command("check", "--json").code == 0


def test_a_folder_that_is_kept_in_step_with_another_place(lib: Library, tmp_path: Path) -> None:
    """Clients of such services leave an extended attribute on the folder."""
    assert volumes.warnings(lib.folder, lib.catalogue) == []
    try:
        os.setxattr(tmp_path, "user.fileprovider.root", b"1")
    except OSError:
        pytest.skip("the disk of this machine keeps no extended attributes")
    (warning,) = volumes.warnings(lib.folder, lib.catalogue)
    assert "sync program" in warning
