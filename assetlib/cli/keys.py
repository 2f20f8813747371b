"""Single keys from the terminal, on POSIX and Windows."""

from __future__ import annotations

import sys
from collections.abc import Callable

ENTER, ESCAPE, TAB, BACKSPACE, END = "\r", "\x1b", "\t", "\x7f", "\x04"
_BACKSPACES = ("\x7f", "\x08")
_WIPE = "\x15"


def can_read() -> bool:
    """Whether keys can be read: stdin is a terminal."""
    return sys.stdin.isatty()


def read_key() -> str:
    """The next key; arrows and other keys that send several characters are passed over. Ctrl-C interrupts."""
    import click

    while True:
        try:
            pressed = click.getchar()
        except EOFError:
            return END
        if pressed == "\n":
            return ENTER
        if len(pressed) == 1:
            return pressed


def read_line(show: Callable[[str], None], text: str) -> tuple[str, str] | None:
    """A line that is typed, and the key that ended it (enter or tab); None when it was given up with escape.

    `show` is told the line after every key.
    """
    while True:
        show(text)
        key = read_key()
        if key in (ENTER, TAB):
            return text, key
        if key in (ESCAPE, END):
            return None
        if key in _BACKSPACES:
            text = text[:-1]
        elif key == _WIPE:
            text = ""
        elif key.isprintable():
            text += key
