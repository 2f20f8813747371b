"""The demo's walk: from a folder of drawings to a sealed bundle, each step said and shown."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.cli import render
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing import cutting, intake
from assetlib.services.describing import tagging
from assetlib.services.doubles import settling
from assetlib.services.finding import browsing, search
from assetlib.services.keeping import demo, upkeep
from assetlib.services.trade import bundling, clearance, collections

if TYPE_CHECKING:
    from assetlib.library import Library

COLLECTION = "Bakery and ferry"

SHOWN_PAIRS = 2
"""Pairs of doubles that are shown; the command goes through all of them."""

ALIKE = "bike w basket.png"
"""The drawing whose like is looked for."""


def walk(folder: Path | None) -> None:
    """Build the demo library and walk the main job through it."""
    lib = demo.start_demo(folder)
    try:
        _bring_in(lib)
        _cut(lib)
        _settle_doubles(lib)
        _find(lib)
        _find_alike(lib)
        _describe(lib)
        _sell(lib)
        _next(lib)
    finally:
        lib.close()


def _heading(number: int, text: str) -> None:
    render.out.print()
    render.out.print(f"{number}  {text}", style="bold cyan", markup=False)


def _bring_in(lib: Library) -> None:
    drawings = demo.demo_drawings()
    _heading(1, "Bring drawings in: sheets, single drawings, backdrops")
    bar = render.Bar()
    added = 0
    for name, role in (("sheets", "sheet"), ("singles", "element"), ("backdrops", "backdrop")):
        report = intake.bring_in(lib, [drawings / name], intake.Wishes(role=role), progress=bar)
        added += len(report.added)
        for known in report.known:
            render.say(f"known already: {Path(known.source).name} is {known.code} ({known.how})")
    render.say(f"{render.plural(added, 'picture')} in {lib.folder}")


def _cut(lib: Library) -> None:
    _heading(2, "Cut the sheets into elements")
    titles = demo.told_titles()
    sheets = search.find(lib, search.Asked(roles=("sheet",)))
    for result in reversed(sheets.results):
        (cut,) = cutting.cut_sheet(lib, result.card.code)
        render.say(f"{result.card.code}  {result.card.title}: {render.plural(len(cut.elements), 'drawing')}")
        for out, title in zip(cut.elements, titles.get(Path(cut.source).name, []), strict=False):
            tagging.describe(lib, [out.code or ""], tagging.Description(title=title))
    upkeep.work_off(lib, progress=render.Bar())
    render.say("An artist writes a title under most of them after the job; here that is done.")


def _settle_doubles(lib: Library) -> None:
    _heading(3, "See what is there twice")
    found = [
        pair
        for pair in settling.pairs(lib, kinds=(DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING))
        if pair.undecided
    ]
    for pair in found[:SHOWN_PAIRS]:
        sides = [side.card for side in (pair.a, pair.b) if side.card]
        shown = [browsing.shown(lib, card) for card in sides]
        render.side_by_side([(card.proof, card.code, (card.title,)) for card in shown])
        render.say(f"{pair.kind.replace('-', ' ')}{''.join(f', {how}' for how in pair.how)}")
    render.say("`assetlib doubles` goes through them: keep one, make them a family, or never ask again")


def _find_alike(lib: Library) -> None:
    sketch = demo.demo_drawings() / "singles" / ALIKE
    _heading(5, f"Find what looks like a picture: {sketch.stem}")
    found = search.find(lib, search.Asked(like=(str(sketch),), limit=3))
    shown = [browsing.shown(lib, result.card) for result in found.results]
    render.cards([(card.proof, card.code, (card.title, render.facet_words(card.facets))) for card in shown])


def _show(lib: Library, text: str, limit: int = 3) -> list[str]:
    found = search.find(lib, search.Asked(text, limit=limit))
    rows = []
    for result in found.results:
        card = browsing.shown(lib, result.card)
        rows.append(
            (card.proof, card.code, (card.title, render.facet_words(card.facets), "; ".join(result.why)))
        )
    render.cards(rows)
    render.say(f"{render.plural(found.total, 'drawing')} found")
    return [result.card.code for result in found.results]


def _find(lib: Library) -> None:
    line = "hood mount two-shot, driver and baker"
    _heading(4, f'Find what fits a line of the shot list: "{line}"')
    _show(lib, line)


def _describe(lib: Library) -> None:
    _heading(6, 'Describe what came in: the first five found by "phone" get a tag and a shot size')
    codes = [r.card.code for r in search.find(lib, search.Asked("phone", limit=5)).results]
    description = tagging.Description(add=("hand and phone",), set=("shot_size=CU",))
    described = tagging.describe(lib, codes, description)
    render.say(f"{render.plural(len(described), 'drawing')} described; `assetlib undo` would take it back")
    _show(lib, "CU mobile")


def _sell(lib: Library) -> None:
    _heading(7, "Sell a collection: say where each drawing came from")
    elements = [r.card.code for r in search.find(lib, search.Asked(roles=("element",), limit=8)).results]
    question = Question
    own = (
        (question.ORIGIN, "out-of-the-head"),
        (question.OWNERSHIP, "own"),
        (question.DEPICTS, "none"),
        (question.AI, "none"),
    )
    clearance.answer(lib, elements[1:], clearance.Statement(own))
    traced = ((question.ORIGIN, "traced-from-found"), *own[1:])
    (blocked,) = clearance.answer(
        lib, elements[:1], clearance.Statement(traced, whose="a photographer, unknown")
    )
    render.say(f"{len(elements) - 1} drawn out of the head: clear")
    render.say(
        f"{blocked.card.code} traced from a found photograph: {blocked.verdict.state.value}, it stays out"
    )
    collections.make(lib, COLLECTION)
    collections.put(lib, COLLECTION, elements[1:])
    collections.choose_licence(lib, COLLECTION, "one artist")
    _heading(8, "Seal the bundle and check it")
    issue = bundling.build(lib, COLLECTION, progress=render.Bar())
    checked = bundling.verify(issue.path)
    render.say(f"{issue.path}")
    render.say(f"{render.plural(len(issue.drawings), 'drawing')}, {issue.bytes / 1024:,.0f} kB, "
               f"{'as it was sealed' if checked.ok else 'damaged'}")  # fmt: skip
    render.say(blocked.verdict.notice)


def _next(lib: Library) -> None:
    render.out.print()
    render.out.print("Try next", style="bold cyan")
    where = f'--library "{lib.folder}"'
    render.out.print(f"  assetlib {where} find two women queueing", markup=False, soft_wrap=True)
    render.out.print(
        f'  assetlib {where} find --each "{demo.demo_drawings() / "shot_list.txt"}"',
        markup=False,
        soft_wrap=True,
    )
    render.out.print(f"  assetlib {where} intake FOLDER-OF-YOUR-OWN-DRAWINGS", markup=False, soft_wrap=True)
