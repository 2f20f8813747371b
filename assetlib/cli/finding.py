"""find and show: looking for drawings and looking at one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import Drawings, JsonFlag, opened_library, takes_drawings

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.bringing.clean_copies import Unsure
    from assetlib.services.bringing.role_doubts import RoleDoubt
    from assetlib.services.finding.search import Asked, Found
    from assetlib.services.finding.showing import FullView

TABLE_LIMIT = 8
JSON_LIMIT = 50
ALL = 10_000_000
"""What only narrows ranks nothing: a pipe is given all of it, or `find --tag ferry | tag - …` would leave some out."""


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    # A word with a minus before it asks to be without it: click is to hand it on, not to take it for an option.
    app.command("find", context_settings={"ignore_unknown_options": True})(find)
    app.command("show")(show)


def find(
    words: Annotated[
        list[str] | None, typer.Argument(help="Plain words, or a line of a shot list as it stands.")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(help="What the shot must say, like shot_size=CU; several allowed."),
    ] = None,
    tag: Annotated[
        list[str] | None, typer.Option(help="A tag that must be carried; several allowed.")
    ] = None,
    role: Annotated[
        list[str] | None, typer.Option("--as", help="element, sheet, backdrop, reference or frame.")
    ] = None,
    like: Annotated[
        list[str] | None, typer.Option(help="A code or a picture that results look like; several allowed.")
    ] = None,
    sketch: Annotated[
        list[Path] | None, typer.Option(help="A rough drawing, or a photo of one, that results look like.")
    ] = None,
    unlike: Annotated[
        list[str] | None, typer.Option(help="A code or a picture that results do not look like.")
    ] = None,
    in_tray: Annotated[
        bool, typer.Option("--in-tray", help="Only drawings that are not described yet.")
    ] = False,
    unsure: Annotated[
        bool,
        typer.Option(
            "--unsure",
            help="Only what is to be looked at, and why: clean copies, and what may be a sheet after all.",
        ),
    ] = False,
    each: Annotated[Path | None, typer.Option(help="A file with one line to look for on each line.")] = None,
    since: Annotated[str, typer.Option(help="Only what came in on this day (2026-03-14) or later.")] = "",
    before: Annotated[str, typer.Option(help="Only what came in before this day.")] = "",
    job: Annotated[str | None, typer.Option(help="Only what was brought in for this job.")] = None,
    limit: Annotated[int | None, typer.Option(min=1, help="How many to show.")] = None,
    codes: Annotated[bool, typer.Option("--codes", help="Only codes, one a line, for a pipe.")] = False,
    open_page: Annotated[
        bool, typer.Option("--open", help="Open a contact sheet of what was found.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Find drawings by words, a picture or a sketch.

    By plain words, by a picture, by a rough sketch, or by all of them together.

    What meets the line stands first, then what meets part of it, with what is missing. *without tray*, *no people* and
    *-people* are understood; with --as frame the number of a shot, 05a, is, too.

    The rows keep their numbers: `show 3` shows the third for an hour. Piped, a line is a
    code and a title.
    """
    from assetlib.cli import found as answers
    from assetlib.cli.wording import print_json
    from assetlib.errors import WrongUsage
    from assetlib.services.finding import search

    if unknown := next((word for word in words or [] if word.startswith("--")), None):
        raise WrongUsage(f"there is no option {unknown}", "see `assetlib find --help`")
    if each is not None and words:
        raise WrongUsage("--each takes its words from the file", "leave the other words out")
    if words and not " ".join(words).strip() and not (only or tag or like or sketch or unlike or in_tray):
        raise WrongUsage(
            "no word was given to look for", "like `assetlib find dog`; without words, all is listed"
        )
    roles = tuple(role) if role else search.DEFAULT_ROLES
    piped = as_json or codes or not _on_screen()
    ranked = bool(words or like or sketch or unlike)
    most = limit or ((JSON_LIMIT if as_json or ranked else ALL) if piped else TABLE_LIMIT)

    def question(text: str) -> Asked:
        return search.Asked(
            text, tuple(only or ()), tuple(tag or ()), roles, most, in_tray,
            tuple(like or ()), tuple(sketch or ()), tuple(unlike or ()), since, before, named,
        )  # fmt: skip

    with opened_library() as lib:
        named = _job_named(lib, job)
        if unsure:
            narrowed = ranked or only or tag or in_tray or since or before or job
            among = (
                search.find(lib, replace(question(" ".join(words or [])), limit=ALL)) if narrowed else None
            )
            return _find_unsure(lib, among, as_json, codes)
        if each is not None:
            return _find_each(lib, [question(line) for line in _lines(each)], as_json)
        found = search.find(lib, question(" ".join(words or [])))
        if as_json:
            print_json(answers.document(lib, found))
        elif piped:
            _print_piped(found, codes)
        else:
            _show_found(lib, found)
        if open_page and found.results:
            _open_contact_sheet(lib, found)
    return 0


def _on_screen() -> bool:
    """Whether somebody looks at the answer. Asking loads what draws it, for which a program need not wait."""
    from assetlib.cli import render

    return render.out.is_terminal


def _print_piped(found: Found, codes: bool) -> None:
    """A line a drawing for a pipe; on stderr that none fits, or that there are more, where that is so."""
    from assetlib.cli import found as answers
    from assetlib.cli import render

    handed = answers.piped(found)
    for result in handed:
        print(result.card.code if codes else f"{result.card.code}\t{render.plain(result.card.title)}")
    if not found.heading and not found.fitting and (found.query.strip() or not found.results):
        render.tell_whole(answers.none_fits(found))
    if len(handed) == len(found.results) < found.total:
        render.tell(f"the first {len(handed):,} of {found.total:,}; --limit {found.total} gives all")


def _find_unsure(lib: Library, among: Found | None, as_json: bool, codes: bool) -> int:
    """What is not sure, with why: clean copies, and what a picture is; of what was found alone, where it was asked."""
    from assetlib.cli import found as answers
    from assetlib.cli import render
    from assetlib.cli.sureness import doubt_document, unsure_document
    from assetlib.services.bringing import clean_copies, role_doubts

    found, doubted = clean_copies.unsure(lib), role_doubts.doubted(lib)
    if among is not None:
        kept = {result.card.code for result in answers.piped(among)}
        found = [item for item in found if item.code in kept]
        doubted = [item for item in doubted if item.code in kept]
    if as_json:
        doubts = [{"title": item.title, **doubt_document(item)} for item in doubted]
        render.print_json({"unsure": unsure_document(found), "doubted": doubts})
    elif codes:
        for code in dict.fromkeys([*(d.code for d in doubted), *(u.code for u in found)]):
            print(code)
    elif found or doubted:
        _show_unsure(found, doubted)
    else:
        render.say(
            "every clean copy that was made is sure"
            if among is None
            else "of what was found, every clean copy is sure"
        )
    return 0


def _show_unsure(copies: Sequence[Unsure], doubted: Sequence[RoleDoubt]) -> None:
    """What may be something else, each with its commands, then the clean copies to look at."""
    from assetlib.cli import render

    for doubt in doubted:
        render.say_whole(f"{doubt.code}  {doubt.title}  {doubt.doubt}:  {doubt.mend}   if not:  {doubt.keep}")
    if doubted and copies:
        render.say("")
    if copies:
        render.table(
            ["code", "title", "clean copy", "why"],
            [(u.code, u.title, u.sure, "; ".join(u.why)) for u in copies],
            wide=["why"],
        )


def _lines(path: Path) -> list[str]:
    from assetlib.errors import NotFound

    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise NotFound(f"{path} cannot be read as a text file") from error
    return [line.strip() for line in lines if line.strip()]


def _job_named(lib: Library, given: str | None) -> str:
    """The name of the job that is meant; empty where none was said."""
    if given is None:
        return ""
    from assetlib.services.jobs import jobs

    return jobs.require(lib, given)


def _find_each(lib: Library, questions: list[Asked], as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.cli.found import document
    from assetlib.services.finding import search

    answers = search.find_each(lib, questions)
    if as_json:
        render.print_json({"queries": [document(lib, found) for found in answers]})
        return 0
    rows = [(found.query, *_best(found)) for found in answers]
    render.table(["looked for", "fits", "best"], rows, wide=["looked for", "best"])
    return 0


def _best(found: Found) -> tuple[str, str]:
    """How many fit, and the three best; what only looks like the line says so."""
    if found.heading:
        return "", "a heading, no shot"
    good = [result for result in found.results[:3] if result.fit != "near"]
    told = "; ".join(f"{r.card.code} {r.card.title}{'' if r.fit == 'fits' else ' (in part)'}" for r in good)
    return str(found.fitting), told or "nothing"


def _show_found(lib: Library, found: Found) -> None:
    from assetlib.cli import found as answers
    from assetlib.cli import render
    from assetlib.services.finding import last_list

    if found.understood:
        render.tell("understood: " + ", ".join(f"{facet.replace('_', ' ')} {', '.join(values)}"
                                               for facet, values in found.understood.items()))  # fmt: skip
    cards = (*(result.card for result in found.results), *found.by_sheet)
    titles = {card.code: card.title for card in cards}
    codes = answers.show(lib, found)
    last_list.keep(lib.folder, [last_list.ListedRow(code, titles[code]) for code in codes])


def _open_contact_sheet(lib: Library, found: Found) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.contact_sheets import contact_sheet

    path = contact_sheet(lib, [result.card for result in found.results], found.query)
    render.tell(f"contact sheet: {path}")
    typer.launch(str(path))


@takes_drawings
def show(
    drawings: Drawings,
    clean: Annotated[
        bool, typer.Option("--clean", help="Make the clean copy if it was not made yet.")
    ] = False,
    open_proof: Annotated[bool, typer.Option("--open", help="Open the picture.")] = False,
    as_json: JsonFlag = False,
) -> int:
    """Show drawings in full.

    What each is, where it came from, its words and files.
    """
    from assetlib.cli.wording import print_json
    from assetlib.services.finding import showing

    with opened_library() as lib:
        shown = [showing.show(lib, code, clean=clean) for code in drawings.in_library(lib)]
    if as_json:
        documents = [_details_document(details) for details in shown]
        print_json(documents[0] if len(documents) == 1 else {"drawings": documents})
    for details in shown:
        if not as_json:
            _show_details(details)
        if open_proof:
            typer.launch(str(details.clean_copy or details.proof or details.original))
    return 0


def _details_document(details: FullView) -> dict[str, Any]:
    from assetlib.cli.sureness import doubt_document

    card = details.card
    return {
        "code": card.code,
        "uuid": card.uuid,
        "as": card.role,
        "title": card.title,
        "note": details.note,
        "source": card.source,
        "original": str(details.original),
        "clean": str(details.clean_copy) if details.clean_copy else None,
        "body": str(details.body) if details.body else None,
        "mask": str(details.mask) if details.mask else None,
        "sure": details.sure,
        "sure_why": list(details.sure_why),
        "proof": str(details.proof) if details.proof else None,
        "format": details.format,
        "size": list(details.size),
        "ground": details.ground,
        "resolution": list(details.resolution) if details.resolution else None,
        "profile": details.icc,
        "tags": list(card.tags),
        "suggested": list(card.suggested),
        "facets": card.facets,
        "words": [
            {
                "text": word.text,
                "facet": word.facet,
                "source": word.source,
                "state": word.state,
                "to_confirm": word.to_confirm,
            }
            for word in details.words
        ],
        "file_words": details.file_words,
        "arrivals": [
            {"source": item.source, "at": item.arrived_at.isoformat(), "job": item.job}
            for item in details.arrivals
        ],
        "version": details.version,
        "cut": details.cut,
        "versions": details.versions,
        "family": [{"code": code, "how": how} for code, how in details.family],
        "box": list(details.piece) if details.piece else None,
        "collections": list(details.collections),
        "sold": details.sold,
        "bundles": [
            {"collection": b.collection, "number": b.number, "issued_on": b.issued_on.isoformat()}
            for b in details.bundles
        ],
        "uses": [
            {"job": u.job, "shot": u.shot, "frame": u.frame, "day": u.day, "voided": u.voided}
            for u in details.uses
        ],
        "file_note": details.file_note,
        "damaged": list(details.damaged),
        "in_attic": card.in_attic,
        "doubt": details.doubt and doubt_document(details.doubt),
    }


def _last_use(details: FullView) -> str:
    """When and for what a drawing was last pasted, and how often."""
    counted = [use for use in details.uses if not use.voided]
    if not counted:
        return ""
    last = counted[0]
    where = " ".join(filter(None, [last.job, last.shot and f"shot {last.shot}"])) or last.frame or "no job"
    return f"{last.day:%d %b %Y}, {where}" + (f"; {len(counted)} times in all" if len(counted) > 1 else "")


def _to_confirm(details: FullView) -> str:
    """What was said of the drawing as it was before, and how to say that it still holds."""
    waiting = [f"{word.facet}={word.text}" for word in details.words if word.to_confirm]
    again = " ".join(f"--set '{setting}'" for setting in waiting)
    return f"assetlib tag {details.card.code} {again} if it still holds" if waiting else ""


def _standing(details: FullView) -> dict[str, tuple[str, ...]]:
    """What the shot says, without what is only suggested: that stands in a row of its own."""
    offered = {(w.facet, w.text) for w in details.words if w.state == "offered"}
    standing = {f: tuple(v for v in vs if (f, v) not in offered) for f, vs in details.card.facets.items()}
    return {facet: values for facet, values in standing.items() if values}


def _show_details(details: FullView) -> None:
    from assetlib.cli import render
    from assetlib.cli.wording import state_words

    card = details.card
    if render.shows_pictures():
        render.out.print(*render.small_picture(details.proof, columns=64, rows=26), sep="\n")
    render.out.print(render.plain(card.title), style="bold", markup=False)
    rows = [
        ("tags", ", ".join(card.tags) or "none yet"),
        ("suggested", ", ".join(w.text for w in details.words if w.state == "offered")),
        ("shot", ", ".join(f"{n.replace('_', ' ')} {', '.join(v)}" for n, v in _standing(details).items())),
        ("to confirm", _to_confirm(details)),
        ("note", details.note or ""),
        ("code", card.code + ("  (in the attic)" if card.in_attic else "")),
        ("kept as", card.role),
        ("not sure", [f"{d.doubt}: {d.mend}", f"if not: {d.keep}"] if (d := details.doubt) else ""),
        ("drawing", f"{details.size[0]} x {details.size[1]} pixels, {details.ground}, {details.format}"),
        ("state", state_words(details.version, details.cut)),
        ("in the file", "; ".join(str(v) for v in details.file_words.values() if v and isinstance(v, str))),
        ("about the file", details.file_note or ""),
        ("damaged", f"{', '.join(details.damaged)}: assetlib upkeep makes it again" if details.damaged else ""),
        ("came from", [f"{a.source}  {a.arrived_at:%d %b %Y}{f'  {a.job}' if a.job else ''}"
                       for a in details.arrivals]),
        ("family", ", ".join(f"{how} {code}" for code, how in details.family)),
        ("last used", _last_use(details)),
        ("collections", ", ".join(details.collections)),
        ("may it be sold", f"{details.sold}: assetlib clearance {card.code} says why" if details.sold else ""),
        ("sealed in", [f"{b.collection}, issue {b.number}  {b.issued_on:%d %b %Y}" for b in details.bundles]),
        ("original", str(details.original)),
        ("ink only", str(details.clean_copy or "not made yet: assetlib show --clean " + card.code)),
        ("ink with body", str(details.body or "")),
        ("body as mask", str(details.mask or "")),
    ]  # fmt: skip
    render.table(["", ""], [row for row in rows if row[1]], wide=[""])
