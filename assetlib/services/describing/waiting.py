"""What lies in the in-tray, and what the catalogue holds of each drawing there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Entry, Original, Piece, Version
from assetlib.library import Library
from assetlib.services.bringing.role_doubts import MayBe, doubt_about


@dataclass(frozen=True, slots=True)
class Chip:
    """One suggestion on a key: its words, why, whether it is sure, and whether it was taken just now."""

    key: int
    text: str
    why: str
    sure: bool
    taken: bool


@dataclass(frozen=True, slots=True)
class View:
    """What is shown of the drawing in turn. `place` is its number on its sheet and how many stand there."""

    code: str
    title: str
    is_titled: bool
    """Whether the title is the artist's; else it comes from a file or sheet and is only a stopgap."""
    offered: Chip | None
    """The suggested title, where the drawing has none of its own yet."""
    proof: Path | None
    sheet: str
    place: tuple[int, int] | None
    box: tuple[int, int, int, int] | None
    """Its box in the pixels of its sheet."""
    sheet_size: tuple[int, int] | None
    order: int
    """Its number in the reading order of its sheet, from 1; 0 without one."""
    caption: Path | None
    """The picture of its caption."""
    said: tuple[str, ...]
    chips: tuple[Chip, ...]
    number: int
    waiting: int
    """How many wait, this one among them."""
    described: int
    """How many were described in this sitting."""
    doubt: str = ""
    """What it may be in place of one drawing, and the key or command that makes it that; empty where it is settled."""
    is_again: bool = False
    """Whether it is described already and looked at once more."""

    @property
    def name(self) -> str:
        """What to call it in a sentence: its title, or where it stands."""
        return self.title if self.is_titled or not self.sheet else _place_name(self.sheet, self.order)


@dataclass(frozen=True, slots=True)
class Other:
    """Another drawing beside the one in turn: what it is called, and whether it looks like it."""

    code: str
    name: str
    is_alike: bool


@dataclass(frozen=True, slots=True)
class InTurn:
    """A drawing that waits: its entry, its code, and the entry of the sheet it was cut from."""

    entry_id: int
    code: str
    sheet: int | None


def waiting_drawings(lib: Library, only: Sequence[str]) -> list[InTurn]:
    """Drawings in the in-tray, sheet by sheet in reading order, then as they came in."""
    with lib.reading() as session:
        wanted = {queries.entry(session, code).id for code in only}
        rows = session.execute(
            select(Entry.id, Piece.original_id, Piece.page, Piece.reading_order)
            .join(Version, Version.id == Entry.current_version_id)
            .join(Piece, Piece.cut_id == Version.current_cut_id)
            .where(Entry.role == "element", ~Entry.in_attic, Entry.described_at.is_(None), Piece.ordinal == 0)
        ).all()
        sheets = _sheets(session)
        found = [
            (sheets.get(original), page, order or 0, entry_id) for entry_id, original, page, order in rows
            if not wanted or entry_id in wanted
        ]  # fmt: skip
        found.sort(key=lambda row: (row[0] is None, row[0] or 0, row[1], row[2], row[3]))
        cards = queries.cards(session, [row[3] for row in found])
        return [InTurn(row[3], cards[row[3]].code, row[0]) for row in found]


def _sheets(session: Session) -> dict[int, int]:
    """Entry of the sheet by the original it is the whole of."""
    rows = session.execute(
        select(Piece.original_id, Entry.id)
        .join(Version, Version.current_cut_id == Piece.cut_id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(Entry.role == "sheet", ~Piece.is_part)
    )
    return {row[0]: row[1] for row in rows}


def sheet_of(session: Session, entry_id: int) -> int | None:
    """The entry of the sheet that a drawing was cut from."""
    original = session.scalars(
        select(Piece.original_id)
        .join(Version, Version.current_cut_id == Piece.cut_id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(Entry.id == entry_id, Piece.ordinal == 0)
    ).one()
    return _sheets(session).get(original)


def named(lib: Library, entry_id: int) -> str:
    """What to call a drawing in a sentence: its title, or where it stands."""
    return facts_of(lib, entry_id).name


def drawing(lib: Library, entry_id: int, *, is_alike: bool) -> Other:
    """A drawing beside the one in turn."""
    facts = facts_of(lib, entry_id)
    return Other(facts.code, facts.name, is_alike)


def _place_name(sheet: str, order: int) -> str:
    return f"number {order} of {sheet}" if order else f"a drawing of {sheet}"


def sheet_mates(lib: Library, turn: InTurn) -> list[InTurn]:
    """All drawings of its sheet in reading order, described or not; none without a sheet."""
    if turn.sheet is None:
        return []
    from assetlib.services.choosing import cut_from

    with lib.reading() as session:
        ids = cut_from(session, turn.sheet)
        cards = queries.cards(session, ids)
    return [InTurn(i, cards[i].code, turn.sheet) for i in ids if not cards[i].in_attic]


def order_on_sheet(session: Session, entry_id: int) -> int:
    order = session.scalars(
        select(Piece.reading_order)
        .join(Version, Version.current_cut_id == Piece.cut_id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(Entry.id == entry_id)
    ).one()
    return order or 0


def facts_of(lib: Library, entry_id: int) -> View:
    """What the catalogue holds of a drawing; what depends on the sitting is filled in by the tray."""
    with lib.reading() as session:
        entry = session.get_one(Entry, entry_id)
        card = queries.cards(session, [entry_id])[entry_id]
        assert entry.current is not None
        cut = entry.current.cut
        assert cut is not None
        piece = cut.pieces[0]
        original = session.get_one(Original, piece.original_id)
        sheets = _sheets(session)
        sheet = session.get(Entry, sheets[original.id]) if original.id in sheets else None
        caption = _caption_of(session, cut.id)
        return View(
            code=card.code,
            title=entry.title,
            is_titled=entry.title_source in ("artist", "caption", "layer"),
            proof=lib.inside(lib.derived, card.proof) if card.proof else None,
            sheet=sheet.title if sheet is not None else "",
            order=piece.reading_order or 0 if sheet is not None else 0,
            place=None,
            box=(piece.x, piece.y, piece.w, piece.h) if sheet is not None else None,
            sheet_size=(original.width, original.height) if sheet is not None else None,
            caption=lib.inside(lib.derived, caption) if caption else None,
            offered=None,
            said=(),
            chips=(),
            number=0,
            waiting=0,
            described=0,
            doubt=_doubt_on_screen(entry),
        )


def _doubt_on_screen(entry: Entry) -> str:
    """What a drawing may be, with the key that makes it a sheet; layers are taken apart by a command."""
    doubt = doubt_about(entry)
    if doubt is None:
        return ""
    return f"{doubt.doubt}: {'c cuts it' if entry.may_be == MayBe.SHEET else doubt.mend}"


def _caption_of(session: Session, cut_id: int) -> str | None:
    """Where the picture of a cut's caption is, below derived/; None until it is made."""
    query = (
        select(Derived.path)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == cut_id, Recipe.kind == "caption", Derived.path.is_not(None))
        .order_by(Derived.id.desc())
        .limit(1)
    )
    return session.scalar(query)
