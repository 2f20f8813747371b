"""The pull sheet: for each shot of a list, the drawings that serve it, what has to be altered, what is to be drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sqlalchemy import select

from assetlib.catalogue.cards import Card
from assetlib.catalogue.entries import Entry
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.shots import grammar
from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.lacking import Answer
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.need_values import Need
from assetlib.rules.shots.needs import needs_of
from assetlib.rules.shots.serving import (
    HALF,
    LOOK_AT_IT,
    LOOKS_LIKE_IT,
    NO,
    YES,
    Judgement,
    judge,
    served,
    turned_away,
)
from assetlib.services.finding import search
from assetlib.services.finding.search import Asked, Found, Result
from assetlib.services.jobs.cutouts import drawing_of

OFFERED = 4
"""Most drawings that are offered for one need."""

_LOOKED_AT = 40
"""Results of each search that are judged: ten times what is offered."""

SAID = ("artist", "caption", "layer")
"""Where titles come from that somebody wrote; a file's or a sheet's name says little."""

_THINGS, _PLACES = ("element",), ("backdrop", "element")

Cautions = Callable[[Card], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Offer:
    """A drawing for a need: how it fits, why, what has to be altered, and what to mind before delivery."""

    card: Card
    fit: str
    score: float
    why: tuple[str, ...] = ()
    alter: tuple[str, ...] = ()
    warn: tuple[str, ...] = ()
    picked: bool = False
    whole: bool = False
    """Whether it fits all of the line, and so shows every other need as well."""


@dataclass(frozen=True, slots=True)
class NeedPulled:
    """A need with its offers, best first; `within` is the code of a drawing that shows it already."""

    need: Need
    offers: tuple[Offer, ...]
    within: str = ""
    judged: Mapping[int, Judgement] = field(default_factory=dict, compare=False, repr=False)
    """By entry, what was judged of all drawings that were looked at for it."""

    @property
    def fit(self) -> str:
        """How the need is served at best."""
        if self.within:
            return YES
        return self.offers[0].fit if self.offers else NO


@dataclass(frozen=True, slots=True)
class ShotPulled:
    """A shot with all its needs; `add` says what is still to be drawn where it is half served."""

    shot: Shot
    understood: dict[str, tuple[str, ...]]
    needs: tuple[NeedPulled, ...]
    served: str
    add: tuple[str, ...] = ()
    perhaps: tuple[Offer, ...] = ()
    """Where nothing serves it: drawings that nobody titled, and whose pictures tell whether they do."""
    change: str = ""
    """What became of it since the last pull: same, reworded, moved, new, omitted; empty at the first."""
    frames: tuple[str, ...] = ()

    @property
    def shown(self) -> tuple[NeedPulled, ...]:
        """The needs for which a drawing is shown: those with offers that no drawing of another need shows already."""
        return tuple(need for need in self.needs if need.offers and not need.within)

    @property
    def things(self) -> tuple[NeedPulled, ...]:
        """Those of them that are no place behind the shot."""
        return tuple(need for need in self.shown if need.need.kind != "place")

    @property
    def alter(self) -> tuple[str, ...]:
        """What has to be altered and drawn, over all needs."""
        told = [
            part
            for need in self.needs
            if need.need.kind != "place" and need.offers
            for part in need.offers[0].alter
        ]
        return tuple(dict.fromkeys([*told, *self.add]))


@dataclass(frozen=True, slots=True)
class Pull:
    """The pull sheet of a list."""

    job: str | None
    shots: tuple[ShotPulled, ...]
    omitted: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())
    kept: bool = False
    """Whether the list is now the job's."""
    is_other: bool = False
    """Whether it says so little of what the job has that it may be another job's; then it is not kept."""

    def count(self) -> dict[str, int]:
        """How many shots are drawn, half drawn and new."""
        told = [shot.served for shot in self.shots]
        return {"drawn": told.count(YES), "half": told.count(HALF), "new": told.count(NO)}


def no_cautions(_card: Card) -> tuple[str, ...]:
    """Nothing to mind: what is asked of drawings when no job is known."""
    return ()


def pull(
    lib: Library,
    shots: Sequence[Shot],
    *,
    cautions: Cautions = no_cautions,
    driver_side: str = "",
    progress: Progress = SILENT,
) -> list[ShotPulled]:
    """The shots with the drawings that serve them, in their order.

    `driver_side` is where the driver of this job sits, *left* or *right*; empty as the library's drawings have it.
    """
    taken_apart = [(shot, needs_of(shot)) for shot in shots]
    questions = [
        replace(question, driver_side=driver_side)
        for shot, needs in taken_apart
        for question in _questions(shot, needs)
    ]
    answers = progress.track(search.find_each(lib, questions), "looking through the library", len(questions))
    return list(_pulled(taken_apart, iter(answers), _Known(lib, cautions)))


class _Known:
    """What is known of drawings besides what finding says: their words, which have none, what is to be minded."""

    def __init__(self, lib: Library, cautions: Cautions) -> None:
        self.cautions = cautions
        self._drawings: dict[int, Drawing] = {}
        with lib.reading() as session:
            query = select(Entry.id).where(Entry.title_source.not_in(SAID), Entry.described_at.is_(None))
            self._unsaid = set(session.scalars(query))

    def is_silent(self, card: Card) -> bool:
        """Whether nobody said what a drawing shows, and the name of its file does not say it either."""
        return card.id in self._unsaid and not self.drawing(card).is_told

    def drawing(self, card: Card) -> Drawing:
        """What is said of the drawing on a card."""
        return self._drawings.setdefault(card.id, drawing_of(card))


def _questions(shot: Shot, needs: Sequence[Need]) -> Iterator[Asked]:
    """What is asked for a shot: all of it, then each need by itself."""
    yield Asked(shot.line, roles=_PLACES if needs[0].is_scene else _THINGS, limit=_LOOKED_AT)
    for need in needs:
        roles = _PLACES if need.is_scene else _THINGS
        yield Asked(need.asked or need.text, roles=roles, limit=_LOOKED_AT)


def _pulled(
    taken_apart: Iterable[tuple[Shot, tuple[Need, ...]]], answers: Iterator[Found], known: _Known
) -> Iterator[ShotPulled]:
    for shot, needs in taken_apart:
        whole = next(answers)
        found = []
        for need in needs:
            answer = next(answers)
            besides = whole if need is needs[0] and need.kind == "main" else None
            # the heading of a spot asks for no drawing
            results = () if whole.heading else answer.results
            found.append(_need_pulled(need, besides, results, known))
        understood = grammar.read_line(shot.line).facets
        yield settled(ShotPulled(shot, understood, tuple(found), NO, perhaps=_perhaps(whole, known)))


def _perhaps(whole: Found, known: _Known) -> tuple[Offer, ...]:
    """What finding ranks first for a line that nothing serves, where no word says what the drawings show.

    What they lack of the line may only be missing in the names of their files.
    """
    offers = []
    for result in whole.results:
        unmet = result.verdict.unmet
        seen = result.fit != "near" or result.score >= LOOKS_LIKE_IT
        if seen and known.is_silent(result.card) and not result.verdict.against:
            look = f"{LOOK_AT_IT}, which says nothing of {', '.join(unmet)}" if unmet else LOOK_AT_IT
            minded = known.cautions(result.card)
            offers.append(Offer(result.card, NO, result.score, tuple(result.verdict.why), (look,), minded))
    return tuple(offers[:OFFERED])


def _need_pulled(need: Need, whole: Found | None, results: Iterable[Result], known: _Known) -> NeedPulled:
    """A need with what serves it: first what fits all of the line, then what fits the need, then what half does.

    Among those the ones come first that meet more of the whole line.
    """
    of_line = [result for result in whole.results if result.fit != "near"] if whole else []
    fits_all = {result.card.id for result in of_line if result.fit == "fits"}
    order = {result.card.id: place for place, result in enumerate(of_line)}
    rows = {result.card.id: result for result in (*(r for r in of_line if r.fit == "fits"), *results)}
    judged, offers = {}, []
    least = max((result.score for result in rows.values() if result.fit != "near"), default=0.0)
    for place, (entry, result) in enumerate(rows.items()):
        if result.fit == "near" and result.score < least:
            continue  # it looks like what carries the line, and says less of it
        answer = replace(answer_of(result), is_silent=known.is_silent(result.card))
        judged[entry] = judgement = judge(need, answer, known.drawing(result.card))
        if judgement.fit == NO:
            continue
        minded = known.cautions(result.card)
        whole_line = entry in fits_all and judgement.fit == YES
        warnings = (*minded, *filter(None, [result.verdict.minding]))
        offer = Offer(result.card, judgement.fit, judgement.score, judgement.why, judgement.alter, warnings,
                      whole=whole_line)  # fmt: skip
        last = bool(minded) or (need.kind == "place" and result.card.role != "backdrop")
        rank = order.get(entry, len(order)), place
        looked = LOOK_AT_IT in judgement.alter
        away = not offer.whole and turned_away(need, known.drawing(result.card))
        offers.append((last, judgement.fit != YES, looked, (not offer.whole, away, *rank), offer))
    offers.sort(key=lambda row: row[:4])
    return NeedPulled(need, tuple(row[4] for row in offers[:OFFERED]), judged=judged)


def answer_of(result: Result) -> Answer:
    """What finding says of a drawing, in the words that judging wants."""
    verdict = result.verdict
    mirror = verdict.mirror or bool(verdict.wrong_side)
    unmet = tuple(text for text in verdict.unmet if text not in verdict.against)
    return Answer(
        tuple(verdict.why),
        unmet,
        tuple(verdict.against),
        mirror,
        result.score,
        verdict.read_as,
        result.fit == "near",
    )


def settled(pulled: ShotPulled) -> ShotPulled:
    """The shot with what its offers come to: a need that another's drawing shows already asks for none."""
    leader = next((need.offers[0] for need in pulled.needs if need.need.kind == "main" and need.offers), None)
    needs = []
    for place, need in enumerate(pulled.needs):
        free = need.need.kind == "place" or (need.offers and need.offers[0].picked)
        inside = ""
        if leader is not None and place and not free and pulled.needs[0].offers[:1] == (leader,):
            shown = need.judged.get(leader.card.id)
            inside = leader.card.code if leader.whole or (shown and shown.fit == YES) else ""
        needs.append(replace(need, within=inside))
    fit, add = served([(need.need, need.fit) for need in needs])
    perhaps = pulled.perhaps if fit == NO else ()
    return replace(pulled, needs=tuple(needs), served=fit, add=tuple(add), perhaps=perhaps)
