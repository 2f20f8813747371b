"""What stands around a shot list in plain text: mail, chat, a script's other column, heads and feet of pages."""

from __future__ import annotations

import re
from collections import Counter

from assetlib.rules.shots.lists import kinds, languages

_GUTTER = re.compile(r"\s{3,}")
_VIDEO = re.compile(
    r"^(?P<left>\s*(?:video|picture|visuals?|vision|image|action|frame)s?\b\W*\s*)"
    r"(?P<right>(?:audio|sound|dialog(?:ue)?|voice[- ]?over|v\.?o\.?)\b.*)$",
    re.IGNORECASE,
)
_FEWEST_MESSAGES = 3
_CHAT = re.compile(
    r"^\s*(?:\[[^\]]{3,24}\]|\d[\d/.,: -]{2,20}(?:[ap]\.?m\.?)?,?\s*[-–—]?)\s*"
    r"(?P<who>[^\W\d_][^:\d\[\]]{0,24}):\s+(?P<said>.*)$",
    re.IGNORECASE,
)
"""A message as chats are copied: when, who, what was said."""
_HEARD = ("super", "voice-over", "sound", "transition")


def unquoted(line: str) -> str:
    line = line.expandtabs(8) if "\t" not in line.strip() else line
    return (
        re.sub(r"^(?:> ?)+", "", line).replace("\ufeff", "").replace("\f", "").replace("\u00a0", " ").rstrip()
    )


def of_the_mail(lines: list[str]) -> list[str]:
    """The lines of a mail itself, without what it answers and without its signature (RFC 3676, 4.3).

    Where the list is what is quoted, as in a mail that was passed on, it stays.
    """
    quoted = [line.startswith(">") for line in lines]
    own = [line for line, other in zip(lines, quoted, strict=True) if not other]
    if any(quoted) and sum(map(_begins_a_shot, own)) >= 2:
        lines = [line for line in own if not languages.WROTE.match(line.strip())]
    for place, line in enumerate(lines):
        if line in ("-- ", "--") and sum(map(_begins_a_shot, lines[place + 1 :])) < 2:
            return lines[:place]
    return lines


def _begins_a_shot(line: str) -> bool:
    return bool(kinds.NUMBERED.match(line.strip()) or kinds.BULLET.match(line.strip()))


def of_the_chat(lines: list[str]) -> list[str]:
    """What whoever sent the shots said in a chat; all of a text that is no chat."""
    said = [_message(line) for line in lines if line.strip()]
    if len(said) < _FEWEST_MESSAGES or sum(map(bool, said)) < 0.6 * len(said):
        return lines
    found = [message for message in said if message]
    shots = Counter(
        m["who"] for m in found if kinds.NUMBERED.match(m["said"]) or kinds.is_camera_term(m["said"])
    )
    sender = shots.most_common(1)[0][0] if shots else None
    kept: list[str] = []
    own = True
    for line in lines:
        message = _message(line)
        own = message["who"] == sender if message and sender else own  # a line without a time goes on
        if own:
            kept += ["", message["said"]] if message else [line]
    return kept


def _message(line: str) -> re.Match[str] | None:
    found = _CHAT.match(line)
    if found and (kinds.is_camera_term(found["who"]) or kinds.aside_kind(f"{found['who']}: x") in _HEARD):
        return None  # a time before a shot, or before what is heard
    return found


def as_table(raw: list[str]) -> list[list[str]] | None:
    """The cells of a list drawn with bars or tabs; None where it is no table."""
    for mark in ("|", "\t"):
        barred = [line for line in raw if line.strip(" |").count(mark) >= 2 or line.count(mark) >= 3]
        filled = [line for line in raw if line.strip()]
        if len(barred) >= 2 and len(barred) >= 0.6 * len(filled):
            return [
                [cell.strip() for cell in line.strip().strip("|" if mark == "|" else "").split(mark)]
                for line in filled
            ]
    return None


def left_column(raw: list[str]) -> list[str]:
    """The picture's side of a script in two columns; all of a list that is none."""
    for place, line in enumerate(raw):
        found = _VIDEO.match(line)
        if found and len(found.group("left")) - len(found.group("left").rstrip()) >= 3:
            at = found.start("right")
            return raw[:place] + [_cut_at(line, at) for line in raw[place + 1 :]]
    return raw


def _cut_at(line: str, column: int) -> str:
    """A line's part left of a column, or left of the gap that ends near it."""
    if len(line) <= column - 3:
        return line
    for gap in re.finditer(r"\s{2,}|\t", line):
        if gap.end() >= column - 6 and gap.start() <= column + 2:
            return line[: gap.start()]
    left = line[:column].rstrip()
    return left if line[:column].endswith("  ") or not line[column - 1 : column].strip() else line


def without_furniture(raw: list[str]) -> list[str]:
    """The lines without heads and feet of pages: what comes again and again but for its figures."""
    shapes = Counter(_shape(line) for line in raw if line.strip())
    return [
        line
        for line in raw
        if not (
            shapes[_shape(line)] > 1
            and (_GUTTER.search(line.strip()) or re.search(r"(?i)\bpage\b|\d+ ?/ ?\d+$", line))
            and not kinds.NUMBERED.match(line.strip())
        )
        and not re.search(r"(?i)\bpage \d+ ?(?:of|/) ?\d+\b", line)
    ]


def _shape(line: str) -> str:
    return re.sub(r"\d+", "#", re.sub(r"\s+", " ", line.strip())).casefold()
