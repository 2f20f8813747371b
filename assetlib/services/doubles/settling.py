"""Doubles as the artist sees them: pairs with a reason, families, and what is decided about them.

Decisions hang on versions: a correction of a cut leaves them, a redraw has them confirmed. What makes a family is
kept as descent. Undo takes every one back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Any

from sqlalchemy import and_, or_, select
from sqlalchemy.orm import Session, aliased

from assetlib.catalogue import queries
from assetlib.catalogue.derived import PairDecision, PairFinding
from assetlib.catalogue.entries import Arrival, Cut, Descent, Entry, Original, Piece, Version
from assetlib.catalogue.queries import Card
from assetlib.errors import WrongUsage
from assetlib.imaging.doubles.documented import read_hash
from assetlib.imaging.doubles.fingerprints import Fingerprint
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.library import Library
from assetlib.services.doubles import resemblance
from assetlib.services.versions import Pinned, current_cut, pinned, refuse_moved

FAMILY_KINDS = (DoubleKind.SAME_FILE, DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING, DoubleKind.FAMILY)
"""What makes drawings one family; *perhaps* and *contained* do not."""

MOST_ARRIVALS = 12
"""Arrivals of one drawing that are listed pair by pair; more are listed with the first alone."""


@dataclass(frozen=True, slots=True)
class Side:
    """One drawing of a pair. A file outside the library has no card."""

    source: str
    card: Card | None = None

    @property
    def code(self) -> str | None:
        """Its code in the library."""
        return self.card.code if self.card else None


@dataclass(frozen=True, slots=True)
class Pair:
    """Two drawings that belong together: a is the older, or the one that stands inside the other."""

    a: Side
    b: Side
    kind: DoubleKind
    how: tuple[str, ...]
    score: float
    box: tuple[int, int, int, int] | None = None
    """x, y, w, h of a in the pixels of b."""
    judged: tuple[Pinned, Pinned] | None = None
    """What a and b were when they were compared; None for files outside the library."""

    @property
    def undecided(self) -> bool:
        """Whether there is anything to decide: two arrivals of one drawing are one drawing already."""
        return self.a.code is not None and self.b.code is not None and not self.is_one

    @property
    def is_one(self) -> bool:
        """Whether two files came in as one drawing."""
        return self.a.code is not None and self.a.code == self.b.code


_ORDER = {kind: place for place, kind in enumerate(DoubleKind)}


def pairs(lib: Library, codes: Collection[str] = (), kinds: Collection[DoubleKind] = ()) -> list[Pair]:
    """Pairs that are not decided yet, surest kind first; with `codes` those that concern these drawings."""
    with lib.reading() as session:
        wanted = {queries.entry(session, code).id for code in codes}
        found = [*_arrivals_of_one(session, wanted), *_findings(session, wanted)]
    chosen = [pair for pair in found if not kinds or pair.kind in kinds]
    return sorted(chosen, key=lambda pair: (_ORDER[pair.kind], -pair.score, pair.a.code or ""))


def groups(found: Iterable[Pair]) -> list[list[str]]:
    """Codes of drawings that belong together, family by family; drawings without family are left out."""
    parent: dict[str, str] = {}

    def root(code: str) -> str:
        while parent.setdefault(code, code) != code:
            code = parent[code]
        return code

    for pair in found:
        if pair.kind in FAMILY_KINDS and pair.undecided:
            parent[root(str(pair.b.code))] = root(str(pair.a.code))
    families: dict[str, list[str]] = defaultdict(list)
    for code in parent:
        families[root(code)].append(code)
    return sorted(sorted(family) for family in families.values() if len(family) > 1)


@dataclass(frozen=True, slots=True)
class Outside:
    """What a picture outside the library resembles, and the hashes that others know it by, in hexadecimal.

    Where only a hash was given, that is the one that is there.
    """

    pairs: tuple[Pair, ...]
    phash: str | None = None
    """imagehash.phash of the drawing, 16 digits."""
    phash_wide: str | None = None
    """imagehash.phash with hash_size=16, 64 digits."""


def ask_outside(lib: Library, given: str) -> Outside:
    """What a file outside the library resembles, or a picture of which only the hash is known. Raises BadPicture."""
    words = None if Path(given).exists() else read_hash(given)
    if words is None:
        return _of_file(lib, Path(given))
    digits = given.strip().lower()
    pairs_ = tuple(_by_hash(lib, digits, resemblance.recognise(lib, words), 64 * len(words)))
    return Outside(pairs_, digits) if len(words) == 1 else Outside(pairs_, phash_wide=digits)


def _by_hash(lib: Library, source: str, apart: Mapping[int, int], bits: int) -> Iterator[Pair]:
    """Pairs of which nothing is known but their hashes: perhaps one family."""
    with lib.reading() as session:
        entries = {cut_id: _entry_of(session, cut_id) for cut_id in apart}
        cards = queries.cards(session, entries.values())
    for cut_id, entry_id in entries.items():
        how = f"hash {apart[cut_id]} of {bits} bits apart" if apart[cut_id] else "the same hash"
        side = Side(cards[entry_id].source, cards[entry_id])
        score = round(1 - apart[cut_id] / bits, 4)
        yield Pair(side, Side(source), DoubleKind.PERHAPS_FAMILY, (how,), score)


def _of_file(lib: Library, path: Path) -> Outside:
    asked = resemblance.compare_file(lib, path)
    found = _matched(lib, path, asked)
    there = {code for pair in found for code in (pair.a.code, pair.b.code)}
    by_hash = _by_hash(lib, str(path), asked.apart, 256)
    found += [pair for pair in by_hash if pair.a.code not in there]
    print_ = Fingerprint.from_bytes(asked.look.data)
    hashes = (None, None) if print_.empty else (f"{print_.phash:016x}", print_.wide_hash.hex())
    return Outside(tuple(sorted(found, key=lambda pair: (_ORDER[pair.kind], -pair.score))), *hashes)


def _matched(lib: Library, path: Path, asked: resemblance.Outside) -> list[Pair]:
    look, matches = asked.look, asked.matches
    outside = Side(str(path))
    with lib.reading() as session:
        found = [
            Pair(side, outside, kind, how, 1.0)
            for kind, how, side in _known(session, look.sha256, look.pixel_sha256)
        ]
        seen = {pair.a.code for pair in found}
        entries = {match.cut_id: _entry_of(session, match.cut_id) for match in matches}
        cards = queries.cards(session, entries.values())
    for match in matches:
        verdict = match.verdict
        card = cards[entries[match.cut_id]]
        if card.code in seen:
            continue
        sides = (
            (outside, Side(card.source, card)) if match.inside == "it" else (Side(card.source, card), outside)
        )
        box = verdict.box
        placed = (box[0], box[1], box[2] - box[0], box[3] - box[1]) if box else None
        found.append(Pair(*sides, verdict.kind, tuple(verdict.how), round(float(verdict.score), 4), placed))
    return found


def two_entries(
    session: Session, first: str, second: str, judged: tuple[Pinned, Pinned] | None = None
) -> tuple[Entry, Entry]:
    """The entries of two codes; raises WrongUsage where they are one, Moved where they are not what was `judged`."""
    a, b = queries.entry(session, first), queries.entry(session, second)
    if a.id == b.id:
        raise WrongUsage(f"{a.code.code} is one drawing", "name two")
    for entry, was in zip((a, b), judged or (), strict=False):
        refuse_moved(entry, was)
    return a, b


def decision_of(session: Session, a: int, b: int) -> PairDecision | None:
    """What was decided about two versions."""
    low, high = sorted((a, b))
    return session.scalar(select(PairDecision).where(PairDecision.a_id == low, PairDecision.b_id == high))


def decide(
    lib: Library, first: str, second: str, verdict: str, *, judged: tuple[Pinned, Pinned] | None = None
) -> None:
    """Note that two drawings are one family, or different after all; they are not asked again.

    Raises Moved where they are no longer what was `judged`.
    """
    with lib.transaction(f"doubles: {first} and {second} {verdict}") as session:
        a, b = two_entries(session, first, second, judged)
        note_decision(lib, session, a, b, verdict)
        if verdict == "family":
            _note_family(lib, session, a, b)
        elif verdict == "different":
            _forget_family(session, a, b)


def note_decision(lib: Library, session: Session, a: Entry, b: Entry, verdict: str) -> None:
    """Keep a decision about two drawings in place of an earlier one."""
    low, high = sorted((pinned(a), pinned(b)), key=lambda pin: pin.version_id)
    row = decision_of(session, low.version_id, high.version_id)
    if row is None:
        row = PairDecision(a_id=low.version_id, b_id=high.version_id)
        session.add(row)
    row.a_cut_id, row.b_cut_id, row.to_confirm = low.cut_id, high.cut_id, False
    row.verdict, row.decided_at = verdict, lib.now()
    session.flush()


def _note_family(lib: Library, session: Session, a: Entry, b: Entry) -> None:
    """The younger of two drawings descends from the older, in the way that comparing them told."""
    if _descents(session, a, b):
        return
    older, younger = sorted((a, b), key=lambda entry: entry.id)
    found = session.scalar(_finding_between(a, b))
    how = " ".join(found.how) if found is not None and found.how else "family"
    session.add(
        Descent(
            child_id=younger.current_version_id, parent_id=older.current_version_id, how=how, source="artist",
            made_at=lib.now(),
        )
    )  # fmt: skip
    session.flush()


def _finding_between(a: Entry, b: Entry) -> Any:
    one, other = current_cut(a).id, current_cut(b).id
    return select(PairFinding).where(
        or_(
            and_(PairFinding.a_id == one, PairFinding.b_id == other),
            and_(PairFinding.a_id == other, PairFinding.b_id == one),
        )
    )


def _forget_family(session: Session, a: Entry, b: Entry) -> None:
    for row in _descents(session, a, b):
        session.delete(row)
    session.flush()


def _descents(session: Session, a: Entry, b: Entry) -> list[Descent]:
    """What says that any version of the one came from any version of the other."""
    one, other = ([*session.scalars(select(Version.id).where(Version.entry_id == e.id))] for e in (a, b))
    query = select(Descent).where(
        or_(
            and_(Descent.child_id.in_(one), Descent.parent_id.in_(other)),
            and_(Descent.child_id.in_(other), Descent.parent_id.in_(one)),
        )
    )
    return list(session.scalars(query))


def _findings(session: Session, wanted: set[int]) -> list[Pair]:
    """What comparing found between current cuts on the shelf, without what is decided and stands."""
    one, other = aliased(Entry), aliased(Entry)
    first, second = aliased(Version), aliased(Version)
    query = (
        select(PairFinding, one.id, other.id, first.id, second.id)
        .join(first, first.current_cut_id == PairFinding.a_id)
        .join(one, one.current_version_id == first.id)
        .join(second, second.current_cut_id == PairFinding.b_id)
        .join(other, other.current_version_id == second.id)
        .where(~one.in_attic, ~other.in_attic)
    )
    if wanted:
        query = query.where(or_(one.id.in_(wanted), other.id.in_(wanted)))
    decided = set(
        session.execute(select(PairDecision.a_id, PairDecision.b_id).where(~PairDecision.to_confirm))
    )
    rows = [
        row for row in session.execute(query) if (min(row[3], row[4]), max(row[3], row[4])) not in decided
    ]
    cards = queries.cards(session, {entry_id for row in rows for entry_id in row[1:3]})
    return [
        Pair(
            Side(cards[a].source, cards[a]), Side(cards[b].source, cards[b]), DoubleKind(finding.kind),
            tuple(finding.how), finding.score,
            (finding.box[0], finding.box[1], finding.box[2], finding.box[3]) if finding.box else None,
            (Pinned(va, finding.a_id), Pinned(vb, finding.b_id)),
        )
        for finding, a, b, va, vb in rows
    ]  # fmt: skip


def _arrivals_of_one(session: Session, wanted: set[int]) -> list[Pair]:
    """Pairs of files that came in as one drawing: the same bytes, or the same pixels in other bytes."""
    query = (
        select(Arrival.entry_id, Arrival.source, Arrival.original_id, Original.pixel_sha256)
        .join(Entry, Entry.id == Arrival.entry_id)
        .join(Original, Original.id == Arrival.original_id)
        .where(~Entry.in_attic)
        .order_by(Arrival.entry_id, Arrival.id)
    )
    # By pixels too: a merged entry holds arrivals of other pictures.
    files: dict[tuple[int, str], list[tuple[str, int]]] = defaultdict(list)
    for entry_id, source, original, pixels in session.execute(query):
        if entry_id is not None and (not wanted or entry_id in wanted):
            files[entry_id, pixels].append((source, original))
    several = {key: rows for key, rows in files.items() if len(rows) > 1}
    cards = queries.cards(session, {entry_id for entry_id, _ in several})
    found = []
    for (entry_id, _), rows in several.items():
        listed = combinations(rows, 2) if len(rows) <= MOST_ARRIVALS else ((rows[0], row) for row in rows[1:])
        for (source, original), (copy, copied) in listed:
            kind = DoubleKind.SAME_FILE if original == copied else DoubleKind.SAME_PICTURE
            how = () if original == copied else ("re-encoded",)
            found.append(Pair(Side(source, cards[entry_id]), Side(copy, cards[entry_id]), kind, how, 1.0))
    return found


def _known(
    session: Session, sha256: str, pixel_sha256: str
) -> list[tuple[DoubleKind, tuple[str, ...], Side]]:
    """Entries that hold exactly these bytes, or these pixels."""
    query = (
        select(Entry.id, Original.sha256)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
        .join(Original, Original.id == Piece.original_id)
        .where(~Entry.in_attic, ~Piece.is_part)
        .where(or_(Original.sha256 == sha256, Original.pixel_sha256 == pixel_sha256))
    )
    rows = dict(session.execute(query).all())
    cards = queries.cards(session, rows)
    return [
        (DoubleKind.SAME_FILE, (), Side(cards[entry_id].source, cards[entry_id]))
        if digest == sha256
        else (DoubleKind.SAME_PICTURE, ("re-encoded",), Side(cards[entry_id].source, cards[entry_id]))
        for entry_id, digest in rows.items()
    ]


def _entry_of(session: Session, cut_id: int) -> int:
    cut = session.get_one(Cut, cut_id)
    return session.get_one(Version, cut.version_id).entry_id


def looks_like(lib: Library, codes: Sequence[str]) -> dict[str, list[Pair]]:
    """What each of these drawings resembles, *perhaps* left out: what an intake says of what it brought in."""
    found: dict[str, list[Pair]] = {code: [] for code in codes}
    for pair in pairs(lib, codes):
        if pair.kind is DoubleKind.PERHAPS_FAMILY or not pair.undecided:
            continue
        for side in (pair.a, pair.b):
            if side.code in found:
                found[side.code].append(pair)
    return found
