"""Collections: elements chosen to be sold together, and the licence they are sold under."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.codes import named_or_coded, new_code
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.trade import Bundle, Collection, CollectionItem
from assetlib.config import Settings, change_setting
from assetlib.errors import NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.licences import Tier, in_short, render
from assetlib.rules.wording import listed, one_line
from assetlib.services.trade.clearance import Cleared, cleared

_NAMED = 6
"""How many collections are named where one was asked for that is not there."""


@dataclass(frozen=True, slots=True)
class CollectionView:
    """A collection with its elements and how each stands."""

    code: str
    name: str
    licence: str | None
    items: tuple[Cleared, ...]


@dataclass(frozen=True, slots=True)
class Terms:
    """The licence that a collection is sold under: its name, in a sentence, and its text."""

    collection: str
    licence: str
    short: str
    text: str


def collection_named(session: Session, given: str) -> Collection:
    """The collection of this name or code. Raises NotFound."""
    found = by_name(session, given) or named_or_coded(session, Collection, given, "collection")
    if found is None:
        there = ", ".join(session.scalars(select(Collection.name).order_by(Collection.name).limit(_NAMED)))
        hint = f"there are: {there}" if there else f'make it: assetlib collection make "{given}"'
        raise NotFound(f"there is no collection '{given}'", hint)
    return found


def by_name(session: Session, given: str) -> Collection | None:
    """The collection of this name; where none is written so, the only one that differs in capitals alone."""
    wanted = " ".join(given.split())
    alike = [one for one in session.scalars(select(Collection)) if one.name.casefold() == wanted.casefold()]
    exact = [one for one in alike if one.name == wanted]
    return exact[0] if exact else alike[0] if len(alike) == 1 else None


def newest_issue(session: Session, collection_id: int) -> Bundle | None:
    """The bundle of a collection that was sealed last; None where none was."""
    return session.scalar(
        select(Bundle).where(Bundle.collection_id == collection_id).order_by(Bundle.number.desc()).limit(1)
    )


def make(lib: Library, name: str) -> CollectionView:
    """A new, empty collection. Raises WrongUsage where the name is empty or taken."""
    name = " ".join(name.split())
    if not name:
        raise WrongUsage("a collection needs a name")
    with lib.transaction(f"collection {name}") as session:
        if (taken := by_name(session, name)) is not None:
            raise WrongUsage(f"there is a collection '{taken.name}' already")
        code = new_code(session, "collection", lib.now())
        session.flush()
        session.add(Collection(id=code.id, uuid=str(uuid.uuid4()), name=name, made_at=lib.now(), code=code))
    return view(lib, name)


def put(lib: Library, given: str, codes: Sequence[str]) -> CollectionView:
    """Put elements into a collection, behind those that are there; one that is there already stays where it is."""
    with lib.transaction(f"collection {given}: {listed(codes)} added") as session:
        collection = collection_named(session, given)
        there = {item.entry_id for item in collection.items}
        ordinal = max((item.ordinal for item in collection.items), default=-1)
        for code in codes:
            entry = queries.entry(session, code, ("element",))
            if entry.id not in there:
                ordinal += 1
                there.add(entry.id)
                session.add(CollectionItem(collection_id=collection.id, entry_id=entry.id, ordinal=ordinal))
    return view(lib, given)


def take_out(lib: Library, given: str, codes: Sequence[str]) -> CollectionView:
    """Take elements out of a collection; the elements themselves stay in the library."""
    with lib.transaction(f"collection {given}: {listed(codes)} taken out") as session:
        collection = collection_named(session, given)
        wanted = {queries.entry(session, code).id for code in codes}
        for item in collection.items:
            if item.entry_id in wanted:
                session.delete(item)
    return view(lib, given)


def choose_licence(lib: Library, given: str, tier: str) -> CollectionView:
    """Set the licence a collection is sold under. Raises WrongUsage for a tier there is not."""
    name = " ".join(tier.lower().replace("-", " ").split())
    if name not in list(Tier):
        raise WrongUsage(f"there is no licence '{tier}'", f"choose one of: {', '.join(Tier)}")
    with lib.transaction(f"licence of {given}: {name}") as session:
        collection_named(session, given).licence = name
    return view(lib, given)


def terms(lib: Library, given: str) -> Terms:
    """The licence of a collection as buyers will read it. Raises NotFound, WrongUsage where none was chosen."""
    found = view(lib, given)
    if found.licence is None:
        raise WrongUsage(f"'{found.name}' has no licence yet", f"choose one of: {', '.join(Tier)}")
    tier = Tier(found.licence)
    licensor = lib.settings.artist or "(your name: artist in assetlib.toml)"
    text = render(tier, licensor, found.name, lib.now().date())
    return Terms(found.name, tier.value, in_short(tier), text)


def choose_terms(lib: Library, given: str, tier: str) -> Terms:
    """The licence of a collection after it was set. Raises NotFound, WrongUsage for a tier there is not."""
    choose_licence(lib, given, tier)
    return terms(lib, given)


def name_licensor(lib: Library, artist: str | None, contact: str | None) -> Settings:
    """The settings after the artist's name or address for buyers was set. Raises WrongUsage for what cannot be one."""
    if artist is not None and not one_line(artist):
        raise WrongUsage("the name is empty", "write it as it is to stand on licences")
    if contact is not None and not re.fullmatch(r"[^\s@]+@[^\s@]+", contact.strip()):
        raise WrongUsage(f"'{contact}' is no e-mail address", "write it like you@your.domain")
    if artist is not None:
        lib.settings = change_setting(lib.folder, "artist", one_line(artist))
    if contact is not None:
        lib.settings = change_setting(lib.folder, "contact", contact.strip())
    return lib.settings


def view(lib: Library, given: str) -> CollectionView:
    """A collection as it stands."""
    with lib.reading() as session:
        return view_in(session, collection_named(session, given), lib.now().date(), lib.settings.artist)


def everything(lib: Library) -> list[CollectionView]:
    """All collections, by name."""
    with lib.reading() as session:
        return [
            view_in(session, item, lib.now().date(), lib.settings.artist)
            for item in session.scalars(select(Collection).order_by(Collection.name))
        ]


def view_in(session: Session, collection: Collection, on: dt.date, artist: str) -> CollectionView:
    """A collection as it stands on a day, on an open session; `artist` is whose library it is."""
    entries = list(
        session.scalars(
            select(Entry)
            .join(CollectionItem, CollectionItem.entry_id == Entry.id)
            .where(CollectionItem.collection_id == collection.id)
            .order_by(CollectionItem.ordinal)
        )
    )
    cards = queries.cards(session, [entry.id for entry in entries])
    items = tuple(cleared(session, entry, cards[entry.id], on, artist) for entry in entries)
    return CollectionView(collection.code.code, collection.name, collection.licence, items)
