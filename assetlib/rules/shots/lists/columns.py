"""Shot lists in columns: what each column holds, by its name and by what stands in it."""

from __future__ import annotations

import itertools
import re
import unicodedata
from collections.abc import Sequence
from statistics import fmean

from assetlib.errors import WrongUsage
from assetlib.rules.shots.lists import kinds, languages
from assetlib.rules.shots.lists.values import Aside, Shot, ShotList

Row = Sequence[str]

# Column and label names as they are met in shot lists: common practice, no source. The first that fits wins.
_NAMES: tuple[tuple[str, str], ...] = (
    ("omit", r"^(?:omit(?:ted)?|status|cut|keep|draw)\??$"),
    ("super", r"super|title|caption|legal|on.?screen text|text on screen|gfx|graphics?"),
    ("voice", r"\bv\.?/?o\.?\b|voice|narrat|dialog|speech|lines?\b|spoken|copy|script$|\btext\b$"),
    ("sound", r"audio|sound|sfx|music|\bfx\b|\bmx\b|\bton\b"),
    (
        "timing",
        r"\bsecs?\b|dur|length|time ?code|\btc\b|tim(?:e|ing)$|^in$|^out$|seconds|count|frames$|run|^est",
    ),
    (
        "note",
        r"note|comment|remark|status|\bok\b|equip|lens|gear|props?|wardrobe|crew|rig|ref|who|cast|talent|"
        r"actor|character|setup time|priority|done|board|day\b.*\bshoot|owner|fps|light",
    ),
    ("spot", r"^(?:spot|film|tvc|commercial|episode)(?: no\.?| #)?$"),
    ("scene", r"^(?:scene|sc|seq(?:uence)?)\.?(?: ?(?:no|number|#|nr)\.?)?$"),
    ("setting", r"int.*ext|^in.{1,6}out(?:side)?$|^i ?/ ?e$|^setting$|interior"),
    ("place", r"loc|place|^set$|where|slug|heading"),
    ("day", r"^(?:when|d ?/ ?n|day ?/ ?night|time of day|tod|day|night)$"),
    ("size", r"size|framing|^frame size|type of shot|shot ?type|^type$|field|^frame$|composition"),
    ("angle", r"angle|\bcam(?:era)?$|^camera (?:angle|position)|view(?:point)?|^pov$|height"),
    ("move", r"move|camera work|^grip|motion|tracking"),
    ("text", r"descr|action|picture|visual|video|image|what|see|content|subject|story|event|happen"),
    (
        "number",
        r"^(?:no|nr|num(?:ber)?|#|n°|id|(?:shot|frame) ?(?:no|nr|#|number|id)\.?|fr|sh|panel|"
        r"setup|set-?up|board ?(?:no|#))\.?$",
    ),
    ("shot", r"^shots?$|^frames?$"),
)

_SHOWN = ("size", "angle", "move", "text")
NOTHING = frozenset(("", "-", "–", "—", "n/a", "na", "none", "x", "tbc", "tbd", "?", "."))
_NUMBER_SHAPE = re.compile(
    r"^(?:shot|sh|frame|fr|scene|sc|#|no\.?)?\s*[A-Za-z]{0,2}\d{1,4}(?:[.\-_/ ]?\d{0,3})?[A-Za-z]{0,2}\.?$",
    re.IGNORECASE,
)
MOST_CELLS = 60
_TABLE_FROM = (
    3  # columns from which a row of one cell stands between the shots, as a band across the table does
)
_HEADER_WITHIN = 40  # rows in which the names of columns are looked for


def role_of(name: str) -> str | None:
    """What a column or label of this name holds; None for a name that says nothing."""
    plain = re.sub(r"[\s_]+", " ", name).strip(" :*").casefold()
    plain = "".join(
        letter for letter in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(letter)
    )
    if not plain:
        return None
    for role, shape in _NAMES + languages.COLUMNS:
        if re.search(shape, plain):
            return role
    return None


def read_rows(rows: Sequence[Row]) -> ShotList:
    """The shots of a table, whatever its columns are called. Raises WrongUsage where no column has shots in it."""
    table = [[_plain(cell) for cell in row[:MOST_CELLS]] for row in rows]
    table = [row for row in table if any(row)]
    filled = [len(row) for row in table]
    width = max((len(row) for row in table), default=0)
    table = [row + [""] * (width - len(row)) for row in table]
    first, roles = _columns(table)
    if "text" not in roles:
        raise WrongUsage(
            "the table has no column of shots",
            "name one column Description, Action or Picture, or save it as text",
        )
    reading = _Reading(_said_again(table[first:], roles))
    lone = {id(row) for row, given in zip(table, filled, strict=True) if given == 1 and width >= _TABLE_FROM}
    for row in table[:first]:
        reading.lone(" ".join(filter(None, row)), before=True)
    for row in table[first:]:
        if not _is_rule(row) and not _repeats_names(row, table[first - 1] if first else []):
            if id(row) in lone:
                reading.lone(row[0])
            else:
                reading.row(row, roles)
    return reading.result()


def _plain(cell: object) -> str:
    return re.sub(r"\s+", " ", "" if cell is None else str(cell)).strip()


def _is_rule(row: Row) -> bool:
    return all(not cell.strip("-=:+_ ") for cell in row)


def _repeats_names(row: Row, names: Row) -> bool:
    return bool(names) and [cell.casefold() for cell in row] == [cell.casefold() for cell in names]


def _columns(table: list[list[str]]) -> tuple[int, list[str | None]]:
    """Where the shots begin, and what each column holds."""
    for place, row in enumerate(table[:_HEADER_WITHIN]):
        named = [role_of(cell) if len(cell.split()) <= 4 and len(cell) <= 30 else None for cell in row]
        if sum(role is not None for role in named) >= 2 and all(len(cell) <= 40 for cell in row):
            return place + 1, _settled(named, _wide(table[place + 1 :]))
    width = len(table[0]) if table else 0
    return 0, _settled([None] * width, _wide(table))


def _wide(rows: list[list[str]]) -> list[list[str]]:
    """Rows of more than a cell: what a column holds is not told by the lines between shots."""
    wide = [row for row in rows if sum(bool(cell) for cell in row) > 1]
    return wide or rows


def _settled(roles: list[str | None], rows: list[list[str]]) -> list[str | None]:
    """The roles with doubtful ones told by what stands in the columns, and one column for the shots themselves."""
    settled = list(roles)
    for column, role in enumerate(roles):
        cells = [row[column] for row in rows if row[column].casefold() not in NOTHING]
        if role == "shot":
            settled[column] = _told_by_cells(cells)
        elif (
            role in (None, "size", "note")
            and cells
            and all(_NUMBER_SHAPE.match(cell) for cell in cells)
            and "number" not in settled
        ):
            settled[column] = "number"
        elif role in ("size", "angle") and cells and fmean(len(cell.split()) for cell in cells) > 6:
            settled[column] = "text"
    if "text" not in settled:
        lengths = {
            column: _words(rows, column)
            for column, role in enumerate(settled)
            if role in (None, "note", "voice")
            and (role is None or not any(r in ("size", "number") for r in settled))
        }
        best = max(lengths, key=lambda column: lengths[column], default=None)
        if best is not None and lengths[best] >= 2:
            settled[best] = "text"
    return settled


def _words(rows: list[list[str]], column: int) -> float:
    return fmean([len(row[column].split()) for row in rows if row[column]] or [0])


def _told_by_cells(cells: list[str]) -> str | None:
    """What a column called *Shot* holds: numbers, sizes, or the shots."""
    if not cells:
        return None
    if sum(bool(_NUMBER_SHAPE.match(cell)) for cell in cells) > len(cells) / 2:
        return "number"
    return "text" if fmean(len(cell.split()) for cell in cells) > 3 else "size"


class _Reading:
    """Rows as they are read: shots found, scene and spot that hold at the moment."""

    def __init__(self, said_again: bool = False) -> None:
        self.said_again = said_again
        self.shots: list[Shot] = []
        self.scenes: list[str] = []
        self.omitted: list[str] = []
        self.asides: list[Aside] = []
        self.heading = self.spot = ""

    def lone(self, text: str, *, before: bool = False) -> None:
        """A row with one text in it: a heading, a spot, a super; before the columns it is a slate."""
        heading, rest = kinds.split_heading(kinds.scene_label(text))
        spot = kinds.spot_of(text)
        if spot is not None:
            self.spot = spot
            self.asides.append(Aside("heading", text))
        elif heading and not rest:
            self.heading = heading
            self.asides.append(Aside("heading", text))
        else:
            self.asides.append(Aside("slate" if before else kinds.aside_kind(text) or "note", text))

    def row(self, row: Row, roles: Sequence[str | None]) -> None:
        """A row of the table: a shot, or one of the lines between shots."""
        cells: dict[str, list[str]] = {}
        for cell, role in zip(row, roles, strict=True):
            if role and cell.casefold() not in NOTHING:
                cells.setdefault(role, []).append(cell)
        number = " ".join(cells.get("number", [])[:1])
        filled = [cell for cell in row if cell.casefold() not in NOTHING]
        text = " ".join(cells.get("text", []))
        self._place(cells)
        if len(filled) == 1 and not number and (not text or self._between(text)):
            self.lone(filled[0])
            return
        labelled = " ".join(cells.get("size", []) + cells.get("number", []))
        if kinds.is_omitted(text) or kinds.is_omitted(labelled) or self._struck(cells):
            self.omitted.append(_number(number) or str(len(self.shots) + len(self.omitted) + 1))
            self.asides.append(Aside("omitted", " ".join(filled)))
        elif not text or kinds.aside_kind(text) or kinds.aside_kind(f"{labelled}:"):
            kind = (kinds.aside_kind(text) if text else None) or kinds.aside_kind(f"{labelled}:") or "note"
            self.asides.append(Aside(kind, " ".join(filled)))
        else:
            self._shot(number, cells)

    @staticmethod
    def _between(text: str) -> bool:
        heading, rest = kinds.split_heading(kinds.scene_label(text))
        return bool(
            kinds.aside_kind(text) or kinds.spot_of(text) or (heading and not rest) or kinds.is_slate(text)
        )

    @staticmethod
    def _struck(cells: dict[str, list[str]]) -> bool:
        said = r"(?i)(?:omit|cut|deleted|dropped|out|no\b)"
        return any(re.match(said, cell) or kinds.is_omitted(cell) for cell in cells.get("omit", []))

    def _place(self, cells: dict[str, list[str]]) -> None:
        if "spot" in cells:
            self.spot = cells["spot"][0].upper()
        place = " ".join(
            cells.get("place", []) or [cell for cell in cells.get("scene", []) if _is_heading(cell)]
        )
        if not place and "setting" not in cells:
            self.heading = "" if self.said_again else self.heading
            return
        heading, _ = kinds.split_heading(place)
        setting = "" if heading else _setting(" ".join(cells.get("setting", [])))
        self.heading = " ".join(filter(None, [setting, place]))
        if "day" in cells:
            self.heading += " - " + cells["day"][0]

    def _shot(self, number: str, cells: dict[str, list[str]]) -> None:
        parts = [cell for role in _SHOWN for cell in cells.get(role, [])]
        heading, rest = kinds.heading_within(parts[-1])
        if heading and rest:
            self.heading, parts[-1] = heading, rest
        if not self.shots or number or "scene" not in cells:
            number = _number(number)
        text = ", ".join(kinds.without_timing(part) for part in parts if part)
        self.shots.append(
            Shot(number or str(len(self.shots) + len(self.omitted) + 1), text, self.heading, self.spot)
        )
        self.scenes.append(_number(cells.get("scene", [""])[0]))

    def result(self) -> ShotList:
        """What was read. Where numbers begin anew with each scene, the scene is part of a shot's number."""
        numbers = [shot.number for shot in self.shots]
        if len(set(numbers)) < len(numbers) and len(set(zip(self.scenes, numbers, strict=True))) == len(
            numbers
        ):
            self.shots = [
                Shot(f"{scene}-{shot.number}" if scene else shot.number, shot.text, shot.heading, shot.spot)
                for scene, shot in zip(self.scenes, self.shots, strict=True)
            ]
        return ShotList(tuple(self.shots), tuple(self.omitted), tuple(self.asides))


def _is_heading(cell: str) -> bool:
    heading, rest = kinds.split_heading(cell)
    return bool(heading) and not rest


def _said_again(rows: Sequence[Row], roles: Sequence[str | None]) -> bool:
    """Whether a table says of every shot where it plays, so that an empty cell says nowhere; else it carries down."""
    for column, role in enumerate(roles):
        cells = [row[column] for row in rows]
        if role == "place" or (role == "scene" and any(map(_is_heading, cells))):
            return any(one and one == other for one, other in itertools.pairwise(cells))
    return False


def _setting(cell: str) -> str:
    """*INT.* or *EXT.*, however a cell says it; *INT/EXT.* as it stands."""
    said = cell.rstrip(".").casefold()
    side = (
        "INT"
        if said in languages.INSIDE
        else "EXT"
        if said in languages.OUTSIDE
        else cell.rstrip(".").upper()
    )
    return f"{side}." if side else ""


def _number(text: str) -> str:
    """A shot's number as it is called: *Shot 5b.* is 5B."""
    words = rf"(?i)^(?:shot|sh|frame|fr|scene|sc|panel|setup|no|{languages.NUMBERS})\b\.?\s*|#"
    plain = re.sub(words, "", text).strip(" .:)")
    plain = re.sub(r"^(\d+)\.0$", r"\1", plain)
    return plain.upper()


def read_labelled(blocks: Sequence[tuple[str, Sequence[tuple[str, str]]]]) -> ShotList:
    """The shots of blocks like *FRAME 1 / Size: WS / Action: …*: a number and labelled lines each."""
    reading = _Reading()
    names = list(dict.fromkeys(label for _, lines in blocks for label, _ in lines))
    roles: list[str | None] = ["number", *(role_of(name) for name in names)]
    if "text" not in roles:
        raise WrongUsage("none of the labels says what is seen", "call it Action, Description or Picture")
    for number, lines in blocks:
        values = dict(lines)
        if re.search(r"(?i)\bomit|\bdeleted|\bcut\b", number):
            clean = _number(re.sub(r"(?i)\W*(?:omit(?:ted)?|deleted|cut)\W*", "", number))
            reading.omitted.append(clean)
            reading.asides.append(Aside("omitted", number))
            continue
        reading.row([_number(number), *(values.get(name, "") for name in names)], roles)
    return reading.result()
