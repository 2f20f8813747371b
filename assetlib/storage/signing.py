"""Signatures that stock tools verify: an Ed25519 key in OpenSSH's own format, and SSHSIG files made with it.

Formats: OpenSSH's PROTOCOL.sshsig and PROTOCOL.key, Ed25519 (RFC 8032); tests hold them against `ssh-keygen -Y sign`
and `-Y verify` (Debian: openssh-client). A signature tells with which key something was sealed; whose key that is,
only its owner can say, and when it was done, no signature tells.
"""

from __future__ import annotations

import base64
import hashlib
import re
import struct
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.errors import LibraryBroken
from assetlib.storage.durable import is_plain, make_private, move_unless_there, staged_file

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

KEY_FILE = "signing.key"
"""In the library's folder and in each state of a backup; never in a bundle, nor in what is exported."""
OLD_KEYS = "signing-*.key"
"""Beside it: keys of earlier days under a part of their fingerprints, in each state of a backup as well."""
FOR_BUNDLES, FOR_CERTIFICATES = "assetlib-bundle", "assetlib-certificate"
"""Namespaces: a signature made for the one is none for the other."""
LARGEST_KEY = 10_000
"""Bytes of a key file; one has about 400."""

_KIND = b"ssh-ed25519"
_MAGIC, _VERSION, _HASH = b"SSHSIG", 1, b"sha512"
_BEGIN, _END, _WIDTH = b"-----BEGIN SSH SIGNATURE-----\n", b"-----END SSH SIGNATURE-----\n", 70
_PUBLIC = re.compile(r"ssh-ed25519 (AAAA[A-Za-z0-9+/]+)")
_FINGERPRINT = re.compile(r"SHA256:[A-Za-z0-9+/]{43}")
_PRINCIPAL = re.compile(r"[A-Za-z0-9._+-]+@[A-Za-z0-9.-]+")


@dataclass(frozen=True)
class Signer:
    """A key that can sign. `public` is what others may know of it: `ssh-ed25519 AAAA…`."""

    private: Ed25519PrivateKey
    public: str

    @property
    def fingerprint(self) -> str:
        """The key in short, as ssh-keygen prints it."""
        return fingerprint(self.public)

    def sign(self, data: bytes, namespace: str) -> bytes:
        """An armoured SSHSIG over `data`; the same data give the same bytes."""
        inner = _string(_KIND) + _string(self.private.sign(_signed(data, namespace)))
        blob = _MAGIC + struct.pack(">L", _VERSION) + _string(_blob(self.public))
        return _armoured(blob + _string(namespace.encode()) + _string(b"") + _string(_HASH) + _string(inner))


def fingerprint(public: str) -> str:
    """A public key in short: `SHA256:` and the base64 of its digest. `ValueError` where it is none."""
    digest = hashlib.sha256(_blob(public)).digest()
    return f"SHA256:{base64.b64encode(digest).decode().rstrip('=')}"


def read_signature(data: bytes, signature: bytes, namespace: str) -> str:
    """The public key that an armoured SSHSIG over `data` was made with. `ValueError` where it is none over them."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if not (signature.startswith(_BEGIN) and signature.endswith(_END)):
        raise ValueError("it does not begin or end like one")
    blob = base64.b64decode(signature[len(_BEGIN) : -len(_END)].replace(b"\n", b""), validate=True)
    # one signature has one spelling: else a byte could be changed and nobody be told
    if _armoured(blob) != signature or not blob.startswith(_MAGIC + struct.pack(">L", _VERSION)):
        raise ValueError("it is not written as OpenSSH writes it")
    key, space, reserved, hashed, inner = _strings(blob[len(_MAGIC) + 4 :], 5)
    kind, raw = _strings(inner, 2)
    key_kind, point = _strings(key, 2)
    if (space, reserved, hashed, kind, key_kind) != (namespace.encode(), b"", _HASH, _KIND, _KIND):
        raise ValueError("it was made for something else")
    try:
        Ed25519PublicKey.from_public_bytes(point).verify(raw, _signed(data, namespace))
    except InvalidSignature as error:
        raise ValueError("it is not over these bytes") from error
    return f"{_KIND.decode()} {base64.b64encode(key).decode()}"


def allowed_signers(contact: str, public: str) -> bytes:
    """The line by which ssh-keygen knows a key (ssh-keygen(1), allowed signers), for both of our namespaces."""
    spaces = f"{FOR_BUNDLES},{FOR_CERTIFICATES}"
    return f'{principal(contact)} namespaces="{spaces}" {public}\n'.encode()


def principal(contact: str) -> str:
    """The name that `ssh-keygen -Y verify -I` is asked with: the address where it holds no signs with a meaning."""
    return str(contact) if _PRINCIPAL.fullmatch(contact) else "artist"


def named_key(text: str) -> str:
    """The fingerprint that a text means: one itself, a public key, or a line of allowed signers.

    `ValueError` where there is none, or more than one.
    """
    found = set(_FINGERPRINT.findall(text))
    found |= {fingerprint(f"ssh-ed25519 {body}") for body in _PUBLIC.findall(text)}
    if len(found) != 1:
        raise ValueError("it names no key" if not found else "it names several keys")
    return str(found.pop())


def read_key(path: Path) -> Signer:
    """The key in a file. Raises LibraryBroken where it is none that can sign."""
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_ssh_private_key

    hint = "fetch it from a backup: assetlib check --repair --from BACKUP"
    if not is_plain(path) or path.stat().st_size > LARGEST_KEY:
        raise LibraryBroken(f"the signing key {path} is no plain file of a key", hint)
    try:
        private = load_ssh_private_key(path.read_bytes(), password=None)
    except (ValueError, TypeError, OSError, UnsupportedAlgorithm) as error:
        raise LibraryBroken(f"the signing key {path} cannot be read ({error})", hint) from error
    if not isinstance(private, Ed25519PrivateKey):
        raise LibraryBroken(f"the signing key {path} is of another kind than Ed25519", hint)
    return signer_of(private)


def make_key(path: Path, staging: Path) -> Signer:
    """A new key, kept at `path` for its owner alone; the one that is there already where there is one."""
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    private = Ed25519PrivateKey.generate()
    data = private.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.OpenSSH, serialization.NoEncryption()
    )
    with staged_file(staging) as (file, staged):
        make_private(staged)  # before a byte of it is written
        file.write(data)
    move_unless_there(staged, path)
    return read_key(path)


def signer_of(private: Ed25519PrivateKey) -> Signer:
    """A key that was read or made, with its public half."""
    from cryptography.hazmat.primitives import serialization

    point = private.public_key().public_bytes(serialization.Encoding.Raw, serialization.PublicFormat.Raw)
    blob = _string(_KIND) + _string(point)
    return Signer(private, f"{_KIND.decode()} {base64.b64encode(blob).decode()}")


def _blob(public: str) -> bytes:
    match = re.fullmatch(r"ssh-ed25519 ([A-Za-z0-9+/]+=*)", public)
    if match is None:
        raise ValueError("it is no Ed25519 key")
    blob = base64.b64decode(match[1], validate=True)
    kind, point = _strings(blob, 2)
    if kind != _KIND or len(point) != 32:
        raise ValueError("it is no Ed25519 key")
    return blob


def _signed(data: bytes, namespace: str) -> bytes:
    """What is really signed: the digest of the data, under the namespace."""
    digest = hashlib.sha512(data).digest()
    return _MAGIC + _string(namespace.encode()) + _string(b"") + _string(_HASH) + _string(digest)


def _armoured(blob: bytes) -> bytes:
    text = base64.b64encode(blob)
    lines = [text[at : at + _WIDTH] for at in range(0, len(text), _WIDTH)]
    return _BEGIN + b"".join(line + b"\n" for line in lines) + _END


def _string(data: bytes) -> bytes:
    return struct.pack(">L", len(data)) + data


def _strings(data: bytes, count: int) -> list[bytes]:
    """So many length-prefixed strings (RFC 4251, 5), which are all that is there; `ValueError` otherwise."""
    found, at = [], 0
    for _ in range(count):
        if at + 4 > len(data):
            raise ValueError("it ends too early")
        (length,) = struct.unpack_from(">L", data, at)
        found.append(data[at + 4 : at + 4 + length])
        at += 4 + length
    if at != len(data):
        raise ValueError("it is not as long as it says")
    return found
