"""What the look-alike model tells of a drawing that is worth a key: the thing it is most like, and one person."""

from __future__ import annotations

import sqlite3
from typing import Any

from assetlib.library import Library
from assetlib.rules.words.learning import TAG, What
from assetlib.rules.words.telling import ACTION
from assetlib.rules.words.thesaurus import Thesaurus

SEEN_FROM = 0.36
SEEN_CHANCE = 0.58
"""Likeness (cosine) of a drawing to a word of the thesaurus from which the nearest word is offered, and how often it is
right then: line art of openclipart's validation part, which the model was not trained on; on its test part .58 as well.
That is one drawing in five; of all drawings the nearest word is right for .21, which is not worth a key."""

PERSON_BEFORE_THING = 0.04
"""How much likelier (cosine) a person has to be than any thing, and one no less than several, for *1 person* to be
offered: tuned on 96 drawings of openclipart, looked at before; right for 11 of 11 there and for 16 of 16 of 96 others
(of 73 that show people), and for 13 of 15 on the demo's sheets. Two and more are right for one in six: not offered."""
PERSON_CHANCE = 0.9

ONE = (
    "one person", "a woman", "a man", "a girl", "a boy", "man standing", "woman walking", "person", "a man sitting",
)  # fmt: skip
SEVERAL = (
    "two people", "a couple", "two women", "two men", "man and woman", "conversation of two", "three people", "a crowd",
    "group of people", "queue", "family", "many people",
)  # fmt: skip
NOBODY = (
    "an object", "an animal", "a thing", "a building", "a sign", "food", "a vehicle", "a pattern", "a smiley", "a hand",
    "clothing", "a plant",
)  # fmt: skip


class Eyes:
    """What drawings of one library look like in words; texts are looked up once."""

    def __init__(self, lib: Library, trade: Thesaurus) -> None:
        self._lib = lib
        self._things = [
            c for c in trade.concepts.values() if not c.facet and ACTION not in c.broader
        ]  # no one drawing shows those
        self._said: Any = None

    def tell(self, connection: sqlite3.Connection, entry_id: int) -> dict[What, tuple[float, str]]:
        """What is told from a drawing's vector, each with its chance and reason; nothing before there is one.

        How often another model than the shipped one is right was not measured: with one nothing is told.
        """
        from assetlib.services.finding import modelshelf
        from assetlib.services.finding.likeness import Looks
        from assetlib.vectors.encoders import SHIPPED

        vector = Looks(self._lib, connection).of(entry_id)
        kept = modelshelf.in_use(self._lib, connection)
        if vector is None or kept.described.name != SHIPPED:
            return {}
        likeness = self._texts(kept.folder) @ vector
        things = likeness[: len(self._things)]
        one, several, nobody = _nearest(likeness[len(self._things) :])
        found: dict[What, tuple[float, str]] = {}
        best = int(things.argmax())
        if things[best] >= SEEN_FROM:
            found[TAG, self._things[best].id] = (SEEN_CHANCE, "seen in the picture")
        if one >= several and one - nobody >= PERSON_BEFORE_THING:
            found["people", "1"] = (PERSON_CHANCE, "seen in the picture")
        return found

    def _texts(self, model: Any) -> Any:
        from assetlib.vectors.encoders import open_encoder

        if self._said is None:
            texts = [c.pref for c in self._things]
            self._said = open_encoder(model).text([*texts, *ONE, *SEVERAL, *NOBODY])
        return self._said


def _nearest(likeness: Any) -> tuple[float, float, float]:
    """The best likeness to one person, to several, and to what is nobody."""
    first, second = len(ONE), len(ONE) + len(SEVERAL)
    return likeness[:first].max(), likeness[first:second].max(), likeness[second:].max()
