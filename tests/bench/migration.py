"""How long a library of 8,000 drawings takes to come up from the first schema.

python -m tests.bench.migration [COUNT]
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from assetlib.catalogue import schema
from tests.catalogue import first_schema


def main(count: int = 8000) -> None:
    """Build the old catalogue, bring it up, and say how long that took."""
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "catalogue.sqlite"
        first_schema.fill(path, count)
        size = path.stat().st_size
        began, busy = time.perf_counter(), time.process_time()
        schema.ensure_current(path)
        print(
            f"{count} drawings, {size / 2**20:.0f} MiB: {time.perf_counter() - began:.1f} s "
            f"({time.process_time() - busy:.1f} s of processor time), with the copy kept beside it"
        )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
