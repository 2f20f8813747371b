"""attic and export: what leaves the shelf, and what leaves the library."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assetlib.cli.context import SOME_PROBLEMS, Drawings, DryRun, JsonFlag, opened_library, takes_drawings

if TYPE_CHECKING:
    from assetlib.services.keeping.attic import Emptied, Waiting


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("attic")(attic)
    app.command("export")(export)


@takes_drawings
def attic(
    drawings: Drawings,
    show_list: Annotated[
        bool, typer.Option("--list", help="Show what waits in the attic and what refers to it.")
    ] = False,
    back: Annotated[bool, typer.Option("--back", help="Put drawings back on the shelf.")] = False,
    empty: Annotated[
        bool,
        typer.Option("--empty", help="Remove for good what is in the attic, or these of it. Not undone."),
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Take drawings off the shelf and put them back.

    Or remove them for good; what an issued bundle holds never goes.
    """
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.keeping import attic as service

    if sum((show_list, back, empty)) > 1:
        raise WrongUsage("--list, --back and --empty are three different things", "give one of them")
    with opened_library() as lib:
        if empty:
            return _emptied(service.empty(lib, drawings.if_any(lib), dry_run=dry_run), dry_run, as_json)
        if show_list or not (drawings.any_named() or back):
            return _in_attic(service.waiting(lib, drawings.if_any(lib)), as_json)
        if dry_run:
            raise WrongUsage("--dry-run goes with --empty: everything else can be undone")
        move = service.bring_back if back else service.take_up
        codes = drawings.in_library(lib)
        there = service.lying(lib, codes, in_attic=not back)
        cards = move(lib, codes)
    if as_json:
        render.print_json(
            {"moved": [{"code": card.code, "title": card.title} for card in cards], "back": back}
        )
        return 0
    for card in cards:
        if card.code in there:
            place = "on the shelf" if back else "in the attic"
            render.say(f"{place} already: {card.code}  {card.title}")
        else:
            render.say(f"{'back on the shelf' if back else 'in the attic'}: {card.code}  {card.title}")
    return 0


def _attic_row(row: Waiting) -> dict[str, object]:
    return {
        "code": row.card.code,
        "title": row.card.title,
        "refers": list(row.refers),
        "holds": list(row.holds),
    }


def _in_attic(rows: list[Waiting], as_json: bool) -> int:
    from assetlib.cli import render

    if as_json:
        render.print_json({"attic": [_attic_row(row) for row in rows]})
    elif rows:
        render.table(
            ["code", "title", "what refers to it", "stays because"],
            [(row.card.code, row.card.title, "; ".join(row.refers), "; ".join(row.holds)) for row in rows],
            wide=["title", "what refers to it", "stays because"],
        )
    else:
        render.say("the attic is empty")
    return 0


def _emptied(emptied: Emptied, dry_run: bool, as_json: bool) -> int:
    from assetlib.cli import render

    if as_json:
        document = {
            "gone": [_attic_row(row) for row in emptied.gone],
            "held": [_attic_row(row) for row in emptied.held],
            "files": emptied.files,
            "bytes": emptied.bytes,
            "dry_run": dry_run,
        }
        render.print_json(document)
        return 0
    for row in emptied.gone:
        still = f"  (still named: {'; '.join(row.refers)})" if row.refers else ""
        render.say(f"{'would go' if dry_run else 'gone'}  {row.card.code}  {row.card.title}{still}")
    for row in emptied.held:
        render.say(f"stays  {row.card.code}  {row.card.title}: {'; '.join(row.holds)}")
    render.say(
        f"{render.plural(len(emptied.gone), 'drawing')} and {render.plural(emptied.files, 'original')} "
        f"({emptied.bytes / 1e6:,.1f} MB) {'would be removed' if dry_run else 'removed'} for good"
    )
    if emptied.gone and not dry_run:
        render.say("the next `assetlib backup` takes them from the backup too")
    return 0


def export(
    folder: Annotated[Path, typer.Argument(help="A new folder, or the one of an earlier export.")],
    private: Annotated[
        bool, typer.Option("--private", help="Also what names clients, sources and papers.")
    ] = False,
    made_only: Annotated[
        bool, typer.Option("--made", help="Only clean copies that were made already: faster.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Write the whole library in open formats.

    Originals, clean copies, JSON, CSV, words as SKOS, XMP sidecars.
    """
    from assetlib.cli import render
    from assetlib.cli.sureness import told_unsure, unsure_document
    from assetlib.services.keeping.exporting import export as write

    with opened_library() as lib:
        made = write(lib, folder, private=private, made_only=made_only, progress=render.Bar())
    if as_json:
        document = {
            "folder": str(made.folder),
            "drawings": made.drawings,
            "originals": made.originals,
            "copies": made.copies,
            "lost": list(made.lost),
            "unsure": unsure_document(made.unsure),
        }
        render.print_json(document)
    else:
        for sentence in made.lost:
            render.say(f"not written  {sentence}")
        render.say(
            f"{render.plural(made.drawings, 'drawing')} in {made.folder}: {render.plural(made.originals, 'original')}, "
            f"{render.plural(made.copies, 'clean file')}; library.schema.json says what every field means"
        )
        for line in told_unsure(made.unsure):
            render.say(line)
    return SOME_PROBLEMS if made.lost else 0
