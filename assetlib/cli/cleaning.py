"""clean: clean copies, their openings and blemishes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from assetlib.cli.context import Codes, JsonFlag, given_codes, opened_library


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("clean")(clean)


def clean(
    codes: Codes = None,
    open_up: Annotated[
        list[int] | None, typer.Option("--open", help="Number of an opening the ground shows through.")
    ] = None,
    shut: Annotated[list[int] | None, typer.Option(help="Number of an opening that is to be filled.")] = None,
    remove: Annotated[
        list[str] | None, typer.Option(help="Blemishes to take out: specks, holes, rules, tape.")
    ] = None,
    put_back: Annotated[list[str] | None, typer.Option(help="Blemishes to leave in after all.")] = None,
    overlay: Annotated[
        bool, typer.Option("--overlay", help="Make and open a picture with the openings numbered.")
    ] = False,
    to: Annotated[
        Path | None, typer.Option(help="A folder to put PNGs of ink, ink with body, and mask into.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Make clean copies: the ink on transparent ground, the body under it, what is open; undo takes choices back."""
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.bringing import clean_copies

    changes = clean_copies.Changes(
        tuple(open_up or ()), tuple(shut or ()), tuple(remove or ()), tuple(put_back or ())
    )
    named = given_codes(codes)
    if len(named) > 1 and (open_up or shut):
        raise WrongUsage(
            "openings have numbers of their own on every drawing", "give one code with --open or --shut"
        )
    with opened_library() as lib:
        made, written = [], []
        for code in render.Bar().track(named, "clean copies", len(named) if len(named) > 1 else 0):
            copies = clean_copies.make(lib, code, changes)
            made.append(copies)
            if to is not None:
                written += clean_copies.export(copies, to)
        if overlay:
            for code in named:
                path = clean_copies.overlay(lib, code)
                render.tell(f"openings of {code}: {path}")
                if render.out.is_terminal:
                    typer.launch(str(path))
    if as_json:
        render.print_json(
            {"copies": [_document(copies) for copies in made], "written": [str(p) for p in written]}
        )
        return 0
    for copies in made:
        holes = (
            ", ".join(f"{o['number']} {'open' if o['open'] else 'shut'}" for o in copies.openings) or "none"
        )
        render.say(f"{copies.card.code}  {copies.card.title}")
        render.table(
            ["", ""],
            [
                ("ink", copies.ink),
                ("ink with body", copies.body),
                ("body as mask", copies.mask),
                ("openings", holes),
                ("taken out", ", ".join(item["kind"] for item in copies.removed) or "nothing"),
            ],
            wide=[""],
        )
    for path in written:
        render.say(f"written {path}")
    return 0


def _document(copies: Any) -> dict[str, Any]:
    return {
        "code": copies.card.code,
        "title": copies.card.title,
        "ink": str(copies.ink),
        "body": str(copies.body),
        "mask": str(copies.mask),
        "openings": list(copies.openings),
        "removed": list(copies.removed),
    }
