"""Where drawings came from, answered by the artist, and what that means for selling them.

Answers hang on a version and name the cut they were said of. At a redraw, and where a cut has changed much, they
come along to be confirmed. This is no legal advice: local
law and a licensed lawyer decide.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.trade import OriginAnswer
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.clearance import (
    Answer,
    PaperKind,
    Question,
    Verdict,
    choices,
    clears,
    judge,
)
from assetlib.rules.wording import listed
from assetlib.services.shelf import copy_sureness
from assetlib.services.trade.releases import evidence_from
from assetlib.services.versions import Pinned, current_cut, pinned

__all__ = ["Cleared", "Statement", "answer", "clearance", "confirm", "verdict_of"]


@dataclass(frozen=True, slots=True)
class Statement:
    """What the artist says of drawings; each question may have several answers, and answers replace older ones."""

    values: tuple[tuple[Question, str], ...] = ()
    whose: str | None = None
    """Who owns the reference or the work."""
    reference: str | None = None
    """The code of the reference it was drawn from, where that is in the library."""
    papers: tuple[tuple[PaperKind, str], ...] = ()
    """Kept papers: what each says and where it is."""
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Left:
    """An answer that was asked for and left, and what stands in its place."""

    question: Question
    stands: tuple[str, ...]
    asked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cleared:
    """An element with the answers on its current version and the verdict they lead to."""

    card: queries.Card
    version: int
    cut: int
    answers: tuple[Answer, ...]
    whose: tuple[str, ...]
    verdict: Verdict
    judged: Pinned
    """What the drawing was when this was told."""
    sure: str | None = None
    """How sure its clean copy is: sure, look at it, cannot; None before it was made."""
    sure_why: tuple[str, ...] = ()
    left: tuple[Left, ...] = ()
    """Answers that were given now and not noted, since others stand."""

    @property
    def to_confirm(self) -> bool:
        """Whether something that is said of it has to be confirmed first."""
        return any(answer.to_confirm for answer in self.answers)


def read_value(question: Question, text: str) -> str:
    """The answer that `text` means, spaces or hyphens alike. Raises WrongUsage naming the choices."""
    value = "-".join(text.strip().lower().replace("_", "-").split())
    if value not in choices(question):
        raise WrongUsage(
            f"'{text}' does not answer where {question.value} is asked",
            f"choose one of: {', '.join(choices(question))}",
        )
    return value


def read_paper(text: str) -> tuple[PaperKind, str]:
    """`KIND=PLACE` as a kept paper. Raises WrongUsage naming the kinds."""
    kind, equals, place = text.partition("=")
    name = "-".join(kind.strip().lower().split())
    if not equals or not place.strip() or name not in list(PaperKind):
        raise WrongUsage(
            f"'{text}' does not name a paper", f"write KIND=PLACE, KIND one of: {', '.join(PaperKind)}"
        )
    return PaperKind(name), place.strip()


def answer(
    lib: Library, codes: Sequence[str], statement: Statement, *, replace: bool | None = None
) -> list[Cleared]:
    """Note what is said of these elements' current versions; one step for all. Returns how they stand then.

    Answers replace older ones on one drawing, or with `replace`. On many, an answer that would change another is
    left as it stands and told in `left`; the same answer said again only adds to what was said with it.
    A paper alone is laid to the answers that it makes clear.
    Raises WrongUsage where nothing is answered, papers stand beside several answers, or one alone serves none.
    """
    if not statement.values and not statement.papers:
        raise WrongUsage("nothing was answered", "say at least one of --drawn, --rights, --shows, --ai")
    if statement.papers and len(set(statement.values)) > 1:
        raise WrongUsage(
            "a paper counts for one answer, and several were given with it", "give each answer its own line"
        )
    with lib.transaction(f"origin of {listed(codes)}") as session:
        entries = _elements(session, codes)
        if not statement.values:
            for entry in entries:
                _lay_papers(session, entry, statement)
            session.flush()
            return [_cleared(session, entry, lib.now().date()) for entry in entries]
        reference = (
            queries.entry(session, statement.reference, ("reference",)) if statement.reference else None
        )
        replacing = len(entries) == 1 if replace is None else replace
        left = {
            entry.id: _note(lib, session, entry, statement, reference, replacing=replacing)
            for entry in entries
        }
        session.flush()
        today = lib.now().date()
        return [
            dataclasses.replace(_cleared(session, entry, today), left=left[entry.id]) for entry in entries
        ]


def confirm(lib: Library, codes: Sequence[str]) -> list[Cleared]:
    """Note that what came along to these elements still holds for them as they are now; one step for all."""
    with lib.transaction(f"origin of {listed(codes)} confirmed") as session:
        entries = _elements(session, codes)
        for entry in entries:
            for row in filter(lambda row: row.to_confirm, _said_of(session, entry.current_version_id)):
                row.to_confirm, row.cut_id = False, current_cut(entry).id
        session.flush()
        return [_cleared(session, entry, lib.now().date()) for entry in entries]


def clearance(lib: Library, codes: Sequence[str], on: dt.date | None = None) -> list[Cleared]:
    """How these elements stand on a day, today unless one is named, in the order of the codes."""
    with lib.reading() as session:
        return [_cleared(session, entry, on or lib.now().date()) for entry in _elements(session, codes)]


def verdict_of(
    session: Session, version_id: int, on: dt.date
) -> tuple[tuple[Answer, ...], tuple[str, ...], Verdict]:
    """The answers on a version, whose work they name, and the verdict on a day."""
    rows = _said_of(session, version_id)
    answers = tuple(answer_from(session, row) for row in rows)
    whose = tuple(dict.fromkeys(row.whose for row in rows if row.whose))
    return answers, whose, judge(answers, on)


def _said_of(session: Session, version_id: int | None) -> Sequence[OriginAnswer]:
    """All answers on a version, oldest first."""
    said = select(OriginAnswer).where(OriginAnswer.version_id == version_id).order_by(OriginAnswer.id)
    return session.scalars(said).all()


def answer_from(session: Session, row: OriginAnswer) -> Answer:
    """An answer as it is kept, for judging, with the releases it names as they stand now."""
    papers = tuple(found for kept in row.evidence if (found := evidence_from(session, kept)))
    return Answer(
        Question(row.question), row.value, papers, row.note or "", row.answered_at.date(), row.to_confirm
    )


def _elements(session: Session, codes: Sequence[str]) -> list[Entry]:
    if not codes:
        raise WrongUsage("no drawing was named", "give one code or more")
    found = (queries.entry(session, code, ("element",)) for code in codes)
    return list({entry.id: entry for entry in found}.values())


def _cleared(session: Session, entry: Entry, on: dt.date) -> Cleared:
    return cleared(session, entry, queries.cards(session, [entry.id])[entry.id], on)


def cleared(session: Session, entry: Entry, card: queries.Card, on: dt.date) -> Cleared:
    """How an element stands on a day, on an open session."""
    cut = current_cut(entry)
    assert entry.current is not None
    return Cleared(
        card, entry.current.number, cut.number, *verdict_of(session, cut.version_id, on), pinned(entry),
        *copy_sureness(session, cut.id),
    )  # fmt: skip


def _note(
    lib: Library,
    session: Session,
    entry: Entry,
    statement: Statement,
    reference: Entry | None,
    *,
    replacing: bool,
) -> tuple[Left, ...]:
    """Note the answers to the questions that are answered now; what of them was left, where they may not replace."""
    left = []
    said = _said_of(session, entry.current_version_id)
    for question in dict.fromkeys(question for question, _ in statement.values):
        asked = [value for other, value in dict.fromkeys(statement.values) if other is question]
        older = [row for row in said if row.question == question.value]
        if replacing or not older:
            for row in older:
                session.delete(row)
            session.flush()
            session.add_all(_row(lib, entry, question, value, statement, reference) for value in asked)
        elif {row.value for row in older} == set(asked) and not _says_other_owner(older, statement):
            for row in older:
                _add_to(row, _row(lib, entry, question, row.value, statement, reference))
        else:
            left.append(Left(question, tuple(row.value for row in older), tuple(asked)))
    return tuple(left)


def _lay_papers(session: Session, entry: Entry, statement: Statement) -> None:
    """Lay papers that came alone to the answers they make clear. Raises WrongUsage where one serves no answer."""
    rows = _said_of(session, entry.current_version_id)
    for kind, place in statement.papers:
        served = [row for row in rows if clears(kind, Question(row.question), row.value)]
        if not served:
            raise WrongUsage(
                f"nothing that was said of {entry.code.code} asks for a paper '{kind}'",
                "say in the same line which answer it is kept for, as in --shows property",
            )
        paper = {"kind": kind.value, "place": place}
        for row in served:
            row.evidence = [*row.evidence, *([] if paper in row.evidence else [paper])]


def _row(
    lib: Library,
    entry: Entry,
    question: Question,
    value: str,
    statement: Statement,
    reference: Entry | None,
) -> OriginAnswer:
    from_reference = question is Question.ORIGIN and reference is not None
    return OriginAnswer(
        version_id=entry.current_version_id,
        cut_id=current_cut(entry).id,
        question=question.value,
        value=value,
        whose=statement.whose if question in (Question.ORIGIN, Question.OWNERSHIP) else None,
        reference_id=reference.id if from_reference and reference else None,
        evidence=[{"kind": kind.value, "place": place} for kind, place in statement.papers],
        note=statement.note,
        answered_at=lib.now(),
    )


def _says_other_owner(older: Iterable[OriginAnswer], statement: Statement) -> bool:
    return statement.whose is not None and any(row.whose not in (None, statement.whose) for row in older)


def _add_to(row: OriginAnswer, said: OriginAnswer) -> None:
    """The same answer once more: whose it is, papers and note are taken over where they are given now."""
    row.whose = said.whose or row.whose
    row.reference_id = said.reference_id or row.reference_id
    row.evidence = [*row.evidence, *(paper for paper in said.evidence if paper not in row.evidence)]
    row.note = said.note or row.note
    row.answered_at, row.to_confirm, row.cut_id = said.answered_at, False, said.cut_id


def states(cleared: Iterable[Cleared]) -> dict[str, int]:
    """How many stand at each verdict."""
    counts: dict[str, int] = {}
    for item in cleared:
        counts[item.verdict.state.value] = counts.get(item.verdict.state.value, 0) + 1
    return counts
