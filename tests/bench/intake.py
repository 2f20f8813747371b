"""Bringing in against plain decode-and-thumbnail with Pillow, and the memory it takes.

    python -m tests.bench.intake [--files 400] [--rounds 3] [--folder /usr/share/openclipart/png]

Both do the same files with the same number of processes, by turns in one run: each opens, converts, makes a
thumbnail of 512 pixels and saves it as WebP; the intake also keeps the originals, hashes, judges and indexes.
Heavier derivations (vectors, fingerprints) run after the bringing-in and are left out by `--later`. No role is
given: it is judged from every picture. Files above MOST_PIXELS are left out on both sides: Pillow alone refuses
the largest, and one of them takes more memory than all that is measured here.
Prints seconds of both, their processor time, and the largest memory of every process.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import random
import statistics
import struct
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import psutil
from PIL import Image

from assetlib.services.keeping.starting import start_library

PROGRAM = [sys.executable, "-c", "from assetlib.cli.main import run; run()"]
PROOF = 512
QUARTERS = 4
MOST_PIXELS = 80_000_000
"""An A3 page scanned at 600 dots an inch has 70 million."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What one run took: seconds on the wall, seconds of processor, and the peak memory of each of its processes."""

    wall: float
    cpu: float
    peaks: tuple[float, ...]
    by_quarter: tuple[float, ...]
    """Peak of all processes in each quarter of the run, in MB: flat where nothing piles up."""


def thumbnail(job: tuple[str, str]) -> None:
    """Write a thumbnail of a file as Pillow alone would."""
    source, target = job
    with Image.open(source) as picture:
        plain = picture.convert("RGBA")
    plain.thumbnail((PROOF, PROOF))
    plain.save(target, "WEBP")


def thumbnails(listing: Path, out: Path, workers: int) -> None:
    """Thumbnails of all the files that `listing` names, on as many processes as the intake has."""
    files = listing.read_text(encoding="utf-8").splitlines()
    jobs = [(name, str(out / f"{number}.webp")) for number, name in enumerate(files)]
    with multiprocessing.get_context("spawn").Pool(workers) as pool:
        for _ in pool.imap_unordered(thumbnail, jobs):
            pass


def watch(command: list[str]) -> Taken:
    """Run a command to its end, looking at its processes four times a second."""
    start, before = time.perf_counter(), os.times()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    peaks: dict[int, float] = {}
    seen: list[tuple[float, float]] = []
    while process.poll() is None:
        for one in _family(process.pid):
            try:
                size = one.memory_info().rss / 2**20
            except psutil.Error:
                continue
            peaks[one.pid] = max(peaks.get(one.pid, 0), size)
            seen.append((time.perf_counter() - start, size))
        time.sleep(0.25)
    wall, after = time.perf_counter() - start, os.times()
    if process.returncode:
        raise SystemExit(f"{command} ended with {process.returncode}")
    cpu = after.children_user + after.children_system - before.children_user - before.children_system
    quarters = tuple(
        max((size for moment, size in seen if int(moment / wall * QUARTERS) == quarter), default=0)
        for quarter in range(QUARTERS)
    )
    return Taken(wall, cpu, tuple(sorted(peaks.values(), reverse=True)), quarters)


def _family(pid: int) -> list[psutil.Process]:
    try:
        parent = psutil.Process(pid)
        return [parent, *parent.children(recursive=True)]
    except psutil.Error:
        return []


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--files", type=int, default=400)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--folder", type=Path, default=Path("/usr/share/openclipart/png"))
    parser.add_argument("--thumbnails", nargs=3, metavar=("LIST", "OUT", "WORKERS"), help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.thumbnails:
        thumbnails(Path(chosen.thumbnails[0]), Path(chosen.thumbnails[1]), int(chosen.thumbnails[2]))
    else:
        compare(chosen.folder, chosen.files, chosen.rounds)


def compare(folder: Path, count: int, rounds: int) -> None:
    """Print both sides of every round and the ratio of their medians."""
    files = sorted(folder.rglob("*.png"))
    files = random.Random(3).sample(files, min(count, len(files)))
    files = [file for file in files if _pixels(file) <= MOST_PIXELS]
    plain, whole = [], []
    for number in range(rounds):
        with tempfile.TemporaryDirectory() as name:
            work = Path(name)
            listing, drawings = work / "list.txt", work / "drawings"
            listing.write_text("\n".join(map(str, files)), encoding="utf-8")
            drawings.mkdir()
            for place, file in enumerate(files):
                (drawings / f"{place:05} {file.name}").write_bytes(file.read_bytes())
            lib = start_library(work / "library")
            workers = lib.settings.worker_count()
            lib.close()
            (work / "out").mkdir()
            told = ["--thumbnails", str(listing), str(work / "out"), str(workers)]
            plain.append(watch([sys.executable, "-m", "tests.bench.intake", *told]))
            wanted = [
                "--library",
                str(work / "library"),
                "intake",
                "--later",
                "--json",
                str(drawings),
            ]
            whole.append(watch([*PROGRAM, *wanted]))
        print(f"round {number + 1}: Pillow {_told(plain[-1])}   intake {_told(whole[-1])}")
    _summary(len(files), plain, whole)


def _pixels(file: Path) -> int:
    """Width times height of a PNG, from its header: at bytes 16 to 24 (ISO/IEC 15948, 11.2.2)."""
    with file.open("rb") as opened:
        width, height = struct.unpack(">II", opened.read(24)[16:])
    return int(width * height)


def _told(taken: Taken) -> str:
    return f"{taken.wall:6.1f} s ({taken.cpu:6.1f} s cpu)"


def _summary(count: int, plain: list[Taken], whole: list[Taken]) -> None:
    wall = statistics.median(taken.wall for taken in whole) / statistics.median(taken.wall for taken in plain)
    cpu = statistics.median(taken.cpu for taken in whole) / statistics.median(taken.cpu for taken in plain)
    print(
        f"{count} files: intake takes {wall:.2f} times the time of Pillow alone, {cpu:.2f} times its processor time"
    )
    last = whole[-1]
    print("peak memory, MB a process: " + ", ".join(f"{peak:.0f}" for peak in last.peaks[:6]))
    print(
        "largest process by quarter of the run, MB: " + ", ".join(f"{peak:.0f}" for peak in last.by_quarter)
    )


if __name__ == "__main__":
    main()
