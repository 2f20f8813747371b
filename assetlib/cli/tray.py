"""tag --in-tray: the drawings that wait, one at a time, a key for everything."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.console import Group
from rich.control import Control
from rich.table import Table
from rich.text import Text

from assetlib.cli import keys, render
from assetlib.errors import AssetlibError, WrongUsage

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.describing.tray import Tray
    from assetlib.services.describing.waiting import Chip, Other, View

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


STOPS = "q stops; what was described is kept, and the next sitting goes on here"

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
        render.say(_ended(tray, "nothing of these waits" if only else ""))
        return 0
    with keys.single(), render.out.screen(hide_cursor=True):
        said = _sitting(tray)
    render.say(said)
    return 0


def _sitting(tray: Tray) -> str:
    note = ""
    while not tray.is_empty:
        view = tray.view()
        _draw(view, note)
        key = keys.read_key()
        if key in ("q", keys.END):
            tray.leave()
            left = f"{render.plural(view.described, 'drawing')} described, {view.waiting} left in the in-tray"
            return left + _elsewhere(tray)
        note = STOPS if key == keys.ESCAPE else _one(tray, view, key)
    return _ended(tray, f"{render.plural(tray.described, 'drawing')} described")


def _ended(tray: Tray, done: str) -> str:
    """What is told where nothing is left to go through."""
    if not tray.elsewhere:
        return f"{done}, the in-tray is empty" if done else "the in-tray is empty: everything is described"
    return f"{done}{_elsewhere(tray)}: assetlib tag --in-tray"


def _elsewhere(tray: Tray) -> str:
    return f"; {render.plural(tray.elsewhere, 'other drawing')} waiting elsewhere" if tray.elsewhere else ""


def _one(tray: Tray, view: View, key: str) -> str:
    """Do what a key says; returns what to tell."""
    if key.isdecimal():
        tray.toggle(int(key))
        return ""
    try:
        return _ACTIONS[key](tray, view) if key in _ACTIONS else ""
    except AssetlibError as error:
        return error.sentence


def _asked(view: View, label: str, note: str = "") -> Callable[[str, int], None]:
    """Shows a line while it is typed."""
    return lambda text, at: _draw(view, note, (label, text, at))


def _title(tray: Tray, view: View) -> str:
    line = keys.read_line(_asked(view, "title: "), *_begun(view))
    if line is None:
        return ""
    text, ended = line
    tray.name(text)
    if ended == keys.ENTER and text.strip():
        return _finish(tray, view)
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
    line = keys.read_line(_asked(view, "words: "), "")
    if line is not None:
        tray.add(line[0])
    return ""


def _double(tray: Tray, view: View) -> str:
    alikes = tray.alikes()
    rows = [f"{number} {other.name}  {other.code}" for number, other in enumerate(alikes, 1)]
    shown = "\n".join(["", *rows, *(["these look like it"] if rows else [])])
    label = "double of (a number, or a code): " if rows else "double of (its code; none looks like it): "
    line = keys.read_line(_asked(view, label, shown), "")
    given = line[0].strip() if line is not None else ""
    if not given:
        return ""
    by_number = given.isdecimal() and 1 <= int(given) <= len(alikes)
    other = alikes[int(given) - 1] if by_number else tray.other(given)
    if not _sure_of(view, other, f"a double of “{other.name}”"):
        return "nothing was joined"
    tray.is_double_of(other.code)
    return f"“{other.name}” keeps what was said of both; its double “{view.name}” is in the attic"


def _sure_of(view: View, other: Other, what: str) -> bool:
    """Whether to join it with what does not look like it."""
    if other.is_alike:
        return True
    _draw(view, f"they do not look alike: is “{view.name}” really {what}? y joins them, another key does not")
    return keys.read_key().casefold() == "y"


def _finish(tray: Tray, view: View) -> str:
    view = tray.view()  # with what was typed just now
    titled = _bare(view.offered) if view.offered is not None and view.offered.taken else view.name
    if tray.finish():
        return f"described: {titled}"
    return f"nothing is said of {view.name} yet, so it waits on: t gives it a title, b goes back to it"


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
    what = tray.undo()
    return f"taken back: {what}" if what else "nothing of this sitting to take back"


def _cut(tray: Tray, view: View) -> str:
    _draw(view, "cutting …")
    return f"cut into {render.plural(tray.is_sheet(), 'drawing')}"


def _reference(tray: Tray, view: View) -> str:
    tray.is_reference()
    return f"{view.name} is a reference now"


def _joined(tray: Tray, view: View) -> str:
    last = tray.last_on_sheet()
    if not _sure_of(view, last, f"one drawing with “{last.name}”"):
        return "nothing was joined"
    _draw(view, "cutting its sheet again …")
    tray.belongs_to_last()
    return f"{last.name} and {view.name} are one drawing now"


def _take_sure(tray: Tray, _view: View) -> str:
    tray.take_sure()
    return ""


def _skip(tray: Tray, _view: View) -> str:
    return "left for later; from the first on again" if tray.skip() else "left for later"


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


Asked = tuple[str, str, int]
"""What is being asked, the line as typed so far, and the place of the cursor in it."""


def _draw(view: View, note: str, asked: Asked | None = None) -> None:
    """Write the screen over the last one, from its corner on: clearing it at every key would make it flicker."""
    width, height = render.out.size
    if width < SMALLEST[0] or height < SMALLEST[1]:
        render.out.clear()
        render.out.print("this window is too small for a drawing: make it larger", markup=False)
        return
    render.out.control(Control.home())
    render.out.print(screen(view, note, asked, width, height), end="")


def screen(view: View, note: str, asked: Asked | None, width: int, height: int) -> Group:
    """The whole screen: the picture as large as it fits, beside it the words, below it the keys.

    Rows of a note below its first stand over the keys.
    It fills `width` - 1 columns and `height` - 1 rows, so that nothing of the last screen is left and none scrolls.
    """
    note, *listed = note.split("\n")
    lines = [
        *(Text(row) for row in listed),
        *_key_lines(KEYS + MORE_KEYS if note == ALL_KEYS else KEYS, width - 1),
    ]
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
    told = _typed(*asked, width - 1) if asked else Text(style="dim")
    if note and note != ALL_KEYS:
        told.append(f"   {note}" if asked else note, style="dim not bold")
    for line in (told, *lines):
        line.truncate(width - 1, overflow="ellipsis", pad=True)
    return Group(beside, *caption, told, *lines[:-1], lines[-1])


def _typed(label: str, line: str, at: int, width: int) -> Text:
    """A line that is being typed, its cursor in sight: what does not fit goes out on the left, then on the right."""
    room = max(8, width - cell_len(label) - 2)
    start = 0
    while cell_len(line[start:at]) > room - 1:
        start += 1
    end = len(line)
    while end > at and cell_len(line[start:end]) > room:
        end -= 1
    return Text.assemble(
        (label, "bold"), ("…" if start else "", "dim"), (line[start:at], "bold"), ("▏", "cyan"),
        (line[at:end], "bold"), ("…" if end < len(line) else "", "dim"),
    )  # fmt: skip


@lru_cache(maxsize=4)
def _picture(proof: Path | None, columns: int, rows: int) -> Text:
    return Text("\n").join(render.small_picture(proof, columns, rows))


def _words(view: View, width: int, with_map: bool = True) -> Text:
    """Title first, then what is drawn, then the code; what was suggested looks different from what was said."""
    text = Text()
    text.append(_heading(view, width)).append("\n\n")
    by_offer = view.offered is not None and view.offered.taken  # said by a title that is only suggested
    if view.doubt:
        text.append(view.doubt, style="yellow").append("\n\n")
    style = ("italic" if by_offer else "") if view.said else "dim"
    text.append(", ".join(view.said) if view.said else "nothing said yet", style=style)
    text.append("\n")
    for chip in view.chips:
        if chip != view.offered:  # that is the heading
            text.append("\n").append(_chip(chip, width))
    text.append("\n\n")
    where = f"{view.place[0]} of {view.place[1]} on {view.sheet}" if view.place else ""
    text.append(view.code, style="cyan").append(f"  {where}\n", style="dim")
    if with_map and view.box and view.sheet_size:
        text.append(_map(view.box, view.sheet_size)).append("\n")
    standing = f"described already; {view.waiting} waiting" if view.is_again else ""
    text.append(standing or f"{view.number} of {view.waiting} waiting", style="dim")
    if view.described:
        text.append(f", {view.described} done", style="dim")
    return text


def _heading(view: View, width: int) -> Text:
    """The title, or the one that is suggested, with its key and its reason; a stopgap where there is neither."""
    if view.is_titled:
        return Text(view.title, style="bold")
    if view.offered is not None:
        taken = f", {view.offered.key} drops it" if view.offered.taken else ""
        return Text.assemble(
            (f"{view.offered.key} ", "cyan"), ("■ " if view.offered.taken else "□ ", "dim"),
            (_bare(view.offered), "bold italic" if view.offered.taken else "italic"),
            (f"\n{view.offered.why}; t changes it" + taken, "dim italic"),
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
