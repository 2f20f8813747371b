"""How well lines of shot lists are understood, and how fast: `python -m tests.bench.grammar`.

`shot_lines.tsv` and `shot_traps.tsv` served for tuning; `shot_lines_apart.tsv` was
written afterwards and never tuned on. The aims are precision .97 and recall .95.
"""

from __future__ import annotations

import subprocess
import sys
import time

from assetlib.rules.grammar import read_line
from tests.rules.lines import count, pairs_read, read_table

TABLES = ("shot_lines.tsv", "shot_lines_more.tsv", "shot_traps.tsv", "shot_lines_apart.tsv")
ROUNDS = 20
FIRST_LINE = (
    "import time; t = time.perf_counter(); from assetlib.rules.grammar import read_line;"
    " read_line('12A OTS driver, night'); print(time.perf_counter() - t)"
)


def main() -> None:
    """Prints a line a table, what was misread, and the times."""
    for table in TABLES:
        rows = read_table(table)
        found = count(rows)
        print(
            f"{table:24} {len(rows):4} lines  {found.right + found.missed:4} facet values"
            f"  precision {found.precision:.3f}  recall {found.recall:.3f}"
        )
        for line, truth in rows:
            read = pairs_read(line)
            if read != truth:
                print(f"    {line!r}: too much {sorted(read - truth)}, missed {sorted(truth - read)}")
    _print_times()


def _print_times() -> None:
    lines = [line for line, _ in read_table(TABLES[0])]
    begun = time.perf_counter()
    for _ in range(ROUNDS):
        for line in lines:
            read_line(line)
    each = (time.perf_counter() - begun) / (ROUNDS * len(lines))
    fresh = min(
        float(
            subprocess.run(
                [sys.executable, "-c", FIRST_LINE], capture_output=True, text=True, check=True
            ).stdout
        )
        for _ in range(5)
    )
    print(
        f"a line: {each * 1e6:.0f} µs; import and first line in a fresh process: {fresh * 1e3:.1f} ms (best of 5)"
    )


if __name__ == "__main__":
    main()
