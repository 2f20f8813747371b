"""Concepts behind tags: the starting thesaurus, and the artist's own words."""

from __future__ import annotations

import sqlite3
from collections import defaultdict

from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from assetlib.catalogue.words import Concept, Label, Relation
from assetlib.library import Library
from assetlib.rules.words import thesaurus
from assetlib.rules.words.tags import fold, normalise_tag


def plant_thesaurus(lib: Library) -> int:
    """Put the starting thesaurus into a new library; returns how many concepts it has."""
    trade = thesaurus.load()
    numbers = {slug: number for number, slug in enumerate(trade.concepts, 1)}
    # Rows in bulk: thousands of mapped objects would make every new library wait for seconds.
    with lib.transaction() as session:
        connection = session.connection()
        connection.execute(
            insert(Concept),
            [{"id": number, "slug": slug, "scheme": "trade"} for slug, number in numbers.items()],
        )
        connection.execute(
            insert(Label),
            [
                {"concept_id": numbers[slug], **row}
                for slug, concept in trade.concepts.items()
                for row in _label_rows(concept)
            ],
        )
        connection.execute(
            insert(Relation),
            [
                {"concept_id": numbers[slug], "other_id": numbers[other], "kind": kind}
                for slug, concept in trade.concepts.items()
                for kind, others in (("broader", concept.broader), ("related", concept.related))
                for other in others
            ],
        )
        return len(numbers)


def _label_rows(concept: thesaurus.ThesaurusConcept) -> list[dict[str, str]]:
    labels = [(concept.pref, "preferred"), *((text, "other") for text in concept.alt)]
    labels += [(text, "hidden") for text in concept.hidden]
    unique = {fold(text): (text, kind) for text, kind in reversed(labels)}  # the preferred label wins
    abroad = {(tongue, fold(text)): text for tongue, text in concept.abroad}
    return [
        {"text": text, "folded": folded, "kind": kind, "language": thesaurus.HOME}
        for folded, (text, kind) in reversed(unique.items())
    ] + [
        {"text": text, "folded": folded, "kind": "other", "language": tongue}
        for (tongue, folded), text in abroad.items()
    ]


def read_thesaurus(connection: sqlite3.Connection) -> thesaurus.Thesaurus:
    """The thesaurus of a library: what it started with, and what the artist added, renamed and merged since."""
    labels: dict[int, list[tuple[str, str, str]]] = defaultdict(list)
    for concept, text, kind, language in connection.execute(
        "SELECT concept_id, text, kind, language FROM labels ORDER BY id"
    ):
        labels[concept].append((kind, language, text))
    links: dict[tuple[int, str], list[str]] = defaultdict(list)
    for concept, slug, kind in connection.execute(
        "SELECT r.concept_id, c.slug, r.kind FROM relations r JOIN concepts c ON c.id = r.other_id ORDER BY r.id"
    ):
        links[concept, kind].append(slug)
    facets = {c.id: (c.facet, c.value) for c in thesaurus.load().concepts.values() if c.facet}
    rows = [
        _row_of(slug, definition, labels[concept], links[concept, "broader"], links[concept, "related"])
        | dict(zip(("facet", "value"), facets.get(slug, ("", "")), strict=True))
        for concept, slug, definition in connection.execute(
            "SELECT id, slug, definition FROM concepts ORDER BY id"
        )
        if labels[concept]
    ]
    return thesaurus.build(rows)


def _row_of(
    slug: str,
    definition: str | None,
    labels: list[tuple[str, str, str]],
    broader: list[str],
    related: list[str],
) -> dict[str, object]:
    def of(kind: str) -> list[str]:
        return [text for k, language, text in labels if k == kind and language == thesaurus.HOME]

    abroad: dict[str, list[str]] = defaultdict(list)
    for _, language, text in labels:
        if language != thesaurus.HOME:
            abroad[language].append(text)
    return {
        "id": slug,
        "pref": next(iter(of("preferred")), labels[0][2]),
        "alt": of("other"),
        "hidden": of("hidden"),
        "broader": broader,
        "related": related,
        "definition": definition or "",
        **abroad,
    }


def concept_for(session: Session, text: str) -> Concept | None:
    """The concept that has this label: a preferred one before others, English before other languages."""
    order = {"preferred": 0, "other": 1, "hidden": 2}
    key = fold(text)
    labels = session.scalars(select(Label).where(Label.folded == key))
    known = [
        label for label in labels if label.language == thesaurus.HOME or key not in thesaurus.ENGLISH_TOO
    ]
    best = min(
        known,
        key=lambda label: (label.language != thesaurus.HOME, order[label.kind], label.concept_id),
        default=None,
    )
    return None if best is None else session.get(Concept, best.concept_id)


def concept_of(session: Session, text: str) -> Concept:
    """The concept for a tag as it was typed; a word that is new becomes a concept of the artist's own.

    Raises WrongUsage for a text that cannot be a tag.
    """
    name = normalise_tag(text)
    found = concept_for(session, name)
    if found is not None:
        return found
    concept = Concept(slug=f"own:{fold(name)}", scheme="own")
    concept.labels = [Label(text=name, folded=fold(name), kind="preferred")]
    session.add(concept)
    session.flush()
    return concept
