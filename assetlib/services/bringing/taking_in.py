"""A whole intake as one step: files brought in, layers taken, sheets cut, what waits worked off, doubles settled.

Told only when it is done, so that what is said is what is there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from assetlib.errors import AssetlibError
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services.bringing.arrivals import Added, Known, Report, Wishes
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.gathering import path_text
from assetlib.services.bringing.intake import bring_in
from assetlib.services.bringing.layering import leave_paper, take_layers
from assetlib.services.bringing.role_doubts import MayBe, commands
from assetlib.services.doubles import merging
from assetlib.services.doubles.settling import Pair, looks_like
from assetlib.services.keeping import upkeep

SAME = (DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING)
"""What makes a new drawing one that is there already."""

Agrees = Callable[[list[Added]], bool]


@dataclass(frozen=True, slots=True)
class Extras:
    """What is done with the files beyond bringing them in."""

    layers: bool = False
    """Make the top layers of layered files drawings of their own."""
    cut: Agrees = lambda _sheets: False
    """Whether these new sheets are to be cut at once; asked where there are any."""
    later: bool = False
    """Leave the heavier work for upkeep; then nothing is compared either."""
    skip_doubles: bool = False
    """Put new drawings that are there already into the attic, merged into the one that was there."""


@dataclass(slots=True)
class TakenIn:
    """What became of every file, and what the new drawings look like."""

    report: Report
    alike: dict[str, list[Pair]] = field(default_factory=dict)
    """By code of a new drawing, the pairs that it is in."""
    whole: list[tuple[str, str]] = field(default_factory=list)
    """Codes of new sheets that could not be cut, with the reason."""


def take_in(
    lib: Library,
    paths: Sequence[Path],
    wishes: Wishes = Wishes(),
    extras: Extras = Extras(),
    *,
    dry_run: bool = False,
    progress: Progress = SILENT,
) -> TakenIn:
    """Bring files in and do with them what is wished, as one step that one undo takes back.

    With `dry_run` everything is read and judged, and nothing is kept. Raises WrongUsage as `bring_in` does, and
    Stopped from `progress`; what was kept until then stands.
    """
    if extras.skip_doubles:  # then a role is for what is new: what is there already stays what it is
        wishes = replace(wishes, role=None, new_role=wishes.role or wishes.new_role)
    if dry_run:
        return TakenIn(bring_in(lib, paths, wishes, dry_run=True, progress=progress))
    with lib.one_step(f"intake of {_named(paths)}"):
        taken = TakenIn(bring_in(lib, paths, wishes, progress=progress))
        if extras.layers:
            _take_layers(lib, taken.report)
        else:
            _look_at_layers(lib, taken.report)
        sheets = [item for item in taken.report.added if item.role == "sheet"]
        if sheets and extras.cut(sheets):
            _cut(lib, taken, sheets, progress)
        if not extras.later:
            upkeep.work_off(lib, progress=progress)
            taken.alike = looks_like(lib, [item.code for item in taken.report.added])
        if extras.skip_doubles:
            _skip(lib, taken)
    return taken


def _named(paths: Sequence[Path]) -> str:
    first = path_text(Path(paths[0].name or paths[0])) if paths else "nothing"
    return first if len(paths) <= 1 else f"{first} and {len(paths) - 1} more"


def _take_layers(lib: Library, report: Report) -> None:
    """Add the layers of every file that has come in, now or before; a file without layers gives none."""
    for place, item in enumerate([*report.added]):
        layers = take_layers(lib, item.code)
        if layers:
            report.added[place] = Added(item.code, item.title, "layered file", item.source)
        report.added += [Added(layer.code, layer.title, "element", item.source) for layer in layers]
    for known in report.known:
        for layer in take_layers(lib, known.code) if known.code else ():
            if layer.is_new:
                report.added.append(Added(layer.code, layer.title, "element", known.source))


def _look_at_layers(lib: Library, report: Report) -> None:
    """Leave bare paper out of new layered files of one drawing, and say which hold several."""
    for place, item in enumerate(report.added):
        if item.role == "element" and leave_paper(lib, item.code) > 1:
            mend, keep = commands(MayBe.LAYERS, item.code)
            report.added[place] = replace(item, doubt=MayBe.LAYERS.said, mend=mend, keep=keep)


def _cut(lib: Library, taken: TakenIn, sheets: list[Added], progress: Progress) -> None:
    """Cut every sheet that has just come in; what cannot be cut stays a sheet and is told."""
    for item in progress.track(sheets, "cutting sheets", len(sheets)):
        try:
            cuts = cut_sheet(lib, item.code)
        except AssetlibError as error:
            taken.whole.append((item.code, error.sentence))
            continue
        taken.report.added += [
            Added(out.code or "", f"{item.title} {out.element.order}", "element", item.source)
            for page in cuts
            for out in page.elements
        ]


def _skip(lib: Library, taken: TakenIn) -> None:
    """Merge new drawings into the one that was there, and tell them as known."""
    pairs = {id(pair): pair for listed in taken.alike.values() for pair in listed if pair.kind in SAME}
    sources = {item.code: item.source for item in taken.report.added}
    for merged in merging.skip_new(lib, pairs.values(), set(taken.alike)):
        if merged.left is not None:
            continue
        how = next(_how(pair) for pair in taken.alike[merged.drop] if pair.kind in SAME)
        taken.report.known.append(Known(merged.keep, sources[merged.drop], f"{how}, skipped"))
        taken.report.added = [item for item in taken.report.added if item.code != merged.drop]
        del taken.alike[merged.drop]


def _how(pair: Pair) -> str:
    return ", ".join((pair.kind.value.replace("-", " "), *pair.how))
