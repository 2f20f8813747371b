"""What to mind before a drawing goes into a job's delivery: said early, stopping nothing. No legal advice."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.entries import Arrival, Piece, Version
from assetlib.catalogue.trade import BundleItem
from assetlib.catalogue.work import Job, JobAgreement
from assetlib.library import Library
from assetlib.services.jobs.jobs import job_asked

_GIVEN_AWAY = ("made for hire", "assigned", "exclusive licence")
_ASSIGNS = ("made for hire", "assigned", "exclusive licence")


class Cautions:
    """What stands against drawings for one job, looked up once for all of them."""

    def __init__(self, lib: Library, job: str | None) -> None:
        self.confidential: dict[int, str] = {}
        """By entry: kept confidential for another client until a day."""
        self.others: dict[int, list[str]] = defaultdict(list)
        with lib.reading() as session:
            mine = job_asked(session, job) if job else None
            today = lib.now().date()
            for other in session.scalars(select(Job)):
                if mine is None or other.id != mine.id:
                    self._note_job(session, other, mine, today)
            if mine is not None and _kinds(session, mine.id, today) & set(_ASSIGNS):
                for entry in session.scalars(select(Version.entry_id).join(BundleItem)):
                    self.others[entry].append("in a bundle built for sale, while this job assigns rights")

    def of(self, entry_id: int) -> tuple[str, ...]:
        """What to mind of a drawing."""
        kept = [self.confidential[entry_id]] if entry_id in self.confidential else []
        return (*kept, *dict.fromkeys(self.others.get(entry_id, ())))

    def _note_job(self, session: Session, other: Job, mine: Job | None, today: dt.date) -> None:
        secret = other.confidential_until is not None and other.confidential_until >= today
        same_client = mine is not None and mine.client is not None and mine.client == other.client
        given = sorted(_kinds(session, other.id, today) & set(_GIVEN_AWAY))
        if same_client or not (secret or given):
            return
        for entry in _entries_of(session, other.id):
            if secret:
                self.confidential[entry] = (
                    f"kept confidential for another client until {other.confidential_until:%d %b %Y}"
                )
            for kind in given:
                self.others[entry].append(f"{kind} elsewhere")


def _kinds(session: Session, job_id: int, today: dt.date) -> set[str]:
    """What a job's papers say today."""
    rows = session.scalars(select(JobAgreement).where(JobAgreement.job_id == job_id))
    return {row.kind for row in rows if row.last_day is None or row.last_day >= today}


def _entries_of(session: Session, job_id: int) -> set[int]:
    """Entries that were brought in for a job, and those cut from what was brought in."""
    arrived = (
        select(Version.entry_id)
        .join(Piece, Piece.cut_id == Version.current_cut_id)
        .join(Arrival, Arrival.original_id == Piece.original_id)
        .where(Arrival.job_id == job_id)
    )
    return set(session.scalars(arrived))
