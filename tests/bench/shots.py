"""From the shot list to the frame: how lists are read, what serves a shot, where drawings stand on frames.

    python -m tests.bench.shots lists
    python -m tests.bench.shots serve [--lines demo|shotlist|studio|openclipart] [--half tune|report|all] [--misses]
    python -m tests.bench.shots alter [--half tune|report|all] [--misses]
    python -m tests.bench.shots layers --to FOLDER
    python -m tests.bench.shots again --library COPY --to FOLDER
    python -m tests.bench.shots frames --library FOLDER --to FOLDER [--of demo|studio]

`lists`: shots, headings, omitted shots and supers told apart on the lists of `tests/shot_lists` and its `other`,
written before anything read them. `serve`: the lines of `tests/bench/lines`, pulled one by one over the libraries that
`tests.bench.serving build` makes: how often the first element serves, beside the first row of `find`, and one of four;
how often *no* is said where nothing serves, and for how many of these something is shown to be looked at (which counts
as offered where a line is served). `alter`: over the demo, how often a half served line names the right
alteration (`lines/alter.tsv`). `frames`: the demo's list pulled and its frames begun, held against places
that were written before by looking (`frames_truth.json`), and how long both took; `--of studio` the same with the list
and places of `frames_studio` over the studio library. `layers`: time and memory of a large frame. `again`: frames drawn
on and pulled into again, byte for byte; it makes a job in the library it is given.
"""

from __future__ import annotations

import argparse
import json
import re
import resource
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from assetlib.cli.render import Bar
from assetlib.imaging.layering import elements
from assetlib.imaging.layering.layers import LayeredFrame, LayerGroup
from assetlib.imaging.layering.writing import write_frame
from assetlib.library import Library
from assetlib.rules.shots.frame_sizes import Frame
from assetlib.rules.shots.lists import columns, reading
from assetlib.rules.shots.lists.values import Shot, ShotList
from assetlib.services.finding import search
from assetlib.services.jobs import boards, jobs, listfiles, pulling, sheets
from assetlib.services.jobs.boards import Board, Plan
from tests import shot_lists
from tests.bench import serving
from tests.shot_lists import other

HERE = Path(__file__).parent
FAR = 0.1
"""Share of the frame from which a drawing stands in the wrong place; of its height, 2.5 times that."""


def lists() -> None:
    """How many shots and omitted shots of the ten lists are told, and how many lines are wrongly taken for shots."""
    right = shots = wrong = 0
    for name, truth in shot_lists.truths().items():
        if name.endswith(".csv"):
            found = columns.read_rows(shot_lists.rows(name))
        else:
            found = reading.read_text((shot_lists.FOLDER / name).read_text(encoding="utf-8"))
        got = [[shot.number, shot.text, shot.heading, shot.spot] for shot in found.shots]
        got += [["omitted", number] for number in found.omitted]
        meant = [*truth["shots"], *(["omitted", number] for number in truth["omitted"])]
        right += sum(row in got for row in meant)
        wrong += sum(row not in meant for row in got)
        shots += len(meant)
    print(f"shots and omitted shots told {right} of {shots}, others taken for shots {wrong}")
    for more in (False, True):
        _other_lists("five more" if more else "ten of other makes", other.truths(more))


def _other_lists(called: str, truths: dict[str, Any]) -> None:
    def words(text: str) -> str:
        return " ".join(re.findall(r"[^\W_]+", text.casefold()))

    right = headed = shots = wrong = omitted = 0
    for name, truth in truths.items():
        found = listfiles.read_bytes(*other.made(name))
        got = {(shot.number.upper(), words(shot.text)): words(shot.heading) for shot in found.shots}
        meant = {(number.upper(), words(text)): words(heading) for number, text, heading in truth["shots"]}
        shots += len(meant) + len(truth["omitted"])
        omitted += len({*truth["omitted"]} & {*found.omitted})
        right += sum(row in got for row in meant)
        headed += sum(got.get(row) == heading for row, heading in meant.items())
        wrong += sum(row not in meant for row in got) + len({*found.omitted} - {*truth["omitted"]})
    print(
        f"{called}: shots and omitted told {right + omitted} of {shots}, {headed} with their heading, others taken"
        f" for either {wrong}"
    )


def serve(lib: Library, lines: str, half: str, truth: dict[str, Any], *, misses: bool) -> None:
    """How often what is offered first serves, and *no* is said where nothing does."""
    chosen = serving.lines_of(lines, half)
    pulled = pulling.pull(lib, [_shot(line.text) for line in chosen], progress=Bar())
    found = search.find_each(lib, [search.Asked(line.text, limit=4) for line in chosen])
    counts = dict.fromkeys(("served", "first", "four", "find", "nothing", "no", "look"), 0)
    for line, shot, answer in zip(chosen, pulled, found, strict=True):
        # places stand behind and are counted where a shot asks for nothing else
        groups = [need.offers for need in shot.needs if need.need.kind != "place" or len(shot.needs) == 1]
        groups = [group for group in (*groups, shot.perhaps) if group]
        if not line.is_served:
            counts["nothing"] += 1
            counts["no"] += shot.served == "no"
            counts["look"] += bool(shot.perhaps)
            if misses and shot.served != "no" and groups:
                print(f"  not no  {line.manner}: {line.text}  {[o.card.title for o in groups[0][:2]]}")
            continue
        serves = serving.servers(lines, truth, line)
        hit = [serves(group[0].card.code) for group in groups]
        counts["served"] += 1
        counts["first"] += hit[:1] == [True]
        counts["four"] += any(serves(offer.card.code) for group in groups for offer in group[:4])
        counts["find"] += any(serves(row.card.code) for row in answer.results[:1])
        if misses and hit[:1] != [True]:
            beaten = any(serves(row.card.code) for row in answer.results[:1])
            titles = [offer.card.title for group in groups for offer in group[:2]]
            print(f"  {'worse' if beaten else 'miss'}  {line.manner}: {line.text}  {titles}")
    first, find, four = (_share(counts[name], counts["served"]) for name in ("first", "find", "four"))
    print(f"{lines} {half}: first serves {first} (of find {find}), one of four {four} of {counts['served']};"
          f" no is said for {_share(counts['no'], counts['nothing'])} of {counts['nothing']},"
          f" for {counts['look']} with something to look at")  # fmt: skip


def alter(lib: Library, half: str, *, misses: bool) -> None:
    """How often a half served line names the right alteration, and *no* is said of what cannot be served."""
    rows = [row.split("\t") for row in (HERE / "lines" / "alter.tsv").read_text(encoding="utf-8").splitlines()
            if row and not row.startswith("#")]  # fmt: skip
    chosen = rows if half == "all" else rows[0 if half == "tune" else 1 :: 2]
    told = nothing = 0
    for (text, wanted), pulled in zip(
        chosen, pulling.pull(lib, [_shot(row[0]) for row in chosen]), strict=True
    ):
        if wanted == "-":
            right = pulled.served == "no"
            nothing += right
        else:
            right = pulled.served == "half" and bool(
                re.search(wanted, "; ".join(pulled.alter), re.IGNORECASE)
            )
            told += right
        if misses and not right:
            firsts = [need.offers[0].card.title for need in pulled.needs if need.offers]
            print(f"  {text}: {pulled.served} {pulled.alter} {firsts}")
    unserved = sum(row[1] == "-" for row in chosen)
    print(f"the right alteration is named for {_share(told, len(chosen) - unserved)} of {len(chosen) - unserved};"
          f" no is said for {_share(nothing, unserved)} of {unserved}")  # fmt: skip


def _shot(text: str) -> Shot:
    try:
        found = reading.read_text(text).shots
    except Exception:
        found = ()
    return found[0] if found else Shot("1", text)


def _share(count: int, of: int) -> str:
    return f"{count / of:.2f}" if of else "none asked"


LISTS = {
    "demo": (HERE.parents[1] / "demo_assets" / "shot_list.txt", HERE / "frames_truth.json"),
    "studio": (HERE / "frames_studio.txt", HERE / "frames_studio_truth.json"),
}


def frames(lib: Library, folder: Path, of: str) -> None:
    """Frames of a list: time taken, and how many need no large move."""
    listing = listfiles.read_list(LISTS[of][0])
    begun = time.perf_counter(), time.process_time()
    pulled = pulling.pull(lib, listing.shots)
    pulled_in = time.perf_counter() - begun[0]
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    for board in boards.boards(lib, pulled, Plan(folder, Frame(1920, 1080))):
        boards.write_board(board, boards.free_path(folder, board.name, ".psd"))
        made.append(board)
    print(f"pulled in {pulled_in:.1f} s; {len(made)} frames in {time.perf_counter() - begun[0]:.1f} s,"
          f" {time.process_time() - begun[1]:.1f} s of processor time")  # fmt: skip
    _measure(made, LISTS[of][1])


def layers(folder: Path) -> None:
    """Time and memory that a frame of 3840 x 2160 with twelve drawings takes, in both layered kinds."""
    folder.mkdir(parents=True, exist_ok=True)
    groups: list[LayerGroup] = []
    for place in range(12):
        picture = Image.new("RGBA", (1500, 1800))
        pen = ImageDraw.Draw(picture)
        for ring in range(0, 700, 60):
            pen.ellipse((40 + ring, 40 + ring, 1460 - ring, 1760 - ring), outline=(0, 0, 0, 255), width=9)
        body = Image.new("L", picture.size)
        ImageDraw.Draw(body).ellipse((40, 40, 1460, 1760), fill=255)
        cutout = elements.Cutout(np.asarray(picture), np.asarray(body))
        groups.append(elements.group(cutout, f"drawing {place}", (200 * place, 15 * place)))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for ending in boards.ENDINGS:
        begun = time.perf_counter(), time.process_time()
        frame = LayeredFrame((3840, 2160), (elements.paper((3840, 2160)), *groups))
        write_frame(frame, boards.free_path(folder, "large", ending))
        spent = time.process_time() - begun[1]
        print(f"{ending}: {time.perf_counter() - begun[0]:.2f} s, {spent:.2f} s of processor time")
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"memory at most {most // 1024} MB, {(most - before) // 1024} MB more than before")


def again(lib: Library, folder: Path) -> None:
    """Whether a second pull into frames that were drawn on loses a byte; makes a job in the library."""
    listing = listfiles.read_list(LISTS["demo"][0])
    jobs.open_job(lib, "Bench", jobs.Facts())
    plan = sheets.plan_for(lib, folder, "Bench", None, None)
    sheets.write_frames(lib, sheets.pull(lib, listing, sheets.Wishes("Bench")), plan)
    for path in folder.iterdir():
        with path.open("ab") as file:
            file.write(b"drawn on")
    drawn = {path: path.read_bytes() for path in folder.iterdir()}
    changed = ShotList(tuple(replace(shot, text=f"{shot.text}, night") for shot in listing.shots))
    for shots in (listing, changed):
        sheets.write_frames(lib, sheets.pull(lib, shots, sheets.Wishes("Bench")), plan)
    lost = [path.name for path, data in drawn.items() if not path.exists() or path.read_bytes() != data]
    there = len(list(folder.iterdir()))
    print(f"{len(drawn)} frames drawn on, pulled twice again: {len(lost)} lost a byte; {there} there now")


def _measure(made: Iterable[Board], places: Path) -> None:
    truth = json.loads(places.read_text(encoding="utf-8"))
    right = counted = 0
    for board in made:
        # a pull out ends on the size that the line names
        letter = "b" if "pull out" in board.shot.text else "a"
        if board.letter != letter or board.shot.number not in truth:
            continue
        far = [row for name, meant in truth[board.shot.number].items() if (row := _far(board, name, meant))]
        counted += 1
        right += not far
        for row in far:
            print(f"  {board.name}: {row}")
    print(f"frames that need no move larger than a tenth: {right} of {counted}")


def _far(board: Board, name: str, meant: Sequence[float]) -> str:
    """What is wrong with where a drawing stands; empty where nothing is."""
    for stood in board.stood:
        if stood.visible and name.casefold() in stood.title.casefold():
            width, height = board.picture.size
            across = (stood.place.x + stood.place.width / 2) / width
            top, high = stood.place.y / height, stood.place.height / height
            if (
                abs(across - meant[0]) > FAR
                or abs(top - meant[1]) > FAR
                or abs(high / meant[2] - 1) > 2.5 * FAR
            ):
                return f"{name} stands at {across:.2f} {top:.2f} {high:.2f}, meant {meant}"
            return ""
    return f"{name} is not seen"


def main() -> None:
    """Run one of the measures."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=("lists", "serve", "alter", "frames", "layers", "again"))
    parser.add_argument("--library", type=Path)
    parser.add_argument(
        "--lines",
        default="demo",
        choices=("demo", "shotlist", "studio", "studio-2", "openclipart", "openclipart-2"),
    )
    parser.add_argument("--work", type=Path, default=serving.WORK)
    parser.add_argument("--half", default="report", choices=("tune", "report", "all"))
    parser.add_argument("--misses", action="store_true")
    parser.add_argument("--to", type=Path)
    parser.add_argument("--of", default="demo", choices=tuple(LISTS))
    given = parser.parse_args()
    if given.what == "lists":
        lists()
        return
    if given.what == "layers":
        layers(given.to)
        return
    name = {"shotlist": "demo"}.get(given.lines, given.lines)
    lib = Library.open(given.library or given.work / name / "library")
    try:
        if given.what == "serve":
            truth = json.loads((given.work / name / "truth.json").read_text(encoding="utf-8"))
            serve(lib, given.lines, given.half, truth, misses=given.misses)
        elif given.what == "alter":
            alter(lib, given.half, misses=given.misses)
        elif given.what == "again":
            again(lib, given.to)
        else:
            frames(lib, given.to, given.of)
    finally:
        lib.close()


if __name__ == "__main__":
    main()
