"""Keeping what was read of a file: its entry, or its arrival at the entry that has it already."""

from __future__ import annotations

import datetime as dt
import os
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from assetlib.catalogue.derived import Derived
from assetlib.catalogue.entries import Arrival, Entry, Original
from assetlib.catalogue.identity import Removal
from assetlib.imaging import formats
from assetlib.imaging.pages.fixing import fix_from
from assetlib.imaging.survey import Survey
from assetlib.library import Library
from assetlib.rules.words.names import title_from
from assetlib.services import shelf
from assetlib.services.bringing.arrivals import Added, Known, Outcome, Wishes
from assetlib.services.bringing.gathering import path_text
from assetlib.services.bringing.recognising import Hashes, LookedUp, SeenHere, holder_of, how_known
from assetlib.services.bringing.role_doubts import MayBe, command_for_file, commands
from assetlib.services.describing import tagging
from assetlib.services.jobs import jobs
from assetlib.services.keeping import upkeep
from assetlib.services.versions import current_cut

SHEET_FROM = 0.2
"""The likeness to a sheet from which a picture is brought in as one, unless the artist says otherwise.

Tuned on made pages (`python -m tests.bench.told --half tune --seed 7001`).
"""

UNSURE = (0.05, 0.55)
"""Likenesses between which it is asked: one in six of these was told wrong, of all beyond them one in fifty.

Tuned on made pages (`python -m tests.bench.told --half tune --seed 7001`), so that fewer than .15 are asked about.
"""


@dataclass(frozen=True, slots=True)
class Ready:
    """A surveyed file whose bytes are in the store and whose rows are to be written."""

    path: Path
    result: Survey
    status: os.stat_result


class Keeper:
    """Writes the rows of one bringing-in; knows its wishes, and looks its job and recipe up once."""

    def __init__(self, lib: Library, wishes: Wishes, staging: Path, seen: SeenHere) -> None:
        self.seen = seen
        self.lib = lib
        self.wishes = wishes
        self.staging = staging
        self.job: int | None = None
        self.proof_recipe: int | None = None

    def keep(self, session: Session, item: Ready, hashes: Hashes) -> tuple[Outcome, int]:
        """What became of one file, its rows written, and the id of the entry whose words it touched."""
        result, known = item.result, hashes.look_up(item.result)
        name = path_text(Path(item.path.name))
        if self.wishes.removed:  # the artist asked outright for what was removed for good
            session.execute(delete(Removal).where(Removal.sha256 == result.sha256))
        holder = holder_of(session, result, self.wishes.role) if known.maybe else None
        if holder is None:
            entry = self._new_entry(session, item, known.original)
            entry.may_be = may_be(result, self.wishes)
            self.seen.note(name, result)
            outcome: Outcome = added(entry.code.code, entry.title, item.path, result, self.wishes)
        else:
            entry = holder
            if self.wishes.role is not None:  # said outright, that is what it is
                entry.may_be = None
            self._put_given_tags(session, entry)
            (self.staging / result.proof.path).unlink(missing_ok=True)
            how = self.seen.told(name, result) or how_known(entry, known.same_bytes)
            outcome = Known(entry.code.code, path_text(item.path), how)
        self._arrive(session, known, entry, item)
        return outcome, entry.id

    def _new_entry(self, session: Session, item: Ready, original: Original) -> Entry:
        path, result = item.path, item.result
        title, title_source = title_of(path, result, self.wishes)
        entry = shelf.add_entry(
            self.lib,
            session,
            role=role_of(result, self.wishes),
            title=title,
            title_source=title_source,
            ground=result.ground,
            parts=[
                shelf.PiecePart(
                    original.id,
                    (0, 0, *(result.page_size or result.facts.size)),
                    resolution=_rendered_at(result),
                )
            ],
            page_fix=result.page_fix,
        )
        shelf.suggest_finish(self.lib, session, entry, result.finish)
        self._put_given_tags(session, entry)
        tagging.offer_words(self.lib, session, entry, result.facts.words.keywords)
        self._keep_proof(session, entry, self.staging / result.proof.path)
        return entry

    def _put_given_tags(self, session: Session, entry: Entry) -> None:
        tagging.put_tags(self.lib, session, entry, self.wishes.tags, source="artist", state="given")

    def _keep_proof(self, session: Session, entry: Entry, staged: Path) -> None:
        assert entry.current is not None
        if self.proof_recipe is None:
            self.proof_recipe = shelf.recipe_id(
                self.lib, session, upkeep.PROOF.kind, upkeep.PROOF.recipe, upkeep.PROOF.details
            )
        name = f"proof/{entry.current.uuid[:2]}/{entry.current.uuid}.webp"
        target = self.lib.derived / name
        target.parent.mkdir(parents=True, exist_ok=True)
        staged.rename(target)
        session.add(
            Derived(
                cut_id=current_cut(entry).id, recipe_id=self.proof_recipe, path=name, made_at=self.lib.now(),
                sums=shelf.sums_of(self.lib, name, None),
            )
        )  # fmt: skip

    def _arrive(self, session: Session, known: LookedUp, entry: Entry, item: Ready) -> None:
        """Note that an original came from this path; a later look at the same path renews the note."""
        if self.wishes.job and self.job is None:
            self.job = jobs.job_asked(session, self.wishes.job).id
        source = path_text(item.path)
        # bytes that are new have not arrived from anywhere
        arrival = _arrival_of(session, known.original, source) if known.same_bytes else None
        if arrival is None:
            arrival = Arrival(
                original_id=known.original.id,
                source=source,
                file_name=path_text(Path(item.path.name)),
                arrived_at=self.lib.now(),
            )
            session.add(arrival)
        arrival.entry_id, arrival.file_time = entry.id, file_time(item.status)
        arrival.job_id = self.job if self.job is not None else arrival.job_id


def role_of(result: Survey, wishes: Wishes) -> str:
    """The role of a file that is new: what the artist wishes, else what its picture looks like."""
    judged = "sheet" if result.facts.pages > 1 or result.sheet_likeness >= SHEET_FROM else "element"
    return wishes.role or wishes.new_role or judged


def added(code: str, title: str, path: Path, result: Survey, wishes: Wishes) -> Added:
    """What is told of a file that is new: its role, what was done to its picture, and how sure that is."""
    role = role_of(result, wishes)
    fix = fix_from(result.page_fix)
    source, page = path_text(path), fix.words if fix else ()
    other = may_be(result, wishes)
    if other is None:
        return Added(code, title, role, source, page)
    mend, keep = commands(other, code) if code else (command_for_file(other, source), None)
    return Added(code, title, role, source, page, other.said, mend, keep)


def may_be(result: Survey, wishes: Wishes) -> MayBe | None:
    """What a picture may be in place of what it is taken for; None where that is sure."""
    if wishes.role_known or result.facts.pages > 1 or not UNSURE[0] <= result.sheet_likeness < UNSURE[1]:
        return None
    return MayBe.ELEMENT if result.sheet_likeness >= SHEET_FROM else MayBe.SHEET


def title_of(path: Path, result: Survey, wishes: Wishes) -> tuple[str, str]:
    """The title of a file that is new, and where it comes from."""
    if wishes.title:
        return wishes.title, "artist"
    if named := title_from(path_text(path)):
        return named, "file name"
    # Whoever made a file wrote what stands inside it; the artist named it. A name that says nothing (IMG_1234) is
    # still better than none.
    inside = result.facts.words.title
    return (inside, "file") if inside else (path_text(Path(path.stem)), "file name")


def file_time(status: os.stat_result) -> dt.datetime:
    """When a file was last changed."""
    return dt.datetime.fromtimestamp(status.st_mtime, dt.UTC)


def _arrival_of(session: Session, original: Original, source: str) -> Arrival | None:
    return session.scalar(select(Arrival).where(Arrival.original_id == original.id, Arrival.source == source))


def _rendered_at(result: Survey) -> float | None:
    """The resolution that a drawing without pixels of its own was rendered at; boxes and masks hold for it alone."""
    facts = result.facts
    return facts.resolution[0] if facts.media_type in formats.VECTOR and facts.resolution else None
