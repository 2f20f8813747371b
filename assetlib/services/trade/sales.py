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
from assetlib.catalogue.trade import Bundle, Certificate, Collection
from assetlib.errors import BundleInvalid, NotClear, NotFound, WrongUsage, disk_said_plainly
from assetlib.library import Library
from assetlib.rules.wording import NO_LEGAL_ADVICE, one_line
from assetlib.services.trade import bundling, collections, doubts, signing_key
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
    despite: str | None = None
    """What stood against the sale that day, and why it was made all the same."""


LONGEST_NAME, LONGEST_PRICE = 400, 100
"""Characters of a buyer's name or contact, and of a price, all of which the page for people has room for."""


def issue(
    lib: Library,
    bundle: str,
    buyer: str,
    folder: Path,
    *,
    contact: str = "",
    price: str = "",
    despite: str = "",
    again: bool = False,
) -> Sale:
    """A new certificate for a buyer, kept and written into a folder as JSON, signature and page.

    `bundle` is its code, or the name or code of a collection, whose newest issue is meant. Clearance is asked again
    today: `despite` is the reason to sell all the same, kept with what stood against it. A second certificate for
    the same buyer and bundle is made only `again`.
    Raises NotFound for a bundle there is not, NotClear where a drawing of it may not be sold today, WrongUsage for
    words or a folder that cannot be, BundleInvalid where the bundle is no longer as it was sealed.
    """
    name, price = one_line(buyer), one_line(price)
    _refuse_words(name, one_line(contact), price)
    _refuse_folder(lib, folder)
    licensee = {"name": name} | ({"contact": one_line(contact)} if one_line(contact) else {})
    with lib.reading() as session:
        row = _bundle_named(session, bundle)
        path, sha256, bundle_id = lib.inside(lib.bundles, row.path), row.sha256, row.id
        noted = _noted(lib, session, row, lib.now().date(), one_line(despite))
        if not again:
            _refuse_second(session, row, name)
    sold = _sold(path, sha256)
    signer = signing_key.signer(lib)
    with lib.transaction(f"licence to {name}") as session:
        code = new_code(session, "certificate", lib.now())
        session.flush()
        told = certificates.document(
            sold, signer, id=str(uuid.uuid4()), code=code.code, issued=lib.now().date(), licensee=licensee,
            price=price,
        )  # fmt: skip
        signature = signer.sign(certificates.written(told), FOR_CERTIFICATES).decode()
        kept = Certificate(
            id=code.id, code=code, uuid=told["certificate"]["id"].removeprefix("urn:uuid:"), bundle_id=bundle_id,
            buyer=name, issued_on=lib.now().date(), document=told, signature=signature, made_at=lib.now(),
            despite=noted,
        )  # fmt: skip
        session.add(kept)
        session.flush()
        return _view(session, kept, _write(folder, told, signature))


def write_again(lib: Library, given: str, folder: Path) -> Sale:
    """Write the files of a certificate once more. Raises NotFound, WrongUsage without a folder."""
    _refuse_folder(lib, folder)
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


def revoked(lib: Library, told: dict[str, Any]) -> str | None:
    """What this library notes of the end of a certificate that somebody shows; None where it notes none."""
    uuid_ = str(told["certificate"]["id"]).removeprefix("urn:uuid:")
    with lib.reading() as session:
        row = session.scalar(select(Certificate).where(Certificate.uuid == uuid_))
        if row is None or row.revoked_on is None:
            return None
        return f"This library notes it as revoked on {row.revoked_on}: {row.revoked_why}."


def _refuse_words(name: str, contact: str, price: str) -> None:
    if not name:
        raise WrongUsage("a certificate needs the buyer's name", 'say it with --buyer "NAME"')
    for what, text, most in (
        ("buyer's name", name, LONGEST_NAME),
        ("buyer's contact", contact, LONGEST_NAME),
        ("price", price, LONGEST_PRICE),
    ):
        if len(text) > most:
            raise WrongUsage(
                f"the {what} has {len(text)} characters, a certificate's page has room for {most}"
            )
    if price.startswith(("-", "\N{MINUS SIGN}")):
        raise WrongUsage(
            f"the price '{price}' begins with a minus sign", "write it as agreed: --price '480 €'"
        )


def _refuse_folder(lib: Library, folder: Path) -> None:
    if not folder.is_dir():
        raise WrongUsage(f"there is no folder {folder}", "name one that is there with --to")
    if folder.resolve().is_relative_to(lib.folder.resolve()):
        raise WrongUsage(
            f"{folder.resolve()} is inside the library, where no other files belong",
            "name a folder outside of it with --to",
        )


def _bundle_named(session: Session, given: str) -> Bundle:
    """The bundle of this code, or the newest issue of the collection of this name or code."""
    collection = collections.by_name(session, given)
    if collection is None:
        found = find_code(session, given, ("bundle", "collection"))
        if found.kind == "bundle":
            return session.get_one(Bundle, found.id)
        collection = session.get_one(Collection, found.id)
    newest = collections.newest_issue(session, collection.id)
    if newest is None:
        raise NotFound(
            f"'{collection.name}' has no issue yet", f"seal one: assetlib bundle build '{collection.name}'"
        )
    return newest


def _noted(lib: Library, session: Session, row: Bundle, on: dt.date, despite: str) -> str | None:
    """What stands against the sale, with the reason to go on. Raises NotClear where none is given."""
    against = doubts.doubts_of(session, row, on, lib.settings.artist)
    if not against:
        return None
    if not despite:
        raise NotClear(
            f"{row.code.code} may not be sold today: {doubts.told(against)}",
            f"mend that, or go on with --despite 'WHY', which is kept with the certificate. {NO_LEGAL_ADVICE}",
        )
    return f"{despite} | {'; '.join(one.sentence for one in against)}"


def _refuse_second(session: Session, row: Bundle, name: str) -> None:
    rows = session.scalars(
        select(Certificate).where(Certificate.bundle_id == row.id, Certificate.revoked_on.is_(None))
    )
    for one in rows:
        if one.buyer.casefold() == name.casefold():
            raise WrongUsage(
                f"{one.buyer} has {one.code.code} for {row.code.code} already, since {one.issued_on}",
                f"`assetlib sale write {one.code.code}` writes its files again; --again makes a second certificate",
            )


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
        row.revoked_why, files, row.despite,
    )  # fmt: skip
