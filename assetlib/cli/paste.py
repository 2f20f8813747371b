"""paste: drawings onto a frame."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import CODES_HELP, Drawings, JsonFlag, PlainCommand, opened_library
from assetlib.errors import WrongUsage

if TYPE_CHECKING:
    from assetlib.services.jobs.pasting import Pasted, Wishes


def register(app: typer.Typer) -> None:
    """Add this room's command."""
    app.command("paste", cls=_CodeLeftOut)(paste)


class _CodeLeftOut(PlainCommand):
    """A command whose --mirror may stand without a code."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The arguments, a bare --mirror read as --mirror - for the only drawing."""
        given: list[str] = []
        for place, text in enumerate(args):
            given.append(text)
            after = args[place + 1 : place + 2]
            if text == "--mirror" and (not after or after[0].startswith("--")):
                given.append("-")
        return super().parse_args(ctx, given)


def paste(
    codes: Annotated[list[str] | None, typer.Argument(help=CODES_HELP)] = None,
    to: Annotated[
        Path | None, typer.Option(help="The new file; .psd and .ora keep layers, .png .tif .webp are flat.")
    ] = None,
    frame: Annotated[
        str | None, typer.Option(help="16:9, 2.39:1, 1920x1080 …; more after a comma become guides.")
    ] = None,
    job: Annotated[str | None, typer.Option(help="The job it is for; else the one in use.")] = None,
    shot: Annotated[str | None, typer.Option(help="The shot and frame it is for, such as 05a.")] = None,
    line: Annotated[str, typer.Option(help="A line of the shot list: drawings are placed as it says.")] = "",
    fit: Annotated[bool, typer.Option("--fit", help="As large as the frame lets them.")] = False,
    scale: Annotated[list[str] | None, typer.Option(help="Times its own pixels: 7K3=1.5.")] = None,
    at: Annotated[list[str] | None, typer.Option(help="Left upper corner in pixels: 7K3=200,340.")] = None,
    mirror: Annotated[
        list[str] | None, typer.Option(help="Turn left to right: 7K3; a single drawing without it.")
    ] = None,
    ink: Annotated[str | None, typer.Option(help="One colour for all ink: '#2b4c7e', blue, navy …")] = None,
    body: Annotated[
        str,
        typer.Option(
            help="What lies under the line: own (white, and under light line its dark ground), white, toned, none."
        ),
    ] = "own",
    backdrop: Annotated[str | None, typer.Option(help="A file or code that lies behind.")] = None,
    under: Annotated[bool, typer.Option("--under", help="At a quarter strength, to be drawn over.")] = False,
    safe_area: Annotated[
        bool, typer.Option("--safe-area", help="Add the safe areas as locked guides.")
    ] = False,
    copy: Annotated[bool, typer.Option("--copy", help="Put the picture on the clipboard.")] = False,
    as_json: JsonFlag = False,
) -> int:
    """Paste drawings onto a frame.

    Clean copies with white under the line, openings open.
    """
    from assetlib.cli import render
    from assetlib.cli.jobs import job_for
    from assetlib.rules.shots.frame_sizes import parse_frame
    from assetlib.services.jobs import pasting

    if to is None and not copy:
        raise WrongUsage("where to paste was not said", "name a new file with --to, or take --copy")
    wishes = pasting.Wishes(
        frame=parse_frame(frame) if frame else None,
        fit=fit,
        scale={code: _number(value) for code, value in _pairs(scale, "--scale 7K3=1.5")},
        at={code: _corner(value) for code, value in _pairs(at, "--at 7K3=200,340")},
        mirror=tuple("" if code == "-" else code for code in mirror or ()),
        ink=pasting.read_ink(ink) if ink else None,
        body=body,
        backdrop=backdrop,
        line=line,
        under=under,
        safe_area=safe_area,
        shot=shot,
    )
    with opened_library() as lib:
        wishes = replace(wishes, job=job_for(lib, job))
        pasted = _pasted(lib, Drawings(list(codes or [])).in_library(lib), to, wishes, copy=copy)
    if as_json:
        render.print_json(document(pasted))
    else:
        _tell(pasted)
    return 0


def _pasted(lib: Any, codes: list[str], to: Path | None, wishes: Wishes, *, copy: bool) -> Pasted:
    from assetlib.cli.desktop import put_on_clipboard
    from assetlib.services.jobs import pasting

    target = to.expanduser() if to is not None else None
    return pasting.paste(lib, codes, target, wishes, put_on_clipboard if copy else None)


def _pairs(given: list[str] | None, example: str) -> list[tuple[str, str]]:
    """Codes with their values; the code may be left out where there is one drawing."""
    found = []
    for text in given or []:
        code, mark, value = text.partition("=")
        found.append((code.strip(), value.strip()) if mark else ("", text.strip()))
        if not found[-1][1]:
            raise WrongUsage(f"'{text}' says nothing", f"write {example}")
    return found


def _number(text: str) -> float:
    try:
        value = float(text.removesuffix("%")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise WrongUsage(f"'{text}' is no number", "write --scale 7K3=1.5") from None
    if not 0 < value < 1000:
        raise WrongUsage(f"a drawing cannot be pasted at {text} times its size")
    return value


def _corner(text: str) -> tuple[float, float]:
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        raise WrongUsage(f"'{text}' is no corner", "write --at 7K3=200,340") from None
    if max(abs(x), abs(y)) > 1e5:
        raise WrongUsage(f"{text} lies far outside of any frame")
    return x, y


def document(pasted: Pasted) -> dict[str, Any]:
    """What was pasted, as JSON has it."""
    return {
        "file": str(pasted.path) if pasted.path else None,
        "size": list(pasted.size),
        "bits": pasted.bits,
        "profile": pasted.profile,
        "elements": [
            {
                "code": laid.code,
                "title": laid.title,
                "box": [
                    round(laid.place.x),
                    round(laid.place.y),
                    round(laid.place.width),
                    round(laid.place.height),
                ],
                "mirrored": laid.place.mirrored,
                "enlarged": laid.enlarged,
                "look": list(laid.notes),
            }
            for laid in pasted.laid
        ],
        "warn": list(pasted.warnings),
        "uses": list(pasted.uses),
    }


_OVER = "draw over"
"""How a note begins that tells what to draw over, and is no doubt of the clean copy."""


def _tell(pasted: Pasted) -> None:
    from assetlib.cli import render

    for laid in pasted.laid:
        over = [note for note in laid.notes if note.startswith(_OVER)]
        look = [note for note in laid.notes if note not in over]
        told = [f"look at it: {'; '.join(look)}"] if look else []
        render.say("  ".join([laid.code, laid.title, *told, *over]))
    for warning in pasted.warnings:
        render.tell(f"mind: {warning}")
    where = str(pasted.path) if pasted.path else "on the clipboard"
    more = ["16 bits"] if pasted.bits == 16 else []
    more += [pasted.profile] if pasted.profile else []
    render.say(f"{where}  {', '.join([f'{pasted.size[0]} x {pasted.size[1]}', *more])}")
