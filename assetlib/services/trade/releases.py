"""Releases: signed papers with their days and files, laid to what is said of drawings.

A paper counts only for answers that its kind makes clear, and only on the days it holds. Whether it says what its
kind says, the artist states by naming it. This is no legal advice: local law and a licensed lawyer decide.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue import queries
from assetlib.catalogue.codes import find_code, new_code
from assetlib.catalogue.entries import Code, Entry
from assetlib.catalogue.trade import OriginAnswer, Release
from assetlib.errors import BadPicture, NotFound, WrongUsage, disk_said_plainly
from assetlib.imaging import paper_files
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.rules.rights.clearance import Evidence, PaperKind, Question, asking_for, clears
from assetlib.rules.wording import listed, one_line
from assetlib.services.versions import current_cut
from assetlib.storage.blobs import as_digest


@dataclass(frozen=True, slots=True)
class NewRelease:
    """What a paper is: its kind, who gave it and when, the days it holds, and where it is kept."""

    kind: PaperKind
    who: str
    signed_on: dt.date
    first_day: dt.date | None = None
    last_day: dt.date | None = None
    file: Path | None = None
    place: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class ReleaseView:
    """A release as it is kept, and the drawings it is laid to."""

    code: str
    kind: PaperKind
    who: str
    signed_on: dt.date
    first_day: dt.date | None
    last_day: dt.date | None
    withdrawn_on: dt.date | None
    place: str
    file: Path | None
    format: str | None
    note: str | None
    holds: bool
    """Whether it holds today."""
    drawings: tuple[str, ...]
    told: tuple[str, ...] = ()
    """Sentences on its file, when it is kept now."""


def evidence_from(session: Session, kept: dict[str, str]) -> Evidence | None:
    """A paper as an answer names it; None for a release that is not there any more."""
    code = kept.get("release")
    if code is None:
        return Evidence(PaperKind(kept["kind"]), kept["place"])
    row = session.scalar(select(Release).join(Code, Code.id == Release.id).where(Code.code == code))
    return _evidence(row) if row is not None else None


def _evidence(row: Release) -> Evidence:
    return Evidence(
        PaperKind(row.kind), row.place, row.who, row.code.code,
        # signed later than it is said to hold: before it was signed it was none
        max(filter(None, [row.first_day, row.signed_on])), row.last_day, row.withdrawn_on,
    )  # fmt: skip


def add(lib: Library, new: NewRelease, codes: Sequence[str] = ()) -> ReleaseView:
    """Keep a release, and lay it to what is said of these drawings; one step.

    Raises WrongUsage for days that cannot be, a paper that is nowhere, or a drawing it serves no answer of;
    BadPicture for a file that is not what a paper is kept as.
    """
    new = _sound(lib, new)
    kind = _kind_of(lib, new.file) if new.file else None
    told = paper_files.doubts(new.file, kind) if new.file and kind else ()
    with lib.transaction(f"{new.kind.value} of {new.who}") as session:
        code = new_code(session, "release", lib.now())
        session.flush()
        digest = None
        if new.file:
            with disk_said_plainly(lib.folder):
                digest = lib.papers.put_bytes(new.file.read_bytes())
        row = Release(
            id=code.id, code=code, kind=new.kind.value, who=new.who, signed_on=new.signed_on,
            first_day=new.first_day, last_day=new.last_day, withdrawn_on=None,
            place=new.place or (new.file.name if new.file else ""), sha256=digest, format=kind,
            note=new.note or None, made_at=lib.now(),
        )  # fmt: skip
        session.add(row)
        session.flush()
        _lay(session, row, codes)
        return replace(_view(lib, session, row), told=told)


def lay(lib: Library, given: str, codes: Sequence[str]) -> ReleaseView:
    """Lay a release to what is said of more drawings. Raises WrongUsage where it serves none of a drawing's answers."""
    with lib.transaction(f"release {given} laid to {listed(codes)}") as session:
        row = _named(session, given)
        _lay(session, row, codes)
        return _view(lib, session, row)


def withdraw(lib: Library, given: str, day: dt.date) -> ReleaseView:
    """Note that a release holds no more from a day on. What was sealed before stays sealed.

    Raises WrongUsage for a day before it was signed.
    """
    with lib.transaction(f"release {given} withdrawn") as session:
        row = _named(session, given)
        if day < row.signed_on:
            raise WrongUsage(
                f"{row.code.code} cannot be withdrawn on {day}, before it was signed on {row.signed_on}",
                f"if it was never right, take it out: assetlib release remove {row.code.code}",
            )
        row.withdrawn_on = day
        session.flush()
        return _view(lib, session, row)


def remove(lib: Library, given: str) -> ReleaseView:
    """Take a release that was wrong out again, and off all answers that name it; one step. Returns what it was."""
    with lib.transaction(f"release {given} removed") as session:
        row = _named(session, given)
        gone = _view(lib, session, row)
        for said in session.scalars(select(OriginAnswer)):
            kept = [paper for paper in said.evidence if paper.get("release") != gone.code]
            if len(kept) != len(said.evidence):
                said.evidence = kept
        session.flush()
        session.delete(row)
        session.flush()
        return replace(gone, holds=False)


def everything(lib: Library) -> list[ReleaseView]:
    """All releases, the newest first."""
    with lib.reading() as session:
        rows = session.scalars(select(Release).order_by(Release.id.desc())).all()
        laid = _laid(session)
        return [_as_kept(lib, row, laid) for row in rows]


def one(lib: Library, given: str) -> ReleaseView:
    """One release by its code. Raises NotFound."""
    with lib.reading() as session:
        return _view(lib, session, _named(session, given))


def _sound(lib: Library, new: NewRelease) -> NewRelease:
    who = one_line(new.who)
    if not who:
        raise WrongUsage("a release needs a name: who gave it", 'say it with --who "NAME"')
    if new.signed_on > lib.now().date():
        raise WrongUsage(f"it cannot be signed on {new.signed_on}, which is still to come")
    if new.first_day and new.last_day and new.last_day < new.first_day:
        raise WrongUsage(f"it would end on {new.last_day}, before it begins on {new.first_day}")
    if new.last_day and new.last_day < new.signed_on:
        raise WrongUsage(f"it would end on {new.last_day}, before it was signed on {new.signed_on}")
    if new.file is None and not new.place.strip():
        raise WrongUsage(
            "say where the paper is", "--file FILE keeps a copy of it; --place names the binder it lies in"
        )
    return replace(new, who=who, place=one_line(new.place), note=one_line(new.note))


def _kind_of(lib: Library, path: Path) -> str:
    if not path.is_file():
        raise NotFound(f"there is no file {path}")
    outcome = call_supervised(paper_files.kind_of, path, **lib.settings.limits())
    if outcome.value is None:
        raise BadPicture(outcome.reason or f"{path.name} cannot be read", outcome.hint)
    return outcome.value


def _named(session: Session, given: str) -> Release:
    code = find_code(session, given, ("release",))
    row = session.get(Release, code.id)
    if row is None:
        raise NotFound(f"the release {code.code} was taken out", "`assetlib undo` brings it back")
    return row


def _lay(session: Session, row: Release, codes: Sequence[str]) -> None:
    kept = {"kind": row.kind, "release": row.code.code, "place": row.place}
    kind = PaperKind(row.kind)
    for code in codes:
        entry = queries.entry(session, code, ("element",))
        served = [
            said for said in _said_of(session, entry) if clears(kind, Question(said.question), said.value)
        ]
        if not served:
            raise WrongUsage(
                f"nothing that is said of {entry.code.code} asks for a paper '{row.kind}'",
                _what_asks(kind, entry.code.code),
            )
        for said in served:
            if all(paper.get("release") != kept["release"] for paper in said.evidence):
                said.evidence = [*said.evidence, kept]
    session.flush()


def _what_asks(kind: PaperKind, code: str) -> str:
    """The line that says of a drawing what a paper of this kind is for; it runs as it stands."""
    rules = asking_for(kind)
    if not rules:
        return "no answer asks for it: `assetlib release kinds` tells which kind is for what"
    first, *others = (f'{rule.question.option} "{rule.value.replace("-", " ")}"' for rule in rules)
    more = f"; or, as it may be: {', '.join(others)}" if others else ""
    return f"if that is so, say first: assetlib origin {code} {first}{more}"


def _said_of(session: Session, entry: Entry) -> Sequence[OriginAnswer]:
    version = current_cut(entry).version_id
    return session.scalars(select(OriginAnswer).where(OriginAnswer.version_id == version)).all()


def _view(lib: Library, session: Session, row: Release) -> ReleaseView:
    return _as_kept(lib, row, _laid(session))


def _as_kept(lib: Library, row: Release, laid: Mapping[str, Sequence[str]]) -> ReleaseView:
    """A release with the drawings that each is laid to, by its code."""
    paper = _evidence(row)
    return ReleaseView(
        row.code.code, PaperKind(row.kind), row.who, row.signed_on, row.first_day, row.last_day, row.withdrawn_on,
        row.place, lib.papers.path(as_digest(row.sha256)) if row.sha256 else None, row.format, row.note,
        paper.holds_on(lib.now().date()), tuple(laid.get(row.code.code, ())),
    )  # fmt: skip


def _laid(session: Session) -> dict[str, list[str]]:
    """For the code of each release, the codes of the drawings whose current version rests on it."""
    rows = session.execute(
        select(Code.code, OriginAnswer.evidence)
        .join(Entry, Entry.id == Code.id)
        .join(OriginAnswer, OriginAnswer.version_id == Entry.current_version_id)
        .where(Entry.removed_at.is_(None))
        .order_by(Entry.id)
    )
    laid: defaultdict[str, dict[str, None]] = defaultdict(dict)
    for drawing, kept in rows:
        for paper in kept:
            if "release" in paper:
                laid[paper["release"]][drawing] = None
    return {code: list(drawings) for code, drawings in laid.items()}
