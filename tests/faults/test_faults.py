"""Everything that writes can be stopped at any of its writes, and can have any of them refused by the disk.

A few fixed moments each; `python -m tests.bench.kills 100` takes many.
"""

from __future__ import annotations

import random
import shutil
import sys
from pathlib import Path

import pytest

from tests.bench.kills import attempt
from tests.faults import acts

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="the shim is for Linux")

WRITES = {
    "intake": 400, "cut": 180, "tag": 110, "doubles merge": 100, "clean": 260, "upkeep": 260, "bundle build": 340,
    "release": 120, "sale": 460, "backup": 500, "restore": 110, "undo": 110, "migration": 430,
    "attic emptying": 110, "export": 110,
}  # fmt: skip
"""About how many writes each act makes; a stop after its end is none, and does no harm."""


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small library with what every act needs."""
    return acts.prepare(tmp_path_factory.mktemp("faults") / "base")


REFUSED = (
    "intake", "clean", "bundle build", "backup", "restore", "undo", "migration", "attic emptying", "export",
)  # fmt: skip
"""Acts in which the tests let a write fail as well; the rest is left to the benchmark."""


@pytest.mark.parametrize(
    ("name", "how"),
    [
        *((name, "kill") for name in acts.ACTS),
        *((name, how) for name in REFUSED for how in ("ENOSPC", "EIO")),
    ],
)
def test_a_stop_or_a_failing_write_loses_nothing(base: Path, tmp_path: Path, name: str, how: str) -> None:
    at = random.Random(f"{name} {how}").randint(1, WRITES[name])
    _, problem = attempt(base, tmp_path / "work", name, how, at)
    assert problem == "", f"{how} at write {at}"
    shutil.rmtree(tmp_path / "work")


@pytest.mark.parametrize(("how", "at"), [("ENOSPC", 303), ("EIO", 244)])
def test_a_disk_that_fails_within_the_migration_itself_is_told(
    base: Path, tmp_path: Path, how: str, at: int
) -> None:
    """These moments fall into the change of the tables, where the database fails and no file of ours."""
    struck, problem = attempt(base, tmp_path / "work", "migration", how, at)
    assert (struck, problem) == (True, "")
