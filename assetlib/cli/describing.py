"""tag: describing drawings, many at once."""

from __future__ import annotations

from typing import Annotated

import typer

from assetlib.cli.context import Codes, DryRun, JsonFlag, given_codes, opened_library


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("tag")(tag)


def tag(
    codes: Codes = None,
    add: Annotated[list[str] | None, typer.Option(help="A tag to put on; several allowed.")] = None,
    remove: Annotated[list[str] | None, typer.Option(help="A tag to take off; several allowed.")] = None,
    set_facet: Annotated[
        list[str] | None, typer.Option("--set", help="FACET=VALUE, like pose=seated; FACET= clears it.")
    ] = None,
    title: Annotated[str | None, typer.Option(help="A new title.")] = None,
    note: Annotated[str | None, typer.Option(help="A note; an empty one clears it.")] = None,
    take: Annotated[bool, typer.Option("--take", help="Take the suggestions that wait.")] = False,
    leave: Annotated[bool, typer.Option("--leave", help="Leave the suggestions that wait.")] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Describe drawings: tags, facets, title; many codes, or a search from a pipe. `assetlib undo` takes it back."""
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.describing.tagging import Description, describe

    wanted = Description(
        tuple(add or ()), tuple(remove or ()), tuple(set_facet or ()), title, note, take, leave
    )
    if wanted.is_empty():
        raise WrongUsage(
            "nothing is to change", "say --add TAG, --remove TAG, --set FACET=VALUE, --title or --take"
        )
    with opened_library() as lib:
        described = describe(lib, given_codes(codes), wanted, dry_run=dry_run)
    if as_json:
        rows = [
            {"code": d.code, "title": d.title, "tags": list(d.tags), "facets": d.facets, "changed": d.changed}
            for d in described
        ]
        render.print_json({"described": rows, "dry_run": dry_run})
        return 0
    render.table(
        ["code", "title", "tags", "facets"],
        [(d.code, d.title, ", ".join(d.tags), render.facet_words(d.facets)) for d in described],
        wide=["title", "tags", "facets"],
    )
    changed = sum(d.changed for d in described)
    render.say(f"{render.plural(changed, 'drawing')} {'would change' if dry_run else 'changed'}")
    return 0
