"""What is other in a collection than in its last issue: added, removed, altered; or nothing, so that none is needed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.trade import Bundle, BundleItem
from assetlib.rules.wording import listed, one_line
from assetlib.services.trade.collections import CollectionView, newest_issue
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.plans import BundlePlan, PlannedItem


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since an issue: codes of drawings, and what else buyers read or agree to."""

    number: int
    code: str
    added: tuple[str, ...]
    removed: tuple[str, ...]
    altered: tuple[str, ...]
    other: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether anything changed."""
        return bool(self.added or self.removed or self.altered or self.other)

    @property
    def sentence(self) -> str:
        """All of it on one line."""
        named = (("added", self.added), ("removed", self.removed), ("altered", self.altered))
        parts = [f"{what} {listed(codes)}" for what, codes in named if codes]
        return "; ".join([*parts, *(f"another {what}" for what in self.other)]) or "nothing changed"


def since_last(session: Session, collection_id: int, view: CollectionView, plan: BundlePlan) -> Since | None:
    """What a plan holds that the newest issue of its collection does not, and the other way round; None for a first."""
    last = newest_issue(session, collection_id)
    if last is None:
        return None
    rows = session.scalars(select(BundleItem).where(BundleItem.bundle_id == last.id)).all()
    facts = {row.facts["code"]: row.facts for row in rows}
    before = {row.facts["code"]: (row.version_id, row.cut_id) for row in rows}
    now = {item.card.code: (item.judged.version_id, item.judged.cut_id) for item in view.items}
    planned = {item.code: item for item in plan.items}
    both = [code for code in now if code in before]
    return Since(
        last.number, last.code.code,
        tuple(code for code in now if code not in before),
        tuple(code for code in before if code not in now),
        tuple(code for code in both if now[code] != before[code] or _reads_otherwise(facts[code], planned[code])),
        tuple(_other(last, plan)),
    )  # fmt: skip


def kept_words(item: PlannedItem) -> dict[str, object]:
    """What an issue keeps of a drawing to be compared with later: words inside its pictures, and its clean copy."""
    words: dict[str, object] = {"description": item.description, "subjects": list(item.subjects)}
    if item.with_body.is_file():
        words["copies"] = [digest_of_file(item.with_body), digest_of_file(item.ink_alone)]
    return words


def _reads_otherwise(facts: dict[str, Any], item: PlannedItem) -> bool:
    """Whether what a buyer gets of a drawing is other; of issues of earlier days only the title is known."""
    now = kept_words(item)
    before = facts.get("words") or {}
    return bool(facts["title"] != item.title or any(before[key] != now[key] for key in before.keys() & now))


def _other(last: Bundle, plan: BundlePlan) -> Iterator[str]:
    told = last.snapshot
    if told["bundle"]["title"] != one_line(plan.title):
        yield "name"
    if last.licence != plan.tier.value:
        yield "licence"
    if told["licensor"] != {"name": one_line(plan.licensor), "email": plan.contact}:
        yield "name or address of yours"
