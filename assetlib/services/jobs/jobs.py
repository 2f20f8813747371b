"""Jobs: the assignments that drawings were made for and used on."""

from __future__ import annotations

import uuid

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import new_code
from assetlib.catalogue.work import Job
from assetlib.errors import WrongUsage
from assetlib.library import Library


def job_named(lib: Library, session: Session, name: str) -> Job:
    """The job of this name, made when it is new. Raises WrongUsage for an empty name."""
    name = " ".join(name.split())
    if not name:
        raise WrongUsage("a job needs a name")
    found = session.scalar(select(Job).where(Job.name == name))
    if found is not None:
        return found
    code = new_code(session, "job", lib.now())
    session.flush()
    job = Job(id=code.id, uuid=str(uuid.uuid4()), name=name, made_at=lib.now(), code=code)
    session.add(job)
    session.flush()
    return job
