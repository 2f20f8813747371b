"""BagIt 1.0 (RFC 8493) with one algorithm: the tag files for a payload, and what is wrong with a bag.

Stricter than the RFC, which lets a bag stay valid when its tag manifest is taken
away or a file is laid beside it: here exactly four tag files are required, and a signature may lie beside them.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from assetlib.rules.wording import one_line
from assetlib.storage.problems import Problem

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
PAYLOAD = "data/"
PAYLOAD_MANIFEST = "manifest-sha512.txt"
TAG_MANIFEST = "tagmanifest-sha512.txt"
SIGNATURE = "tagmanifest-sha512.txt.sig"
"""Over the tag manifest, and so over everything; in no manifest itself."""
TAG_FILES = ("bag-info.txt", "bagit.txt", PAYLOAD_MANIFEST, TAG_MANIFEST)
REQUIRED_INFO = (
    "Source-Organization",
    "Contact-Email",
    "External-Identifier",
    "External-Description",
    "Bagging-Date",
    "Payload-Oxum",
)

_LINE = re.compile(r"([0-9a-f]{128})  (\S+)")


@dataclass(frozen=True)
class FileSum:
    """A file's SHA-512 in lower-case hexadecimal and its size in bytes."""

    sha512: str
    size: int


def sum_of(data: bytes) -> FileSum:
    """The checksum and size of some bytes."""
    return FileSum(hashlib.sha512(data).hexdigest(), len(data))


def tag_files(payload: Mapping[str, FileSum], info: Mapping[str, str]) -> dict[str, bytes]:
    """The four tag files by name. Keys of `payload` are paths that begin with `data/`."""
    told = {**info, "Payload-Oxum": payload_oxum(payload)}
    files = {
        "bag-info.txt": "".join(f"{key}: {one_line(value)}\n" for key, value in told.items()).encode(),
        "bagit.txt": DECLARATION,
        PAYLOAD_MANIFEST: _manifest(payload),
    }
    files[TAG_MANIFEST] = _manifest({name: sum_of(data) for name, data in files.items()})
    return files


def payload_oxum(payload: Mapping[str, FileSum]) -> str:
    """Bytes and number of payload files, as RFC 8493 2.2.2 writes them."""
    return f"{sum(file.size for file in payload.values())}.{len(payload)}"


def read_info(text: bytes) -> dict[str, str]:
    """The fields of bag-info.txt; `ValueError` where a line is none or comes twice."""
    fields: dict[str, str] = {}
    for line in text.decode("utf-8").splitlines():
        key, colon, value = line.partition(": ")
        if not colon or key in fields:
            raise ValueError(f"{line!r} is not one new field")
        fields[key] = value
    return fields


def bag_problems(files: Mapping[str, FileSum], tags: Mapping[str, bytes]) -> list[Problem]:
    """Every fault of a bag: `files` are all its files, `tags` the contents of its tag files."""
    payload = {path: file for path, file in files.items() if path.startswith(PAYLOAD)}
    return [
        *_wrong_tag_files(files),
        *_wrong_declaration(tags),
        *_disagreements(payload, tags, PAYLOAD_MANIFEST),
        *_disagreements(_listed_tags(files), tags, TAG_MANIFEST),
        *_wrong_info(payload, tags),
    ]


def _manifest(files: Mapping[str, FileSum]) -> bytes:
    return "".join(f"{files[path].sha512}  {path}\n" for path in sorted(files)).encode()


def _listed_tags(files: Mapping[str, FileSum]) -> dict[str, FileSum]:
    """The tag files that the tag manifest vouches for: all but itself."""
    return {name: files[name] for name in TAG_FILES if name in files and name != TAG_MANIFEST}


def _wrong_tag_files(files: Mapping[str, FileSum]) -> Iterator[Problem]:
    for name in TAG_FILES:
        if name not in files:
            yield Problem("missing-tag-file", f"{name} is missing.")
    for path in sorted(files):
        if not path.startswith(PAYLOAD) and path not in (*TAG_FILES, SIGNATURE):
            yield Problem("stray-tag-file", f"{path} does not belong in a bundle.")


def _wrong_declaration(tags: Mapping[str, bytes]) -> Iterator[Problem]:
    if tags.get("bagit.txt", DECLARATION) != DECLARATION:
        yield Problem("bagit-declaration", "bagit.txt does not declare BagIt 1.0 in UTF-8.")


def _disagreements(files: Mapping[str, FileSum], tags: Mapping[str, bytes], name: str) -> Iterator[Problem]:
    """Where the files and the manifest called `name` part ways."""
    if name not in tags:
        return
    listed: dict[str, str] = {}
    for line in tags[name].decode("utf-8", "replace").splitlines():
        match = _LINE.fullmatch(line)
        if match is None or match[2] in listed:
            yield Problem(
                "manifest-line", f"{name} has a line that is no new checksum and path: {line[:200]!r}."
            )
            continue
        listed[match[2]] = match[1]
    for path in sorted(files.keys() | listed.keys()):
        if path not in files:
            yield Problem("missing-file", f"{path} is listed in {name} but is not there.")
        elif path not in listed:
            yield Problem("extra-file", f"{path} is there but is not listed in {name}.")
        elif files[path].sha512 != listed[path]:
            yield Problem("changed-file", f"{path} is not as it was when the bundle was sealed.")


def _wrong_info(payload: Mapping[str, FileSum], tags: Mapping[str, bytes]) -> Iterator[Problem]:
    if "bag-info.txt" not in tags:
        return
    try:
        fields = read_info(tags["bag-info.txt"])
    except ValueError as error:
        yield Problem("bag-info", f"bag-info.txt cannot be read: {error}.")
        return
    for name in REQUIRED_INFO:
        if not fields.get(name):
            yield Problem("bag-info", f"bag-info.txt does not say {name}.")
    if fields.get("Payload-Oxum", "") not in ("", payload_oxum(payload)):
        yield Problem("payload-count", "Number or size of the files is not what bag-info.txt says.")
