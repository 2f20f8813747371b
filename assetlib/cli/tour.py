"""The demo's walk: a line of the shot list and the drawing for it first, then all the way to a sealed bundle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.cli import found as answers
from assetlib.cli import render
from assetlib.cli.wording import how_words
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.rules.rights.clearance import PaperKind, Question
from assetlib.services.bringing import cutting, intake
from assetlib.services.describing import tagging
from assetlib.services.doubles import settling
from assetlib.services.finding import browsing, likeness, search, showing
from assetlib.services.keeping import demo, upkeep
from assetlib.services.trade import bundling, clearance, collections, releases, sales, signing_key

if TYPE_CHECKING:
    from assetlib.library import Library

COLLECTION = "Bakery and ferry"

OWNER, BUYER = "Island Ferry Line", "Two Gulls Studio"
"""Invented: whose the ferry's things are, and who buys the collection."""

SHOWN_PAIRS = 2
"""Pairs of doubles that are shown; the command goes through all of them."""

FIRST_SHEET = "BAKERY_van_interiors_v3.png"
"""The sheet that is brought in first: what serves the line is on it."""

LINE = "hood mount two-shot, driver and baker"

SCRAWL = "two in a van, scrawl.jpg"
"""A rough sketch on paper, photographed on a table."""

WORD = "two-shot"
"""Said beside the sketch: by its lines alone it looks as much like the drawing of one driver."""

STREET = "bakery street 1pt_bg.png"

STANDS = 0.42
"""Share of the street's width that the drawing takes when it is laid over it."""


def walk(folder: Path | None) -> None:
    """Build the demo library and walk the main job through it: what serves a shot first, all else after."""
    lib = demo.start_demo(folder)
    try:
        first = _find_first(lib)
        _lay_over_street(lib, first)
        _find_by_sketch(lib)
        _bring_in(lib)
        _cut(lib)
        _settle_doubles(lib)
        _describe(lib)
        _sell(lib)
        _next(lib)
    finally:
        lib.close()


def _heading(number: int, text: str) -> None:
    render.out.print()
    render.out.print(f"{number}  {text}", style="bold cyan", markup=False)


def _find_first(lib: Library) -> str:
    """One sheet brought in and cut, and the drawing on it that serves a line of the shot list; returns its code."""
    _heading(1, f'A line of the shot list: "{LINE}"')
    sheet = demo.demo_drawings() / "sheets" / FIRST_SHEET
    (added,) = intake.bring_in(lib, [sheet], intake.Wishes(role="sheet")).added
    _cut_one(lib, added.code)
    upkeep.work_off(lib, _only(lib, "proof"))
    found = search.find(lib, search.Asked(LINE, limit=3))
    best = found.results[0]
    shown = browsing.shown(lib, best.card)
    render.picture(shown.proof)
    render.say(f"{best.card.code}  {best.card.title}")
    others = ", ".join(result.card.title for result in found.results[1:])
    render.say(f"It meets more of the line than any other on this sheet. In part: {others}")
    return best.card.code


def _only(lib: Library, *kinds: str) -> list[upkeep.Derivation]:
    return [row for row in upkeep.derivations(lib) if row.kind in kinds]


def _lay_over_street(lib: Library, code: str) -> None:
    """Its clean copy, over a street that was drawn elsewhere: the line stays, the body hides what is behind."""
    from PIL import Image

    _heading(2, "Its clean copy, laid over a street")
    copy = showing.show(lib, code, clean=True)
    with Image.open(demo.demo_drawings() / "backdrops" / STREET) as opened:
        street = opened.convert("RGB")
    with Image.open(copy.body or copy.original) as opened:
        drawing = opened.convert("RGBA")
    wide = round(street.width * STANDS)
    drawing = drawing.resize((wide, round(drawing.height * wide / drawing.width)), Image.Resampling.LANCZOS)
    street.paste(drawing, ((street.width - wide) // 2, street.height - drawing.height), drawing)
    path = lib.folder.parent / "over the street.png"
    street.save(path)
    render.picture(path)
    render.say(f"Ink and body on clear ground: {copy.body}")
    render.say(f"Over the street: {path}")


def _find_by_sketch(lib: Library) -> None:
    _heading(3, f"A rough sketch, photographed on the table, and one word, {WORD}, find it too")
    upkeep.work_off(lib, _only(lib, "vector"))
    likeness.build(lib)
    sketch = demo.demo_drawings() / "sketches" / SCRAWL
    found = search.find(lib, search.Asked(WORD, sketch=(sketch,), limit=1))
    cards = [browsing.shown(lib, result.card) for result in found.results]
    found_it = [(card.proof, card.code, (card.title, "found")) for card in cards]
    render.side_by_side([(sketch, "your sketch", (sketch.stem,)), *found_it])


def _bring_in(lib: Library) -> None:
    drawings = demo.demo_drawings()
    _heading(4, "Bring the other drawings in: sheets, single drawings, backdrops")
    bar = render.Bar()
    added = 0
    for name, role in (("sheets", "sheet"), ("singles", "element"), ("backdrops", "backdrop")):
        report = intake.bring_in(lib, [drawings / name], intake.Wishes(role=role), progress=bar)
        added += len(report.added)
        for known in report.known:
            render.say(f"known already: {Path(known.source).name} is {known.code} ({known.how})")
    render.say(f"{render.plural(added, 'picture')} in {lib.folder}")


def _cut(lib: Library) -> None:
    _heading(5, "Cut the sheets into elements")
    sheets = search.find(lib, search.Asked(roles=("sheet",)))
    for result in reversed(sheets.results):
        if Path(result.card.source).name != FIRST_SHEET:
            count = _cut_one(lib, result.card.code)
            render.say(f"{result.card.code}  {result.card.title}: {render.plural(count, 'drawing')}")
    upkeep.work_off(lib, progress=render.Bar())
    render.say("An artist writes a title under most of them after the job; here that is done.")


def _cut_one(lib: Library, code: str) -> int:
    """Cut a sheet and give its drawings the titles that the artist would write; returns how many there are."""
    (cut,) = cutting.cut_sheet(lib, code)
    titles = demo.told_titles().get(Path(cut.source).name, [])
    codes = [out.code or "" for out in cut.elements]
    demo.put_titles(lib, dict(zip(codes, titles, strict=False)))
    return len(cut.elements)


def _settle_doubles(lib: Library) -> None:
    _heading(6, "See what is there twice")
    found = [
        pair
        for pair in settling.pairs(lib, kinds=(DoubleKind.SAME_PICTURE, DoubleKind.SAME_DRAWING))
        if pair.undecided
    ]
    for pair in found[:SHOWN_PAIRS]:
        sides = [side.card for side in (pair.a, pair.b) if side.card]
        shown = [browsing.shown(lib, card) for card in sides]
        render.side_by_side([(card.proof, card.code, (card.title,)) for card in shown])
        render.say(f"{pair.kind.replace('-', ' ')}{f', {how_words(pair.how)}' if pair.how else ''}")
    render.say("`assetlib doubles` goes through them: keep one, make them a family, or never ask again")


def _show(lib: Library, text: str, limit: int = 3) -> list[str]:
    found = search.find(lib, search.Asked(text, limit=limit))
    answers.show(lib, found)
    return [result.card.code for result in found.results]


def _describe(lib: Library) -> None:
    _heading(7, 'Describe what came in: the first five found by "phone" get a tag and a shot size')
    codes = [r.card.code for r in search.find(lib, search.Asked("phone", limit=5)).results]
    description = tagging.Description(add=("hand and phone",), set=("shot_size=CU",))
    described = tagging.describe(lib, codes, description)
    render.say(f"{render.plural(len(described), 'drawing')} described; `assetlib undo` would take it back")
    _show(lib, "CU mobile")


def _sell(lib: Library) -> None:
    _heading(8, "Sell a collection: say where each drawing came from")
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
    _release(lib, elements[1])
    collections.make(lib, COLLECTION)
    collections.put(lib, COLLECTION, elements[1:])
    collections.choose_licence(lib, COLLECTION, "one artist")
    _heading(9, "Seal the bundle, check it, and issue a buyer's certificate")
    issue = bundling.build(lib, COLLECTION, progress=render.Bar())
    checked = bundling.verify(issue.path, signing_key.public_key(lib).fingerprint)
    render.say(f"{issue.path}")
    render.say(f"{render.plural(len(issue.drawings), 'drawing')}, {issue.bytes / 1024:,.0f} kB, "
               f"{'as it was sealed' if checked.ok else 'damaged'}")  # fmt: skip
    render.say(f"signed with the library's key, {checked.told.key if checked.told else 'none'}")
    sold = sales.issue(lib, issue.code, BUYER, lib.folder.parent, price="120 EUR")
    render.say(f"{sold.buyer} gets a certificate with it: {sold.files[-1]}")
    render.say(blocked.verdict.notice)


def _release(lib: Library, code: str) -> None:
    """A drawing that shows what belongs to somebody: a question until the release is kept that the owner signed."""
    statement = clearance.Statement(((Question.DEPICTS, "property"),))
    (before,) = clearance.answer(lib, [code], statement)
    signed = releases.NewRelease(PaperKind.PROPERTY_RELEASE, OWNER, lib.now().date(), place="binder 3")
    kept = releases.add(lib, signed, [code])
    (after,) = clearance.clearance(lib, [code])
    render.say(f"{code} {before.card.title}, which can be recognised as theirs: {before.verdict.state.value}; "
               f"with the property release {kept.code} of {OWNER}: {after.verdict.state.value}")  # fmt: skip


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
