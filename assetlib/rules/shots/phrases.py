"""Word patterns and the admission rules that decide whether a match means what it says.

A pattern is words in order; `a|b` is a choice, `word?` may be missing, `@name` stands
for a list of `spellings.txt`. Apostrophes and joining hyphens do not count:
`worm's-eye` is read as `worms eye`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from itertools import product
from typing import NamedTuple

from assetlib.rules.words.tokens import Token


def word_set(text: str) -> frozenset[str]:
    """The words of a text as a set."""
    return frozenset(text.split())


LINE_END = "$"  # what `following` and `preceding` hold where a segment ends or begins
NEGATIONS = word_set("no not without never isnt non")
SETTINGS = frozenset({"int", "ext", "int/ext", "i/e", "interior", "exterior"})
HEADING_WORDS = SETTINGS | {"day", "night", "dawn", "dusk"}
DETERMINERS = word_set("a an the his her their its our my your this that these those some each every")


class PhraseRule(NamedTuple):
    """Phrases that mean one facet value, and what must or must not stand around them.

    With any of `after`, `before`, `earlier`, `where` given, one of them has to hold. `where` holds
    words of: alone (the phrase is its whole segment), start (it begins one), beside (it
    touches a camera term), heading (it ends a segment of a line that names a setting),
    shotline (the line has a shot number or another camera term).
    Words in `lifted_by`, earlier in the segment, lift `not_before`. `only` marks phrases
    that are grammar and nothing else.
    A rule without a facet is a trap: it uses the words up and means nothing.
    """

    facet: str
    values: tuple[str, ...]
    phrases: str
    only: bool = True
    before: str = ""
    after: str = ""
    where: str = ""
    not_before: str = ""
    not_after: str = ""
    not_near: str = ""
    lifted_by: str = ""
    earlier: str = ""


class Pattern(NamedTuple):
    """One phrase of a rule, its conditions resolved to sets of words."""

    words: tuple[frozenset[str], ...]
    rule: PhraseRule
    before: frozenset[str]
    after: frozenset[str]
    where: frozenset[str]
    not_before: frozenset[str]
    not_after: frozenset[str]
    not_near: frozenset[str]
    lifted_by: frozenset[str]
    earlier: frozenset[str]

    @property
    def is_trap(self) -> bool:
        return not self.rule.facet


class PhraseMatch(NamedTuple):
    """Where a pattern lies: token indices, end-exclusive."""

    first: int
    last: int
    rule: PhraseRule


class Line(NamedTuple):
    """A tokenised line, with the tokens that camera terms already cover."""

    tokens: tuple[Token, ...]
    camera: frozenset[int] = frozenset()
    numbered: bool = False

    @property
    def words(self) -> frozenset[str]:
        """All its words, in no order."""
        return frozenset(token.text for token in self.tokens)

    def preceding(self, index: int) -> str:
        """The word before a token, or LINE_END at a mark or the beginning."""
        if index <= 0 or self.tokens[index - 1].is_mark:
            return LINE_END
        return self.tokens[index - 1].text

    def following(self, index: int) -> str:
        """The word at an index (the one after an end-exclusive match), or LINE_END."""
        if index >= len(self.tokens) or self.tokens[index].is_mark:
            return LINE_END
        return self.tokens[index].text

    def following_noun(self, index: int) -> str:
        """Like `following`, one further on where an article stands between."""
        word = self.following(index)
        return self.following(index + 1) if word in DETERMINERS else word

    def holds_before(self, first: int, words: frozenset[str]) -> bool:
        """Whether one of the words stands before a match in its segment."""
        while self.preceding(first) != LINE_END:
            first -= 1
            if self.tokens[first].text in words:
                return True
        return False

    def starts(self, first: int) -> bool:
        """Whether a match begins its segment: after a mark, a camera term or a shot number."""
        if self.preceding(first) == LINE_END:
            return True
        return self.tokens[first - 1].text[0].isdigit() and self.preceding(first - 1) == LINE_END

    def stands_alone(self, first: int, last: int) -> bool:
        """Whether a match is all of its segment, a shot number apart."""
        return self.starts(first) and self.following(last) == LINE_END

    def touches_camera(self, first: int, last: int) -> bool:
        """Whether a camera term stands directly before or after a match."""
        return first - 1 in self.camera or last in self.camera

    @property
    def is_shot(self) -> bool:
        """Whether the line has a shot number or camera terms."""
        return self.numbered or bool(self.camera)

    def ends_heading(self, last: int) -> bool:
        """Whether a match ends a segment of a shot, or of a line that names a setting."""
        return self.following(last) == LINE_END and (self.is_shot or not self.words.isdisjoint(SETTINGS))

    def halves_compound(self, first: int, last: int) -> bool:
        """Whether a match is one half of a word of two, as *night* is of *night-watch*.

        Longer runs of hyphens (*hood-mount-two-shot*) part words as spaces do, and so
        does one between the words of a scene heading.
        """
        begin, end = first, last
        while begin > 0 and self.tokens[begin].joined:
            begin -= 1
        while end < len(self.tokens) and self.tokens[end].joined:
            end += 1
        other = self.tokens[begin if begin < first else end - 1].text
        return end - begin == 2 and last - first == 1 and other not in HEADING_WORDS


class PhraseIndex:
    """Rules by the first words of their phrases; a phrase is worked out when its word comes up.

    A process reads one line or a few, so working out all phrases at once would cost more
    than reading (17 ms against 3 ms for the whole grammar).
    """

    def __init__(self, rules: Iterable[PhraseRule], lists: Mapping[str, frozenset[str]]) -> None:
        self._lists = lists
        self._raw: dict[str, list[tuple[str, PhraseRule]]] = {}
        self._ready: dict[str, tuple[Pattern, ...]] = {}
        for rule in rules:
            self._sort_in(rule)

    def _sort_in(self, rule: PhraseRule) -> None:
        for phrase in _loose_bar().sub("|", rule.phrases).split(","):
            for word in phrase.split():
                for first in word.rstrip("?").split("|"):
                    for each in self._lists[first[1:]] if first.startswith("@") else (first,):
                        self._raw.setdefault(each, []).append((phrase, rule))
                if not word.endswith("?"):
                    break

    def beginning_with(self, word: str) -> tuple[Pattern, ...]:
        """The patterns that begin with a word, longest first; traps first among equals."""
        if word not in self._ready:
            patterns = [
                p for phrase, rule in self._raw.get(word, ()) for p in self._patterns(phrase, rule, word)
            ]
            self._ready[word] = tuple(sorted(patterns, key=lambda p: (-len(p.words), not p.is_trap)))
        return self._ready[word]

    def _patterns(self, phrase: str, rule: PhraseRule, first: str) -> Iterator[Pattern]:
        sets = [_words(getattr(rule, name), self._lists) for name in _CONDITIONS]
        for words in _expand(phrase, self._lists):
            if first in words[0]:
                yield Pattern(words, rule, *sets)


_CONDITIONS = ("before", "after", "where", "not_before", "not_after", "not_near", "lifted_by", "earlier")


@cache
def _loose_bar() -> re.Pattern[str]:
    return re.compile(r"\s*\|\s*")


def _words(listed: str, lists: Mapping[str, frozenset[str]]) -> frozenset[str]:
    found: set[str] = set()
    for word in listed.split():
        found |= lists[word[1:]] if word.startswith("@") else {word}
    return frozenset(found)


def _expand(phrase: str, lists: Mapping[str, frozenset[str]]) -> Iterator[tuple[frozenset[str], ...]]:
    elements: list[tuple[frozenset[str] | None, ...]] = []
    for word in phrase.split():
        choices = _words(" ".join(word.rstrip("?").split("|")), lists)
        elements.append((choices, None) if word.endswith("?") else (choices,))
    for chosen in product(*elements):
        words = tuple(c for c in chosen if c is not None)
        if words:
            yield words


def scan(line: Line, index: PhraseIndex) -> list[PhraseMatch]:
    """The admitted matches from left to right, none overlapping, traps included."""
    found, at = [], 0
    while at < len(line.tokens):
        match = _match_at(line, at, index)
        if match is None:
            at += 1
        else:
            found.append(match)
            at = match.last
    return found


def _is_one_of(token: Token, words: frozenset[str]) -> bool:
    return token.text in words or token.owner in words


def _match_at(line: Line, at: int, index: PhraseIndex) -> PhraseMatch | None:
    token = line.tokens[at]
    patterns = index.beginning_with(token.text)
    if token.owner != token.text:
        patterns += index.beginning_with(token.owner)
    for pattern in patterns:
        last = at + len(pattern.words)
        if last > len(line.tokens):
            continue
        if not all(_is_one_of(line.tokens[at + i], words) for i, words in enumerate(pattern.words)):
            continue
        if _admitted(line, at, last, pattern):
            return PhraseMatch(at, last, pattern.rule)
    return None


def _admitted(line: Line, first: int, last: int, pattern: Pattern) -> bool:
    prev, next_ = line.preceding(first), line.following(last)
    if prev in pattern.not_before and not line.holds_before(first, pattern.lifted_by):
        return False
    if not pattern.not_after.isdisjoint((next_, line.following_noun(last))):
        return False
    if pattern.not_near and not line.words.isdisjoint(pattern.not_near):
        return False
    if not pattern.is_trap and line.halves_compound(first, last):
        return False
    doubtful = pattern.rule.only and not pattern.is_trap
    if doubtful and (_negated(line, first) or _is_address(line, first, last)):
        return False
    if not (pattern.before or pattern.after or pattern.where or pattern.earlier):
        return True
    beside = prev in pattern.before or next_ in pattern.after
    return (
        beside or line.holds_before(first, pattern.earlier) or _well_placed(line, first, last, pattern.where)
    )


def _negated(line: Line, first: int) -> bool:
    prev = line.preceding(first)
    if prev in DETERMINERS:
        prev = line.preceding(first - 1)
    return prev in NEGATIONS


def _is_address(line: Line, first: int, last: int) -> bool:
    """Whether a match is two letters written like *Ms* before a name."""
    raw = line.tokens[first].raw
    name = last + 1 if last < len(line.tokens) and line.tokens[last].raw == "." else last
    named = name < len(line.tokens) and line.tokens[name].raw[0].isupper()
    return last == first + 1 and len(raw) == len("Ms") and raw.isalpha() and raw.istitle() and named


def _well_placed(line: Line, first: int, last: int, where: frozenset[str]) -> bool:
    return (
        ("alone" in where and line.stands_alone(first, last))
        or ("start" in where and line.starts(first))
        or ("beside" in where and line.touches_camera(first, last))
        or ("heading" in where and line.ends_heading(last))
        or ("shotline" in where and line.is_shot)
    )
