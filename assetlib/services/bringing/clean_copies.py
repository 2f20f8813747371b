"""Clean copies as the artist wants them: openings switched, blemishes taken out, files to take along."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import delete, select

from assetlib.catalogue import queries
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Entry, Version
from assetlib.errors import BadPicture, WrongUsage
from assetlib.imaging.assembly import write_openings
from assetlib.imaging.cleaning.unasked import LEFT_IN
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.services.bringing.switching import said_last, switched
from assetlib.services.keeping import leftovers, upkeep
from assetlib.services.pictures import picture_plan
from assetlib.services.versions import (
    Openings,
    Pinned,
    change_choices,
    choices,
    current_cut,
    pinned,
    refuse_moved,
)

BLEMISHES = (
    "speck",
    "punch hole",
    "ruled line",
    "tape shadow",
    "underdrawing",
    "stain",
    "torn edge",
    "ground tone",
)
"""What can be taken out of a clean copy; the values of `imaging.cleaning.Blemish`."""

UNASKED = {"underdrawing", "stain", "speck", "torn edge"}
"""What is taken out unasked where it is beyond doubt, until it is put back."""

REPORTED = set(BLEMISHES) - {"ground tone"}

ALSO = {
    "ring": "stain", "coffee": "stain", "ruling": "ruled line", "square": "ruled line", "tear": "torn edge",
    "dust": "speck", "hair": "speck", "lint": "speck",
}  # fmt: skip
"""Other words for them."""


@dataclass(frozen=True, slots=True)
class Changes:
    """What is to be different on a clean copy. Openings go by the numbers of its overlay."""

    open: tuple[int, ...] = ()
    shut: tuple[int, ...] = ()
    remove: tuple[str, ...] = ()
    put_back: tuple[str, ...] = ()
    open_at: tuple[tuple[int, int], ...] = ()
    shut_at: tuple[tuple[int, int], ...] = ()
    """Places x, y in pixels of the drawing, for areas without a number."""
    open_like: tuple[int, ...] = ()
    shut_like: tuple[int, ...] = ()
    """Numbers of openings that are switched with all that are like them."""

    @property
    def by_place(self) -> bool:
        """Whether something is switched, which every drawing has elsewhere."""
        switched = (self.open, self.shut, self.open_at, self.shut_at, self.open_like, self.shut_like)
        return any(switched)


@dataclass(frozen=True, slots=True)
class Copies:
    """The files of an entry's clean copy, and what is known of it. Paths are absolute."""

    card: queries.Card
    ink: Path
    body: Path
    mask: Path
    openings: tuple[dict[str, Any], ...]
    """number, box [x, y, w, h], inside [x, y], open."""
    removed: tuple[dict[str, Any], ...]
    """kind, box."""
    sure: str
    """sure, look at it, or cannot: whether it can be used as it is."""
    sure_why: tuple[str, ...]
    seen: tuple[str, ...]
    """Kinds of blemish that seem to be on its page and are still in it, without those tried in vain."""
    in_vain: tuple[str, ...]
    """Kinds of blemish that were to be taken out, and of which nothing was found to take out."""
    judged: Pinned
    """The version and cut that it was made of."""
    switched: tuple[tuple[int, bool | None, bool], ...] = ()
    """What the changes switched: number, whether it was open before (None for a new number), whether it is now."""

    @property
    def look(self) -> tuple[str, ...]:
        """Why it is to be looked at before it is used; nothing where it is sure."""
        return () if self.sure == "sure" else self.sure_why or (self.sure,)

    @property
    def unsure(self) -> Unsure | None:
        """The same as it is listed; None where it is sure."""
        return Unsure(self.card.code, self.card.title, self.sure, self.look) if self.look else None


def make(lib: Library, given: str, changes: Changes | None = None) -> Copies:
    """The clean copy of an entry after the changes, made when it is not there. Changes are one undoable step.

    Raises NotFound, AmbiguousCode, WrongUsage for a number or blemish there is not, BadPicture.
    """
    with lib.reading() as session:
        entry = queries.entry(session, given)
    copies = _made(lib, entry)
    if changes is None or changes == Changes():
        return copies
    before = {opening["number"]: opening["open"] for opening in copies.openings}
    with lib.transaction(f"clean copy of {copies.card.code} {copies.card.title}") as session:
        entry = session.get_one(Entry, copies.card.id)
        refuse_moved(entry, copies.judged)
        assert entry.current is not None
        openings, blemishes = wanted(choices(session, copies.judged.cut_id), copies, changes)
        change_choices(lib, session, entry.current, openings, blemishes, "clean copy changed")
    copies = _made(lib, entry)
    now = {opening["number"]: opening["open"] for opening in copies.openings}
    return replace(
        copies,
        switched=tuple((n, before.get(n), is_open) for n, is_open in now.items() if before.get(n) != is_open),
    )


def wanted(there: tuple[Openings, set[str]], copies: Copies, changes: Changes) -> tuple[Openings, set[str]]:
    """The choices of a copy after the changes, the last said last. Raises WrongUsage as `make` does."""
    openings, blemishes = there
    return said_last(openings, switched(copies, changes), copies), _chosen(blemishes, changes)


def overlay(lib: Library, given: str) -> Path:
    """A picture of the entry with its openings numbered, in a new temporary folder. Raises BadPicture."""
    with lib.reading() as session:
        entry = queries.entry(session, given)
        plan = picture_plan(lib, session, current_cut(entry).id)
    assert plan is not None
    target = Path(tempfile.mkdtemp(prefix="assetlib-openings-")) / f"{entry.code.code}.png"
    outcome = call_supervised(
        write_openings,
        replace(plan, target=str(target)),
        **lib.settings.limits(),
    )
    if outcome.failed:
        raise BadPicture(f"the openings of {entry.code.code} cannot be shown: {outcome.reason}")
    return target


def _made(lib: Library, entry: Entry) -> Copies:
    _forget_outdated(lib, entry.id)
    (worked,) = upkeep.work_off(lib, (upkeep.CLEAN,), entries=[entry.id])
    if worked.failed:
        raise BadPicture(f"no clean copy can be made of {entry.code.code}: {worked.failed[0][1]}")
    with lib.reading() as session:
        judged = pinned(session.get_one(Entry, entry.id))
        row = session.scalar(_derived(judged.cut_id))
        card = queries.cards(session, [entry.id])[entry.id]
        chosen = {name for name in choices(session, judged.cut_id)[1] if name in REPORTED}
    if row is None or row.path is None or row.value is None:
        raise BadPicture(
            f"no clean copy can be made of {entry.code.code}: {row.failure if row else 'in the attic'}"
        )
    value = row.value
    removed = {item["kind"] for item in value["removed"]}
    return Copies(
        card,
        lib.inside(lib.derived, row.path),
        lib.inside(lib.derived, value["body"]),
        lib.inside(lib.derived, value["mask"]),
        tuple(value["openings"]),
        tuple(value["removed"]),
        value["sure"],
        tuple(value["sure_why"]),
        tuple(kind for kind in value["seen"] if kind not in removed | chosen),
        tuple(sorted(chosen - removed)),
        judged,
    )


def _derived(cut_id: int) -> Any:
    return (
        select(Derived)
        .join(Recipe, Recipe.id == Derived.recipe_id)
        .where(
            Derived.cut_id == cut_id,
            Recipe.kind == upkeep.CLEAN.kind,
            Recipe.name == upkeep.CLEAN.recipe,
        )
    )


@dataclass(frozen=True, slots=True)
class Unsure:
    """A drawing whose clean copy is to be looked at, or cannot be used, and why; `sure` is None until it is made."""

    code: str
    title: str
    sure: str | None
    why: tuple[str, ...]


def unsure(lib: Library) -> list[Unsure]:
    """Drawings on the shelf whose clean copy is not sure, the oldest first; what has no copy yet is not judged."""
    with lib.reading() as session:
        rows = session.execute(
            select(Entry, Derived)
            .join(Version, Version.id == Entry.current_version_id)
            .join(Derived, Derived.cut_id == Version.current_cut_id)
            .join(Recipe, Recipe.id == Derived.recipe_id)
            .where(
                ~Entry.in_attic,
                Entry.role == "element",
                Recipe.kind == upkeep.CLEAN.kind,
                Recipe.name == upkeep.CLEAN.recipe,
            )
            .order_by(Entry.id)
        )
        judged = [(entry, row.value or {}) for entry, row in rows]
        return [
            Unsure(entry.code.code, entry.title, value["sure"], tuple(value["sure_why"]))
            for entry, value in judged
            if value.get("sure", "sure") != "sure"
        ]


def unsure_among(lib: Library, codes: Sequence[str]) -> list[Unsure]:
    """Of these drawings those whose clean copy is not sure or not made, in their order; nothing is made for it.

    Raises NotFound, AmbiguousCode.
    """
    found = []
    with lib.reading() as session:
        for code in codes:
            entry = queries.entry(session, code)
            row = session.scalar(_derived(current_cut(entry).id))
            value = (row.value if row else None) or {}
            if value.get("sure") != "sure":
                why = tuple(value.get("sure_why", ()))
                found.append(Unsure(entry.code.code, entry.title, value.get("sure"), why))
    return found


def _forget_outdated(lib: Library, entry_id: int) -> None:
    """Have a clean copy made anew that was made with other choices, or is not as it was made.

    Its files stay, somebody may have them open.
    """
    with lib.reading() as session:
        cut_id = current_cut(session.get_one(Entry, entry_id)).id
        row = session.scalar(_derived(cut_id))
        plan = picture_plan(lib, session, cut_id)
    if row is None or plan is None:
        return
    if (row.value or {}).get("choices") == plan.choices and (
        row.path is None or leftovers.is_sound(lib, row)
    ):
        return
    with lib.transaction() as session:
        session.execute(delete(Derived).where(Derived.id == row.id))


def _chosen(there: set[str], changes: Changes) -> set[str]:
    """The blemishes to take out after the changes, and, after `LEFT_IN`, those that are to stay."""
    put_back = {_blemish(text) for text in changes.put_back}
    wanted = {_blemish(text) for text in changes.remove} - put_back
    stay = {LEFT_IN + name for name in put_back & UNASKED}
    return (there | wanted | stay) - put_back - {LEFT_IN + name for name in wanted}


def _blemish(text: str) -> str:
    """The blemish that a word means: specks, holes, rules, tape, rings."""
    word = text.strip().lower().rstrip("s")
    word = ALSO.get(word, word)
    for name in BLEMISHES:
        if word in name or word.startswith(name[:4]):
            return name
    raise WrongUsage(
        f"'{text}' is no blemish", f"choose {', '.join(BLEMISHES)}; hair, lint and dust are specks"
    )
