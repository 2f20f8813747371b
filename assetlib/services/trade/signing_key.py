"""The library's own key: made when something is first signed, kept beside the catalogue, saved with every backup."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import select

from assetlib.catalogue.trade import Bundle
from assetlib.errors import LibraryBroken, WrongUsage
from assetlib.library import Library
from assetlib.services.keeping.leftovers import Trouble
from assetlib.storage import volumes
from assetlib.storage.durable import OWNER_ONLY, is_plain, make_private, move_over, staged_file
from assetlib.storage.generations import BackupFolder
from assetlib.storage.signing import (
    KEY_FILE,
    OLD_KEYS,
    Signer,
    allowed_signers,
    fingerprint,
    make_key,
    read_key,
)


@dataclass(frozen=True, slots=True)
class PublicKey:
    """What others may know of the library's key."""

    fingerprint: str
    key: str
    allowed_signers: str
    """The line by which ssh-keygen knows it."""
    signed: int
    """Bundles that were issued with it."""
    old: tuple[OldKey, ...] = ()
    """Keys of earlier days, the latest first: what they signed stays checkable with them."""


@dataclass(frozen=True, slots=True)
class OldKey:
    """A key that signs nothing any more, and the days of the first and last bundle that it signed."""

    fingerprint: str
    key: str
    signed: int
    first: dt.date
    last: dt.date


def signer(lib: Library) -> Signer:
    """The library's key; made where it never had one. Raises LibraryBroken where it had one and that is gone."""
    path = lib.folder / KEY_FILE
    if path.is_symlink() or path.exists():
        return read_key(path)
    if _last_used(lib) is not None:
        raise LibraryBroken(
            f"the signing key of this library is gone from {path}",
            "fetch it with: assetlib check --repair --from BACKUP; if it is lost for good: assetlib bundle key --new",
        )
    return _made(lib)


def public_key(lib: Library) -> PublicKey:
    """What buyers are to be told of the key, which is made where there was none."""
    ours = signer(lib)
    used = [key for key in _used(lib) if key == ours.public]
    line = allowed_signers(lib.settings.contact, ours.public).decode().strip()
    return PublicKey(ours.fingerprint, ours.public, line, len(used), tuple(_old(lib, ours.public)))


def _old(lib: Library, ours: str) -> Iterator[OldKey]:
    """The other keys that bundles were signed with, as the record has it, the latest first."""
    days: dict[str, list[dt.date]] = {}
    with lib.reading() as session:
        for snapshot, day in session.execute(
            select(Bundle.snapshot, Bundle.issued_on).order_by(Bundle.id.desc())
        ):
            if "signer" in snapshot and snapshot["signer"]["key"] != ours:
                days.setdefault(str(snapshot["signer"]["key"]), []).append(day)
    for key, signed in days.items():
        yield OldKey(fingerprint(key), key, len(signed), min(signed), max(signed))


def signed_so_far(lib: Library) -> int:
    """How many bundles were signed, with whichever key."""
    return len(_used(lib))


def begin_anew(lib: Library) -> PublicKey:
    """A new key in place of the old one, which stays beside it under its fingerprint: what it signed stays signed."""
    path = lib.folder / KEY_FILE
    if is_plain(path):
        name = "".join(c if c.isalnum() else "-" for c in read_key(path).fingerprint.removeprefix("SHA256:"))
        os.rename(path, path.with_name(OLD_KEYS.replace("*", name[:16])))
    elif path.exists() or path.is_symlink():
        raise WrongUsage(f"{path} is no plain file", "move it away first")
    _made(lib)
    return public_key(lib)


def troubles(lib: Library, *, repair: bool, heal_from: Path | None) -> Iterator[Trouble]:
    """What is wrong with the key: gone or unreadable while bundles were signed with it, or open to others."""
    path = lib.folder / KEY_FILE
    wanted = _last_used(lib)
    try:
        if wanted is None and not path.exists():
            return
        read_key(path)
    except LibraryBroken:
        mended = repair and heal_from is not None and wanted is not None and _fetch(lib, wanted, heal_from)
        yield Trouble("the signing key is missing or damaged; a backup has it", mended=mended)
        return
    if os.name != "nt" and path.stat().st_mode & OWNER_ONLY and not volumes.knows_no_owners(lib.folder):
        if repair:
            make_private(path)
        yield Trouble("other users of this machine can read the signing key", mended=repair)


def _made(lib: Library) -> Signer:
    with lib.staging() as staging:
        return make_key(lib.folder / KEY_FILE, staging)


def _used(lib: Library) -> list[str]:
    """The public keys that bundles were signed with, the first issue first; those that were not signed are left out."""
    with lib.reading() as session:
        snapshots = session.scalars(select(Bundle.snapshot).order_by(Bundle.id)).all()
    return [str(snapshot["signer"]["key"]) for snapshot in snapshots if "signer" in snapshot]


def _last_used(lib: Library) -> str | None:
    used = _used(lib)
    return used[-1] if used else None


def _fetch(lib: Library, wanted: str, folder: Path) -> bool:
    """Put the wanted key back from a backup, or from another copy of the library; only read there."""
    backup = BackupFolder(folder.expanduser().resolve())
    numbers = backup.numbers() if backup.exists() else []
    places = [*(backup.folder(number) for number in reversed(numbers)), backup.root]
    for place in places:
        try:
            if read_key(place / KEY_FILE).public != wanted:
                continue
        except LibraryBroken:
            continue
        put_key(place / KEY_FILE, lib.folder)
        return True
    return False


def put_key(source: Path, folder: Path, name: str = KEY_FILE) -> None:
    """Copy a key into a library's folder, for its owner alone. Raises LibraryBroken where it is no key."""
    read_key(source)
    data = source.read_bytes()
    with staged_file(folder) as (file, staged):
        make_private(staged)
        file.write(data)
    move_over(staged, folder / name)
