"""Single keys from the terminal, on POSIX and Windows."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

ENTER, ESCAPE, TAB, BACKSPACE, END = "\r", "\x1b", "\t", "\x7f", "\x04"
_BACKSPACES = ("\x7f", "\x08")
_WIPE = "\x15"
ESCAPE_SECONDS = 0.05
"""Seconds after which an escape is the key itself, and no arrow begins (common practice, no source)."""
LONGEST_KEY = 8


def can_read() -> bool:
    """Whether keys can be read: stdin is a terminal."""
    return sys.stdin.isatty()


@contextmanager
def single() -> Iterator[None]:
    """Keys come one by one and unseen while this is open; the terminal is as it was afterwards."""
    if sys.platform == "win32":
        yield
        return
    import termios
    import tty

    before = termios.tcgetattr(sys.stdin)
    try:
        # Draining, not flushing: what was typed ahead is not lost.
        tty.setcbreak(sys.stdin, termios.TCSADRAIN)
        yield
    finally:
        termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)


def read_key() -> str:
    """The next key; arrows and other keys that send several characters are passed over. Ctrl-C interrupts."""
    while True:
        pressed = _pressed()
        if pressed == "\n":
            return ENTER
        if len(pressed) == 1:
            return pressed


def _pressed() -> str:
    if sys.platform == "win32":
        import msvcrt

        key = msvcrt.getwch()
        if key == "\x03":
            raise KeyboardInterrupt
        return key if key not in "\x00\xe0" else key + msvcrt.getwch()
    import os

    first = os.read(sys.stdin.fileno(), 1)
    if not first:
        return END
    if first == b"\x1b":
        return "\x1b" + _waiting().decode("ascii", "replace")
    rest = os.read(sys.stdin.fileno(), _more_bytes(first[0])) if _more_bytes(first[0]) else b""
    return (first + rest).decode("utf-8", "replace")


def _waiting() -> bytes:
    """What comes at once after an escape: the rest of an arrow key, or nothing."""
    import os
    import select

    more = b""
    while select.select([sys.stdin], [], [], ESCAPE_SECONDS)[0] and len(more) < LONGEST_KEY:
        more += os.read(sys.stdin.fileno(), 1)
        if more[-1:].isalpha() or more[-1:] == b"~":
            break
    return more


def _more_bytes(first: int) -> int:
    """How many bytes follow the first of a character in UTF-8 (RFC 3629)."""
    return 3 if first >= 0xF0 else 2 if first >= 0xE0 else 1 if first >= 0xC0 else 0


def read_line(show: Callable[[str], None], text: str, replaced: bool = False) -> tuple[str, str] | None:
    """A line that is typed, and the key that ended it (enter or tab); None when it was given up with escape.

    `show` is told the line after every key. Where it begins with a text that may be `replaced`, a letter as the first
    key takes its place.
    """
    while True:
        show(text)
        key = read_key()
        if replaced and key.isprintable():
            text = ""
        replaced = False
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
