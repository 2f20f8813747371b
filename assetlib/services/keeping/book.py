"""Everything that an export says, read from the catalogue in one snapshot."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from pathlib import Path
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Arrival, Cut, Descent, Entry, Original, Piece, Version
from assetlib.catalogue.identity import Removal
from assetlib.catalogue.trade import (
    Bundle,
    BundleItem,
    Certificate,
    Collection,
    CollectionItem,
    OriginAnswer,
    Release,
)
from assetlib.catalogue.words import Concept, Label, Relation
from assetlib.catalogue.work import Job, Use
from assetlib.rules.words import sidecars

LONGEST = 120
"""Letters of a file name before its ending; every file system takes 255 bytes, and letters may take four."""

_ODD = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]')
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)", re.IGNORECASE)


class Names:
    """File names that are valid and differ on every system, in the order in which they were asked for."""

    def __init__(self) -> None:
        self._given: set[str] = set()

    def name(self, wanted: str, ending: str) -> str:
        plain = unicodedata.normalize("NFC", _ODD.sub(" ", wanted.encode("utf-8", "replace").decode()))
        stem = " ".join(plain.split()).strip(". ")[:LONGEST].strip() or "drawing"
        stem = f"{stem}-" if _RESERVED.match(stem) else stem
        name, number = f"{stem}{ending}", 2
        while name.casefold() in self._given:
            name, number = f"{stem} ({number}){ending}", number + 1
        self._given.add(name.casefold())
        return name


class Book:
    """Everything that is exported, read in one snapshot."""

    def __init__(self, session: Session, private: bool) -> None:
        self.private = private
        removed = set(session.scalars(select(Removal.sha256)))
        self.originals: dict[int, Original] = {
            row.id: row
            for row in session.scalars(select(Original).order_by(Original.id))
            if row.sha256 not in removed
        }
        self.files = self._file_names(session)
        entries = list(
            session.scalars(select(Entry).where(Entry.removed_at.is_(None)).order_by(Entry.id)).unique()
        )
        cards = queries.cards(session, [entry.id for entry in entries])
        pieces = _pieces(session)
        self.entries = {entry.id: entry for entry in entries}
        self.cuts = {entry.id: pieces.get(entry.id, []) for entry in entries}
        self.drawings = {
            entry.id: self._drawing(entry, cards[entry.id], pieces.get(entry.id, [])) for entry in entries
        }
        self.concepts = _concepts(session)
        self._add_records(session)

    @property
    def document(self) -> dict[str, Any]:
        """All of it but the head of library.json."""
        return {
            "originals": [
                {"file": self.files[row.id], "sha256": row.sha256, "bytes": row.bytes, "format": row.format,
                 "width": row.width, "height": row.height, "pages": row.pages, "words": row.words}
                for row in self.originals.values()
            ],
            "drawings": list(self.drawings.values()),
            "collections": self.collections,
            **({"jobs": self.jobs, "releases": self.releases, "sales": self.sales} if self.private else {}),
        }  # fmt: skip

    def _file_names(self, session: Session) -> dict[int, str]:
        told: dict[int, str] = {}
        for original_id, name in session.execute(
            select(Arrival.original_id, Arrival.file_name).order_by(Arrival.id)
        ):
            told.setdefault(original_id, name)
        names = Names()
        found = {}
        for row in self.originals.values():
            path = Path(told.get(row.id, f"{row.sha256[:12]}.{row.format.lower()}"))
            found[row.id] = (
                f"originals/{names.name(path.stem, path.suffix.lower() if len(path.suffix) < 8 else '')}"
            )
        return found

    def _drawing(self, entry: Entry, card: queries.Card, pieces: list[Piece]) -> dict[str, Any]:
        first = pieces[0] if pieces else None
        return {
            "code": card.code,
            "uuid": card.uuid,
            "role": card.role,
            "title": card.title,
            "note": entry.note,
            "tags": list(card.tags),
            "facets": {name: list(values) for name, values in card.facets.items()},
            "file": self.files.get(first.original_id) if first else None,
            "page": first.page + 1 if first else None,
            "x": first.x if first else None,
            "y": first.y if first else None,
            "width": first.w if first else None,
            "height": first.h if first else None,
            "pieces": [
                {"file": self.files.get(p.original_id), "page": p.page + 1, "layer": p.layer,
                 "box": [p.x, p.y, p.w, p.h]}
                for p in pieces
            ],
            "ink": None,
            "body": None,
            "mask": None,
            "sure": None,
            "sure_why": [],
            "added": entry.added_at.isoformat(),
            "described": entry.described_at.isoformat() if entry.described_at else None,
            "in_attic": entry.in_attic,
            "from": [],
            "origin": [],
            **({"arrivals": [], "uses": []} if self.private else {}),
        }  # fmt: skip

    def _add_records(self, session: Session) -> None:
        owner = {row[0]: row[1] for row in session.execute(select(Version.id, Version.entry_id))}
        for child, parent, how in session.execute(select(Descent.child_id, Descent.parent_id, Descent.how)):
            mine, theirs = self.drawings.get(owner[child]), self.drawings.get(owner[parent])
            if mine and theirs:
                mine["from"].append({"code": theirs["code"], "how": how})
        for answer in session.scalars(select(OriginAnswer).order_by(OriginAnswer.id)):
            drawing = self.drawings.get(owner[answer.version_id])
            if drawing:
                drawing["origin"].append(self._answer(answer))
        self.collections = _collections(session, self.drawings)
        self.jobs = self._jobs(session, owner) if self.private else []
        self.releases = _releases(session) if self.private else []
        self.sales = _sales(session) if self.private else []

    def _answer(self, answer: OriginAnswer) -> dict[str, Any]:
        told: dict[str, Any] = {
            "question": answer.question,
            "value": answer.value,
            "at": answer.answered_at.isoformat(),
        }
        if self.private:
            told |= {"whose": answer.whose, "evidence": answer.evidence, "note": answer.note}
        return told

    def _jobs(self, session: Session, owner: dict[int, int]) -> list[dict[str, Any]]:
        jobs = {job.id: job for job in session.scalars(select(Job).order_by(Job.id)).unique()}
        for arrival in session.scalars(select(Arrival).order_by(Arrival.id)):
            drawing = self.drawings.get(arrival.entry_id or 0)
            if drawing:
                job = jobs.get(arrival.job_id or 0)
                drawing["arrivals"].append(
                    {
                        "source": arrival.source,
                        "at": arrival.arrived_at.isoformat(),
                        "job": job.name if job else None,
                    }
                )
        for use in session.scalars(select(Use).order_by(Use.id)):
            drawing = self.drawings.get(owner[use.version_id])
            if drawing:
                job = jobs.get(use.job_id or 0)
                drawing["uses"].append(
                    {"job": job.name if job else None, "shot": use.shot, "at": use.used_at.isoformat()}
                )
        return [{"code": job.code.code, "name": job.name, "client": job.client} for job in jobs.values()]


def _releases(session: Session) -> list[dict[str, Any]]:
    days = ("signed_on", "first_day", "last_day", "withdrawn_on")
    return [
        {"code": row.code.code, "kind": row.kind, "who": row.who, "place": row.place, "sha256": row.sha256,
         "note": row.note, **{day: value.isoformat() if (value := getattr(row, day)) else None for day in days}}
        for row in session.scalars(select(Release).order_by(Release.id))
    ]  # fmt: skip


def _sales(session: Session) -> list[dict[str, Any]]:
    return [
        {"certificate": row.document, "signature": row.signature, "revoked_why": row.revoked_why,
         "revoked_on": row.revoked_on.isoformat() if row.revoked_on else None}
        for row in session.scalars(select(Certificate).order_by(Certificate.id))
    ]  # fmt: skip


def _pieces(session: Session) -> dict[int, list[Piece]]:
    """The pieces of every drawing as it is shown now, by entry."""
    found: dict[int, list[Piece]] = defaultdict(list)
    query = (
        select(Entry.id, Piece)
        .join(Version, Version.id == Entry.current_version_id)
        .join(Cut, Cut.id == Version.current_cut_id)
        .join(Piece, Piece.cut_id == Cut.id)
        .order_by(Entry.id, Piece.ordinal)
    )
    for entry_id, piece in session.execute(query).unique():
        found[entry_id].append(piece)
    return found


def _collections(session: Session, drawings: dict[int, dict[str, Any]]) -> list[dict[str, Any]]:
    members: dict[int, list[str]] = defaultdict(list)
    query = select(CollectionItem.collection_id, CollectionItem.entry_id).order_by(CollectionItem.ordinal)
    for collection_id, entry_id in session.execute(query):
        if entry_id in drawings:
            members[collection_id].append(drawings[entry_id]["code"])
    held: dict[int, list[str]] = defaultdict(list)
    for bundle_id, facts in session.execute(
        select(BundleItem.bundle_id, BundleItem.facts).order_by(BundleItem.ordinal)
    ):
        held[bundle_id].append(facts["code"])
    issued: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for row in session.scalars(select(Bundle).order_by(Bundle.id)).unique():
        issued[row.collection_id].append(
            {"code": row.code.code, "number": row.number, "licence": row.licence, "issued": row.issued_on.isoformat(),
             "sha256": row.sha256, "drawings": held[row.id]}
        )  # fmt: skip
    return [
        {"code": row.code.code, "name": row.name, "licence": row.licence, "drawings": members[row.id],
         "issued": issued[row.id]}
        for row in session.scalars(select(Collection).order_by(Collection.id)).unique()
    ]  # fmt: skip


def _concepts(session: Session) -> list[sidecars.Concept]:
    labels: dict[int, list[tuple[str, str, str]]] = defaultdict(list)
    for row in session.scalars(select(Label).order_by(Label.id)):
        labels[row.concept_id].append((row.kind, row.text, row.language))
    slugs = {row[0]: row[1] for row in session.execute(select(Concept.id, Concept.slug))}
    related: dict[tuple[int, str], list[str]] = defaultdict(list)
    for relation in session.scalars(select(Relation).order_by(Relation.id)):
        related[relation.concept_id, relation.kind].append(slugs[relation.other_id])
    return [
        sidecars.Concept(
            row.slug, tuple(labels[row.id]), row.definition,
            tuple(related[row.id, "broader"]), tuple(related[row.id, "related"]),
        )
        for row in session.scalars(select(Concept).order_by(Concept.id))
    ]  # fmt: skip
