"""What is damaged or left over: derived files held against their checksums, and files that nothing names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import select

from assetlib.catalogue.derived import Derived
from assetlib.catalogue.identity import Removal
from assetlib.catalogue.trade import Bundle
from assetlib.errors import LibraryBroken
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.services import shelf
from assetlib.storage.blobs import as_digest, digest_of_file
from assetlib.storage.durable import is_plain

MADE = (".png", ".webp")
"""Endings of the files that upkeep writes below derived/; what else lies there is kept by those who search in it."""

_UNDER_WAY = 24 * 3600
"""Seconds after which a derived file without a row is taken for left behind: work on one takes minutes at most."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that is not as it should be; `mended` tells what was done about it."""

    what: str
    mended: bool = False


def damaged(
    lib: Library, *, quick: bool = False, unknown: bool = False, progress: Progress = SILENT
) -> list[tuple[int, str, str]]:
    """Ids of derived rows whose files are bad, with the name of the first bad one and what is wrong with it.

    `quick` looks whether files are there, without reading them; `unknown` counts rows without checksums as bad.
    """
    with lib.reading() as session:
        query = select(Derived.id, Derived.path, Derived.value, Derived.sums).where(Derived.path.is_not(None))
        rows = session.execute(query.order_by(Derived.id)).all()
    found = []
    for row_id, path, value, sums in progress.track(rows, "checking copies", len(rows)):
        if unknown and not sums:
            found.append((row_id, path, "has no checksum"))
            continue
        for name in shelf.files_of(path, value):
            wrong = _wrong(lib, name, sums or {}, quick)
            if wrong:
                found.append((row_id, name, wrong))
                break
    return found


def _wrong(lib: Library, name: str, sums: dict[str, Any], quick: bool) -> str:
    try:
        path = lib.inside(lib.derived, name)
        if not is_plain(path):
            return "is missing"
        if not quick and name in sums and digest_of_file(path) != sums[name]:
            return "is no longer what was made"
    except (LibraryBroken, OSError, ValueError):
        return "cannot be read"
    return ""


def is_sound(lib: Library, row: Derived) -> bool:
    """Whether all files of a derived row are there as they were made; not where no checksum tells."""
    names = shelf.files_of(row.path, row.value)
    return bool(names and row.sums) and not any(_wrong(lib, name, row.sums or {}, False) for name in names)


def forget(lib: Library, row_ids: list[int]) -> None:
    """Forget derived rows, so that upkeep makes them again. Their files stay: somebody may have them open."""
    for start in range(0, len(row_ids), 500):
        with lib.transaction() as session:
            for row_id in row_ids[start : start + 500]:
                row = session.get(Derived, row_id)
                if row is not None:
                    session.delete(row)


def derived(lib: Library, *, repair: bool, quick: bool, progress: Progress) -> list[Trouble]:
    """Derived files that are missing or not as they were made."""
    found = damaged(lib, quick=quick, progress=progress)
    if repair:
        forget(lib, [row_id for row_id, _, _ in found])
    return [
        Trouble(f"derived/{name} {wrong}; upkeep makes it again", mended=repair) for _, name, wrong in found
    ]


def unnamed(lib: Library) -> list[Path]:
    """Files below derived/ that upkeep wrote, that no row names, and that nobody is at work on."""
    if not lib.derived.is_dir():
        return []
    limit = lib.now().timestamp() - _UNDER_WAY
    # Files first, rows afterwards: a file whose row comes in between is named by then.
    files = [
        path
        for folder in lib.derived.iterdir()
        if folder.is_dir() and not folder.is_symlink()
        for path in folder.glob("[0-9a-f][0-9a-f]/*")
        if path.suffix in MADE
        and not path.parent.is_symlink()
        and is_plain(path)
        and path.stat().st_mtime < limit
    ]
    with lib.reading() as session:
        rows = session.execute(select(Derived.path, Derived.value).where(Derived.path.is_not(None))).all()
    named = {name for path, value in rows for name in shelf.files_of(path, value)}
    return [path for path in files if path.relative_to(lib.derived).as_posix() not in named]


def tidy(lib: Library, progress: Progress = SILENT) -> tuple[int, int]:
    """Forget damaged derived files, so that they are made again, and take away what nothing names; how many of each."""
    bad = damaged(lib, unknown=True, progress=progress)
    forget(lib, [row_id for row_id, _, _ in bad])
    gone = 0
    for path in unnamed(lib):
        path.unlink(missing_ok=True)
        gone += 1
    gone += sum(1 for _ in removed(lib, repair=True))
    lib.sweep_staging()
    return len(bad), gone


def bundles(lib: Library, *, repair: bool) -> Iterator[Trouble]:
    """Bundles that were written and never issued, because their making was stopped; set aside by `repair`."""
    files = [path for path in lib.bundles.glob("*.zip") if is_plain(path)] if lib.bundles.is_dir() else []
    with lib.reading() as session:
        named = set(session.scalars(select(Bundle.path)))
    for path in files:
        if path.name not in named:
            if repair:
                set_aside(lib, path)
            yield Trouble(f"bundles/{path.name} was never issued: its making was stopped", mended=repair)


def set_aside(lib: Library, path: Path) -> None:
    """Move a file that nothing names to where such things wait to be thrown away; not if it was issued meanwhile."""
    aside = lib.folder / "staging" / "spare"
    aside.mkdir(parents=True, exist_ok=True)
    with lib.transaction() as session:
        if session.scalar(select(Bundle.id).where(Bundle.path == path.name)) is None:
            target = aside / path.name
            number = 1
            while target.exists():
                target, number = aside / f"{path.stem}-{number}{path.suffix}", number + 1
            path.rename(target)


def removed(lib: Library, *, repair: bool) -> Iterator[Trouble]:
    """Originals that were removed for good and whose files are still there, because that was stopped."""
    with lib.reading() as session:
        digests = list(session.scalars(select(Removal.sha256)))
    for digest in digests:
        path = lib.originals.path(as_digest(digest))
        if is_plain(path):
            if repair:
                take_away(path)
            yield Trouble(
                f"the original {digest[:12]} was removed for good and is still there", mended=repair
            )


def take_away(path: Path) -> None:
    """Remove a read-only file."""
    path.chmod(0o600)
    path.unlink()


def removed_digests(lib: Library) -> set[str]:
    """Digests of originals that were removed for good."""
    with lib.reading() as session:
        return set(session.scalars(select(Removal.sha256)))
