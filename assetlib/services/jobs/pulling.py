"""The pull sheet: for each shot of a list, the drawings that serve it, what has to be altered, what is to be drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from assetlib.catalogue.cards import Card
from assetlib.library import Library
from assetlib.progress import SILENT, Progress
from assetlib.rules.shots import grammar
from assetlib.rules.shots.lists.values import Shot
from assetlib.rules.shots.needs import Need, needs_of
from assetlib.rules.shots.serving import HALF, NO, YES, Drawing, judge, served
from assetlib.services.finding import search
from assetlib.services.finding.search import Asked, Found
from assetlib.services.jobs.cutouts import drawing_of

OFFERED = 4
"""Most drawings that are offered for one need."""

_LOOKED_AT = 24
"""Results of each search that are judged: six times what is offered."""

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


@dataclass(frozen=True, slots=True)
class NeedPulled:
    """A need with its offers, best first; `within` is the code of a drawing that shows it already."""

    need: Need
    offers: tuple[Offer, ...]
    within: str = ""

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
    change: str = ""
    """What became of it since the last pull: same, reworded, moved, new, omitted; empty at the first."""
    frames: tuple[str, ...] = ()

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
    progress: Progress = SILENT,
) -> list[ShotPulled]:
    """The shots with the drawings that serve them, in their order."""
    taken_apart = [(shot, needs_of(shot)) for shot in shots]
    questions = [question for shot, needs in taken_apart for question in _questions(shot, needs)]
    answers = progress.track(search.find_each(lib, questions), "looking through the library", len(questions))
    return list(_pulled(taken_apart, iter(answers), cautions))


def _questions(shot: Shot, needs: Sequence[Need]) -> Iterator[Asked]:
    """What is asked for a shot: all of it, then each need by itself."""
    yield Asked(shot.text, roles=_THINGS, limit=_LOOKED_AT)
    for need in needs:
        roles = _PLACES if need.kind == "place" else _THINGS
        yield Asked(need.text, roles=roles, limit=_LOOKED_AT)


def _pulled(
    taken_apart: Iterable[tuple[Shot, tuple[Need, ...]]], answers: Iterator[Found], cautions: Cautions
) -> Iterator[ShotPulled]:
    known: dict[int, Drawing] = {}
    for shot, needs in taken_apart:
        whole = next(answers)
        found = []
        for need in needs:
            answer = next(answers)
            cards = [
                result.card for result in (*answer.results, *(whole.results if need.kind != "place" else ()))
            ]
            found.append(NeedPulled(need, _offers(need, cards, known, cautions)))
        yield settled(ShotPulled(shot, grammar.read_line(shot.line).facets, tuple(found), NO))


def _offers(
    need: Need, cards: Iterable[Card], known: dict[int, Drawing], cautions: Cautions
) -> tuple[Offer, ...]:
    """The drawings among these that serve a need, best first; none that does not serve it."""
    offers = []
    for place, card in enumerate({card.id: card for card in cards}.values()):
        drawing = known.setdefault(card.id, drawing_of(card))
        judged = judge(need, drawing)
        if judged.fit != NO:
            warn = cautions(card)
            offer = Offer(card, judged.fit, judged.score, judged.why, judged.alter, warn)
            first = bool(warn) or (need.kind == "place" and card.role != "backdrop")
            offers.append((first, judged.fit != YES, -judged.score, place, offer))
    offers.sort(key=lambda row: row[:4])
    return tuple(row[4] for row in offers[:OFFERED])


def settled(pulled: ShotPulled) -> ShotPulled:
    """The shot with what its offers come to: a need that another's drawing shows already asks for none."""
    leader = next((need.offers[0] for need in pulled.needs if need.need.kind == "main" and need.offers), None)
    needs = []
    for place, need in enumerate(pulled.needs):
        inside = ""
        if (
            leader is not None
            and place
            and need.need.kind != "place"
            and not (need.offers and need.offers[0].picked)
        ):
            shown = judge(need.need, drawing_of(leader.card))
            inside = leader.card.code if shown.fit == YES and pulled.needs[0].offers[:1] == (leader,) else ""
        needs.append(replace(need, within=inside))
    fit, add = served([(need.need, need.fit) for need in needs])
    return replace(pulled, needs=tuple(needs), served=fit, add=tuple(add))
