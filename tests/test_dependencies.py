"""What assetlib stands on may be used in paid work, and the set that was tested is written down with its checksums."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.bench.dependencies import extras, packages, requirements

LOCK = Path(__file__).parents[1] / ".ci" / "requirements.lock"
PERMITTED = re.compile(
    r"\b(0BSD|Apache|BSD|CC0|HPND|ISC|LGPL|Lesser General Public|MIT|MPL|Mozilla Public|PSF|PSFL"
    r"|Python Software Foundation|Public Domain|Unlicense|Zlib|ZPL)\b",
    re.IGNORECASE,
)
"""Licences of the Open Source Initiative's list, whose sixth rule is that no field of work is shut out, and the
public domain."""
SHUT_OUT = re.compile(r"non-?commercial|\bNC\b|research (use )?only|evaluation|academic", re.IGNORECASE)
OF_THE_GRAPHICS_CARD = re.compile(r"nvidia-|cuda-")
"""What torch brings on Linux, under NVIDIA's own terms, which let it be run in paid work (from memory)."""


def test_nothing_in_the_plain_install_forbids_paid_work() -> None:
    found = packages(["heic", "desktop"])
    assert len(found) > 30
    assert {p.name: p.licence for p in found if not PERMITTED.search(p.licence)} == {}
    assert {p.name: p.licence for p in found if SHUT_OUT.search(p.licence)} == {}


def test_nothing_that_is_optional_forbids_it_either() -> None:
    found = [p for p in packages(extras()) if not OF_THE_GRAPHICS_CARD.match(p.name)]
    assert {p.name: p.licence for p in found if SHUT_OUT.search(p.licence)} == {}
    assert {p.name: p.licence for p in found if not PERMITTED.search(p.licence)} == {}


@pytest.mark.parametrize("line", sorted(requirements(extras())))
def test_the_tested_set_holds_every_requirement_with_checksums(line: str) -> None:
    asked = Requirement(line)
    pins = re.findall(
        rf"^{re.escape(canonicalize_name(asked.name))}==(\S+)((?:.*\\\n\s+--hash=sha256:[0-9a-f]{{64}})+)",
        LOCK.read_text(encoding="utf-8"),
        re.MULTILINE,
    )
    assert [version for version, sums in pins if asked.specifier.contains(version) and sums], line
