"""The in-tray, one drawing at a time: what is known of it, what is suggested, and what the artist says with a key.

A state machine without a terminal: `view` tells what to show, every other method is one key. What is said stays a draft
until `finish`, so that each drawing is one step of the log.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from assetlib.catalogue import lookup, queries
from assetlib.catalogue.entries import Entry
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.rules.words.learning import NEW, TAG, TITLE, Offer, What
from assetlib.rules.words.telling import told_by
from assetlib.services.describing.suggestions import SURE, Advisor, carried
from assetlib.services.describing.tagging import Description, check_tags, describe
from assetlib.services.describing.waiting import (
    Chip,
    InTurn,
    View,
    facts_of,
    order_on_sheet,
    sheet_mates,
    waiting_drawings,
)
from assetlib.services.keeping import history
from assetlib.storage.durable import write_atomic

if TYPE_CHECKING:
    from assetlib.services.bringing.cutting import CutSheet

PLACE_FILE = "in-tray.json"
"""Where the artist stopped, below derived/: it can be lost without harm."""


@dataclass(slots=True)
class _Draft:
    title: str | None = None
    taken: list[Offer] = field(default_factory=list)
    passed: list[Offer] = field(default_factory=list)
    """Titles that were offered while another one was typed."""


class Tray:
    """One sitting at the in-tray of a library; `only` are codes of the drawings to go through, all without them."""

    def __init__(self, lib: Library, *, only: Sequence[str] = ()) -> None:
        self._lib = lib
        self._advisor = Advisor(lib)
        self._only = tuple(only)
        self._list = waiting_drawings(lib, self._only)
        self._at = 0 if only else self._resumed()
        # The drawing in turn at each step of this sitting, and whether it was described by it.
        self._steps: list[tuple[int, bool]] = []
        self._draft = _Draft()
        self._offers: list[Offer] | None = None

    # --- what to show ------------------------------------------------------------------

    @property
    def is_empty(self) -> bool:
        """Whether nothing waits."""
        return not self._list

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
            is_titled=facts.is_titled or self._draft.title is not None,
            offered=next(
                (chip for chip, offer in zip(chips, self._shown(), strict=True) if offer.what[0] == TITLE),
                None,
            )
            if self._draft.title is None and not facts.is_titled
            else None,
            said=self._said_words(title),
            chips=chips,
            place=(mates.index(turn.entry_id) + 1, len(mates)) if turn.entry_id in mates else None,
            number=self._at + 1,
            waiting=len(self._list),
            described=sum(described for _, described in self._steps),
        )

    def _turn(self) -> InTurn:
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
            if self._draft.title is not None:
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
        """Take every suggestion that is sure."""
        self._draft.taken += [o for o in self._shown() if o.confidence >= SURE and o not in self._draft.taken]

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

    def unname(self) -> None:
        """Give up the title that was being typed."""
        self._draft.title, self._offers = None, None

    def finish(self) -> None:
        """The drawing is described: what was taken stands, what was not is left. The next one comes."""
        turn, draft = self._turn(), self._draft
        left = (*(offer for offer in self._shown() if offer not in draft.taken), *draft.passed)
        said = Description(title=draft.title, taken=tuple(draft.taken), left=left, done=True)
        describe(self._lib, [turn.code], said)
        if any(value.startswith(NEW) for (_, value), *_ in draft.taken):
            self._advisor.reread()
        self._advisor.learn(turn.entry_id)
        self._steps.append((turn.entry_id, True))
        self._list.pop(self._at)
        self._move(0)

    def skip(self) -> None:
        """Leave the drawing for later, as it is, and go on."""
        self._move(1)

    def back(self) -> None:
        """Go to the one before."""
        self._move(-1)

    def undo(self) -> bool:
        """Take back the last drawing that was described in this sitting, or what was given to others, and go to it.

        Whether there was one.
        """
        if not self._steps:
            return False
        entry_id, _ = self._steps.pop()
        history.undo_steps(self._lib)
        self._list = waiting_drawings(self._lib, self._only)
        self._at = next((i for i, w in enumerate(self._list) if w.entry_id == entry_id), 0)
        self._move(0)
        self._advisor = Advisor(self._lib)
        return True

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
            self._steps.append((turn.entry_id, False))
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
        with self._lib.transaction(f"{turn.code} is a reference") as session:
            entry = session.get_one(Entry, turn.entry_id)
            entry.role, entry.described_at = "reference", self._lib.now()
        self._steps.append((turn.entry_id, False))
        self._list.pop(self._at)
        self._move(0)

    def is_sheet(self) -> int:
        """It is a sheet: it is cut, and its drawings take its place; how many there are."""
        from assetlib.services.bringing.cutting import cut_sheet

        turn = self._turn()
        cut = cut_sheet(self._lib, turn.code)
        self._picture(cut)
        if self._only:
            self._only += tuple(out.code for page in cut for out in page.elements if out.code)
        self._steps.append((turn.entry_id, False))
        self._list = waiting_drawings(self._lib, self._only)
        self._move(0)
        return sum(len(page.elements) for page in cut)

    def is_double_of(self, code: str) -> None:
        """It is a double of that drawing: it goes to the attic, the other keeps what was said of both.

        Raises NotFound, AmbiguousCode.
        """
        from assetlib.services.doubles.merging import merge

        turn = self._turn()
        merge(self._lib, code, turn.code, "said at the in-tray")
        self._steps.append((turn.entry_id, False))
        self._list.pop(self._at)
        self._move(0)

    def belongs_to_last(self) -> None:
        """It and the one before it on its sheet are one drawing: the sheet is cut so. Raises WrongUsage."""
        from assetlib.imaging.cutting.sheets import CutSettings
        from assetlib.services.bringing.cutting import cut_sheet

        turn = self._turn()
        mates = sheet_mates(self._lib, turn)
        at = next(i for i, w in enumerate(mates) if w.entry_id == turn.entry_id)
        if turn.sheet is None or at == 0:
            raise WrongUsage(
                "there is no drawing before it on a sheet", "join them with `assetlib cut --join`"
            )
        with self._lib.reading() as session:
            sheet = session.scalars(select(Entry).where(Entry.id == turn.sheet)).one().code.code
            numbers = tuple(order_on_sheet(session, w.entry_id) for w in (mates[at - 1], mates[at]))
        self._picture(cut_sheet(self._lib, sheet, CutSettings(join=(numbers,))))
        self._steps.append((turn.entry_id, False))
        self._list = waiting_drawings(self._lib, self._only)
        self._move(0)

    def _picture(self, cut: Sequence[CutSheet]) -> None:
        """Make what is shown of drawings that were cut just now; what else waits for them is for upkeep."""
        from assetlib.services.keeping import upkeep

        with self._lib.reading() as session:
            codes = [out.code for page in cut for out in page.elements if out.code]
            ids = [queries.entry(session, code).id for code in codes]
        upkeep.work_off(self._lib, (upkeep.PROOF, upkeep.caption()), entries=ids)

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

    def _move(self, by: int) -> None:
        self._at = (self._at + by) % len(self._list) if self._list else 0
        self._draft, self._offers = _Draft(), None
