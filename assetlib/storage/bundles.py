"""Sealed bundles: a BagIt bag in a ZIP, built the same to the last byte every time, and checked.

    <slug>-<version>/bagit.txt, bag-info.txt, manifest-sha512.txt, tagmanifest-sha512.txt and its .sig
    <slug>-<version>/data/manifest.json, images/, previews/, catalogue/, licence/

A check finds every change to a bundle. One that was sealed anew, with all its
checksums right, has another signature: which key is the artist's, a buyer knows from the artist.
"""

from __future__ import annotations

import tempfile
import uuid
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from assetlib.errors import BadPicture, BundleInvalid, NotFound
from assetlib.progress import SILENT, Progress
from assetlib.rules.rights.checking_text import how_to_check
from assetlib.rules.rights.embedded_words import PictureWords, packet
from assetlib.rules.rights.licences import in_short, licence_id
from assetlib.rules.wording import one_line
from assetlib.storage import contact_sheet
from assetlib.storage.archive import (
    PACKING,
    UNREADABLE,
    archive_chunks,
    could_trap,
    is_as_written,
    odd_entries,
)
from assetlib.storage.bag import (
    SIGNATURE,
    TAG_FILES,
    TAG_MANIFEST,
    FileSum,
    bag_problems,
    read_info,
    sum_of,
    tag_files,
)
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.delivery import GROUND, Delivery, prepare, worded
from assetlib.storage.durable import move_unless_there, no_room_said_plainly, staged_file
from assetlib.storage.manifests import (
    ALLOWED_SIGNERS,
    CONTACT_SHEET,
    HOW_TO_CHECK,
    LICENCE,
    MANIFEST,
    NOT_TOLD,
    SIGNED_FROM,
    SealedItem,
    item_entry,
    manifest_bytes,
    manifest_disagreements,
    read_manifest,
    sealed_item,
)
from assetlib.storage.plans import (
    BundlePlan,
    PlannedItem,
    SourceType,
    refuse_ending,
    refuse_unclear,
    refuse_unfit,
)
from assetlib.storage.problems import Problem
from assetlib.storage.signing import (
    FOR_BUNDLES,
    FOR_CERTIFICATES,
    Signer,
    allowed_signers,
    fingerprint,
    principal,
    read_signature,
)

__all__ = [
    "BundlePlan",
    "BundleReceipt",
    "PlannedItem",
    "Problem",
    "SealedItem",
    "SourceType",
    "Told",
    "Verification",
    "verify_bundle",
    "write_bundle",
]


@dataclass(frozen=True)
class BundleReceipt:
    """A sealed bundle: the file, its digest and size, and what it holds.

    `manifest` is the canonical JSON, kept as the snapshot of the issue.
    """

    path: Path
    sha256: str
    bytes: int
    items: tuple[SealedItem, ...]
    manifest: str


@dataclass(frozen=True)
class Told:
    """What a bundle says of itself. `key` is the fingerprint that its signature was made with, where it is right."""

    title: str
    version: str
    issued: date
    licensor: str
    contact: str
    tier: str
    drawings: int
    key: str | None


@dataclass(frozen=True)
class Verification:
    """Every fault that was found; `sha256` is that of the ZIP. `told` is what it says of itself, where that is read."""

    sha256: str
    problems: tuple[Problem, ...]
    told: Told | None = None

    @property
    def ok(self) -> bool:
        """Whether the bundle is as it was sealed."""
        return not self.problems


class _Payload:
    """The files under `data/` while they are gathered in a folder beside the bundle."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.sums: dict[str, FileSum] = {}

    def add(self, path: str, data: bytes) -> FileSum:
        target = self.folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
        self.sums[path] = sum_of(data)
        return self.sums[path]

    def entries(self, top: str, tags: dict[str, bytes]) -> Iterator[tuple[str, bytes]]:
        """Every file with its path in the archive, in the order of the paths."""
        for path in sorted([*self.sums, *tags]):
            yield f"{top}/{path}", tags[path] if path in tags else (self.folder / path).read_bytes()


def write_bundle(
    plan: BundlePlan, target: Path, signer: Signer, progress: Progress = SILENT
) -> BundleReceipt:
    """The receipt of the bundle that now lies at `target` (a `.zip` that was not there before).

    `NotClear` when a drawing may not be sold, `WrongUsage` when the plan has gaps,
    `BadPicture` when a clean copy cannot be read; nothing is written then. The same
    plan gives the same bytes, so a bundle that is already there is left alone;
    `BundleInvalid` when it holds something else.
    """
    refuse_unfit(plan)
    refuse_unclear(plan)
    refuse_ending(plan)
    target.parent.mkdir(parents=True, exist_ok=True)
    with (
        no_room_said_plainly(target.parent),
        tempfile.TemporaryDirectory(prefix=".new-", dir=target.parent) as folder,
    ):
        payload = _Payload(Path(folder))
        items, manifest = _fill(payload, plan, signer, progress)
        staged = _seal(payload, plan, signer, target.parent)
    digest = digest_of_file(staged)
    _put_in_place(staged, target, digest)
    return BundleReceipt(target, digest, target.stat().st_size, items, manifest.decode())


def verify_bundle(path: Path, key: str | None = None) -> Verification:
    """What is wrong with a bundle, read inside the ZIP; `NotFound` when there is no such file.

    `key` is the fingerprint of the one key that is trusted: a bundle without it is not as it was sealed.
    """
    if not path.is_file():
        raise NotFound(f"There is no bundle at {path}.")
    problems, told = _problems(path)
    if key is not None and not problems and (told is None or told.key != key):
        signed = told is not None and told.key is not None
        sentence = (
            "It was signed with another key than you named."
            if signed
            else "It is of a time before any was signed."
        )
        problems = [Problem("other-signer", sentence)]
    # What happened to files is what counts; how the ZIP around them was packed comes last.
    problems.sort(
        key=lambda one: _FIRST.index(one.code) if one.code in _FIRST else len(_FIRST) + (one.code in PACKING)
    )
    return Verification(digest_of_file(path), tuple(problems), told)


_FIRST = ("changed-file", "missing-file", "extra-file")


def _fill(
    payload: _Payload, plan: BundlePlan, signer: Signer, progress: Progress
) -> tuple[tuple[SealedItem, ...], bytes]:
    """The drawings, licence and manifest put into the payload; what was sealed, and the manifest."""
    sealed, entries, shown = [], [], []
    for item in progress.track(sorted(plan.items, key=lambda item: item.stem), "sealing", len(plan.items)):
        with_body, ink_alone = (_worded(plan, item, one) for one in _prepared(item))
        lying = sealed_item(item, with_body, ink_alone)
        payload.add(lying.with_body.file, with_body.png)
        payload.add(lying.ink_alone.file, ink_alone.png)
        payload.add(lying.preview, with_body.preview)
        sealed.append(lying)
        entries.append(item_entry(item, lying, with_body))
        shown.append(
            contact_sheet.Shown(
                lying.title, lying.code, with_body.thumbnail, with_body.width, with_body.height
            )
        )
    payload.add(CONTACT_SHEET, contact_sheet.pdf(_heading(plan), shown, GROUND))
    payload.add(LICENCE, plan.licence_text.encode())
    payload.add(ALLOWED_SIGNERS, allowed_signers(plan.contact, signer.public))
    payload.add(HOW_TO_CHECK, _how_to_check(plan, signer))
    manifest = manifest_bytes(plan, entries, signer)
    payload.add(MANIFEST, manifest)
    return tuple(sealed), manifest


def _how_to_check(plan: BundlePlan, signer: Signer) -> bytes:
    return how_to_check(
        title=plan.title,
        number=plan.version,
        licensor=plan.licensor,
        contact=plan.contact,
        fingerprint=signer.fingerprint,
        principal=principal(plan.contact),
        namespace=FOR_BUNDLES,
        for_certificates=FOR_CERTIFICATES,
    )


def _worded(plan: BundlePlan, item: PlannedItem, delivery: Delivery) -> Delivery:
    """The pictures with what is said of them inside; each is told from the others by an id of its own."""
    title = one_line(item.title) or item.code
    words = PictureWords(
        title=title,
        description=one_line(item.description) or title,
        subjects=tuple(map(one_line, item.subjects)),
        code=item.code,
        guid=uuid.uuid5(item.uuid, delivery.pixel_sha256).urn,
        source_type=item.source_type.value if item.source_type else "",
        releases=item.verdict.releases or NOT_TOLD,
        artist=one_line(plan.licensor),
        contact=plan.contact,
        website=plan.website,
        year=plan.issued.year,
        terms=f"{in_short(plan.tier)} {licence_id(plan.tier)}: the whole text is licence/licence.txt in the bundle. "
        "Not for training a machine-learning model.",
    )
    preview = replace(words, guid=uuid.uuid5(item.uuid, f"preview of {delivery.pixel_sha256}").urn)
    return worded(delivery, packet(words), packet(preview))


def _heading(plan: BundlePlan) -> contact_sheet.Heading:
    return contact_sheet.Heading(
        plan.title, plan.version, plan.licensor, plan.contact, plan.tier.value, plan.issued
    )


def _prepared(item: PlannedItem) -> tuple[Delivery, Delivery]:
    """The drawing with its body and its ink alone, one of the size of the other."""
    try:
        with_body, ink_alone = prepare(item.with_body), prepare(item.ink_alone)
    except BadPicture as error:
        raise BadPicture(f"{item.label}: {error.sentence}", error.hint) from error
    if (with_body.width, with_body.height) != (ink_alone.width, ink_alone.height):
        raise BadPicture(f"{item.label}: its ink and its body differ in size", "Make its clean copy again.")
    return with_body, ink_alone


def _seal(payload: _Payload, plan: BundlePlan, signer: Signer, folder: Path) -> Path:
    """A finished, synced and checked archive under a temporary name in `folder`."""
    tags = tag_files(payload.sums, _bag_info(plan))
    tags[SIGNATURE] = signer.sign(tags[TAG_MANIFEST], FOR_BUNDLES)
    with staged_file(folder) as (file, staged):
        for chunk in archive_chunks(payload.entries(plan.name, tags), plan.issued):
            file.write(chunk)
    problems = verify_bundle(staged).problems
    if problems:
        staged.unlink()
        raise BundleInvalid(f"The bundle did not pass its own check: {problems[0].sentence}")
    return staged


def _bag_info(plan: BundlePlan) -> dict[str, str]:
    return {
        "Source-Organization": plan.licensor,
        "Contact-Email": plan.contact,
        "External-Identifier": f"urn:uuid:{plan.id}",
        "External-Description": plan.title,
        "Bagging-Date": plan.issued.isoformat(),
    }


def _put_in_place(staged: Path, target: Path, digest: str) -> None:
    if move_unless_there(staged, target):
        return
    staged.unlink()
    if digest_of_file(target) != digest:
        raise BundleInvalid(
            f"{target} is there already and holds something else.",
            "An issued bundle stays as it is; give the collection a new version.",
        )


def _problems(path: Path) -> tuple[list[Problem], Told | None]:
    try:
        with zipfile.ZipFile(path) as archive:
            odd = odd_entries(archive.infolist(), path.stat().st_size)
            # what could trap a reader is not read
            if could_trap(archive.infolist(), odd, path.stat().st_size):
                return odd, None
            return _faults_inside(path, archive, odd)
    except UNREADABLE as error:
        return [Problem("not-a-zip", f"The file is not a whole ZIP: {error}.")], None


def _faults_inside(
    path: Path, archive: zipfile.ZipFile, odd: list[Problem]
) -> tuple[list[Problem], Told | None]:
    tops = {name.partition("/")[0] for name in archive.namelist()}
    if len(tops) != 1:
        return [Problem("top-folder", f"A bundle has one top folder, this one has {len(tops)}.")], None
    top = tops.pop()
    files, texts = _read(archive, top)
    manifest, problems = read_manifest(texts.get(MANIFEST, b""))
    problems = [*bag_problems(files, texts), *problems, *odd]
    if not manifest:
        return problems, None
    unsigned, key = _signature(manifest, texts)
    problems += [*manifest_disagreements(manifest, files), *unsigned]
    problems += _bundle_disagreements(manifest["bundle"], top, texts)
    if not problems and not is_as_written(path, archive, date.fromisoformat(manifest["bundle"]["issued"])):
        problems.append(Problem("packed-again", "Its files are right, but the ZIP around them was changed."))
    return problems, _told(manifest, key)


def _signature(manifest: dict[str, Any], texts: dict[str, bytes]) -> tuple[list[Problem], str | None]:
    """What is wrong with the signature, and the fingerprint of its key where nothing is."""
    if manifest["formatVersion"] < SIGNED_FROM:
        stray = [Problem("stray-tag-file", f"{SIGNATURE} does not belong in a bundle of its time.")]
        return (stray if SIGNATURE in texts else []), None
    if SIGNATURE not in texts:
        return [Problem("signature-missing", "The signature is missing: anybody could have made this.")], None
    try:
        key = fingerprint(read_signature(texts.get(TAG_MANIFEST, b""), texts[SIGNATURE], FOR_BUNDLES))
        told = fingerprint(manifest["signer"]["key"])
    except ValueError as error:
        sentence = f"The signature is not the one that was made for this bundle: {error}."
        return [Problem("signature-wrong", sentence)], None
    if {key, manifest["signer"]["fingerprint"]} != {told}:
        return [
            Problem("signature-wrong", f"The signature is of another key than the one {MANIFEST} names.")
        ], None
    return [], key


def _told(manifest: dict[str, Any], key: str | None) -> Told:
    bundle, licensor = manifest["bundle"], manifest["licensor"]
    return Told(
        bundle["title"], bundle["version"], date.fromisoformat(bundle["issued"]), licensor["name"],
        licensor["email"], manifest["licence"]["tier"], len(manifest["items"]), key,
    )  # fmt: skip


def _read(archive: zipfile.ZipFile, top: str) -> tuple[dict[str, FileSum], dict[str, bytes]]:
    """Checksums of all files by their path under the top folder, and the texts that are read."""
    files, texts = {}, {}
    for info in archive.infolist():
        if info.is_dir():
            continue  # told among what is odd
        name = info.filename.removeprefix(f"{top}/")
        try:
            data = archive.read(info)
        except UNREADABLE:
            # damaged, so that no checksum can agree
            files[name] = FileSum("", info.file_size)
            continue
        files[name] = sum_of(data)
        if name in TAG_FILES or name in (MANIFEST, SIGNATURE):
            texts[name] = data
    return files, texts


def _bundle_disagreements(bundle: dict[str, str], top: str, texts: dict[str, bytes]) -> Iterator[Problem]:
    """Where the manifest, the bag and the folder speak of different bundles."""
    if f"{bundle['slug']}-{bundle['version']}" != top:
        yield Problem("top-folder", f"The top folder {top} is not named after the bundle.")
    try:
        info = read_info(texts.get("bag-info.txt", b""))
    except ValueError:
        # already told among the bag's own faults
        return
    told = {"External-Identifier": bundle["id"], "Bagging-Date": bundle["issued"]}
    for field, value in told.items():
        if info.get(field, value) != value:
            yield Problem("bag-info", f"bag-info.txt and the manifest disagree on {field}.")
