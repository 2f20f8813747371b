"""Runs a program so that it is killed, or a call of it fails, at the n-th thing that it writes below a folder."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

from tests.outside import needs_program

KILL = "kill"


@cache
def library(name: str = "faults") -> Path:
    """A compiled shim; the test is skipped where there is no compiler."""
    program = needs_program("gcc")
    target = Path(tempfile.mkdtemp(prefix="assetlib-faults-")) / f"{name}.so"
    source = Path(__file__).with_name(f"{name}.c")
    command = [program, "-shared", "-fPIC", "-O1", "-w", "-o", str(target), str(source), "-ldl"]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return target


def run(
    command: list[str], under: Path, *, at: int = 0, how: str | int = KILL, stays: bool = False
) -> tuple[int, str, int]:
    """Exit code, what was said on stderr, and how many writes were counted below `under`."""
    with tempfile.NamedTemporaryFile(prefix="assetlib-count-") as count:
        count.write(bytes(8))
        count.flush()
        environment = os.environ | {
            "LD_PRELOAD": str(library()), "FAULT_UNDER": str(under.resolve()), "FAULT_COUNT": count.name,
            "FAULT_AT": str(at), "FAULT_HOW": str(how), "PYTHONDONTWRITEBYTECODE": "1",
        }  # fmt: skip
        if stays:
            environment["FAULT_STAYS"] = "1"
        done = subprocess.run(
            [sys.executable, *command], env=environment, capture_output=True, text=True, errors="replace",
            start_new_session=True, check=False, timeout=900,
        )  # fmt: skip
        (counted,) = struct.unpack("Q", Path(count.name).read_bytes())
    return done.returncode, done.stderr, counted
