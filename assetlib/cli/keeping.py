"""undo, check, backup, upkeep and demo: looking after the library."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.keeping.history import StepNote
    from assetlib.services.keeping.safekeeping import LastBackup
    from assetlib.services.keeping.upkeep import Worked


KINDS = {
    "proof": "proofs",
    "clean copy": "clean copies",
    "fingerprint": "looks for doubles",
    "vector": "looks",
    "caption": "captions",
    "comparison": "compared",
}
"""What upkeep works off, as an artist may call it."""


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
    """Take back the latest steps.

    Also those of earlier days. Sales and issued bundles are not undone.
    """
    from assetlib.cli import render
    from assetlib.services.keeping import history

    with opened_library() as lib:
        notes = history.steps(lib) if show_list else history.undo_steps(lib, steps, dry_run=dry_run)
        older = history.count(lib) - len(notes) if show_list else 0
    if as_json:
        rows = [
            {"step": n.number, "what": n.what, "at": n.made_at.isoformat(), "changes": n.changes,
             "undone": n.undone, "record": n.record, "stays": list(n.stays), "titles": list(n.titles)}
            for n in notes
        ]  # fmt: skip
        render.print_json({"steps": rows})
        return 0
    if show_list:
        render.table(
            ["when", "what", "changes", ""],
            [
                (
                    f"{n.made_at.astimezone():%d %b %H:%M}",
                    _told(n),
                    n.changes,
                    "undone" if n.undone else "stays: issued" if n.record else "",
                )
                for n in notes
            ],
            wide=["what"],
        )
        if older:
            render.say(f"… and {older:,} more before them")
        return 0
    for note in notes:
        render.say(f"{'would undo' if dry_run else 'undone'}: {_told(note)}")
        for sentence in note.stays:
            render.say(f"  {sentence}")
    return 0


def _told(note: StepNote) -> str:
    """What a step was, and what the drawings that it names are called."""
    return f"{note.what} ({', '.join(note.titles)})" if note.titles else note.what


def upkeep(dry_run: DryRun = False, as_json: JsonFlag = False) -> int:
    """Work off what waits.

    Proofs, clean copies and whatever else is made from the drawings. Can be stopped and run again.
    """
    from assetlib.cli import render
    from assetlib.services.bringing import clean_copies
    from assetlib.services.keeping import leftovers
    from assetlib.services.keeping import upkeep as service

    with opened_library() as lib:
        if dry_run:
            bad = len(leftovers.damaged(lib, unknown=True, progress=render.Bar()))
            rows = service.waiting(lib, service.when_there_is_time(lib))
            if as_json:
                counts = [{"kind": row.kind, "count": row.count} for row in rows]
                render.print_json({"waiting": counts, "damaged": bad, "unnamed": len(leftovers.unnamed(lib))})
            else:
                render.table(["waits for", "drawings"], [(row.label, row.count) for row in rows if row.count])
                if bad:
                    render.say(f"{render.plural(bad, 'copy', 'copies')} to make again")
            return 0
        bad, gone = leftovers.tidy(lib, render.Bar())
        worked = service.work_off(lib, progress=render.Bar())
        worked += service.work_off(lib, (service.CLEAN,), progress=render.Bar())
        unsure = (
            len(clean_copies.unsure(lib))
            if any(row.done for row in worked if row.kind == "clean copy")
            else 0
        )
        alike = _new_pairs(lib, worked)
    failed = [(row.kind, *failure) for row in worked for failure in row.failed]
    if as_json:
        document = {
            "worked": [{"kind": row.kind, "done": row.done, "failed": len(row.failed)} for row in worked],
            "failed": [{"kind": kind, "code": code, "reason": reason} for kind, code, reason in failed],
            "damaged": bad,
            "unnamed": gone,
        }
        render.print_json(document)
    else:
        for row in worked:
            if row.done:
                render.say(f"{KINDS.get(row.kind, row.kind)}: {render.plural(row.done, 'drawing')} done")
        if not (failed or bad or gone or any(row.done for row in worked)):
            render.say("nothing waits")
        if unsure:
            render.say(
                f"{render.plural(unsure, 'clean copy', 'clean copies')} to look at:  assetlib find --unsure"
            )
        if bad:
            render.say(f"{render.plural(bad, 'damaged copy', 'damaged copies')} put out of use")
        if gone:
            render.say(f"{render.plural(gone, 'file')} that nothing named taken away")
        for kind, code, reason in failed:
            render.say(f"failed  {code} {KINDS.get(kind, kind)}: {reason}")
        if alike:
            render.say_whole(f"{render.plural(alike, 'pair')} to settle or leave:  assetlib doubles")
    return SOME_PROBLEMS if failed else 0


def _new_pairs(lib: Library, worked: Iterable[Worked]) -> int:
    """How many pairs of drawings look alike and are not decided, where drawings were compared just now."""
    from assetlib.services.doubles import settling

    if not any(row.kind == "comparison" and row.done for row in worked):
        return 0
    return sum(pair.undecided for pair in settling.pairs(lib))


def check(
    repair: Annotated[bool, typer.Option("--repair", help="Mend what can be mended.")] = False,
    quick: Annotated[
        bool, typer.Option("--quick", help="Look whether originals are there, without reading them.")
    ] = False,
    source: Annotated[
        Path | None,
        typer.Option(
            "--from", help="With --repair: fetch lost originals from this folder; a backup will do."
        ),
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Check that the library is whole.

    Catalogue, originals byte for byte, copies, word index, issued bundles.
    """
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.keeping import checking, safekeeping
    from assetlib.storage import volumes

    if source is not None and not repair:
        raise WrongUsage("--from goes with --repair: checking alone changes nothing")
    with opened_library(repairing=repair) as lib:
        report = checking.check(lib, repair=repair, quick=quick, heal_from=source, progress=render.Bar())
        warnings = volumes.warnings(lib.folder, lib.catalogue)
        last = safekeeping.last_backup(lib)
    for warning in warnings:
        render.tell(warning)
    if as_json:
        problems = [{"what": problem.what, "mended": problem.mended} for problem in report.problems]
        document = {
            "clean": report.clean,
            "originals": report.originals,
            "problems": problems,
            "spare": report.spare,
            "warnings": warnings,
            "last_backup": last_backup_document(last),
        }
        render.print_json(document)
    else:
        for problem in report.problems:
            render.say(f"{'mended ' if problem.mended else 'problem'}  {problem.what}")
        if report.spare:
            render.say(f"{render.plural(report.spare, 'spare file')} that nothing names (harmless"
                       f"{', set aside' if repair else '; --repair sets them aside'})")  # fmt: skip
        render.say(
            f"{render.plural(report.originals, 'original')} checked: {'all well' if report.clean else 'see above'}"
        )
        render.say(told_of_backup(last))
    return 0 if report.clean else SOME_PROBLEMS


def told_of_backup(last: LastBackup | None) -> str:
    """When the last backup was made, in a line."""
    if last is None:
        return "never backed up on this machine: assetlib backup FOLDER-ON-ANOTHER-DISK"
    return f"last backup {last.made_at.astimezone():%d %b %Y %H:%M} in {last.folder}"


def last_backup_document(last: LastBackup | None) -> dict[str, object] | None:
    """The last backup for programs."""
    if last is None:
        return None
    return {"folder": str(last.folder), "generation": last.generation, "made_at": last.made_at.isoformat()}


def backup(
    folder: Annotated[
        Path | None,
        typer.Argument(help="A folder on another disk; without it, the one that was used last."),
    ] = None,
    checked: Annotated[
        bool, typer.Option("--check", help="Prove the backup in FOLDER, without the library; make none.")
    ] = False,
    older: Annotated[
        bool, typer.Option("--older", help="Add a state that is older than the last one in the folder.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Back the library up.

    Each backup adds a state beside the earlier ones; every file is read back and compared.
    """
    from assetlib.cli import render
    from assetlib.services.keeping.safekeeping import back_up, last_backup

    if checked:
        return _prove(folder, as_json)
    with opened_library() as lib:
        made = back_up(lib, folder, render.Bar(), older=older)
        last = last_backup(lib)
    if as_json:
        document = {
            "folder": str(made.folder),
            "generation": made.generation,
            "files": made.files,
            "copied": made.copied,
            "lost": list(made.lost),
            "removed": made.removed,
            "made_at": last.made_at.isoformat() if last else None,
        }
        render.print_json(document)
    else:
        for name in made.lost:
            render.say(f"could not be saved: {name} is missing or damaged in the library")
        render.say(
            f"{render.plural(made.files, 'file')} safe in {made.folder}, {made.copied:,} of them new; "
            f"state {made.generation}"
        )
        if made.removed:
            render.say(f"{render.plural(made.removed, 'file')} removed for good went from the backup too")
    return SOME_PROBLEMS if made.lost else 0


def _prove(folder: Path | None, as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.keeping.inspecting import check_backup

    if folder is None:
        raise WrongUsage("which backup is to be checked?", "assetlib backup --check FOLDER")
    found = check_backup(folder, render.Bar())
    whole = bool(found) and all(not state.problems for state in found)
    if as_json:
        rows = [
            {"generation": s.number, "made_at": s.made_at, "files": s.files, "problems": list(s.problems)}
            for s in found
        ]
        render.print_json({"folder": str(folder), "whole": whole, "generations": rows})
    else:
        for state in found:
            when = (
                f"state {state.number} of {state.made_at[:10]}" if state.number else "from an older assetlib"
            )
            verdict = "whole" if not state.problems else "damaged"
            render.say(f"{when}: {render.plural(state.files, 'file')}, {verdict}")
            for problem in state.problems:
                render.say(f"  {problem}")
        if not found:
            render.say("there is no finished state in it")
    return 0 if whole else SOME_PROBLEMS


def restore(
    backup_folder: Annotated[Path, typer.Argument(help="The folder of a backup; it is only read.")],
    folder: Annotated[Path, typer.Argument(help="A new folder for the library.")],
    generation: Annotated[
        int | None, typer.Option(min=1, help="Which state; without it, the last one.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Make a new library from a backup.

    All of it that is whole; the rest is listed.
    """
    from assetlib.cli import render
    from assetlib.services.keeping import restoring
    from assetlib.services.keeping import upkeep as service

    made = restoring.restore(backup_folder, folder, generation=generation, progress=render.Bar())
    lib = restoring.opened(made)
    try:
        worked = service.work_off(lib, progress=render.Bar())
    finally:
        lib.close()
    failed = sum(len(row.failed) for row in worked)
    for sentence in made.told:
        render.tell(sentence)
    if as_json:
        document = {
            "folder": str(made.folder),
            "generation": made.generation,
            "files": made.files,
            "lost": list(made.lost),
        }
        render.print_json(document)
    else:
        for name in made.lost:
            render.say(f"lost  {name} is missing or damaged in the backup")
        render.say(f"{render.plural(made.files, 'file')} restored to {made.folder}")
    return SOME_PROBLEMS if made.lost or failed else 0


def demo(
    folder: Annotated[
        Path | None, typer.Argument(help="Where to build it; without it, a new temporary folder.")
    ] = None,
) -> int:
    """Walk through the whole job with invented drawings."""
    from assetlib.cli.tour import walk

    walk(folder)
    return 0
