"""The pull sheet to print or send: one page of HTML, or a PDF. No hours, prices, other jobs or other clients on it."""

from __future__ import annotations

import base64
import html
import io
import os
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

from assetlib.errors import DiskFull, WrongUsage
from assetlib.imaging import print_fonts
from assetlib.library import Library
from assetlib.rules.shots.serving import HALF, NO, YES
from assetlib.services.jobs.pulling import Offer, Pull, ShotPulled

SAID = {YES: "drawn", HALF: "half drawn", NO: "to be drawn"}

_PICTURE = 300  # pixels of a picture's longer side: sharp at five centimetres in print
_STYLE = """
body{font:15px/1.45 Georgia,serif;color:#222;background:#fbfaf7;margin:2.2em auto;max-width:62em;padding:0 1.4em}
h1{font-size:1.5em;font-weight:normal;margin:0 0 .1em}h2{font-size:1em;letter-spacing:.06em;margin:2em 0 .2em}
.count{color:#555}.shot{border-top:1px solid #cfc9bd;padding:.8em 0;break-inside:avoid;display:flex;gap:1.2em}
.no{width:3.2em;font-size:1.3em}.what{flex:1}.heading{color:#666;font-size:.86em}
.told{margin:.2em 0;font-style:italic}.pictures{display:flex;flex-wrap:wrap;gap:1em;margin-top:.4em}
figure{margin:0;width:9.5em}figure img{max-width:100%;max-height:7.5em;background:#fff;border:1px solid #e2ddd2}
figcaption{font-size:.78em;color:#444}@media print{body{background:#fff;margin:0;max-width:none}}
"""


def _title(sheet: Pull) -> str:
    return sheet.job or "Pull sheet"


def _counted(sheet: Pull) -> str:
    told = sheet.count()
    return f"{len(sheet.shots)} shots: {told['drawn']} drawn, {told['half']} half, {told['new']} to be drawn"


def shown(shot: ShotPulled) -> list[Offer]:
    """The first choice of each need that has one, a drawing that serves several once."""
    first: dict[str, Offer] = {}
    for need in shot.shown:
        first.setdefault(need.offers[0].card.code, need.offers[0])
    return list(first.values())


def _told(shot: ShotPulled) -> str:
    told = shot.add if len(shot.things) > 1 else shot.alter
    return SAID[shot.served] + (f": {'; '.join(told)}" if told else "")


def _altered(shot: ShotPulled, offer: Offer) -> str:
    """What is to be done to one of several drawings of a shot; of a single one the shot says it."""
    told = _told(shot)
    return "; ".join(text for text in offer.alter if text not in told)


def picture(lib: Library, offer: Offer) -> bytes | None:
    """A small JPEG of a drawing's proof; None where it has none."""
    path = lib.derived / offer.card.proof if offer.card.proof else None
    if path is None or not path.is_file():
        return None
    try:
        with Image.open(path) as opened:
            small = opened.convert("RGB")
    except OSError:
        return None
    small.thumbnail((_PICTURE, _PICTURE), Image.Resampling.LANCZOS, reducing_gap=3.0)
    data = io.BytesIO()
    small.save(data, "JPEG", quality=82)
    return data.getvalue()


def write_html(lib: Library, sheet: Pull, path: Path) -> None:
    """Write the sheet as one self-contained page. Raises WrongUsage, DiskFull."""
    _write(path, "".join(_page(lib, sheet)).encode())


def _page(lib: Library, sheet: Pull) -> Iterator[str]:
    yield f"<!doctype html><html lang=en><meta charset=utf-8><title>{html.escape(_title(sheet))}</title>"
    yield f"<style>{_STYLE}</style><h1>{html.escape(_title(sheet))}</h1><p class=count>{_counted(sheet)}</p>"
    spot = heading = ""
    for shot in sheet.shots:
        if shot.shot.spot != spot:
            spot = shot.shot.spot
            yield f"<h2>SPOT {html.escape(spot)}</h2>"
        new_heading = shot.shot.heading if shot.shot.heading != heading else ""
        heading = shot.shot.heading
        yield from _section(lib, shot, new_heading)
    if sheet.omitted:
        yield f"<p class=count>omitted: {html.escape(', '.join(sheet.omitted))}</p>"
    yield "</html>\n"


def _section(lib: Library, shot: ShotPulled, heading: str) -> Iterator[str]:
    yield f"<div class=shot><div class=no>{html.escape(shot.shot.number)}</div><div class=what>"
    if heading:
        yield f"<div class=heading>{html.escape(heading)}</div>"
    yield f"<div>{html.escape(shot.shot.text)}</div><div class=told>{html.escape(_told(shot))}</div>"
    yield "<div class=pictures>"
    for offer in shown(shot):
        data = picture(lib, offer)
        name = html.escape(f"{offer.card.title} · {offer.card.code}")
        image = (
            f"<img alt='{name}' src='data:image/jpeg;base64,{base64.b64encode(data).decode()}'>"
            if data
            else ""
        )
        alter = _altered(shot, offer)
        told = f"<br><i>{html.escape(alter)}</i>" if alter else ""
        yield f"<figure>{image}<figcaption>{name}{told}</figcaption></figure>"
    yield "</div></div></div>"


_MARGIN, _WIDE, _ROW, _SMALL = 15.0, 180.0, 24.0, 8.5  # millimetres on A4, and points of small print


def write_pdf(lib: Library, sheet: Pull, path: Path) -> None:
    """Write the sheet as a PDF on A4. Raises WrongUsage, DiskFull."""
    from fpdf import FPDF

    page = FPDF(format="A4")
    page.set_auto_page_break(True, _MARGIN)
    page.set_margin(_MARGIN)
    page.add_page()
    said = [shot.shot.line + "".join(offer.card.title for offer in shown(shot)) for shot in sheet.shots]
    font = print_fonts.fitted(page, _title(sheet) + "".join(said))
    page.set_font(font, size=17)
    page.multi_cell(0, 8, print_fonts.printable(_title(sheet), font), new_x="LMARGIN", new_y="NEXT")
    page.set_font(font, size=_SMALL)
    page.multi_cell(0, 5, _counted(sheet), new_x="LMARGIN", new_y="NEXT")
    for shot in sheet.shots:
        _print_shot(lib, page, shot, font)
    if sheet.omitted:
        told = print_fonts.printable(f"omitted: {', '.join(sheet.omitted)}", font)
        page.multi_cell(0, 6, told, new_x="LMARGIN", new_y="NEXT")
    _write(path, print_fonts.printed(page))


def _print_shot(lib: Library, page: object, shot: ShotPulled, font: str) -> None:
    from fpdf import FPDF

    assert isinstance(page, FPDF)
    offers = shown(shot)
    if page.get_y() + _HEAD + _height(page, shot, font) > page.h - _MARGIN:
        page.add_page()
    page.set_draw_color(200)
    page.line(_MARGIN, page.get_y() + 2, _MARGIN + _WIDE, page.get_y() + 2)
    page.ln(3)
    page.set_font(font, size=11)
    number = f"{shot.shot.spot} {shot.shot.number}".strip()
    line = print_fonts.printable(f"{number}   {shot.shot.line}", font)
    page.multi_cell(0, 5, line, new_x="LMARGIN", new_y="NEXT")
    page.set_font(font, "I", _SMALL)
    page.multi_cell(0, 4.5, print_fonts.printable(_told(shot), font), new_x="LMARGIN", new_y="NEXT")
    page.set_font(font, size=_SMALL)
    if offers:
        _print_pictures(lib, page, shot, font)


_HEAD = 14.0  # millimetres: a shot's line and what is said of it
_ACROSS = 5  # drawings side by side
_COLUMN, _HIGH, _LINE = (
    36.0,
    18.0,
    3.6,
)  # millimetres: a picture with its column, its height, a line of small print


def _height(page: object, shot: ShotPulled, font: str) -> float:
    """How high a shot's pictures stand with the words under them, in millimetres; 0 without pictures."""
    from fpdf import FPDF
    from fpdf.enums import MethodReturnValue

    assert isinstance(page, FPDF)
    page.set_font(font, size=_SMALL)
    words = [
        float(
            page.multi_cell(
                _COLUMN - 2, _LINE, _under(shot, offer, font), dry_run=True, output=MethodReturnValue.HEIGHT
            )
        )
        for offer in shown(shot)[:_ACROSS]
    ]
    return max(_ROW + 2, _HIGH + 3 + max(words)) if words else 0.0


def _under(shot: ShotPulled, offer: Offer, font: str) -> str:
    """What stands under a drawing: its code and title, and what has to be altered."""
    told = "\n".join(filter(None, [f"{offer.card.code}  {offer.card.title}", _altered(shot, offer)]))
    return print_fonts.printable(told, font)


def _print_pictures(lib: Library, page: object, shot: ShotPulled, font: str) -> None:
    from fpdf import FPDF

    assert isinstance(page, FPDF)
    top, x = page.get_y() + 1, _MARGIN
    low = top + _ROW
    for offer in shown(shot)[:_ACROSS]:
        data = picture(lib, offer)
        if data:
            page.image(io.BytesIO(data), x=x, y=top, w=_COLUMN - 4, h=_HIGH, keep_aspect_ratio=True)
        page.set_xy(x, top + _HIGH + 0.6)
        told = _under(shot, offer, font)
        page.multi_cell(_COLUMN - 2, _LINE, told, align="L", new_x="LMARGIN", new_y="NEXT")
        low = max(low, page.get_y() + 1)
        x += _COLUMN
    page.set_xy(_MARGIN, low)


def _write(path: Path, data: bytes) -> None:
    """Write beside the path, synced, then move it there."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        if error.errno in (28, 122):  # ENOSPC, EDQUOT
            raise DiskFull(f"there is no room left for {path}", "make room, and run it again") from error
        raise WrongUsage(f"{path} cannot be written ({error.strerror})") from error
