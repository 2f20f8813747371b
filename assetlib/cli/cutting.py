"""cut: taking sheets apart into elements."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.imaging.sheets import CutSettings
    from assetlib.services.cutting import CutSheet


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("cut")(cut)


def cut(
    sheets: Annotated[list[str], typer.Argument(help="Files or codes of sheets.")],
    join: Annotated[
        list[str] | None, typer.Option(help="Numbers that are one drawing: 3,4. Several allowed.")
    ] = None,
    split: Annotated[list[int] | None, typer.Option(help="A number that is several drawings.")] = None,
    drop: Annotated[list[int] | None, typer.Option(help="A number that is no drawing.")] = None,
    box: Annotated[list[str] | None, typer.Option(help="x,y,w,h in pixels: its ink is one drawing.")] = None,
    gap: Annotated[float | None, typer.Option(help="Widest paper, in pixels, inside one drawing.")] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="Forget the corrections of last time.")] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Cut sheets into elements. With --dry-run you get a picture with numbered boxes, to correct by number.

    Numbers are those of the overlay without corrections. Cutting again keeps the codes of drawings still there.
    """
    from assetlib.cli import render
    from assetlib.errors import AssetlibError

    settings = _settings(join, split, drop, box, gap, fresh)
    overlays = Path(tempfile.mkdtemp(prefix="assetlib-cut-")) if dry_run and not as_json else None
    cuts: list[CutSheet] = []
    failed: list[AssetlibError] = []
    for sheet in sheets:
        try:
            cuts += _cut_one(sheet, settings, dry_run, overlays)
        except AssetlibError as error:
            if len(sheets) == 1:
                raise
            failed.append(error)
    if as_json:
        render.print_json({"sheets": [_document(item) for item in cuts]})
    else:
        _show(cuts)
    for failure in failed:
        render.tell(f"failed  {failure.sentence}")
    return SOME_PROBLEMS if failed else 0


def _settings(
    join: list[str] | None,
    split: list[int] | None,
    drop: list[int] | None,
    box: list[str] | None,
    gap: float | None,
    fresh: bool,
) -> CutSettings | None:
    """The corrections on the line; None where there are none, so that those of last time hold."""
    from assetlib.errors import WrongUsage
    from assetlib.imaging.sheets import CutSettings

    if not (join or split or drop or box or gap is not None or fresh):
        return None
    groups = tuple(_numbers(text, "--join takes numbers like 3,4") for text in join or ())
    boxes = []
    for text in box or ():
        numbers = _numbers(text, "--box takes x,y,w,h in pixels")
        if len(numbers) != 4 or numbers[2] < 1 or numbers[3] < 1:
            raise WrongUsage(f"'{text}' is no box", "--box takes x,y,w,h in pixels")
        boxes.append((numbers[0], numbers[1], numbers[2], numbers[3]))
    return CutSettings(gap, groups, tuple(split or ()), tuple(drop or ()), tuple(boxes))


def _numbers(text: str, hint: str) -> tuple[int, ...]:
    from assetlib.errors import WrongUsage

    try:
        return tuple(int(part) for part in text.split(","))
    except ValueError as error:
        raise WrongUsage(f"'{text}' is not a list of numbers", hint) from error


def _cut_one(
    sheet: str, settings: CutSettings | None, dry_run: bool, overlays: Path | None
) -> list[CutSheet]:
    from assetlib.config import Settings
    from assetlib.imaging.sheets import CutSettings
    from assetlib.services import cutting

    path = Path(sheet).expanduser()
    if path.is_file() and dry_run:
        defaults = Settings()
        memory = defaults.decode_megabytes * 1024 * 1024
        return cutting.try_file(
            path.absolute(),
            settings or CutSettings(),
            overlays,
            seconds=defaults.decode_seconds,
            memory=memory,
        )
    with opened_library() as lib:
        code = _brought_in(lib, path) if path.is_file() else sheet
        cuts = cutting.cut_sheet(lib, code, settings, dry_run=dry_run, overlays=overlays)
        if not dry_run:
            from assetlib.cli import render
            from assetlib.services import upkeep

            upkeep.work_off(lib, progress=render.Bar())
        return cuts


def _brought_in(lib: Any, path: Path) -> str:
    """The code of a file's sheet, after bringing it in as one."""
    from assetlib.errors import BadPicture
    from assetlib.services.intake import Wishes, bring_in

    report = bring_in(lib, [path], Wishes(new_role="sheet"))
    if report.failed:
        raise BadPicture(f"{path}: {report.failed[0].reason}")
    return (report.added or report.known)[0].code


def _document(sheet: CutSheet) -> dict[str, Any]:
    elements = []
    for out in sheet.elements:
        row: dict[str, Any] = {
            "order": out.element.order,
            "box": list(out.element.box),
            "caption": out.element.caption,
            "caption_box": list(out.element.caption_box) if out.element.caption_box else None,
        }
        if out.code is not None:
            row |= {"code": out.code, "what": out.what}
        elements.append(row)
    return {
        "source": sheet.source,
        "sheet": sheet.sheet,
        "page": sheet.page,
        "size": list(sheet.size),
        "elements": elements,
        "gone": list(sheet.gone),
    }


def _show(cuts: list[CutSheet]) -> None:
    from assetlib.cli import render

    for sheet in cuts:
        name = Path(sheet.source).name + (f", page {sheet.page + 1}" if sheet.page else "")
        render.say(f"{name}: {render.plural(len(sheet.elements), 'drawing')}")
        rows = [
            (out.element.order, out.code or "", "x".join(map(str, out.element.box[2:])), out.element.caption or "",
             out.what if out.code else "")
            for out in sheet.elements
        ]  # fmt: skip
        render.table(["no.", "code", "pixels", "caption", ""], rows)
        if sheet.gone:
            render.say(f"no longer there, now in the attic: {', '.join(sheet.gone)}")
        if sheet.overlay is not None:
            render.say(f"numbered boxes: {sheet.overlay}")
            if render.out.is_terminal:
                typer.launch(str(sheet.overlay))
