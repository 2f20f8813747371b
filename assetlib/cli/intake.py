"""start and intake: making a library and bringing drawings into it."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.bringing.intake import Report
    from assetlib.services.doubles.settling import Pair

SHOWN = 12
"""How many new drawings are shown after an intake; the rest is counted."""


class OnDouble(StrEnum):
    """What becomes of a new drawing that the library has already in another shape."""

    FAMILY = "family"
    SKIP = "skip"
    ASK = "ask"


class Role(StrEnum):
    """What a picture is brought in as."""

    ELEMENT = "element"
    SHEET = "sheet"
    REFERENCE = "reference"
    BACKDROP = "backdrop"


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("start")(start)
    app.command("intake")(intake)


def start(
    folder: Annotated[
        Path | None, typer.Argument(help="A new folder; without it, one in your documents.")
    ] = None,
    artist: Annotated[str, typer.Option(help="Your name, as it will stand on licences.")] = "",
    contact: Annotated[str, typer.Option(help="Your address for buyers.")] = "",
) -> None:
    """Start a library in a new folder."""
    from assetlib.cli import render
    from assetlib.config import Settings, default_folder
    from assetlib.services.keeping.starting import start_library
    from assetlib.storage import volumes

    lib = start_library(folder or default_folder(), Settings(artist=artist, contact=contact))
    render.say(f"A library stands in {lib.folder}")
    for warning in volumes.warnings(lib.folder, lib.catalogue):
        render.tell(warning)
    render.say(f'Bring drawings in:  assetlib --library "{lib.folder}" intake FOLDER')


def intake(
    paths: Annotated[list[Path], typer.Argument(help="Files and folders, any mix.")],
    role: Annotated[
        Role | None, typer.Option("--as", help="What they are; without it, judged from the picture.")
    ] = None,
    title: Annotated[
        str | None, typer.Option(help="One title for all; without it, from the file or its name.")
    ] = None,
    tag: Annotated[list[str] | None, typer.Option(help="A tag for all; may be given several times.")] = None,
    job: Annotated[str | None, typer.Option(help="The job they belong to.")] = None,
    layers: Annotated[
        bool, typer.Option("--layers", help="Make every top layer of a layered file a drawing of its own.")
    ] = False,
    cut: Annotated[bool, typer.Option("--cut", help="Cut what is judged a sheet at once.")] = False,
    on_double: Annotated[
        OnDouble,
        typer.Option("--doubles", help="A new drawing that is there already: keep both, skip the new, ask."),
    ] = OnDouble.FAMILY,
    later: Annotated[
        bool, typer.Option("--later", help="Leave the heavier work for `assetlib upkeep`.")
    ] = False,
    removed: Annotated[
        bool, typer.Option("--removed", help="Bring in again what was removed for good.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Bring drawings in. Originals are kept byte for byte; what is known already is told, whatever its name."""
    from assetlib.cli import render
    from assetlib.services.bringing import intake as service
    from assetlib.services.doubles.settling import looks_like
    from assetlib.services.keeping import upkeep

    wishes = service.Wishes(
        role=role.value if role else None, title=title, tags=tuple(tag or ()), job=job, removed=removed
    )
    with opened_library() as lib:
        report = service.bring_in(lib, paths, wishes, dry_run=dry_run, progress=render.Bar())
        if layers and not dry_run:
            _take_layers(lib, report)
        if not dry_run and (cut or (not as_json and _agrees_to_cut(lib, report))):
            _cut_sheets(lib, report)
        found: dict[str, list[Pair]] = {}
        if not dry_run and not later:
            upkeep.work_off(lib, progress=render.Bar())
            found = looks_like(lib, [item.code for item in report.added])
        if as_json:
            render.print_json(_document(report, found))
        else:
            _show(lib, report, dry_run)
            _show_doubles(found)
        _settle_doubles(lib, found, on_double, asking=not as_json and sys.stdin.isatty())
    return SOME_PROBLEMS if report.failed else 0


def _take_layers(lib: Library, report: Report) -> None:
    """Add the layers of every file that has just come in; a file without layers gives none."""
    from assetlib.services.bringing.intake import Added
    from assetlib.services.bringing.layering import take_layers

    for place, item in enumerate([*report.added]):
        layers = take_layers(lib, item.code)
        if layers:
            report.added[place] = Added(item.code, item.title, "layered file", item.source)
        report.added += [Added(layer.code, layer.title, "element", item.source) for layer in layers]


def _agrees_to_cut(lib: Library, report: Report) -> bool:
    """Show what was judged a sheet and ask, where there is somebody to ask."""
    from assetlib.cli import render
    from assetlib.services.finding.browsing import cards_of

    sheets = [item for item in report.added if item.role == "sheet"]
    if not sheets or not (render.out.is_terminal and sys.stdin.isatty()):
        return False
    found = cards_of(lib, [item.code for item in sheets[:SHOWN]])
    render.cards([(card.proof, card.code, (card.title,)) for card in found])
    return typer.confirm(
        f"{render.plural(len(sheets), 'picture')} judged to be sheets. Cut them now?", err=True
    )


def _cut_sheets(lib: Library, report: Report) -> None:
    """Cut every sheet that has just come in; what cannot be cut stays a sheet and is told."""
    from assetlib.cli import render
    from assetlib.errors import AssetlibError
    from assetlib.services.bringing.cutting import cut_sheet
    from assetlib.services.bringing.intake import Added

    sheets = [item for item in report.added if item.role == "sheet"]
    for item in render.Bar().track(sheets, "cutting sheets", len(sheets)):
        try:
            cuts = cut_sheet(lib, item.code)
        except AssetlibError as error:
            render.tell(f"{item.code} stays whole: {error.sentence}")
            continue
        for out in (out for page in cuts for out in page.elements):
            report.added.append(
                Added(out.code or "", f"{item.title} {out.element.order}", "element", item.source)
            )


def _document(report: Report, found: dict[str, list[Pair]]) -> dict[str, Any]:
    return {
        "added": [
            {
                "code": item.code,
                "title": item.title,
                "as": item.role,
                "source": item.source,
                "looks_like": [
                    {"code": _other(pair, item.code), "kind": pair.kind.value, "how": list(pair.how)}
                    for pair in found.get(item.code, ())
                ],
            }
            for item in report.added
        ],
        "known": [{"code": item.code, "source": item.source, "how": item.how} for item in report.known],
        "failed": [{"source": item.source, "reason": item.reason} for item in report.failed],
    }


def _show(lib: Library, report: Report, dry_run: bool) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.browsing import cards_of

    shown = report.added[:SHOWN]
    if dry_run:
        render.table(["as", "title", "from"], [(a.role, a.title, a.source) for a in shown], wide=["from"])
    elif shown:
        found = cards_of(lib, [item.code for item in shown])
        render.cards([(card.proof, card.code, (card.title, card.role, item.source))
                      for card, item in zip(found, shown, strict=True)])  # fmt: skip
    if len(report.added) > SHOWN:
        render.say(f"… and {len(report.added) - SHOWN:,} more")
    for known in report.known[:SHOWN]:
        render.say(f"known   {known.code or '-':8}{Path(known.source).name}  ({known.how})")
    if len(report.known) > SHOWN:
        render.say(f"… and {len(report.known) - SHOWN:,} more that are known")
    for failed in report.failed:
        render.say(f"failed  {failed.source}: {failed.reason}")
    verb = "would be added" if dry_run else "added"
    render.say(
        f"{len(report.added):,} {verb}, {len(report.known):,} known already, {len(report.failed):,} failed"
    )
    already = {item.source for item in report.added if item.role == "element"}
    sheets = [
        item.code
        for item in report.added
        if item.role == "sheet" and item.code and item.source not in already
    ]
    if sheets:
        render.say(f"Sheets to cut:  assetlib cut {' '.join(sheets[:6])} --dry-run")


def _other(pair: Pair, code: str) -> str | None:
    """The other drawing of a pair."""
    return pair.b.code if pair.a.code == code else pair.a.code


def _show_doubles(found: dict[str, list[Pair]]) -> None:
    """Say what is there already in another shape; which of the two drawings says it makes no difference."""
    from assetlib.cli import render

    told: set[frozenset[str | None]] = set()
    lines = []
    for code, pairs in found.items():
        for pair in pairs:
            both = frozenset((pair.a.code, pair.b.code))
            if both not in told:
                told.add(both)
                how = f", {', '.join(pair.how)}" if pair.how else ""
                lines.append(f"{code} looks like {_other(pair, code)}  ({pair.kind.replace('-', ' ')}{how})")
    for line in lines[:SHOWN]:
        render.say(line)
    if len(lines) > SHOWN:
        render.say(f"… and {len(lines) - SHOWN:,} more that look like others")
    if lines:
        render.say("To settle them:  assetlib doubles")


def _settle_doubles(lib: Library, found: dict[str, list[Pair]], wish: OnDouble, *, asking: bool) -> None:
    """Do with new drawings that are there already what was asked for; families stay as they were found."""
    from assetlib.cli.doubles import go_through
    from assetlib.imaging.doubles.matching import DoubleKind
    from assetlib.services.doubles import merging

    pairs = list({id(pair): pair for listed in found.values() for pair in listed}.values())
    if wish is OnDouble.ASK and asking:
        go_through(lib, pairs)
    elif wish is OnDouble.SKIP:
        same = [pair for pair in pairs if pair.kind in (DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING)]
        merging.skip_new(lib, same, set(found))
