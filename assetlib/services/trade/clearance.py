"""Where drawings came from, answered by the artist, and what that means for selling them.

Answers hang on a version and name the cut they were said of. At a redraw, and where a cut has changed much, they
come along to be confirmed. This is no legal advice: local
law and a licensed lawyer decide.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.entries import Cut, Entry, Original, Piece
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
from assetlib.rules.rights.names import others_in_file
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
        meant = _meant(question, value)
        guess = f'did you mean {question.option} "{meant.replace("-", " ")}"? ' if meant else ""
        raise WrongUsage(
            f"'{text}' does not answer {question.option}",
            f"{guess}choose one of: {', '.join(choices(question))}",
        )
    return value


_SPOKEN = {
    "memory": "out-of-the-head", "from-memory": "out-of-the-head", "imagination": "out-of-the-head",
    "head": "out-of-the-head", "life": "observed", "from-life": "observed", "photo": "own-photo",
    "mine": "own", "me": "own", "my-own": "own", "myself": "own", "own-work": "own",
    "nothing": "none", "no": "none", "nobody": "none", "no-one": "none", "never": "none",
    "person": "real-person", "people": "real-person", "a-real-person": "real-person", "logo": "brand",
    "building": "property", "somebody-else": "someone-else", "bought": "someone-else",
    "downloaded": "someone-else", "clip-art": "someone-else", "yes": "assisted",
}  # fmt: skip
"""What people say for answers of the table; own, no source. It is only asked back, never taken."""


def _meant(question: Question, value: str) -> str | None:
    """The answer that is probably meant, None where nothing is near."""
    if _SPOKEN.get(value) in choices(question):
        return _SPOKEN[value]
    near = difflib.get_close_matches(value, choices(question), n=1, cutoff=0.6)
    return near[0] if near else None


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

    Answers replace older ones on one drawing, or with `replace`. On many, where an answer would change another,
    nothing at all is noted, and what stands in the way is told in `left`; the same answer said again only adds to what
    was said with it.
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
            return [_cleared(lib, session, entry, lib.now().date()) for entry in entries]
        reference = (
            queries.entry(session, statement.reference, ("reference",)) if statement.reference else None
        )
        replacing = len(entries) == 1 if replace is None else replace
        left = {entry.id: () if replacing else _in_the_way(session, entry, statement) for entry in entries}
        if not any(left.values()):
            for entry in entries:
                _note(lib, session, entry, statement, reference, replacing=replacing)
        session.flush()
        today = lib.now().date()
        return [
            dataclasses.replace(_cleared(lib, session, entry, today), left=left[entry.id])
            for entry in entries
        ]


def confirm(lib: Library, codes: Sequence[str]) -> list[Cleared]:
    """Note that what came along to these elements still holds for them as they are now; one step for all."""
    with lib.transaction(f"origin of {listed(codes)} confirmed") as session:
        entries = _elements(session, codes)
        for entry in entries:
            for row in filter(lambda row: row.to_confirm, _said_of(session, entry.current_version_id)):
                row.to_confirm, row.cut_id = False, current_cut(entry).id
        session.flush()
        return [_cleared(lib, session, entry, lib.now().date()) for entry in entries]


def clearance(lib: Library, codes: Sequence[str], on: dt.date | None = None) -> list[Cleared]:
    """How these elements stand on a day, today unless one is named, in the order of the codes."""
    with lib.reading() as session:
        day = on or lib.now().date()
        return [_cleared(lib, session, entry, day) for entry in _elements(session, codes)]


def others_named(lib: Library, codes: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """The drawings whose file names somebody else as author or holder of rights, with the names."""
    with lib.reading() as session:
        entries = [queries.entry(session, code) for code in codes]
        found = {
            entry.code.code: _others(session, entry.current_version_id, lib.settings.artist)
            for entry in entries
        }
    return {code: names for code, names in found.items() if names}


def _others(session: Session, version_id: int | None, artist: str) -> tuple[str, ...]:
    """Names in the files of a version that are not the artist's."""
    files = session.scalars(
        select(Original)
        .join(Piece, Piece.original_id == Original.id)
        .join(Cut, Cut.id == Piece.cut_id)
        .where(Cut.version_id == version_id)
    )
    return tuple(
        dict.fromkeys(name for file in files.unique() for name in others_in_file(file.words, artist))
    )


def verdict_of(
    session: Session, version_id: int, on: dt.date, artist: str
) -> tuple[tuple[Answer, ...], tuple[str, ...], Verdict]:
    """The answers on a version, whose work they name, and the verdict on a day."""
    rows = _said_of(session, version_id)
    answers = tuple(answer_from(session, row) for row in rows)
    whose = tuple(dict.fromkeys(row.whose for row in rows if row.whose))
    return answers, whose, judge(answers, on, _others(session, version_id, artist))


def _said_of(session: Session, version_id: int | None) -> Sequence[OriginAnswer]:
    """All answers on a version, oldest first."""
    said = select(OriginAnswer).where(OriginAnswer.version_id == version_id).order_by(OriginAnswer.id)
    return session.scalars(said).all()


def answer_from(session: Session, row: OriginAnswer) -> Answer:
    """An answer as it is kept, for judging, with the releases it names as they stand now."""
    papers = tuple(found for kept in row.evidence if (found := evidence_from(session, kept)))
    return Answer(
        Question(row.question), row.value, papers, row.note or "", row.answered_at.date(), row.to_confirm,
        row.whose or "",
    )  # fmt: skip


def _elements(session: Session, codes: Sequence[str]) -> list[Entry]:
    if not codes:
        raise WrongUsage("no drawing was named", "give one code or more")
    found = (queries.entry(session, code, ("element",)) for code in codes)
    return list({entry.id: entry for entry in found}.values())


def _cleared(lib: Library, session: Session, entry: Entry, on: dt.date) -> Cleared:
    return cleared(session, entry, queries.cards(session, [entry.id])[entry.id], on, lib.settings.artist)


def cleared(session: Session, entry: Entry, card: queries.Card, on: dt.date, artist: str) -> Cleared:
    """How an element stands on a day, on an open session; `artist` is whose library it is."""
    cut = current_cut(entry)
    assert entry.current is not None
    return Cleared(
        card, entry.current.number, cut.number, *verdict_of(session, cut.version_id, on, artist), pinned(entry),
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
) -> None:
    """Note the answers to the questions that are answered now; what they may not replace was looked for before."""
    said = _said_of(session, entry.current_version_id)
    for question in dict.fromkeys(question for question, _ in statement.values):
        asked = [value for other, value in dict.fromkeys(statement.values) if other is question]
        older = [row for row in said if row.question == question.value]
        if replacing or not older:
            for row in older:
                session.delete(row)
            session.flush()
            session.add_all(_row(lib, entry, question, value, statement, reference) for value in asked)
        else:
            for row in older:
                _add_to(row, _row(lib, entry, question, row.value, statement, reference))


def _in_the_way(session: Session, entry: Entry, statement: Statement) -> tuple[Left, ...]:
    """What stands on a drawing and would be changed by what is said now."""
    said = _said_of(session, entry.current_version_id)
    left = []
    for question in dict.fromkeys(question for question, _ in statement.values):
        asked = [value for other, value in dict.fromkeys(statement.values) if other is question]
        older = [row for row in said if row.question == question.value]
        same = {row.value for row in older} == set(asked) and not _says_other_owner(older, statement)
        if older and not same:
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
