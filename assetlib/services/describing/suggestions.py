"""Suggestions for drawings that wait, learned from those that are described; what was taken and left is kept."""

from __future__ import annotations

import json
import re
import sqlite3
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

from sqlalchemy.orm import Session

from assetlib.catalogue import lookup
from assetlib.catalogue.guards import FACETS
from assetlib.catalogue.offers import find_offer
from assetlib.catalogue.words import Suggestion
from assetlib.library import Library
from assetlib.rules.words import learning
from assetlib.rules.words.learning import NEW, TAG, TITLE, Example, Learned, Neighbour, Offer, Question, What
from assetlib.rules.words.names import title_from
from assetlib.rules.words.tags import fold
from assetlib.rules.words.telling import told_by, unknown_things
from assetlib.services.describing import vocabulary
from assetlib.services.describing.seen import Eyes

MOST_OFFERED = 8
"""Suggestions on keys; the ninth key is for taking all of the sure ones at once."""

LEAST_SURE = 0.34
"""The chance of being taken from which a suggestion is worth a key (tuned by hand on the demo's singles)."""

SURE = 0.75
"""The chance from which a suggestion is called sure."""

FILE, FILE_CHANCE = "title of file", 0.8
"""The recipe of a title that the drawing's own file is called by, and how often it is one (by eye)."""

NEW_CHANCE = 0.5
"""How often a thing that no thesaurus knows is wanted as a tag (by eye)."""

KIN = 0.86
"""Likeness (cosine) from which a neighbour's title is offered, and a drawing counts as a look-alike."""

NEARLY = 0.6
"""Likeness (cosine) from which another drawing is worth a look as a double (by eye)."""

_EMPTY = "the and with for from her his its one two page sheet scan final copy"
_EMPTY_WORDS = frozenset(_EMPTY.split())


class Advisor:
    """What to suggest in one library: learned when opened, and on as drawings are described."""

    def __init__(self, lib: Library) -> None:
        self._lib = lib
        with lookup.looking(lib.catalogue) as connection:
            self.trade = vocabulary.read_thesaurus(connection)
            self._eyes = Eyes(lib, self.trade)
            self._learned = Learned()
            for entry_id in _described(connection):
                self._learned.learn(self._example(connection, entry_id))
            for facet, value, recipe, state in connection.execute(
                "SELECT facet, value, recipe, state FROM suggestions WHERE state != 'offered'"
            ):
                self._learned.settle((facet, value), recipe, taken=state == "taken")

    def label(self, what: What) -> str:
        """A suggestion as the artist reads it."""
        concept = self.trade.concepts.get(what[1]) if what[0] == TAG else None
        return concept.pref if concept is not None else what[1].removeprefix(NEW)

    def offers(
        self, entry_id: int, title: str, said: Collection[What], count: int = MOST_OFFERED
    ) -> list[Offer]:
        """The best suggestions for an entry, under the title as it stands or is being typed."""
        with lookup.looking(self._lib.catalogue) as connection:
            question = self._question(connection, entry_id, title, frozenset(said))
            near = self._neighbours(connection, entry_id)
            titles = self._titles(connection, entry_id, near)
            fresh = self._fresh(connection, entry_id, title)
        found = learning.suggest(self._learned, question, near, count)
        offered = {offer.what: offer for offer in reversed((*titles, *found, *fresh))}
        away = question.left
        sure = [o for o in offered.values() if o.confidence >= LEAST_SURE and o.what not in away]
        return sorted(sure, key=lambda o: (o.what[0] != TITLE, -o.confidence))[:count]

    def _titles(
        self, connection: sqlite3.Connection, entry_id: int, near: Collection[Neighbour]
    ) -> list[Offer]:
        """What a drawing may be called whose title comes from a file's or sheet's name.

        What was read from its caption, and the title of its nearest look-alike.
        """
        (source,) = connection.execute(
            "SELECT title_source FROM entries WHERE id = ?", (entry_id,)
        ).fetchone()
        if source != "file name":
            return []
        rows = connection.execute(
            "SELECT value, confidence, recipe, why FROM suggestions "
            "WHERE entry_id = ? AND facet = 'title' AND state = 'offered' ORDER BY id DESC",
            (entry_id,),
        )
        found = [
            Offer((TITLE, value), min(1.0, chance * self._learned.trust(recipe)), recipe, why)
            for value, chance, recipe, why in rows
        ]
        found += self._file_title(connection, entry_id)
        best = max(near, key=lambda n: n.likeness, default=None)
        if best is not None and best.likeness >= KIN and best.title:
            found.append(
                Offer((TITLE, best.title), LEAST_SURE, "title of kin", "as its look-alike is called")
            )
        return found

    def standing_title(self, entry_id: int) -> Offer | None:
        """The title that a drawing without one of its own gets unless the artist says otherwise: as was read.

        From its caption first, then from its own file's name.
        """
        with lookup.looking(self._lib.catalogue) as connection:
            left = set(connection.execute(_LEFT, (entry_id,)))
            offers = self._titles(connection, entry_id, ())
        return next((o for o in offers if o.confidence >= LEAST_SURE and o.what not in left), None)

    def _file_title(self, connection: sqlite3.Connection, entry_id: int) -> list[Offer]:
        """What the drawing's own file is called, where that names anything that is known; not that of its sheet."""
        row = connection.execute(_OWN_FILE, (entry_id,)).fetchone()
        words = title_from(row[0]) if row is not None else ""
        told = told_by(words, self.trade)
        if not told.concepts and not told.facets:
            return []
        title = words[:1].upper() + words[1:]
        chance = min(1.0, FILE_CHANCE * self._learned.trust(FILE))
        return [Offer((TITLE, title), chance, FILE, "from its file's name")]

    def _fresh(self, connection: sqlite3.Connection, entry_id: int, title: str) -> list[Offer]:
        """Things that the title names and no thesaurus knows, as words of the artist's own."""
        words = () if _is_stopgap(connection, entry_id, title) else unknown_things(title, self.trade)
        chance = NEW_CHANCE * self._learned.trust(NEW)
        return [
            Offer((TAG, NEW + fold(word)), min(1.0, chance), NEW, "a new word, from its title")
            for word in words
        ]

    def reread(self) -> None:
        """Look the thesaurus up again, after it got a new word."""
        with lookup.looking(self._lib.catalogue) as connection:
            self.trade = vocabulary.read_thesaurus(connection)

    def learn(self, entry_id: int) -> None:
        """Count one more drawing that was described just now, and what was taken and left on it."""
        with lookup.looking(self._lib.catalogue) as connection:
            self._learned.learn(self._example(connection, entry_id))
            for facet, value, recipe, state in connection.execute(
                "SELECT facet, value, recipe, state FROM suggestions WHERE entry_id = ? AND state != 'offered'",
                (entry_id,),
            ):
                self._learned.settle((facet, value), recipe, taken=state == "taken")

    def kin(self, entry_id: int, among: Collection[int]) -> list[int]:
        """Those of the entries that look very much like this one, nearest first."""
        with lookup.looking(self._lib.catalogue) as connection:
            return [
                i for i, score in self._near(connection, entry_id, among) if score >= KIN and i != entry_id
            ]

    def nearest(self, entry_id: int, count: int) -> list[int]:
        """The drawings on the shelf that look most like this one, described or not, nearest first."""
        with lookup.looking(self._lib.catalogue) as connection:
            rows = connection.execute("SELECT id FROM entries WHERE role = 'element' AND NOT in_attic")
            among = {row[0] for row in rows} - {entry_id}
            return [i for i, score in self._near(connection, entry_id, among) if score >= NEARLY][:count]

    def _near(
        self, connection: sqlite3.Connection, entry_id: int, among: Collection[int]
    ) -> list[tuple[int, float]]:
        from assetlib.services.finding.likeness import Looks

        looks = Looks(self._lib, connection)
        vector = looks.of(entry_id) if looks.ready else None
        if vector is None or not among:
            return []
        return [(a.entry_id, a.score) for a in looks.nearest(vector, learning.NEIGHBOURS, among)]

    def _neighbours(self, connection: sqlite3.Connection, entry_id: int) -> list[Neighbour]:
        near = self._near(connection, entry_id, set(_described(connection)) - {entry_id})
        bears = carried(connection, [i for i, _ in near])
        titles = dict(lookup.titles(connection, [i for i, _ in near]))
        return [Neighbour(score, bears[i], titles.get(i, "")) for i, score in near]

    def _example(self, connection: sqlite3.Connection, entry_id: int) -> Example:
        title, words = _surroundings(connection, entry_id)
        named = frozenset((TAG, c) for c in told_by(title, self.trade).concepts)
        group = next((word for word in sorted(words) if word.startswith("sheet:")), "")
        return Example(words, named, carried(connection, [entry_id])[entry_id], group)

    def _question(
        self, connection: sqlite3.Connection, entry_id: int, title: str, said: frozenset[What]
    ) -> Question:
        _, near = _surroundings(connection, entry_id)
        words = frozenset(word for word in near if ":" in word) | _words_of(title)
        # The title of a drawing cut from a sheet is the sheet's until it is given one: it says nothing of this drawing.
        told = told_by("" if _is_stopgap(connection, entry_id, title) else title, self.trade)
        named = {(TAG, c): label for c, label in told.concepts.items()}
        named |= {(facet, value): value for facet, values in told.facets.items() for value in values}
        broader = {
            (TAG, above): label
            for c, label in told.concepts.items()
            if c in self.trade.concepts
            for above in self.trade.concepts[c].broader
        }
        rows = connection.execute(_LEFT, (entry_id,))
        left = frozenset((facet, value) for facet, value in rows)
        around = self._around(connection, entry_id)
        read = _read(connection, entry_id) | self._eyes.tell(connection, entry_id)
        return Question(words, named, broader, around, said, left, read)

    def _around(self, connection: sqlite3.Connection, entry_id: int) -> dict[What, str]:
        """What the names of the sheet and file it came from name."""
        names = [title_from(row[0]) for row in connection.execute(_NAMES, (entry_id,))]
        return {(TAG, c): label for name in names for c, label in told_by(name, self.trade).concepts.items()}


def _words_of(title: str) -> frozenset[str]:
    words = fold(re.sub(r"[^\w\s'’-]|\d+", " ", title)).split()
    return frozenset(word for word in words if len(word) > 2 and word not in _EMPTY_WORDS)


def _described(connection: sqlite3.Connection) -> list[int]:
    rows = connection.execute(
        "SELECT id FROM entries WHERE described_at IS NOT NULL AND NOT in_attic AND role = 'element' ORDER BY id"
    )
    return [row[0] for row in rows]


def _surroundings(connection: sqlite3.Connection, entry_id: int) -> tuple[str, frozenset[str]]:
    """Title, and the words around a drawing: of its title, its sheet, its job."""
    (title,) = connection.execute("SELECT title FROM entries WHERE id = ?", (entry_id,)).fetchone()
    words = set(_words_of(title))
    for original, job in connection.execute(_AROUND, (entry_id,)):
        words.add(f"sheet:{original}")
        if job is not None:
            words.add(f"job:{job}")
    return title, frozenset(words)


_LEFT = "SELECT facet, value FROM suggestions WHERE entry_id = ? AND state = 'left'"

_OWN_FILE = """
    SELECT a.file_name
    FROM entries e JOIN versions v ON v.id = e.current_version_id JOIN pieces p ON p.cut_id = v.current_cut_id
    JOIN arrivals a ON a.original_id = p.original_id
    WHERE e.id = ? AND e.title_source = 'file name' AND p.reading_order IS NULL ORDER BY a.id"""

_NAMES = """
    SELECT DISTINCT a.file_name
    FROM entries e JOIN versions v ON v.id = e.current_version_id JOIN pieces p ON p.cut_id = v.current_cut_id
    JOIN arrivals a ON a.original_id = p.original_id WHERE e.id = ?"""

_AROUND = """
    SELECT DISTINCT p.original_id, a.job_id
    FROM entries e JOIN versions v ON v.id = e.current_version_id JOIN pieces p ON p.cut_id = v.current_cut_id
    LEFT JOIN arrivals a ON a.original_id = p.original_id WHERE e.id = ?"""


def _is_stopgap(connection: sqlite3.Connection, entry_id: int, title: str) -> bool:
    row = connection.execute(
        """SELECT 1 FROM entries e JOIN versions v ON v.id = e.current_version_id
           JOIN pieces p ON p.cut_id = v.current_cut_id
           WHERE e.id = ? AND e.title = ? AND e.title_source = 'file name' AND p.reading_order IS NOT NULL""",
        (entry_id, title),
    ).fetchone()
    return row is not None


def carried(connection: sqlite3.Connection, ids: Iterable[int]) -> Mapping[int, frozenset[What]]:
    wanted = json.dumps(list(ids))
    found: dict[int, set[What]] = defaultdict(set)
    for entry_id, slug in connection.execute(
        """SELECT t.entry_id, c.slug FROM tags t JOIN concepts c ON c.id = t.concept_id
           WHERE t.entry_id IN (SELECT value FROM json_each(?))""",
        (wanted,),
    ):
        found[entry_id].add((TAG, slug))
    for entry_id, facet, value in connection.execute(
        f"""SELECT entry_id, facet, value FROM {FACETS}
           WHERE entry_id IN (SELECT value FROM json_each(?))""",
        (wanted,),
    ):
        found[entry_id].add((facet, value))
    return defaultdict(frozenset, {entry_id: frozenset(words) for entry_id, words in found.items()})


def _read(connection: sqlite3.Connection, entry_id: int) -> dict[What, tuple[float, str]]:
    """What was told from the picture or the file when the drawing came in and waits to be taken."""
    rows = connection.execute(
        """SELECT facet, value, confidence, why FROM suggestions
           WHERE entry_id = ? AND state = 'offered' AND facet != 'title' ORDER BY id""",
        (entry_id,),
    )
    return {(facet, value): (confidence, why) for facet, value, confidence, why in rows}


def keep_settled(lib: Library, session: Session, entry_id: int, offers: Iterable[Offer], state: str) -> bool:
    """Keep that these were taken or left on an entry; whether anything changed."""
    changed = False
    for offer in offers:
        facet, value = offer.what
        row = find_offer(session, entry_id, offer.what)
        if row is None:
            row = Suggestion(entry_id=entry_id, facet=facet, value=value, offered_at=lib.now())
            session.add(row)
        elif row.state == state:
            continue
        row.recipe, row.why, row.confidence = offer.recipe, offer.why, round(offer.confidence, 4)
        row.state, row.settled_at, changed = state, lib.now(), True
    session.flush()
    return changed
