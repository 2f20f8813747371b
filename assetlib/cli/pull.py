"""pull: the sheet of what a shot list needs and what the library has of it."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import JsonFlag, opened_library
from assetlib.errors import WrongUsage

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.rules.shots.lists.values import ShotList
    from assetlib.services.jobs.frame_files import LeftOver
    from assetlib.services.jobs.pulling import Offer, Pull, ShotPulled
    from assetlib.services.jobs.sheets import FrameNote


def register(app: typer.Typer) -> None:
    """Add this room's command."""
    app.command("pull")(pull)


def pull(
    file: Annotated[
        str | None,
        typer.Argument(
            help="The shot list: text, CSV, XLSX or PDF; - reads what is piped; none takes the job's own."
        ),
    ] = None,
    job: Annotated[str | None, typer.Option(help="The job it is for; else the one in use.")] = None,
    count: Annotated[
        bool, typer.Option("--count", help="One line for the quote: drawn, half, new; keeps nothing.")
    ] = False,
    new_list: Annotated[
        bool,
        typer.Option("--new-list", help="Keep a list though hardly a shot of the job's last one is in it."),
    ] = False,
    pick: Annotated[
        list[str] | None, typer.Option(help="A drawing that leads a shot: 5=7K3; 5=- takes it back.")
    ] = None,
    frames: Annotated[
        Path | None, typer.Option(help="Begin a layered frame for each shot in this folder.")
    ] = None,
    frame: Annotated[str | None, typer.Option(help="The frames' shape, when it is not the job's.")] = None,
    round_: Annotated[
        int | None, typer.Option("--round", help="The round of the frames; else the job's last.")
    ] = None,
    kind: Annotated[str, typer.Option("--as", help="psd or ora.")] = "psd",
    under: Annotated[bool, typer.Option("--under", help="Lay drawings at a quarter strength.")] = False,
    safe_area: Annotated[
        bool, typer.Option("--safe-area", help="Add the safe areas as locked guides.")
    ] = False,
    html: Annotated[Path | None, typer.Option(help="Write the sheet as one page with pictures.")] = None,
    pdf: Annotated[Path | None, typer.Option(help="Write the sheet as a PDF with pictures.")] = None,
    confidential: Annotated[
        bool, typer.Option("--confidential", help="Offer also what another client keeps confidential.")
    ] = False,
    gaps: Annotated[bool, typer.Option("--gaps", help="What the library lacked over all jobs.")] = False,
    as_json: JsonFlag = False,
) -> int:
    """Pull a shot list.

    For each shot what is drawn already, what has to be altered, what is to be drawn. Where nothing serves, *perhaps*
    names drawings that nobody titled and that are worth a look. With --frames, frames that the list no longer asks
    for are told.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import frame_files, sheets

    with opened_library() as lib:
        if gaps:
            return _gaps(lib, as_json=as_json)
        keep = not count or bool(pick) or frames is not None
        sheet = _sheet(lib, file, job, pick, confidential=confidential, keep=keep, new_list=new_list)
        if sheet.is_other and frames is not None:
            raise WrongUsage(*sheets.is_it_the_jobs(sheet.job))
        notes: list[FrameNote] = []
        left: list[LeftOver] = []
        if frames is not None:
            plan = _plan(lib, sheet, frames, frame, round_, kind, under=under, safe_area=safe_area)
            sheet, notes = sheets.write_frames(lib, sheet, plan, render.Bar())
            left = frame_files.left_over(lib, sheet.job, plan, (note.path for note in notes))
        _write_pages(lib, sheet, html, pdf)
        if as_json:
            render.print_json(document(sheet, left))
        elif count:
            render.say(_counted(sheet))
        else:
            _show(lib, sheet)
        if sheets.has_no_drawings(lib):
            render.tell("the library is empty, so all is to be drawn: bring drawings in with assetlib intake")
        if sheet.notes:
            render.tell(f"lines left out, as they are no shots: {', '.join(sheet.notes)}")
        if frames is not None:
            _tell_frames(sheet, notes)
            _tell_left(left)
    return _asked_whose(sheet) if keep else 0


def _asked_whose(sheet: Pull) -> int:
    """Ask of a list that may be another job's; then something is left to do, as the exit code says."""
    from assetlib.cli import render
    from assetlib.services.jobs import sheets

    if not sheet.is_other:
        return 0
    question, answer = sheets.is_it_the_jobs(sheet.job)
    render.tell(f"{question} {answer}")
    return 1


def _sheet(lib: Library, file: str | None, job: str | None, pick: list[str] | None, **how: bool) -> Pull:
    from assetlib.cli import render
    from assetlib.cli.jobs import job_for
    from assetlib.services.jobs import sheets

    name = job_for(lib, job)
    wishes = sheets.Wishes(name, _picks(pick), **how)
    if file is None:
        if name is None:
            raise WrongUsage("no shot list was named", "assetlib pull FILE, or - for what is pasted")
        return sheets.again(lib, name, wishes, render.Bar())
    return sheets.pull(lib, _listing(file), wishes, render.Bar())


def _listing(file: str) -> ShotList:
    from assetlib.services.jobs import listfiles

    if file == "-":
        return listfiles.read_bytes(sys.stdin.buffer.read(listfiles.MOST_BYTES + 1), "what was pasted")
    return listfiles.read_list(Path(file).expanduser())


def _picks(given: list[str] | None) -> dict[str, tuple[str, ...]]:
    found = {}
    for text in given or []:
        number, mark, codes = text.partition("=")
        if not (mark and number.strip() and codes.strip()):
            raise WrongUsage(f"'{text}' picks nothing", "write --pick 5=7K3")
        found[number.strip()] = tuple(
            code.strip() for code in codes.split(",") if code.strip() not in ("", "-")
        )
    return found


def _plan(
    lib: Library, sheet: Pull, folder: Path, frame: str | None, round_: int | None, kind: str, **more: bool
) -> Any:
    from assetlib.rules.shots.frame_sizes import parse_frame
    from assetlib.services.jobs import boards, sheets

    ending = f".{kind.lstrip('.').casefold()}"
    if ending not in boards.ENDINGS:
        raise WrongUsage(f"frames are not written as {kind}", "choose psd or ora")
    shape = parse_frame(frame) if frame else None
    return sheets.plan_for(lib, folder.expanduser(), sheet.job, shape, round_, ending=ending, **more)


def _write_pages(lib: Library, sheet: Pull, html: Path | None, pdf: Path | None) -> None:
    from assetlib.cli import render
    from assetlib.services.jobs import sheet_pages

    for path, write in ((html, sheet_pages.write_html), (pdf, sheet_pages.write_pdf)):
        if path is not None:
            write(lib, sheet, path.expanduser())
            render.tell(f"written: {path}")


def _gaps(lib: Library, *, as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.services.jobs import sheets

    rows = sheets.gaps(lib)
    if as_json:
        render.print_json({"gaps": [{"need": text, "asked": times} for text, times in rows]})
    elif rows:
        render.table(["asked", "what the library lacked"], [(times, text) for text, times in rows])
    else:
        render.say("no job has asked for anything that was not there")
    return 0


def _counted(sheet: Pull) -> str:
    from assetlib.cli import render

    told = sheet.count()
    return f"{render.plural(len(sheet.shots), 'shot')}: {told['drawn']} drawn, {told['half']} half, {told['new']} new"


def document(sheet: Pull, left: Sequence[LeftOver] = ()) -> dict[str, Any]:
    """The pull sheet as JSON has it: stable keys."""
    return {
        "job": sheet.job,
        "kept": sheet.kept,
        "count": sheet.count(),
        "omitted": list(sheet.omitted),
        "shots": [_shot_document(shot) for shot in sheet.shots],
        "frames_left": [{"frame": str(row.path), "shot": row.shot, "why": row.why} for row in left],
    }


def _shot_document(pulled: ShotPulled) -> dict[str, Any]:
    shot = pulled.shot
    return {
        "number": shot.number,
        "spot": shot.spot,
        "text": shot.text,
        "heading": shot.heading,
        "understood": pulled.understood,
        "needs": [
            {
                "need": need.need.text,
                "kind": need.need.kind,
                "served": need.fit,
                "within": need.within or None,
            }
            for need in pulled.needs
        ],
        "served": pulled.served,
        "add": list(pulled.add),
        "alter": list(pulled.alter),
        "change": pulled.change or None,
        "elements": [
            _offer_document(need.need.text, offer) for need in pulled.needs for offer in need.offers
        ],
        "perhaps": [_offer_document(pulled.needs[0].need.text, offer) for offer in pulled.perhaps],
        "frames": list(pulled.frames),
    }


def _offer_document(need: str, offer: Offer) -> dict[str, Any]:
    return {
        "code": offer.card.code,
        "title": offer.card.title,
        "need": need,
        "fit": offer.fit,
        "score": offer.score,
        "why": list(offer.why),
        "alter": list(offer.alter),
        "warn": list(offer.warn),
        "picked": offer.picked,
    }


_WORDS = {"yes": "drawn", "half": "half", "no": "draw new"}


def _show(lib: Library, sheet: Pull) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.browsing import cards_of

    spot = heading = ""
    behind: set[str] = set()
    for pulled in sheet.shots:
        shot = pulled.shot
        if shot.spot != spot:
            spot = shot.spot
            render.out.print(f"SPOT {spot}", style="bold", markup=False)
        if shot.heading != heading:
            heading, behind = shot.heading, set()
            render.out.print(heading, style="dim", markup=False)
        changed = f"  [{pulled.change}]" if pulled.change not in ("", "same") else ""
        line = textwrap.fill(
            f"{shot.number:>4}  {shot.text}{changed}", render.out.width, subsequent_indent=" " * 6
        )
        render.out.print(line, markup=False)
        _show_needs(pulled, lambda codes: cards_of(lib, codes), behind)
    if sheet.omitted:
        render.say(f"omitted: {', '.join(sheet.omitted)}")
    render.out.print(_counted(sheet), style="bold", markup=False)


_INDENT = 6
_LONGEST_NAME = 16


def _lines(text: str, indent: int = _INDENT) -> str:
    """A text wrapped under its own beginning."""
    from assetlib.cli import render

    margin = " " * indent
    return textwrap.fill(
        text, max(40, render.out.width), initial_indent=margin, subsequent_indent=margin + "  "
    )


def _show_needs(pulled: ShotPulled, cards_of: Any, behind: set[str]) -> None:
    """Tell what serves a shot; `behind` holds the codes of what is drawn behind the scene and was told already."""
    from assetlib.cli import render

    things = pulled.things
    apart = len(things) > 1
    from_all = not apart or not pulled.add
    told = "; ".join(pulled.alter if from_all else pulled.add)
    style = {"yes": "green", "half": "yellow", "no": "red"}[pulled.served]
    render.out.print(_lines(_WORDS[pulled.served] + (f": {told}" if told else "")), style=style, markup=False)
    if pulled.served == "no":
        if pulled.perhaps:
            _show_offers(pulled.perhaps, "perhaps", (), is_place=False)
        return
    told_of = behind | {need.offers[0].card.code for need in things}
    places = [
        need for need in pulled.shown if need.need.kind == "place" and need.offers[0].card.code not in told_of
    ][:1]
    if render.shows_pictures() and (things or places):
        cards = cards_of([need.offers[0].card.code for need in (*things, *places)])
        render.cards([(card.proof, card.code, (card.title,)) for card in cards])
    for need in (*things, *places):
        is_place = need.need.kind == "place"
        name = "behind" if is_place else need.need.name if apart else ""
        _show_offers(need.offers, name, pulled.alter if from_all else (), is_place=is_place)
    behind.update(need.offers[0].card.code for need in places)


def _show_offers(offers: tuple[Offer, ...], name: str, told: tuple[str, ...], *, is_place: bool) -> None:
    from assetlib.cli import render

    first, *others = offers
    before = f"{textwrap.shorten(name, _LONGEST_NAME, placeholder='…')}: " if name else ""
    more = f"   also {', '.join(o.card.code for o in others)}" if others else ""
    chosen = "  chosen" if first.picked else ""
    alter = [text for text in first.alter if text not in told]
    render.out.print(
        _lines(f"{before}{first.card.code}  {first.card.title}{chosen}{more}"), style="cyan", markup=False
    )
    if alter and not is_place:
        render.out.print(_lines("; ".join(alter), _INDENT + 2), style="yellow", markup=False)
    _show_warnings(first.warn, is_place=is_place)


_DRAW_OVER = "draw over: "


def _show_warnings(warnings: tuple[str, ...], *, is_place: bool) -> None:
    """What to mind of a drawing; why it is to be drawn over stands in one line, and is a matter of course of places."""
    from assetlib.cli import render

    over = [text.removeprefix(_DRAW_OVER) for text in warnings if text.startswith(_DRAW_OVER)]
    for warning in warnings:
        if not warning.startswith(_DRAW_OVER):
            render.out.print(_lines(f"mind: {warning}"), style="yellow", markup=False)
    if over and not is_place:
        render.out.print(_lines(f"draw over: {'; '.join(over)}"), style="dim", markup=False)


_BESIDE = {
    "beside": "drawn on since, so a new one stands beside it",
    "taken": "a file of that name was there already, so a new one stands beside it",
}


def _tell_frames(sheet: Pull, notes: list[FrameNote]) -> None:
    from assetlib.cli import render

    kept = [note.state for note in notes].count("kept")
    if notes:
        render.tell(f"{render.plural(len(notes) - kept, 'frame')} written, {kept} kept as they are")
    for note in notes:
        if note.state in _BESIDE:
            render.tell(f"{_BESIDE[note.state]}: {note.path.name}")
        elif note.renumbered:
            render.tell(
                f"shot {note.shot} keeps the frame that was begun under another number: {note.path.name}"
            )
    bare = [f"{pulled.shot.spot}{pulled.shot.number}" for pulled in sheet.shots if pulled.served == "no"]
    if bare:
        render.tell(f"no frame begun for {', '.join(bare)}: drawn new, the library has nothing for them")


def _tell_left(left: Sequence[LeftOver]) -> None:
    """Frames that the list asks for no more: they stay, and the artist decides what becomes of them."""
    from assetlib.cli import render

    for row in left:
        render.tell(f"left as it is: {row.path.name}, shot {row.shot}: {row.why}")
