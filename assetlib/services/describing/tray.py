"""The in-tray, one drawing at a time: what is known of it, what is suggested, and what the artist says with a key.

A state machine without a terminal: `view` tells what to show, every other method is one key. What is said stays a draft
until `finish`, so that each drawing is one step of the log.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from assetlib.catalogue import lookup
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.words.learning import NEW, TAG, TITLE, Offer, What
from assetlib.rules.words.telling import told_by
from assetlib.services.describing import putting_right
from assetlib.services.describing.suggestions import SURE, Advisor, carried
from assetlib.services.describing.tagging import Description, check_tags, describe
from assetlib.services.describing.waiting import (
    Chip,
    InTurn,
    Other,
    View,
    drawing,
    facts_of,
    named,
    sheet_mates,
    waiting_drawings,
)
from assetlib.services.keeping import history
from assetlib.storage.durable import write_atomic

PLACE_FILE = "in-tray.json"
"""Where the artist stopped, below derived/: it can be lost without harm."""


@dataclass(slots=True)
class _Draft:
    title: str | None = None
    taken: list[Offer] = field(default_factory=list)
    passed: list[Offer] = field(default_factory=list)
    """Titles that were offered while another one was typed."""


@dataclass(frozen=True, slots=True)
class _Step:
    """One step of this sitting: the drawing that was in turn, whether it was described by it, and what it was."""

    entry_id: int
    described: bool
    what: str


class Tray:
    """One sitting at the in-tray of a library; `only` are codes of the drawings to go through, all without them."""

    def __init__(self, lib: Library, *, only: Sequence[str] = ()) -> None:
        self._lib = lib
        self._advisor = Advisor(lib)
        self._only = tuple(only)
        self._list = waiting_drawings(lib, self._only)
        self._at = 0 if only else self._resumed()
        self._steps: list[_Step] = []
        self._trail: list[int] = []  # entries that were in turn, described or skipped, in that order
        self._again: InTurn | None = None  # a described drawing that is in turn once more
        self._kept: dict[int, _Draft] = {}  # what was said of the drawings described in this sitting
        self._begun: _Draft | None = None
        self._offers: list[Offer] | None = None

    # --- what to show ------------------------------------------------------------------

    @property
    def is_empty(self) -> bool:
        """Whether nothing waits."""
        return not self._list and self._again is None

    @property
    def elsewhere(self) -> int:
        """How many wait besides the drawings that this sitting is kept to."""
        return len(waiting_drawings(self._lib, ())) - len(self._list) if self._only else 0

    @property
    def described(self) -> int:
        """How many drawings were described in this sitting."""
        return len({step.entry_id for step in self._steps if step.described})

    def view(self) -> View:
        """The drawing in turn."""
        turn = self._turn()
        facts = facts_of(self._lib, turn.entry_id)
        title = self._draft.title or facts.title
        chips = tuple(
            Chip(
                place,
                self._words(offer.what),
                offer.why,
                offer.confidence >= SURE,
                offer in self._draft.taken,
            )
            for place, offer in enumerate(self._shown(), 1)
        )
        mates = [w.entry_id for w in sheet_mates(self._lib, turn)]
        return replace(
            facts,
            title=title,
            is_titled=facts.is_titled or (self._draft.title is not None and not self._is_offered_title()),
            offered=next(
                (chip for chip, offer in zip(chips, self._shown(), strict=True) if offer.what[0] == TITLE),
                None,
            )
            if not facts.is_titled
            else None,
            said=self._said_words(title),
            chips=chips,
            place=(mates.index(turn.entry_id) + 1, len(mates)) if turn.entry_id in mates else None,
            number=self._at + 1,
            waiting=len(self._list),
            described=self.described,
            is_again=self._again is not None,
        )

    @property
    def _draft(self) -> _Draft:
        """What is said of the drawing in turn: it begins with the title that stands suggested for it."""
        if self._begun is None:
            self._begun = _Draft()
            title = None if self._again else self._advisor.standing_title(self._turn().entry_id)
            if title is not None:
                self._begun = _Draft(title.what[1], [title])
        return self._begun

    def _is_offered_title(self) -> bool:
        return any(offer.what[0] == TITLE for offer in self._draft.taken)

    def _turn(self) -> InTurn:
        if self._again is not None:
            return self._again
        if not self._list:
            raise WrongUsage("the in-tray is empty", "bring drawings in with `assetlib intake`")
        return self._list[self._at]

    def _said(self) -> set[What]:
        with lookup.looking(self._lib.catalogue) as connection:
            entry_id = self._turn().entry_id
            said = set(carried(connection, [entry_id])[entry_id])
        if self._draft.title is not None:
            told = told_by(self._draft.title, self._advisor.trade)
            said |= {(TAG, slug) for slug in told.concepts}
            said |= {(facet, value) for facet, values in told.facets.items() for value in values}
        return said

    def _said_words(self, title: str) -> tuple[str, ...]:
        return tuple(self._words(what) for what in sorted(self._said(), key=lambda w: (w[0] != TAG, w)))

    def _shown(self) -> list[Offer]:
        if self._offers is None:
            turn = self._turn()
            title = self._draft.title or facts_of(self._lib, turn.entry_id).title
            fresh = self._advisor.offers(
                turn.entry_id, title, self._said() | {o.what for o in self._draft.taken}
            )
            if self._draft.title is not None and not self._is_offered_title():
                fresh = [offer for offer in fresh if offer.what[0] != TITLE]
            kept = list(self._draft.taken)
            self._offers = kept + [offer for offer in fresh if offer.what not in {o.what for o in kept}]
        return self._offers

    def _words(self, what: What) -> str:
        text = self._advisor.label(what)
        if what[0] == TITLE:
            return f"title: {text}"
        return (
            f"{text} {'person' if text == '1' else 'people'}"
            if what[0] == "people" and text.isdigit()
            else text
        )

    # --- one key each ------------------------------------------------------------------

    def toggle(self, key: int) -> None:
        """Take the suggestion on this key, or let it go again; a key without one does nothing."""
        shown = self._shown()
        if 1 <= key <= len(shown):
            offer = shown[key - 1]
            taken = self._draft.taken
            taken.remove(offer) if offer in taken else taken.append(offer)
            if offer.what[0] == TITLE:  # what it says is said with it, and suggestions follow it
                self._draft.title = offer.what[1] if offer in taken else None
                self._draft.taken = [o for o in taken if o.what[0] != TITLE or o is offer]
                self._offers = None

    def take_sure(self) -> None:
        """Take every suggestion that is sure; a title that was typed stays."""
        for key, offer in enumerate(self._shown(), 1):
            if offer.what[0] == TITLE and offer.confidence >= SURE and self._draft.title is None:
                self.toggle(key)
                break
        self._draft.taken += [
            o for o in self._shown()
            if o.confidence >= SURE and o not in self._draft.taken and o.what[0] != TITLE
        ]  # fmt: skip

    def name(self, title: str) -> None:
        """Give the drawing a title; what it says is read from it, and suggestions follow it. Empty changes nothing."""
        if title.strip():
            words = " ".join(title.split())
            offered = [offer for offer in self._shown() if offer.what[0] == TITLE]
            self._draft.taken = [o for o in self._draft.taken if o.what[0] != TITLE]
            self._draft.taken += [o for o in offered if o.what[1] == words]
            self._draft.passed = [o for o in offered if o.what[1] != words]
            self._draft.title = words
            self._offers = None

    def finish(self) -> bool:
        """The drawing is described: what was taken stands, what was not is left. The next one comes.

        Of one of which nothing at all is said nothing is kept: it is skipped. Whether it is described.
        """
        turn, draft = self._turn(), self._draft
        if not self._has_anything():
            self.skip()
            return False
        left = (*(offer for offer in self._shown() if offer not in draft.taken), *draft.passed)
        gone = [o.what for o in self._taken_before(turn) if o not in draft.taken]
        said = Description(
            title=draft.title, taken=tuple(draft.taken), left=left, done=True,
            remove=tuple(self._advisor.label(what) for what in gone if what[0] == TAG),
            set=tuple(f"{facet}=" for facet, _ in gone if facet != TAG),
        )  # fmt: skip
        (after,) = describe(self._lib, [turn.code], said)
        if any(value.startswith(NEW) for (_, value), *_ in draft.taken):
            self._advisor.reread()
        self._advisor.learn(turn.entry_id)
        if after.changed:
            self._stepped(turn, named(self._lib, turn.entry_id), described=True)
        self._kept[turn.entry_id] = draft
        self._leave_turn(turn)
        return True

    def _has_anything(self) -> bool:
        draft = self._draft
        is_titled = draft.title or facts_of(self._lib, self._turn().entry_id).is_titled
        return bool(is_titled or draft.taken or self._said())

    def _taken_before(self, turn: InTurn) -> list[Offer]:
        """What was taken of a drawing when it was described earlier in this sitting, but its title."""
        before = self._kept.get(turn.entry_id) if self._again is not None else None
        return [offer for offer in before.taken if offer.what[0] != TITLE] if before is not None else []

    def skip(self) -> bool:
        """Leave the drawing for later, as it is, and go on; whether that went round to the first again."""
        was_waiting, at = self._again is None, self._at
        self._leave_turn(self._turn(), stays=True)
        return was_waiting and self._at <= at

    def back(self) -> None:
        """Go to the one that was in turn before, as it stands. Raises WrongUsage at the first."""
        turn = self._turn()
        while self._trail:
            entry_id = self._trail.pop()
            if entry_id != turn.entry_id and self._turn_to(entry_id):
                return
        before = self._at if self._again is not None else self._at - 1
        if before < 0 or not self._list:
            raise WrongUsage("this is the first one", "space goes on")
        self._at = before
        self._begin()

    def undo(self) -> str:
        """Take back the last step of this sitting and go to the drawing it was of, with what had been said of it.

        What was taken back, in words; empty where there is nothing.
        """
        if not self._steps:
            return ""
        step = self._steps.pop()
        history.undo_steps(self._lib)
        self._advisor = Advisor(self._lib)
        self._refresh()
        draft = self._kept.pop(step.entry_id, None) if step.described else None
        if self._turn_to(step.entry_id) and draft is not None and self._again is None:
            self._begun = draft
        return step.what

    @property
    def has_words(self) -> bool:
        """Whether anything was taken of this drawing that others can be given: all but its title."""
        return any(offer.what[0] != TITLE for offer in self._draft.taken)

    def give_to_sheet(self) -> int:
        """Give what was said of this drawing, without its title, to all that wait from its sheet; how many."""
        turn = self._turn()
        return self._give([w for w in self._list if w.sheet == turn.sheet and w.sheet is not None])

    def give_to_next(self, count: int) -> int:
        """Give what was said of this drawing, without its title, to the next few; how many."""
        return self._give(self._list[self._at : self._at + 1 + count])

    def give_to_kin(self) -> int:
        """Give what was said of this drawing, without its title, to those in the in-tray that look like it."""
        turn = self._turn()
        alike = set(self._advisor.kin(turn.entry_id, [w.entry_id for w in self._list]))
        return self._give([w for w in self._list if w.entry_id in alike])

    def _give(self, receivers: Sequence[InTurn]) -> int:
        turn = self._turn()
        others = [w.code for w in receivers if w.entry_id != turn.entry_id]
        given = [offer for offer in self._draft.taken if offer.what[0] != TITLE]
        if others and given:
            describe(self._lib, others, Description(taken=tuple(given), waits=True))
            self._stepped(turn, "what was given to others")
        return len(others) if given else 0

    def add(self, words: str) -> None:
        """Tags typed for this drawing, with commas between them; they stand like suggestions that were taken.

        A word that is new becomes the artist's own. Raises WrongUsage for what cannot be a tag.
        """
        for word in filter(None, (part.strip() for part in words.split(","))):
            check_tags([word])
            concept = self._advisor.trade.concept_for(word)
            slug = concept.id if concept is not None else NEW + word
            self._draft.taken.append(Offer((TAG, slug), 1.0, "typed", "typed"))
        self._offers = None

    # --- misjudged ones ----------------------------------------------------------------

    def is_reference(self) -> None:
        """It is a picture that drawings are made from, and no drawing: it leaves the in-tray."""
        turn = self._turn()
        name = named(self._lib, turn.entry_id)
        putting_right.make_reference(self._lib, turn.code)
        self._stepped(turn, f"{name} is a reference")
        self._leave_turn(turn)

    def is_sheet(self) -> int:
        """It is a sheet: it is cut, and its drawings take its place, the first in turn; how many there are."""
        turn = self._turn()
        name = named(self._lib, turn.entry_id)
        codes = putting_right.cut(self._lib, turn.code)
        if self._only:
            self._only += tuple(codes)
        self._stepped(turn, f"the cutting of {name}")
        self._refresh()
        self._turn_to_first([w.entry_id for w in self._list if w.code in codes])
        return len(codes)

    def alikes(self, count: int = 5) -> list[Other]:
        """Drawings that the one in turn may be a double of, described or not, the likest first."""
        turn = self._turn()
        return [drawing(self._lib, entry_id, is_alike=True) for entry_id in
                self._advisor.nearest(turn.entry_id, count)]  # fmt: skip

    def other(self, code: str) -> Other:
        """The drawing with this code, and whether it looks like the one in turn. Raises NotFound, AmbiguousCode."""
        return self._beside(putting_right.entry_of(self._lib, code))

    def last_on_sheet(self) -> Other:
        """The drawing before the one in turn on its sheet, and whether it looks like it. Raises WrongUsage."""
        mate, _ = putting_right.pair_on_sheet(self._lib, self._turn())
        return self._beside(mate.entry_id)

    def _beside(self, entry_id: int) -> Other:
        alike = entry_id in self._advisor.kin(self._turn().entry_id, [entry_id])
        return drawing(self._lib, entry_id, is_alike=alike)

    def is_double_of(self, code: str) -> None:
        """It is a double of that drawing: it goes to the attic, the other keeps what was said of both.

        Raises NotFound, AmbiguousCode.
        """
        from assetlib.services.doubles.merging import merge

        turn = self._turn()
        name = named(self._lib, turn.entry_id)
        merge(self._lib, code, turn.code, "said at the in-tray")
        self._stepped(turn, f"{name} is a double")
        self._leave_turn(turn)

    def belongs_to_last(self) -> None:
        """It and the one before it on its sheet are one drawing: the sheet is cut so. Raises WrongUsage."""
        turn = self._turn()
        mate, place = putting_right.pair_on_sheet(self._lib, turn)
        codes = putting_right.join(self._lib, mate, turn)
        self._stepped(turn, f"the joining of {named(self._lib, mate.entry_id)} with the next")
        self._refresh()
        self._turn_to_first([w.entry_id for w in self._list if w.code in codes[place - 1 : place]])

    # --- where it goes on --------------------------------------------------------------

    def leave(self) -> None:
        """Stop here: the next sitting goes on with this drawing."""
        if self._list:
            path = self._lib.derived / PLACE_FILE
            write_atomic(path, json.dumps({"at": self._turn().entry_id}).encode())

    def _resumed(self) -> int:
        path = self._lib.derived / PLACE_FILE
        try:
            stopped = json.loads(path.read_text(encoding="utf-8"))["at"]
        except (OSError, ValueError, KeyError, TypeError):
            return 0
        return next((i for i, w in enumerate(self._list) if w.entry_id == stopped), 0)

    def _stepped(self, turn: InTurn, what: str, *, described: bool = False) -> None:
        self._steps.append(_Step(turn.entry_id, described, what))

    def _leave_turn(self, turn: InTurn, *, stays: bool = False) -> None:
        """Go on from the drawing that was in turn: to the one after it, or to where it was looked back from."""
        self._trail.append(turn.entry_id)
        if self._again is None:
            self._list[self._at : self._at + 1] = [turn] if stays else []
            self._at = (self._at + stays) % len(self._list) if self._list else 0
        self._begin()

    def _refresh(self) -> None:
        """Read again what waits, and begin with what is in turn there."""
        self._list = waiting_drawings(self._lib, self._only)
        self._at = self._at % len(self._list) if self._list else 0
        self._begin()

    def _begin(self) -> None:
        self._again, self._begun, self._offers = None, None, None

    def _turn_to_first(self, entries: Sequence[int]) -> None:
        if entries:
            self._turn_to(entries[0])

    def _turn_to(self, entry_id: int) -> bool:
        """Have a drawing in turn, waiting or described; whether it is still one."""
        at = next((i for i, w in enumerate(self._list) if w.entry_id == entry_id), None)
        again = putting_right.described_drawing(self._lib, entry_id) if at is None else None
        if at is None and again is None:
            return False
        self._begin()
        self._at = self._at if at is None else at
        self._again = again
        if again is not None and entry_id in self._kept:
            kept = self._kept[entry_id].taken
            self._begun = _Draft(taken=[offer for offer in kept if offer.what[0] != TITLE])
        return True
