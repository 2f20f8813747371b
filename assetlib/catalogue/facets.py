"""Facets of entries as mapped rows, the mirror guard of the current version among them."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Entry, Version
from assetlib.catalogue.guards import MIRROR
from assetlib.catalogue.words import Facet, MirrorGuard

FacetRow = Facet | MirrorGuard


def facets_of(session: Session, entry_ids: Collection[int]) -> dict[int, list[FacetRow]]:
    """The rows of these entries; an entry without any has an empty list."""
    found: dict[int, list[FacetRow]] = defaultdict(list)
    for facet in session.scalars(select(Facet).where(Facet.entry_id.in_(entry_ids)).order_by(Facet.id)):
        found[facet.entry_id].append(facet)
    guards = (
        select(Entry.id, MirrorGuard)
        .join(MirrorGuard, MirrorGuard.version_id == Entry.current_version_id)
        .where(Entry.id.in_(entry_ids))
    )
    for entry_id, guard in session.execute(guards):
        found[entry_id].append(guard)
    return found


def add_facet(
    session: Session,
    entry_id: int,
    facet: str,
    value: str,
    *,
    source: str,
    state: str,
    made_at: dt.datetime,
    said_of: int | None = None,
) -> None:
    """Put a facet on an entry. A mirror guard goes to its version, said of the current cut.

    `said_of` is the cut it was said of where that is another drawing's: then it is to be confirmed.
    """
    said = {"source": source, "state": state, "made_at": made_at}
    if facet != MIRROR:
        session.add(Facet(entry_id=entry_id, facet=facet, value=value, **said))
        return
    version_id, cut_id = session.execute(
        select(Version.id, Version.current_cut_id)
        .join(Entry, Entry.current_version_id == Version.id)
        .where(Entry.id == entry_id)
    ).one()
    session.add(
        MirrorGuard(
            version_id=version_id, cut_id=said_of or cut_id, to_confirm=said_of is not None, **said
        )
    )  # fmt: skip
