"""Clean copies as the artist wants them: openings switched, blemishes taken out, files to take along."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from PIL import Image
from sqlalchemy import delete, select

from assetlib.catalogue import queries
from assetlib.catalogue.derived import Derived, Recipe
from assetlib.catalogue.entries import Entry, Version
from assetlib.errors import BadPicture, WrongUsage, disk_said_plainly
from assetlib.imaging.assembly import write_openings
from assetlib.imaging.cleaning.unasked import LEFT_IN
from assetlib.imaging.supervise import call_supervised
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.words.file_names import file_name
from assetlib.services.keeping import leftovers, upkeep
from assetlib.services.pictures import picture_plan
from assetlib.services.versions import Pinned, change_choices, choices, current_cut, pinned, refuse_moved
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.copying import copy_whole
from assetlib.storage.durable import hand_out, is_plain

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
    with lib.transaction(f"clean copy of {copies.card.code} {copies.card.title}") as session:
        entry = session.get_one(Entry, copies.card.id)
        refuse_moved(entry, copies.judged)
        assert entry.current is not None
        openings, blemishes = choices(session, copies.judged.cut_id)
        change_choices(
            lib, session, entry.current,
            openings | _switched(copies, changes), _chosen(blemishes, changes), "clean copy changed",
        )  # fmt: skip
    return _made(lib, entry)


def make_all(
    lib: Library,
    codes: Sequence[str],
    changes: Changes = Changes(),
    *,
    to: Path | None = None,
    progress: Progress = SILENT,
) -> tuple[list[Copies], list[Path]]:
    """The clean copies of several entries after the changes, as one step, and the files written to the folder `to`.

    Raises as `make` does; WrongUsage where the folder would not take the files, before anything is changed.
    """
    if len(codes) > 1 and changes.by_place:
        raise WrongUsage("openings have numbers of their own on every drawing", "give one code with them")
    if to is not None:
        _check_folder(lib, codes if changes != Changes() else (), to)
    made, written = [], []
    what = f"clean copies of {len(codes)} drawings" if len(codes) > 1 else f"clean copy of {codes[0]}"
    with lib.one_step(what):
        for code in progress.track(codes, "clean copies", len(codes) if len(codes) > 1 else 0):
            made.append(make(lib, code, changes))
            written += export(made[-1], to) if to is not None else []
    return made, written


def _check_folder(lib: Library, codes: Sequence[str], folder: Path) -> None:
    """Raise WrongUsage where a file of these drawings is there already, or the folder cannot be written in.

    Copies that are not changed may be there: a run that was stopped goes on.
    """
    if folder.is_file():
        raise WrongUsage(f"{folder} is a file, no folder", "name a folder")
    with lib.reading() as session:
        cards = queries.cards(session, [queries.entry(session, code).id for code in codes])
    for card in cards.values():
        for target in _targets(card, folder).values():
            if target.exists():
                raise WrongUsage(f"{target} is there already", "name another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise WrongUsage(
            f"nothing can be written to {folder} ({error.strerror})", "name another folder"
        ) from error


def _targets(card: queries.Card, folder: Path) -> dict[str, Path]:
    return {
        kind: folder / f"{file_name(card.title)} {card.code} {kind}.png" for kind in ("ink", "body", "mask")
    }


def export(copies: Copies, folder: Path) -> list[Path]:
    """Copies of the three files in `folder`, named by title and code; what is there already is never replaced.

    Raises WrongUsage where another file is there or the folder is none, DiskFull, DiskFails.
    """
    with disk_said_plainly(folder):
        if folder.exists() and not folder.is_dir():
            raise WrongUsage(f"{folder} is a file, not a folder", "name a folder")
        folder.mkdir(parents=True, exist_ok=True)
        return _exported(copies, folder)


def _exported(copies: Copies, folder: Path) -> list[Path]:
    written = []
    for kind, target in _targets(copies.card, folder).items():
        source = getattr(copies, kind)
        digest = digest_of_file(source)
        if not target.exists():
            copy_whole(source, target, digest)
            hand_out(target)
        elif not is_plain(target) or digest_of_file(target) != digest:
            raise WrongUsage(f"{target} is there already", "name another folder")
        written.append(target)
    return written


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
        raise BadPicture(f"no overlay can be made of {entry.code.code}: {outcome.reason}")
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


def _switched(copies: Copies, changes: Changes) -> dict[tuple[int, int], bool]:
    """What is switched, by a pixel inside each opening. Raises WrongUsage for a number there is not."""
    by_number = {opening["number"]: opening for opening in copies.openings}
    width, height = _size(copies)
    for x, y in (*changes.open_at, *changes.shut_at):
        if not (0 <= x < width and 0 <= y < height):
            raise WrongUsage(f"{x},{y} lies outside {copies.card.code}", f"it is {width} by {height} pixels")
    switched = dict.fromkeys(_beside_line(copies, changes.open_at), True)
    switched |= dict.fromkeys(changes.shut_at, False)
    _check_rooms(copies, changes.shut_at)
    wanted = [*((n, True) for n in changes.open), *((n, False) for n in changes.shut)]
    for numbers, is_open in ((changes.open_like, True), (changes.shut_like, False)):
        wanted += [(like, is_open) for n in numbers for like in _like(copies.openings, n)]
    for number, is_open in wanted:
        if number not in by_number:
            raise WrongUsage(
                f"{copies.card.code} has no opening {number}",
                f"it has {', '.join(map(str, by_number)) or 'none'}; see them with --overlay",
            )
        x, y = by_number[number]["inside"]
        switched[x, y] = is_open
    return switched


def _beside_line(copies: Copies, places: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The places to be opened, those on line moved to the area beside it. Raises WrongUsage where there is none."""
    if not places:
        return []
    from assetlib.imaging.cleaning.pointing import place_to_open

    ink, body = _pixels(copies)
    moved = []
    for x, y in places:
        place = place_to_open(ink, body, (x, y))
        if place is None:
            raise WrongUsage(f"there is line at {x},{y} of {copies.card.code}", "point beside it")
        moved.append(place)
    return moved


def _pixels(copies: Copies) -> tuple[Any, Any]:
    """The ink of a copy, uint8 (H, W, 4), and where its body is, bool (H, W)."""
    import numpy as np

    with Image.open(copies.ink) as opened, Image.open(copies.mask) as mask:
        return np.asarray(opened.convert("RGBA")), np.asarray(mask.convert("L")) > 127


def _check_rooms(copies: Copies, places: Sequence[tuple[int, int]]) -> None:
    """Raise WrongUsage for a place to be filled that no outline goes round."""
    if not places:
        return
    from assetlib.imaging.cleaning.pointing import area_at

    ink, body = _pixels(copies)
    for x, y in places:
        if not body[y, x] and area_at(ink, body, (x, y), False) is None:
            raise WrongUsage(
                f"no room is found at {x},{y} of {copies.card.code}: its outline is open wider than it can be closed",
                "point where line goes round, or close the outline in the drawing and bring it in again",
            )


def _size(copies: Copies) -> tuple[int, int]:
    """Width and height of the drawing in pixels."""
    with Image.open(copies.ink) as opened:
        return opened.size


def _like(openings: Sequence[dict[str, Any]], number: int) -> list[int]:
    """A number with those of openings about as large and of the same shape: the gaps of one thing."""
    mine = next((o["box"] for o in openings if o["number"] == number), None)
    if mine is None:
        return [number]
    from assetlib.imaging.cleaning.openings import are_alike

    return [o["number"] for o in openings if are_alike(mine, o["box"])]


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
