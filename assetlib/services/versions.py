"""Versions as drawn and their cuts: making new ones, and what comes along to them.

A correction makes a new cut: choices go by their place, what was said stays said. Where much of the ink differs, and
at every new version, what was said comes along *to confirm*.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import inspect, or_, select
from sqlalchemy.orm import Session

from assetlib.catalogue.base import Base
from assetlib.catalogue.derived import Derived, FingerprintRow, PairDecision, PairFinding, Recipe, VectorRow
from assetlib.catalogue.entries import BlemishChoice, Cut, Entry, OpeningChoice, Piece, Said, Version
from assetlib.errors import Moved
from assetlib.library import Library

if TYPE_CHECKING:
    from assetlib.imaging.masks import Region

MUCH = 0.1
"""Share of the ink that must differ for what was said to be asked again: ink in one cut but not in both, over the
ink of the cut it was said of (the house rule; no source)."""

REASONS = ("redrawn", "came back altered")
"""Why there is a new version as drawn."""

BY_CHOICES = ("clean copy",)
"""Kinds of derived files that show which openings are open and which blemishes are taken out."""

Openings = dict[tuple[int, int], bool]


@dataclass(frozen=True, slots=True)
class PiecePart:
    """A part of an original, in its oriented pixels."""

    original_id: int
    box: tuple[int, int, int, int]
    page: int = 0
    layer: str | None = None
    resolution: float | None = None
    mask: bytes | None = None
    reading_order: int | None = None


@dataclass(frozen=True, slots=True)
class Pinned:
    """The version and cut of a drawing that somebody looked at, by their keys; equal while nothing has moved."""

    version_id: int
    cut_id: int


def pinned(entry: Entry) -> Pinned:
    """What an entry's drawing is now."""
    cut = current_cut(entry)
    return Pinned(cut.version_id, cut.id)


def refuse_moved(entry: Entry, judged: Pinned) -> None:
    """Raise Moved where a drawing is no longer what was judged."""
    if pinned(entry) != judged:
        what = "redrawn" if entry.current_version_id != judged.version_id else "cut again"
        raise Moved(
            f"{entry.code.code} was {what} since it was looked at; nothing was kept", "run the same once more"
        )


def current_cut(entry: Entry) -> Cut:
    """The cut by which an entry is shown. Every entry on the shelf has one."""
    assert entry.current is not None
    assert entry.current.cut is not None
    return entry.current.cut


def add_version(
    lib: Library,
    session: Session,
    entry: Entry,
    *,
    parts: Iterable[PiecePart],
    ground: str,
    reason: str = "brought in",
    caption_box: Sequence[int] | None = None,
    page_fix: dict[str, Any] | None = None,
) -> Version:
    """A new version as drawn of `entry`, which becomes its current one; what was said of the last comes along."""
    last = session.scalar(
        select(Version).where(Version.entry_id == entry.id).order_by(Version.number.desc()).limit(1)
    )
    version = Version(
        uuid=str(uuid.uuid4()),
        entry_id=entry.id,
        number=last.number + 1 if last else 1,
        made_at=lib.now(),
        reason=reason,
    )
    session.add(version)
    session.flush()
    _put_cut(lib, session, version, list(parts), ground, reason, caption_box=caption_box, page_fix=page_fix)
    before = entry.current
    entry.current = version
    session.flush()
    if before is not None:
        _bring_along(session, before.id, version.id)
    return version


def add_cut(
    lib: Library,
    session: Session,
    version: Version,
    *,
    parts: Iterable[PiecePart],
    reason: str = "cut again",
    caption_box: Sequence[int] | None = None,
    page_fix: dict[str, Any] | None = None,
    ground: str | None = None,
    picture: tuple[int, int] | None = None,
) -> Cut:
    """A correction of how a version is cut, which becomes current: choices carried over by place, answers kept.

    `picture` is the width and height of what its page was made of, wherever the page may have been made otherwise.
    """
    before = version.cut
    assert before is not None
    cut = _put_cut(
        lib, session, version, list(parts), ground or before.ground, reason,
        caption_box=caption_box, page_fix=page_fix,
    )  # fmt: skip
    openings, blemishes = choices(session, before.id)
    _put_choices(session, cut, _moved(openings, before, cut, picture), blemishes)
    _ask_again_where_much_changed(session, version, cut, picture)
    return cut


def _moved(openings: Openings, before: Cut, cut: Cut, picture: tuple[int, int] | None) -> Openings:
    """Openings of one cut in the pixels of another, by their place on the page."""
    was, now = before.pieces[0], cut.pieces[0]
    if picture is None or before.page_fix == cut.page_fix or not openings:
        return {(x + was.x - now.x, y + was.y - now.y): is_open for (x, y), is_open in openings.items()}
    import numpy as np

    from assetlib.imaging.pages.carrying import carried_points
    from assetlib.imaging.pages.fixing import fix_from

    places = np.add(list(openings), (was.x, was.y), dtype=np.float64)
    moved = carried_points(places, fix_from(before.page_fix), fix_from(cut.page_fix), picture)
    inside = np.rint(moved).astype(int) - (now.x, now.y)
    return {(int(x), int(y)): is_open for (x, y), is_open in zip(inside, openings.values(), strict=True)}


def change_choices(
    lib: Library,
    session: Session,
    version: Version,
    openings: Openings,
    blemishes: Iterable[str],
    reason: str,
) -> Cut:
    """The same cut with other openings and blemishes chosen, a new row unless nothing differs.

    What does not depend on choices (proof, looks, what it resembles) is carried over, not made anew.
    """
    before = version.cut
    assert before is not None
    (switched, taken), wanted = choices(session, before.id), set(blemishes)
    if (list(switched.items()), taken) == (list(openings.items()), wanted):
        return before
    parts = [
        PiecePart(p.original_id, (p.x, p.y, p.w, p.h), p.page, p.layer, p.resolution, p.mask, p.reading_order)
        for p in before.pieces
    ]
    cut = _put_cut(
        lib, session, version, parts, before.ground, reason,
        caption_box=before.caption_box, page_fix=before.page_fix,
    )  # fmt: skip
    _put_choices(session, cut, openings, wanted)
    _carry_derived(session, before.id, cut.id)
    return cut


def choices(session: Session, cut_id: int) -> tuple[Openings, set[str]]:
    """The openings switched on a cut, by a pixel inside each, the last said last; the blemishes taken out of it."""
    switched = session.scalars(
        select(OpeningChoice).where(OpeningChoice.cut_id == cut_id).order_by(OpeningChoice.id)
    )
    blemishes = session.scalars(select(BlemishChoice.blemish).where(BlemishChoice.cut_id == cut_id))
    return {(row.x, row.y): row.is_open for row in switched}, set(blemishes)


def _put_cut(
    lib: Library,
    session: Session,
    version: Version,
    parts: list[PiecePart],
    ground: str,
    reason: str,
    *,
    caption_box: Sequence[int] | None,
    page_fix: dict[str, Any] | None,
) -> Cut:
    number = session.scalar(
        select(Cut.number).where(Cut.version_id == version.id).order_by(Cut.number.desc()).limit(1)
    )
    cut = Cut(
        version_id=version.id,
        number=(number or 0) + 1,
        width=max(part.box[2] for part in parts),
        height=max(part.box[3] for part in parts),
        ground=ground,
        page_fix=page_fix,
        caption_box=list(caption_box) if caption_box else None,
        made_at=lib.now(),
        reason=reason,
    )
    cut.pieces = [_piece(ordinal, part) for ordinal, part in enumerate(parts)]
    session.add(cut)
    version.cut = cut
    session.flush()
    return cut


def _piece(ordinal: int, part: PiecePart) -> Piece:
    x, y, w, h = part.box
    return Piece(
        ordinal=ordinal, original_id=part.original_id, page=part.page, layer=part.layer,
        resolution=part.resolution, x=x, y=y, w=w, h=h, mask=part.mask, reading_order=part.reading_order,
    )  # fmt: skip


def _put_choices(session: Session, cut: Cut, openings: Openings, blemishes: Iterable[str]) -> None:
    for (x, y), is_open in openings.items():
        if 0 <= x < cut.width and 0 <= y < cut.height:
            session.add(OpeningChoice(cut_id=cut.id, x=x, y=y, is_open=is_open))
    for name in sorted(blemishes):
        session.add(BlemishChoice(cut_id=cut.id, blemish=name))
    session.flush()


def _carry_derived(session: Session, before: int, after: int) -> None:
    """Copy what was computed of one cut to another that is taken from the same pixels."""
    rows = session.scalars(
        select(Derived)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Derived.cut_id == before, Recipe.kind.not_in(BY_CHOICES))
    )
    for row in (
        *rows,
        *session.scalars(select(FingerprintRow).where(FingerprintRow.cut_id == before)),
        *session.scalars(select(VectorRow).where(VectorRow.cut_id == before)),
    ):
        session.add(_copy(row, cut_id=after))
    for found in session.scalars(
        select(PairFinding).where(or_(PairFinding.a_id == before, PairFinding.b_id == before))
    ):
        session.add(_copy(found, **{"a_id" if found.a_id == before else "b_id": after}))
    session.flush()


def _copy(row: Base, **changed: Any) -> Base:
    """A new row like another, but for its number and what is changed."""
    mapper = inspect(type(row))
    values = {attr.key: getattr(row, attr.key) for attr in mapper.column_attrs if attr.key != "id"}
    return type(row)(**{**values, **changed})


def _said_tables() -> list[type[Any]]:
    return [mapper.class_ for mapper in Base.registry.mappers if issubclass(mapper.class_, Said)]


def _bring_along(session: Session, before: int, after: int) -> None:
    """Put what was said of one version on another as well, to be confirmed."""
    for table in _said_tables():
        for row in session.scalars(select(table).where(table.version_id == before)).all():
            session.add(_copy(row, version_id=after, to_confirm=True))
    for row in session.scalars(
        select(PairDecision).where(or_(PairDecision.a_id == before, PairDecision.b_id == before))
    ).all():
        (mine, my_cut), (other, its_cut) = (row.a_id, row.a_cut_id), (row.b_id, row.b_cut_id)
        if mine != before:
            (mine, my_cut), (other, its_cut) = (other, its_cut), (mine, my_cut)
        (low, low_cut), (high, high_cut) = sorted([(after, my_cut), (other, its_cut)])
        session.add(
            PairDecision(
                a_id=low, b_id=high, a_cut_id=low_cut, b_cut_id=high_cut, to_confirm=True,
                verdict=row.verdict, decided_at=row.decided_at,
            )
        )  # fmt: skip
    session.flush()


def _ask_again_where_much_changed(
    session: Session, version: Version, cut: Cut, picture: tuple[int, int] | None
) -> None:
    """Mark what was said of a cut of this version that looks much unlike the new one."""
    from assetlib.imaging.masks import difference

    known: dict[int, bool] = {}

    def much(said_of: int) -> bool:
        if said_of not in known:
            before, now = _regions(session, said_of, cut, picture), _regions(session, cut.id)
            known[said_of] = difference(before, now) > MUCH
        return known[said_of]

    for table in _said_tables():
        for row in session.scalars(select(table).where(table.version_id == version.id, ~table.to_confirm)):
            row.to_confirm = much(row.cut_id)
    for pair in session.scalars(
        select(PairDecision).where(
            or_(PairDecision.a_id == version.id, PairDecision.b_id == version.id), ~PairDecision.to_confirm
        )
    ):
        pair.to_confirm = much(pair.a_cut_id if pair.a_id == version.id else pair.b_cut_id)
    session.flush()


def _regions(
    session: Session, cut_id: int, now: Cut | None = None, picture: tuple[int, int] | None = None
) -> list[Region]:
    """The regions of a cut, where it says so on the page as it is now."""
    from assetlib.imaging.masks import Region

    rows = session.scalars(select(Piece).where(Piece.cut_id == cut_id).order_by(Piece.ordinal))
    regions = [
        Region((row.original_id, row.page, row.layer), (row.x, row.y, row.w, row.h), row.mask) for row in rows
    ]
    before = session.get_one(Cut, cut_id)
    if now is None or picture is None or before.page_fix == now.page_fix:
        return regions
    from assetlib.imaging.pages.carrying import carried
    from assetlib.imaging.pages.fixing import fix_from

    fixes = fix_from(before.page_fix), fix_from(now.page_fix)
    return [carried(region, *fixes, picture) for region in regions]
