"""thesaurus: the words of the library, how they hang together, and SKOS in and out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import Commands, DryRun, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.services.describing.thesaurus import Shown

words = Commands(
    name="thesaurus", help="The words of the library, and how they hang together.",
    no_args_is_help=True, rich_markup_mode=None,
)  # fmt: skip

Word = Annotated[str, typer.Argument(help="A word, by any of its labels.")]
Language = Annotated[str, typer.Option(help="The language of --other, like de.")]

LANGUAGES = {"de": "in German", "fr": "in French", "es": "in Spanish", "it": "in Italian"}


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.add_typer(words)


@words.command("show")
def show(word: Word, as_json: JsonFlag = False) -> int:
    """Show a word in full.

    Its other labels, what it is a kind of, what is a kind of it, and how many drawings carry it.
    """
    from assetlib.cli import render
    from assetlib.services.describing import thesaurus

    with opened_library() as lib:
        found = thesaurus.show(lib, word)
    if as_json:
        render.print_json({"concepts": [_document(shown) for shown in found]})
        return 0
    for number, shown in enumerate(found):
        if number:
            render.say("")
        _tell(shown)
    return 0


def _document(shown: Shown) -> dict[str, Any]:
    return {
        "label": shown.label,
        "others": list(shown.others),
        "misspellings": list(shown.misspellings),
        "languages": [{"language": language, "label": label} for language, label in shown.abroad],
        "broader": list(shown.broader),
        "narrower": list(shown.narrower),
        "related": list(shown.related),
        "definition": shown.definition or None,
        "drawings": shown.drawings,
        "own": shown.own,
    }


def _tell(shown: Shown) -> None:
    from assetlib.cli import render

    render.out.print(shown.label, style="bold", markup=False)
    abroad: dict[str, list[str]] = {}
    for language, label in shown.abroad:
        abroad.setdefault(language, []).append(label)
    rows = [
        ("also called", ", ".join(shown.others)),
        *((LANGUAGES.get(language, language), ", ".join(labels)) for language, labels in abroad.items()),
        ("a kind of", ", ".join(shown.broader)),
        ("kinds of it", ", ".join(shown.narrower)),
        ("goes with", ", ".join(shown.related)),
        ("means", shown.definition),
        ("tagged on", render.plural(shown.drawings, "drawing")),
    ]
    render.table(["", ""], [row for row in rows if row[1]], wide=[""])


@words.command("add")
def add(
    word: Annotated[str, typer.Argument(help="A new word, or one that is there.")],
    other: Annotated[list[str] | None, typer.Option(help="Another label for it; several allowed.")] = None,
    broader: Annotated[list[str] | None, typer.Option(help="What it is a kind of; several allowed.")] = None,
    related: Annotated[list[str] | None, typer.Option(help="What it goes with; several allowed.")] = None,
    language: Language = "en",
    meaning: Annotated[str | None, typer.Option(help="What it means, in a sentence.")] = None,
    dry_run: DryRun = False,
) -> int:
    """Add a word, or labels and links to one. `assetlib undo` takes it back."""
    from assetlib.services.describing import thesaurus

    with opened_library() as lib:
        thesaurus.add(
            lib, word, other=tuple(other or ()), broader=tuple(broader or ()), related=tuple(related or ()),
            language=language, definition=meaning, dry_run=dry_run,
        )  # fmt: skip
        _after(lib, word, dry_run)
    return 0


def _after(lib: Any, word: str, dry_run: bool) -> None:
    from assetlib.cli import render
    from assetlib.services.describing import thesaurus

    if dry_run:
        render.say("it would be in order; nothing was changed")
        return
    _tell(thesaurus.show(lib, word)[0])


@words.command("rename")
def rename(
    word: Word,
    new: Annotated[str, typer.Argument(help="What it is called from now on.")],
    dry_run: DryRun = False,
) -> int:
    """Call a word otherwise; what it was called is still understood. `assetlib undo` takes it back."""
    from assetlib.services.describing import thesaurus

    with opened_library() as lib:
        thesaurus.rename(lib, word, new, dry_run=dry_run)
        _after(lib, new, dry_run)
    return 0


@words.command("merge")
def merge(
    word: Word,
    into: Annotated[str, typer.Argument(help="The word that stays.")],
    dry_run: DryRun = False,
) -> int:
    """Make one word of two.

    All drawings and labels of the first go to the second; `assetlib undo` takes it back.
    """
    from assetlib.cli import render
    from assetlib.services.describing import thesaurus

    with opened_library() as lib:
        count = thesaurus.merge(lib, word, into, dry_run=dry_run)
        render.say(f"{render.plural(count, 'drawing')} {'would change' if dry_run else 'changed'}")
        _after(lib, into, dry_run)
    return 0


@words.command("import")
def import_(
    file: Annotated[
        Path | None,
        typer.Argument(
            help="A SKOS file in Turtle (.ttl); without one, the words that come with this assetlib."
        ),
    ] = None,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Take over the words of a SKOS file; nothing goes. `assetlib undo` takes all of it back."""
    from assetlib.cli import render
    from assetlib.services.describing import importing

    with opened_library() as lib:
        told = importing.import_turtle(lib, file, dry_run=dry_run, progress=render.Bar())
    if as_json:
        render.print_json(
            {
                "concepts": told.concepts,
                "new": told.new,
                "labels": told.labels,
                "links": told.links,
                "dry_run": dry_run,
            }
        )
        return 0
    would = "would come" if dry_run else "came"
    render.say(
        f"{render.plural(told.concepts, 'word')} in the file: {len(told.new)} new, "
        f"{render.plural(told.labels, 'label')} and {render.plural(told.links, 'link')} {would}"
    )
    return 0


@words.command("export")
def export(file: Annotated[Path, typer.Argument(help="The file to write, .ttl.")]) -> int:
    """Write all words as SKOS in Turtle (W3C), for other programs."""
    from assetlib.cli import render
    from assetlib.services.describing import thesaurus

    with opened_library() as lib:
        count = thesaurus.export_turtle(lib, file)
    render.say(f"{render.plural(count, 'word')} written to {file}")
    return 0


@words.command("period")
def period(
    name: Annotated[
        str | None, typer.Argument(help="Its name, like 'brush, to 2022'; without one, all are told.")
    ] = None,
    first: Annotated[
        str | None, typer.Option("--from", help="Its first day, 2019-05-17; 2019-05 or 2019 will do.")
    ] = None,
    last: Annotated[str | None, typer.Option("--to", help="Its last day; 2022 is to the end of it.")] = None,
    remove: Annotated[
        bool, typer.Option("--remove", help="Have it no longer; its name goes off its drawings.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Style periods: names with days.

    With --from or --to a name is put on every drawing whose file was made in its days; without,
    it is shown; --remove takes it away. Name it in a line that you look for, or keep to it with
    --tag NAME. `assetlib undo` takes it back.
    """
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.describing import periods

    if remove and (first or last or name is None):
        raise WrongUsage("--remove wants a name and no days")
    with opened_library() as lib:
        if name is None:
            found = periods.periods(lib)
        elif remove:
            found = [periods.remove_period(lib, name, dry_run=dry_run)]
        elif first or last:
            days = (
                periods.day_of(first, is_last=False) if first else None,
                periods.day_of(last, is_last=True) if last else None,
            )
            found = [periods.set_period(lib, name, *days, dry_run=dry_run)]
        else:
            found = [periods.period_called(lib, name)]
    if as_json:
        rows = [
            {
                "name": p.name,
                "from": p.first_day,
                "to": p.last_day,
                "drawings": p.drawings,
                "dry_run": dry_run,
            }
            for p in found
        ]
        render.print_json({"periods": rows})
        return 0
    render.table(
        ["style period", "from", "to"], [(p.name, p.first_day or "", p.last_day or "") for p in found]
    )
    if name is not None:
        done = ("would lose", "lost") if remove else ("would get", "got") if first or last else ("carry",) * 2
        verb = done[0] if dry_run else done[1]
        one = verb == "carry" and found[0].drawings == 1
        render.say(f"{render.plural(found[0].drawings, 'drawing')} {'carries' if one else verb} it")
    return 0
