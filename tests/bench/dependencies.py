"""What assetlib stands on: every package of the plain install and its extras, its size on disk, version and licence.

    python -m tests.bench.dependencies [--extra NAME ...] [--all]

Read from what is installed (importlib.metadata), following the requirements of each package. Sizes are those of the
files that a package brought, compiled modules among them; `du` counts whole blocks and so somewhat more.
"""

from __future__ import annotations

import argparse
import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PROJECT = Path(__file__).parents[2] / "pyproject.toml"
_MEGABYTE = 1_000_000
_LONGEST_LICENCE = 60
"""Characters: longer ones are whole texts in the field that was meant for a name."""

_WORDINGS = {
    "Permission is hereby granted, free of charge": "MIT",
    "Redistribution and use in source and binary forms": "BSD",
    "Apache License Version 2.0": "Apache-2.0",
}
"""What the texts of common licences say and no others do (opensource.org)."""


@dataclass(frozen=True)
class Package:
    """An installed package that assetlib needs; `wanted_by` is who asked for it first."""

    name: str
    version: str
    licence: str
    bytes: int
    wanted_by: str


def extras() -> list[str]:
    """The names of the optional parts."""
    return sorted(_project()["optional-dependencies"])


def requirements(wanted: Iterable[str] = ()) -> set[str]:
    """The lines in which pyproject.toml asks for other packages."""
    project = _project()
    asked = [
        *project["dependencies"],
        *(line for extra in wanted for line in project["optional-dependencies"][extra]),
    ]
    return {line for line in asked if not line.startswith("assetlib")}


def packages(wanted: Iterable[str] = ()) -> list[Package]:
    """All that the plain install needs, and the optional parts that are named; by name. What is missing is left out."""
    found: dict[str, Package] = {}
    project = _project()
    asked = [
        *project["dependencies"],
        *(line for extra in wanted for line in project["optional-dependencies"][extra]),
    ]
    waiting = [(Requirement(line), "assetlib") for line in asked]
    while waiting:
        requirement, by = waiting.pop(0)
        name = canonicalize_name(requirement.name)
        if name == "assetlib":
            waiting += [
                (Requirement(line), by)
                for e in requirement.extras
                for line in project["optional-dependencies"][e]
            ]
            continue
        try:
            installed = metadata.distribution(name)
        except metadata.PackageNotFoundError:
            continue
        if name not in found:
            found[name] = Package(name, installed.version, licence_of(installed), _size(installed), by)
            waiting += [(needed, name) for needed in _needs(installed, requirement.extras)]
    return sorted(found.values(), key=lambda package: package.name)


def licence_of(installed: metadata.Distribution) -> str:
    """What a package says of its licence: an SPDX expression, a trove classifier, a name, or a file it carries."""
    told = installed.metadata
    if told.get("License-Expression"):
        return str(told["License-Expression"])
    classified = [
        line.rpartition(" :: ")[2]
        for line in told.get_all("Classifier") or []
        if line.startswith("License ::")
    ]
    if classified:
        return " and ".join(classified)
    named = " ".join(str(told.get("License") or "").split())
    if 0 < len(named) <= _LONGEST_LICENCE:
        return named
    return _from_file(installed)


def _from_file(installed: metadata.Distribution) -> str:
    """The licence whose words the text has that the package carries."""
    for file in installed.files or []:
        if re.search(r"licen[cs]e|copying", file.name, re.IGNORECASE):
            text = " ".join(Path(str(file.locate())).read_text(encoding="utf-8", errors="replace").split())
            return next((name for words, name in _WORDINGS.items() if words in text), text[:_LONGEST_LICENCE])
    return ""


def _needs(installed: metadata.Distribution, extras_: Iterable[str]) -> Iterator[Requirement]:
    for line in installed.requires or []:
        needed = Requirement(line)
        if needed.marker is None or any(needed.marker.evaluate({"extra": extra}) for extra in ("", *extras_)):
            yield needed


def _size(installed: metadata.Distribution) -> int:
    files = (Path(str(file.locate())) for file in installed.files or [])
    return sum(path.stat().st_size for path in files if path.is_file())


def _project() -> dict[str, Any]:
    with PROJECT.open("rb") as file:
        return dict(tomllib.load(file)["project"])


def main() -> None:
    """Print the table, the largest first."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    parser.add_argument("--extra", action="append", default=[], choices=extras())
    parser.add_argument("--all", action="store_true", help="every optional part, those for development too")
    args = parser.parse_args()
    found = packages(extras() if args.all else args.extra)
    print("| package | version | MB | licence | wanted by |\n|---|---|---|---|---|")
    for package in sorted(found, key=lambda package: -package.bytes):
        size = f"{package.bytes / _MEGABYTE:.1f}"
        print(f"| {package.name} | {package.version} | {size} | {package.licence} | {package.wanted_by} |")
    print(f"\n{len(found)} packages, {sum(package.bytes for package in found) / _MEGABYTE:.0f} MB")


if __name__ == "__main__":
    main()
