"""What to suggest for a drawing, learned by counting from the drawings that are described.

Each way of guessing gives a chance that a word would be taken; chances are joined as independent reasons (noisy-or:
Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, 4.3.2). Nothing is trained: every figure is a count.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

What = tuple[str, str]
"""Facet and value, or `TAG` and what stands for the tag."""

TAG = "tag"
TITLE = "title"
NEW = "new:"
"""Stands before the value of a tag whose word the thesaurus does not have yet."""

# Tuned on openclipart's validation drawings, half described by folder; the others were set by eye and changed the
# precision of the first three by less than .01 when doubled or halved.
AROUND_CHANCE = 0.4  # of what the name of a sheet or file names: it holds for some of its drawings
NAMED_PRIOR, NAMED_WEIGHT = 0.9, 8.0  # the chance that a word named in the title is put on as a tag
WORD_WEIGHT = 5.0  # sheets and folders without a word's company that each word is given beforehand
PLACE_WEIGHT = 2.0  # the same for the drawings of one sheet or job
TOGETHER_WEIGHT = 3.0
TOGETHER_LEAST = 2  # drawings that must carry both words
NEIGHBOURS = 12
SHARPNESS = 14.0  # of a neighbour's weight by its likeness
DISTANT = 0.35  # likeness from which a neighbour says something at all
NEIGHBOUR_TRUST = 0.8
TRUST_TAKEN, TRUST_LEFT = 8.0, 1.0  # what each recipe is given before anything was taken or left
ALWAYS_LEFT = 3  # times left and never taken: it is not offered any more


class Offer(NamedTuple):
    """One suggestion: what, how sure (0 to 1), the recipe that gave the chief reason, and the reason in words."""

    what: What
    confidence: float
    recipe: str
    why: str


@dataclass(frozen=True, slots=True)
class Example:
    """A described drawing: words of its title, caption, sheet and job; what its title names; what stands on it."""

    words: frozenset[str]
    named: frozenset[What]
    carried: frozenset[What]
    group: str = ""
    """Its sheet or folder: a series counts once, so that it does not teach itself."""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A described drawing that looks like the one in question: likeness (cosine), what it carries, its title."""

    likeness: float
    carried: frozenset[What]
    title: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """What is known of a drawing: as an example's, and what is said of it so far; `read` is read from its picture."""

    words: frozenset[str]
    named: Mapping[What, str]
    """What the title and caption name, each with the word that names it."""
    broader: Mapping[What, str] = field(default_factory=dict)
    around: Mapping[What, str] = field(default_factory=dict)
    """What the name of its sheet or file names."""
    said: frozenset[What] = frozenset()
    left: frozenset[What] = frozenset()
    read: Mapping[What, tuple[float, str]] = field(default_factory=dict)
    """Chance and reason of what the picture itself tells."""


@dataclass(slots=True)
class Learned:
    """Counts over a library's described drawings, and over what was taken and left."""

    carried: Counter[What] = field(default_factory=Counter)
    worded: Counter[str] = field(default_factory=Counter)
    joint: dict[str, Counter[What]] = field(default_factory=lambda: defaultdict(Counter))
    together: dict[What, Counter[What]] = field(default_factory=lambda: defaultdict(Counter))
    named: Counter[What] = field(default_factory=Counter)
    kept: Counter[What] = field(default_factory=Counter)
    seen: set[tuple[str, What | None, str]] = field(default_factory=set, repr=False)
    taken: Counter[str | What] = field(default_factory=Counter)
    left: Counter[str | What] = field(default_factory=Counter)

    def learn(self, example: Example) -> None:
        """Count one more described drawing."""
        self.carried.update(example.carried)
        for word in example.words:
            self.worded[word] += self._is_new(word, None, example.group)
            for what in example.carried:
                self.joint[word][what] += self._is_new(word, what, example.group)
        for what in example.carried:
            self.together[what].update(example.carried - {what})
        self.named.update(example.named)
        self.kept.update(example.named & example.carried)

    def _is_new(self, word: str, what: What | None, group: str) -> bool:
        """Whether this group says so for the first time; drawings of no group count one by one."""
        key = (word, what, group)
        if ":" in word:  # the sheet or job itself: its drawings are what it says something of
            return True
        if group and key in self.seen:
            return False
        self.seen.add(key)
        return True

    def settle(self, what: What, recipe: str, *, taken: bool) -> None:
        """Count one suggestion that was taken or left."""
        counts = self.taken if taken else self.left
        counts[what] += 1
        counts[recipe] += 1

    def trust(self, recipe: str) -> float:
        """How often this recipe's suggestions are taken, from what was taken and left so far."""
        taken, left = self.taken[recipe] + TRUST_TAKEN, self.left[recipe] + TRUST_LEFT
        return taken / (taken + left) * (TRUST_TAKEN + TRUST_LEFT) / TRUST_TAKEN

    def welcome(self, what: What) -> float:
        """How welcome a word is by what was taken and left of it; 0 once it is always left."""
        taken, left = self.taken[what], self.left[what]
        return 0.0 if left >= ALWAYS_LEFT and not taken else (taken + 1) / (taken + left + 1)


def suggest(learned: Learned, question: Question, neighbours: Sequence[Neighbour], count: int) -> list[Offer]:
    """The `count` best suggestions, surest first; what is said of the drawing or was left on it is not among them."""
    reasons: dict[What, list[Offer]] = defaultdict(list)
    for offer in (
        *_named(learned, question),
        *_around(question),
        *_worded(learned, question),
        *_alike(neighbours),
        *_together(learned, question),
        # A recipe for each kind of what is read: who leaves every finish may still want to know who is drawn.
        *(Offer(what, chance, f"read {what[0]}", why) for what, (chance, why) in question.read.items()),
    ):
        reasons[offer.what].append(offer)
    away = question.said | question.left | _settled_facets(question.said)
    joined = [_joined(learned, offers) for what, offers in reasons.items() if what not in away]
    ranked = sorted(
        (o for o in joined if o.confidence > 0),
        key=lambda o: (-o.confidence, -learned.carried[o.what], o.what),
    )
    return _one_a_facet(ranked)[:count]


def _settled_facets(said: Iterable[What]) -> frozenset[What]:
    return frozenset(what for what in said if what[0] != TAG)


def _joined(learned: Learned, offers: Sequence[Offer]) -> Offer:
    """One offer from all its reasons; the strongest lends its words."""
    best = max(offers, key=lambda offer: offer.confidence)
    against = 1.0
    for recipe in {offer.recipe for offer in offers}:
        chance = max(offer.confidence for offer in offers if offer.recipe == recipe)
        # What one sheet's name says has nothing to do with another's: it is judged word by word.
        trust = 1.0 if recipe == "sheet" else learned.trust(recipe)
        against *= 1 - min(0.99, chance * trust)
    return best._replace(confidence=(1 - against) * learned.welcome(best.what))


def _one_a_facet(offers: Sequence[Offer]) -> list[Offer]:
    """The offers with no more than one value of a facet; tags may be many."""
    seen: set[str] = set()
    kept = []
    for offer in offers:
        if offer.what[0] == TAG or offer.what[0] not in seen:
            kept.append(offer)
            seen.add(offer.what[0])
    return kept


def _named(learned: Learned, question: Question) -> Iterable[Offer]:
    total, kept = sum(learned.named.values()), sum(learned.kept.values())
    prior = (kept + 4 * NAMED_PRIOR) / (total + 4)
    for what, word in question.named.items():
        chance = (learned.kept[what] + NAMED_WEIGHT * prior) / (learned.named[what] + NAMED_WEIGHT)
        yield Offer(what, chance, "title", f"says “{word}”")
    for what, word in question.broader.items():
        # A broader word is offered as far as this library uses it at all.
        seen = learned.carried[what]
        yield Offer(what, 0.5 * seen / (seen + 6), "broader", f"says “{word}”")


def _around(question: Question) -> Iterable[Offer]:
    for what, word in question.around.items():
        yield Offer(what, AROUND_CHANCE, "sheet", f"“{word}” in its sheet's name")


def _worded(learned: Learned, question: Question) -> Iterable[Offer]:
    for word in question.words:
        for what, both in learned.joint.get(word, Counter()).items():
            kind, colon, _ = word.partition(":")
            why = f"others of its {kind}" if colon else f"others with “{word}”"
            weight = PLACE_WEIGHT if colon else WORD_WEIGHT
            yield Offer(what, both / (learned.worded[word] + weight), kind if colon else "words", why)


def _alike(neighbours: Sequence[Neighbour]) -> Iterable[Offer]:
    near = sorted(neighbours, key=lambda n: -n.likeness)[:NEIGHBOURS]
    weights = [max(0.0, n.likeness - DISTANT) ** 2 * SHARPNESS for n in near]
    total = sum(weights) + 1.0
    votes: dict[What, float] = defaultdict(float)
    first: dict[What, Neighbour] = {}
    for neighbour, weight in zip(near, weights, strict=True):
        for what in neighbour.carried if weight else ():
            votes[what] += weight
            first.setdefault(what, neighbour)
    for what, vote in votes.items():
        title = first[what].title
        yield Offer(
            what,
            NEIGHBOUR_TRUST * vote / total,
            "likeness",
            f"looks like {title}" if title else "looks alike",
        )


def _together(learned: Learned, question: Question) -> Iterable[Offer]:
    for said in question.said:
        for what, both in learned.together.get(said, Counter()).items():
            if both >= TOGETHER_LEAST:
                chance = both / (learned.carried[said] + TOGETHER_WEIGHT)
                yield Offer(what, chance, "together", f"goes with {said[1]}")
