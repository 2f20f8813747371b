"""How well lines of shot lists are understood, and how fast: `python -m tests.bench.grammar`.

`shot_lines.tsv`, `shot_lines_more.tsv` and `shot_traps.tsv` served for tuning. The two
halves of `shot_lines_apart.tsv` were written after the rules; on first reading, before
anything in them was looked at, they gave precision .987 and .980, recall .993 and .970.
The aims are precision .97 and recall .95.
"""

from __future__ import annotations

import subprocess
import sys
import time

from assetlib.rules.shots.grammar import read_line
from tests.rules.lines import count, pairs_read, read_table

TABLES = ("shot_lines.tsv", "shot_lines_more.tsv", "shot_traps.tsv", "shot_lines_apart.tsv")
ROUNDS = 20
# Processor time, so that other work on the machine does not count; the standard library apart.
FIRST_LINE = (
    "import dataclasses, pathlib, time; t = time.process_time(); from assetlib.rules.shots.grammar import read_line;"
    " read_line('12A OTS driver, night'); print(time.process_time() - t)"
)


def main() -> None:
    """Prints a line a table, what was misread, and the times."""
    for table in TABLES:
        rows = read_table(table)
        found = count(rows)
        named = f"{table:24} {len(rows):4} lines  {found.right + found.missed:4} facet values"
        figures = f"precision {found.precision:.3f}  recall {found.recall:.3f}"
        print(f"{named}  {figures if found.right else f'{found.extra} found'}")
        for line, truth in rows:
            read = pairs_read(line)
            if read != truth:
                print(f"    {line!r}: too much {sorted(read - truth)}, missed {sorted(truth - read)}")
    _print_times()


def _print_times() -> None:
    lines = [line for line, _ in read_table(TABLES[0])]
    begun = time.process_time()
    for _ in range(ROUNDS):
        for line in lines:
            read_line(line)
    each = (time.process_time() - begun) / (ROUNDS * len(lines))
    fresh = min(
        float(
            subprocess.run(
                [sys.executable, "-c", FIRST_LINE], capture_output=True, text=True, check=True
            ).stdout
        )
        for _ in range(5)
    )
    print(
        f"a line: {each * 1e6:.0f} µs; import and first line: {fresh * 1e3:.1f} ms of processor time (best of 5)"
    )


if __name__ == "__main__":
    main()
