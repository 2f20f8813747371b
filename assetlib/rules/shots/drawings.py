"""What is known of a drawing in words, and what follows from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from assetlib.rules.shots import grammar, things


@dataclass(frozen=True)
class Drawing:
    """What is known of a drawing in words: its title, its tags, and facets that somebody gave it."""

    title: str
    tags: tuple[str, ...] = ()
    facets: Mapping[str, tuple[str, ...]] | None = None
    is_backdrop: bool = False

    @cached_property
    def text(self) -> str:
        """Title and tags in one."""
        return ", ".join((self.title, *self.tags))

    @cached_property
    def keys(self) -> frozenset[str]:
        """Keys of all it shows, broader ones too."""
        return things.keys_shown((self.title, *self.tags))

    @cached_property
    def stems(self) -> frozenset[str]:
        """Stems of its words."""
        return things.stems_of(self.text)

    @cached_property
    def said(self) -> Mapping[str, tuple[str, ...]]:
        """Facets that its title says, and for the others those that were given."""
        return {**(self.facets or {}), **grammar.read_line(self.title).facets}

    @cached_property
    def named(self) -> tuple[things.Thing, ...]:
        """The things its title names."""
        return things.things_in(self.title)

    @cached_property
    def is_told(self) -> bool:
        """Whether its title says what it shows in words that are all known: a file's name may do so, too.

        *hand phone 03* does; *hide girl sergio* may be of anything beside the girl.
        """
        words = [word for word in things.words_of(self.title) if not word.isdigit()]
        named = {
            place for thing in things.things_in(" ".join(words)) for place in range(thing.first, thing.last)
        }
        return bool(named) and all(
            place in named or things.is_small(word) or things.is_plain(word)
            for place, word in enumerate(words)
        )

    @cached_property
    def count(self) -> str:
        """How many people its title says: a number, *crowd*, or nothing."""
        told = grammar.read_line(self.title).facets.get("people", ())
        if told:
            return told[0]
        types = self.said.get("shot_type", ())
        if "two-shot" in types or "three-shot" in types:
            return "2" if "two-shot" in types else "3"
        if not {"crowd", "queue"}.isdisjoint(self.keys):
            return "crowd"
        if "couple" in self.keys:
            return "2"  # *man and woman* is one name for two
        living = [
            thing for thing in self.named if thing.lives and "person" in (thing.key, *things.above(thing.key))
        ]
        return str(len(living)) if living and not living[0].text.casefold().endswith(("s", "people")) else ""
