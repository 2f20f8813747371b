"""Broken bundles: each way to spoil one, and the codes that must be told for it."""

from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from assetlib.storage.archive import archive_chunks
from assetlib.storage.bag import FileSum, sum_of, tag_files
from assetlib.storage.bundles import verify_bundle
from assetlib.storage.signing import FOR_BUNDLES, FOR_CERTIFICATES, Signer
from tests.storage.conftest import ISSUED, SIGNER, Sealed, key_of

TOP = "before-the-ovens-1.0.0"
HAND = "data/images/hand-with-phone-p3xhr9-with-body.png"
INK = "data/images/hand-with-phone-p3xhr9-ink-alone.png"
PREVIEW = "data/previews/hand-with-phone-p3xhr9.jpg"
LICENCE = "data/licence/licence.txt"
MANIFEST = "data/manifest.json"
INFO = "bag-info.txt"
PAYLOAD_SUMS = "manifest-sha512.txt"
TAG_SUMS = "tagmanifest-sha512.txt"
SIGNATURE = "tagmanifest-sha512.txt.sig"
THIEF = key_of(9)

Files = dict[str, bytes]
"""Contents by path under the top folder."""


def files_of(path: Path) -> Files:
    with zipfile.ZipFile(path) as archive:
        return {info.filename.removeprefix(f"{TOP}/"): archive.read(info) for info in archive.infolist()}


def archive_of(files: Files, top: str = TOP) -> bytes:
    return b"".join(archive_chunks(sorted((f"{top}/{path}", data) for path, data in files.items()), ISSUED))


def reseal(files: Files, signer: Signer | None = SIGNER) -> Files:
    """What somebody does who edits the payload, makes all checksums right again, and has the artist's key."""
    payload: dict[str, FileSum] = {p: sum_of(d) for p, d in files.items() if p.startswith("data/")}
    info = dict(line.split(": ", 1) for line in files[INFO].decode().splitlines())
    resealed = {path: files[path] for path in payload} | tag_files(payload, info)
    return resealed | ({SIGNATURE: signer.sign(resealed[TAG_SUMS], FOR_BUNDLES)} if signer else {})


def resealed_by(signer: Signer | None, *, names_itself: bool = False) -> Callable[[Files], Files]:
    """The licence edited and all sealed anew by somebody who has not the artist's key."""

    def change(files: Files) -> Files:
        files = {**files, LICENCE: files[LICENCE].replace(b"may not", b"may now")}
        if signer and names_itself:
            manifest = json.loads(files[MANIFEST])
            manifest["signer"] |= {"key": signer.public, "fingerprint": signer.fingerprint}
            files[MANIFEST] = rfc8785.dumps(manifest)
        return reseal(files, signer)

    return change


def signed_for(namespace: str) -> Callable[[Files], Files]:
    return lambda files: {**files, SIGNATURE: SIGNER.sign(files[TAG_SUMS], namespace)}


def flip(data: bytes) -> bytes:
    middle = len(data) // 2
    return data[:middle] + bytes([data[middle] ^ 1]) + data[middle + 1 :]


def changed(path: str, change: Callable[[bytes], bytes]) -> Callable[[Files], Files]:
    return lambda files: {**files, path: change(files[path])}


def without(path: str) -> Callable[[Files], Files]:
    return lambda files: {name: data for name, data in files.items() if name != path}


def added(path: str) -> Callable[[Files], Files]:
    return lambda files: {**files, path: b"something"}


def told(edit: Callable[[dict[str, Any]], object]) -> Callable[[Files], Files]:
    """The manifest edited, and every checksum made right again."""

    def change(files: Files) -> Files:
        manifest = json.loads(files[MANIFEST])
        edit(manifest)
        return reseal({**files, MANIFEST: rfc8785.dumps(manifest)})

    return change


def said(data: bytes) -> Callable[[Files], Files]:
    return lambda files: reseal({**files, MANIFEST: data})


def second_item(**changes: Any) -> Callable[[Files], Files]:
    return told(lambda manifest: manifest["items"][1].update(changes))


def second_picture(which: str, **changes: Any) -> Callable[[Files], Files]:
    return told(lambda manifest: manifest["items"][1][which].update(changes))


def clearance(**changes: Any) -> Callable[[Files], Files]:
    return told(lambda manifest: manifest["items"][1]["clearance"].update(changes))


BROKEN: dict[str, tuple[Callable[[Files], Files], set[str]]] = {
    # what the notes on the standard list
    "picture changed": (changed(HAND, flip), {"changed-file", "manifest-disagrees"}),
    "ink changed": (changed(INK, flip), {"changed-file", "manifest-disagrees"}),
    "ink missing": (without(INK), {"missing-file", "payload-count", "manifest-disagrees"}),
    "preview changed": (changed(PREVIEW, flip), {"changed-file"}),
    "licence changed": (changed(LICENCE, flip), {"changed-file"}),
    "picture cut short": (
        changed(HAND, lambda data: data[:-1]),
        {"changed-file", "payload-count", "manifest-disagrees"},
    ),
    "file added": (added("data/images/extra.png"), {"extra-file", "payload-count", "manifest-disagrees"}),
    "file missing": (without(HAND), {"missing-file", "payload-count", "manifest-disagrees"}),
    "manifest missing": (without(MANIFEST), {"missing-file", "payload-count", "manifest-missing"}),
    "line added to bag-info": (changed(INFO, lambda data: data + b"Note: x\n"), {"changed-file"}),
    "tag manifest taken away": (without(TAG_SUMS), {"missing-tag-file", "signature-wrong"}),
    "tag manifest taken away and bag-info changed": (
        lambda files: without(TAG_SUMS)(changed(INFO, lambda d: d.replace(b"Mira", b"Mara"))(files)),
        {"missing-tag-file", "signature-wrong"},
    ),
    "stray tag file": (added("readme.txt"), {"stray-tag-file"}),
    "fetch list": (added("fetch.txt"), {"stray-tag-file"}),
    "stray folder": (added("more/file.txt"), {"stray-tag-file"}),
    # the rest of a bag
    "declaration missing": (without("bagit.txt"), {"missing-tag-file", "missing-file"}),
    "older declaration": (
        changed("bagit.txt", lambda data: data.replace(b"1.0", b"0.97")),
        {"bagit-declaration", "changed-file"},
    ),
    "payload manifest missing": (without(PAYLOAD_SUMS), {"missing-tag-file", "missing-file"}),
    "bag-info missing": (without(INFO), {"missing-tag-file", "missing-file"}),
    "payload manifest with a line less": (
        changed(PAYLOAD_SUMS, lambda data: data[data.index(b"\n") + 1 :]),
        {"changed-file", "extra-file"},
    ),
    "payload manifest with a line twice": (
        changed(PAYLOAD_SUMS, lambda data: data + data[: data.index(b"\n") + 1]),
        {"changed-file", "manifest-line"},
    ),
    "payload manifest with prose": (
        changed(PAYLOAD_SUMS, lambda data: data + b"\xff not a sum\n"),
        {"changed-file", "manifest-line"},
    ),
    "tag manifest without bag-info": (
        changed(TAG_SUMS, lambda data: data[data.index(b"\n") + 1 :]),
        {"extra-file", "signature-wrong"},
    ),
    "bag-info not text": (changed(INFO, lambda data: b"\xff\xfe"), {"bag-info", "changed-file"}),
    "bag-info without contact": (
        changed(INFO, lambda data: data.replace(b"Contact-Email", b"Contact-Nobody")),
        {"bag-info", "changed-file"},
    ),
    "bag-info with a field twice": (
        changed(INFO, lambda data: data + b"Contact-Email: thief@example.org\n"),
        {"bag-info", "changed-file"},
    ),
    # sealed anew with right checksums, but saying what a bundle cannot say
    "bag-info of another bundle": (
        lambda files: reseal(changed(INFO, lambda d: d.replace(b"urn:uuid:", b"urn:uuid:0"))(files)),
        {"bag-info"},
    ),
    "limited model release": (clearance(modelRelease="MR-LMR"), {"manifest-schema"}),
    "no property release": (clearance(propertyRelease="PR-NON"), {"manifest-schema"}),
    "not clear": (clearance(state="ask"), {"manifest-schema"}),
    "training allowed": (clearance(dataMining="DMI-ALLOWED"), {"manifest-schema"}),
    "retired source type": (
        second_item(digitalSourceType="http://cv.iptc.org/newscodes/digitalsourcetype/digitalArt"),
        {"manifest-schema"},
    ),
    "path leading out": (second_picture("withBody", file="data/../x.png"), {"manifest-schema"}),
    "upper-case path": (second_picture("inkAlone", file="data/images/X.png"), {"manifest-schema"}),
    "resolution of nothing": (second_item(pixelsPerMetre=[0, 11811]), {"manifest-schema"}),
    "older manifest than its items": (told(lambda m: m.update(formatVersion=1)), {"manifest-schema"}),
    "manifest of a version to come": (told(lambda m: m.update(formatVersion=4)), {"manifest-schema"}),
    "title of two lines": (second_item(title="a\nb"), {"manifest-schema"}),
    "key nobody knows": (second_item(rating=5), {"manifest-schema"}),
    "day that never was": (told(lambda m: m["bundle"].update(issued="2026-02-30")), {"manifest-schema"}),
    "no items": (told(lambda m: m.update(items=[])), {"manifest-schema"}),
    "item left out": (told(lambda m: m["items"].pop(1)), {"manifest-disagrees"}),
    "item that is not there": (second_item(preview="data/previews/no.jpg"), {"manifest-disagrees"}),
    "other checksum": (second_picture("inkAlone", sha512="0" * 128), {"manifest-disagrees"}),
    "other size": (second_picture("withBody", bytes=1), {"manifest-disagrees"}),
    "other version": (told(lambda m: m["bundle"].update(version="1.0.1")), {"top-folder"}),
    "other day": (told(lambda m: m["bundle"].update(issued="2026-03-15")), {"bag-info"}),
    "manifest with spaces": (
        lambda files: reseal({**files, MANIFEST: files[MANIFEST].replace(b":", b": ", 1)}),
        {"manifest-not-canonical"},
    ),
    "manifest with a key twice": (
        lambda files: reseal({**files, MANIFEST: files[MANIFEST].replace(b"{", b'{"bundle":{},', 1)}),
        {"manifest-not-canonical"},
    ),
    "manifest that is no JSON": (said(b"{"), {"manifest-unreadable"}),
    "manifest that is a list": (said(b"[]"), {"manifest-schema"}),
    "manifest nested without end": (said(b"[" * 200_000), {"manifest-unreadable"}),
    "manifest with a number too large": (said(b"[1e999]"), {"manifest-unreadable"}),
    "manifest with half a character": (said(b'["\\ud800"]'), {"manifest-unreadable"}),
    "manifest that is empty": (said(b""), {"manifest-missing"}),
    # signatures
    "signature taken away": (without(SIGNATURE), {"signature-missing"}),
    "signature changed": (changed(SIGNATURE, flip), {"signature-wrong"}),
    "signature with another break": (
        changed(SIGNATURE, lambda data: data.replace(b"\n", b"\n\n", 2)),
        {"signature-wrong"},
    ),
    "signature of nothing": (changed(SIGNATURE, lambda data: b""), {"signature-wrong"}),
    "signature made for certificates": (signed_for(FOR_CERTIFICATES), {"signature-wrong"}),
    "sealed anew without a key": (resealed_by(None), {"signature-missing"}),
    "sealed anew with another key": (resealed_by(THIEF), {"signature-wrong"}),
    "key named by another fingerprint": (
        told(lambda m: m["signer"].update(fingerprint=THIEF.fingerprint)),
        {"signature-wrong"},
    ),
    "key that is none": (told(lambda m: m["signer"].update(key="ssh-ed25519 AAAA")), {"signature-wrong"}),
    "signer left out": (told(lambda m: m.pop("signer")), {"manifest-schema"}),
}


def codes(path: Path) -> set[str]:
    problems = verify_bundle(path).problems
    assert all(problem.sentence.strip() for problem in problems)
    return {problem.code for problem in problems}


def test_taking_it_apart_and_together_again_is_no_change(sealed: Sealed, tmp_path: Path) -> None:
    # else the table below could be right for the wrong reason
    path = tmp_path / "same.zip"
    path.write_bytes(archive_of(reseal(files_of(sealed.path))))
    assert path.read_bytes() == sealed.path.read_bytes()
    assert codes(path) == set()


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_bundle_is_told_by_its_codes(sealed: Sealed, tmp_path: Path, how: str) -> None:
    spoil, expected = BROKEN[how]
    path = tmp_path / "broken.zip"
    path.write_bytes(archive_of(spoil(files_of(sealed.path))))
    assert codes(path) == expected


def test_whoever_names_a_key_of_their_own_is_told_by_the_key_that_is_trusted(
    sealed: Sealed, tmp_path: Path
) -> None:
    path = tmp_path / "forged.zip"
    path.write_bytes(archive_of(resealed_by(THIEF, names_itself=True)(files_of(sealed.path))))
    forged = verify_bundle(path)
    # whole in itself: only the key tells, and it is said
    assert (forged.problems, forged.told and forged.told.key) == ((), THIEF.fingerprint)
    assert [p.code for p in verify_bundle(path, SIGNER.fingerprint).problems] == ["other-signer"]
    assert verify_bundle(sealed.path, SIGNER.fingerprint).ok


def zip_again(sealed: Sealed, path: Path, **options: Any) -> None:
    """The bundle's files in a ZIP as another program would make it."""
    with zipfile.ZipFile(path, "w", **options) as archive:
        for name, data in files_of(sealed.path).items():
            info = zipfile.ZipInfo(f"{TOP}/{name}", (2026, 3, 14, 9, 30, 0))
            info.external_attr = 0o100644 << 16
            archive.writestr(info, data, compress_type=options.get("compression"))


def test_a_zip_made_by_another_program_is_told(sealed: Sealed, tmp_path: Path) -> None:
    zip_again(sealed, tmp_path / "stored.zip")
    assert codes(tmp_path / "stored.zip") == {"packed-again"}
    zip_again(sealed, tmp_path / "deflated.zip", compression=zipfile.ZIP_DEFLATED)
    assert codes(tmp_path / "deflated.zip") == {"compressed"}


@pytest.mark.parametrize(
    ("wrap", "expected"),
    [
        (lambda data: b"#!/bin/sh\n" + data, {"packed-again"}),
        (lambda data: data + b"tail", {"packed-again"}),
        (lambda data: data[:-2] + b"\x04\x00note", {"packed-again"}),
        (lambda data: data[:-30], {"not-a-zip"}),
        (lambda data: data[:5000], {"not-a-zip"}),
        (lambda data: b"", {"not-a-zip"}),
        (lambda data: b"a letter, not a bundle", {"not-a-zip"}),
    ],
    ids=["before", "after", "comment", "no end", "half", "empty", "no zip"],
)
def test_bytes_around_the_files_are_told(
    sealed: Sealed, tmp_path: Path, wrap: Callable[[bytes], bytes], expected: set[str]
) -> None:
    path = tmp_path / "wrapped.zip"
    path.write_bytes(wrap(sealed.path.read_bytes()))
    assert codes(path) == expected


def test_folders(sealed: Sealed, tmp_path: Path) -> None:
    path = tmp_path / "folders.zip"
    files = files_of(sealed.path)
    path.write_bytes(archive_of(files, top="another-name-1.0.0"))
    assert codes(path) == {"top-folder"}
    entries = [(f"{TOP}/{name}", data) for name, data in files.items()]
    path.write_bytes(b"".join(archive_chunks([*entries, ("zz/other.txt", b"")], ISSUED)))
    assert codes(path) == {"top-folder"}
    path.write_bytes(b"".join(archive_chunks([], ISSUED)))
    assert codes(path) == {"top-folder"}


@pytest.mark.parametrize(
    "name",
    [
        "../evil.txt",
        "/etc/evil",
        "c:/evil",
        f"{TOP}/../../evil",
        f"{TOP}/data/a\\b",
        f"{TOP}/data/A.png",
        f"{TOP}/data/con.png",
        f"{TOP}/data/x.png\x00.exe",
        f"{TOP}/data/",
        f"{TOP}/data/ä.png",
        f"{TOP}/data/a.",
    ],
)
def test_a_path_that_leads_astray_is_told(sealed: Sealed, tmp_path: Path, name: str) -> None:
    path = tmp_path / "path.zip"
    path.write_bytes(sealed.path.read_bytes())
    info = zipfile.ZipInfo("placeholder")
    # set afterwards: the library itself would clean the name
    info.filename = info.orig_filename = name
    info.external_attr = 0o100644 << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(info, b"x")
    assert codes(path) == {"unsafe-path"}


@pytest.mark.parametrize(
    ("mode", "expected"),
    [
        (0o120777, "link"),
        (0o040755, "not-a-plain-file"),
        (0o100755, "not-a-plain-file"),
        (0, "not-a-plain-file"),
    ],
)
def test_links_and_other_oddities_are_told(sealed: Sealed, tmp_path: Path, mode: int, expected: str) -> None:
    path = tmp_path / "odd.zip"
    path.write_bytes(sealed.path.read_bytes())
    info = zipfile.ZipInfo(f"{TOP}/data/odd")
    # zipfile fills in a mode of its own where it finds none
    info.external_attr = mode << 16 or 0x20
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(info, b"/etc/passwd")
    assert expected in codes(path)


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_the_same_name_twice_is_told(sealed: Sealed, tmp_path: Path) -> None:
    path = tmp_path / "twice.zip"
    path.write_bytes(sealed.path.read_bytes())
    info = zipfile.ZipInfo(f"{TOP}/{HAND}")
    info.external_attr = 0o100644 << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(info, b"another picture")
    assert codes(path) == {"duplicate-entry"}


def test_a_compression_bomb_is_told_and_not_unpacked(tmp_path: Path) -> None:
    path = tmp_path / "bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        info = zipfile.ZipInfo(f"{TOP}/data/bomb")
        info.external_attr = 0o100644 << 16
        archive.writestr(info, bytes(30_000_000), compress_type=zipfile.ZIP_DEFLATED)
    assert codes(path) == {"compressed"}


def patched(data: bytes, at: int, number: str, value: int) -> bytes:
    """The archive with one field of its first table entry changed."""
    whole = bytearray(data)
    struct.pack_into(number, whole, data.index(b"PK\x01\x02") + at, value)
    return bytes(whole)


def test_an_entry_that_claims_to_be_huge_is_told(sealed: Sealed, tmp_path: Path) -> None:
    path = tmp_path / "huge.zip"
    huge = patched(sealed.path.read_bytes(), 20, "<L", 3_000_000_000)
    path.write_bytes(patched(huge, 24, "<L", 3_000_000_000))
    assert codes(path) == {"too-large", "overlapping"}


def test_files_laid_over_each_other_are_told(tmp_path: Path) -> None:
    path = tmp_path / "overlapping.zip"
    data = b"".join(archive_chunks([(f"{TOP}/data/{n}", bytes(2000)) for n in range(9)], ISSUED))
    table = data.index(b"PK\x01\x02")
    first = data[table : table + 46 + len(f"{TOP}/data/0")]
    entries = b"".join(first[:-1] + b"%d" % n for n in range(9))
    # nine names for the same 2,000 bytes
    end = struct.pack("<4sHHHHLLH", b"PK\x05\x06", 0, 0, 9, 9, len(entries), 2100, 0)
    path.write_bytes(data[:2100] + entries + end)
    assert codes(path) == {"overlapping"}


def test_an_encrypted_entry_is_told(sealed: Sealed, tmp_path: Path) -> None:
    path = tmp_path / "encrypted.zip"
    path.write_bytes(patched(sealed.path.read_bytes(), 8, "<H", 1))
    assert codes(path) == {"encrypted"}


@given(st.data())
def test_a_change_of_any_byte_is_told(
    sealed: Sealed, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    whole = bytearray(sealed.path.read_bytes())
    at = data.draw(st.integers(0, len(whole) - 1))
    whole[at] ^= data.draw(st.integers(1, 255))
    path = tmp_path_factory.getbasetemp() / "any.zip"
    path.write_bytes(whole)
    assert codes(path)


@given(st.binary(max_size=2000), st.booleans())
def test_no_bytes_break_the_check(
    sealed: Sealed, tmp_path_factory: pytest.TempPathFactory, junk: bytes, with_end: bool
) -> None:
    path = tmp_path_factory.getbasetemp() / "junk.zip"
    path.write_bytes(junk + sealed.path.read_bytes()[-1500:] if with_end else junk)
    assert codes(path)


def test_a_copy_that_was_packed_anew_tells_its_files_first(sealed: Sealed, tmp_path: Path) -> None:
    path = tmp_path / "again.zip"
    with zipfile.ZipFile(sealed.path) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        top = old.namelist()[0].partition("/")[0]
        new.writestr(f"{top}/", "")
        lost = next(name for name in old.namelist() if "/previews/" in name)
        for name in old.namelist():
            if name != lost:
                new.writestr(name, old.read(name) + (b"more" if name.endswith(LICENCE) else b""))
    problems = verify_bundle(path).problems
    assert [one.code for one in problems[:2]] == ["changed-file", "missing-file"]
    assert LICENCE in problems[0].sentence
    assert lost.removeprefix(f"{top}/") in problems[1].sentence
    assert problems[-1].code in ("unsafe-path", "not-a-plain-file", "compressed")
