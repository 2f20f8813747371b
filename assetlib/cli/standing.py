"""assetlib alone: where things stand, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from assetlib.cli.context import STATE, opened_library
from assetlib.cli.keeping import last_backup_document
from assetlib.errors import NoLibrary

if TYPE_CHECKING:
    from assetlib.services.keeping.standing import Standing

FIRST = ('assetlib start FOLDER --artist "Your Name"', "assetlib demo")
"""What to do where there is no library: begin, or look at an invented one."""

CUT_AT_ONCE = 3
"""Codes of sheets that fit a line."""


class ToLookAt(NamedTuple):
    """How many clean copies are to be looked at, and pictures that may be a sheet, or one drawing, after all."""

    copies: int = 0
    doubted: int = 0


def where_things_stand(*, as_json: bool) -> int:
    """Say where things stand in the library, or how to start one where none was named and none is here."""
    from assetlib.cli import render
    from assetlib.services.bringing import clean_copies, role_doubts
    from assetlib.services.keeping.standing import standing

    try:
        with opened_library() as lib:
            found = standing(lib)
            to_look_at = ToLookAt(len(clean_copies.unsure(lib)), len(role_doubts.doubted(lib)))
    except NoLibrary as error:
        if STATE.library is not None or "no library here" not in error.sentence:
            raise
        if as_json:
            render.print_json(_document(None))
        else:
            render.say("There is no library here yet.")
            _say_next(FIRST)
        return 0
    if as_json:
        render.print_json(_document(found, to_look_at))
    else:
        _show(found, to_look_at)
    return 0


def _document(found: Standing | None, to_look_at: ToLookAt = ToLookAt()) -> dict[str, Any]:
    if found is None:
        counts = dict.fromkeys(("in_tray", "uncut_sheets", "attic", "doubles", "waiting", "collections"), 0)
        return {"library": None, "name": None, "copies_to_look_at": 0, "doubted": 0, "drawings": {}, **counts,
                "last_backup": None, "job": None, "next": list(FIRST)}  # fmt: skip
    return {
        "library": str(found.folder),
        "name": found.name,
        "drawings": found.roles,
        "in_tray": found.in_tray,
        "uncut_sheets": len(found.uncut),
        "copies_to_look_at": to_look_at.copies,
        "doubted": to_look_at.doubted,
        "attic": found.attic,
        "doubles": found.doubles,
        "waiting": found.waiting,
        "collections": found.collections,
        "last_backup": last_backup_document(found.backup),
        "job": found.job,
        "next": list(_next(found)),
    }


def _show(found: Standing, to_look_at: ToLookAt) -> None:
    from assetlib.cli import render

    render.out.print(render.plain(found.name), style="bold", markup=False)
    shelf = [render.plural(count, role) for role, count in found.roles.items() if count]
    backup = found.backup
    rows = [
        ("in", str(found.folder)),
        ("drawings", ", ".join(shelf) or "none yet"),
        ("to be cut", f"{render.plural(len(found.uncut), 'sheet')} not cut yet" if found.uncut else ""),
        ("in the in-tray", f"{found.in_tray:,} not described yet" if found.in_tray else "nothing"),
        (
            "doubles",
            f"{render.plural(found.doubles, 'pair')} undecided" if found.doubles else "none undecided",
        ),
        (
            "clean copies",
            f"{to_look_at.copies:,} to look at: assetlib find --unsure" if to_look_at.copies else "",
        ),
        (
            "sheet or not",
            f"{to_look_at.doubted:,} not sure: assetlib find --unsure" if to_look_at.doubted else "",
        ),
        ("waiting", f"{render.plural(found.waiting, 'drawing')} for upkeep" if found.waiting else ""),
        ("in the attic", f"{found.attic:,}" if found.attic else ""),
        ("collections", f"{found.collections:,}" if found.collections else ""),
        ("job in use", found.job or ""),
        ("last backup", f"{backup.made_at.astimezone():%d %b %Y}, {backup.folder}" if backup else "never"),
    ]
    render.table(["", ""], [row for row in rows if row[1]], wide=[""])
    _say_next(_next(found))


def _say_next(commands: tuple[str, ...]) -> None:
    from assetlib.cli import render

    render.out.print()
    for label, command in zip(("next", *[""] * len(commands)), commands, strict=False):
        render.out.print(f"{label:6}{command}", markup=False, soft_wrap=True)


def _next(found: Standing) -> tuple[str, ...]:
    """The commands that serve this library best now, a few at the most."""
    drawn = sum(found.roles.values())
    wanted = (
        ("assetlib intake FOLDER", not drawn),
        ("assetlib upkeep", bool(found.waiting)),
        (f"assetlib cut {' '.join(found.uncut[:CUT_AT_ONCE])}", bool(found.uncut)),
        ("assetlib tag --in-tray", bool(found.in_tray)),
        ("assetlib doubles", bool(found.doubles)),
        ("assetlib backup FOLDER-ON-ANOTHER-DISK", bool(drawn) and found.backup is None),
        ("assetlib find WORDS", bool(drawn)),
        ("assetlib --help", True),
    )
    return tuple(command for command, serves in wanted if serves)[:4]
