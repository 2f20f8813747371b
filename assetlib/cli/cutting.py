"""cut: taking sheets apart into elements."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.imaging.cutting.sheets import CutSettings
    from assetlib.services.bringing.cutting import CutSheet


class _Way(NamedTuple):
    """How sheets are to be cut: corrections, page from 0, whether those of last time are forgotten, only tried."""

    settings: CutSettings | None
    page: int | None
    fresh: bool
    dry_run: bool


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
    page: Annotated[
        int | None, typer.Option(help="Only this page of a file of several; the first is 1.")
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="Forget the corrections of last time.")] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Cut sheets into elements. With --dry-run you get a picture with numbered boxes, to correct by number.

    Corrections are kept, and new ones added to them. Cutting again keeps the codes of drawings still there.
    """
    from assetlib.cli import render
    from assetlib.errors import AssetlibError, WrongUsage

    settings = _settings(join, split, drop, box, gap)
    if len(sheets) > 1 and (join or split or drop or box):
        raise WrongUsage("every sheet has numbers of its own", "give one sheet with its corrections")
    way = _Way(settings, page - 1 if page is not None else None, fresh, dry_run)
    overlays = Path(tempfile.mkdtemp(prefix="assetlib-cut-")) if dry_run and not as_json else None
    cuts: list[CutSheet] = []
    failed: list[AssetlibError] = []
    for sheet in sheets:
        try:
            cuts += _cut_one(sheet, way, overlays)
        except AssetlibError as error:
            if len(sheets) == 1:
                raise
            failed.append(error)
    if as_json:
        paged = {item.source for item in cuts if item.page}
        render.print_json({"sheets": [_document(item, item.source in paged) for item in cuts]})
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
) -> CutSettings | None:
    """The corrections on the line; None where there are none, so that those of last time hold."""
    from assetlib.errors import WrongUsage
    from assetlib.imaging.cutting.sheets import CutSettings

    if not (join or split or drop or box or gap is not None):
        return None
    if gap is not None and gap < 0:
        raise WrongUsage(f"there is no gap of {gap:g}", "--gap takes pixels, 0 or more")
    groups = tuple(_numbers(text, "--join takes numbers like 3,4") for text in join or ())
    for group in groups:
        if len(set(group)) < 2:
            raise WrongUsage(f"'{','.join(map(str, group))}' joins nothing", "--join takes numbers like 3,4")
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


def _cut_one(sheet: str, way: _Way, overlays: Path | None) -> list[CutSheet]:
    from assetlib.config import Settings
    from assetlib.imaging.cutting.sheets import CutSettings
    from assetlib.services.bringing import cutting

    path = Path(sheet).expanduser()
    if path.is_file() and way.dry_run:
        defaults = Settings()
        memory = defaults.decode_megabytes * 1024 * 1024
        return cutting.try_file(
            path.absolute(),
            way.settings or CutSettings(),
            overlays,
            page=way.page,
            seconds=defaults.decode_seconds,
            memory=memory,
        )
    with opened_library() as lib:
        code = _brought_in(lib, path) if path.is_file() else sheet
        cuts = cutting.cut_sheet(
            lib,
            code,
            way.settings,
            page=way.page,
            fresh=way.fresh,
            dry_run=way.dry_run,
            overlays=overlays,
        )
        if not way.dry_run:
            from assetlib.cli import render
            from assetlib.services.keeping import upkeep

            upkeep.work_off(lib, progress=render.Bar())
        return cuts


def _brought_in(lib: Any, path: Path) -> str:
    """The code of a file's sheet, after bringing it in as one."""
    from assetlib.errors import BadPicture
    from assetlib.services.bringing.intake import Wishes, bring_in

    report = bring_in(lib, [path], Wishes(new_role="sheet"))
    if report.failed:
        raise BadPicture(f"{path}: {report.failed[0].reason}")
    return (report.added or report.known)[0].code


def _document(sheet: CutSheet, paged: bool) -> dict[str, Any]:
    """A page of a sheet; a plain file has neither code nor corrections, and says only what was seen on it."""
    elements = []
    for out in sheet.elements:
        row: dict[str, Any] = {
            "order": out.element.order,
            "box": list(out.element.box),
            "caption": out.element.caption,
        }
        if out.code is not None:
            row |= {"code": out.code, "what": out.what}
        elements.append(row)
    document: dict[str, Any] = {"source": sheet.source, "size": list(sheet.size), "elements": elements}
    if paged:
        document["page"] = sheet.page + 1
    if sheet.sheet is not None:
        document |= {"sheet": sheet.sheet, "gone": list(sheet.gone)}
    return document


def _show(cuts: list[CutSheet]) -> None:
    from assetlib.cli import render

    for sheet in cuts:
        name = Path(sheet.source).name + (f", page {sheet.page + 1}" if sheet.page else "")
        render.say(f"{name}: {render.plural(len(sheet.elements), 'drawing')}")
        rows = [
            (
                "+".join(map(str, out.element.numbers)),
                out.code or "",
                "x".join(map(str, out.element.box[2:])),
                out.element.caption or "",
                out.what if out.code else "",
            )
            for out in sheet.elements
        ]
        render.table(["no.", "code", "pixels", "caption", ""], rows)
        if sheet.gone:
            render.say(f"no longer there, now in the attic: {', '.join(sheet.gone)}")
        if sheet.overlay is not None:
            render.say(f"numbered boxes: {sheet.overlay}")
            if render.out.is_terminal:
                typer.launch(str(sheet.overlay))
