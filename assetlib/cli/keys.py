"""Single keys from the terminal, and a line typed there, on POSIX and Windows."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

ENTER, ESCAPE, TAB, END = "\r", "\x1b", "\t", "\x04"
_BACKSPACES = ("\x7f", "\x08")
_WIPE, _WIPE_WORD, _LINE_START, _LINE_END = "\x15", "\x17", "\x01", "\x05"
_LEFT, _RIGHT, _HOME, _LAST, _DELETE = "left", "right", "home", "end", "delete"
_SEQUENCES = {
    "\x1b[D": _LEFT, "\x1bOD": _LEFT, "\x1b[C": _RIGHT, "\x1bOC": _RIGHT,
    "\x1b[H": _HOME, "\x1bOH": _HOME, "\x1b[1~": _HOME, "\x1b[7~": _HOME,
    "\x1b[F": _LAST, "\x1bOF": _LAST, "\x1b[4~": _LAST, "\x1b[8~": _LAST, "\x1b[3~": _DELETE,
    "\xe0K": _LEFT, "\xe0M": _RIGHT, "\xe0G": _HOME, "\xe0O": _LAST, "\xe0S": _DELETE,
}  # fmt: skip
"""What cursor keys send: ECMA-48 and xterm's control sequences (ctlseqs, PC-style function keys), and the second codes
of Microsoft's _getwch; from memory."""
ESCAPE_SECONDS = 0.05
"""Seconds after which an escape is the key itself, and no arrow begins (common practice, no source)."""
LONGEST_KEY = 8
_CONSOLE = "/dev/tty"
"""The terminal that a command was started from, whatever its input is (POSIX, General Terminal Interface)."""

_from = 0
"""The file that keys are read from while `single` is open."""


def can_read() -> bool:
    """Whether keys can be read: from stdin, or from the terminal beside what is piped in."""
    return sys.stdin.isatty() or _has_console()


def _has_console() -> bool:
    try:
        with open("CONIN$" if sys.platform == "win32" else _CONSOLE, "rb", buffering=0):
            return True
    except OSError:
        return False


@contextmanager
def single() -> Iterator[None]:
    """Keys come one by one and unseen while this is open; the terminal is as it was afterwards."""
    if sys.platform == "win32":
        yield  # msvcrt reads the console itself
        return
    import termios
    import tty

    global _from
    opened = None if sys.stdin.isatty() else os.open(_CONSOLE, os.O_RDONLY)
    _from = sys.stdin.fileno() if opened is None else opened
    before = termios.tcgetattr(_from)
    try:
        # Draining, not flushing: what was typed ahead is not lost.
        tty.setcbreak(_from, termios.TCSADRAIN)
        yield
    finally:
        termios.tcsetattr(_from, termios.TCSADRAIN, before)
        if opened is not None:
            os.close(opened)


def read_key() -> str:
    """The next key; arrows and other keys that send several characters are passed over. Ctrl-C interrupts."""
    while True:
        pressed = _pressed()
        if pressed == "\n":
            return ENTER
        if len(pressed) == 1:
            return pressed


def _pressed() -> str:
    """The next key: a character, or all that a key sends at once."""
    if sys.platform == "win32":
        import msvcrt

        key = msvcrt.getwch()
        if key == "\x03":
            raise KeyboardInterrupt
        return key if key not in "\x00\xe0" else "\xe0" + msvcrt.getwch()
    first = os.read(_from, 1)
    if not first:
        return END
    if first == b"\x1b":
        return "\x1b" + _waiting().decode("ascii", "replace")
    rest = os.read(_from, _more_bytes(first[0])) if _more_bytes(first[0]) else b""
    return (first + rest).decode("utf-8", "replace")


def _waiting() -> bytes:
    """What comes at once after an escape: the rest of an arrow key, or nothing."""
    import select

    more = b""
    while select.select([_from], [], [], ESCAPE_SECONDS)[0] and len(more) < LONGEST_KEY:
        more += os.read(_from, 1)
        if more != b"O" and (more[-1:].isalpha() or more[-1:] == b"~"):
            break
    return more


def _more_bytes(first: int) -> int:
    """How many bytes follow the first of a character in UTF-8 (RFC 3629)."""
    return 3 if first >= 0xF0 else 2 if first >= 0xE0 else 1 if first >= 0xC0 else 0


@dataclass(slots=True)
class Line:
    """A line that is being typed, and before which of its letters the next one comes."""

    text: str
    at: int

    def press(self, key: str) -> None:
        """Change the line by a key; one that means nothing here changes nothing."""
        before, after = self.text[: self.at], self.text[self.at :]
        if key in (_LEFT, _RIGHT):
            self.at = max(0, min(len(self.text), self.at + (1 if key == _RIGHT else -1)))
        elif key in (_HOME, _LINE_START):
            self.at = 0
        elif key in (_LAST, _LINE_END):
            self.at = len(self.text)
        elif key in _BACKSPACES:
            self._put(before[:-1], after)
        elif key == _DELETE:
            self._put(before, after[1:])
        elif key == _WIPE:
            self._put("", "")
        elif key == _WIPE_WORD:
            whole = before.rstrip()
            self._put(whole[: whole.rfind(" ") + 1], after)
        elif len(key) == 1 and key.isprintable():
            self._put(before + key, after)

    def _put(self, before: str, after: str) -> None:
        self.text, self.at = before + after, len(before)


def read_line(show: Callable[[str, int], None], text: str, replaced: bool = False) -> tuple[str, str] | None:
    """A line that is typed, and the key that ended it (enter or tab); None when it was given up: escape or Ctrl-C.

    `show` is told the line and the place of the cursor in it after every key. Where it begins with a text that may be
    `replaced`, a letter as the first key takes its place.
    """
    line = Line(text, len(text))
    try:
        while True:
            show(line.text, line.at)
            pressed = _pressed()
            key = ENTER if pressed == "\n" else _SEQUENCES.get(pressed, pressed)
            if replaced and len(key) == 1 and key.isprintable():
                line = Line("", 0)
            replaced = False
            if key in (ENTER, TAB):
                return line.text, key
            if key in (ESCAPE, END):
                return None
            line.press(key)
    except KeyboardInterrupt:
        return None
