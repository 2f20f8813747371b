"""tag --in-tray: the drawings that wait, one at a time, a key for everything."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Group
from rich.control import Control
from rich.table import Table
from rich.text import Text

from assetlib.cli import keys, render
from assetlib.errors import AssetlibError, WrongUsage

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.describing.tray import Tray
    from assetlib.services.describing.waiting import Chip, View

SIDE, SIDE_SHARE = 36, 0.36
"""Columns of words beside the picture, at the least, and the share of a wide terminal that they have."""

CAPTION_ROWS = 4
"""Rows of a caption's picture: letters can be read from about six points up, and a row has two."""

CAPTION_FROM = 22
"""Rows of a terminal from which there is room for a caption beside all else."""

MAP_ROWS = 5
"""Rows of the little map of a sheet."""

SMALLEST = (60, 16)
"""Columns and rows of the smallest terminal in which a drawing can be judged."""

KEYS = (
    ("t", "title"), ("1-8", "take, let go"), ("enter", "done, next"), ("space", "later"), ("b", "back"),
    ("u", "undo"), ("q", "stop"), ("?", "more keys"),
)  # fmt: skip
MORE_KEYS = (
    ("+", "take the sure ones"), ("w", "words of your own"), ("a", "give what was taken to its sheet"),
    ("n", "to the next few"), ("k", "to its look-alikes"), ("c", "it is a sheet: cut it"), ("r", "it is a reference"),
    ("j", "it is one drawing with the last"), ("d", "it is a double of another"),
)  # fmt: skip


ALL_KEYS = "?"
"""Told instead of a sentence where all keys are to be shown."""


def go_through(lib: Library, only: Sequence[str] = ()) -> int:
    """Go through the in-tray, or these drawings of it, until it is empty or the artist stops.

    Raises WrongUsage without a terminal.
    """
    from assetlib.services.describing.tray import Tray

    if not keys.can_read() or not render.out.is_terminal:
        raise WrongUsage(
            "the in-tray wants a terminal with keys", "tag from a script with: assetlib tag CODE --add …"
        )
    tray = Tray(lib, only=only)
    if tray.is_empty:
        render.say("the in-tray is empty: everything is described")
        return 0
    with keys.single(), render.out.screen(hide_cursor=True):
        said = _sitting(tray)
    render.say(said)
    return 0


def _sitting(tray: Tray) -> str:
    note = ""
    done = 0
    while not tray.is_empty:
        view = tray.view()
        done = view.described
        _draw(view, note)
        key = keys.read_key()
        if key in ("q", keys.ESCAPE, keys.END):
            tray.leave()
            return f"{render.plural(done, 'drawing')} described, {view.waiting} left in the in-tray"
        note = _one(tray, view, key)
    return f"{render.plural(done + 1, 'drawing')} described, the in-tray is empty"


def _one(tray: Tray, view: View, key: str) -> str:
    """Do what a key says; returns what to tell."""
    if key.isdecimal():
        tray.toggle(int(key))
        return ""
    try:
        return _ACTIONS[key](tray, view) if key in _ACTIONS else ""
    except AssetlibError as error:
        return error.sentence


def _title(tray: Tray, view: View) -> str:
    line = keys.read_line(lambda text: _draw(view, "", ("title: ", text)), *_begun(view))
    if line is None:
        return ""
    text, ended = line
    tray.name(text)
    if ended == keys.ENTER and text.strip():
        tray.finish()
        return f"described: {text.strip()}"
    return ""


def _begun(view: View) -> tuple[str, bool]:
    """The title to go on typing from, and whether it is a suggestion, which the first letter replaces."""
    if view.is_titled or view.offered is None:
        return (view.title if view.is_titled else ""), False
    return _bare(view.offered), True


def _bare(chip: Chip) -> str:
    """A suggested title without what it is called among the other suggestions."""
    return chip.text.removeprefix("title: ")


def _word(tray: Tray, view: View) -> str:
    line = keys.read_line(lambda text: _draw(view, "", ("words: ", text)), "")
    if line is not None:
        tray.add(line[0])
    return ""


def _double(tray: Tray, view: View) -> str:
    line = keys.read_line(lambda text: _draw(view, "", ("double of (its code): ", text)), "")
    if line is None or not line[0].strip():
        return ""
    tray.is_double_of(line[0].strip())
    return f"{view.code} is in the attic; {line[0].strip().upper()} keeps what was said of both"


def _finish(tray: Tray, view: View) -> str:
    tray.finish()
    return f"described: {view.title}"


def _next_few(tray: Tray, view: View) -> str:
    _draw(view, "to how many of the next? 1-9")
    key = keys.read_key()
    if not key.isdecimal() or key == "0":
        return ""
    return _given(tray, tray.give_to_next(int(key)), "no other drawing waits")


def _given(tray: Tray, count: int, others: str) -> str:
    if not tray.has_words:
        return "nothing was taken yet that could be given"
    return f"given to {render.plural(count, 'drawing')}" if count else others


def _undo(tray: Tray, _view: View) -> str:
    return "taken back" if tray.undo() else "nothing of this sitting to take back"


def _cut(tray: Tray, view: View) -> str:
    _draw(view, "cutting …")
    return f"cut into {render.plural(tray.is_sheet(), 'drawing')}"


def _reference(tray: Tray, view: View) -> str:
    tray.is_reference()
    return f"{view.code} is a reference now"


def _joined(tray: Tray, view: View) -> str:
    _draw(view, "cutting its sheet again …")
    tray.belongs_to_last()
    return "the two are one drawing now"


def _take_sure(tray: Tray, _view: View) -> str:
    tray.take_sure()
    return ""


def _skip(tray: Tray, _view: View) -> str:
    tray.skip()
    return "left for later"


def _back(tray: Tray, _view: View) -> str:
    tray.back()
    return ""


_Action = Callable[["Tray", "View"], str]
_ACTIONS: dict[str, _Action] = {
    keys.ENTER: _finish,
    "?": lambda _tray, _view: ALL_KEYS,
    "+": _take_sure,
    "t": _title,
    "w": _word,
    " ": _skip,
    "s": _skip,
    "b": _back,
    "u": _undo,
    "a": lambda tray, view: _given(tray, tray.give_to_sheet(), "no other drawing of its sheet waits"),
    "n": _next_few,
    "k": lambda tray, view: _given(tray, tray.give_to_kin(), "no other that waits looks like it"),
    "c": _cut,
    "r": _reference,
    "j": _joined,
    "d": _double,
}


# --- the screen ---------------------------------------------------------------------------


def _draw(view: View, note: str, asked: tuple[str, str] | None = None) -> None:
    """Write the screen over the last one, from its corner on: clearing it at every key would make it flicker."""
    width, height = render.out.size
    if width < SMALLEST[0] or height < SMALLEST[1]:
        render.out.clear()
        render.out.print("this window is too small for a drawing: make it larger", markup=False)
        return
    render.out.control(Control.home())
    render.out.print(screen(view, note, asked, width, height), end="")


def screen(view: View, note: str, asked: tuple[str, str] | None, width: int, height: int) -> Group:
    """The whole screen: the picture as large as it fits, beside it the words, below it the keys.

    It fills `width` - 1 columns and `height` - 1 rows, so that nothing of the last screen is left and none scrolls.
    """
    lines = _key_lines(KEYS + MORE_KEYS if note == ALL_KEYS else KEYS, width - 1)
    caption = _caption(view.caption, width - 1) if view.caption and height >= CAPTION_FROM else []
    rows = height - len(lines) - 2 - len(caption)
    side = max(SIDE, round(width * SIDE_SHARE))
    columns = max(24, min(width - side - 2, rows * 2 + rows // 2))
    side = width - columns - 3
    beside = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, show_header=False)
    beside.add_column(width=columns)
    beside.add_column(width=side, overflow="fold")
    words = list(_words(view, side).wrap(render.out, side))
    if len(words) > rows:  # where it stands on its sheet is what can be done without
        words = list(_words(view, side, with_map=False).wrap(render.out, side))[:rows]
    beside.add_row(_picture(view.proof, columns, rows), Text("\n").join(words))
    told = Text(f"{asked[0]}{asked[1]}▏", style="bold") if asked else Text(style="dim")
    if note and note != ALL_KEYS:
        told.append(f"   {note}" if asked else note, style="dim not bold")
    for line in (told, *lines):
        line.truncate(width - 1, overflow="ellipsis", pad=True)
    return Group(beside, *caption, told, *lines[:-1], lines[-1])


@lru_cache(maxsize=4)
def _picture(proof: Path | None, columns: int, rows: int) -> Text:
    return Text("\n").join(render.small_picture(proof, columns, rows))


def _words(view: View, width: int, with_map: bool = True) -> Text:
    """Title first, then what is drawn, then the code; what was suggested looks different from what was said."""
    text = Text()
    text.append(_heading(view, width)).append("\n\n")
    text.append(", ".join(view.said) if view.said else "nothing said yet", style="" if view.said else "dim")
    text.append("\n")
    for chip in view.chips:
        if chip != view.offered:  # that is the heading
            text.append("\n").append(_chip(chip, width))
    text.append("\n\n")
    where = f"{view.place[0]} of {view.place[1]} on {view.sheet}" if view.place else ""
    text.append(view.code, style="cyan").append(f"  {where}\n", style="dim")
    if with_map and view.box and view.sheet_size:
        text.append(_map(view.box, view.sheet_size)).append("\n")
    text.append(f"{view.number} of {view.waiting} waiting", style="dim")
    if view.described:
        text.append(f", {view.described} done", style="dim")
    return text


def _heading(view: View, width: int) -> Text:
    """The title, or the one that is suggested, with its key and its reason; a stopgap where there is neither."""
    if view.is_titled:
        return Text(view.title, style="bold")
    if view.offered is not None:
        return Text.assemble(
            (f"{view.offered.key} ", "cyan"), ("□ ", "dim"), (_bare(view.offered), "italic"),
            (f"\n{view.offered.why}; t to change it", "dim italic"),
        )  # fmt: skip
    stopgap = "no title yet" if view.place else view.title
    return Text.assemble((stopgap, "dim italic"), ("\nt to give it one", "dim"))


def _map(box: tuple[int, int, int, int], size: tuple[int, int]) -> Text:
    """Where a drawing stands on its sheet, a few rows of points."""
    columns = max(4, round(MAP_ROWS * 2 * size[0] / size[1]))
    x, y, w, h = box
    text = Text()
    for row in range(MAP_ROWS):
        for column in range(columns):
            left, top = column * size[0] / columns, row * size[1] / MAP_ROWS
            right, bottom = left + size[0] / columns, top + size[1] / MAP_ROWS
            inside = x < right and left < x + w and y < bottom and top < y + h
            text.append("■" if inside else "·", style="cyan" if inside else "dim")
        text.append("\n")
    text.right_crop(1)
    return text


def _chip(chip: Chip, width: int) -> Text:
    line = Text(no_wrap=True, overflow="ellipsis")
    line.append(f"{chip.key} ", style="cyan")
    line.append("■ " if chip.taken else "□ ", style="bold" if chip.taken else "dim")
    line.append(chip.text, style="bold" if chip.taken else "italic")
    if not chip.taken:
        line.append(" +" if chip.sure else "", style="cyan")
        line.append(f"  {chip.why}", style="dim italic")
    line.truncate(width, overflow="ellipsis")
    return line


@lru_cache(maxsize=4)
def _caption(path: Path, columns: int) -> list[Text]:
    """The picture of a caption across the screen, as large as its rows allow; its last row is bare."""
    from PIL import Image

    try:
        with Image.open(path) as picture:
            shown = picture.convert("RGB")
    except OSError:
        return []
    # A cell is twice as high as wide.
    wide = min(columns, max(1, round(2 * CAPTION_ROWS * shown.width / shown.height)))
    lines = render.picture_cells(shown, wide, CAPTION_ROWS)
    return [*(line.append(" " * (columns - wide)) for line in lines), Text(" " * columns)]


def _key_lines(named: Sequence[tuple[str, str]], width: int) -> list[Text]:
    lines = [Text()]
    for key, what in named:
        part = Text.assemble((key, "cyan"), " ", (what, "dim"))
        if lines[-1].cell_len + part.cell_len + 3 > width:
            lines.append(Text())
        if lines[-1].cell_len:
            lines[-1].append("   ")
        lines[-1].append(part)
    return lines
