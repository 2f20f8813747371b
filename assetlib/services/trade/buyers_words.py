"""What buyers read of a drawing beside its title, and what is kept from them: names of clients, jobs and people.

Notes, captions, file names and words inside files never leave the library. Tags do, unless they name a client, a job,
the owner of a reference or somebody who gave a release; a title that does is told to the artist, who can reword it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.cards import Card
from assetlib.catalogue.entries import Cut, Entry, Original, Piece
from assetlib.catalogue.trade import OriginAnswer, Release
from assetlib.catalogue.work import Job, JobReference
from assetlib.rules.rights.clearance import Answer, Question
from assetlib.rules.words.tags import fold
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
    told: tuple[str, ...] = ()
    """Sentences for the artist: what was left out, and titles to look at."""


def private_names(session: Session, artist: str) -> dict[str, str]:
    """Names that buyers are not to read, folded, with what each is; the artist's own name is none."""
    named = [(name, "the job") for name in session.scalars(select(Job.name))]
    for column, what in (
        (Job.client, "the client"),
        (JobReference.owner, "the owner of a reference"),
        (OriginAnswer.whose, "the owner of a reference"),
        (Release.who, "somebody who gave a release,"),
    ):
        named += [(name, what) for name in session.scalars(select(column).distinct()) if name]
    return {fold(name): f"{what} {name}" for name, what in named if fold(name) not in ("", fold(artist))}


def of_drawing(
    session: Session, card: Card, answers: Sequence[Answer], private: dict[str, str]
) -> BuyersWords:
    """The words on one drawing as buyers read them."""
    entry = session.get_one(Entry, card.id)
    told = []
    tags = []
    for tag in card.tags:
        named = _named_in(tag, private)
        if named:
            told.append(f"{card.code}: the tag '{tag}' stays here, it names {named}")
        else:
            tags.append(tag)
    named = _named_in(card.title, private)
    if named:
        told.append(f"{card.code}: its title '{card.title}' names {named}, and buyers read it")
    elif entry.title_source in _READ_FROM:
        where = _READ_FROM[entry.title_source]
        told.append(
            f"{card.code}: buyers read its title '{card.title}', which was taken {where}; --title of `tag` changes it"
        )
    shown = [value for name, values in card.facets.items() if name not in _UNSPOKEN for value in values]
    description = ". ".join(part for part in (card.title, ", ".join(shown)) if part)
    return BuyersWords(
        tuple(dict.fromkeys([*tags, *shown])), description, _source_type(session, entry, answers), tuple(told)
    )


def _named_in(text: str, private: dict[str, str]) -> str | None:
    """Which private name stands in a text as whole words; None where none does."""
    padded = f" {fold(text)} "
    return next((what for name, what in private.items() if f" {name} " in padded), None)


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
