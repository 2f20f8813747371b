"""What people see in the terminal: tables, small pictures, progress; and JSON for programs."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, TypeVar

from rich.console import Console
from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    TextColumn,
    TimeRemainingColumn,
    TransferSpeedColumn,
)
from rich.style import Style
from rich.table import Table
from rich.text import Text

T = TypeVar("T")

out = Console(highlight=False, soft_wrap=False)
err = Console(stderr=True, highlight=False)

PICTURE_COLUMNS, PICTURE_ROWS = 16, 7
"""Terminal cells of a small picture; a cell holds two square pixels, one above the other."""

UPPER_HALF = "▀"


def print_json(document: dict[str, Any]) -> None:
    """Write one JSON document to stdout."""
    sys.stdout.write(json.dumps(document, ensure_ascii=False, indent=1, default=str) + "\n")


def say(text: str) -> None:
    """A line for people, on stdout."""
    out.print(text, markup=False)


def tell(text: str) -> None:
    """A line beside the result, on stderr."""
    err.print(text, markup=False, style="dim")


class Bar:
    """Progress drawn on stderr, with how many, how fast and how long still; nothing where that is no terminal."""

    def track(self, items: Iterable[T], label: str, total: int | None = None) -> Iterator[T]:
        """Yield the items, moving the bar."""
        if total == 0:
            yield from items
            return
        columns = (
            TextColumn("{task.description}"),
            BarColumn(bar_width=28, style="grey37", complete_style="cyan", finished_style="cyan"),
            MofNCompleteColumn(),
            _Rate(),
            TimeRemainingColumn(compact=True, elapsed_when_finished=True),
        )
        with Progress(*columns, console=err, transient=True) as progress:
            task = progress.add_task(label, total=total)
            for item in items:
                yield item
                progress.advance(task)


class _Rate(TransferSpeedColumn):
    """How many items a second."""

    def render(self, task: Any) -> Text:
        speed = task.finished_speed or task.speed
        return Text(
            "" if speed is None else f"{speed:.0f}/s" if speed >= 10 else f"{speed:.1f}/s", style="dim"
        )


def shows_pictures() -> bool:
    """Whether stdout is a terminal with enough colours for small pictures."""
    return out.is_terminal and out.color_system in ("truecolor", "256")


def small_picture(path: Path | None, columns: int = PICTURE_COLUMNS, rows: int = PICTURE_ROWS) -> Text:
    """A proof as half blocks; an empty text where there is none or it cannot be read."""
    from PIL import Image

    if path is None or not path.is_file():
        return Text("")
    try:
        with Image.open(path) as opened:
            picture = opened.convert("RGB")
    except OSError:
        return Text("")
    picture.thumbnail((columns, rows * 2), Image.Resampling.LANCZOS, reducing_gap=3)
    height = picture.height + picture.height % 2
    canvas = Image.new("RGB", (columns, height), "white")
    canvas.paste(picture, ((columns - picture.width) // 2, 0))
    text = Text(no_wrap=True)
    for y in range(0, height, 2):
        for x in range(columns):
            upper, lower = canvas.getpixel((x, y)), canvas.getpixel((x, y + 1))
            text.append(UPPER_HALF, Style(color=_hex(upper), bgcolor=_hex(lower)))
        text.append("\n" if y + 2 < height else "")
    return text


def _hex(pixel: Any) -> str:
    return "#{:02x}{:02x}{:02x}".format(*pixel)


def table(headings: Sequence[str], rows: Iterable[Sequence[Any]], *, wide: Sequence[str] = ()) -> None:
    """A plain table without lines; `wide` headings may wrap, the others keep their width."""
    drawn = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for heading in headings:
        drawn.add_column(heading, no_wrap=heading not in wide, overflow="fold")
    for row in rows:
        drawn.add_row(*(cell if isinstance(cell, Text) else Text(str(cell)) for cell in row))
    out.print(drawn)


def cards(rows: Sequence[tuple[Path | None, str, Sequence[str]]]) -> None:
    """A list of drawings: picture, code, and lines of text beside it, the first one strong."""
    pictures = shows_pictures()
    drawn = Table(box=None, pad_edge=False, padding=(0, 2, 1 if pictures else 0, 0), show_header=False)
    drawn.add_column(no_wrap=True)
    if pictures:
        drawn.add_column(no_wrap=True, width=PICTURE_COLUMNS)
    drawn.add_column(overflow="fold")
    for proof, code, lines in rows:
        text = Text(lines[0], style="bold")
        for line in lines[1:]:
            if line:
                text.append("\n" if pictures else "  ", style="not bold").append(line, style="not bold dim")
        cells = [Text(code, style="cyan")]
        if pictures:
            cells.append(small_picture(proof))
        drawn.add_row(*cells, text)
    out.print(drawn)


def facet_words(facets: dict[str, tuple[str, ...]]) -> str:
    """Facets in one line: *CU, hood mount, night*."""
    return ", ".join(value for values in facets.values() for value in values)


def plural(count: int, one: str, many: str | None = None) -> str:
    """*1 drawing*, *2 drawings*."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
