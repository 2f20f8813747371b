"""Reads that several rooms share. They return plain values or entries by code, never half-loaded rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import find_code
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import ROLES, Arrival, Code, Entry, Original, Piece, Version
from assetlib.catalogue.session import SQL_CHUNK
from assetlib.catalogue.words import LIVE_STATES, Facet, Label, Tag
from assetlib.errors import NotFound


@dataclass(frozen=True, slots=True)
class Card:
    """What a list or page shows of one entry."""

    id: int
    code: str
    uuid: str
    role: str
    title: str
    source: str
    """The path that was brought in, the first one where there were several."""
    original: str
    """SHA-256 of the first original it is made of."""
    proof: str | None
    """Path of the proof below derived/, with forward slashes."""
    tags: tuple[str, ...] = ()
    facets: dict[str, tuple[str, ...]] = field(default_factory=dict)
    suggested: tuple[str, ...] = ()
    """Tags that wait to be taken or left."""
    in_attic: bool = False


def entry(session: Session, given: str, roles: tuple[str, ...] = ROLES) -> Entry:
    """The entry whose code or UUID `given` is or begins; raises NotFound or AmbiguousCode."""
    if len(given) == 36 and given.count("-") == 4:
        found = session.scalar(select(Entry).where(Entry.uuid == given.lower()))
    else:
        found = session.get(Entry, find_code(session, given, ROLES).id)
    if found is None:
        raise NotFound(f"'{given}' is no longer in the library", "its bringing-in was undone")
    if found.role not in roles:
        raise NotFound(f"{found.code.code} is a {found.role}, not {_a(roles)}")
    return found


def _a(roles: tuple[str, ...]) -> str:
    return " or ".join(f"an {role}" if role[0] in "aeiou" else f"a {role}" for role in roles)


def chunks(ids: Sequence[int]) -> Iterable[Sequence[int]]:
    """The ids in lists short enough for one IN."""
    return (ids[start : start + SQL_CHUNK] for start in range(0, len(ids), SQL_CHUNK))


def cards(session: Session, ids: Iterable[int]) -> dict[int, Card]:
    """The cards of these entries by id."""
    wanted = list(dict.fromkeys(ids))
    found: dict[int, Card] = {}
    for chunk in chunks(wanted):
        found.update(_cards(session, chunk))
    return found


def _cards(session: Session, ids: Sequence[int]) -> dict[int, Card]:
    tags, suggested, facets = _words(session, ids)
    sources = _sources(session, ids)
    proofs = _proofs(session, ids)
    columns = (Entry.id, Code.code, Entry.uuid, Entry.role, Entry.title, Entry.in_attic)
    rows = session.execute(select(*columns).join(Code, Code.id == Entry.id).where(Entry.id.in_(ids)))
    return {
        row.id: Card(
            row.id,
            row.code,
            row.uuid,
            row.role,
            row.title,
            *sources.get(row.id, ("", "")),
            proofs.get(row.id),
            tuple(tags[row.id]),
            {name: tuple(values) for name, values in facets[row.id].items()},
            tuple(suggested[row.id]),
            row.in_attic,
        )
        for row in rows
    }


def _words(
    session: Session, ids: Sequence[int]
) -> tuple[dict[int, list[str]], dict[int, list[str]], dict[int, dict[str, list[str]]]]:
    tags: dict[int, list[str]] = defaultdict(list)
    suggested: dict[int, list[str]] = defaultdict(list)
    for row in session.execute(
        select(Tag.entry_id, Tag.state, Label.text)
        .join(Label, Label.concept_id == Tag.concept_id)
        .where(Tag.entry_id.in_(ids), Tag.state != "left", Label.kind == "preferred")
        .order_by(Tag.id)
    ):
        (tags if row.state in LIVE_STATES else suggested)[row.entry_id].append(row.text)
    facets: dict[int, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for facet in session.execute(
        select(Facet.entry_id, Facet.facet, Facet.value)
        .where(Facet.entry_id.in_(ids), Facet.state != "left")
        .order_by(Facet.facet, Facet.id)
    ):
        facets[facet.entry_id][facet.facet].append(facet.value)
    return tags, suggested, facets


def _sources(session: Session, ids: Sequence[int]) -> dict[int, tuple[str, str]]:
    """By entry: the path it came from first and the digest of its original."""
    rows = session.execute(
        select(Entry.id, Arrival.source, Original.sha256)
        .join(Piece, Piece.version_id == Entry.current_version_id)
        .join(Original, Original.id == Piece.original_id)
        .outerjoin(Arrival, Arrival.original_id == Original.id)
        .where(Entry.id.in_(ids))
        .order_by(Entry.id, Piece.ordinal.desc(), Arrival.id.desc())
    )
    return {row[0]: (row[1] or "", row[2]) for row in rows}


def _proofs(session: Session, ids: Sequence[int]) -> dict[int, str]:
    rows = session.execute(
        select(Entry.id, Derived.path)
        .join(Derived, Derived.version_id == Entry.current_version_id)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(Entry.id.in_(ids), Recipe.kind == "proof", Derived.path.is_not(None))
        .order_by(Recipe.id)
    )
    return {row[0]: row[1] for row in rows if row[1]}


def counts(session: Session) -> dict[str, int]:
    """How many entries of each role are on the shelf, and how many wait in the in-tray or the attic."""
    rows = session.execute(select(Entry.role, func.count()).where(~Entry.in_attic).group_by(Entry.role))
    found: dict[str, int] = dict.fromkeys(ROLES, 0) | {row[0]: row[1] for row in rows}
    found["in-tray"] = session.scalar(
        select(func.count()).select_from(Entry).where(Entry.described_at.is_(None), ~Entry.in_attic)
    ) or 0  # fmt: skip
    found["attic"] = session.scalar(select(func.count()).select_from(Entry).where(Entry.in_attic)) or 0
    found["originals"] = session.scalar(select(func.count()).select_from(Original)) or 0
    found["versions"] = session.scalar(select(func.count()).select_from(Version)) or 0
    return found


def titles(session: Session, ids: Sequence[int]) -> list[tuple[int, str]]:
    """Ids with titles."""
    rows: list[tuple[int, str]] = []
    for chunk in chunks(ids):
        rows.extend(
            (row[0], row[1])
            for row in session.execute(select(Entry.id, Entry.title).where(Entry.id.in_(chunk)))
        )
    return rows
