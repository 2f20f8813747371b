"""Everything that writes, stopped at many random writes of it, or with a write, rename or sync of it failing.

    python -m tests.bench.kills 100 [--seed 1] [--how kill ENOSPC EIO] [--only intake cut ...]

After each the library opens, `check` is clean or says exactly what, nothing told as done is missing, and a rerun
completes. Prints how many of each were stopped while they ran; goes on after a failing one and counts it.
Needs Linux and gcc: a shim counts the writes of all processes below the library's folder and stops at the chosen one.
"""

from __future__ import annotations

import argparse
import errno
import random
import shutil
import tempfile
from pathlib import Path

from tests.faults import acts, shim

HOW = {"kill": shim.KILL, "ENOSPC": errno.ENOSPC, "EIO": errno.EIO}
ANSWERS = {0, 1, 13, 14, 17, 23, 27}
"""Exit codes that a failing disk may end in: done, with problems, damaged, busy, unreadable, full, failing."""


def attempt(base: Path, work: Path, name: str, how: str, at: int) -> tuple[bool, str]:
    """Whether the act was struck while it ran, and what was wrong afterwards, nothing where all was well."""
    if work.exists():
        shutil.rmtree(work)
    shutil.copytree(base, work)
    command = ["-m", "tests.faults.acts", name, str(work)]
    code, said, counted = shim.run(command, work, at=at, how=HOW[how], stays=how == "ENOSPC")
    struck = counted >= at
    if "Traceback" in said or (struck and how != "kill" and code not in ANSWERS):
        return struck, f"exit {code}: {said[-300:]}"
    try:
        acts.assert_whole(work, name)
    except Exception as error:
        return struck, f"{type(error).__name__}: {error}"[:300]
    return struck, ""


def writes_of(base: Path, work: Path, name: str) -> int:
    """How many writes an act makes when nothing stops it."""
    if work.exists():
        shutil.rmtree(work)
    shutil.copytree(base, work)
    code, said, counted = shim.run(["-m", "tests.faults.acts", name, str(work)], work)
    if code:
        raise SystemExit(f"{name} fails by itself: {said}")
    return counted


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("times", type=int, nargs="?", default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--how", nargs="+", choices=list(HOW), default=["kill"])
    parser.add_argument("--only", nargs="+", choices=list(acts.ACTS), default=list(acts.ACTS))
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        base, work = acts.prepare(Path(place) / "base"), Path(place) / "work"
        for name in chosen.only:
            total = writes_of(base, work, name)
            for how in chosen.how:
                rng = random.Random(f"{chosen.seed} {name} {how}")
                struck = wrong = 0
                for _ in range(chosen.times):
                    at = rng.randint(1, total)
                    was, problem = attempt(base, work, name, how, at)
                    struck += was
                    wrong += bool(problem)
                    if problem:
                        print(f"  {name}, {how} at {at} of {total}: {problem}", flush=True)
                print(
                    f"{name}, {how}: {chosen.times} times, {struck} while it ran, {wrong} wrong ({total} writes)",
                    flush=True,
                )


if __name__ == "__main__":
    main()
