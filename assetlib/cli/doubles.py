"""doubles: the same drawing twice, seen side by side and settled."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import Drawings, DryRun, JsonFlag, opened_library, takes_drawings
from assetlib.cli.wording import how_words, state_words

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.doubles.merging import Merged
    from assetlib.services.doubles.settling import Outside, Pair, Side
    from assetlib.services.versions import Pinned

CHOICES = """  1 or 2  keep that one, the other goes to the attic      f  both stay, one family
  n       the newer is the older one redrawn              d  different drawings, do not ask again
  l       later                                           q  stop"""


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.command("doubles")(doubles)


@takes_drawings
def doubles(
    drawings: Drawings,
    everything: Annotated[
        bool, typer.Option("--all", help="The whole library; what was not compared yet is compared first.")
    ] = False,
    of: Annotated[
        str | None,
        typer.Option(help="A picture outside the library, or its imagehash phash: what is it like?"),
    ] = None,
    kind: Annotated[
        list[str] | None, typer.Option(help="Only same-file, same-picture, same-drawing, family … pairs.")
    ] = None,
    safe: Annotated[
        bool, typer.Option("--safe", help="Merge what is the same file or picture, without asking.")
    ] = False,
    keep: Annotated[str | None, typer.Option(help="Of two codes, the one to keep.")] = None,
    family: Annotated[bool, typer.Option("--family", help="Two codes stay as one family.")] = False,
    different: Annotated[bool, typer.Option("--different", help="Two codes are different drawings.")] = False,
    redrawn: Annotated[
        bool, typer.Option("--redrawn", help="The second of two codes is the first one redrawn.")
    ] = False,
    altered: Annotated[
        bool, typer.Option("--altered", help="The second of two codes is the first one, come back altered.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Go through drawings that are there twice.

    The same drawing, or one altered; with codes, only pairs with these.

    Two codes take --keep, --family, --different, --redrawn or --altered. Undo takes every decision back.
    """
    from assetlib.cli import render
    from assetlib.services.doubles import merging
    from assetlib.services.doubles import settling as service
    from assetlib.services.keeping import upkeep

    with opened_library() as lib:
        if of is not None:
            return _list_outside(service.ask_outside(lib, of), as_json)
        verdicts = {
            "family": family,
            "different": different,
            "redrawn": redrawn,
            "came back altered": altered,
        }
        said = [name for name, chosen in verdicts.items() if chosen]
        if keep or said:
            return _settle(lib, drawings.if_any(lib), keep, said, as_json)
        if everything and not dry_run:
            upkeep.work_off(lib, progress=render.Bar())
        if safe:
            _show_merged(merging.merge_safely(lib, dry_run=dry_run, progress=render.Bar()), dry_run, as_json)
            return 0
        found = service.pairs(lib, drawings.if_any(lib), _kinds(kind))
        asking = sys.stdin.isatty() and render.out.is_terminal and not (as_json or dry_run or everything)
        if asking:
            go_through(lib, [pair for pair in found if pair.undecided])
            return 0
        return _list(found, as_json)


def _kinds(given: list[str] | None) -> list[Any]:
    from assetlib.errors import WrongUsage
    from assetlib.imaging.doubles.matching import DoubleKind

    names = ["-".join(name.lower().split()) for name in given or []]
    for name in names:
        if name not in list(DoubleKind):
            raise WrongUsage(f"'{name}' is no kind of double", f"choose {', '.join(DoubleKind)}")
    return [DoubleKind(name) for name in names]


def _settle(lib: Library, codes: list[str], keep: str | None, verdicts: list[str], as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.errors import WrongUsage
    from assetlib.services.doubles import merging

    if len(codes) != 2:
        raise WrongUsage(f"a decision is about two drawings, {len(codes)} were named", "give two codes")
    if len(verdicts) + bool(keep) != 1:
        raise WrongUsage(
            "--keep, --family, --different, --redrawn and --altered exclude each other", "give one of them"
        )
    if not keep:
        told = _decide(lib, codes[0], codes[1], verdicts[0])
        if as_json:
            render.print_json({"decided": codes, "verdict": verdicts[0]})
        else:
            render.say(told)
        return 0
    others = [code for code in codes if not code.upper().startswith(keep.upper())]
    if len(others) != 1:
        raise WrongUsage(f"'{keep}' is not one of the two", "give one of the two codes to --keep")
    _show_merged([merging.merge(lib, keep, others[0])], False, as_json)
    return 0


def _list_outside(found: Outside, as_json: bool) -> int:
    """What a picture outside the library is like, and in JSON the hashes that others know it by."""
    from assetlib.cli import render

    if as_json:
        hashes = {"phash": found.phash, "phash_wide": found.phash_wide}
        render.print_json(
            {"pairs": [_document(pair) for pair in found.pairs], "groups": [], "hashes": hashes}
        )
        return 0
    return _list(found.pairs, as_json)


def _decide(
    lib: Library,
    first: str,
    second: str,
    verdict: str,
    judged: tuple[Pinned, Pinned] | None = None,
) -> str:
    """Keep what was decided about two drawings; returns it in words."""
    from assetlib.services.bringing import redrawing
    from assetlib.services.doubles import settling as service

    if verdict in ("family", "different"):
        service.decide(lib, first, second, verdict, judged=judged)
        return f"{first} and {second}: {'one family' if verdict == 'family' else 'different drawings'}"
    done = redrawing.next_version(lib, first, second, verdict, judged=judged)
    state = state_words(done.version, done.cut)
    return f"{done.code} is the newer drawing now, {state}; {done.taken} is in the attic"


def _list(found: Sequence[Pair], as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.services.doubles import settling as service

    if as_json:
        render.print_json({"pairs": [_document(pair) for pair in found], "groups": service.groups(found)})
        return 0
    rows = [
        (
            _name(pair.a),
            _name(pair.b),
            pair.kind.value.replace("-", " "),
            how_words(pair.how) or "-",
            f"{pair.score:.2f}",
        )
        for pair in found
        if not pair.is_one
    ]
    if rows:
        render.table(["this", "and this", "are", "how", "sure"], rows, wide=["how", "this", "and this"])
    families = service.groups(found)
    render.say(f"{render.plural(len(rows), 'pair')}, {render.plural(len(families), 'family', 'families')}")
    again = {pair.a.code for pair in found if pair.is_one}
    if again:
        render.say(f"{render.plural(len(again), 'drawing')} came in more than once and is kept once")
    return 0


def _name(side: Side) -> str:
    return f"{side.code}  {side.card.title}" if side.card else Path(side.source).name


def _document(pair: Pair) -> dict[str, Any]:
    return {
        "a": {"code": pair.a.code, "source": pair.a.source},
        "b": {"code": pair.b.code, "source": pair.b.source},
        "kind": pair.kind.value,
        "how": list(pair.how),
        "score": pair.score,
        "box": list(pair.box) if pair.box else None,
    }


def _show_merged(rows: list[Merged], dry_run: bool, as_json: bool) -> None:
    from assetlib.cli import render

    if as_json:
        document = [{"keep": row.keep, "drop": row.drop, "why": row.why, "left": row.left} for row in rows]
        render.print_json({"merged": document, "dry_run": dry_run})
        return
    for row in rows:
        if row.left:
            render.say(f"{row.keep} and {row.drop} stay two: {row.left}")
        else:
            verb = "would be kept" if dry_run else "kept"
            render.say(f"{row.keep} {verb} ({row.why}), {row.drop} to the attic")
    count = sum(row.left is None for row in rows)
    render.say(f"{render.plural(count, 'double')} {'to merge' if dry_run else 'merged'}; undo: assetlib undo")


def go_through(lib: Library, found: list[Pair]) -> None:
    """Show pair after pair side by side and ask what each is."""
    from assetlib.cli import render
    from assetlib.errors import AssetlibError
    from assetlib.services.doubles import merging

    if not found:
        render.say("No doubles are waiting to be looked at.")
        return
    render.say_text(CHOICES)
    gone: set[str] = set()
    for number, pair in enumerate(found, 1):
        first, second = str(pair.a.code), str(pair.b.code)
        if gone & {first, second}:
            continue
        choice = merging.choose(lib, first, second)
        _show_pair(lib, pair)
        render.say(
            f"{number} of {len(found)}: {pair.kind.value.replace('-', ' ')}, {how_words(pair.how) or 'as they lie'}"
        )
        render.say(f"{choice.keep} is the one to keep: {choice.why}")
        answer = _answer()
        try:
            match answer:
                case "1" | "2":
                    kept, dropped = (first, second) if answer == "1" else (second, first)
                    merging.merge(lib, kept, dropped, judged=_in_order(pair, kept))
                    gone.add(dropped)
                case "f" | "d":
                    _decide(lib, first, second, "family" if answer == "f" else "different", pair.judged)
                case "n":
                    older, newer = _by_age(pair)
                    render.say(_decide(lib, older, newer, "redrawn", _in_order(pair, older)))
                    gone.add(newer)
                case "q":
                    return
        except AssetlibError as error:
            render.tell(f"{error.sentence}; {error.hint}" if error.hint else error.sentence)


def _answer() -> str:
    """One of the choices; anything else is asked again."""
    while True:
        answer: str = typer.prompt("1, 2, f, n, d, l or q", default="l", err=True).strip().lower()
        if answer in ("1", "2", "f", "n", "d", "l", "q"):
            return answer


def _by_age(pair: Pair) -> tuple[str, str]:
    """The codes of a pair, the drawing that was there first before the other."""
    sides = sorted((side.card.id, side.card.code) for side in (pair.a, pair.b) if side.card)
    return sides[0][1], sides[1][1]


def _in_order(pair: Pair, first: str) -> tuple[Pinned, Pinned] | None:
    """What the two drawings of a pair were when they were compared, that of `first` before the other's."""
    if pair.judged is None or pair.a.code == first:
        return pair.judged
    return pair.judged[1], pair.judged[0]


def _show_pair(lib: Library, pair: Pair) -> None:
    from assetlib.cli import render

    rows = []
    for number, side in enumerate((pair.a, pair.b), 1):
        assert side.card is not None
        proof = lib.inside(lib.derived, side.card.proof) if side.card.proof else None
        rows.append((proof, f"{number}  {side.card.code}", (side.card.title, Path(side.source).name)))
    render.side_by_side(rows)
