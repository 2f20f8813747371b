"""Building bundles: a collection, one licence, every drawing clear, sealed and kept for ever as it was issued."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from assetlib.catalogue.codes import new_code
from assetlib.catalogue.entries import Entry
from assetlib.catalogue.trade import Bundle, BundleItem, Collection
from assetlib.errors import LibraryBusy, Moved, NotClear, NotFound, WrongUsage, disk_said_plainly
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.rights.licences import Tier, render
from assetlib.rules.words.file_names import short_name
from assetlib.services.bringing import clean_copies
from assetlib.services.keeping import leftovers
from assetlib.services.trade import buyers_words, changes, collections, doubts, signing_key
from assetlib.services.trade.clearance import Cleared
from assetlib.services.versions import refuse_moved
from assetlib.storage import bundles
from assetlib.storage.bundles import BundlePlan, Verification
from assetlib.storage.durable import move_unless_there
from assetlib.storage.plans import refuse_ending, refuse_unclear, refuse_unfit
from assetlib.storage.signing import LARGEST_KEY, named_key


@dataclass(frozen=True, slots=True)
class Issue:
    """One issue of a collection as it is kept."""

    code: str
    collection: str
    number: int
    licence: str
    issued_on: dt.date
    path: Path
    sha256: str
    bytes: int
    drawings: tuple[str, ...]
    """Codes of what it holds."""
    unsure: tuple[clean_copies.Unsure, ...] | None = None
    """Drawings whose clean copy is to be looked at, while it is built; issues of earlier days do not know."""
    today: tuple[doubts.Doubt, ...] = ()
    """What stands against selling it today; told where issues are listed."""
    since: changes.Since | None = None
    """What is other than in the issue before, while it is built; None for the first."""
    told: tuple[str, ...] | None = None
    """Sentences on what buyers read: titles and tags that name somebody; known while it is built."""
    unread: tuple[str, ...] | None = None
    """Sentences on titles that were taken from files, and that the artist may never have read."""


def build(
    lib: Library,
    given: str,
    *,
    dry_run: bool = False,
    with_names: bool = False,
    again: bool = False,
    progress: Progress = SILENT,
) -> Issue:
    """The next issue of a collection: its ZIP written, checked and kept, and a snapshot of what it holds.

    With `dry_run` everything is judged and nothing is written or kept. A clean copy that is not sure stops nothing:
    the artist is told to look at it. Where nothing changed since the last issue, another is made only `again`.
    Raises NotClear unless every drawing is clear, and where a title names a client under confidentiality
    or somebody who gave a release, unless `with_names` says that it may; WrongUsage where licence,
    licensor or contact are missing, or nothing changed.
    """
    with lib.reading() as session:
        collection = collections.collection_named(session, given)
        view = collections.view_in(session, collection, lib.now().date(), lib.settings.artist)
        words = _buyers_words(lib, session, view)
        number = 1 + (
            session.scalar(select(func.max(Bundle.number)).where(Bundle.collection_id == collection.id)) or 0
        )
    if view.licence is None:
        raise WrongUsage(
            f"'{view.name}' has no licence yet", f"choose one: assetlib licence '{view.name}' 'one artist'"
        )
    _refuse_nameless(lib)
    plan = _plan(lib, view, number, words, {})
    refuse_unfit(plan)
    refuse_unclear(plan)
    refuse_ending(plan)
    naming = tuple(sentence for one in words.values() for sentence in one.naming)
    if naming and not with_names:
        _refuse_naming(naming)
    told = (*naming, *(sentence for one in words.values() for sentence in one.told))
    unread = tuple(sentence for one in words.values() for sentence in one.unread)
    if dry_run:
        since = _since(lib, view, plan, again=again)
        return replace(_foreseen(lib, view, number, plan), told=told, unread=unread, since=since)
    codes = [item.card.code for item in view.items]
    clean = {
        item.card.code: _clean_copy(lib, item)
        for item in progress.track(view.items, "clean copies", len(codes))
    }
    plan = _plan(lib, view, number, words, clean)
    since = _since(lib, view, plan, again=again)
    with lib.staging() as staging:
        # Written aside; its name and its row come together, in one transaction, so that a stop leaves both or neither.
        receipt = bundles.write_bundle(plan, staging / f"{plan.name}.zip", signing_key.signer(lib), progress)
        issue = _keep(lib, view, number, plan, receipt)
    unsure = tuple(one for copies in clean.values() if (one := copies.unsure))
    return replace(issue, unsure=unsure, told=told, unread=unread, since=since)


def _refuse_naming(naming: tuple[str, ...]) -> None:
    """Raises NotClear with every title that tells buyers of a confidential client or of somebody who gave a release."""
    code = naming[0].partition(":")[0]
    raise NotClear(
        "; ".join(naming),
        f'give each another title: assetlib tag {code} --title "A title for buyers"; '
        "or, if it may be read, build it again with --with-names",
    )


def _refuse_nameless(lib: Library) -> None:
    """Raise WrongUsage, naming what is missing of the artist's name and address, which stand on every licence."""
    given = {"artist": lib.settings.artist, "contact": lib.settings.contact}
    missing = [key for key, text in given.items() if not text]
    if not missing:
        return
    words = {"artist": "your name", "contact": "your e-mail address for buyers"}
    samples = {"artist": "Your Name", "contact": "you@your.domain"}
    options = " ".join(f'--{key} "{samples[key]}"' for key in missing)
    raise WrongUsage(
        f"{' and '.join(words[key] for key in missing)} {'are' if len(missing) > 1 else 'is'} missing",
        f"set it: assetlib licence {options}",
    )


def _buyers_words(
    lib: Library, session: Session, view: collections.CollectionView
) -> dict[str, buyers_words.BuyersWords]:
    """What buyers read of each drawing, by its code."""
    private = buyers_words.private_names(session, lib.settings.artist, lib.now().date())
    return {
        item.card.code: buyers_words.of_drawing(session, item.card, item.answers, private)
        for item in view.items
    }


def _since(
    lib: Library, view: collections.CollectionView, plan: BundlePlan, *, again: bool
) -> changes.Since | None:
    """What changed since the last issue. Raises WrongUsage where nothing did and it is not to be sealed again."""
    with lib.reading() as session:
        since = changes.since_last(session, collections.collection_named(session, view.name).id, view, plan)
    if since is not None and not since.any and not again:
        raise WrongUsage(
            f"nothing changed in '{view.name}' since issue {since.number} ({since.code}); it is not sealed again",
            f"sell that one: assetlib sale issue {since.code} --buyer NAME; --again seals the same once more",
        )
    return since


def _clean_copy(lib: Library, item: Cleared) -> clean_copies.Copies:
    """The clean copy of the very cut that was judged. Raises Moved where it is another by now."""
    copies = clean_copies.make(lib, item.card.code)
    if copies.judged != item.judged:
        raise Moved(
            f"{item.card.code} was changed while the bundle was made; nothing was issued",
            _AGAIN,
        )
    return copies


def _plan(
    lib: Library,
    view: collections.CollectionView,
    number: int,
    words: dict[str, buyers_words.BuyersWords],
    clean: dict[str, clean_copies.Copies],
) -> BundlePlan:
    today = lib.now().date()
    tier = Tier(view.licence or "")
    items = tuple(
        bundles.PlannedItem(
            item.card.code,
            uuid.UUID(item.card.uuid),
            item.card.title,
            *_pictures(clean.get(item.card.code)),
            item.verdict,
            today,
            said.source_type,
            said.subjects,
            said.description,
        )
        for item in view.items
        for said in (words[item.card.code],)
    )
    return BundlePlan(
        slug=f"{short_name(view.name, 'collection')[:_SLUG].strip('-.')}-{view.code.lower()}",
        title=view.name,
        version=f"{number}.0.0",
        issued=today,
        id=uuid.uuid4(),
        licensor=lib.settings.artist,
        contact=lib.settings.contact,
        tier=tier,
        licence_text=render(tier, lib.settings.artist, view.name, today),
        items=items,
        website=lib.settings.website,
    )


def _pictures(copies: clean_copies.Copies | None) -> tuple[Path, Path]:
    """The drawing with its body and its ink alone; nowhere while nothing is sealed yet."""
    return (copies.body, copies.ink) if copies else (Path(), Path())


def _foreseen(lib: Library, view: collections.CollectionView, number: int, plan: BundlePlan) -> Issue:
    codes = tuple(item.card.code for item in view.items)
    return Issue(
        "", view.name, number, view.licence or "", plan.issued, Path(f"{plan.name}.zip"), "", 0, codes,
        tuple(clean_copies.unsure_among(lib, codes)),
    )  # fmt: skip


def _keep(
    lib: Library,
    view: collections.CollectionView,
    number: int,
    plan: BundlePlan,
    receipt: bundles.BundleReceipt,
) -> Issue:
    """Put the bundle in its place and note the issue. It is a record: never undone, never replaced.

    A file of that name that no row names is what an earlier build left when it was stopped just before its end.
    Nobody was told of it, so it makes room. Raises Moved where a drawing, or what is said of it, is no longer what
    was judged.
    """
    path = lib.bundles / receipt.path.name
    if path.exists():
        leftovers.set_aside(lib, path)
    with lib.transaction(f"bundle {view.name} {number} issued") as session:
        _refuse_changed(lib, session, view)
        code = _add_rows(lib, session, view, number, plan, receipt)
        _put_in_place(receipt.path, path)
        codes = tuple(item.card.code for item in view.items)
        return Issue(
            code, view.name, number, plan.tier.value, plan.issued, path, receipt.sha256, receipt.bytes, codes,
        )  # fmt: skip


def _add_rows(
    lib: Library,
    session: Session,
    view: collections.CollectionView,
    number: int,
    plan: BundlePlan,
    receipt: bundles.BundleReceipt,
) -> str:
    """The record of an issue, with the version and cut of all that is in it; returns its code."""
    code = new_code(session, "bundle", lib.now())
    session.flush()
    session.add(
        Bundle(
            id=code.id,
            code=code,
            uuid=str(plan.id),
            collection_id=collections.collection_named(session, view.name).id,
            number=number,
            licence=plan.tier.value,
            issued_on=plan.issued,
            path=receipt.path.name,
            sha256=receipt.sha256,
            bytes=receipt.bytes,
            snapshot=json.loads(receipt.manifest),
            made_at=lib.now(),
        )
    )
    session.flush()
    words = {item.code: changes.kept_words(item) for item in plan.items}
    for ordinal, item in enumerate(view.items):
        session.add(
            BundleItem(
                bundle_id=code.id,
                version_id=item.judged.version_id,
                cut_id=item.judged.cut_id,
                ordinal=ordinal,
                facts={
                    "code": item.card.code,
                    "title": item.card.title,
                    "state": item.verdict.state.value,
                    "answers": {a.question.value: a.value for a in item.answers},
                    "words": words[item.card.code],
                },
            )
        )
    session.flush()
    return code.code


def _put_in_place(staged: Path, path: Path) -> None:
    """Give a finished bundle its name, before its row is committed: a file without a row is harmless."""
    with disk_said_plainly(path.parent):
        if not move_unless_there(staged, path):
            raise LibraryBusy("another issue of this collection was made meanwhile", "run the same again")


def _refuse_changed(lib: Library, session: Session, view: collections.CollectionView) -> None:
    """Hold everything that was judged against what is now, under the write lock."""
    named = collections.collection_named(session, view.name)
    now = collections.view_in(session, named, lib.now().date(), lib.settings.artist)
    if [item.card.id for item in now.items] != [item.card.id for item in view.items]:
        raise Moved(f"'{view.name}' was changed while its bundle was made; nothing was issued", _AGAIN)
    for was, item in zip(view.items, now.items, strict=True):
        refuse_moved(session.get_one(Entry, item.card.id), was.judged)
        if (item.answers, item.whose) != (was.answers, was.whose):
            raise Moved(
                f"the origin of {item.card.code} was answered anew while the bundle was made; nothing was issued",
                _AGAIN,
            )


_SLUG = 60
"""Letters of a collection's name in the name of its ZIP: names of files end at 255 bytes, whole paths on Windows at 260
(from memory)."""
_AGAIN = "look at it, then make the bundle again"


def issues(lib: Library) -> list[Issue]:
    """Every issued bundle, the newest first."""
    with lib.reading() as session:
        rows = session.execute(
            select(Bundle, Collection.name)
            .join(Collection, Collection.id == Bundle.collection_id)
            .order_by(Bundle.id.desc())
        ).all()
        return [
            Issue(
                row.code.code, name, row.number, row.licence, row.issued_on,
                lib.inside(lib.bundles, row.path), row.sha256, row.bytes, tuple(_codes_in(session, row.id)),
                today=doubts.doubts_of(session, row, lib.now().date(), lib.settings.artist),
            )
            for row, name in rows
        ]  # fmt: skip


def _codes_in(session: Session, bundle_id: int) -> list[str]:
    rows = session.scalars(
        select(BundleItem.facts).where(BundleItem.bundle_id == bundle_id).order_by(BundleItem.ordinal)
    )
    return [facts["code"] for facts in rows]


def verify(path: Path, trusted: str | None = None) -> Verification:
    """What is wrong with a bundle, wherever it came from.

    `trusted` names the one key that is trusted: its fingerprint, or a file that holds it. Raises NotFound where
    there is no such file, WrongUsage where no key is named.
    """
    if path.is_dir():
        raise NotFound(f"{path} is a folder", "name the bundle's ZIP")
    if not path.is_file():
        raise NotFound(f"there is no bundle {path}")
    return bundles.verify_bundle(path, read_key(trusted) if trusted else None)


def read_key(text: str) -> str:
    """The fingerprint of the key that is trusted: named itself, or in a file. Raises WrongUsage where none is."""
    try:
        return named_key(text)
    except ValueError as error:
        if not Path(text).is_file() or Path(text).stat().st_size > LARGEST_KEY:
            raise WrongUsage(
                f"'{text}' is no key: {error}",
                "give its fingerprint, SHA256:…, or a file with the public key",
            ) from error
    try:
        return named_key(Path(text).read_text(encoding="utf-8", errors="replace"))
    except ValueError as error:
        raise WrongUsage(f"{text} holds no key: {error}", "name a file with one public key") from error
