"""Licence certificates: that one buyer holds one licence to one bundle, as RFC 8785 JSON with an SSHSIG beside it.

A certificate tells who signed what; whether it was revoked since, only the licensor knows.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from itertools import islice
from pathlib import Path
from typing import Any

import jsonschema
import rfc8785

from assetlib.errors import NotFound
from assetlib.rules.wording import NO_LEGAL_ADVICE
from assetlib.storage.bag import TAG_MANIFEST
from assetlib.storage.blobs import digest_of_file
from assetlib.storage.manifests import MANIFEST
from assetlib.storage.problems import Problem
from assetlib.storage.signing import FOR_CERTIFICATES, Signer, fingerprint, read_signature

_LARGEST = 1 << 20
"""Bytes of a certificate that is read; one has about two thousand."""
_SHOWN = 200


@dataclass(frozen=True)
class Sold:
    """What a bundle's ZIP says of itself, as far as a certificate names it. The ZIP has been verified."""

    manifest: dict[str, Any]
    sha256: str
    tag_manifest_sha512: str
    licence_sha512: str


@dataclass(frozen=True)
class Checked:
    """What is wrong with a certificate, and what it says where it can be read."""

    problems: tuple[Problem, ...]
    document: dict[str, Any] | None

    @property
    def ok(self) -> bool:
        """Whether it is as it was signed, and for what it was held against."""
        return not self.problems


def sold(path: Path) -> Sold:
    """What a certificate names of a bundle that was found whole."""
    with zipfile.ZipFile(path) as archive:
        top = archive.namelist()[0].partition("/")[0]
        manifest = json.loads(archive.read(f"{top}/{MANIFEST}"))
        sums = [
            hashlib.sha512(archive.read(f"{top}/{name}")).hexdigest()
            for name in (TAG_MANIFEST, manifest["licence"]["text"])
        ]
    return Sold(manifest, digest_of_file(path), *sums)


def document(
    bundle: Sold,
    signer: Signer,
    *,
    id: str,
    code: str,
    issued: date,
    licensee: dict[str, str],
    price: str = "",
) -> dict[str, Any]:
    """The certificate of one buyer; every value is text, so that no reader rounds anything."""
    told = bundle.manifest["bundle"]
    licence = bundle.manifest["licence"]
    return {
        "format": "assetlib-certificate",
        "formatVersion": 1,
        "certificate": {"id": f"urn:uuid:{id}", "code": code, "issued": issued.isoformat()},
        "licensor": bundle.manifest["licensor"],
        "licensee": licensee,
        "bundle": {key: told[key] for key in ("id", "title", "version", "issued")}
        | {"sha256": bundle.sha256, "tagManifestSha512": bundle.tag_manifest_sha512},
        "licence": {"spdx": licence["spdx"], "tier": licence["tier"], "textSha512": bundle.licence_sha512},
        "signer": {"key": signer.public, "fingerprint": signer.fingerprint},
        "notice": NO_LEGAL_ADVICE,
        **({"price": price} if price else {}),
    }


def written(told: dict[str, Any]) -> bytes:
    """A certificate as the bytes that are signed (RFC 8785)."""
    return rfc8785.dumps(told)


def check(path: Path, *, key: str | None = None, bundle: Path | None = None) -> Checked:
    """What is wrong with a certificate whose signature lies beside it as `.sig`.

    `key` is the fingerprint of the one key that is trusted, `bundle` a ZIP that it is to be for. Raises NotFound
    where there is no such file.
    """
    if not path.is_file():
        raise NotFound(f"there is no certificate {path}", "name its file that ends in .json")
    told, problems = _read(path)
    if told is None:
        return Checked(tuple(problems), None)
    problems += _wrong_signature(path, written(told), told, key)
    if bundle is not None and digest_of_file(bundle) != told["bundle"]["sha256"]:
        problems.append(
            Problem("other-bundle", f"It is not for {bundle.name}, which is another bundle or was changed.")
        )
    return Checked(tuple(problems), told)


def _read(path: Path) -> tuple[dict[str, Any] | None, list[Problem]]:
    try:
        if path.stat().st_size > _LARGEST:
            raise ValueError("it is larger than one is")
        data = path.read_bytes()
        told = json.loads(data.decode("utf-8"))
        canonical = rfc8785.dumps(told)
    except (ValueError, RecursionError, OSError):
        sentence = f"{path.name} is no certificate that can be read; the one that counts ends in .json."
        return None, [Problem("certificate-unreadable", sentence)]
    faults = [
        Problem(
            "certificate-schema",
            f"{path.name} was changed or is no certificate: at {fault.json_path} {str(fault.message)[:_SHOWN]}.",
        )
        for fault in islice(_validator().iter_errors(told), 5)
    ]
    if faults:
        return None, faults
    if canonical != data:
        return None, [
            Problem(
                "certificate-changed",
                f"{path.name} was changed after it was signed, if only in spaces: ask the licensor for it anew.",
            )
        ]
    return told, []


def _wrong_signature(path: Path, data: bytes, told: dict[str, Any], key: str | None) -> list[Problem]:
    beside = path.with_name(f"{path.name}.sig")
    if not beside.is_file() or beside.stat().st_size > _LARGEST:
        sentence = (
            f"Its signature is missing: {beside.name} belongs beside it. Anybody could have written this."
        )
        return [Problem("signature-missing", sentence)]
    try:
        signed = fingerprint(read_signature(data, beside.read_bytes(), FOR_CERTIFICATES))
        named = fingerprint(told["signer"]["key"])
    except ValueError as error:
        return [
            Problem(
                "signature-wrong",
                f"It was changed after it was signed, or its signature was: what it says now, nobody signed ({error}).",
            )
        ]
    if {signed, told["signer"]["fingerprint"]} != {named}:
        return [Problem("signature-wrong", "It was signed with another key than the one it names.")]
    if key is not None and key != signed:
        return [Problem("other-signer", "It was signed with another key than you named.")]
    return []


@cache
def _validator() -> Any:
    text = resources.files("assetlib.storage").joinpath("certificate-1.schema.json").read_text("utf-8")
    return jsonschema.Draft202012Validator(
        json.loads(text), format_checker=jsonschema.FormatChecker(["date"])
    )
