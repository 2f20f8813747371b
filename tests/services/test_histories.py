"""Random histories of 300 commands, bundles, uses, merges and cuts among them, held against a model at every step.

The model knows of each drawing what can be seen of it, and of each step what it changed. Undoing a step puts back
what it changed; what it brought in goes, unless it was issued or used, or what was stands on it.
"""

from __future__ import annotations

import random
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from assetlib.catalogue import queries
from assetlib.config import Settings
from assetlib.errors import AssetlibError
from assetlib.imaging.cutting.sheets import CutSettings
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing import clean_copies, redrawing
from assetlib.services.bringing.cutting import cut_sheet
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.describing import tagging
from assetlib.services.doubles import merging, settling
from assetlib.services.jobs import jobs
from assetlib.services.jobs.uses import Placing, record_use
from assetlib.services.keeping import history
from assetlib.services.keeping.checking import check
from assetlib.services.keeping.starting import start_library
from assetlib.services.trade import bundling, clearance, collections
from assetlib.services.versions import pinned
from tests.conftest import NOON
from tests.services.here import without_workers

COMMANDS = 300

CLEAR = ((Question.ORIGIN, "out-of-the-head"), (Question.OWNERSHIP, "own"), (Question.DEPICTS, "none"),
         (Question.AI, "none"))  # fmt: skip
TRACED = ((Question.ORIGIN, "traced-from-found"),)

Seen = dict[str, object]
"""What can be seen of one drawing or collection."""


@dataclass
class Model:
    """What is expected to be seen, and what each step that was not undone changed."""

    seen: dict[str, Seen]
    first: int
    """Steps that were there before."""
    steps: list[tuple[dict[str, Seen], dict[str, Seen]]] = field(default_factory=list)

    def did(self, what: str, after: dict[str, Seen], steps: int) -> None:
        """A command changed what is seen; `steps` is how many can be undone now: one more, or as many as before."""
        steps -= self.first
        assert steps - len(self.steps) in (0, 1), f"{what}: one use case is one step"
        changed = {key for key in self.seen.keys() | after.keys() if self.seen.get(key) != after.get(key)}
        assert not changed or steps > len(self.steps), f"{what}: a change that cannot be undone"
        if steps > len(self.steps):
            before = {key: self.seen[key] for key in changed if key in self.seen}
            self.steps.append((before, {key: after[key] for key in changed if key in after}))
        self.seen = after

    def undo(self, stands: Callable[[str], bool]) -> None:
        """The last step is taken back; of what it brought in, that stays which something else `stands` on."""
        before, after = self.steps.pop()
        self.seen = {
            key: value for key, value in self.seen.items() if key in before or key not in after or stands(key)
        } | before


class History:
    """A library and its model, and commands chosen by chance."""

    def __init__(self, lib: Library, folder: Path, seed: int) -> None:
        self.lib, self.folder = lib, folder
        self.chance = random.Random(seed)
        self.model = Model(look(lib), self.steps())
        self.drawn = 0
        self.kept: tuple[set[object], set[object]] = (set(), set())
        self.commands: dict[str, tuple[int, Callable[[], object]]] = {
            "intake": (8, self.intake), "sheet": (3, self.sheet), "cut": (6, self.cut), "layer": (5, self.opening),
            "tag": (12, self.tag), "origin": (12, self.origin), "merge": (6, self.merge), "pair": (8, self.pair),
            "redraw": (4, self.redraw), "collect": (10, self.collect), "bundle": (6, self.bundle), "use": (6, self.use),
        }  # fmt: skip

    def run(self) -> None:
        """Three hundred commands, then everything is undone."""
        for _ in range(COMMANDS):
            if self.chance.random() < 0.22 and self.model.steps:
                self.undo()
                continue
            names = list(self.commands)
            (name,) = self.chance.choices(names, [self.commands[name][0] for name in names])
            try:
                self.commands[name][1]()
            except AssetlibError:
                assert look(self.lib) == self.model.seen, name  # refused: nothing was changed
            self.model.did(name, look(self.lib), self.steps())
            self.hold(name)
        while self.model.steps:
            self.undo()

    def undo(self) -> None:
        (note,) = history.undo_steps(self.lib)
        standing = stood_on(self.lib)
        self.model.undo(lambda key: key in standing)
        assert look(self.lib) == self.model.seen, note
        self.hold(f"undo {note.what}")

    def steps(self) -> int:
        """How many steps can be undone: not undone yet, and not a record alone."""
        with closing(sqlite3.connect(self.lib.catalogue)) as connection:
            return int(connection.execute(
                """SELECT count(*) FROM steps s WHERE undone_at IS NULL AND EXISTS (SELECT 1 FROM changes c
                WHERE c.step_id = s.id AND c.table_name NOT IN ('bundles', 'bundle_items'))"""
            ).fetchone()[0])  # fmt: skip

    def hold(self, what: str) -> None:
        """What must be true after every command."""
        with closing(sqlite3.connect(self.lib.catalogue)) as connection:
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == [], what
            items = set(connection.execute("SELECT id, version_id, cut_id FROM bundle_items"))
            uses = set(connection.execute("SELECT id, version_id, cut_id FROM uses"))
            empty = connection.execute(
                "SELECT c.id FROM cuts c LEFT JOIN pieces p ON p.cut_id = c.id WHERE p.id IS NULL"
            ).fetchall()
            assert empty == [], what
            texts = set(connection.execute("SELECT rowid FROM entry_text"))
            assert texts == set(connection.execute("SELECT id FROM entries")), what
        assert items >= self.kept[0], f"{what}: what was issued is gone"
        assert uses >= self.kept[1], f"{what}: a use is gone"
        self.kept = (items, uses)

    def codes(self, role: str = "element") -> list[str]:
        return sorted(
            code for code, seen in self.model.seen.items()
            if seen.get("role") == role and not seen["in_attic"]
        )  # fmt: skip

    def some(self, most: int = 3) -> list[str]:
        there = self.codes()
        return self.chance.sample(there, min(len(there), self.chance.randint(1, most)))

    def picture(self, count: int) -> Path:
        """A sheet or drawing of `count` black things, unlike any before it."""
        self.drawn += 1
        image = Image.new("L", (110 * count + 20, 130), 255)
        pen = ImageDraw.Draw(image)
        for n in range(count):
            left = 30 + 110 * n
            pen.polygon(
                [
                    (left, 100),
                    (left + self.chance.randint(10, 40), self.chance.randint(15, 40)),
                    (left + 60, 100),
                ],
                fill=0,
            )
            pen.rectangle((left, 100, left + self.drawn % 60, 105), fill=0)
        path = self.folder / f"picture {self.drawn}.png"
        image.save(path)
        return path

    def intake(self) -> None:
        tags = ("van",) if self.chance.random() < 0.5 else (f"own word {self.drawn}",)
        job = self.chance.choice([None, "Ferry", f"Job {self.drawn}"])
        paths = [self.picture(1) for _ in range(self.chance.randint(1, 3))]
        with self.lib.one_step("an intake"):
            if job:
                jobs.open_job(self.lib, job, jobs.Facts())
            bring_in(self.lib, paths, Wishes(role="element", tags=tags, job=job))

    def sheet(self) -> None:
        with self.lib.one_step("a sheet, cut"):
            (added,) = bring_in(
                self.lib, [self.picture(self.chance.randint(2, 3))], Wishes(role="sheet")
            ).added
            cut_sheet(self.lib, added.code)

    def cut(self) -> None:
        sheets = self.codes("sheet")
        if sheets:
            left = self.chance.randint(15, 28)
            box = (left, 15, self.chance.randint(60, 100), self.chance.randint(70, 100))
            cut_sheet(self.lib, self.chance.choice(sheets), CutSettings(boxes=(box,)), fresh=True)

    def opening(self) -> None:
        for code in self.some(1):
            changes = clean_copies.Changes(
                **{self.chance.choice(["remove", "put_back"]): (self.chance.choice(clean_copies.BLEMISHES),)}
            )
            clean_copies.make(self.lib, code, changes)

    def tag(self) -> None:
        word = self.chance.choice(["van", "dog", "boat", f"word {self.drawn}"])
        change = tagging.Description(
            add=(word,) if self.chance.random() < 0.7 else (), remove=("dog",), title=f"called {word}"
        )
        tagging.describe(self.lib, self.some(), change)

    def origin(self) -> None:
        values = CLEAR if self.chance.random() < 0.7 else TRACED
        clearance.answer(self.lib, self.some(), clearance.Statement(values))

    def two(self) -> list[str]:
        return self.chance.sample(self.codes(), 2) if len(self.codes()) > 1 else ["", ""]

    def merge(self) -> None:
        merging.merge(self.lib, *self.two())

    def pair(self) -> None:
        settling.decide(self.lib, *self.two(), self.chance.choice(["family", "different"]))

    def redraw(self) -> None:
        redrawing.next_version(self.lib, *self.two(), self.chance.choice(["redrawn", "came back altered"]))

    def collect(self) -> None:
        name = self.chance.choice(["Vans", "Dogs"])
        if name not in self.model.seen:
            collections.make(self.lib, name)
        elif self.chance.random() < 0.3:
            collections.choose_licence(self.lib, name, "one artist")
        elif self.chance.random() < 0.8:
            collections.put(self.lib, name, self.some())
        else:
            collections.take_out(self.lib, name, self.some())

    def bundle(self) -> None:
        """What stands in a collection and is clear is issued; the rest is taken out first."""
        name = self.chance.choice(["Vans", "Dogs"])
        if name not in self.model.seen or not self.model.seen[name]["items"]:
            return
        with self.lib.one_step("cleared"):
            codes = [str(code) for code in self.model.seen[name]["items"]]  # type: ignore[attr-defined]
            clearance.answer(self.lib, codes, clearance.Statement(CLEAR))
            collections.choose_licence(self.lib, name, "one artist")
        self.model.did("clearing", look(self.lib), self.steps())
        bundling.build(self.lib, name, again=True)

    def use(self) -> None:
        for code in self.some(1):
            with self.lib.transaction(f"{code} pasted") as session:
                record_use(
                    self.lib, session, pinned(queries.entry(session, code)), Placing("frame 3.psd", "3A")
                )


ENTRIES = """SELECT e.id, c.code, e.role, e.title, e.in_attic, v.id, v.number, u.number
    FROM entries e JOIN codes c ON c.id = e.id JOIN versions v ON v.id = e.current_version_id
    JOIN cuts u ON u.id = v.current_cut_id"""

TAGS = """SELECT t.entry_id, l.text FROM tags t JOIN labels l ON l.concept_id = t.concept_id
    WHERE l.kind = 'preferred' AND t.state <> 'left'"""

FAMILIES = """SELECT a.entry_id, b.entry_id FROM descents d JOIN versions a ON a.id = d.child_id
    JOIN versions b ON b.id = d.parent_id"""

USES = """SELECT v.entry_id FROM uses u JOIN versions v ON v.id = u.version_id WHERE u.voided_at IS NULL"""

ITEMS = """SELECT c.name, c.licence, d.code FROM collections c
    LEFT JOIN collection_items i ON i.collection_id = c.id LEFT JOIN codes d ON d.id = i.entry_id
    ORDER BY c.id, i.ordinal"""


def look(lib: Library) -> dict[str, Seen]:
    """Everything that can be seen of drawings and collections, by code and by name."""
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        ask = connection.execute
        code = dict(ask("SELECT e.id, c.code FROM entries e JOIN codes c ON c.id = e.id"))
        answers: dict[int, set[object]] = defaultdict(set)
        for version_id, *answer in ask("SELECT version_id, question, value, to_confirm FROM origin_answers"):
            answers[version_id].add(tuple(answer))
        seen: dict[str, Seen] = {
            name: {"role": role, "title": title, "in_attic": in_attic, "state": (number, cut),
                   "answers": answers[version_id], "tags": set(), "family": set(), "uses": 0}
            for _, name, role, title, in_attic, version_id, number, cut in ask(ENTRIES)
        }  # fmt: skip
        assert seen.keys() == set(code.values()), "a drawing without a cut"
        for entry_id, text in ask(TAGS):
            seen[code[entry_id]]["tags"].add(text)  # type: ignore[attr-defined]
        for pair in ask(FAMILIES):
            for one, other in (pair, pair[::-1]):
                seen[code[one]]["family"].add(code[other])  # type: ignore[attr-defined]
        for (entry_id,) in ask(USES):
            seen[code[entry_id]]["uses"] += 1  # type: ignore[operator]
        for name, licence, item in ask(ITEMS):
            seen.setdefault(name, {"items": [], "licence": licence})
            seen[name]["items"] += [item] if item else []  # type: ignore[operator]
        return seen


STOOD_ON = """
    WITH RECURSIVE made(entry_id, original_id) AS (
        SELECT v.entry_id, p.original_id FROM versions v JOIN cuts c ON c.version_id = v.id
        JOIN pieces p ON p.cut_id = c.id),
    named(entry_id, other_id) AS (
        SELECT v.entry_id, w.entry_id FROM origin_answers a JOIN versions v ON v.id = a.version_id
        JOIN cuts c ON c.id = a.cut_id JOIN versions w ON w.id = c.version_id),
    kept(entry_id) AS (
        SELECT v.entry_id FROM versions v WHERE v.id IN (SELECT version_id FROM bundle_items
                                                         UNION SELECT version_id FROM uses)
        UNION SELECT n.other_id FROM kept k JOIN named n ON n.entry_id = k.entry_id
        UNION SELECT m.entry_id FROM kept k JOIN made o ON o.entry_id = k.entry_id
              JOIN made m ON m.original_id = o.original_id)
    SELECT d.code FROM codes d WHERE d.id IN (SELECT entry_id FROM kept)
    UNION SELECT name FROM collections WHERE id IN (SELECT collection_id FROM bundles)"""
"""Drawings that were issued or used; then, from one to the next, what their pieces are taken from and the doubles
that what is said of them names; and the collections that were issued."""


def stood_on(lib: Library) -> set[str]:
    """What cannot go any more."""
    with closing(sqlite3.connect(lib.catalogue)) as connection:
        return {row[0] for row in connection.execute(STOOD_ON)}


@pytest.fixture
def lib(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Library]:
    without_workers(monkeypatch)
    settings = Settings(artist="Ida Brandt", contact="ida@boards.example", workers=1)
    opened = start_library(tmp_path / "library", settings, lambda: NOON)
    yield opened
    opened.close()


@pytest.mark.parametrize("seed", [1, 3])
def test_a_random_history_can_be_taken_back(lib: Library, tmp_path: Path, seed: int) -> None:
    story = History(lib, tmp_path, seed)
    story.run()
    assert check(lib).clean
