"""The one table of suggestions: what is offered for an entry, and what was taken and left of it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.queries import chunks
from assetlib.catalogue.words import Suggestion

What = tuple[str, str]


def find_offer(session: Session, entry_id: int, what: What) -> Suggestion | None:
    """The row of this suggestion for an entry, however it stands."""
    facet, value = what
    return session.scalar(
        select(Suggestion).where(
            Suggestion.entry_id == entry_id, Suggestion.facet == facet, Suggestion.value == value
        )
    )


def offer(
    session: Session, entry_id: int, what: What, *, recipe: str, why: str, confidence: float, at: dt.datetime
) -> bool:
    """Offer something for an entry; what was offered, taken or left before stays as it is. Whether it is new."""
    if find_offer(session, entry_id, what) is not None:
        return False
    facet, value = what
    session.add(
        Suggestion(
            entry_id=entry_id, facet=facet, value=value, recipe=recipe, why=why,
            confidence=round(confidence, 4), state="offered", offered_at=at,
        )
    )  # fmt: skip
    session.flush()
    return True


def offered_on(session: Session, entry_id: int) -> list[Suggestion]:
    """What waits on an entry to be taken or left, oldest first."""
    return list(
        session.scalars(
            select(Suggestion)
            .where(Suggestion.entry_id == entry_id, Suggestion.state == "offered")
            .order_by(Suggestion.id)
        )
    )


def left_on(session: Session, entry_ids: Collection[int]) -> dict[int, set[What]]:
    """What was left on each of these entries; an entry without any has an empty set."""
    found: dict[int, set[What]] = defaultdict(set)
    for chunk in chunks(list(entry_ids)):
        query = select(Suggestion.entry_id, Suggestion.facet, Suggestion.value).where(
            Suggestion.entry_id.in_(chunk), Suggestion.state == "left"
        )
        for entry_id, facet, value in session.execute(query):
            found[entry_id].add((facet, value))
    return found
