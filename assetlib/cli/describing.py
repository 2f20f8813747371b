"""tag: describing drawings, many at once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from assetlib.cli.context import Drawings, DryRun, JsonFlag, opened_library, takes_drawings

if TYPE_CHECKING:
    from assetlib.services.describing.tagging import Described


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("tag")(tag)


@takes_drawings
def tag(
    drawings: Drawings,
    add: Annotated[list[str] | None, typer.Option(help="A tag to put on; several allowed.")] = None,
    remove: Annotated[list[str] | None, typer.Option(help="A tag to take off; several allowed.")] = None,
    set_facet: Annotated[
        list[str] | None,
        typer.Option("--set", help="What it shows: pose=seated, shot_size=CU; pose= clears it."),
    ] = None,
    title: Annotated[str | None, typer.Option(help="A new title.")] = None,
    note: Annotated[str | None, typer.Option(help="A note; an empty one clears it.")] = None,
    take: Annotated[bool, typer.Option("--take", help="Take the suggestions that wait.")] = False,
    leave: Annotated[bool, typer.Option("--leave", help="Leave the suggestions that wait.")] = False,
    in_tray: Annotated[
        bool,
        typer.Option("--in-tray", help="Go through what waits, one drawing at a time, with single keys."),
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Describe drawings, many at once.

    Tags, what the shot says, title; `assetlib undo` takes it back.
    """
    from assetlib.cli.wording import print_json
    from assetlib.errors import WrongUsage
    from assetlib.services.describing.tagging import Description, describe

    if in_tray:
        from assetlib.cli.tray import go_through

        with opened_library() as lib:
            return go_through(lib, drawings.if_any(lib))
    wanted = Description(
        tuple(add or ()), tuple(remove or ()), tuple(set_facet or ()), title, note, take, leave
    )
    if wanted.is_empty():
        raise WrongUsage(
            "nothing is to change", "say --add TAG, --remove TAG, --set pose=seated, --title or --take"
        )
    with opened_library() as lib:
        described = describe(lib, drawings.in_library(lib), wanted, dry_run=dry_run)
    if as_json:
        rows = [
            {"code": d.code, "title": d.title, "tags": list(d.tags), "facets": d.facets, "changed": d.changed}
            for d in described
        ]
        print_json({"described": rows, "dry_run": dry_run})
    else:
        _show_described(described, dry_run)
    return 0


def _show_described(described: Sequence[Described], dry_run: bool) -> None:
    from assetlib.cli import render

    render.table(
        ["code", "title", "tags", "shot"],
        [(d.code, d.title, ", ".join(d.tags), render.facet_words(d.facets)) for d in described],
        wide=["title", "tags", "shot"],
    )
    changed = sum(d.changed for d in described)
    render.say(f"{render.plural(changed, 'drawing')} {'would change' if dry_run else 'changed'}")
