"""How good suggested tags are, to be run by hand.

python -m tests.bench.suggestions [--part val] [--draws 5]

Debian's openclipart-svg. Whole folders are described or not, so that a series does not teach itself. Asked are drawings
of the part, which neither the look-alike model nor the suggestions were tuned on (lookalikes_split.json); truth is each
one's own keywords, what is suggested comes from its title and its picture. The described library is the rest of the
part with words and vectors, and the words alone of the drawings that the model was trained on: their vectors know
their words already. Side by side, on the same drawings: the library's most frequent tags, a plain vote of the nearest
described drawings, and the suggestions. Tuned on the validation part, reported on the test part.
"""

from __future__ import annotations

import argparse
import json
import re
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from assetlib.rules.words import thesaurus
from assetlib.rules.words.learning import TAG, Example, Learned, Neighbour, Question, What, suggest
from assetlib.rules.words.tags import fold
from assetlib.vectors.encoders import open_encoder
from assetlib.vectors.training.collect import openclipart
from assetlib.vectors.training.sources import OPENCLIPART_FOLDER
from tests.bench.lookalikes import _SPLIT, grey_rgba, held_out

VOTERS = 10


class Drawings:
    """Titles, keywords, folders and vectors of one part."""

    def __init__(self, part: str, cache: Path | None) -> None:
        drawings, _, line = held_out(part)
        stored = cache / f"{part}-line.npy" if cache else None
        if stored is not None and stored.exists():
            self.vectors = np.load(stored)
        else:
            self.vectors = open_encoder().images([grey_rgba(one[0]) for one in line])
        known = len(drawings)
        drawings = drawings + _words_alone()
        self.pictured = known
        trade = thesaurus.load()
        self.titles = [re.sub(r"[^\w' -]+|\d+", " ", d["title"]).casefold() for d in drawings]
        self.truth = [frozenset(_tag(trade, k) for k in d["keywords"] if fold(k)) for d in drawings]
        self.folders = [str(Path(d["key"].removeprefix("oc:")).parent) for d in drawings]
        self.words = [frozenset(fold(t).split()) for t in self.titles]


def _words_alone() -> list[dict[str, Any]]:
    """The drawings that the model was trained on."""
    split = json.loads(_SPLIT.read_text(encoding="utf-8"))
    return [d for d in openclipart(Path(OPENCLIPART_FOLDER), split) if d["part"] == "train"]


def _tag(trade: thesaurus.Thesaurus, text: str) -> What:
    concept = trade.concept_for(text)
    return TAG, concept.id if concept is not None and not concept.facet else fold(text)


def named_in(trade: thesaurus.Thesaurus, title: str, known: frozenset[What]) -> dict[What, str]:
    """What a title names: thesaurus concepts, and words that the library uses as tags."""
    found = {(TAG, c.id): c.pref for c in trade.suggest(title) if not c.facet}
    for word in fold(title).split():
        for form in (word, word.removesuffix("s")):
            if (TAG, form) in known:
                found.setdefault((TAG, form), word)
    return found


def described(folders: Sequence[str], share: float, seed: int) -> np.ndarray:
    """Which drawings are described: whole folders, drawn until the share is reached."""
    counts = Counter(folders)
    order = np.random.default_rng(seed).permutation(sorted(counts))
    chosen: set[str] = set()
    reached = 0
    for folder in order:
        if reached + counts[folder] / 2 < share * len(folders):
            chosen.add(str(folder))
            reached += counts[folder]
    return np.array([folder in chosen for folder in folders])


def figures(ranked: Sequence[Sequence[What]], truth: Sequence[frozenset[What]]) -> tuple[float, float]:
    """Precision of the first 3 and recall at 10, means over the drawings."""
    precision = [len(set(r[:3]) & t) / 3 for r, t in zip(ranked, truth, strict=True)]
    recall = [len(set(r[:10]) & t) / len(t) for r, t in zip(ranked, truth, strict=True)]
    return float(np.mean(precision)), float(np.mean(recall))


def compare(part: Drawings, share: float, seed: int) -> dict[str, tuple[float, float]]:
    """Figures of every way in one draw."""
    trade = thesaurus.load()
    known = np.flatnonzero(described(part.folders, share, seed))
    told = set(known)
    asked = [i for i in range(part.pictured) if i not in told and len(part.truth[i]) >= 3]
    seen = known[known < part.pictured]
    library = frozenset(what for i in known for what in part.truth[i])
    counts = Counter(what for i in known for what in part.truth[i])
    frequent = [what for what, _ in counts.most_common(10)]
    learned = Learned()
    for i in known:
        learned.learn(
            Example(
                part.words[i],
                frozenset(named_in(trade, part.titles[i], library)),
                part.truth[i],
                part.folders[i],
            )
        )

    def vote(i: int) -> list[What]:
        scores = part.vectors[seen] @ part.vectors[i]
        votes: Counter[What] = Counter()
        for n in np.argsort(-scores)[:VOTERS]:
            votes.update(part.truth[seen[n]])
        return [what for what, _ in votes.most_common(10)]

    def ours(i: int) -> list[What]:
        scores = part.vectors[seen] @ part.vectors[i]
        near = [Neighbour(float(scores[n]), part.truth[seen[n]]) for n in np.argsort(-scores)[:20]]
        named = named_in(trade, part.titles[i], library)
        broader = {
            (TAG, b): word
            for (_, c), word in named.items()
            if c in trade.concepts
            for b in trade.concepts[c].broader
        }
        question = Question(part.words[i], named, broader)
        return [offer.what for offer in suggest(learned, question, near, 10)]

    ways: dict[str, Callable[[int], list[What]]] = {
        "most frequent": lambda i: frequent,
        "nearest vote": vote,
        "suggestions": ours,
    }
    truth = [part.truth[i] for i in asked]
    return {name: figures([way(i) for i in asked], truth) for name, way in ways.items()}


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--part", default="test", choices=("test", "val"))
    parser.add_argument("--draws", type=int, default=5)
    parser.add_argument("--vectors", type=Path, help="a folder with PART-line.npy, made before")
    options = parser.parse_args()
    part = Drawings(options.part, options.vectors)
    print(f"{options.part}: {len(part.titles)} drawings, means of {options.draws} draws of folders")
    for share in (0.1, 0.5, 0.9):
        draws = [compare(part, share, seed) for seed in range(options.draws)]
        for name in draws[0]:
            precision, recall = np.mean([draw[name] for draw in draws], axis=0)
            print(
                f"{share:.0%} described  {name:14s}  first three {precision:.3f}  recall at 10 {recall:.3f}"
            )


if __name__ == "__main__":
    main()
