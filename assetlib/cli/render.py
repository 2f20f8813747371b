"""What people see in the terminal: tables, small pictures, progress; and JSON for programs."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
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

from assetlib.cli.wording import facet_words as facet_words
from assetlib.cli.wording import plain as plain
from assetlib.cli.wording import plural as plural
from assetlib.cli.wording import print_json as print_json

if TYPE_CHECKING:
    from PIL import Image

T = TypeVar("T")

out = Console(highlight=False, soft_wrap=False)
err = Console(stderr=True, highlight=False)

PICTURE_COLUMNS, PICTURE_ROWS = 24, 11
"""Terminal cells of a small picture."""

LARGEST_COLUMNS = 56
"""Widest picture of two that are compared: wider ones no longer fit a screen in height."""

_DARKER = [round(255 * (value / 255) ** 1.7) for value in range(256)] * 3
"""Thin lines grow pale when a picture shrinks; exponent chosen by eye on the demo drawings."""

BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""Block characters by the bits of their dark quarters: upper left 1, upper right 2, lower left 4, lower right 8."""


def say(text: str) -> None:
    """A line for people, on stdout; whatever is in it, it stays one line."""
    out.print(plain(text), markup=False)


def say_whole(text: str) -> None:
    """A line with something to copy: it is never broken, however narrow the window is."""
    out.print(plain(text), markup=False, soft_wrap=True)


def say_text(text: str) -> None:
    """Several lines for people, on stdout."""
    for line in text.split("\n"):
        say(line)


def tell(text: str) -> None:
    """A line beside the result, on stderr."""
    err.print(plain(text), markup=False, style="dim")


def tell_whole(text: str) -> None:
    """The same with something to copy: it is never broken, however narrow the window is."""
    err.print(plain(text), markup=False, style="dim", soft_wrap=True)


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


def small_picture(path: Path | None, columns: int = PICTURE_COLUMNS, rows: int = PICTURE_ROWS) -> list[Text]:
    """A proof in terminal cells, one text a row; blank rows where there is none or it cannot be read.

    A cell shows four points in two colours, which suits line drawings better than two points in any colour.
    """
    from PIL import Image

    if path is None or not path.is_file():
        return picture_cells(None, columns, rows)
    try:
        with Image.open(path) as opened:
            return picture_cells(opened.convert("RGB"), columns, rows)
    except OSError:
        return picture_cells(None, columns, rows)


def picture_cells(picture: Image.Image | None, columns: int, rows: int) -> list[Text]:
    """An RGB picture in terminal cells, one text a row, in the middle of white; blank rows for None."""
    from PIL import Image

    if picture is None:
        return [Text(" " * columns) for _ in range(rows)]
    canvas = Image.new("RGB", (columns * 2, rows * 2), "white")
    # Points are twice as high as wide: fit the picture in units of its height.
    scale = min(columns / picture.width, rows * 2 / picture.height)
    size = (max(1, round(picture.width * scale * 2)), max(1, round(picture.height * scale)))
    picture = picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=3).point(_DARKER)
    canvas.paste(picture, ((canvas.width - size[0]) // 2, (canvas.height - size[1]) // 2))
    data = canvas.tobytes()
    points = [data[start : start + 3] for start in range(0, len(data), 3)]
    width = columns * 2
    return [_cells(points[2 * row * width : 2 * (row + 1) * width]) for row in range(rows)]


def _cells(points: list[bytes]) -> Text:
    """One row of cells from two rows of points, RGB."""
    text = Text(no_wrap=True)
    width = len(points) // 2
    for x in range(0, width, 2):
        text.append(*_cell((points[x], points[x + 1], points[width + x], points[width + x + 1])))
    return text


def _cell(points: tuple[bytes, bytes, bytes, bytes]) -> tuple[str, Style]:
    """The block character and colours nearest to four points: upper left and right, lower left and right."""
    light = [sum(point) for point in points]
    middle = (max(light) + min(light)) / 2
    dark = [value <= middle for value in light] if max(light) - min(light) > 24 else [False] * 4
    number = sum(bit << place for place, bit in enumerate(dark))
    front = [point for point, bit in zip(points, dark, strict=True) if bit] or list(points)
    back = [point for point, bit in zip(points, dark, strict=True) if not bit] or list(points)
    return BLOCKS[number], Style(color=_mean(front), bgcolor=_mean(back))


def _mean(points: list[bytes]) -> str:
    return "#" + "".join(f"{round(sum(point[c] for point in points) / len(points)):02x}" for c in range(3))


def picture(path: Path | None) -> None:
    """One picture as large as a screen takes it; nothing where the terminal shows none."""
    if shows_pictures():
        out.print(*small_picture(path, columns=64, rows=26), sep="\n")


def table(headings: Sequence[str], rows: Iterable[Sequence[Any]], *, wide: Sequence[str] = ()) -> None:
    """A plain table without lines; `wide` headings may wrap, the others keep their width.

    A cell that is a list or tuple has a line for each of its items; an item that begins with spaces keeps them
    where it wraps.
    """
    drawn = Table(
        box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim", show_header=any(headings)
    )
    for heading in headings:
        drawn.add_column(heading, no_wrap=heading not in wide, overflow="fold")
    for row in rows:
        drawn.add_row(*map(_cell_text, row))
    out.print(drawn)


def _cell_text(cell: Any) -> RenderableType:
    if isinstance(cell, (list, tuple)):
        return Group(*map(_indented, map(plain, cell)))
    return cell if isinstance(cell, Text) else Text(plain(cell))


def _indented(line: str) -> RenderableType:
    text = line.lstrip(" ")
    return Padding(Text(text), (0, 0, 0, len(line) - len(text)))


def cards(rows: Sequence[tuple[Path | None, str, Sequence[str]]]) -> None:
    """Drawings as pictures side by side where the terminal can, else as a list: code, title, what else there is."""
    if shows_pictures():
        across = max(1, (out.width + 2) // (PICTURE_COLUMNS + 2))
        for start in range(0, len(rows), across):
            _strip(rows[start : start + across])
        return
    drawn = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    drawn.add_column(no_wrap=True)
    drawn.add_column(overflow="fold")
    for _, code, lines in rows:
        text = Text(plain(lines[0]))
        for line in filter(None, lines[1:]):
            text.append(f"  {plain(line)}", style="dim")
        drawn.add_row(Text(code, style="cyan"), text)
    out.print(drawn)


def side_by_side(rows: Sequence[tuple[Path | None, str, Sequence[str]]]) -> None:
    """Two drawings as large as the terminal is wide, to be compared; a list where it shows no pictures."""
    if not shows_pictures():
        cards(rows)
        return
    columns = max(PICTURE_COLUMNS, min(LARGEST_COLUMNS, out.width // len(rows) - 2))
    _strip(rows, columns, columns * PICTURE_ROWS // PICTURE_COLUMNS)


def _strip(
    rows: Sequence[tuple[Path | None, str, Sequence[str]]],
    columns: int = PICTURE_COLUMNS,
    height: int = PICTURE_ROWS,
) -> None:
    """One row of pictures with their words under them."""
    drawn = Table(box=None, pad_edge=False, padding=(0, 2, 1, 0), show_header=False)
    cells = []
    for proof, code, lines in rows:
        drawn.add_column(width=columns, overflow="fold")
        text = Text("\n").join(small_picture(proof, columns, height))
        text.append("\n").append(code, style="bold cyan")
        for line in _fitted(plain(lines[0]), columns):
            text.append("\n").append(line, style="bold")
        for line in filter(None, lines[1:]):
            text.append("\n").append(plain(line), style="dim")
        cells.append(text)
    drawn.add_row(*cells)
    out.print(drawn)
    out.print()


TITLE_ROWS = 2
"""Rows that a title may take under its picture; what is cut off is often what tells it from the next."""


def _fitted(text: str, columns: int) -> list[str]:
    """A title in as many rows as it needs, two at the most."""
    rows = textwrap.wrap(text, columns)
    kept = rows[:TITLE_ROWS] or [""]
    if len(rows) > TITLE_ROWS:
        kept[-1] = kept[-1][: columns - 1] + "…"
    return kept
