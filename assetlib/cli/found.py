"""The answer of a search: three strips on the screen, the same in JSON, codes for a pipe."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from assetlib.library import Library
    from assetlib.services.finding.search import Found, Result

HEADING = "that is a heading of the list, no shot: nothing was looked for"

LONGEST_ECHO = 30
"""Letters up to which a line is said again as it was typed."""

MOST_NAMED = 4
"""Parts of a line that are named where nothing shows them."""

TRY_NEXT = "try fewer or other words; what no words describe yet: assetlib find --in-tray"
"""What to do where nothing fits and no sheet is called so."""


def document(lib: Library, found: Found) -> dict[str, Any]:
    """The answer as JSON."""
    return {
        "query": found.query,
        "heading": found.heading,
        "understood": found.understood,
        "total": found.total,
        "fitting": found.fitting,
        "results": [_row(lib, result) for result in found.results],
        "named_after_sheet": [{"code": card.code, "title": card.title} for card in found.by_sheet],
        "named_after_sheet_total": found.by_sheet_total,
    }


def _row(lib: Library, result: Result) -> dict[str, Any]:
    from assetlib.storage.blobs import as_digest

    card = result.card
    return {
        "code": card.code,
        "uuid": card.uuid,
        "as": card.role,
        "title": card.title,
        "fit": result.fit,
        "unmet": list(result.unmet),
        "mirror": result.mirror,
        "why": list(result.why),
        "score": result.score,
        "source": card.source,
        "file": str(lib.originals.path(as_digest(card.original))),
        "proof": str(lib.inside(lib.derived, card.proof)) if card.proof else None,
        "facets": card.facets,
        "tags": list(card.tags),
    }


def none_fits(found: Found) -> str:
    """The line of a pipe into which nothing that fits is handed, with what to do next."""
    part = found.total - found.fitting
    said = f"none fits, {part:,} in part" if part else "none fits"
    if not found.by_sheet:
        return said if part else f"{said}; {TRY_NEXT}"
    are = "is" if found.by_sheet_total == 1 else "are"
    return f"{said}; {found.by_sheet_total:,} {are} only named after the sheet: {_all_of_sheets(found)}"


def _all_of_sheets(found: Found) -> str:
    """The command that shows what the sheets hold."""
    named = " ".join(f"--sheet {code}" for code in found.sheets[:MOST_NAMED])
    return f"assetlib show {named or ' '.join(card.code for card in found.by_sheet[:MOST_NAMED])}"


def piped(found: Found) -> tuple[Result, ...]:
    """The results that are handed on: what fits or meets part of the line; all where only pictures were asked for."""
    handed = tuple(result for result in found.results if result.fit != "near")
    return handed if handed or found.query.strip() else found.results


def show(lib: Library, found: Found) -> list[str]:
    """The strips, told apart, best first; returns the codes in the order in which they are numbered."""
    from assetlib.cli import render

    if found.heading:
        render.say(HEADING)
        return []
    results = tuple(r for r in _worth_showing(found) if r.fit != "near" or r.card not in found.by_sheet)
    fits, partly, near = (tuple(r for r in results if r.fit == fit) for fit in ("fits", "partly", "near"))
    number = 1
    if not fits and found.query.strip():
        render.say(_nothing(found, partly, near))
    for heading, strip in (("", fits), ("In part" if fits else "", partly)):
        number = _headed(lib, heading, strip, number)
    number = _strip_by_sheet(lib, found, number)
    _headed(lib, _near_heading(fits, partly, found), near, number)
    _sum_up(found, results)
    if found.query.strip() and not (fits or partly or found.by_sheet):
        render.say(f"{TRY_NEXT[0].upper()}{TRY_NEXT[1:]}")
    by_sheet = [card.code for card in found.by_sheet]
    return [*(r.card.code for r in (*fits, *partly)), *by_sheet, *(r.card.code for r in near)]


def _headed(lib: Library, heading: str, strip: tuple[Result, ...], first: int) -> int:
    """A strip below its heading, if there is anything on it; gives the number of the next row."""
    from assetlib.cli import render

    if strip and heading:
        render.out.print(heading, style="bold", markup=False)
    if strip:
        _strip(lib, strip, first)
    return first + len(strip)


FITTING_ENOUGH = 3
"""From so many drawings that fit, what only looks like the line is left away."""


def _worth_showing(found: Found) -> tuple[Result, ...]:
    """The good ones: what only looks like the line stays away where enough fits, and is three at the most otherwise."""
    if not found.query.strip() or len(found.on("fits")) == len(found.results):
        return found.results
    fits, partly, near = (found.on(fit) for fit in ("fits", "partly", "near"))
    if len(fits) >= FITTING_ENOUGH:
        return (*fits, *(partly[:FITTING_ENOUGH]))
    room = FITTING_ENOUGH - (len(fits) + len(partly) if fits else 0)
    return (*fits, *partly, *near[: max(0, room)])


def _nothing(found: Found, partly: tuple[Result, ...], near: tuple[Result, ...]) -> str:
    """*Nothing here shows a cop. Nearest:*"""
    wanted = [part for part in found.wanted if not partly or part in partly[0].unmet]
    what = ", ".join(wanted[:MOST_NAMED]) if wanted else found.query
    if not partly:
        short = len(found.query) <= LONGEST_ECHO and not found.understood
        shows = f"Nothing here shows {found.query.strip() if short else what}"
        if found.by_sheet:
            carry = "drawing carries" if found.by_sheet_total == 1 else "drawings carry"
            return f"{shows} for sure; {found.by_sheet_total:,} {carry} it in the name of the sheet."
        return f"{shows}.{' Nearest:' if near else ''}"
    lacks = f"; the best lacks {what}" if partly[0].unmet and wanted else ""
    return f"Nothing fits for sure{lacks}. In part:"


def _near_heading(fits: tuple[Result, ...], partly: tuple[Result, ...], found: Found) -> str:
    if not found.query.strip():
        return "" if not fits else "Looks like it"
    return "Looks like it" if fits or partly or found.by_sheet else ""


def _strip(lib: Library, strip: tuple[Result, ...], first: int) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.browsing import shown

    rows = []
    for number, result in enumerate(strip, first):
        card = shown(lib, result.card)
        rows.append((card.proof, f"{number}  {card.code}", (card.title, reason(result))))
    render.cards(rows)


def _strip_by_sheet(lib: Library, found: Found, first: int) -> int:
    """What only the name of its sheet says: a strip of its own, never counted as fitting; gives the next number."""
    from assetlib.cli import render
    from assetlib.services.finding.browsing import shown

    if not found.by_sheet:
        return first
    render.out.print("Named after their sheet", style="bold", markup=False)
    cards = [shown(lib, card) for card in found.by_sheet]
    render.cards([(card.proof, f"{k}  {card.code}", (card.title,)) for k, card in enumerate(cards, first)])
    if len(cards) < found.by_sheet_total:
        render.say_whole(f"{len(cards)} of {found.by_sheet_total:,} shown; all: {_all_of_sheets(found)}")
    return first + len(cards)


def reason(result: Result) -> str:
    """Why a drawing is here, or what it lacks, in few plain words; what its title says is not said again."""
    against = {f"no {why.removeprefix('shows ')}" for why in result.why if why.startswith("shows ")}
    missing = [part for part in result.unmet if part not in against]
    title = result.card.title.casefold()
    said = [why for why in result.why if why.casefold() not in title] if result.fit != "near" else []
    return "; ".join([*said, *([f"without {', '.join(missing)}"] if missing else [])])


def _sum_up(found: Found, results: tuple[Result, ...]) -> None:
    from assetlib.cli import render

    shown = sum(1 for result in results if result.fit != "near") if found.query.strip() else len(results)
    if not found.query.strip():
        more = f", the best {shown} shown" if shown < found.total else ""
        render.say(f"{render.plural(found.total, 'drawing')}{more}")
        return
    part = found.total - found.fitting
    said = [f"{found.fitting:,} {'fits' if found.fitting == 1 else 'fit'}"] if found.fitting else []
    said += [f"{part:,} in part"] if part else []
    said += [f"the best {shown} shown"] if shown < found.total else []
    if said:
        render.say(", ".join(said))
