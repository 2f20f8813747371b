"""Concepts behind tags: the starting thesaurus, and the artist's own words."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.words import Concept, Label, Relation
from assetlib.library import Library
from assetlib.rules.words import thesaurus
from assetlib.rules.words.tags import fold, normalise_tag


def plant_thesaurus(lib: Library) -> int:
    """Put the starting thesaurus into a new library; returns how many concepts it has."""
    trade = thesaurus.load()
    with lib.transaction() as session:
        rows = {name: _concept_row(concept) for name, concept in trade.concepts.items()}
        session.add_all(rows.values())
        session.flush()
        for name, concept in trade.concepts.items():
            for kind, others in (("broader", concept.broader), ("related", concept.related)):
                for other in others:
                    session.add(Relation(concept_id=rows[name].id, other_id=rows[other].id, kind=kind))
        return len(rows)


def _concept_row(concept: thesaurus.ThesaurusConcept) -> Concept:
    row = Concept(slug=concept.id, scheme="trade")
    labels = [(concept.pref, "preferred"), *((text, "other") for text in concept.alt)]
    labels += [(text, "hidden") for text in concept.hidden]
    unique = {fold(text): (text, kind) for text, kind in reversed(labels)}  # the preferred label wins
    row.labels = [
        Label(text=text, folded=folded, kind=kind) for folded, (text, kind) in reversed(unique.items())
    ]
    abroad = {(tongue, fold(text)): text for tongue, text in concept.abroad}
    row.labels += [
        Label(text=text, folded=folded, kind="other", language=tongue)
        for (tongue, folded), text in abroad.items()
    ]
    return row


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
