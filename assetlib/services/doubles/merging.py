"""Making one entry of two doubles: which is kept, and what it takes over from the other.

The other goes to the attic with everything it was; nothing is deleted, and undo brings it back.
Uses stay on the version they were made from.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.derived import PairFinding
from assetlib.catalogue.entries import Arrival, Entry, Original, Piece
from assetlib.catalogue.facets import add_facet, facets_of
from assetlib.catalogue.fulltext import refresh_text
from assetlib.catalogue.offers import find_offer
from assetlib.catalogue.trade import CollectionItem, OriginAnswer
from assetlib.catalogue.words import MirrorGuard, Suggestion, Tag
from assetlib.imaging.doubles.confirming import are_one
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.rights.clearance import weigh
from assetlib.services.doubles import settling
from assetlib.services.pictures import picture_plan
from assetlib.services.trade import clearance
from assetlib.services.versions import Pinned, current_cut, pinned

SAFE = (DoubleKind.SAME_FILE, DoubleKind.SAME_PICTURE)
"""What may be merged unasked."""

LOSSLESS = ("PNG", "TIFF", "BMP", "GIF", "PSD", "PSB", "OpenRaster", "SVG", "PDF")
"""Formats that keep every pixel; WebP, AVIF and HEIC may or may not, and count as lossy."""

LARGER = 1.1
"""How many times the pixels a drawing must have to count as larger; less is padding."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Which of two doubles is kept, and why."""

    keep: str
    drop: str
    why: str
    judged: tuple[Pinned, Pinned]
    """What the two were when it was chosen."""


@dataclass(frozen=True, slots=True)
class Merged:
    """Two entries made one, or left as they were for a reason."""

    keep: str
    drop: str
    why: str
    left: str | None = None
    """Why they were not merged."""


@dataclass(frozen=True, slots=True)
class _Worth:
    """What decides which of two is kept."""

    layers: int
    pixels: int
    lossless: bool
    described: bool
    transparent: bool
    age: int


def choose(lib: Library, first: str, second: str) -> Choice:
    """Which of two doubles to keep: layered before flat, larger, lossless, described, transparent, older.

    A flipped copy is often made larger for its paste-up, so of a mirrored pair size says nothing.
    """
    with lib.reading() as session:
        a, b = settling.two_entries(session, first, second)
        one, other = _worth(session, a), _worth(session, b)
        reasons = (
            ("it has layers", one.layers > 1, other.layers > 1),
            *(() if _is_mirrored(session, a, b) else (_larger(one, other),)),
            ("it is stored without loss", one.lossless, other.lossless),
            ("it is described", one.described, other.described),
            ("its ground is transparent", one.transparent, other.transparent),
        )
        for why, mine, theirs in reasons:
            if mine != theirs:
                return _choice(*((a, b) if mine else (b, a)), why)
        return _choice(*((a, b) if one.age < other.age else (b, a)), "it was there first")


def _larger(one: _Worth, other: _Worth) -> tuple[str, bool, bool]:
    return "it is larger", one.pixels > LARGER * other.pixels, other.pixels > LARGER * one.pixels


def _is_mirrored(session: Session, a: Entry, b: Entry) -> bool:
    """Whether one of two drawings was found to be the other mirrored."""
    cuts = [current_cut(a).id, current_cut(b).id]
    found = session.scalars(select(PairFinding).where(PairFinding.a_id.in_(cuts), PairFinding.b_id.in_(cuts)))
    return any("mirrored" in finding.how for finding in found)


def _choice(keep: Entry, drop: Entry, why: str) -> Choice:
    return Choice(keep.code.code, drop.code.code, why, (pinned(keep), pinned(drop)))


def merge(
    lib: Library,
    keep: str,
    drop: str,
    why: str = "chosen",
    *,
    judged: tuple[Pinned, Pinned] | None = None,
) -> Merged:
    """Keep one of two doubles; the other goes to the attic and leaves it its words, collections and origin.

    The verdict on the origin is never better afterwards than the worse of the two: what the other says comes along
    to be confirmed. Raises Moved where they are no longer what was `judged`.
    """
    with lib.transaction(f"doubles: {drop} into {keep}") as session:
        kept, dropped = settling.two_entries(session, keep, drop, judged)
        _merge(lib, session, kept, dropped)
        return Merged(kept.code.code, dropped.code.code, why)


def merge_safely(lib: Library, *, dry_run: bool = False, progress: Progress = SILENT) -> list[Merged]:
    """Merge what is the same file or the same picture beyond doubt, never across different origins.

    Every pair is looked at once more in full; what leaves a doubt stays two and is told.
    With `dry_run` it is only told. Everything is one step, so that one undo takes all of it back.
    """
    asked = [pair for pair in settling.pairs(lib, kinds=SAFE) if pair.undecided]
    gone: dict[str, str] = {}
    done: list[Merged] = []
    step = None
    for pair in progress.track(asked, "merging", len(asked)):
        first, second = _now(gone, str(pair.a.code)), _now(gone, str(pair.b.code))
        if first == second:
            continue
        choice = choose(lib, first, second)
        left = _hindrance(lib, choice)
        if left is None and not dry_run:
            step = step or lib.new_step("doubles: the same pictures merged")
            with lib.transaction(step) as session:
                kept, dropped = settling.two_entries(session, choice.keep, choice.drop, choice.judged)
                _merge(lib, session, kept, dropped)
        if left is None:
            gone[choice.drop] = choice.keep
        done.append(Merged(choice.keep, choice.drop, choice.why, left))
    return done


def skip_new(lib: Library, pairs: Iterable[settling.Pair], new: Collection[str]) -> list[Merged]:
    """Put every new drawing of these pairs into the attic, merged into the one that was there; one step."""
    gone: dict[str, str] = {}
    done = []
    step = None
    for pair in pairs:
        first, second = _now(gone, str(pair.a.code)), _now(gone, str(pair.b.code))
        keep, drop = (first, second) if second in new else (second, first)
        if keep == drop or drop not in new:
            continue
        step = step or lib.new_step("doubles: new drawings skipped")
        with lib.transaction(step) as session:
            _merge(lib, session, *settling.two_entries(session, keep, drop), fresh=True)
        gone[drop] = keep
        done.append(Merged(keep, drop, "it was there first"))
    return done


def _now(gone: dict[str, str], code: str) -> str:
    """The code that a drawing goes by after what was merged so far."""
    while code in gone:
        code = gone[code]
    return code


def _hindrance(lib: Library, choice: Choice) -> str | None:
    """Why two may not be merged unasked."""
    with lib.reading() as session:
        kept, dropped = settling.two_entries(session, choice.keep, choice.drop, choice.judged)
        if kept.role != dropped.role:
            return f"one is a {kept.role}, the other a {dropped.role}"
        if _origin(session, kept) != _origin(session, dropped):
            return "their origins are answered differently"
        plans = tuple(picture_plan(lib, session, current_cut(entry).id) for entry in (kept, dropped))
    looked = call_supervised(
        are_one,
        plans,
        **lib.settings.limits(),
    )
    return looked.reason if looked.failed else None if looked.value else "a close look leaves a doubt"


def _origin(session: Session, entry: Entry) -> set[tuple[object, ...]]:
    rows = session.scalars(select(OriginAnswer).where(OriginAnswer.version_id == entry.current_version_id))
    return {(row.question, row.value, row.whose, str(row.evidence), row.to_confirm) for row in rows}


def _worth(session: Session, entry: Entry) -> _Worth:
    original = session.scalars(
        select(Original)
        .join(Piece, Piece.original_id == Original.id)
        .where(Piece.cut_id == current_cut(entry).id)
        .order_by(Piece.ordinal)
    ).first()
    cut = current_cut(entry)
    assert original is not None
    return _Worth(
        len(original.layers),
        cut.width * cut.height,
        original.format in LOSSLESS,
        entry.described_at is not None,
        cut.ground == "transparent",
        entry.id,
    )


def _merge(lib: Library, session: Session, kept: Entry, dropped: Entry, *, fresh: bool = False) -> None:
    """Make one of two. `fresh` is a drawing that has only just come in: where nothing was said of it yet, that is
    no reason to ask again what was said of the one that was there."""
    if not fresh or _answers(session, dropped):
        _carry_origin(session, kept, dropped, lib.now().date())
    _carry_words(session, kept, dropped)
    _carry_collections(session, kept, dropped)
    for arrival in session.scalars(select(Arrival).where(Arrival.entry_id == dropped.id)):
        arrival.entry_id = kept.id
    if kept.title_source != "artist" and dropped.title_source == "artist":
        kept.title, kept.title_source = dropped.title, dropped.title_source
    kept.described_at = kept.described_at or dropped.described_at
    dropped.in_attic = True
    settling.note_decision(lib, session, kept, dropped, "merged")
    session.flush()
    refresh_text(session, [kept.id, dropped.id])


def _carry_origin(session: Session, kept: Entry, dropped: Entry, today: dt.date) -> None:
    """Put what is said of the other beside what is said of the kept one, so that the worse verdict stands.

    An answer that both have stays as it is worse: without the paper that only one has. What only the other has, and
    what only the kept one has, is to be confirmed: they are one drawing now.
    """
    if _origin(session, kept) == _origin(session, dropped):
        return
    mine, theirs = _answers(session, kept), _answers(session, dropped)
    for key, row in theirs.items():
        if key not in mine:
            session.add(_taken_over(row, kept.current_version_id))
        elif _weight(session, row, today) > _weight(session, mine[key], today):
            mine[key].evidence, mine[key].to_confirm = list(row.evidence), row.to_confirm
    for key, row in mine.items():
        if key not in theirs:
            row.to_confirm = True
    session.flush()


def _answers(session: Session, entry: Entry) -> dict[tuple[str, str], OriginAnswer]:
    rows = session.scalars(select(OriginAnswer).where(OriginAnswer.version_id == entry.current_version_id))
    return {(row.question, row.value): row for row in rows}


def _weight(session: Session, row: OriginAnswer, today: dt.date) -> int:
    """How far one answer stands in the way of a sale."""
    return weigh(clearance.answer_from(session, row), today).state.weight


def _taken_over(row: OriginAnswer, version_id: int | None) -> OriginAnswer:
    """An answer on a drawing that took another one over; it names the cut that it was said of."""
    return OriginAnswer(
        version_id=version_id, cut_id=row.cut_id, to_confirm=True, question=row.question, value=row.value,
        whose=row.whose, reference_id=row.reference_id, evidence=list(row.evidence), note=row.note,
        answered_at=row.answered_at,
    )  # fmt: skip


def _carry_words(session: Session, kept: Entry, dropped: Entry) -> None:
    """Tags and facets that the kept one lacks; of a facet that it has it keeps its own value.

    A mirror guard that comes along is to be confirmed.
    """
    tags = {tag.concept_id for tag in session.scalars(select(Tag).where(Tag.entry_id == kept.id))}
    for tag in session.scalars(select(Tag).where(Tag.entry_id == dropped.id)).all():
        if tag.concept_id not in tags:
            session.add(
                Tag(
                    entry_id=kept.id, concept_id=tag.concept_id, source=tag.source, state=tag.state,
                    made_at=tag.made_at,
                )
            )  # fmt: skip
    mine, theirs = (facets_of(session, [entry.id])[entry.id] for entry in (kept, dropped))
    facets = {row.facet for row in mine}
    for row in theirs:
        if row.facet not in facets:
            add_facet(
                session, kept.id, row.facet, row.value, source=row.source, state=row.state, made_at=row.made_at,
                said_of=row.cut_id if isinstance(row, MirrorGuard) else None,
            )  # fmt: skip
    _carry_suggestions(session, kept, dropped)
    session.flush()


def _carry_suggestions(session: Session, kept: Entry, dropped: Entry) -> None:
    """What was left on the other stays left; what is offered for it is offered for the kept one, but for its title."""
    for row in session.scalars(select(Suggestion).where(Suggestion.entry_id == dropped.id)).all():
        is_kept = row.state == "left" or (row.state == "offered" and row.facet != "title")
        if is_kept and find_offer(session, kept.id, (row.facet, row.value)) is None:
            session.add(
                Suggestion(
                    entry_id=kept.id, facet=row.facet, value=row.value, recipe=row.recipe, why=row.why,
                    confidence=row.confidence, state=row.state, offered_at=row.offered_at,
                    settled_at=row.settled_at,
                )
            )  # fmt: skip


def _carry_collections(session: Session, kept: Entry, dropped: Entry) -> None:
    """The kept one takes the other's place in collections that it is not in."""
    there = set(
        session.scalars(select(CollectionItem.collection_id).where(CollectionItem.entry_id == kept.id))
    )
    for item in session.scalars(select(CollectionItem).where(CollectionItem.entry_id == dropped.id)).all():
        if item.collection_id in there:
            session.delete(item)
        else:
            item.entry_id = kept.id
    session.flush()
