"""Sales: certificates that one buyer holds one licence to one bundle, kept as records, revoked and never undone."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import find_code, new_code
from assetlib.catalogue.trade import Bundle, Certificate
from assetlib.errors import BundleInvalid, NotFound, WrongUsage, disk_said_plainly
from assetlib.library import Library
from assetlib.rules.wording import one_line
from assetlib.services.trade import bundling, signing_key
from assetlib.storage import bundles, certificate_page, certificates
from assetlib.storage.certificates import Checked
from assetlib.storage.durable import hand_out, is_plain, write_atomic
from assetlib.storage.signing import FOR_CERTIFICATES


@dataclass(frozen=True, slots=True)
class Sale:
    """One certificate as it is kept; `files` are those that were just written, the signed one first."""

    code: str
    id: str
    bundle: str
    title: str
    version: str
    licence: str
    buyer: str
    issued_on: dt.date
    revoked_on: dt.date | None
    revoked_why: str | None
    files: tuple[Path, ...] = ()


def issue(lib: Library, bundle: str, buyer: str, folder: Path, *, contact: str = "", price: str = "") -> Sale:
    """A new certificate for a buyer, kept and written into a folder as JSON, signature and page.

    Raises NotFound for a bundle there is not, WrongUsage without a buyer's name or a folder, BundleInvalid where the
    bundle is no longer as it was sealed.
    """
    name = one_line(buyer)
    if not name:
        raise WrongUsage("a certificate needs the buyer's name", 'say it with --buyer "NAME"')
    if not folder.is_dir():
        raise WrongUsage(f"there is no folder {folder}", "name one that is there with --to")
    licensee = {"name": name} | ({"contact": one_line(contact)} if one_line(contact) else {})
    with lib.reading() as session:
        row = session.get_one(Bundle, find_code(session, bundle, ("bundle",)).id)
        path, sha256, bundle_id = lib.inside(lib.bundles, row.path), row.sha256, row.id
    sold = _sold(path, sha256)
    signer = signing_key.signer(lib)
    with lib.transaction(f"licence to {name}") as session:
        code = new_code(session, "certificate", lib.now())
        session.flush()
        told = certificates.document(
            sold, signer, id=str(uuid.uuid4()), code=code.code, issued=lib.now().date(), licensee=licensee,
            price=one_line(price),
        )  # fmt: skip
        signature = signer.sign(certificates.written(told), FOR_CERTIFICATES).decode()
        kept = Certificate(
            id=code.id, code=code, uuid=told["certificate"]["id"].removeprefix("urn:uuid:"), bundle_id=bundle_id,
            buyer=name, issued_on=lib.now().date(), document=told, signature=signature, made_at=lib.now(),
        )  # fmt: skip
        session.add(kept)
        session.flush()
        return _view(session, kept, _write(folder, told, signature))


def write_again(lib: Library, given: str, folder: Path) -> Sale:
    """Write the files of a certificate once more. Raises NotFound, WrongUsage without a folder."""
    if not folder.is_dir():
        raise WrongUsage(f"there is no folder {folder}", "name one that is there with --to")
    with lib.reading() as session:
        row = _named(session, given)
        return _view(session, row, _write(folder, row.document, row.signature))


def revoke(lib: Library, given: str, why: str) -> Sale:
    """Note that a licence has ended; the certificate stays in the list with the day and the reason.

    Raises WrongUsage without a reason, or where it was revoked before.
    """
    if not one_line(why):
        raise WrongUsage("say why it is revoked", '--why "REASON"')
    with lib.transaction(f"certificate {given} revoked") as session:
        row = _named(session, given)
        if row.revoked_on is not None:
            raise WrongUsage(f"{row.code.code} was revoked on {row.revoked_on} already")
        row.revoked_on, row.revoked_why = lib.now().date(), one_line(why)
        session.flush()
        return _view(session, row)


def everything(lib: Library) -> list[Sale]:
    """All certificates, the newest first."""
    with lib.reading() as session:
        rows = session.scalars(select(Certificate).order_by(Certificate.id.desc())).all()
        return [_view(session, row) for row in rows]


def verify(path: Path, *, trusted: str | None = None, bundle: Path | None = None) -> Checked:
    """What is wrong with a certificate, wherever it came from. Raises NotFound, WrongUsage where no key is named."""
    if bundle is not None and not bundle.is_file():
        raise NotFound(f"there is no bundle {bundle}")
    return certificates.check(path, key=bundling.read_key(trusted) if trusted else None, bundle=bundle)


def _sold(path: Path, sha256: str) -> certificates.Sold:
    """The bundle as it is in the library, after it was found to be the one that was issued."""
    hint = "assetlib check --repair --from BACKUP brings it back"
    if not is_plain(path):
        raise BundleInvalid(f"the bundle {path.name} is gone", hint)
    found = bundles.verify_bundle(path)
    if not found.ok or found.sha256 != sha256:
        raise BundleInvalid(f"the bundle {path.name} is no longer as it was sealed", hint)
    return certificates.sold(path)


def _named(session: Session, given: str) -> Certificate:
    return session.get_one(Certificate, find_code(session, given, ("certificate",)).id)


def _write(folder: Path, told: dict[str, Any], signature: str) -> tuple[Path, ...]:
    """The files of a certificate, which a buyer's other files stand beside: none of another content is replaced."""
    stem = f"licence-{told['certificate']['code'].lower()}"
    files = {
        f"{stem}.json": certificates.written(told),
        f"{stem}.json.sig": signature.encode(),
        f"{stem}.pdf": certificate_page.pdf(told),
    }
    with disk_said_plainly(folder):
        for name, data in files.items():
            write_atomic(folder / name, data)
            hand_out(folder / name)
    return tuple(folder / name for name in files)


def _view(session: Session, row: Certificate, files: tuple[Path, ...] = ()) -> Sale:
    told = row.document
    return Sale(
        row.code.code, row.uuid, session.get_one(Bundle, row.bundle_id).code.code, told["bundle"]["title"],
        told["bundle"]["version"], told["licence"]["tier"], row.buyer, row.issued_on, row.revoked_on,
        row.revoked_why, files,
    )  # fmt: skip
