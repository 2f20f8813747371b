"""origin and clearance: where drawings came from, and whether they may be sold."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import (
    SOME_PROBLEMS,
    Drawings,
    JsonFlag,
    as_day,
    opened_library,
    takes_drawings,
)

if TYPE_CHECKING:
    from assetlib.rules.rights.clearance import Evidence
    from assetlib.services.trade.clearance import Cleared, Statement


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("origin")(origin)
    app.command("clearance")(clearance)


@takes_drawings
def origin(
    drawings: Drawings,
    drawn: Annotated[
        list[str] | None,
        typer.Option(help="Where it came from: out of the head, observed, own photo, someone else …"),
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
    """Say where drawings came from. Nothing is taken for granted: what is not answered stays a question.

    With codes alone, what was said of them so far; alone, the answers there are.
    """
    from assetlib.services.trade import clearance as service

    answers = (("origin", drawn), ("ownership", rights), ("depicts", shows), ("ai", ai))
    statement = _statement(dict(answers), whose, reference, paper, note)
    if not statement.values and not drawings.any_named() and not confirm:
        _show_questions()
        return 0
    with opened_library() as lib:
        codes = drawings.in_library(lib, "element")
        if not (statement.values or statement.papers or confirm or whose or reference or note):
            return _show_said(service.clearance(lib, codes), as_json)
        if confirm and not statement.values:
            cleared = service.confirm(lib, codes)
        else:
            cleared = service.answer(lib, codes, statement, replace=replace or None)
    return _show_answered(cleared, as_json)


def _statement(
    answers: dict[str, list[str] | None],
    whose: str | None,
    reference: str | None,
    paper: list[str] | None,
    note: str | None,
) -> Statement:
    """What was said on the line. Raises WrongUsage for an answer or a paper that cannot be."""
    from assetlib.rules.rights.clearance import Question
    from assetlib.services.trade import clearance as service

    values = [
        (Question(question), service.read_value(Question(question), text))
        for question, texts in answers.items()
        for text in texts or ()
    ]
    papers = tuple(service.read_paper(text) for text in paper or ())
    return service.Statement(tuple(values), whose, reference, papers, note)


def _show_answered(cleared: list[Cleared], as_json: bool) -> int:
    """How drawings stand after what was said, and what of it was left."""
    from assetlib.cli import render

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
    if not left:
        _show_cleared(cleared)
        return 0
    render.say(
        f"nothing was noted of {' or '.join(item.card.code for item in cleared)}, since it would change:"
    )
    for code, one in left:
        render.say(
            f"{code} {one.question.option}: {_spoken(one.stands)} was said of it, not {_spoken(one.asked)}"
        )
    render.say("the same with --replace changes what was said and notes the rest; or say it of one drawing")
    return SOME_PROBLEMS


def _show_said(cleared: list[Cleared], as_json: bool) -> int:
    """What was answered of drawings so far."""
    from assetlib.cli import render
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    if as_json:
        render.print_json({"drawings": [_cleared_document(item) for item in cleared], "left": []})
        return 0
    for item in cleared:
        render.say(f"{item.card.code}  {item.card.title}: {item.verdict.state.value}")
        _show_answers(item)
    render.say("`assetlib origin` shows the answers there are")
    render.say(NO_LEGAL_ADVICE)
    return 0


def _show_answers(item: Cleared) -> None:
    """The answers on a drawing as a table: what was said and when, whose it is, and the papers it rests on."""
    from assetlib.cli import render

    rows = [
        (
            answer.question.option,
            answer.value.replace("-", " ") + (" (to confirm)" if answer.to_confirm else ""),
            answer.whose or "-",
            [_paper(paper) for paper in answer.evidence] or "-",
            str(answer.when or "-"),
            answer.note or "-",
        )
        for answer in item.answers
    ]
    if not rows:
        render.say("nothing was said of it yet")
        return
    render.table(
        ["asked", "answer", "whose", "rests on", "said on", "note"],
        rows,
        wide=["answer", "whose", "rests on", "note"],
    )


def _paper(paper: Evidence) -> str:
    """A paper with its days and its place."""
    days = [
        f"from {paper.first_day}" if paper.first_day else "",
        f"until {paper.last_day}" if paper.last_day else "",
        f"withdrawn on {paper.withdrawn_on}" if paper.withdrawn_on else "",
    ]
    return ", ".join(filter(None, [paper.label, *days, paper.place]))


def _spoken(values: Iterable[str]) -> str:
    return " and ".join(value.replace("-", " ") for value in values)


def _show_questions() -> None:
    from assetlib.cli import render
    from assetlib.rules.rights.clearance import TABLE
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    rows = [
        (rule.question.option, rule.value.replace("-", " "), rule.sentence, rule.start.value)
        for rule in TABLE
    ]
    render.table(["option", "answer", "means", "by itself"], rows, wide=["means"])
    render.say(NO_LEGAL_ADVICE)


@takes_drawings
def clearance(
    drawings: Drawings,
    on: Annotated[
        str | None, typer.Option(help="On which day, as 2026-03-14: papers hold on days; else today.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """See whether drawings may be sold.

    Clear, ask or blocked, with reasons and what would help: what is missing, what ran out, what holds later.
    """
    from assetlib.cli import render
    from assetlib.services.trade import clearance as service

    with opened_library() as lib:
        cleared = service.clearance(lib, drawings.in_library(lib, "element"), as_day(on))
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
        "on": item.verdict.on,
        "until": item.verdict.until,
        "clear_from": item.verdict.clear_from,
        "sure": item.sure,
        "sure_why": list(item.sure_why),
        "answers": [
            {
                "question": a.question.value,
                "value": a.value,
                "papers": [
                    {
                        "kind": p.kind.value,
                        "place": p.place,
                        "release": p.code or None,
                        "who": p.who or None,
                        "from": p.first_day,
                        "until": p.last_day,
                        "withdrawn": p.withdrawn_on,
                    }
                    for p in a.evidence
                ],
                "note": a.note,
                "whose": a.whose or None,
                "said": a.when,
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

    rows = [(item.card.code, item.verdict.state.value, [item.card.title, *_why(item)]) for item in cleared]
    render.table(["code", "sold?", "title, and why"], rows, wide=["title, and why"])
    if len(cleared) == 1 and cleared[0].answers:
        _show_answers(cleared[0])
    if any(item.verdict.open_findings for item in cleared):
        render.say("`assetlib origin` shows the answers there are")
    render.say(NO_LEGAL_ADVICE)


def _why(item: Cleared) -> list[str]:
    """What stands in the way, a line each; questions that nobody has answered in one line."""
    from assetlib.rules.rights.clearance import OTHER_NAMED

    answered = {answer.question for answer in item.answers}
    lines = [
        f"  {f.sentence} {f.what_would_help}"
        for f in item.verdict.open_findings
        if f.question in answered or f.code == OTHER_NAMED
    ]
    if item.sure not in (None, "sure"):
        lines.append(f"  its clean copy: {'; '.join([str(item.sure), *item.sure_why])}")
    unasked = [f.question.option for f in item.verdict.open_findings
               if f.question not in answered and f.code != OTHER_NAMED]  # fmt: skip
    lines += [f"  not answered yet: {', '.join(dict.fromkeys(unasked))}"] if unasked else []
    if not item.verdict.open_findings:
        lines.append("  nothing stands in the way")
    return [*lines, *(f"  {told}" for told in item.verdict.days)]
