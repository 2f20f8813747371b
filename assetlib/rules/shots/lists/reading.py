"""A shot list as plain text: which of its lines are shots."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from assetlib.errors import WrongUsage
from assetlib.rules.shots.lists import aligned, around, columns, kinds
from assetlib.rules.shots.lists.values import Aside, Shot, ShotList

MOST_CHARACTERS = 2_000_000
"""Longest list that is read; a campaign of a hundred films has a tenth of it."""

_COUNTED = re.compile(
    r"^\d+\s*(?:shots?\b|frames\b|boards\b|s\b|d\b|k\b|people|men|women|girls|boys|kids|children|dogs|cars|vans|hands|of\b|x\b|pm\b|am\b)",
    re.IGNORECASE,
)
_WRAPPED_HYPHEN = re.compile(r"(?<=\w)- (?=[a-z])")
_STARRED = re.compile(r"\s{2,}\*+\s*$")  # the mark of a line that a revision changed, at its right
_END_FRAME = re.compile(
    r"^(?:end|final|closing|logo)[\s-]?(?:frame|card|board|plate|slate|title|super)?s?\s*[:\-–—]", re.I
)
_GREETING = re.compile(
    r"^(?:hi|hello|hey|dear|thanks|thank you|cheers|best|regards|see you|kind|let me|please|here (?:are|is)|"
    r"any questions|ps|p\.s\.|sent from|frame is|attached)\b",
    re.IGNORECASE,
)
_DEEP = 12
"""Columns further in than the shots, from which a short line in capitals is the name of who speaks (scripts)."""
_INDENTED = 4
"""The same where what is said stands right under the name, no less far in."""
_GEAR = re.compile(r"^(?:/\s*)?((?:[\w .-]{2,20}/\s*)*[\w .-]{2,20}):\s+(?=\S)")
_LENS = re.compile(r"^\d{1,3}(?:\s?[-–]\s?\d{1,3})?\s?mm$", re.IGNORECASE)


@dataclass(slots=True)
class _Line:
    text: str
    indent: int
    blank_before: bool


def read_text(text: str) -> ShotList:
    """The shots of a list in plain text. Raises WrongUsage where it is endless or none of it is a shot."""
    if len(text) > MOST_CHARACTERS:
        raise WrongUsage(
            f"the list has {len(text):,} characters; the longest that is read has {MOST_CHARACTERS:,}"
        )
    raw = [
        around.unquoted(line)
        for line in around.of_the_mail(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
    ]
    raw = around.of_the_chat(raw)
    rows = around.as_table(raw) or aligned.cells_of(raw)
    if rows is not None:
        return _demanded(columns.read_rows(rows))
    lines = list(_lines(around.without_furniture(around.left_column(raw))))
    blocks = _labelled(lines)
    if blocks is not None:
        return _demanded(columns.read_labelled(blocks))
    return _demanded(_Reader(lines).read())


def _demanded(found: ShotList) -> ShotList:
    if not found.shots and not found.omitted:
        raise WrongUsage(
            "there is no shot in this list",
            "a shot is a line like: 5 INT. VAN, NIGHT - CU, hands on the wheel",
        )
    return found


# --- lines and blocks --------------------------------------------------------------


def _lines(raw: list[str]) -> Iterator[_Line]:
    blank = True
    for line in raw:
        if not line.strip():
            blank = True
            continue
        yield _Line(_STARRED.sub("", line).strip(), len(line) - len(line.lstrip()), blank)
        blank = False


def _labelled(lines: list[_Line]) -> list[tuple[str, list[tuple[str, str]]]] | None:
    """Blocks of labelled lines under numbers that stand alone; None where the list is not made so."""
    blocks: list[tuple[str, list[tuple[str, str]]]] = []
    for line in lines:
        alone = re.match(
            r"(?i)^(?:shot|frame|fr|panel|board|setup)\s*#?\s*\w{1,6}\b\W*(?:\(?\w*\)?\W*)$", line.text
        )
        label = kinds.label_of(line.text)
        if alone and not label:
            blocks.append((line.text, []))
        elif blocks and label and columns.role_of(label[0]):
            blocks[-1][1].append(label)
        elif blocks and blocks[-1][1]:
            name, value = blocks[-1][1][-1]
            blocks[-1][1][-1] = (name, f"{value} {line.text}")
    filled = sum(len(block[1]) >= 2 for block in blocks)
    return blocks if filled >= 2 or (filled and len(blocks) == filled) else None


# --- the list itself ------------------------------------------------------------------


@dataclass(slots=True)
class _Open:
    """A shot that may still go on over the next lines."""

    number: str
    words: list[str]
    indent: int
    heading: str
    spot: str


def _without_lens(text: str) -> str:
    """*/ 35mm / dolly: FS - a gardener* without the lens; what else stood before the colon is said of the shot."""
    found = _GEAR.match(text)
    parts = [part.strip() for part in found.group(1).split("/")] if found else []
    if not found or not any(_LENS.match(part) for part in parts):
        return text
    return ", ".join([*(part for part in parts if part and not _LENS.match(part)), text[found.end() :]])


def _without_its_number(text: str) -> str:
    """A line of a script without its scene's number at the right, where it stands at the left, too."""
    words = text.split()
    return text[: text.rindex(words[-1])].rstrip() if _Reader._ends_in_its_number(text) else text


def _called(number: str) -> str:
    """A number as the shot is called: *Sc.1 Sh.2* is 1-2, *5 b* is 5B."""
    scene = re.match(r"(?i)sc(?:ene)?\.?\s*(\w{1,4}?)\s*[,/:–-]?\s*(?:shot|sh)\.?\s*(\d+[a-z]?)$", number)
    return f"{scene.group(1)}-{scene.group(2)}".upper() if scene else re.sub(r"\s", "", number).upper()


@dataclass(slots=True)
class _Reader:
    lines: list[_Line]
    shots: list[_Open] = field(default_factory=list)
    omitted: list[str] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    heading: str = ""
    spot: str = ""
    pending: str = ""
    """A number that stood before a scene heading alone: the shot under it has it, when it is one shot."""
    open: _Open | None = None
    talking: bool = False
    numbered: bool = False
    bulleted: bool = False
    hanging: int = 0
    """Columns that the whole list stands in from the left."""

    def read(self) -> ShotList:
        """The shots of the lines."""
        self.numbered = self._is_numbered()
        self.bulleted = (
            not self.numbered and sum(bool(kinds.BULLET.match(line.text)) for line in self.lines) >= 2
        )
        self.hanging = min((line.indent for line in self.lines), default=0)
        for place, line in enumerate(self.lines):
            self._line(line, self.lines[place + 1] if place + 1 < len(self.lines) else None)
        return ShotList(tuple(self._finished()), tuple(self.omitted), tuple(self.asides))

    def _is_numbered(self) -> bool:
        found = [line for line in self.lines if self._numbered(line.text)]
        with_text = [line for line in found if not self._heading_alone(line.text)]
        others = [
            line
            for line in self.lines
            if line.blank_before
            and line not in found
            and kinds.is_camera_term(kinds.BULLET.sub("", line.text))
        ]
        return (len(with_text) >= 2 and len(with_text) >= len(others)) or (len(with_text) == 1 and not others)

    def _heading_alone(self, text: str) -> bool:
        heading, rest = kinds.split_heading(self._after_number(_without_its_number(text)))
        return bool(heading) and not rest and self._ends_in_its_number(text)

    @staticmethod
    def _ends_in_its_number(text: str) -> bool:
        words = text.split()
        return len(words) > 2 and words[0].strip(".") == words[-1].strip(".")

    def _numbered(self, text: str) -> re.Match[str] | None:
        found = kinds.NUMBERED.match(kinds.BULLET.sub("", text))
        if not found or _COUNTED.match(text) or kinds.TIMING.match(text):
            return None
        number, word = found.group("number"), found.group("word")
        if number[0].isalpha() and not word and not number[0].isupper() and number[:2] != "sc":
            return None
        return found

    def _after_number(self, text: str) -> str:
        found = self._numbered(text)
        return found.group("text") if found else text

    def _line(self, line: _Line, following: _Line | None) -> None:
        text = line.text
        if self._speaks(line, following):
            self._aside("dialogue", text)
            self.talking = True
            return
        if self.talking and not line.blank_before:
            self._aside("dialogue", text)
            return
        self.talking = False
        spot = kinds.spot_of(text)
        if spot is not None and not self._numbered(text):
            self.spot, self.heading = spot, ""
            self._aside("heading", text)
        elif self._scene(text):
            pass
        elif (found := self._numbered(text)) is not None and self.numbered:
            self._numbered_line(found, line)
        else:
            self._plain_line(line)

    def _speaks(self, line: _Line, following: _Line | None) -> bool:
        """Whether a line is the name over somebody's speech in a script."""
        words = re.sub(r"\([^)]*\)", "", line.text)
        deep = self.hanging + (_INDENTED if following and following.indent >= line.indent else _DEEP)
        return bool(
            following
            and not following.blank_before
            and line.indent >= deep
            and not kinds.is_camera_term(line.text)
            and not (kinds.aside_kind(line.text) or kinds.is_omitted(line.text))
            and words.strip()
            and words == words.upper()
            and len(words.split()) <= 4
            and not self._numbered(line.text)
            and not words.rstrip().endswith(":")
        )

    def _scene(self, text: str) -> bool:
        """Whether a line is a scene heading alone; it holds from here on."""
        numbered = self._numbered(text)
        if numbered and numbered.group("number")[:2].casefold() == "sc":
            return False
        bare = kinds.scene_label(text)
        labelled = bare != text.strip()
        found = None if labelled else self._numbered(_without_its_number(text))
        heading, rest = kinds.split_heading(found.group("text") if found else bare)
        if heading and not rest:
            self.heading = heading
            scene = labelled or (found is not None and self._ends_in_its_number(text))
            self.pending = "" if scene or found is None else _called(found.group("number"))
            self._aside("heading", text)
            return True
        if labelled and kinds.is_omitted(bare):
            self.omitted.append(text.split()[1].strip(".:"))
            self._aside("omitted", text)
            return True
        if labelled and (not bare or bare.isupper()):
            self.heading = bare
            self._aside("heading", text)
            return True
        return False

    def _numbered_line(self, found: re.Match[str], line: _Line) -> None:
        number = _called(found.group("number"))
        text = kinds.without_timing(found.group("text")) if found.group("text") else ""
        if kinds.is_omitted(re.sub(rf"\s+{re.escape(number)}$", "", text)):
            self.omitted.append(number)
            self._aside("omitted", line.text)
        elif text and (kind := kinds.aside_kind(text)) is not None:
            self._aside(kind, line.text)
        else:
            self._begin(number, _without_lens(text), line.indent)

    def _plain_line(self, line: _Line) -> None:
        text = line.text
        bullet = kinds.BULLET.match(text)
        said = text[bullet.end() :] if bullet else text
        kind = kinds.aside_kind(said)
        if kind or kinds.is_slate(said):
            self._aside(kind or "slate", text)
        elif kinds.is_omitted(said):
            self._drop(said)
        elif self.pending:
            self._begin(self.pending, kinds.without_timing(said), line.indent)
            self.pending = ""
        elif self._goes_on(line, bool(bullet)):
            assert self.open is not None
            self.open.words.append(said)
        elif self._is_shot(line, said, bool(bullet)):
            self._begin("", kinds.without_timing(said), line.indent)
        else:
            self._aside("note", text)

    def _drop(self, said: str) -> None:
        found = self._numbered(said)
        number = _called(found.group("number")) if found else str(len(self.shots) + len(self.omitted) + 1)
        if self.open is not None and not self.open.words:
            number = self.shots.pop().number or number
        self.omitted.append(number)
        self._aside("omitted", said)

    def _goes_on(self, line: _Line, bullet: bool) -> bool:
        """Whether a line is the wrapped end of the shot before it."""
        if self.open is None or bullet or line.blank_before:
            return False
        if self.numbered or self.bulleted:
            return True
        last = self.open.words[-1]
        begins = kinds.is_camera_term(line.text) and (
            line.text[0].isupper() or last.endswith((".", "!", "?"))
        )
        return line.indent > self.open.indent or (
            not begins and (line.text[0].islower() or (len(last) > 55 and not last.endswith((".", "!", "?"))))
        )

    def _is_shot(self, line: _Line, said: str, bullet: bool) -> bool:
        if self.numbered:
            # a shot that was slipped in between numbered ones has no number, but it speaks of the camera
            spoken_of = kinds.is_camera_term(said) and not _END_FRAME.match(said)
            return bool(self.shots) and spoken_of and not self._greets(said)
        if self.bulleted:
            return bullet
        if self._greets(said):
            return False
        if kinds.is_camera_term(said) or self.heading:
            return not (said.isupper() and not kinds.is_camera_term(said))
        return not self._is_title(line, said)

    @staticmethod
    def _greets(said: str) -> bool:
        return bool(_GREETING.match(said) and not kinds.is_camera_term(said))

    def _is_title(self, line: _Line, said: str) -> bool:
        """Whether a line is a list's title: the first line in capitals, in quotes, or one that ends with a colon."""
        first = not self.shots and line is self.lines[0]
        alone = len(self.lines) > 1 and self.lines[1].blank_before
        return said.isupper() or said.endswith(":") or bool(re.match(r"^[\"“«']", said)) or (first and alone)

    def _begin(self, number: str, text: str, indent: int) -> None:
        heading, rest = kinds.heading_within(text)
        if heading:
            self.heading, text = heading, rest
        self.open = _Open(number, [text] if text else [], indent, self.heading, self.spot)
        self.pending = ""
        self.shots.append(self.open)

    def _aside(self, kind: str, text: str) -> None:
        self.asides.append(Aside(kind, text))
        if kind in ("heading", "omitted", "slate", "note") or not self.numbered:
            self.open = None

    def _finished(self) -> Iterator[Shot]:
        taken = {shot.number for shot in self.shots if shot.number}
        last = 0
        for shot in self.shots:
            text = _WRAPPED_HYPHEN.sub("-", re.sub(r"\s+", " ", " ".join(shot.words)))
            if not text:
                continue
            number = shot.number
            last += 1
            while not number and str(last) in taken:
                last += 1
            yield Shot(number or str(last), kinds.without_timing(text), shot.heading, shot.spot)
