"""job: the paid assignments that drawings are brought in for and pasted into."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, Commands, JsonFlag, as_day, opened_library
from assetlib.errors import WrongUsage

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.jobs.delivery import Delivered
    from assetlib.services.jobs.jobs import JobNote

Name = Annotated[str, typer.Argument(help="The job's name or code.")]


def register(app: typer.Typer) -> None:
    """Add this room's command."""
    job = Commands(
        help="Jobs: client, days, frame, paper, shot list; one is in use.",
        rich_markup_mode=None,
        no_args_is_help=True,
    )
    for name, command in (
        ("open", open_job), ("list", list_jobs), ("show", show), ("use", use), ("close", close), ("move", move),
        ("report", report), ("reference", reference), ("forget", forget),
    ):  # fmt: skip
        job.command(name)(command)
    app.add_typer(job, name="job")


def open_job(
    name: Annotated[str, typer.Argument(help="What the job is called.")],
    client: Annotated[str | None, typer.Option(help="Whose it is.")] = None,
    begins: Annotated[str | None, typer.Option("--from", help="First day, as 2026-03-14.")] = None,
    ends: Annotated[str | None, typer.Option("--to", help="Last day.")] = None,
    frame: Annotated[
        str | None, typer.Option(help="16:9, 2.39:1, 1920x1080 …; more after a comma become guides.")
    ] = None,
    shots: Annotated[int | None, typer.Option(help="How many shots it is planned with.")] = None,
    wheel: Annotated[str | None, typer.Option(help="Where the steering wheel is: left or right.")] = None,
    confidential: Annotated[
        str | None, typer.Option(help="Nothing of it is shown to another client until this day.")
    ] = None,
    note: Annotated[str | None, typer.Option(help="Whatever should be remembered.")] = None,
    agreement: Annotated[
        str | None, typer.Option(help="What its paper says: made for hire, assigned, rights kept …")
    ] = None,
    paper: Annotated[str | None, typer.Option(help="Which paper says so.")] = None,
    holds_to: Annotated[str | None, typer.Option("--until", help="The last day the agreement holds.")] = None,
    as_json: JsonFlag = False,
) -> int:
    """Open a job, or say more of one; it becomes the job in use."""
    from assetlib.services.jobs import jobs

    facts = jobs.Facts(client, as_day(begins), as_day(ends), frame, shots, wheel, as_day(confidential), note)
    paid = jobs.Agreement(agreement, paper, None, as_day(holds_to)) if agreement else None
    with opened_library() as lib:
        opened = jobs.open_job(lib, name, facts, paid)
    return _one(opened, as_json=as_json)


def list_jobs(as_json: JsonFlag = False) -> int:
    """List the jobs, the latest first."""
    from assetlib.cli import render
    from assetlib.services.jobs import jobs

    with opened_library() as lib:
        notes = jobs.jobs(lib)
    if as_json:
        render.print_json({"jobs": [document(note) for note in notes]})
        return 0
    if not notes:
        render.say("no job yet: assetlib job open NAME")
        return 0
    rows = [
        (
            note.code,
            note.name,
            note.facts.client or "",
            _days(note),
            note.shots or "",
            note.uses or "",
            _state(note),
        )
        for note in notes
    ]
    render.table(["code", "job", "client", "days", "shots", "used", ""], rows, wide=["job", "client", "days"])
    return 0


def show(
    name: Annotated[
        str | None, typer.Argument(help="The job's name or code; none for the one in use.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Show one job in full."""
    from assetlib.services.jobs import jobs

    with opened_library() as lib:
        used = jobs.in_use(lib) if name is None else None
        asked = used.name if used else name
        if asked is None:
            raise WrongUsage("no job was named, and none is in use", "assetlib job list names them")
        note = jobs.show(lib, asked)
    return _one(note, as_json=as_json)


def use(
    name: Annotated[
        str | None, typer.Argument(help="The job's name or code; none to stop using one.")
    ] = None,
) -> int:
    """Say which job work goes to when none is named."""
    from assetlib.cli import render
    from assetlib.services.jobs import jobs

    with opened_library() as lib:
        note = jobs.use(lib, name)
    render.say(f"job in use: {note.name}" if note else "no job is in use")
    return 0


def close(
    name: Name,
    delivered: Annotated[
        Path | None, typer.Option(help="The folder of the delivered frames; they are kept with the job.")
    ] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Say what would be kept and offered, and change nothing.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Close a job: it is done and no longer in use.

    With --delivered its frames are kept, and what was drawn on them is offered: next versions, family, new elements.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import delivery, jobs

    with opened_library() as lib:
        if delivered is None:
            if dry_run:
                raise WrongUsage("there is nothing to try", "--dry-run goes with --delivered FOLDER")
            return _one(jobs.close(lib, name), as_json=as_json)
        found = delivery.close_delivered(
            lib, name, delivered.expanduser(), dry_run=dry_run, progress=render.Bar()
        )
    if as_json:
        render.print_json(_delivery_document(found))
    else:
        _show_delivery(found)
    return SOME_PROBLEMS if found.failed else 0


def _delivery_document(found: Delivered) -> dict[str, Any]:
    return {
        "job": document(found.job) if found.job else None,
        "dry_run": found.dry_run,
        "frames": [
            {
                "file": frame.file, "code": frame.code or None, "shot": frame.shot, "round": frame.round,
                "day": frame.day, "line": frame.line or None, "gone": frame.is_gone,
                "layers": [
                    {"name": row.name, "state": row.state, "code": row.code or None, "element": row.element or None,
                     "as": row.as_what or None}
                    for row in frame.layers
                ],
                "seen": [{"code": code, "title": title} for code, title in frame.seen],
            }
            for frame in found.frames
        ],
        "failed": [{"file": file, "reason": reason} for file, reason in found.failed],
    }  # fmt: skip


def _show_delivery(found: Delivered) -> None:
    from assetlib.cli import render

    for frame in found.frames:
        shot = f"shot {frame.shot}" if frame.shot else "no shot in its name"
        round_ = f", round {frame.round}" if frame.round else ""
        render.say(f"{frame.code}  {frame.file}  {shot}{round_}, {frame.day:%d %b %Y}".strip())
        if frame.line:
            render.say(f"      {frame.line}")
        same = [
            row.name if row.name.endswith(row.code) else f"{row.name} · {row.code}"
            for row in frame.layers
            if row.state == "unchanged"
        ]
        if same:
            render.say(f"      as pasted: {', '.join(same)}")
        for row in frame.layers:
            if row.state != "unchanged":
                told = (
                    f"altered, offered as {row.as_what}" if row.state == "altered" else "new, an element now"
                )
                if found.dry_run and row.state == "new":
                    told = "new"
                render.say("      " + "  ".join(filter(None, [row.element, f"{row.name}: {told}"])))
            if row.command:
                render.say(f"         {row.command}")
        if frame.seen:
            render.say(f"      on it: {', '.join(f'{title} · {code}' for code, title in frame.seen)}")
        elif not frame.layers:
            render.say("      a flat picture; no drawing was recognised on it")
    for file, reason in found.failed:
        render.tell(f"not kept: {file}: {reason}")
    gone = [frame.file for frame in found.frames if frame.is_gone]
    if gone:
        render.tell(f"of shots that are no longer in the job's list: {', '.join(gone)}")
    kept = render.plural(len(found.frames), "frame")
    render.say(f"{kept} would be kept" if found.dry_run else f"{kept} kept; the job is closed")


def move(
    source: Annotated[str, typer.Argument(help="The job it went to.")],
    target: Annotated[str, typer.Argument(help="The job it belongs to.")],
    day: Annotated[str | None, typer.Option(help="Only what went there on this day.")] = None,
) -> int:
    """Move what went to the wrong job: arrivals and uses."""
    from assetlib.cli import render
    from assetlib.services.jobs import jobs

    with opened_library() as lib:
        moved = jobs.move(lib, source, target, as_day(day))
    if moved:
        render.say(f"{moved} arrivals and uses moved to {target}; assetlib undo takes it back")
    else:
        render.say(f"nothing went to {source} that could be moved")
    return 0


def report(
    name: Annotated[str | None, typer.Argument(help="One job; without it all of them.")] = None,
    mine: Annotated[
        bool,
        typer.Option(
            "--mine", help="Drawings that were there before the job and were used in it, with days."
        ),
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Private: what was used again, by job and year.

    With --mine, what a contract should leave you.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import reporting

    with opened_library() as lib:
        if mine:
            if name is None:
                raise WrongUsage("--mine needs a job", "assetlib job report NAME --mine")
            rows = reporting.mine(lib, name)
        else:
            told = reporting.report(lib, name)
    if mine:
        if as_json:
            render.print_json({"job": name, "drawings": [row.document() for row in rows]})
        elif not rows:
            render.say(f"no drawing that was there before {name} began was used in it")
        else:
            render.table(
                ["code", "drawing", "there since", "used on", "frames"],
                [(row.code, row.title, row.since, row.used_on, ", ".join(row.frames)) for row in rows],
                wide=["drawing", "frames"],
            )
        return 0
    if as_json:
        render.print_json({"private": True, "jobs": [row.document() for row in told]})
        return 0
    render.say("PRIVATE: not for clients")
    render.table(
        ["job", "year", "shots", "served", "uses", "drawings", "again", "rounds", "hours"],
        [
            (row.job, row.year, row.shots, row.served, row.uses, row.drawings, row.again, row.rounds_text,
             "not set" if row.hours is None else f"{row.hours:.1f}")
            for row in told
        ],
        wide=["job", "rounds"],
    )  # fmt: skip
    render.say("rounds: frames begun in each; hours: saved, by minutes_saved in the settings")
    return 0


def reference(
    name: Name,
    codes: Annotated[
        list[str] | None,
        typer.Argument(help="Codes of pictures brought in with --as reference; none lists them."),
    ] = None,
    kind: Annotated[
        str, typer.Option(help="client photo, location photo, grab or own photo.")
    ] = "client photo",
    owner: Annotated[str | None, typer.Option(help="Whose they are.")] = None,
    as_json: JsonFlag = False,
) -> int:
    """Say which pictures a job is drawn from.

    And whose they are; they are never found as drawings, never sold.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import references as kept

    with opened_library() as lib:
        rows = kept.keep(lib, name, codes, kind, owner) if codes else kept.references(lib, name)
    if as_json:
        render.print_json(
            {
                "references": [
                    {"code": r.code, "title": r.title, "kind": r.kind, "owner": r.owner} for r in rows
                ]
            }
        )
    elif rows:
        render.table(
            ["code", "picture", "kind", "whose"],
            [(r.code, r.title, r.kind, r.owner or "not said") for r in rows],
            wide=["picture"],
        )
    else:
        render.say(
            "no reference is kept with it; bring them in with: assetlib intake FILE --as reference --job NAME"
        )
    return 0


def forget(
    name: Name,
    references: Annotated[
        bool, typer.Option("--references", help="Remove the pictures that arrived to draw from.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Say what would happen, and change nothing.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Remove a client's pictures for good.

    One line stays of what was removed. Cannot be undone.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import references as kept

    if not references:
        raise WrongUsage("what is to be forgotten was not said", "assetlib job forget NAME --references")
    with opened_library() as lib:
        forgotten = kept.forget(lib, name, dry_run=dry_run)
    if as_json:
        render.print_json(forgotten.document())
        return 0
    for what in forgotten.removed:
        render.say(f"{'would remove' if dry_run else 'removed'}: {what}")
    for where in forgotten.elsewhere:
        render.tell(f"still there: {where}")
    if not forgotten.removed:
        render.say("there is nothing to remove")
    return 0


def job_for(lib: Library, given: str | None) -> str | None:
    """The job that work goes to: the one named, else the one in use, said on stderr and asked again after a night.

    Raises NotFound for a job that is not there.
    """
    from assetlib.cli import render
    from assetlib.services.jobs import jobs

    if given is not None:
        name = jobs.require(lib, given)
    elif (found := jobs.in_use(lib)) is None:
        return None
    elif found.asked_today or _still(lib, found.name):
        name = found.name
    else:
        render.tell(f"for no job: '{found.name}' was in use yesterday; assetlib job use \"{found.name}\"")
        return None
    render.tell(f"for job {name}")
    return name


def _still(lib: Library, name: str) -> bool:
    """Whether work still goes to the job of yesterday, asked where somebody can answer."""
    from assetlib.services.jobs import jobs

    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    if typer.confirm(f"still for job {name}?", default=True, err=True):
        jobs.use(lib, name)
        return True
    jobs.use(lib, None)
    return False


def document(note: JobNote) -> dict[str, Any]:
    """A job as JSON has it."""
    facts = note.facts
    return {
        "code": note.code,
        "name": note.name,
        "client": facts.client,
        "first_day": facts.first_day,
        "last_day": facts.last_day,
        "frame": facts.frame,
        "shots_planned": facts.shots_planned,
        "wheel": facts.wheel,
        "confidential_until": facts.confidential_until,
        "note": facts.note,
        "round": note.round,
        "closed_on": note.closed_on,
        "in_use": note.in_use,
        "agreements": [
            {"kind": a.kind, "paper": a.paper, "first_day": a.first_day, "last_day": a.last_day}
            for a in note.agreements
        ],
        "shots": note.shots,
        "omitted": note.omitted,
        "uses": note.uses,
        "arrivals": note.arrivals,
        "removed": list(note.removed),
    }


def _days(note: JobNote) -> str:
    first, last = (f"{day:%d %b %Y}" if day else "" for day in (note.facts.first_day, note.facts.last_day))
    if first and last:
        return f"{first} to {last}"
    return f"from {first}" if first else f"until {last}" if last else ""


def _state(note: JobNote) -> str:
    return "in use" if note.in_use else "closed" if note.closed_on else ""


def _one(note: JobNote, *, as_json: bool) -> int:
    from assetlib.cli import render

    if as_json:
        render.print_json(document(note))
        return 0
    facts = note.facts
    render.out.print(note.name, style="bold", markup=False)
    papers = "; ".join(
        " ".join(
            filter(
                None,
                [
                    a.kind,
                    f"({a.paper})" if a.paper else "",
                    f"until {a.last_day:%d %b %Y}" if a.last_day else "",
                ],
            )
        )
        for a in note.agreements
    )
    rows = [
        ("code", f"{note.code}  {_state(note)}"),
        ("client", facts.client),
        ("days", _days(note)),
        ("frame", facts.frame),
        ("wheel", facts.wheel),
        ("confidential", f"until {facts.confidential_until:%d %b %Y}" if facts.confidential_until else ""),
        ("agreement", papers or "nothing noted yet"),
        ("shots", f"{note.shots} in the list" + (f", {note.omitted} omitted" if note.omitted else "") if note.shots
         else f"{facts.shots_planned} planned" if facts.shots_planned else "no list yet"),
        ("round", note.round),
        ("used", f"{note.uses} drawings pasted" if note.uses else ""),
        ("note", facts.note),
        ("removed", "; ".join(note.removed)),
    ]  # fmt: skip
    render.table(["", ""], [row for row in rows if row[1]], wide=[""])
    return 0
