"""What is to be sealed into a bundle, and what a sealed bundle was found to hold."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from uuid import UUID

from assetlib.errors import NotClear, WrongUsage
from assetlib.rules.rights.clearance import State, Verdict
from assetlib.rules.rights.licences import Tier
from assetlib.rules.wording import NO_LEGAL_ADVICE, one_line
from assetlib.storage.archive import is_safe_path

_VERSION = re.compile(r"[0-9]+(\.[0-9]+){0,2}")
_EMAIL = re.compile(r"[^\s@]+@[^\s@]+")
_WEB = re.compile(r"https?://[^\s<>\"]+")
_FIRST_YEAR, _LAST_YEAR = 1980, 2107
"""What the date of a ZIP entry can hold."""
_STEM_LENGTH = 40
_NAMED_AT_MOST = 5
"""Drawings named in one error line; the rest are counted."""


class SourceType(StrEnum):
    """How drawn work became digital: the last part of the IPTC Digital Source Type."""

    DIGITAL_CREATION = "digitalCreation"
    PRINT = "print"
    HUMAN_EDITS = "humanEdits"
    ALGORITHMICALLY_ENHANCED = "algorithmicallyEnhanced"
    ASSISTED = "compositeWithTrainedAlgorithmicMedia"


@dataclass(frozen=True)
class PlannedItem:
    """One version of a drawing on its way into a bundle.

    `with_body` and `ink_alone` are the PNGs of its clean copy: to lay over a picture, and the line alone;
    `checked` is the day the clearance was judged; `source_type` is left out of the manifest when nobody
    has stated it.
    """

    code: str
    uuid: UUID
    title: str
    with_body: Path
    ink_alone: Path
    verdict: Verdict
    checked: date
    source_type: SourceType | None = None
    subjects: tuple[str, ...] = ()
    """Tags, as buyers may read them."""
    description: str = ""
    """What it shows, in words that say nothing of the artist's jobs; the title stands where there is none."""

    @property
    def label(self) -> str:
        """Code and title, for messages."""
        return f"{self.code} {one_line(self.title)}".strip()

    @property
    def stem(self) -> str:
        """The name of its files: title in plain letters, then the code."""
        plain = unicodedata.normalize("NFKD", self.title).encode("ascii", "ignore").decode().lower()
        words = "-".join(re.findall(r"[a-z0-9]+", plain))[:_STEM_LENGTH].strip("-")
        return "-".join(part for part in (words, self.code.lower()) if part)


@dataclass(frozen=True)
class BundlePlan:
    """One numbered issue of a collection under one licence, before it is sealed."""

    slug: str
    title: str
    version: str
    issued: date
    id: UUID
    licensor: str
    contact: str
    tier: Tier
    licence_text: str
    items: tuple[PlannedItem, ...]
    website: str = ""

    @property
    def name(self) -> str:
        """Slug and version: the top folder, and the ZIP's name without `.zip`."""
        return f"{self.slug}-{self.version}"


def refuse_unclear(plan: BundlePlan) -> None:
    """Raise `NotClear`, naming drawings and findings, unless every drawing is clear."""
    unclear = [item for item in plan.items if item.verdict.state is not State.CLEAR]
    if not unclear:
        return
    named = "; ".join(f"{item.label} ({_reasons(item)})" for item in unclear[:_NAMED_AT_MOST])
    more = f"; and {len(unclear) - _NAMED_AT_MOST} more" if len(unclear) > _NAMED_AT_MOST else ""
    raise NotClear(
        f"{len(unclear)} of {len(plan.items)} drawings may not be sold as things stand: {named}{more}.",
        f"{unclear[0].label}: {unclear[0].verdict.open_findings[0].what_would_help} {NO_LEGAL_ADVICE}",
    )


def refuse_ending(plan: BundlePlan) -> None:
    """Raise `NotClear` where a drawing is clear until a day only: no licence here ends on one.

    `sample` is let through: its terms allow no lasting use.
    """
    ending = [item for item in plan.items if item.verdict.until is not None]
    if not ending or plan.tier is Tier.SAMPLE:
        return
    named = "; ".join(f"{item.label} (until {item.verdict.until})" for item in ending[:_NAMED_AT_MOST])
    more = f"; and {len(ending) - _NAMED_AT_MOST} more" if len(ending) > _NAMED_AT_MOST else ""
    raise NotClear(
        f"{len(ending)} of {len(plan.items)} drawings rest on a paper that ends, "
        f"and the licence '{plan.tier}' has no end: {named}{more}.",
        f"Get a release without an end, or leave them out. {NO_LEGAL_ADVICE}",
    )


def refuse_unfit(plan: BundlePlan) -> None:
    """Raise `WrongUsage` with everything that keeps the plan from being written."""
    faults = list(_faults(plan))
    if faults:
        raise WrongUsage(f"The bundle cannot be built: {'; '.join(faults)}.")


def _reasons(item: PlannedItem) -> str:
    return ", ".join(finding.code for finding in item.verdict.open_findings)


def _faults(plan: BundlePlan) -> Iterator[str]:
    if not is_safe_path(plan.slug) or "/" in plan.slug:
        yield f"the short name {plan.slug!r} has more than small letters, digits and dashes"
    if not _VERSION.fullmatch(plan.version):
        yield f"the version {plan.version!r} is not a number such as 1.0.0"
    if not _FIRST_YEAR <= plan.issued.year <= _LAST_YEAR:
        yield f"the date {plan.issued} is outside {_FIRST_YEAR} to {_LAST_YEAR}"
    if not _EMAIL.fullmatch(plan.contact) or one_line(plan.contact) != plan.contact:
        yield f"the contact {plan.contact!r} is not an e-mail address"
    if plan.website and not _WEB.fullmatch(plan.website):
        yield f"the website {plan.website!r} is not an address that begins with https:// or http://"
    for what in ("title", "licensor", "licence_text"):
        if not one_line(getattr(plan, what)):
            yield f"the {what.replace('_', ' ')} is empty"
    if any("\ud800" <= character <= "\udfff" for character in plan.licence_text):
        yield "the licence text holds half a character, which cannot be written"
    yield from _item_faults(plan.items)


def _item_faults(items: tuple[PlannedItem, ...]) -> Iterator[str]:
    if not items:
        yield "the collection is empty"
    for code, times in Counter(item.code.lower() for item in items).items():
        if times > 1:
            yield f"{code.upper()} is in it {times} times"
    for item in items:
        if not re.fullmatch(r"[a-z0-9]+", item.code.lower()):
            yield f"{item.code!r} is not a code"
