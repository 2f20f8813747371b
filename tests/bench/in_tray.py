"""How many keys it takes to describe the drawings of five sheets, and how right they are afterwards; run by hand.

python -m tests.bench.in_tray LIBRARY [--apart]

LIBRARY is one into which the demo's sheets were brought and cut, with nothing described; it is copied. With --apart it
is that of `python -m tests.bench.in_tray_apart`: sixty drawings that nothing was tuned on. What has to stand on each
drawing was written down beforehand, by looking (in_tray_truth.tsv, in_tray_truth_apart.tsv). A scripted artist goes
through the in-tray: takes the title that was read from the caption where it is right, else types it, and where a
suggestion then on a key is right and still missing, takes it. Keys are counted as the terminal's; the letters of titles
are told apart. Agreement is the share of facts that stand, where a wrong one counts twice: right / (wanted + 2 x
wrong). Beside it, an artist who takes everything that is offered.
"""

from __future__ import annotations

import argparse
import json
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assetlib.catalogue import lookup
from assetlib.library import Library
from assetlib.rules.words.learning import TAG
from assetlib.rules.words.thesaurus import Thesaurus
from assetlib.services.describing.suggestions import carried
from assetlib.services.describing.tray import Tray
from assetlib.services.describing.waiting import Chip, View
from tests.bench import in_tray_apart
from tests.bench.captions import bare

TRUTH = Path(__file__).with_name("in_tray_truth.tsv")
SHEETS = {"hands": "hands", "van": "BAKERY", "crowd": "crowd", "ferry": "island", "bits": "arrows"}
"""A word of each sheet's file name by its name in the truth."""


@dataclass(frozen=True)
class Wanted:
    """Facts that have to stand (one of each group), those that may stand as well, and the title."""

    title: str
    groups: tuple[frozenset[str], ...]
    allowed: frozenset[str]

    def missing(self, said: set[str]) -> set[str]:
        """Facts that are wanted and of whose group none stands."""
        bare = {fact: {fact, fact.partition("=")[2] or fact} for group in self.groups for fact in group}
        return {
            name
            for group in self.groups
            if not any(bare[fact] & said for fact in group)
            for fact in group
            for name in bare[fact]
        }


def read_truth() -> dict[tuple[str, int], Wanted]:
    """By sheet and place on it."""
    folder = Path(__file__).parents[2] / "demo_assets"
    told = json.loads((folder / "expected.json").read_text(encoding="utf-8"))["sheets"]
    titles = {
        (name, item["order"]): item["title"]
        for sheet in told
        for name, word in SHEETS.items()
        if word in sheet["file"]
        for item in sheet["elements"]
    }
    found = {}
    for line in TRUTH.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            sheet, place, *facts = line.split("\t")
            at = facts.index(";")
            groups = tuple(frozenset(fact.split("/")) for fact in facts[:at])
            allowed = frozenset(facts[at + 1 :]).union(*groups)
            found[sheet, int(place)] = Wanted(titles[sheet, int(place)], groups, allowed)
    return found


def read_truth_apart() -> dict[tuple[str, int], Wanted]:
    """The same of the second set."""
    found = {}
    for sheet, place, _, _, title, *facts in in_tray_apart.rows():
        at = facts.index(";")
        groups = tuple(frozenset(fact.split("/")) for fact in facts[:at])
        allowed = frozenset(facts[at + 1 :]).union(*groups)
        found[sheet, int(place)] = Wanted(title, groups, allowed)
    return found


def told(wanted: Wanted, trade: Thesaurus) -> Wanted:
    """The same with every tag by its preferred label: *bald man* is *bald head* there."""

    def named(facts: frozenset[str]) -> frozenset[str]:
        concepts = {fact: None if "=" in fact else trade.concept_for(fact) for fact in facts}
        return frozenset(c.pref if c is not None and not c.facet else fact for fact, c in concepts.items())

    return Wanted(wanted.title, tuple(map(named, wanted.groups)), named(wanted.allowed))


def wanted_for(view: View, truth: dict[tuple[str, int], Wanted]) -> Wanted:
    """The truth for the drawing in turn."""
    if ("a", 1) in truth:
        assert view.box is not None
        return truth[view.sheet.split()[-1][0].casefold(), in_tray_apart.place_of(view.box)]
    name = next(name for name, word in SHEETS.items() if word.casefold() in view.sheet.casefold())
    assert view.place is not None
    return truth[name, view.place[0]]


@dataclass
class Count:
    """Keys pressed, and letters of titles."""

    keys: int = 0
    letters: int = 0
    read: int = 0
    """Titles that were taken as they had been read."""


def with_eyes(tray: Tray, truth: dict[tuple[str, int], Wanted], count: Count) -> None:
    """Title, the right suggestions that are still missing, next."""
    wanted = wanted_for(tray.view(), truth)
    offered = tray.view().offered
    if offered is not None and bare(offered.text.removeprefix("title: ")) == bare(wanted.title):
        count.read += 1
        count.keys += 1 + _taken(tray, offered)
    else:
        tray.name(wanted.title)
        count.letters += len(wanted.title)
        count.keys += 2  # t, and enter at the end
    took = _take_missing(tray, wanted)
    count.keys += took + (1 if took else 0)  # tab, to stay
    tray.finish()


def _taken(tray: Tray, offered: Chip) -> int:
    """Have a title taken that is offered; how many keys that costs."""
    if not offered.taken:
        tray.toggle(offered.key)
    return int(not offered.taken)


def _take_missing(tray: Tray, wanted: Wanted) -> int:
    """Take what is right and still missing, where it is on a key; how many."""
    took = 0
    for chip in tray.view().chips:
        view = tray.view()
        said = facts_of(view.said) | facts_of(c.text for c in view.chips if c.taken)
        if not chip.taken and facts_of([chip.text]) & wanted.missing(said):
            tray.toggle(chip.key)
            took += 1
    return took


def with_captions(tray: Tray, truth: dict[tuple[str, int], Wanted], count: Count) -> None:
    """As `with_eyes`, but what was read from a caption is good enough as a title."""
    wanted = wanted_for(tray.view(), truth)
    offered = tray.view().offered
    if offered is not None and offered.why == "read from its caption":
        count.read += 1
        count.keys += 1 + _taken(tray, offered) + _take_missing(tray, wanted)
        tray.finish()
    else:
        with_eyes(tray, truth, count)


def blindly(tray: Tray, truth: dict[tuple[str, int], Wanted], count: Count) -> None:
    """Everything that is offered, and no title."""
    for chip in tray.view().chips:
        if not chip.taken:
            tray.toggle(chip.key)
            count.keys += 1
    count.keys += 1
    if not tray.finish():  # of some nothing is known: they would go round for ever
        tray.name("?")
        tray.finish()


def facts_of(words) -> set[str]:  # type: ignore[no-untyped-def]
    """Words as the screen shows them, comparable with the truth's facts."""
    found = set()
    for word in words:
        people = word.removesuffix(" person").removesuffix(" people")
        found.add(f"people={people}" if people != word else word)
    return found


def standing(lib: Library, tray_names: dict[str, str]) -> dict[int, set[str]]:
    """What stands on every drawing in the end, tags by their labels and facets as facet=value."""
    with lookup.looking(lib.catalogue) as connection:
        ids = [row[0] for row in connection.execute("SELECT id FROM entries WHERE role = 'element'")]
        found = carried(connection, ids)
        return {
            i: {tray_names.get(v, v.removeprefix("own:")) if f == TAG else f"{f}={v}" for f, v in found[i]}
            for i in ids
        }


def run(
    library: Path,
    way: Callable[[Tray, dict[tuple[str, int], Wanted], Count], None],
    truth: dict[tuple[str, int], Wanted],
) -> None:
    """One sitting on a copy of the library, and its figures."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "library"
        shutil.copytree(library, copy)
        lib = Library.open(copy)
        tray = Tray(lib)
        truth = {place: told(wanted, tray._advisor.trade) for place, wanted in truth.items()}
        labels = {slug: concept.pref for slug, concept in tray._advisor.trade.concepts.items()}
        count, asked, number = Count(), {}, 0
        while not tray.is_empty:
            view = tray.view()
            asked[view.code] = wanted_for(view, truth)
            way(tray, truth, count)
            number += 1
        with lookup.looking(lib.catalogue) as connection:
            ids = dict(connection.execute("SELECT c.code, e.id FROM entries e JOIN codes c ON c.id = e.id"))
        said = standing(lib, labels)
        right = wanted = wrong = 0
        for code, truth_of in asked.items():
            have = said[ids[code]]
            right += sum(bool(group & have) for group in truth_of.groups)
            wanted += len(truth_of.groups)
            bad = {
                f for f in have if f not in truth_of.allowed and not f.startswith(("finish=", "age_group="))
            }
            wrong += len(bad)
            for group in truth_of.groups:
                if not group & have:
                    print(f"   missing on {truth_of.title}: {'/'.join(sorted(group))}")
            if bad:
                print(f"   wrong on {truth_of.title}: {', '.join(sorted(bad))}")
        lib.close()
    agreement = right / (wanted + 2 * wrong)
    print(f"{way.__name__}: {number} drawings, {count.keys} keys besides {count.letters} letters of titles, "
          f"{count.read} titles taken as read; "
          f"{right} of {wanted} facts stand, {wrong} wrong, agreement {agreement:.3f}")  # fmt: skip


def main() -> None:
    """Prints both artists' figures."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("library", type=Path)
    parser.add_argument("--apart", action="store_true", help="the second set")
    parser.add_argument("--artist", action="append", help="one of them alone; several allowed")
    options = parser.parse_args()
    truth = read_truth_apart() if options.apart else read_truth()
    for way in (with_eyes, with_captions, blindly):
        if not options.artist or way.__name__ in options.artist:
            run(options.library, way, truth)


if __name__ == "__main__":
    main()
