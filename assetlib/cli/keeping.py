"""undo, check, backup, upkeep and demo: looking after the library."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("undo")(undo)
    app.command("upkeep")(upkeep)
    app.command("check")(check)
    app.command("backup")(backup)
    app.command("restore")(restore)
    app.command("demo")(demo)


def undo(
    steps: Annotated[int, typer.Argument(min=1, help="How many steps to take back.")] = 1,
    show_list: Annotated[
        bool, typer.Option("--list", help="Show the latest steps and undo nothing.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Take back the latest steps, also those of earlier days. Sales and issued bundles are not undone."""
    from assetlib.cli import render
    from assetlib.services.keeping import history

    with opened_library() as lib:
        notes = history.steps(lib) if show_list else history.undo_steps(lib, steps, dry_run=dry_run)
    if as_json:
        rows = [
            {"step": n.number, "what": n.what, "at": n.made_at.isoformat(), "changes": n.changes,
             "undone": n.undone, "record": n.record, "stays": list(n.stays)}
            for n in notes
        ]  # fmt: skip
        render.print_json({"steps": rows})
        return 0
    if show_list:
        render.table(
            ["when", "what", "rows", ""],
            [
                (
                    f"{n.made_at.astimezone():%d %b %H:%M}",
                    n.what,
                    n.changes,
                    "undone" if n.undone else "stays: issued" if n.record else "",
                )
                for n in notes
            ],
            wide=["what"],
        )
        return 0
    for note in notes:
        render.say(
            f"{'would undo' if dry_run else 'undone'}: {note.what} ({render.plural(note.changes, 'row')})"
        )
        for sentence in note.stays:
            render.say(f"  {sentence}")
    return 0


def upkeep(dry_run: DryRun = False, as_json: JsonFlag = False) -> int:
    """Work off what waits: proofs and whatever else is made from the drawings. Can be stopped and run again."""
    from assetlib.cli import render
    from assetlib.services.keeping import upkeep as service

    with opened_library() as lib:
        if dry_run:
            rows = service.waiting(lib)
            if as_json:
                render.print_json({"waiting": [{"kind": row.kind, "count": row.count} for row in rows]})
            else:
                render.table(["waits for", "drawings"], [(row.kind, row.count) for row in rows])
            return 0
        worked = service.work_off(lib, progress=render.Bar())
    failed = [(row.kind, *failure) for row in worked for failure in row.failed]
    if as_json:
        document = {
            "worked": [{"kind": row.kind, "done": row.done, "failed": len(row.failed)} for row in worked],
            "failed": [{"kind": kind, "code": code, "reason": reason} for kind, code, reason in failed],
        }
        render.print_json(document)
    else:
        for row in worked:
            render.say(f"{row.kind}: {render.plural(row.done, 'drawing')} done")
        for kind, code, reason in failed:
            render.say(f"failed  {code} {kind}: {reason}")
    return SOME_PROBLEMS if failed else 0


def check(
    repair: Annotated[bool, typer.Option("--repair", help="Mend what can be mended.")] = False,
    quick: Annotated[
        bool, typer.Option("--quick", help="Look whether originals are there, without reading them.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Check that the library is whole: catalogue, originals byte for byte, word index, issued bundles."""
    from assetlib.cli import render
    from assetlib.services.keeping import checking

    with opened_library() as lib:
        report = checking.check(lib, repair=repair, quick=quick, progress=render.Bar())
    if as_json:
        problems = [{"what": problem.what, "mended": problem.mended} for problem in report.problems]
        render.print_json(
            {
                "clean": report.clean,
                "originals": report.originals,
                "problems": problems,
                "spare": report.spare,
            }
        )
    else:
        for problem in report.problems:
            render.say(f"{'mended ' if problem.mended else 'problem'}  {problem.what}")
        if report.spare:
            render.say(f"{render.plural(report.spare, 'spare file')} that nothing names (harmless"
                       f"{', set aside' if repair else '; --repair sets them aside'})")  # fmt: skip
        render.say(
            f"{render.plural(report.originals, 'original')} checked: {'all well' if report.clean else 'see above'}"
        )
    return 0 if report.clean else SOME_PROBLEMS


def backup(
    folder: Annotated[Path, typer.Argument(help="A folder on another disk: empty, or an earlier backup.")],
    as_json: JsonFlag = False,
) -> int:
    """Back the library up: catalogue and originals, every file read back and compared."""
    from assetlib.cli import render
    from assetlib.services.keeping.safekeeping import back_up

    with opened_library() as lib:
        made = back_up(lib, folder, render.Bar())
    if as_json:
        render.print_json({"folder": str(made.folder), "files": made.files, "copied": made.copied})
    else:
        render.say(f"{render.plural(made.files, 'file')} safe in {made.folder}, {made.copied:,} of them new")
    return 0


def restore(
    backup_folder: Annotated[Path, typer.Argument(help="The folder of a backup.")],
    folder: Annotated[Path, typer.Argument(help="A new folder for the library.")],
) -> int:
    """Make a library from a backup; the backup is left as it is."""
    from assetlib.cli import render
    from assetlib.library import Library
    from assetlib.services.keeping import upkeep as service
    from assetlib.services.keeping.safekeeping import back_up

    saved = Library.open(backup_folder.expanduser().resolve())
    try:
        made = back_up(saved, folder, render.Bar())
    finally:
        saved.close()
    lib = Library.open(made.folder)
    try:
        service.work_off(lib, progress=render.Bar())
    finally:
        lib.close()
    render.say(f"{render.plural(made.files, 'file')} restored to {made.folder}")
    return 0


def demo(
    folder: Annotated[
        Path | None, typer.Argument(help="Where to build it; without it, a new temporary folder.")
    ] = None,
) -> int:
    """Build a library of invented drawings and walk through the whole job with it."""
    from assetlib.cli.tour import walk

    walk(folder)
    return 0
