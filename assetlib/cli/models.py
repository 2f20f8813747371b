"""model: the model that tells what looks alike, taking another, measuring them."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import Commands, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.services.finding.measuring import ModelComparison
    from assetlib.services.finding.models import Model, Overview

model_app = Commands(
    help="The model that tells what looks alike.",
    invoke_without_command=True,
    rich_markup_mode=None,
)


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.add_typer(model_app, name="model")


@model_app.callback()
def model(context: typer.Context, as_json: JsonFlag = False) -> int | None:
    """The model that tells what looks alike: which is in use, taking another, measuring them."""
    if context.invoked_subcommand is not None:
        return None
    from assetlib.services.finding import models

    with opened_library() as lib:
        _show(models.overview(lib), as_json)
    return 0


@model_app.command("use")
def use(
    name: Annotated[
        str,
        typer.Argument(
            help="drawings-1, a checkpoint's folder or file, NAME:PRETRAINED of open_clip, NAME:FILE, hf-hub:…"
        ),
    ],
    yes: Annotated[bool, typer.Option("--yes", help="Go online for it without asking.")] = False,
    as_json: JsonFlag = False,
) -> int:
    """Take another model. Upkeep looks at all drawings with it; until then searches go by the former one."""
    from assetlib.cli import render
    from assetlib.services.finding import models

    def agree(sentence: str) -> bool:
        render.tell(sentence)
        return yes or _asked()

    with opened_library() as lib:
        _show(models.use(lib, name, agree), as_json)
    return 0


def _asked() -> bool:
    from assetlib.errors import WrongUsage

    if not sys.stdin.isatty():
        raise WrongUsage("fetching a model goes online, which needs your word", "say --yes")
    return typer.confirm("Fetch it?", err=True)


@model_app.command("measure")
def measure(as_json: JsonFlag = False) -> int:
    """How well the models find your own drawings.

    Measured on those that you have described; it says which model serves them better.
    """
    from assetlib.cli import render
    from assetlib.services.finding import measuring

    with opened_library() as lib:
        compared = measuring.measure(lib)
    if as_json:
        render.print_json(_compared(compared))
        return 0
    rows = []
    for place, figure in enumerate(compared.models[0].figures):
        found = [one.figures[place] for one in compared.models]
        rows.append((figure.name, *(f"{f.value:.2f}  ({f.low:.2f} to {f.high:.2f})" for f in found)))
    headings = [f"{one.name}{' (in use)' if one.in_use else ''}" for one in compared.models]
    render.table([f"{compared.drawings} drawings", *headings], rows)
    for recipe in compared.left_out:
        render.say(
            f"{recipe} knows too few drawings to be measured; `assetlib model use` and `upkeep` show it more"
        )
    render.say(compared.sentence)
    return 0


def _compared(compared: ModelComparison) -> dict[str, Any]:
    return {
        "drawings": compared.drawings,
        "models": [
            {
                "name": one.name,
                "recipe": one.recipe,
                "in_use": one.in_use,
                "figures": [
                    {
                        "name": f.name,
                        "value": round(f.value, 4),
                        "low": round(f.low, 4),
                        "high": round(f.high, 4),
                    }
                    for f in one.figures
                ],
            }
            for one in compared.models
        ],
        "left_out": list(compared.left_out),
        "better": compared.better,
        "sentence": compared.sentence,
    }


def _show(overview: Overview, as_json: bool) -> None:
    from dataclasses import asdict

    from assetlib.cli import render

    if as_json:
        models = [asdict(one) for one in overview.models]
        render.print_json({"in_use": models[0], "models": models, "missing": overview.missing})
        return
    used, wanted = overview.in_use, overview.wanted
    render.table(["", ""], _rows(used), wide=[""])
    if overview.missing:
        render.say(f"{overview.missing}, which the settings name, is not there any more; take it in again")
    if wanted is not used:
        render.say(
            f"{wanted.name} is to follow: {render.plural(wanted.waiting, 'drawing')} wait; `assetlib upkeep` shows "
            f"it the drawings, and until then searches go by {used.name}"
        )
    elif used.waiting:
        render.say("`assetlib upkeep` looks at those that wait")
    others = [one for one in overview.models if one not in (used, wanted)]
    for one in others:
        render.say(f"also here: {one.recipe} ({render.plural(one.drawings, 'drawing')})")


def _rows(one: Model) -> list[tuple[str, str]]:
    from assetlib.cli import render

    return [
        ("model in use", one.name),
        ("from", one.source),
        ("a look is", f"{one.dimension} numbers"),
        ("size", f"{one.size / 1e6:.1f} MB"),
        ("card and licence", one.card or "none came with it"),
        ("drawings", f"{render.plural(one.drawings, 'drawing')} known, {one.waiting:,} waiting"),
    ]
