"""clean: clean copies, their openings and blemishes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from assetlib.cli.context import Drawings, JsonFlag, numbers, opened_library, takes_drawings


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("clean")(clean)


@takes_drawings
def clean(
    drawings: Drawings,
    open_up: Annotated[
        list[str] | None, typer.Option("--open", help="Openings the ground shows through: 3, 2,3 or 4-6.")
    ] = None,
    shut: Annotated[
        list[str] | None, typer.Option(help="Openings that are to be filled: 3, 2,3 or 4-6.")
    ] = None,
    open_at: Annotated[
        list[str] | None, typer.Option("--open-at", help="x,y in pixels of the drawing: open what is there.")
    ] = None,
    shut_at: Annotated[
        list[str] | None, typer.Option("--shut-at", help="x,y in pixels of the drawing: fill what is there.")
    ] = None,
    open_like: Annotated[
        list[str] | None, typer.Option("--open-like", help="An opening, and all like it, to be open.")
    ] = None,
    shut_like: Annotated[
        list[str] | None, typer.Option("--shut-like", help="An opening, and all like it, to be filled.")
    ] = None,
    remove: Annotated[
        list[str] | None,
        typer.Option(
            help="Blemishes to take out: specks, holes, rules, tape, underdrawing, stains, torn edges; or the "
            "ground tone under light line, for dark line on white."
        ),
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
    """Make clean copies and mend them.

    The ink on transparent ground, the body under it, what is open; undo takes choices back.
    """
    from assetlib.cli import render
    from assetlib.services.bringing import clean_copies

    changes = clean_copies.Changes(
        numbers(open_up, "--open"), numbers(shut, "--shut"), tuple(remove or ()), tuple(put_back or ()),
        _places(open_at, "--open-at"), _places(shut_at, "--shut-at"),
        numbers(open_like, "--open-like"), numbers(shut_like, "--shut-like"),
    )  # fmt: skip
    with opened_library() as lib:
        codes = drawings.in_library(lib)
        made, written = clean_copies.make_all(lib, codes, changes, to=to, progress=render.Bar())
        for code in codes if overlay else ():
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
                ("how sure", "; ".join([copies.sure, *copies.sure_why])),
                ("seen on it", _seen(copies)),
                ("taken out", ", ".join(item["kind"] for item in copies.removed) or "nothing"),
            ],
            wide=[""],
        )
    for path in written:
        render.say(f"written {path}")
    return 0


def _places(given: list[str] | None, option: str) -> tuple[tuple[int, int], ...]:
    """Places x,y as they were given."""
    from assetlib.errors import WrongUsage

    places = []
    for text in given or ():
        parts = text.split(",")
        if len(parts) != 2 or not all(part.strip().isdecimal() for part in parts):
            raise WrongUsage(f"'{text}' is no place", f"{option} takes x,y in pixels of the drawing")
        places.append((int(parts[0]), int(parts[1])))
    return tuple(places)


def _seen(copies: Any) -> str:
    """Blemishes that can be taken out, with the option that does it."""
    return ", ".join(f"{kind} (--remove '{kind}')" for kind in copies.seen) or "nothing to take out"


def _document(copies: Any) -> dict[str, Any]:
    return {
        "code": copies.card.code,
        "title": copies.card.title,
        "ink": str(copies.ink),
        "body": str(copies.body),
        "mask": str(copies.mask),
        "openings": list(copies.openings),
        "removed": list(copies.removed),
        "sure": copies.sure,
        "sure_why": list(copies.sure_why),
        "seen": list(copies.seen),
    }
