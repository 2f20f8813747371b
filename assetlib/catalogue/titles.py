"""Facets that titles, captions and tags state of what is drawn, kept as *read from the title*."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.words import Facet
from assetlib.rules.shots.titles import Fact, read_title

SOURCE = "title"
READ = "suggested"
"""State of a fact that was read and neither taken nor left; a search takes it for the artist's word, which it is."""


def read_facts(session: Session, texts: Mapping[int, Collection[str]]) -> None:
    """Keep what these texts of entries state, and let go of what only an old title stated.

    Where the artist gave a facet of the same kind, that stands and the title's is not kept beside it.
    """
    kept: dict[int, list[Facet]] = defaultdict(list)
    for facet in session.scalars(select(Facet).where(Facet.entry_id.in_(list(texts)))):
        kept[facet.entry_id].append(facet)
    for entry_id, words in texts.items():
        _renew(session, entry_id, kept[entry_id], read_title(word for word in words if word))
    session.flush()


def _renew(session: Session, entry_id: int, rows: list[Facet], stated: list[Fact]) -> None:
    read = {(row.facet, row.value): row for row in rows if row.source == SOURCE and row.state == READ}
    standing = {row.facet for row in rows if row.state in ("given", "taken")}
    known = {(row.facet, row.value) for row in rows}
    wanted = [fact for fact in stated if fact[0] not in standing]
    for fact, row in read.items():
        if fact not in wanted:
            session.delete(row)
    for facet, value in wanted:
        if (facet, value) not in known:
            session.add(
                Facet(
                    entry_id=entry_id,
                    facet=facet,
                    value=value,
                    source=SOURCE,
                    state=READ,
                    made_at=dt.datetime.now(dt.UTC),
                )
            )
