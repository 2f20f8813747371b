"""Facets that titles, captions and tags state of what is drawn: the one place that keeps what a title says.

What was read is kept as *read from the title*; what a title says that the artist typed counts as given.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping

from sqlalchemy.orm import Session

from assetlib.catalogue.facets import FacetRow, add_facet, facets_of
from assetlib.catalogue.offers import left_on
from assetlib.catalogue.words import LIVE_STATES
from assetlib.rules.shots.titles import Fact, read_title

SOURCE = "title"
READ = "read"
"""State of a fact that was read and neither taken nor left; a search takes it for the artist's word, which it is."""
TYPED = "given"
"""State of what a title says that the artist typed."""


def read_facts(session: Session, texts: Mapping[int, Collection[str]]) -> None:
    """Keep what these texts of entries state, and let go of what only an old title stated.

    Where the artist gave a facet of the same kind, that stands and the title's is not kept beside it.
    """
    kept, left = facets_of(session, list(texts)), left_on(session, list(texts))
    for entry_id, words in texts.items():
        read = [row for row in kept[entry_id] if row.source == SOURCE and row.state == READ]
        stated = [fact for fact in read_title(word for word in words if word) if fact not in left[entry_id]]
        _renew(session, entry_id, kept[entry_id], read, stated, READ)
    session.flush()


def keep_typed(session: Session, entry_id: int, stated: Iterable[Fact]) -> None:
    """Keep what a title says that the artist typed just now; what the title before it said goes.

    What was left comes back when it is typed; what the artist gave otherwise stands, as in `read_facts`.
    """
    rows = facets_of(session, [entry_id])[entry_id]
    stated = list(stated)
    before = [
        row
        for row in rows
        if row.source == SOURCE or (row.state not in LIVE_STATES and (row.facet, row.value) in stated)
    ]
    for row in before:
        session.delete(row)
    session.flush()
    _renew(session, entry_id, [row for row in rows if row not in before], [], stated, TYPED)
    session.flush()


def _renew(
    session: Session,
    entry_id: int,
    rows: Iterable[FacetRow],
    before: Iterable[FacetRow],
    stated: Iterable[Fact],
    state: str,
) -> None:
    """Let go of what was stated `before` and is no longer; put beside `rows` what is stated anew."""
    standing = {row.facet for row in rows if row.state in LIVE_STATES}
    known = {(row.facet, row.value) for row in rows}
    wanted = [fact for fact in stated if fact[0] not in standing]
    for row in before:
        if (row.facet, row.value) not in wanted:
            session.delete(row)
    now = dt.datetime.now(dt.UTC)
    for facet, value in wanted:
        if (facet, value) not in known:
            add_facet(session, entry_id, facet, value, source=SOURCE, state=state, made_at=now)
