"""What buyers read of a drawing beside its title, and what is kept from them: names of clients, jobs and people.

Notes, captions, file names and words inside files never leave the library. Tags do, unless they name a client, a job,
the owner of a reference or somebody who gave a release; a title that does is told to the artist, who can reword it,
and one that names a client under confidentiality or somebody who gave a release stops the
sale until the artist has said that it may.
Only what stands goes out: a suggestion that nobody took is no word of the artist's.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import offers
from assetlib.catalogue.cards import Card
from assetlib.catalogue.entries import Cut, Entry, Original, Piece
from assetlib.catalogue.trade import OriginAnswer, Release
from assetlib.catalogue.work import Job, JobReference
from assetlib.rules.rights.clearance import Answer, Question
from assetlib.rules.rights.names import is_named, same_name
from assetlib.services.versions import current_cut
from assetlib.storage.plans import SourceType

DRAWN_ON_SCREEN = frozenset({"PSD", "OpenRaster", "SVG"})
"""Formats that no scanner or camera writes: what is in them was drawn on a computer."""
_READ_FROM = {
    "file": "out of its file",
    "file name": "from its file's name",
    "layer": "from its layer's name",
}
"""Where titles come from that the artist may never have read; `Entry.title_source`."""
_UNSPOKEN = ("people",)
"""Facets whose values say nothing by themselves."""


@dataclass(frozen=True, slots=True)
class BuyersWords:
    """What buyers read of a drawing, and what the artist is to know of it."""

    subjects: tuple[str, ...]
    description: str
    source_type: SourceType
    naming: tuple[str, ...] = ()
    """Sentences on a title that names a client under confidentiality or who gave a release: these stop a sale."""
    told: tuple[str, ...] = ()
    """Other sentences for the artist: what was left out, and titles that name a job or the owner of a reference."""
    unread: tuple[str, ...] = ()
    """A sentence where its title was taken from its file, and the artist may never have read it."""


@dataclass(frozen=True, slots=True)
class PrivateName:
    """A name that buyers are not to read."""

    name: str
    what: str
    """Whose it is, in words that go before the name."""
    stops: bool
    """Whether a title that holds it stops a sale."""


def private_names(session: Session, artist: str, on: dt.date) -> tuple[PrivateName, ...]:
    """Names that buyers are not to read, with what each is; the artist's own name is none.

    A client stops a sale while a job of theirs is confidential on the day.
    """
    named = [PrivateName(name, "the job", False) for name in session.scalars(select(Job.name))]
    secret = select(Job.client).where(Job.confidential_until >= on).distinct()
    named += [PrivateName(name, "the client", True) for name in session.scalars(secret) if name]
    hushed = {one.name for one in named if one.stops}
    for column, what, stops in (
        (Job.client, "the client", False),
        (JobReference.owner, "the owner of a reference", False),
        (OriginAnswer.whose, "the owner of a reference", False),
        (Release.who, "somebody who gave a release,", True),
    ):
        found = session.scalars(select(column).distinct())
        named += [PrivateName(name, what, stops) for name in found if name and (stops or name not in hushed)]
    return tuple(dict.fromkeys(one for one in named if not same_name(one.name, artist)))


def of_drawing(
    session: Session, card: Card, answers: Sequence[Answer], private: Sequence[PrivateName]
) -> BuyersWords:
    """The words on one drawing as buyers read them."""
    entry = session.get_one(Entry, card.id)
    told: list[str] = []
    naming: list[str] = []
    unread: list[str] = []
    tags = []
    for tag in card.tags:
        named = _named_in(tag, private)
        if named:
            told.append(f"{card.code}: the tag '{tag}' stays here, it names {_all(named)}")
        else:
            tags.append(tag)
    named = _named_in(card.title, private)
    if named:
        sentence = f"{card.code}: its title '{card.title}' names {_all(named)}, and buyers read it"
        (naming if any(one.stops for one in named) else told).append(sentence)
    elif entry.title_source in _READ_FROM:
        where = _READ_FROM[entry.title_source]
        unread.append(
            f"{card.code}: buyers read its title '{card.title}', which was taken {where}; --title of `tag` changes it"
        )
    shown = _shown(session, card)
    description = ". ".join(part for part in (card.title, ", ".join(shown)) if part)
    return BuyersWords(
        tuple(dict.fromkeys([*tags, *shown])), description, _source_type(session, entry, answers),
        tuple(naming), tuple(told), tuple(unread),
    )  # fmt: skip


def _shown(session: Session, card: Card) -> list[str]:
    """What the shot says, without what is only suggested and what says nothing by itself."""
    offered = {(row.facet, row.value) for row in offers.offered_on(session, card.id)}
    return [
        value
        for name, values in card.facets.items()
        for value in values
        if name not in _UNSPOKEN and (name, value) not in offered
    ]


def _named_in(text: str, private: Sequence[PrivateName]) -> list[PrivateName]:
    """The private names that stand in a text, in any order of their words."""
    return [one for one in private if is_named(one.name, text)]


def _all(named: Iterable[PrivateName]) -> str:
    return " and ".join(f"{one.what} {one.name}" for one in named)


def _source_type(session: Session, entry: Entry, answers: Iterable[Answer]) -> SourceType:
    """How the sold picture became what it is.

    What was drawn on a computer in layers or lines is a digital creation; everything else went through the clean
    copy, which took its paper away by algorithm. IPTC's definitions, matched to drawings by this project: no source.
    """
    if any(answer.question is Question.AI and answer.value == "assisted" for answer in answers):
        return SourceType.ASSISTED
    originals = session.scalars(
        select(Original.format)
        .join(Piece, Piece.original_id == Original.id)
        .join(Cut, Cut.id == Piece.cut_id)
        .where(Cut.id == current_cut(entry).id)
    )
    on_screen = all(name in DRAWN_ON_SCREEN for name in originals)
    return SourceType.DIGITAL_CREATION if on_screen else SourceType.ALGORITHMICALLY_ENHANCED
