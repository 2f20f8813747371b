"""start and intake: making a library and bringing drawings into it."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, DryRun, JsonFlag, opened_library
from assetlib.cli.wording import how_words
from assetlib.errors import WrongUsage
from assetlib.rules.roles import Role
from assetlib.rules.wording import listed

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.bringing.arrivals import Added, Report, Wishes
    from assetlib.services.bringing.taking_in import TakenIn
    from assetlib.services.doubles.settling import Pair

SHOWN = 12
"""How many new drawings are shown after an intake; the rest is counted."""
FEW = 3
"""So many more are shown as well: counting them would take a line, too."""


class OnDouble(StrEnum):
    """What becomes of a new drawing that the library has already in another shape."""

    FAMILY = "family"
    SKIP = "skip"
    ASK = "ask"


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("start")(start)
    app.command("intake")(intake)


def start(
    folder: Annotated[
        Path | None, typer.Argument(help="A new folder; without it, one in your documents.")
    ] = None,
    artist: Annotated[str, typer.Option(help="Your name, as it will stand on licences.")] = "",
    contact: Annotated[str, typer.Option(help="Your address for buyers.")] = "",
) -> None:
    """Start a library in a new folder."""
    from assetlib.cli import render
    from assetlib.config import Settings, default_folder
    from assetlib.services.keeping.starting import start_library
    from assetlib.storage import volumes

    lib = start_library(folder or default_folder(), Settings(artist=artist, contact=contact))
    render.say(f"A library stands in {lib.folder}")
    for warning in volumes.warnings(lib.folder, lib.catalogue):
        render.tell(warning)
    missing = [f'--{key} "…"' for key, text in (("artist", artist), ("contact", contact)) if not text]
    if missing:
        render.say_whole(
            f'To sell later, it lacks:  assetlib --library "{lib.folder}" licence {" ".join(missing)}'
        )
    render.say_whole(f'Bring drawings in:  assetlib --library "{lib.folder}" intake FOLDER')


def intake(
    paths: Annotated[list[Path] | None, typer.Argument(help="Files and folders, any mix.")] = None,
    role: Annotated[
        Role | None, typer.Option("--as", help="What they are; without it, judged from the picture.")
    ] = None,
    title: Annotated[
        str | None, typer.Option(help="One title for all; without it, from the file or its name.")
    ] = None,
    tag: Annotated[list[str] | None, typer.Option(help="A tag for all; may be given several times.")] = None,
    job: Annotated[str | None, typer.Option(help="The job they are brought in for.")] = None,
    layers: Annotated[
        bool, typer.Option("--layers", help="Make every top layer of a layered file a drawing of its own.")
    ] = False,
    as_it_is: Annotated[
        bool, typer.Option("--as-it-is", help="Leave photographs of pages and printed paper as they are.")
    ] = False,
    cut: Annotated[bool, typer.Option("--cut", help="Cut what is judged a sheet at once.")] = False,
    on_double: Annotated[
        OnDouble,
        typer.Option("--doubles", help="A new drawing that is there already: keep both, skip the new, ask."),
    ] = OnDouble.FAMILY,
    later: Annotated[
        bool, typer.Option("--later", help="Leave the heavier work for `assetlib upkeep`.")
    ] = False,
    removed: Annotated[
        bool, typer.Option("--removed", help="Bring in again what was removed for good.")
    ] = False,
    watch: Annotated[
        Path | None,
        typer.Option(
            help="Bring in what is saved into this folder and then left alone for some seconds, until Ctrl-C."
        ),
    ] = None,
    clipboard: Annotated[
        bool, typer.Option("--clipboard", help="Bring in the picture that was copied.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Bring drawings in. Originals are kept just as they are; what is known already is told, whatever its name."""
    from assetlib.cli import render
    from assetlib.cli.jobs import job_for
    from assetlib.services.bringing import taking_in as service
    from assetlib.services.bringing.intake import Wishes

    wishes = Wishes(
        role=role.value if role else None,
        title=title,
        tags=tuple(tag or ()),
        removed=removed,
        as_it_is=as_it_is,
    )
    with opened_library() as lib:
        wishes = replace(wishes, job=job_for(lib, job))
        if watch is not None:
            return _watch(lib, watch.expanduser(), wishes)

        def agrees(sheets: list[Added]) -> bool:
            return cut or (not as_json and _agrees_to_cut(lib, sheets))

        extras = service.Extras(layers, agrees, later, on_double is OnDouble.SKIP)
        with _named(paths or [], clipboard=clipboard) as files:
            taken = service.take_in(lib, files, wishes, extras, dry_run=dry_run, progress=render.Bar())
        if as_json:
            render.print_json(_document(taken))
        else:
            _show(lib, taken.report, dry_run)
            if dry_run and taken.report.added and on_double is not OnDouble.FAMILY:
                render.say("Whether they look like drawings that are there is seen when they are brought in.")
            _show_doubles(taken.alike)
            _offer_next_state(taken.alike)
            _ask_of_others(lib, taken.report.added)
        for code, reason in taken.whole:
            render.tell(f"{code} stays whole: {reason}")
        if on_double is OnDouble.ASK and not as_json and sys.stdin.isatty():
            _go_through(lib, taken.alike)
    return SOME_PROBLEMS if taken.report.failed else 0


@contextmanager
def _named(paths: list[Path], *, clipboard: bool) -> Iterator[list[Path]]:
    """The files that are named, and the picture that was copied when it is asked for. Raises WrongUsage for none."""
    if not paths and not clipboard:
        raise WrongUsage(
            "nothing was named to bring in", "name files or folders, or take --watch or --clipboard"
        )
    if not clipboard:
        yield paths
        return
    from assetlib.cli.desktop import take_from_clipboard

    with tempfile.TemporaryDirectory(prefix="assetlib-copied-") as folder:
        yield [*paths, take_from_clipboard(Path(folder))]


def _watch(lib: Library, folder: Path, wishes: Wishes) -> int:
    """Watch a folder until Ctrl-C, a line for each file that comes in."""
    from assetlib.cli import render
    from assetlib.services.bringing import watching

    def told(came: watching.Came) -> None:
        if came.reason:
            render.tell(f"{came.path.name} did not come in: {came.reason}")
        elif came.known:
            render.say(f"{came.code}  {came.path.name} is there already: {came.known}")
        else:
            again = f", in place of {came.instead_of}" if came.instead_of else ""
            render.say(f"{came.code}  {came.path.name}{again}")

    render.tell(f"watching {folder}; Ctrl-C ends it")
    watching.watch(lib, folder, wishes, told)
    return 0


def _agrees_to_cut(lib: Library, sheets: list[Added]) -> bool:
    """Show what was judged a sheet and ask, where there is somebody to ask."""
    from assetlib.cli import render
    from assetlib.services.finding.browsing import cards_of

    if not (render.out.is_terminal and sys.stdin.isatty()):
        return False
    found = cards_of(lib, [item.code for item in sheets[:SHOWN]])
    render.cards([(card.proof, card.code, (card.title,)) for card in found])
    return typer.confirm(
        f"{render.plural(len(sheets), 'picture')} judged to be sheets. Cut them now?", err=True
    )


def _go_through(lib: Library, found: dict[str, list[Pair]]) -> None:
    """Ask of every pair of new drawings and those that are there already what it is."""
    from assetlib.cli.doubles import go_through

    go_through(lib, list({id(pair): pair for listed in found.values() for pair in listed}.values()))


def _document(taken: TakenIn) -> dict[str, Any]:
    report, found = taken.report, taken.alike
    return {
        "added": [
            {
                "code": item.code,
                "title": item.title,
                "as": item.role,
                "source": item.source,
                "page": list(item.page),
                "doubt": item.doubt,
                "mend": item.mend,
                "keep": item.keep,
                "looks_like": [
                    {"code": _other(pair, item.code), "kind": pair.kind.value, "how": list(pair.how)}
                    for pair in found.get(item.code, ())
                ],
            }
            for item in report.added
        ],
        "known": [{"code": item.code, "source": item.source, "how": item.how} for item in report.known],
        "failed": [{"source": item.source, "reason": item.reason} for item in report.failed],
    }


def _show(lib: Library, report: Report, dry_run: bool) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.browsing import cards_of

    shown = report.added[: SHOWN if len(report.added) > SHOWN + FEW else None]
    if dry_run and shown:
        render.table(["as", "title", "from"], [(a.role, a.title, a.source) for a in shown], wide=["from"])
    elif shown:
        found = cards_of(lib, [item.code for item in shown])
        render.cards([(card.proof, card.code, (card.title, card.role, item.source))
                      for card, item in zip(found, shown, strict=True)])  # fmt: skip
    if len(report.added) > len(shown):
        render.say(f"… and {len(report.added) - len(shown):,} more")
    for known in report.known[:SHOWN]:
        render.say(
            f"known   {known.code or '-':8}{Path(known.source).name}  ({how_words(known.how.split(', '))})"
        )
    if len(report.known) > SHOWN:
        render.say(f"… and {len(report.known) - SHOWN:,} more that are known")
    for failed in report.failed:
        render.say(f"failed  {failed.source}: {failed.reason}")
    verb = "would be added" if dry_run else "added"
    render.say(
        f"{len(report.added):,} {verb}, {len(report.known):,} known already, {len(report.failed):,} failed"
    )
    already = {item.source for item in report.added if item.role == "element"}
    sheets = [
        item.code
        for item in report.added
        if item.role == "sheet" and item.code and item.source not in already
    ]
    if sheets:
        render.say_whole(f"Sheets to cut:  assetlib cut {' '.join(sheets[:SHOWN])} --dry-run")
        if len(sheets) > SHOWN:
            render.say(f"… and {len(sheets) - SHOWN:,} more: assetlib find --as sheet")
    _tell_doubts([item for item in report.added if item.doubt])


def _ask_of_others(lib: Library, added: list[Added]) -> None:
    """The last lines: names inside files that are not the artist's, and how to say whose the drawings are."""
    from assetlib.cli import render
    from assetlib.services.trade.clearance import others_named

    roles = {item.code: item.role for item in added if item.role in ("element", "sheet") and item.code}
    by_names: dict[tuple[str, ...], list[str]] = {}
    for code, names in others_named(lib, list(roles)).items():
        by_names.setdefault(names, []).append(code)
    for names, codes in by_names.items():
        asked = f"{listed(codes)}: the file names {' and '.join(names)}: is it yours?"
        drawn = [code for code in codes if roles[code] == "element"]
        how = (
            f'  assetlib origin {" ".join(drawn)} --rights own --whose "{", ".join(names)}"' if drawn else ""
        )
        render.say_whole(asked + how)


def _tell_doubts(doubtful: list[Added]) -> None:
    """The last lines: what may be something else than it was taken for, and the command that mends it."""
    from assetlib.cli import render

    for item in doubtful[:SHOWN]:
        if_not = f"   if not:  {item.keep}" if item.keep else ""
        render.say_whole(f"{item.code or Path(item.source).name} {item.doubt}:  {item.mend}{if_not}")
    if len(doubtful) > SHOWN:
        render.say(f"… and {len(doubtful) - SHOWN:,} more that are not sure: assetlib find --unsure")


def _other(pair: Pair, code: str) -> str | None:
    """The other drawing of a pair."""
    return pair.b.code if pair.a.code == code else pair.a.code


def _show_doubles(found: dict[str, list[Pair]]) -> None:
    """Say what is there already in another shape; which of the two drawings says it makes no difference."""
    from assetlib.cli import render

    told: set[frozenset[str | None]] = set()
    lines = []
    for code, pairs in found.items():
        for pair in pairs:
            both = frozenset((pair.a.code, pair.b.code))
            if both not in told:
                told.add(both)
                how = f", {how_words(pair.how)}" if pair.how else ""
                lines.append(f"{code} looks like {_other(pair, code)}  ({pair.kind.replace('-', ' ')}{how})")
    for line in lines[:SHOWN]:
        render.say(line)
    if len(lines) > SHOWN:
        render.say(f"… and {len(lines) - SHOWN:,} more that look like others")
    if lines:
        render.say("To settle them:  assetlib doubles")


def _offer_next_state(found: dict[str, list[Pair]]) -> None:
    """The last line, where a new drawing seems to be an older one with a part of it changed; nothing is chosen."""
    from assetlib.cli import render

    altered = [
        (_other(pair, code), code)
        for code, pairs in found.items()
        for pair in pairs
        if pair.kind == "family" and _other(pair, code) not in found
    ]
    if altered:
        older, newer = altered[0]
        render.say_whole(
            f"If {newer} is {older} come back altered:  assetlib doubles {older} {newer} --altered"
            + (f"  (so are {len(altered) - 1} more)" if len(altered) > 1 else "")
        )
