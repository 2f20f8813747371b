"""release: signed papers, the days they hold, and the drawings they are for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import Commands, Drawings, JsonFlag, as_day, opened_library, takes_drawings

if TYPE_CHECKING:
    from assetlib.services.trade.releases import ReleaseView

Code = Annotated[str, typer.Argument(help="The release's code, or its first 3 letters or more.")]


def register(app: typer.Typer) -> None:
    """Add this room's command."""
    release = Commands(
        help="Releases: signed papers, their days and drawings.",
        rich_markup_mode=None,
        no_args_is_help=True,
    )
    for name, command in (("add", add), ("lay", lay), ("list", list_releases), ("withdraw", withdraw),
                          ("remove", remove), ("kinds", kinds)):  # fmt: skip
        release.command(name)(command)
    app.add_typer(release, name="release")


@takes_drawings
def add(
    drawings: Drawings,
    kind: Annotated[
        str,
        typer.Option(
            help="What it says: model-release, property-release, consent …; `release kinds` shows all."
        ),
    ],
    who: Annotated[str, typer.Option(help="Who gave it.")],
    signed: Annotated[str, typer.Option(help="The day it was signed, as 2026-03-14.")],
    begins: Annotated[
        str | None, typer.Option("--from", help="First day it holds, where that is later.")
    ] = None,
    until: Annotated[str | None, typer.Option(help="Last day it holds, where it ends.")] = None,
    file: Annotated[
        Path | None, typer.Option(help="A scan or PDF of it: a copy is kept in the library.")
    ] = None,
    place: Annotated[str | None, typer.Option(help="Where the paper itself lies: binder 3.")] = None,
    note: Annotated[str | None, typer.Option(help="Anything to remember.")] = None,
    as_json: JsonFlag = False,
) -> int:
    """Keep a signed paper, and lay it to drawings.

    It counts for what was said of them before, as --shows "real person", where its kind answers that. What it says
    you state by naming its kind: the file is only looked at to see that it opens. A model-release is for a real
    person, a property-release for a house or a product, a consent for a client, employer or co-author, a
    resale-permission for the owner of a picture or brand, a resale-licence for a licensed picture, a
    public-domain-proof for one that is free; `assetlib release kinds` shows every kind and what it is for.
    """
    from assetlib.services.trade import releases

    with opened_library() as lib:
        new = releases.NewRelease(
            _kind(kind), who, _day(signed), as_day(begins), as_day(until), file, place or "", note or ""
        )
        codes = drawings.in_library(lib, "element") if drawings.any_named() else []
        _show([releases.add(lib, new, codes)], as_json)
    return 0


@takes_drawings
def lay(release: Code, drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Lay a release to more drawings."""
    from assetlib.services.trade import releases

    with opened_library() as lib:
        _show([releases.lay(lib, release, drawings.in_library(lib, "element"))], as_json)
    return 0


def list_releases(
    release: Annotated[str | None, typer.Argument(help="One release; without it, all of them.")] = None,
    as_json: JsonFlag = False,
) -> int:
    """List releases: who, since when, until when."""
    from assetlib.services.trade import releases

    with opened_library() as lib:
        _show([releases.one(lib, release)] if release else releases.everything(lib), as_json)
    return 0


def withdraw(
    release: Code,
    on: Annotated[str, typer.Option(help="From this day on it holds no more, as 2026-03-14.")],
    as_json: JsonFlag = False,
) -> int:
    """Note that a release was taken back.

    Drawings that rest on it are not clear from that day on. Bundles that were sealed before stay as they are: what
    that means for them, a lawyer says.
    """
    from assetlib.services.trade import releases

    with opened_library() as lib:
        _show([releases.withdraw(lib, release, _day(on))], as_json)
    return 0


def remove(release: Code, as_json: JsonFlag = False) -> int:
    """Take out a release that was wrong; undo brings it back.

    One that was right and holds no more is withdrawn instead. Bundles that were sealed before stay as they are.
    """
    from assetlib.cli import render
    from assetlib.services.trade import releases

    with opened_library() as lib:
        gone = releases.remove(lib, release)
    if as_json:
        _show([gone], as_json)
    else:
        on = f"; it was laid to {' '.join(gone.drawings)}" if gone.drawings else ""
        render.say(f"{gone.code}, the {gone.kind.value.replace('-', ' ')} of {gone.who}, was taken out{on}")
    return 0


def kinds(as_json: JsonFlag = False) -> int:
    """See which kind of paper is for what."""
    from assetlib.cli import render
    from assetlib.rules.rights.papers import SAYS, is_for
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    if as_json:
        rows = [{"kind": kind.value, "says": says, "for": list(is_for(kind))} for kind, says in SAYS.items()]
        render.print_json({"kinds": rows, "notice": NO_LEGAL_ADVICE})
        return 0
    table = [(kind.value, says, list(is_for(kind)) or "nothing by itself") for kind, says in SAYS.items()]
    render.table(["kind", "what it says", "makes clear"], table, wide=["what it says", "makes clear"])
    render.say(NO_LEGAL_ADVICE)
    return 0


def _day(text: str) -> Any:
    return as_day(text)


def _kind(text: str) -> Any:
    from assetlib.rules.rights.papers import kind_named

    return kind_named(text)


def _show(views: list[ReleaseView], as_json: bool) -> None:
    from assetlib.cli import render
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    if as_json:
        render.print_json({"releases": [_document(view) for view in views], "notice": NO_LEGAL_ADVICE})
        return
    if not views:
        render.say(
            "There is no release yet; keep one: assetlib release add --kind model-release --who NAME …"
        )
        return
    rows = [
        (
            v.code,
            v.kind.value.replace("-", " "),
            v.who,
            v.signed_on,
            _days(v),
            _where(v),
            " ".join(v.drawings) or "none",
        )
        for v in views
    ]
    headings = ["code", "says", "who", "signed", "holds", "paper", "drawings"]
    render.table(headings, rows, wide=["says", "who", "holds", "paper", "drawings"])
    for line in (line for view in views for line in view.told):
        render.say(line)
    render.say(NO_LEGAL_ADVICE)


def _days(view: ReleaseView) -> str:
    told = []
    if view.first_day and view.first_day > view.signed_on:
        told.append(f"from {view.first_day}")
    if view.last_day:
        told.append(f"until {view.last_day}")
    if view.withdrawn_on:
        told.append(f"withdrawn on {view.withdrawn_on}")
    return f"{', '.join(told) or 'without an end'}{'' if view.holds else ': not today'}"


def _where(view: ReleaseView) -> str:
    return f"{view.place} ({view.format}, kept)" if view.format else view.place


def _document(view: ReleaseView) -> dict[str, Any]:
    return {
        "code": view.code,
        "kind": view.kind.value,
        "who": view.who,
        "signed": view.signed_on,
        "from": view.first_day,
        "until": view.last_day,
        "withdrawn": view.withdrawn_on,
        "place": view.place,
        "file": view.file,
        "format": view.format,
        "note": view.note,
        "holds": view.holds,
        "drawings": list(view.drawings),
        "told": list(view.told),
    }
