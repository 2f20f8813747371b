"""clean: clean copies, their openings and blemishes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, Drawings, JsonFlag, numbers, opened_library, takes_drawings
from assetlib.cli.wording import plural

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.bringing.clean_copies import Copies
    from assetlib.services.bringing.taking_along import TakenAlong

TOLD_WHOLE = 3
"""Drawings that are told with all their files; more have a row each."""

MOST_SHUT = 8
"""Openings that are shut and still told one by one: those that are open matter more."""


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("clean")(clean)


@takes_drawings
def clean(
    drawings: Drawings,
    open_up: Annotated[
        list[str] | None,
        typer.Option(
            "--open", help="Openings that the ground shows through: 3, 2,3 or 4-6; the last said holds."
        ),
    ] = None,
    shut: Annotated[
        list[str] | None, typer.Option(help="Openings that are to be filled: 3, 2,3 or 4-6.")
    ] = None,
    open_at: Annotated[
        list[str] | None,
        typer.Option("--open-at", help="x,y by the rulers of --overlay: open what is there."),
    ] = None,
    shut_at: Annotated[
        list[str] | None,
        typer.Option("--shut-at", help="x,y by the rulers of --overlay: fill what is there."),
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
            help="Blemishes to take out: speck (hair, lint, dust), punch hole, ruled line, tape shadow, underdrawing, "
            "stain, torn edge; or the ground tone under light line, for dark line on white."
        ),
    ] = None,
    put_back: Annotated[
        list[str] | None,
        typer.Option(
            help="Blemishes to leave in after all, those too that go unasked where they are beyond doubt: "
            "underdrawing, stains, specks outside the drawing, a scanner's shade along the edge (torn edges)."
        ),
    ] = None,
    overlay: Annotated[
        bool,
        typer.Option("--overlay", help="Make and open a picture with the openings numbered, and rulers."),
    ] = False,
    to: Annotated[
        Path | None, typer.Option(help="A folder to put PNGs of ink, ink with body, and mask into.")
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="With --to: put new files in the place of older ones.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Make clean copies and mend them.

    The ink on transparent ground, the body under it, what is open; undo takes choices back.
    """
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.bringing import clean_copies, taking_along
    from assetlib.services.bringing.layering import foresee
    from assetlib.services.choosing import refuse_cut_sheet

    if replace and to is None:
        raise WrongUsage("--replace goes with --to", "name the folder whose files are replaced")

    changes = clean_copies.Changes(
        numbers(open_up, "--open"), numbers(shut, "--shut"), tuple(remove or ()), tuple(put_back or ()),
        _places(open_at, "--open-at"), _places(shut_at, "--shut-at"),
        numbers(open_like, "--open-like"), numbers(shut_like, "--shut-like"),
    )  # fmt: skip
    with opened_library() as lib:
        codes = drawings.in_library(lib)
        if len(codes) == 1:
            refuse_cut_sheet(lib, codes[0], "assetlib clean")
        codes, passed = _without_cut_sheets(lib, codes)
        made, taken = taking_along.make_all(
            lib, codes, changes, to=to, replace=replace, progress=render.Bar()
        )
        layered = [] if as_json else [c.card.code for c in made if foresee(lib, c.card.code).changes]
        for code in codes if overlay else ():
            path = clean_copies.overlay(lib, code)
            render.tell(f"openings of {code}: {path}")
            if render.out.is_terminal:
                typer.launch(str(path))
    for copies in made if remove else ():
        for kind in copies.in_vain:
            render.tell(f"{copies.card.code}: no {kind} was found that could be taken out")
    if as_json:
        render.print_json(
            {
                "copies": [_document(copies) for copies in made],
                "written": [str(path) for path in taken.written],
                "there": [str(path) for path in taken.there],
            }
        )
        return SOME_PROBLEMS if passed else 0
    _tell(made) if len(made) <= TOLD_WHOLE else _tell_rows(made)
    if changes.by_place:
        render.say(_told_switched(made[0].switched))
    if to is not None:
        _tell_files(taken, to)
    if layered:
        render.say(f"made better of layers that are in the file: assetlib cut {' '.join(layered)} --layers")
    return SOME_PROBLEMS if passed else 0


def _without_cut_sheets(lib: Library, codes: list[str]) -> tuple[list[str], bool]:
    """The codes without sheets that were cut, and whether one is told because its drawings are not all among them."""
    from assetlib.cli import render
    from assetlib.services.choosing import cut_sheets_among

    sheets = cut_sheets_among(lib, codes)
    left_out = [code for code, drawings in sheets.items() if not {*drawings} <= {*codes}]
    for code in left_out:
        count = plural(len(sheets[code]), "drawing")
        render.tell(f"{code} is a sheet and passed over; its {count}: assetlib clean --sheet {code}")
    return [code for code in codes if code not in sheets], bool(left_out)


def _told_switched(switched: Sequence[tuple[int, bool | None, bool]]) -> str:
    """What was switched, and what it was before."""
    words = {True: "open", False: "shut", None: "without a number"}
    told = [f"{n} was {words[before]} and is {words[now]} now" for n, before, now in switched]
    return "; ".join(told) or "nothing was switched: it is so already"


def _tell_files(taken: TakenAlong, folder: Path) -> None:
    """How many files were written, and how many were there already."""
    from assetlib.cli import render

    if taken.written:
        render.say(f"{plural(len(taken.written), 'file')} written to {folder}")
    if taken.there:
        render.say(f"{plural(len(taken.there), 'file')} there already, just as it is now: {folder}")


def _tell(made: Sequence[Copies]) -> None:
    """Each copy with its files and all that is known of it."""
    from assetlib.cli import render

    for copies in made:
        render.say(f"{copies.card.code}  {copies.card.title}")
        render.table(
            ["", ""],
            [
                ("ink", copies.ink),
                ("ink with body", copies.body),
                ("body as mask", copies.mask),
                ("openings", _numbered(copies.openings)),
                ("how sure", "; ".join([copies.sure, *copies.sure_why])),
                ("seen on it", _seen(copies)),
                ("taken out", _taken(copies)),
            ],
            wide=[""],
        )


def _tell_rows(made: Sequence[Copies]) -> None:
    """A row for each of many copies, and how many are to be looked at."""
    from assetlib.cli import render

    render.table(
        ["code", "title", "how sure", "openings"],
        [
            (c.card.code, c.card.title, ": ".join([c.sure, *c.sure_why[:1]]), _counted(c.openings))
            for c in made
        ],
        wide=["title", "how sure"],
    )
    unsure = sum(bool(copies.look) for copies in made)
    told = f"{len(made) - unsure} sure, {unsure} to look at"
    render.say(f"{told}: assetlib find --unsure" if unsure else f"all {len(made)} sure")


def _numbered(openings: Sequence[dict[str, Any]]) -> str:
    """The openings that are open by their numbers, and those that are shut where they are few."""
    told = []
    for state, some in (
        ("open", [str(o["number"]) for o in openings if o["open"]]),
        ("shut", [str(o["number"]) for o in openings if not o["open"]]),
    ):
        many = state == "shut" and len(some) > MOST_SHUT
        if some:
            told.append(
                f"{len(some):,} {state} (numbered by --overlay)" if many else f"{', '.join(some)} {state}"
            )
    return "; ".join(told) or "none"


def _counted(openings: Sequence[dict[str, Any]]) -> str:
    """How many openings are open and how many shut."""
    opened = sum(bool(o["open"]) for o in openings)
    counts = ((opened, "open"), (len(openings) - opened, "shut"))
    return ", ".join(f"{count} {state}" for count, state in counts if count) or "none"


def _places(given: list[str] | None, option: str) -> tuple[tuple[int, int], ...]:
    """Places x,y as they were given."""
    from assetlib.errors import WrongUsage

    places = []
    for text in given or ():
        parts = text.split(",")
        if len(parts) != 2 or not all(part.strip().isdecimal() for part in parts):
            raise WrongUsage(
                f"'{text}' is no place",
                f"{option} takes x,y as the rulers of --overlay count",
            )
        places.append((int(parts[0]), int(parts[1])))
    return tuple(places)


def _taken(copies: Any) -> str:
    """Kinds of blemish that were taken out, with the option that puts them back."""
    kinds = dict.fromkeys(item["kind"] for item in copies.removed)
    return ", ".join(f"{kind} (--put-back '{kind}')" for kind in kinds) or "nothing"


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
