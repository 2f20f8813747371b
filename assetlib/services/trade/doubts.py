"""What stands today against selling what was sealed earlier: papers run out, are taken back, answers change."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.trade import Bundle, BundleItem
from assetlib.rules.rights.clearance import State
from assetlib.rules.rights.licences import Tier
from assetlib.services.trade.clearance import verdict_of

_NAMED = 5
"""Drawings named in one line; the rest are counted."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A drawing of a sealed bundle that may not be sold as things stand today, and why."""

    code: str
    title: str
    state: str
    why: str

    @property
    def sentence(self) -> str:
        """The drawing and the reason, as one part of a line."""
        return f"{self.code} {self.title} ({self.state}: {self.why})"


def doubts_of(session: Session, bundle: Bundle, on: dt.date, artist: str) -> tuple[Doubt, ...]:
    """What stands against selling a bundle on a day, in the order of its drawings; the very versions that it holds."""
    rows = session.scalars(
        select(BundleItem).where(BundleItem.bundle_id == bundle.id).order_by(BundleItem.ordinal)
    )
    found = []
    for row in rows:
        *_, verdict = verdict_of(session, row.version_id, on, artist)
        if verdict.state is not State.CLEAR:
            why = " ".join(dict.fromkeys(finding.sentence for finding in verdict.open_findings)).rstrip(".")
        elif verdict.until is not None and bundle.licence != Tier.SAMPLE:
            why = f"its paper ends on {verdict.until}, and the licence '{bundle.licence}' has no end"
        else:
            continue
        found.append(Doubt(row.facts["code"], row.facts["title"], verdict.state.value, why))
    return tuple(found)


def told(doubts: Sequence[Doubt]) -> str:
    """The first drawings with their reasons, and how many more there are."""
    more = f"; and {len(doubts) - _NAMED} more" if len(doubts) > _NAMED else ""
    return "; ".join(doubt.sentence for doubt in doubts[:_NAMED]) + more
