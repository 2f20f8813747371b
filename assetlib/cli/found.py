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


def document(lib: Library, found: Found) -> dict[str, Any]:
    """The answer as JSON."""
    return {
        "query": found.query,
        "heading": found.heading,
        "understood": found.understood,
        "total": found.total,
        "fitting": found.fitting,
        "results": [_row(lib, result) for result in found.results],
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
    results = _worth_showing(found)
    fits, partly, near = (tuple(r for r in results if r.fit == fit) for fit in ("fits", "partly", "near"))
    number = 1
    if not fits and found.query.strip():
        render.say(_nothing(found, partly, near))
    for heading, strip in (
        ("", fits),
        ("In part" if fits else "", partly),
        (_near_heading(fits, partly, found), near),
    ):
        if strip:
            if heading:
                render.out.print(heading, style="bold", markup=False)
            _strip(lib, strip, number)
            number += len(strip)
    _sum_up(found, results)
    return [result.card.code for result in (*fits, *partly, *near)]


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
        return f"Nothing here shows {found.query.strip() if short else what}.{' Nearest:' if near else ''}"
    lacks = f"; the best lacks {what}" if partly[0].unmet and wanted else ""
    return f"Nothing fits for sure{lacks}. In part:"


def _near_heading(fits: tuple[Result, ...], partly: tuple[Result, ...], found: Found) -> str:
    if not found.query.strip():
        return "" if not fits else "Looks like it"
    return "Looks like it" if fits or partly else ""


def _strip(lib: Library, strip: tuple[Result, ...], first: int) -> None:
    from assetlib.cli import render
    from assetlib.services.finding.browsing import shown

    rows = []
    for number, result in enumerate(strip, first):
        card = shown(lib, result.card)
        rows.append((card.proof, f"{number}  {card.code}", (card.title, reason(result))))
    render.cards(rows)


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
