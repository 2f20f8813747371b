"""cut: taking sheets apart into elements."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import (
    SOME_PROBLEMS,
    Drawings,
    DryRun,
    JsonFlag,
    numbers,
    opened_library,
    takes_drawings,
)

if TYPE_CHECKING:
    from assetlib.imaging.cutting.sheets import CutSettings
    from assetlib.services.bringing.layering import Foreseen
    from assetlib.services.bringing.trying import CutOut, CutReport, CutSheet, CutWishes


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("cut")(cut)


@takes_drawings
def cut(
    sheets: Drawings,
    join: Annotated[
        list[str] | None, typer.Option(help="Numbers that are one drawing: 3,4. Several allowed.")
    ] = None,
    split: Annotated[
        list[str] | None, typer.Option(help="Numbers that are several drawings each: 5 or 5,7.")
    ] = None,
    drop: Annotated[
        list[str] | None, typer.Option(help="Numbers that are no drawings: 3, 2,3 or 4-6.")
    ] = None,
    box: Annotated[list[str] | None, typer.Option(help="x,y,w,h in pixels: its ink is one drawing.")] = None,
    gap: Annotated[
        float | None,
        typer.Option(help="Widest paper inside one drawing, in pixels: wider parts two drawings."),
    ] = None,
    as_it_is: Annotated[
        bool,
        typer.Option("--as-it-is", help="Look for no page in a photograph, leave ruled paper ruled."),
    ] = False,
    layers: Annotated[
        bool, typer.Option("--layers", help="Take layered files apart by their layers, not by their ink.")
    ] = False,
    whole: Annotated[
        bool, typer.Option("--whole", help="It is one drawing after all: leave it whole.")
    ] = False,
    page: Annotated[
        int | None, typer.Option(help="Only this page of a file of several; the first is 1.")
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="Forget the corrections of last time.")] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Cut sheets into elements.

    Sheets are named as files or by codes; --dry-run makes a picture with numbered boxes.

    Corrections are kept, and new ones added to them. Cutting again keeps the codes of drawings still there.
    """
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.bringing.trying import CutWishes

    settings = _settings(join, split, drop, box, gap, as_it_is)
    if whole:
        if settings is not None or layers or fresh or page is not None:
            raise WrongUsage("what is left whole is not cut", "give --whole without corrections")
        return _keep_whole(sheets, dry_run, as_json)
    if layers:
        if settings is not None:
            raise WrongUsage("layers are not cut by ink", "give --layers without corrections")
        return _try_layers(sheets, as_json) if dry_run else _take_layers(sheets, as_json)
    overlays = Path(tempfile.mkdtemp(prefix="assetlib-cut-")) if dry_run and not as_json else None
    wishes = CutWishes(settings, page - 1 if page is not None else None, fresh, dry_run, overlays)
    report = _cut(sheets, wishes, corrected=bool(join or split or drop or box))
    if as_json:
        render.print_json(_report_document(report))
    else:
        _show(report.pages)
    for _, failure in report.failed:
        render.tell(f"failed  {failure.sentence}")
    return SOME_PROBLEMS if report.failed else 0


def _keep_whole(sheets: Drawings, dry_run: bool, as_json: bool) -> int:
    """Say of pictures that each is one drawing, and tell which of them were sheets."""
    from assetlib.cli import render
    from assetlib.services.bringing.role_doubts import keep_whole
    from assetlib.services.keeping import upkeep

    with opened_library() as lib:
        kept = keep_whole(lib, sheets.in_library(lib), dry_run=dry_run)
        if not dry_run:
            upkeep.work_off(lib, progress=render.Bar())
    if as_json:
        render.print_json(
            {"whole": [{"code": k.code, "title": k.title, "was_sheet": k.was_sheet} for k in kept]}
        )
        return 0
    for one in kept:
        is_now = "would be" if dry_run else "is"
        render.say(f"{one.code}  {one.title} {is_now} one drawing{', no sheet' if one.was_sheet else ''}")
    return 0


def _take_layers(sheets: Drawings, as_json: bool) -> int:
    """Take layered files that are in the library apart, and tell what came of it."""
    from assetlib.cli import render
    from assetlib.services.bringing.layering import foresee, take_layers
    from assetlib.services.keeping import upkeep

    with opened_library() as lib:
        codes = sheets.in_library(lib)
        foreseen = {code: foresee(lib, code) for code in codes}
        taken = {code: take_layers(lib, code) for code in codes}
        upkeep.work_off(lib, progress=render.Bar())
    rows = [(code, layer) for code, layers in taken.items() for layer in layers]
    if as_json:
        render.print_json(
            {
                "layers": [
                    {"sheet": code, "code": r.code, "title": r.title, "layer": r.layer, "new": r.is_new}
                    for code, r in rows
                ],
                "one_drawing": [code for code, layers in taken.items() if not layers],
            }
        )
        return 0
    told = [(r.code, r.title, r.layer, "new" if r.is_new else "kept") for _, r in rows]
    if told:
        render.table(["code", "title", "layer", ""], told)
    for code, layers in taken.items():
        if not layers:
            render.say(f"{code} is one drawing: {_one_drawing(foreseen[code], 'now')}")
    return 0


def _try_layers(sheets: Drawings, as_json: bool) -> int:
    """Tell what taking layered files apart would give; nothing is changed."""
    from assetlib.cli import render
    from assetlib.services.bringing.layering import foresee

    with opened_library() as lib:
        foreseen = {code: foresee(lib, code) for code in sheets.in_library(lib)}
    rows = [(code, *drawing) for code, told in foreseen.items() for drawing in told.drawings]
    if as_json:
        layers = [{"sheet": code, "title": title, "layer": layer} for code, title, layer in rows]
        one = [code for code, told in foreseen.items() if not told.drawings]
        render.print_json({"layers": layers, "one_drawing": one})
        return 0
    if rows:
        render.table(["of", "title", "layer"], rows)
    for code, told in foreseen.items():
        if not told.drawings:
            render.say(f"{code} is one drawing: {_one_drawing(told, 'without --dry-run')}")
    return 0


def _one_drawing(told: Foreseen, when: str) -> str:
    """What becomes of the layers of a file that is one drawing."""
    named = ", ".join(told.left_out)
    if not named:
        return "its layers are parts of it, nothing is left out"
    layers = f"its ground {'layer' if len(told.left_out) == 1 else 'layers'} {named}"
    verb = "is" if len(told.left_out) == 1 else "are"
    return f"{layers} {verb} left out {when if told.changes else 'already'}"


def _cut(sheets: Drawings, wishes: CutWishes, *, corrected: bool) -> CutReport:
    """Cut what was named; a trial of files alone needs no library."""
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.bringing.trying import try_sheets

    choice = sheets.choice()
    files = [path for text in choice.codes if (path := Path(text).expanduser()).is_file()]
    named: list[str | Path] = [_file_or_code(text) for text in (*choice.codes, *choice.sheets)]
    if choice.jobs or choice.collections or not named:
        with opened_library() as lib:
            named += sheets.of_jobs_and_collections(lib, "sheet")
    if corrected and len(named) > 1:
        raise WrongUsage("every sheet has numbers of its own", "give one sheet with its corrections")
    if wishes.dry_run and len(files) == len(named):
        return try_sheets(files, wishes)
    from assetlib.services.bringing.sheets import cut_sheets

    with opened_library() as lib:
        return cut_sheets(lib, named, wishes, progress=render.Bar())


def _file_or_code(text: str) -> str | Path:
    path = Path(text).expanduser()
    return path if path.is_file() else text


def _settings(
    join: list[str] | None,
    split: list[str] | None,
    drop: list[str] | None,
    box: list[str] | None,
    gap: float | None,
    as_it_is: bool,
) -> CutSettings | None:
    """The corrections on the line; None where there are none, so that those of last time hold."""
    from assetlib.errors import WrongUsage
    from assetlib.imaging.cutting.sheets import CutSettings

    if not (join or split or drop or box or gap is not None or as_it_is):
        return None
    if gap is not None and gap < 0:
        raise WrongUsage(
            f"there is no gap of {gap:g}", "--gap takes a width in pixels of the sheet, 0 or more"
        )
    groups = tuple(numbers([text], "--join") for text in join or ())
    for group in groups:
        if len(group) < 2:
            raise WrongUsage(f"'{','.join(map(str, group))}' joins nothing", "--join takes numbers like 3,4")
    boxes = tuple(_box(text) for text in box or ())
    return CutSettings(
        gap, groups, numbers(split, "--split"), numbers(drop, "--drop"), boxes, as_it_is=as_it_is
    )


def _box(text: str) -> tuple[int, int, int, int]:
    from assetlib.errors import WrongUsage

    parts = text.split(",")
    if len(parts) == 4 and all(re.fullmatch(r"\s*-?\d+\s*", part) for part in parts):
        x, y, w, h = map(int, parts)
        if w > 0 and h > 0:
            return x, y, w, h
    raise WrongUsage(f"'{text}' is no box", "--box takes x,y,w,h in pixels")


def _report_document(report: CutReport) -> dict[str, Any]:
    paged = {item.source for item in report.pages if item.page}
    document: dict[str, Any] = {"sheets": [_document(item, item.source in paged) for item in report.pages]}
    if report.failed:
        document["failed"] = [{"source": source, "reason": e.sentence} for source, e in report.failed]
    return document


def _document(sheet: CutSheet, paged: bool) -> dict[str, Any]:
    """A page of a sheet; a plain file has neither code nor corrections, and says only what was seen on it."""
    elements = []
    for out in sheet.elements:
        row: dict[str, Any] = {
            "order": out.element.order,
            "box": list(out.element.box),
            "caption": list(box) if (box := out.element.caption_box) else None,
        }
        if sheet.sheet is not None or out.element.numbers != (out.element.order,):
            row["numbers"] = list(out.element.numbers)
        if out.code is not None:
            row |= {"code": out.code, "what": out.what}
        elements.append(row)
    document: dict[str, Any] = {"source": sheet.source, "size": list(sheet.size), "elements": elements}
    if sheet.page_fix is not None:
        document["page_fix"] = sheet.page_fix
    if paged:
        document["page"] = sheet.page + 1
    if sheet.sheet is not None:
        document |= {"sheet": sheet.sheet, "gone": list(sheet.gone)}
    return document


def _done(sheet: CutSheet) -> tuple[str, ...]:
    """What was done to a photograph or to printed paper before it was cut, in words."""
    from assetlib.imaging.pages.fixing import fix_from

    fix = fix_from(sheet.page_fix)
    return fix.words if fix is not None else ()


def _caption(out: CutOut) -> str:
    """Whether lettering stands with a drawing: it is kept beside it as a picture, and read where there is a reader."""
    return "kept with it" if out.element.caption_box is not None else ""


def _show(cuts: list[CutSheet]) -> None:
    from assetlib.cli import render

    for sheet in cuts:
        name = Path(sheet.source).name + (f", page {sheet.page + 1}" if sheet.page else "")
        render.say(f"{name}: {render.plural(len(sheet.elements), 'drawing')}")
        captioned = any(map(_caption, sheet.elements))
        coded = any(out.code for out in sheet.elements)  # codes are given only when it is kept
        rows = [
            (
                "+".join(map(str, out.element.numbers)),
                *((out.code or "",) if coded else ()),
                "x".join(map(str, out.element.box[2:])),
                *((_caption(out),) if captioned else ()),
                out.what if out.code else "",
            )
            for out in sheet.elements
        ]
        if done := _done(sheet):
            render.say(f"{', '.join(done)} (to leave it so: --as-it-is)")
        named = ["no.", *(["code"] if coded else []), "pixels", *(["lettering"] if captioned else []), ""]
        render.table(named, rows)
        if sheet.became_sheet:
            render.say(f"{sheet.sheet} was kept as one drawing and is a sheet now; undo: assetlib undo")
        if sheet.gone:
            render.say(f"no longer there, now in the attic: {', '.join(sheet.gone)}")
        if sheet.overlay is not None:
            render.say_whole(f"numbered boxes: {sheet.overlay}")
            if render.out.is_terminal:
                typer.launch(str(sheet.overlay))
