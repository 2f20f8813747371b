"""Finding entries by plain words, a line of the shot list, pictures and sketches.

How much of the line a drawing meets comes first. The answer has three strips: what
fits, what meets part of the line, with what is missing, and what only looks like it.
"""

from __future__ import annotations

import datetime as dt
import heapq
import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from assetlib.catalogue import lookup
from assetlib.catalogue.cards import Card, read_cards
from assetlib.catalogue.guards import FACETS_OR_OFFERED
from assetlib.errors import AmbiguousCode, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.roles import DRAWN
from assetlib.rules.shots.serving import MIRROR_IT
from assetlib.rules.shots.settings import read_settings
from assetlib.rules.words.tags import fold
from assetlib.services.finding import asking, sheet_names
from assetlib.services.finding.asking import Question
from assetlib.services.finding.judging import Fit, Judge, Verdict
from assetlib.services.finding.known_words import untold
from assetlib.services.finding.meeting import BEHIND, Meeting, meet
from assetlib.services.finding.mirroring import DriverSide

if TYPE_CHECKING:
    from assetlib.services.finding.likeness import Looks, Vectors

DEFAULT_ROLES = DRAWN
"""References are left out unless they are asked for: they are no drawings of the artist's."""

LOOKS_BESIDES = 0.05
"""What looking like the line adds to what carries it in words: it orders those that match alike."""

BEHIND_BESIDES = 0.1
"""What a sheet, file or folder of the wanted name adds to what only looks like the line."""

GOOD_BESIDE_BEST = 0.42
"""Share of the best answer's part of the line that another must meet to stand beside it."""

SHOWN = 8
"""Rows that a terminal shows; of fewer the look-alikes take no larger share."""

NEAREST = 3
"""Drawings that only look like the line, where nothing fits."""

UNTOLD_SHARE = 0.5
"""How much of *no people* a drawing meets of which nothing is known."""

LOOKED_AT = 60
"""Drawings that look most like a line and are handed on."""

SHORTEST_CODE = 3
"""Letters of a code that are taken for one (as `catalogue.codes` has it, whose import a search cannot afford)."""

LEADING = 240
"""How many of the best entries have their titles read: several times what any list shows."""

STRIPS: tuple[Fit, ...] = ("fits", "partly", "near")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for: words, and what an entry must carry."""

    text: str = ""
    only: tuple[str, ...] = ()
    """Facets as `FACET=VALUE`; suggested ones count, so that undescribed drawings are found."""
    tags: tuple[str, ...] = ()
    roles: tuple[str, ...] = DEFAULT_ROLES
    limit: int = 24
    in_tray: bool = False
    like: tuple[str, ...] = ()
    """Codes of entries, or paths of pictures, that results are to look like."""
    sketch: tuple[Path, ...] = ()
    """Rough drawings or photos of paper that results are to look like; their ground is taken off."""
    unlike: tuple[str, ...] = ()
    since: str = ""
    """First day of bringing in, as `2026-03-14`, `2026-03` or `2026`."""
    before: str = ""
    """The day before which it was brought in, written the same way."""
    job: str = ""
    """The name of the job that it was brought in for."""
    driver_side: str | None = None
    """Where the driver sits, *left* or *right*; empty as the drawings have it, None as the job in use does."""

    @property
    def shows(self) -> bool:
        """Whether pictures are part of the question."""
        return bool(self.like or self.sketch or self.unlike)


@dataclass(frozen=True, slots=True)
class Result:
    """A found entry, on one of three strips, with what of the line it does not meet, and why it is here."""

    card: Card
    score: float
    why: tuple[str, ...]
    """In few plain words; empty where the title says it."""
    fit: Fit = "fits"
    unmet: tuple[str, ...] = ()
    mirror: bool = False
    """Whether it goes the other way, and would do mirrored."""
    verdict: Verdict = field(default_factory=lambda: Verdict(0.0), repr=False, compare=False)
    """What was judged, for those who go on from it; the rest of this row is how it is told."""


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to a question: `total` counts all that fit or meet part of it, `results` holds the best of each."""

    query: str
    understood: dict[str, tuple[str, ...]]
    total: int
    results: tuple[Result, ...]
    heading: bool = False
    """Whether the line is a heading of a list; nothing was looked for then."""
    fitting: int = 0
    """How many fit."""
    wanted: tuple[str, ...] = ()
    """What the line asks for, in its own words."""
    by_sheet: tuple[Card, ...] = ()
    """Drawings that neither fit nor meet part of the line, but carry its words in the name of their sheet."""
    by_sheet_total: int = 0
    """How many such drawings there are."""
    sheets: tuple[str, ...] = ()
    """Codes of the sheets they are named after."""

    def on(self, fit: Fit) -> tuple[Result, ...]:
        """The results on one strip."""
        return tuple(result for result in self.results if result.fit == fit)


def find(lib: Library, question: Asked) -> Found:
    """The entries that fit a question best, best first.

    Raises WrongUsage for a facet or tag that cannot be, NotFound or BadPicture for a picture that cannot be looked at.
    """
    return next(find_each(lib, [question]))


def find_each(lib: Library, questions: Iterable[Asked]) -> Iterator[Found]:
    """The answer to each question in turn, all from one opened catalogue."""
    with lookup.looking(lib.catalogue) as connection:
        eye = _Eye(lib, connection)
        in_use = lookup.wheel_in_use(connection)
        for question in questions:
            wanted = in_use if question.driver_side is None else question.driver_side
            side = DriverSide(lib.settings.driver_side, wanted)
            yield _find(connection, eye, question, side)


def _find(connection: sqlite3.Connection, eye: _Eye, asked: Asked, side: DriverSide) -> Found:
    question = asking.read(connection, asked.text, frames="frame" in asked.roles)
    if question.heading:
        return Found(asked.text, {}, 0, (), heading=True)
    shelf = _Shelf(connection, asked)
    if not asked.text.strip() and not asked.shows:
        return _everything(connection, asked, shelf)
    meetings = meet(connection, question, shelf.keep)
    answer = _Answer(connection, Judge(connection, question, meetings, side), meetings)
    if not meetings and question.without:
        answer.take_all(shelf.everything())
    answer.look(eye, asked, question, shelf)
    rows, total = answer.rows(asked)
    standing = {entry_id for entry_id, verdict in rows if verdict.fit != "near"}
    named = [i for i in sheet_names.carriers(connection, asked.text, shelf.keep) if i not in standing]
    looking_alike = {entry_id for entry_id, _ in rows}
    shown = sorted(named, key=lambda i: i not in looking_alike)[: asked.limit]
    cards = read_cards(connection, [*(entry_id for entry_id, _ in rows), *shown])
    results = tuple(_result(cards[i], verdict) for i, verdict in rows if i in cards)
    wanted = tuple(part.told for part in question.parts if not part.soft)
    by_sheet = tuple(cards[i] for i in shown if i in cards)
    sheets = tuple(lookup.sheets_behind(connection, named)) if named else ()
    return Found(
        asked.text, question.understood, total, results, False, answer.fitting, wanted, by_sheet, len(named),
        sheets,
    )  # fmt: skip


def _everything(connection: sqlite3.Connection, asked: Asked, shelf: _Shelf) -> Found:
    """All that may be found, newest first: nothing was asked for."""
    ids = sorted(shelf.everything(), reverse=True)
    cards = read_cards(connection, ids[: asked.limit])
    results = tuple(Result(cards[i], 0.0, ()) for i in ids[: asked.limit] if i in cards)
    return Found(asked.text, {}, len(ids), results, fitting=len(ids))


def _result(card: Card, verdict: Verdict) -> Result:
    why = [f"shows {thing}" for thing in verdict.against]
    if verdict.mirror:
        why.append(f"{MIRROR_IT}, {verdict.minding}" if verdict.minding else MIRROR_IT)
    unmet = (*verdict.unmet, *(f"no {thing}" for thing in verdict.against))
    told = (*why, *verdict.why, *filter(None, [verdict.wrong_side]))
    return Result(card, round(verdict.score, 4), told, verdict.fit, tuple(unmet), verdict.mirror, verdict)


class _Answer:
    """The drawings that answer a line, strip by strip."""

    def __init__(self, connection: sqlite3.Connection, judge: Judge, meetings: list[Meeting]) -> None:
        self._connection, self._judge = connection, judge
        met = set().union(*(m.entries for m in meetings)) if meetings else set()
        self._scores = {i: judge.coverage(i) for i in met}
        self._alike: dict[int, float] = {}
        self._pictures_alone = False
        self.fitting = 0

    def take_all(self, ids: Iterable[int]) -> None:
        """Let every drawing answer: a line that only says what is not to be there.

        Of what nobody described it cannot be said, so it stands behind.
        """
        every = list(ids)
        unknown = untold(self._connection, every)
        self._judge.take_for_untold(unknown)
        self._scores = {i: UNTOLD_SHARE if i in unknown else 1.0 for i in every}

    def look(self, eye: _Eye, asked: Asked, question: Question, shelf: _Shelf) -> None:
        """Take in what looks like the line, or like the pictures that were shown."""
        best = heapq.nlargest(LOOKED_AT, self._scores, key=lambda i: (self._scores[i], -i))
        carriers = {i: self._scores[i] for i in best if self._judge.is_partly(i)}
        self._alike = eye.look(asked, question.said, shelf, carriers)
        self._pictures_alone = asked.shows and not question.parts

    def rows(self, asked: Asked) -> tuple[list[tuple[int, Verdict]], int]:
        """The drawings to show with their verdicts, best first, and how many fit or meet part of the line."""
        if self._pictures_alone:
            nearest = sorted(self._alike, key=lambda i: (-self._alike[i], -i))
            rows = [(i, Verdict(self._alike[i], "near", why=[LOOKS_LIKE_IT])) for i in nearest]
            return rows[: asked.limit], len(rows)
        verdicts = self._judged(asked)
        standing = self._standing(verdicts)
        order = self._newest_leading(sorted(standing, key=lambda i: self._place(i, standing[i])), standing)
        near = self._near(standing, asked)
        room = min(NEAREST, len(near), max(1, asked.limit * NEAREST // SHOWN))
        kept = order[: max(asked.limit - room, self._fit_among(standing))]
        return [*((i, standing[i]) for i in kept), *near][: asked.limit], self._total(verdicts, standing)

    def _newest_leading(self, order: list[int], standing: dict[int, Verdict]) -> list[int]:
        """The same order, but among drawings of one family that answer alike the newest stands where the first did."""
        leading = order[:LEADING]
        families: dict[int, int] = {}
        for child, parent in lookup.kinships(self._connection, leading):
            one, other = families.get(child, child), families.get(parent, parent)
            families |= dict.fromkeys(
                (child, parent, *(k for k, f in families.items() if f in (one, other))), one
            )
        alike: dict[object, list[int]] = {}
        for place, entry_id in enumerate(leading):
            if entry_id in families:
                verdict = standing[entry_id]
                key = (
                    families[entry_id],
                    verdict.fit,
                    tuple(verdict.unmet),
                    verdict.mirror,
                    bool(verdict.against),
                )
                alike.setdefault(key, []).append(place)
        for places in alike.values():
            for place, entry_id in zip(places, sorted((order[p] for p in places), reverse=True), strict=True):
                leading[place] = entry_id
        return [*leading, *order[LEADING:]]

    @staticmethod
    def _fit_among(standing: dict[int, Verdict]) -> int:
        return sum(verdict.fit == "fits" for verdict in standing.values())

    def _judged(self, asked: Asked) -> dict[int, Verdict]:
        leading = heapq.nsmallest(
            max(2 * asked.limit, LEADING),
            self._scores,
            key=lambda i: (self._judge.is_against(i), -self._scores[i], -i),
        )
        verdicts = self._judge.judge(
            [i for i in leading if self._judge.is_partly(i) or not self._judge.has_parts]
        )
        if asked.roles != ("sheet",):
            for sheet in lookup.cut_sheets(self._connection, list(verdicts)):
                del verdicts[sheet], self._scores[sheet]  # its drawings answer for it, and it is not counted
        for entry_id, verdict in verdicts.items():
            verdict.score += LOOKS_BESIDES * self._alike.get(entry_id, 0.0)
        return verdicts

    def _standing(self, verdicts: dict[int, Verdict]) -> dict[int, Verdict]:
        """Those that are good enough beside the best to be shown as fitting or meeting part of the line."""
        if not verdicts:
            return {}
        least = GOOD_BESIDE_BEST * max(verdict.score for verdict in verdicts.values())
        return {i: v for i, v in verdicts.items() if v.fit == "fits" or v.score >= least}

    @staticmethod
    def _place(entry_id: int, verdict: Verdict) -> tuple[int, bool, float, int]:
        return STRIPS.index(verdict.fit), bool(verdict.against), -verdict.score, -entry_id

    def _near(self, standing: dict[int, Verdict], asked: Asked) -> list[tuple[int, Verdict]]:
        """What only looks like the line; three at the most where nothing fits it."""
        behind = {
            i: s for i, s in self._scores.items() if i not in standing and not self._judge.is_against(i)
        }
        scores = {
            i: alike + BEHIND_BESIDES * behind.get(i, 0.0) / BEHIND
            for i, alike in self._alike.items()
            if i not in standing
        }
        if not self._alike:
            scores = dict(heapq.nlargest(asked.limit, behind.items(), key=lambda row: (row[1], row[0])))
        fits = any(verdict.fit == "fits" for verdict in standing.values())
        most = asked.limit if fits or asked.shows else NEAREST
        order = sorted(scores, key=lambda i: (-scores[i], -i))[:most]
        return [
            (i, Verdict(scores[i], "near", why=[LOOKS_LIKE_IT] if i in self._alike else [])) for i in order
        ]

    def _total(self, verdicts: dict[int, Verdict], standing: dict[int, Verdict]) -> int:
        """How many fit or meet part of the line, whatever the list shows."""
        best = max((v.score for v in verdicts.values()), default=0.0)
        rest = [i for i, s in self._scores.items() if i not in verdicts and s >= GOOD_BESIDE_BEST * best]
        self.fitting = sum(v.fit == "fits" for v in standing.values()) + sum(
            self._judge.fits(i) for i in rest
        )
        return len(standing) + sum(self._judge.is_partly(i) for i in rest)


LOOKS_LIKE_IT = "looks like it"


class _Eye:
    """Looks at drawings for a question; nothing of it is loaded before a question needs it."""

    def __init__(self, lib: Library, connection: sqlite3.Connection) -> None:
        self._lib, self._connection = lib, connection
        self._looks: Looks | None = None

    def look(self, asked: Asked, words: str, shelf: _Shelf, carriers: dict[int, float]) -> dict[int, float]:
        """Entries that look like what is asked for, with how like; none where only grammar or nothing was said.

        `carriers` carry the line in words, each with how much of it: what they look like says what is wanted.
        """
        if not (asked.shows or words.strip()) or not (self._lib.derived / "vectors").is_dir():
            return {}
        from assetlib.services.finding import likeness

        if self._looks is None:
            self._looks = likeness.Looks(self._lib, self._connection)
        if not self._looks.ready:
            return {}
        if not asked.shows:
            found = self._looks.nearest(self._looks.wanted(words, carriers), 4 * LOOKED_AT)
        else:
            wanted, unwanted, themselves = self._shown(asked)
            if words.strip():
                wanted.append(self._looks.said(words))
            query = likeness.blended(wanted, unwanted)
            allowed = set(shelf.everything()) - themselves
            found = self._looks.nearest(query, 4 * max(asked.limit, LOOKED_AT), allowed)
            found = self._looks.laid_over(found)
        kept = set(shelf.keep(alike.entry_id for alike in found))
        kept -= lookup.cut_sheets(self._connection, kept)
        return {alike.entry_id: alike.score for alike in found if alike.entry_id in kept}

    def _shown(self, asked: Asked) -> tuple[list[Vectors], list[Vectors], set[int]]:
        """Vectors of what is wanted and what is not, and the entries among them: they do not find themselves."""
        themselves: set[int] = set()
        wanted = [self._picture(given, themselves) for given in asked.like]
        wanted += [self._file(path, sketch=True) for path in asked.sketch]
        unwanted = [self._picture(given, themselves) for given in asked.unlike]
        return wanted, unwanted, themselves

    def _picture(self, given: str, themselves: set[int]) -> Vectors:
        path = Path(given).expanduser()
        if path.is_file():
            return self._file(path, sketch=False)
        found = lookup.entries_coded(self._connection, given.strip().upper())
        if len(given.strip()) < SHORTEST_CODE or not found:
            raise NotFound(f"'{given}' is neither a file nor the code of a drawing")
        if len(found) > 1:
            raise AmbiguousCode(f"'{given}' begins several codes: {', '.join(code for _, code in found)}")
        entry_id, code = found[0]
        assert self._looks is not None
        vector = self._looks.of(entry_id)
        if vector is None:
            raise NotFound(f"it is not known yet what {code} looks like", "run `assetlib upkeep`")
        themselves.add(entry_id)
        return vector

    def _file(self, path: Path, *, sketch: bool) -> Vectors:
        assert self._looks is not None
        return self._looks.of_file(path, sketch=sketch)


_OF_JOB = """id IN (SELECT v.entry_id FROM jobs j JOIN arrivals a ON a.job_id = j.id
                     JOIN pieces p ON p.original_id = a.original_id
                     JOIN versions v ON v.current_cut_id = p.cut_id WHERE j.name = ?)"""


class _Shelf:
    """Which entries a question may find at all."""

    def __init__(self, connection: sqlite3.Connection, question: Asked) -> None:
        self._connection = connection
        self._filtered = bool(
            question.only
            or question.tags
            or question.in_tray
            or question.since
            or question.before
            or question.job
        )
        self._allowed = "role IN (SELECT value FROM json_each(?)) AND NOT in_attic"
        self._values: list[object] = [json.dumps(question.roles)]
        if question.in_tray:
            self._allowed += " AND described_at IS NULL AND role = 'element'"
        if question.only:
            self._demand_facets(question.only)
        for tag in question.tags:
            self._allowed += """ AND id IN (SELECT entry_id FROM tags
                                            WHERE concept_id = ? AND state IN ('given', 'taken'))"""
            self._values.append(lookup.concept_called(connection, fold(tag)) or -1)
        if question.since:
            self._demand("added_at >= ?", first_instant(question.since))
        if question.before:
            self._demand("added_at < ?", first_instant(question.before))
        if question.job:
            self._demand(_OF_JOB, question.job)
        # Few entries stand outside by default, so those are what is remembered; a filter turns that round.
        query = self._allowed if self._filtered else f"NOT ({self._allowed})"
        self._ids = set(self._select(query))

    def _demand_facets(self, only: Iterable[str]) -> None:
        for facet, value in read_settings(only):
            if value is None:
                raise WrongUsage(f"'{facet}=' names no value to look for")
            self._allowed += f""" AND id IN (SELECT entry_id FROM {FACETS_OR_OFFERED}
                                            WHERE facet = ? AND value = ?)"""
            self._values += [facet, value]

    def _demand(self, condition: str, value: str) -> None:
        self._allowed += f" AND {condition}"
        self._values.append(value)

    def _select(self, condition: str) -> list[int]:
        rows = self._connection.execute(f"SELECT id FROM entries WHERE {condition}", self._values)
        return [row[0] for row in rows.fetchall()]

    def keep(self, ids: Iterable[int]) -> list[int]:
        """Those of the ids that may be found."""
        return [i for i in ids if (i in self._ids) == self._filtered]

    def everything(self) -> list[int]:
        """All that may be found."""
        return self._select(self._allowed)


def first_instant(day: str) -> str:
    """The first instant of a day, month or year as the catalogue writes instants (UTC). Raises WrongUsage."""
    for shape, rest in (("%Y-%m-%d", ""), ("%Y-%m", ""), ("%Y", "")):
        try:
            found = dt.datetime.strptime(day.strip() + rest, shape)
        except ValueError:
            continue
        return found.strftime("%Y-%m-%dT00:00:00")
    raise WrongUsage(f"'{day}' is no day", "write it as 2026-03-14, 2026-03 or 2026")
