"""Finding: quality on titles that the drawings' own files carry, and speed by words and pictures with 100,000 elements.

    python -m tests.bench.finding quality [--half report] [--looks]
    python -m tests.bench.finding speed [--elements 100000]

Quality needs Debian's openclipart-png and openclipart-svg. The library holds the PNG files under the words of
their file names; the queries are titles from the metadata of the SVG files, some inflected, cut short or
reordered. Tuned on `--half tune`.
"""

from __future__ import annotations

import argparse
import html
import os
import random
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw
from sqlalchemy import insert

from assetlib.catalogue.tables import Code, Cut, Entry, Facet, Original, Piece, Tag, Version
from assetlib.cli.render import Bar
from assetlib.library import Library
from assetlib.rules.shots import grammar
from assetlib.rules.words import thesaurus
from assetlib.services import shelf
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.finding import likeness
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.starting import start_library
from assetlib.storage.blobs import as_digest
from assetlib.vectors import stored
from assetlib.vectors.encoders import open_encoder

PNG = Path("/usr/share/openclipart/png")
SVG = Path("/usr/share/openclipart/svg")
QUERIES = 50
RUNS = 5


def titles(half: str) -> list[tuple[str, Path]]:
    """Titles of several words with the PNG each belongs to; every other one belongs to a half.

    A title that several drawings carry is the name of a set or of a template ("lemon svg theme", on hundreds):
    it tells none of them apart, so it is no query.
    """
    found = []
    for path in sorted(SVG.rglob("*.svg")):
        png = PNG / path.relative_to(SVG).with_suffix(".png")
        if png.is_file() and (title := _own_title(path)):
            found.append((title, png))
    carried = Counter(title.casefold() for title, _ in found)
    single = [(title, png) for title, png in found if carried[title.casefold()] == 1 and _speaks(title)]
    random.Random(7).shuffle(single)
    return single[0 if half == "tune" else 1 :: 2][:QUERIES]


def _own_title(path: Path) -> str:
    """The first dc:title in the file's metadata (Dublin Core in RDF), without spaces around it; empty without one."""
    match = re.search(rb"<dc:title>([^<]*)</dc:title>", path.read_bytes())
    return html.unescape(match.group(1).decode("utf-8", "replace")).strip() if match else ""


def _speaks(title: str) -> bool:
    words = re.findall(r"[A-Za-z]{3,}", title)
    return len(words) >= 2 and not re.search(r"\d|untitled|unnamed", title, re.IGNORECASE)


def asked(title: str, number: int) -> str:
    """The title as somebody might type it: as it is, inflected, cut short, reordered, by turns."""
    words = re.findall(r"[A-Za-z']+", title.lower())
    match number % 4:
        case 1:
            words = [word[:-1] if word.endswith("s") and len(word) > 3 else word + "s" for word in words]
        case 2:
            words = [word[: max(4, len(word) - 2)] for word in words]
        case 3:
            words = words[::-1]
    return " ".join(words)


def quality(half: str, work: Path, with_looks: bool) -> None:
    """Print how often the drawing that a title belongs to is among the first 1, 5 and 10."""
    queries = titles(half)
    folder = work / "openclipart"
    if not folder.exists():
        lib = start_library(folder)
        bring_in(lib, [PNG], Wishes(role="element"))
    else:
        lib = Library.open(folder)
    if with_looks:
        upkeep.work_off(lib, [row for row in upkeep.derivations(lib) if row.kind == "vector"], progress=Bar())
        likeness.build(lib)
    ranks = []
    for number, (title, png) in enumerate(queries):
        sources = [r.card.source for r in find(lib, Asked(asked(title, number), limit=10)).results]
        same = [_same_title(source, png) for source in sources]
        ranks.append(same.index(True) + 1 if True in same else 99)
        if ranks[-1] > 10:
            print(f"  not found: {asked(title, number)!r} for {png.name}")
    for first in (1, 5, 10):
        print(f"among the first {first:2}: {sum(rank <= first for rank in ranks) / len(ranks):.2f}")


def _same_title(source: str, png: Path) -> bool:
    """The file itself, or one that differs from it by its number alone: nobody could ask for one of those by words."""
    plain = re.compile(r"[\d_]+$")
    return plain.sub("", Path(source).stem) == plain.sub("", png.stem)


def fill(lib: Library, count: int) -> None:
    """Put `count` elements with titles, tags and facets into the catalogue, without files: only reads are timed."""
    rng = random.Random(1)
    trade = thesaurus.load()
    labels = [concept.pref for concept in trade.concepts.values() if not concept.facet]
    weights = [1 / (n + 3) for n in range(len(labels))]
    facets = [(facet, value) for facet, values in grammar.FACETS.items() for value in values]
    now = lib.now()
    with lib.transaction() as session:
        base = {"created_at": now}
        session.execute(insert(Original), [{
            "id": 1, "sha256": "0" * 64, "bytes": 1, "format": "PNG", "media_type": "image/png", "width": 9,
            "height": 9, "pages": 1, "bits": 8, "mode": "L", "has_alpha": False, "orientation": 1,
            "ground": "white paper", "pixel_sha256": "0" * 64, "words": {}, "layers": [], **base}])  # fmt: skip
        concepts = {row[0]: row[1] for row in session.connection().exec_driver_sql(
            "SELECT text, concept_id FROM labels WHERE kind = 'preferred'")}  # fmt: skip
        codes, entries, versions, cuts, pieces, tags, rows, texts = [], [], [], [], [], [], [], []
        for n in range(1, count + 1):
            words = rng.choices(labels, weights, k=rng.randint(1, 4))
            title = " ".join(words)
            chosen = set(rng.sample(facets, rng.randint(0, 4)))
            tagged = set(rng.choices(labels, weights, k=rng.randint(0, 3))) & set(concepts)
            codes.append({"id": n, "code": f"X{n:07}", "kind": "element", **base})
            entries.append({"id": n, "uuid": f"{n:036}", "role": "element", "title": title, "title_source": "artist",
                            "in_attic": False, "added_at": now})  # fmt: skip
            versions.append({"id": n, "uuid": f"v{n:035}", "entry_id": n, "number": 1, "made_at": now,
                             "reason": "bench"})  # fmt: skip
            cuts.append({"id": n, "version_id": n, "number": 1, "width": 9, "height": 9, "ground": "white paper",
                         "made_at": now, "reason": "bench"})  # fmt: skip
            pieces.append(
                {"cut_id": n, "ordinal": 0, "original_id": 1, "page": 0, "x": 0, "y": 0, "w": 9, "h": 9}
            )
            tags += [{"entry_id": n, "concept_id": concepts[t], "source": "artist", "state": "given", "made_at": now}
                     for t in tagged]  # fmt: skip
            rows += [{"entry_id": n, "facet": f, "value": v, "source": "artist", "state": "given", "made_at": now}
                     for f, v in chosen]  # fmt: skip
            texts.append((n, title, " ".join(tagged), " ".join(v for _, v in chosen), "", f"job {n % 97}"))
        filled = (
            (Code, codes),
            (Entry, entries),
            (Version, versions),
            (Cut, cuts),
            (Piece, pieces),
            (Tag, tags),
            (Facet, rows),
        )
        for model, values in filled:
            session.connection().execute(insert(model.__table__), values)
        # Entries, versions and cuts point at each other: the second pointers are set when all are there.
        session.connection().exec_driver_sql("UPDATE entries SET current_version_id = id")
        session.connection().exec_driver_sql("UPDATE versions SET current_cut_id = id")
        session.connection().exec_driver_sql(
            "INSERT INTO entry_text(rowid, title, tags, facets, words, path) VALUES (?, ?, ?, ?, ?, ?)", texts
        )


def fill_looks(lib: Library) -> None:
    """Give every element a vector near that of its title, as a library has them after `upkeep`."""
    encoder, rng = open_encoder(), np.random.default_rng(2)
    with lib.reading() as session:
        titles = dict(session.connection().exec_driver_sql("SELECT id, title FROM entries").fetchall())
    known = sorted(set(titles.values()))
    said = dict(zip(known, encoder.text(known), strict=True))
    with lib.transaction() as session:
        recipe = shelf.recipe_id(lib, session, "vector", upkeep.look(lib).recipe, {})
        rows = []
        for entry_id, title in titles.items():
            vector = (
                said[title]
                + 0.8 * rng.standard_normal(encoder.dimension, np.float32) / encoder.dimension**0.5
            )
            rows.append((entry_id, recipe, stored.packed(vector / np.linalg.norm(vector))))
        session.connection().exec_driver_sql(
            "INSERT INTO vectors(cut_id, recipe_id, data) VALUES (?, ?, ?)", rows
        )
    likeness.build(lib)


SPOKEN = (
    "phone", "dog", "car interior at night", "CU hands holding phone, woman driving",
    "12A INT VAN - NIGHT hood mount two-shot", "vehicle", "bakery window street crowd people", "umbrela", "ferry",
)  # fmt: skip


def speed(count: int, work: Path) -> None:
    """Print median seconds of the whole process, and of its processors' time, for several searches and for --help."""
    folder = work / f"speed-{count}"
    if not folder.exists():
        lib = start_library(folder)
        fill(lib, count)
        fill_looks(lib)
        original = lib.originals.path(as_digest("0" * 64))  # a library without any is taken for damaged
        original.parent.mkdir()
        original.write_bytes(b"1")
        lib.close()
    picture = work / "like.png"
    _scrawl(picture)
    # As when installed: compiled modules are kept, outside the checkout.
    installed = {**os.environ, "PYTHONPYCACHEPREFIX": str(work / "compiled")}
    installed.pop("PYTHONDONTWRITEBYTECODE", None)
    program = [sys.executable, "-c", "from assetlib.cli.main import run; run()"]
    commands = {"--help": ["--help"]} | {
        text: ["--library", str(folder), "find", "--json", *text.split()] for text in SPOKEN
    }
    commands["--like FILE"] = ["--library", str(folder), "find", "--json", "--like", str(picture)]
    commands["--sketch FILE dog"] = [
        "--library",
        str(folder),
        "find",
        "--json",
        "--sketch",
        str(picture),
        "dog",
    ]
    print(f"{count:,} elements     wall    cpu")
    for name, arguments in commands.items():
        walls, cpus = [], []
        for _ in range(RUNS + 1):
            start, before = time.perf_counter(), _child_cpu()
            subprocess.run([*program, *arguments], stdout=subprocess.DEVNULL, check=True, env=installed)
            walls.append(time.perf_counter() - start)
            cpus.append(_child_cpu() - before)
        print(f"{statistics.median(walls[1:]):6.2f} {statistics.median(cpus[1:]):6.2f}  {name}")


def _scrawl(path: Path) -> None:
    image = Image.new("RGB", (900, 700), "white")
    pen = ImageDraw.Draw(image)
    pen.ellipse((200, 150, 700, 520), outline="black", width=7)
    pen.line([(120, 600), (300, 350), (520, 420), (800, 620)], "black", 7)
    image.save(path)


def _child_cpu() -> float:
    import resource

    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=["quality", "speed"])
    parser.add_argument("--half", default="report", choices=["tune", "report"])
    parser.add_argument(
        "--looks", action="store_true", help="quality: embed the drawings, mix look-alikes in"
    )
    parser.add_argument("--elements", type=int, default=100_000)
    parser.add_argument("--work", type=Path, default=Path(tempfile.gettempdir()) / "assetlib-bench")
    chosen = parser.parse_args()
    chosen.work.mkdir(parents=True, exist_ok=True)
    if chosen.what == "quality":
        quality(chosen.half, chosen.work, chosen.looks)
    else:
        speed(chosen.elements, chosen.work)


if __name__ == "__main__":
    main()
