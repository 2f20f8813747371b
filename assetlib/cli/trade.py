"""origin, clearance, collection, licence and bundle: from where a drawing came to a sealed ZIP."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, Drawings, DryRun, JsonFlag, opened_library, takes_drawings

if TYPE_CHECKING:
    from assetlib.services.trade.bundling import Issue
    from assetlib.services.trade.clearance import Cleared
    from assetlib.services.trade.collections import CollectionView

collection_app = typer.Typer(help="Collections: elements chosen to be sold together.", no_args_is_help=True,
                             rich_markup_mode=None)  # fmt: skip
bundle_app = typer.Typer(
    help="Bundles: sealed issues of a collection.", no_args_is_help=True, rich_markup_mode=None
)

Name = Annotated[str, typer.Argument(help="The collection's name or code.")]


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("origin")(origin)
    app.command("clearance")(clearance)
    app.add_typer(collection_app, name="collection")
    app.command("licence")(licence)
    app.add_typer(bundle_app, name="bundle")


@takes_drawings
def origin(
    drawings: Drawings,
    drawn: Annotated[
        list[str] | None,
        typer.Option(help="Where it came from: out of the head, observed, own photo, traced from found …"),
    ] = None,
    rights: Annotated[
        list[str] | None, typer.Option(help="For whom: own, made for hire, commissioned rights kept …")
    ] = None,
    shows: Annotated[
        list[str] | None, typer.Option(help="What it shows: none, real person, brand, property …")
    ] = None,
    ai: Annotated[
        list[str] | None, typer.Option(help="Whether a generative model had part: none, assisted …")
    ] = None,
    whose: Annotated[str | None, typer.Option(help="Whose the reference or the work is.")] = None,
    reference: Annotated[str | None, typer.Option(help="The code of the reference in this library.")] = None,
    paper: Annotated[
        list[str] | None,
        typer.Option(help="A kept paper for the one answer given with it: model-release=binder 3."),
    ] = None,
    note: Annotated[str | None, typer.Option(help="Anything to remember.")] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="On many drawings, change also what was answered otherwise.")
    ] = False,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="What came along from an earlier state or a double still holds.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Say where drawings came from. Nothing is taken for granted: what is not answered stays a question."""
    from assetlib.cli import render
    from assetlib.rules.rights.clearance import Question
    from assetlib.services.trade import clearance as service

    asked = (
        (Question.ORIGIN, drawn),
        (Question.OWNERSHIP, rights),
        (Question.DEPICTS, shows),
        (Question.AI, ai),
    )
    statement = service.Statement(
        tuple(
            (question, service.read_value(question, text))
            for question, texts in asked
            for text in texts or ()
        ),
        whose,
        reference,
        tuple(service.read_paper(text) for text in paper or ()),
        note,
    )
    if not statement.values and not drawings.any_named() and not confirm:
        _show_questions()
        return 0
    with opened_library() as lib:
        codes = drawings.in_library(lib, "element")
        if confirm and not statement.values:
            cleared = service.confirm(lib, codes)
        else:
            cleared = service.answer(lib, codes, statement, replace=replace or None)
    left = [(item.card.code, one) for item in cleared for one in item.left]
    if as_json:
        rows = [
            {
                "code": code,
                "question": one.question.value,
                "stands": list(one.stands),
                "asked": list(one.asked),
            }
            for code, one in left
        ]
        render.print_json({"drawings": [_cleared_document(item) for item in cleared], "left": rows})
        return SOME_PROBLEMS if left else 0
    _show_cleared(cleared)
    for code, one in left:
        render.say(f"{code} stays as it is: {_spoken(one.stands)} was said of it, not {_spoken(one.asked)}")
    if left:
        render.say(
            f"{render.plural(len(left), 'answer')} left; --replace changes them, or say it of one drawing"
        )
    return SOME_PROBLEMS if left else 0


def _spoken(values: Iterable[str]) -> str:
    return " and ".join(value.replace("-", " ") for value in values)


def _show_questions() -> None:
    from assetlib.cli import render
    from assetlib.rules.rights.clearance import TABLE
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    names = {"origin": "--drawn", "ownership": "--rights", "depicts": "--shows", "ai": "--ai"}
    rows = [
        (names[rule.question.value], rule.value.replace("-", " "), rule.sentence, rule.start.value)
        for rule in TABLE
    ]
    render.table(["option", "answer", "means", "by itself"], rows, wide=["means"])
    render.say(NO_LEGAL_ADVICE)


@takes_drawings
def clearance(drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Show whether drawings may be sold: clear, ask or blocked, with reasons and what would help."""
    from assetlib.cli import render
    from assetlib.services.trade import clearance as service

    with opened_library() as lib:
        cleared = service.clearance(lib, drawings.in_library(lib, "element"))
    if as_json:
        from assetlib.rules.wording import NO_LEGAL_ADVICE

        render.print_json(
            {"drawings": [_cleared_document(item) for item in cleared], "notice": NO_LEGAL_ADVICE}
        )
    else:
        _show_cleared(cleared)
    return 0


def _cleared_document(item: Cleared) -> dict[str, Any]:
    return {
        "code": item.card.code,
        "title": item.card.title,
        "version": item.version,
        "cut": item.cut,
        "to_confirm": item.to_confirm,
        "state": item.verdict.state.value,
        "answers": [
            {
                "question": a.question.value,
                "value": a.value,
                "papers": [{"kind": p.kind.value, "place": p.place} for p in a.evidence],
                "note": a.note,
            }
            for a in item.answers
        ],
        "whose": list(item.whose),
        "findings": [
            {
                "code": f.code,
                "question": f.question.value,
                "state": f.state.value,
                "sentence": f.sentence,
                "what_would_help": f.what_would_help,
            }
            for f in item.verdict.findings
        ],
    }


def _show_cleared(cleared: list[Cleared]) -> None:
    from assetlib.cli import render
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    rows = []
    for item in cleared:
        findings = item.verdict.open_findings
        why = [f"{f.sentence} {f.what_would_help}" for f in findings] or ["nothing stands in the way"]
        rows.append((item.card.code, item.card.title, item.verdict.state.value, why))
    render.table(["code", "title", "may it be sold", "why"], rows, wide=["title", "why"])
    render.say(NO_LEGAL_ADVICE)


@collection_app.command("make")
def make(
    name: Annotated[str, typer.Argument(help="A name, as buyers will read it.")], as_json: JsonFlag = False
) -> int:
    """Make a new, empty collection."""
    from assetlib.cli import render
    from assetlib.services.trade import collections

    with opened_library() as lib:
        made = collections.make(lib, name)
    if as_json:
        _print_collections([made])
    else:
        render.say(f"{made.code}  {made.name}")
    return 0


@collection_app.command("add")
@takes_drawings
def add(name: Name, drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Put elements into a collection; a search can be piped in."""
    from assetlib.services.trade import collections

    with opened_library() as lib:
        view = collections.put(lib, name, drawings.in_library(lib, "element"))
    _print_collections([view]) if as_json else _show_collection(view)
    return 0


@collection_app.command("remove")
@takes_drawings
def remove(name: Name, drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Take elements out of a collection; they stay in the library."""
    from assetlib.services.trade import collections

    with opened_library() as lib:
        view = collections.take_out(lib, name, drawings.in_library(lib))
    _print_collections([view]) if as_json else _show_collection(view)
    return 0


@collection_app.command("show")
def show(
    name: Annotated[
        str | None, typer.Argument(help="The collection's name or code; without it, all of them.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Show a collection and how its drawings stand, or list all collections."""
    from assetlib.services.trade import collections

    if name is None:
        return list_collections(as_json=as_json)
    with opened_library() as lib:
        view = collections.view(lib, name)
    _print_collections([view]) if as_json else _show_collection(view)
    return 0


@collection_app.command("list")
def list_collections(as_json: JsonFlag = False) -> int:
    """List all collections, by name."""
    from assetlib.cli import render
    from assetlib.services.trade import collections

    with opened_library() as lib:
        views = collections.everything(lib)
    if as_json:
        _print_collections(views)
    elif not views:
        render.say("There is no collection yet; make one: assetlib collection make NAME")
    else:
        rows = [(v.code, v.name, len(v.items), v.licence or "none chosen") for v in views]
        render.table(["code", "collection", "drawings", "licence"], rows, wide=["collection"])
    return 0


def _print_collections(views: list[CollectionView]) -> None:
    from assetlib.cli import render

    render.print_json({"collections": [_collection_document(view) for view in views]})


def _collection_document(view: CollectionView) -> dict[str, Any]:
    items = [{"code": i.card.code, "title": i.card.title, "state": i.verdict.state.value} for i in view.items]
    return {"code": view.code, "name": view.name, "licence": view.licence, "items": items}


def _show_collection(view: CollectionView) -> None:
    from assetlib.cli import render
    from assetlib.services.trade.clearance import states

    render.table(
        ["code", "title", "may it be sold"],
        [(item.card.code, item.card.title, item.verdict.state.value) for item in view.items],
        wide=["title"],
    )
    counted = ", ".join(f"{count} {state}" for state, count in states(view.items).items()) or "empty"
    render.say(f"{view.name} ({view.code}): {counted}; licence: {view.licence or 'none chosen'}")


def licence(
    name: Annotated[
        str | None, typer.Argument(help="The collection's name or code; without it, the licences.")
    ] = None,
    tier: Annotated[
        str | None, typer.Argument(help="one artist, one studio, whole campaign or sample.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """List the licences, show a collection's licence as buyers will read it, or choose one for it."""
    from assetlib.cli import render
    from assetlib.services.trade import collections

    if name is None:
        return _list_licences(as_json)
    with opened_library() as lib:
        terms = collections.choose_terms(lib, name, tier) if tier else collections.terms(lib, name)
    if as_json:
        render.print_json(
            {
                "collection": terms.collection,
                "licence": terms.licence,
                "short": terms.short,
                "text": terms.text,
            }
        )
    elif tier:
        render.say(f"{terms.collection} is sold under the licence '{terms.licence}': {terms.short}")
    else:
        render.say_text(terms.text)
    return 0


def _list_licences(as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.rules.rights.licences import Tier, in_short

    rows = [(tier.value, in_short(tier)) for tier in Tier]
    if as_json:
        render.print_json({"licences": [{"licence": name, "short": short} for name, short in rows]})
    else:
        render.table(["licence", "in short"], rows, wide=["in short"])
    return 0


@bundle_app.command("build")
def build(name: Name, dry_run: DryRun = False, as_json: JsonFlag = False) -> int:
    """Seal the next issue of a collection. Anything that is not clear stops it."""
    from assetlib.cli import render
    from assetlib.services.trade import bundling

    with opened_library() as lib:
        issue = bundling.build(lib, name, dry_run=dry_run, progress=render.Bar())
    if as_json:
        render.print_json(_issue_document(issue))
        return 0
    verb = "would be sealed" if dry_run else "sealed"
    render.say(
        f"{issue.collection}, issue {issue.number}: {render.plural(len(issue.drawings), 'drawing')} {verb}"
    )
    render.say(f"{issue.path}")
    if not dry_run:
        render.say(f"sha256 {issue.sha256}")
    return 0


@bundle_app.command("verify")
def verify(
    path: Annotated[Path, typer.Argument(help="A bundle's ZIP.")],
    as_json: JsonFlag = False,
) -> int:
    """Check that a bundle holds exactly what was sealed into it."""
    from assetlib.cli import render
    from assetlib.services.trade import bundling

    result = bundling.verify(path)
    if as_json:
        problems = [{"code": problem.code, "sentence": problem.sentence} for problem in result.problems]
        render.print_json({"ok": result.ok, "sha256": result.sha256, "problems": problems})
    else:
        for problem in result.problems:
            render.say(f"{problem.code}: {problem.sentence}")
        render.say(
            "as it was sealed" if result.ok else f"{render.plural(len(result.problems), 'problem')} found"
        )
    return 0 if result.ok else SOME_PROBLEMS


@bundle_app.command("list")
def list_issues(as_json: JsonFlag = False) -> int:
    """List every bundle that was issued."""
    from assetlib.cli import render
    from assetlib.services.trade import bundling

    with opened_library() as lib:
        found = bundling.issues(lib)
    if as_json:
        render.print_json({"bundles": [_issue_document(issue) for issue in found]})
        return 0
    rows = [
        (i.code, i.collection, i.number, i.licence, i.issued_on, len(i.drawings), i.path.name) for i in found
    ]
    render.table(
        ["code", "collection", "issue", "licence", "issued", "drawings", "file"], rows, wide=["collection"]
    )
    return 0


def _issue_document(issue: Issue) -> dict[str, Any]:
    return {
        "code": issue.code,
        "collection": issue.collection,
        "issue": issue.number,
        "licence": issue.licence,
        "issued": issue.issued_on.isoformat(),
        "path": str(issue.path),
        "sha256": issue.sha256,
        "bytes": issue.bytes,
        "drawings": list(issue.drawings),
    }
