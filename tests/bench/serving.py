"""Whether what comes first serves: lines as artists type them, with truth, over three libraries.

    python -m tests.bench.serving build [LIBRARY …]
    python -m tests.bench.serving measure [LIBRARY …] --half tune|report [--misses] [--manner MANNER]

LIBRARY is demo, studio or openclipart (Debian's openclipart-png); none named means all three. studio-2 and
openclipart-2 are other drawings with other lines, for `--half all --manner first` or `second`. The lines stand in
`tests/bench/lines`; of each file every other line is for tuning, the rest is reported. `build` takes some
minutes, most of them for the studio library.

Figures: *first* and *three*, how often the first row and one of the first three serve, over the lines that something
serves; *any*, how often one serves on any strip; *empty*, how often the strip *fits* is empty over the lines that
nothing serves; *serve*, the share of rows on the strip *fits* that serve. The studio library is measured for its
titled drawings and, with those left out, for its untitled ones; openclipart for lines of which some word names a
serving drawing's file, and for the others.
"""

from __future__ import annotations

import argparse
import json
import re
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from assetlib.cli.render import Bar
from assetlib.library import Library
from assetlib.rules.words.stems import stem
from assetlib.services.bringing import cutting
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding import likeness
from assetlib.services.finding.search import Asked, Found, find_each
from assetlib.services.keeping import demo, upkeep
from assetlib.services.keeping.starting import start_library
from tests.bench.studio import library as studio

LINES = Path(__file__).with_name("lines")
PNG = Path("/usr/share/openclipart/png")
WORK = Path(tempfile.gettempdir()) / "assetlib-bench" / "serving"
LIBRARIES = ("demo", "studio", "openclipart")
FRESH = ("studio-2", "openclipart-2")
"""Libraries that nothing was tuned on, with lines of two manners: *first* and *second* looked at."""
FRESH_SEED = 20
SHOWN = 8
"""Rows of a list that are judged, as many as a terminal shows."""

EVERY = 700
"""Rows from which those of the titled and of the untitled drawings are taken."""

Serves = Callable[[str], bool]
"""Whether the drawing with this code serves."""


@dataclass(frozen=True)
class Line:
    """A line with its manner and what serves it; no truth where nothing does."""

    manner: str
    text: str
    truth: str

    @property
    def is_served(self) -> bool:
        return self.truth != "-"


def lines_of(name: str, half: str) -> list[Line]:
    """The lines of a library, all of them or of one half."""
    rows = (LINES / f"{name}.tsv").read_text(encoding="utf-8").splitlines()
    lines = [Line(*row.split("\t")) for row in rows if row and not row.startswith("#")]
    return lines if half == "all" else lines[0 if half == "tune" else 1 :: 2]


# --- building -------------------------------------------------------------------------


def build(name: str, work: Path) -> None:
    """Make a library in `work`, unless it is there."""
    if (work / name / "truth.json").exists():
        return
    builders: dict[str, Callable[[Path], None]] = {
        "demo": _build_demo,
        "studio": studio.make,
        "studio-2": lambda folder: studio.make(folder, FRESH_SEED),
        "openclipart": lambda folder: _build_openclipart(folder, "openclipart_700.txt"),
        "openclipart-2": lambda folder: _build_openclipart(folder, "openclipart_400.txt"),
    }
    builders[name](work / name)


def _looked_at(lib: Library) -> None:
    wanted = [row for row in upkeep.derivations(lib) if row.kind in ("proof", "vector")]
    upkeep.work_off(lib, wanted, progress=Bar())
    likeness.build(lib)


def _build_demo(folder: Path) -> None:
    lib = start_library(folder / "library")
    drawings, truth = demo.demo_drawings(), dict[str, str]()
    for part, role in (("singles", "element"), ("backdrops", "backdrop"), ("sheets", "sheet")):
        for item in bring_in(lib, [drawings / part], Wishes(role=role)).added:
            truth[item.code] = Path(item.source).name
    titles = demo.told_titles()
    for code, name in list(truth.items()):
        if name in titles:
            (cut,) = cutting.cut_sheet(lib, code)
            for out, title in zip(cut.elements, titles[name], strict=False):
                describe(lib, [out.code or ""], Description(title=title))
                truth[out.code or ""] = title
    _looked_at(lib)
    lib.close()
    (folder / "truth.json").write_text(json.dumps(truth, indent=1), encoding="utf-8")


def _build_openclipart(folder: Path, listed: str) -> None:
    lib = start_library(folder / "library")
    chosen = (LINES / listed).read_text(encoding="utf-8").splitlines()
    report = bring_in(lib, [PNG / name for name in chosen], Wishes(role="element"), progress=Bar())
    truth = {
        item.code: Path(item.source).relative_to(PNG).with_suffix("").as_posix() for item in report.added
    }
    for known in report.known:
        truth.setdefault(known.code, Path(known.source).relative_to(PNG).with_suffix("").as_posix())
    _looked_at(lib)
    lib.close()
    (folder / "truth.json").write_text(json.dumps(truth, indent=1), encoding="utf-8")


# --- measuring ------------------------------------------------------------------------


def servers(name: str, truth: dict[str, object], line: Line) -> Serves:
    """What tells whether a drawing serves a line."""
    if name.startswith("studio"):
        return lambda code: code in truth and _shows(line.truth, set(truth[code]["shows"]))  # type: ignore[index]
    wanted = set(line.truth.split(" | "))
    return lambda code: truth.get(code) in wanted


def _shows(wanted: str, shown: set[str]) -> bool:
    return all(
        any(
            (word[1:] not in shown) if word.startswith("!") else word in shown
            for word in clause.strip().split(" | ")
        )
        for clause in wanted.split(" & ")
    )


@dataclass
class Tally:
    """Counts over lines."""

    served: int = 0
    first: int = 0
    three: int = 0
    any: int = 0
    unserved: int = 0
    empty: int = 0
    fitting: int = 0
    fitting_serve: int = 0
    misses: list[str] = field(default_factory=list)

    def add(self, line: Line, rows: Sequence[tuple[str, str]], serves: Serves) -> None:
        """Count one answer: rows of fit and code."""
        right = [serves(code) for _, code in rows]
        fits = [serves(code) for fit, code in rows[:SHOWN] if fit == "fits"]
        self.fitting += len(fits)
        self.fitting_serve += sum(fits)
        if not line.is_served:
            self.unserved += 1
            self.empty += not fits
            return
        self.served += 1
        self.first += right[:1] == [True]
        self.three += any(right[:3])
        self.any += any(right[:SHOWN])

    def told(self) -> str:
        """The figures in one line."""

        def share(part: int, whole: int) -> str:
            return f"{part / whole:.2f}" if whole else " -  "

        return (
            f"{self.served:4} served: first {share(self.first, self.served)}  three {share(self.three, self.served)}"
            f"  any {share(self.any, self.served)} | {self.unserved:3} not: empty {share(self.empty, self.unserved)}"
            f" | fits {self.fitting:4}: serve {share(self.fitting_serve, self.fitting)}"
        )


def measure(name: str, work: Path, half: str, manner: str, *, show: bool) -> None:
    """Print the figures of a library, by kind of line and by part of the library."""
    truth = json.loads((work / name / "truth.json").read_text(encoding="utf-8"))
    lines = [line for line in lines_of(name, half) if manner in ("", line.manner)]
    # What no drawing of this studio shows is served by nothing: five women where four are the most.
    lines = [
        line if any(map(servers(name, truth, line), truth)) else replace(line, truth="-") for line in lines
    ]
    tallies: dict[str, Tally] = {}
    lib = Library.open(work / name / "library")
    asked = [Asked(line.text, limit=limit) for line in lines for limit in (SHOWN, EVERY)]
    answers = find_each(lib, asked)
    for line in lines:
        found, whole = next(answers), next(answers)
        serves = servers(name, truth, line)
        rows, every = (
            [(getattr(r, "fit", "fits"), r.card.code) for r in some.results] for some in (found, whole)
        )
        for part, some in _parts(name, truth, line, rows, every, serves):
            tallies.setdefault(part, Tally()).add(line, some, serves)
        tallies.setdefault(f"  {line.manner}", Tally()).add(line, rows, serves)
        if show:
            _tell(line, found, rows, serves)
    lib.close()
    for part, tally in tallies.items():
        print(f"{name:12}{part:18}{tally.told()}")


def _parts(
    name: str,
    truth: dict[str, object],
    line: Line,
    rows: list[tuple[str, str]],
    every: list[tuple[str, str]],
    serves: Serves,
) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    if name.startswith("studio"):
        for titled, part in ((True, "titled"), (False, "untitled")):
            codes = {code for code, row in truth.items() if row["titled"] is titled}  # type: ignore[index]
            if not line.is_served or any(serves(code) for code in codes):
                yield part, [row for row in every if row[1] in codes]
    elif name.startswith("openclipart") and line.is_served:
        yield ("named" if _is_named(line) else "not named"), rows
    yield "all", rows


def _is_named(line: Line) -> bool:
    """Whether a word of the line stands in the file name of a drawing that serves it."""
    said = {stem(word) for word in re.findall(r"[a-z]{3,}", line.text.lower())}
    names = (Path(path).name for path in line.truth.split(" | "))
    return any(said & {stem(word) for word in re.findall(r"[a-z]{3,}", name.lower())} for name in names)


def _tell(line: Line, found: Found, rows: list[tuple[str, str]], serves: Serves) -> None:
    right = [serves(code) for _, code in rows[:SHOWN]]
    if line.is_served and right[:1] == [True]:
        return
    if not line.is_served and not any(fit == "fits" for fit, _ in rows[:SHOWN]):
        return
    print(f"{'·' if any(right) else '×'} {line.manner}: {line.text}   [{line.truth[:70]}]")
    for row, (fit, _), ok in list(zip(found.results, rows, right, strict=False))[:4]:
        print(
            f"      {'+' if ok else '-'} {fit:6} {row.card.title[:44]:44} {row.why} {getattr(row, 'unmet', '')}"
        )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=["build", "measure"])
    parser.add_argument("libraries", nargs="*", default=LIBRARIES)
    parser.add_argument("--half", default="tune", choices=["tune", "report", "all"])
    parser.add_argument("--manner", default="")
    parser.add_argument("--misses", action="store_true", help="show the lines whose first row does not serve")
    parser.add_argument("--work", type=Path, default=WORK)
    chosen = parser.parse_args()
    chosen.work.mkdir(parents=True, exist_ok=True)
    for name in chosen.libraries:
        if chosen.what == "build":
            build(name, chosen.work)
        else:
            measure(name, chosen.work, chosen.half, chosen.manner, show=chosen.misses)


if __name__ == "__main__":
    main()
