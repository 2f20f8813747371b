"""How long functions and modules are, how much is explained, and which numbers have no name.

    python -m tests.bench.lengths [COMMIT ...]

One row a state of the package: the working tree, and each commit that is named. What is counted:

* a function's lines from `def` to its last, its docstring left out;
* a module's lines, all of them;
* comments: lines that begin with #, or end with one, for every 100 lines;
* numbers: literals inside functions other than -1, 0, 1 and 2 and powers of ten, that are no default of an argument.
"""

from __future__ import annotations

import ast
import io
import subprocess
import sys
import tarfile
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

PACKAGE = "assetlib"
LONG_FUNCTION, LONG_MODULE, SHORT = 45, 400, 20
"""Lines that the house aims to stay under: functions, modules, and nine functions in ten."""
PLAIN = {-1, 0, 1, 2, 10, 100, 1000}
NAMED = 8
"""The longest that are named."""

_HEADING = (
    f"{'':12}   lines  modules  mean  >{LONG_MODULE}  functions  median  under {SHORT}  >{LONG_FUNCTION}  longest "
    "comments  numbers"
)


@dataclass(frozen=True)
class Module:
    """One file, taken apart."""

    name: str
    lines: int
    functions: tuple[tuple[str, int], ...]
    comments: int
    numbers: int


def main(commits: list[str]) -> None:
    """Print a row for each state, and of the working tree the longest."""
    print(_HEADING)
    for commit in commits:
        _row(commit[:12], [module_of(*file) for file in _files_at(commit)])
    now = [
        module_of(path.as_posix(), path.read_text(encoding="utf-8")) for path in Path(PACKAGE).rglob("*.py")
    ]
    _row("now", now)
    functions = sorted(((n, f"{m.name}:{name}") for m in now for name, n in m.functions), reverse=True)
    print("\nlongest functions:", *(f"  {n:4} {name}" for n, name in functions[:NAMED]), sep="\n")
    longest = sorted(((m.lines, m.name) for m in now), reverse=True)
    print("longest modules:", *(f"  {n:4} {name}" for n, name in longest[:NAMED]), sep="\n")


def module_of(name: str, text: str) -> Module:
    """A file's counts."""
    tree = ast.parse(text)
    found = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    tokens = tokenize.generate_tokens(io.StringIO(text).readline)
    comments = sum(
        token.type == tokenize.COMMENT and not token.string.startswith("# fmt") for token in tokens
    )
    numbers = {id(node) for function in found for node in _numbers(function)}
    return Module(name, text.count("\n"), tuple((f.name, _length(f)) for f in found), comments, len(numbers))


def _length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    lines = (function.end_lineno or function.lineno) - function.lineno + 1
    first = function.body[0]
    if (
        isinstance(first, ast.Expr)
        and isinstance(first.value, ast.Constant)
        and isinstance(first.value.value, str)
    ):
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


def _numbers(function: ast.FunctionDef | ast.AsyncFunctionDef) -> Iterator[ast.Constant]:
    for statement in function.body:
        for node in ast.walk(statement):
            if (
                isinstance(node, ast.Constant)
                and type(node.value) in (int, float)
                and node.value not in PLAIN
            ):
                yield node


def _row(name: str, modules: list[Module]) -> None:
    functions = [n for module in modules for _, n in module.functions]
    lines = sum(module.lines for module in modules)
    print(
        f"{name:12} {lines:7} {len(modules):8} {lines / len(modules):5.0f} "
        f"{sum(m.lines > LONG_MODULE for m in modules):5} {len(functions):10} {median(functions):7.0f} "
        f"{sum(n < SHORT for n in functions) / len(functions):9.1%} {sum(n > LONG_FUNCTION for n in functions):4} "
        f"{max(functions):8} {100 * sum(m.comments for m in modules) / lines:9.2f} {sum(m.numbers for m in modules):8}"
    )


def _files_at(commit: str) -> Iterator[tuple[str, str]]:
    packed = subprocess.run(["git", "archive", commit, PACKAGE], capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        for member in archive:
            file = archive.extractfile(member) if member.name.endswith(".py") else None
            if file is not None:
                yield member.name, file.read().decode()


if __name__ == "__main__":
    main(sys.argv[1:])
