"""Quality and speed of the look-alikes, to be run by hand.

python -m tests.bench.lookalikes quality [--part val]   figures of the model, the start weights' row is in the card
python -m tests.bench.lookalikes words [--part val]     what the library's own words add (20 % and 50 % described)
python -m tests.bench.lookalikes speed [--rows 100000]  search beside faiss and usearch, embedding beside bare ONNX

The drawings are Debian's openclipart-svg; which are test, validation and left out is in lookalikes_split.json.
Nothing here was used to train; everything was chosen on the validation part and reported on the test part.
"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from assetlib.vectors import adapter as adapters
from assetlib.vectors.encoders import DrawingEncoder, open_encoder
from assetlib.vectors.fusion import fuse
from assetlib.vectors.neighbours import VectorFile
from assetlib.vectors.training import exam, metrics
from assetlib.vectors.training.collect import openclipart
from assetlib.vectors.training.render import render
from assetlib.vectors.training.sources import OPENCLIPART_FOLDER

_SPLIT = Path(__file__).with_name("lookalikes_split.json")
_CACHE = Path(tempfile.gettempdir()) / "assetlib-bench-lookalikes"


def held_out(part: str) -> tuple[list[dict[str, Any]], np.ndarray, np.ndarray]:
    """Drawings of the part, coloured uint8 (N, S, S, 4) and line art (N, 2, S, S), rendered once into a cache."""
    folder = _CACHE / part
    index = folder / "index.json"
    if not index.exists():
        split = json.loads(_SPLIT.read_text(encoding="utf-8"))
        drawings = [d for d in openclipart(Path(OPENCLIPART_FOLDER), split) if d["part"] == part]
        drawn = render(drawings, folder, workers=1)
        assert drawn.all(), "a held-out drawing could not be rendered"
        for drawing in drawings:
            del drawing["svg"]
        index.write_text(json.dumps(drawings), encoding="utf-8")
    drawings = json.loads(index.read_text(encoding="utf-8"))
    return (
        drawings,
        np.load(folder / "colour.npy", mmap_mode="r"),
        np.load(folder / "line.npy", mmap_mode="r"),
    )


def grey_rgba(picture: np.ndarray) -> np.ndarray:
    """Grey (H, W) as an opaque picture (H, W, 4)."""
    return np.dstack([picture] * 3 + [np.full_like(picture, 255)])


def coarse(picture: np.ndarray) -> np.ndarray:
    """The picture at 64 pixels."""
    import cv2

    return np.asarray(cv2.resize(picture, (64, 64), interpolation=cv2.INTER_AREA))


def views(encoder: DrawingEncoder, part: str) -> tuple[exam.Views, list[dict[str, Any]]]:
    """Vectors of the part's drawings in every state, as the runtime makes them from pictures."""
    drawings, colour, line = held_out(part)
    kept = _CACHE / f"{part}-{encoder.digest[:12]}.npz"
    if not kept.exists():
        rough = exam.rough_views(colour, line)
        pictures = {
            "colour": [np.asarray(c) for c in colour],
            "line": [grey_rgba(one[0]) for one in line],
            "rough": [grey_rgba(one) for one in rough],
            "mirrored": [np.ascontiguousarray(c[:, ::-1]) for c in colour],
            "small": [coarse(np.asarray(c)) for c in colour],
        }
        np.savez(kept, **{name: encoder.images(given) for name, given in pictures.items()})
    vectors = dict(np.load(kept))
    return exam.Views(**vectors, titles=encoder.text([d["title"] for d in drawings])), drawings


def quality(options: argparse.Namespace) -> None:
    """Prints the table of the model card."""
    encoder = open_encoder(options.model)
    seen, drawings = views(encoder, options.part)
    count = len(drawings)
    print(f"{encoder.name}, {encoder.size / 1e6:.1f} MB, {options.part} part, gallery {count}")
    for figure in exam.figures(seen, drawings, encoder.text):
        print(f"{figure.name:32s} {figure.value:.3f}  [{figure.low:.3f}, {figure.high:.3f}]")


def words(options: argparse.Namespace) -> None:
    """Keyword mAP over the drawings that are not described: the model alone, with the adapter, with words as well."""
    encoder = open_encoder(options.model)
    seen, drawings = views(encoder, options.part)
    lists = [exam.drawing_words(d) for d in drawings]
    asked, table = metrics.keyword_table(lists)
    said = encoder.text(asked)
    for share in (0.2, 0.5):
        for name, gallery in (("colour", seen.colour), ("line", seen.line)):
            rows = np.concatenate(
                [_one_draw(gallery, lists, asked, table, said, share, seed) for seed in range(options.draws)]
            )
            print(f"{share:.0%} described, {name}: others alone {rows[:, 0].mean():.3f}, "
                f"with adapter {rows[:, 1].mean():.3f}; "
                  f"all: model {rows[:, 2].mean():.3f}, words + model + adapter {rows[:, 3].mean():.3f}")  # fmt: skip
            low, high = metrics.interval(rows[:, 1] - rows[:, 0], lambda v: float(v.mean()))
            print(
                f"    adapter adds {(rows[:, 1] - rows[:, 0]).mean():.3f} [{low:.3f}, {high:.3f}] ({len(rows)} queries)"
            )


def _one_draw(
    gallery: np.ndarray,
    lists: list[list[str]],
    asked: list[str],
    table: np.ndarray,
    said: np.ndarray,
    share: float,
    seed: int,
) -> np.ndarray:
    known = np.random.default_rng(seed).random(len(lists)) < share
    learned = adapters.fit(gallery[known], [lists[i] for i in np.flatnonzero(known)])
    rows = []
    for number, word in enumerate(asked):
        others = table[number] & ~known
        if not others.any():
            continue
        plain, drawn = gallery @ said[number], learned.scores(word, said[number], gallery)
        matched = np.flatnonzero(table[number] & known)
        mixed = fuse([matched.tolist(), np.argsort(-drawn).tolist()])
        placed = np.zeros(len(lists), np.float32)
        # What carries the word comes first, then the look-alikes: as `find` does.
        for place, fused in enumerate(mixed):
            placed[fused.thing] = (
                2 if table[number][fused.thing] and known[fused.thing] else 1
            ) - place / len(lists) / 2
        rows.append([_precision(plain, others, ~known), _precision(drawn, others, ~known),
                     _precision(plain, table[number]), _precision(placed, table[number])])  # fmt: skip
    return np.array(rows)


def _precision(scores: np.ndarray, right: np.ndarray, among: np.ndarray | None = None) -> float:
    chosen = np.ones(len(scores), bool) if among is None else among
    return float(metrics.average_precisions(scores[chosen][None], right[chosen][None])[0])


def timed(action: Callable[[], Any], repeats: int = 15) -> float:
    """Median seconds."""
    spent = []
    for _ in range(repeats):
        started = time.perf_counter()
        action()
        spent.append(time.perf_counter() - started)
    return float(np.median(spent))


def speed(options: argparse.Namespace) -> None:
    """Search and embedding times, ours and the libraries' on the same vectors and threads."""
    _search_speed(options.rows, options.threads)
    _embedding_speed(open_encoder(options.model, options.threads), options.threads)


def _search_speed(rows: int, threads: int) -> None:
    generator = np.random.default_rng(1)
    vectors = generator.normal(size=(rows, 384)).astype(np.float16)
    vectors /= np.linalg.norm(vectors.astype(np.float32), axis=1, keepdims=True).astype(np.float16)
    query = np.asarray(vectors[:1], np.float32)
    with tempfile.TemporaryDirectory() as folder:
        written = time.perf_counter()
        file = VectorFile.write(Path(folder), np.arange(rows), vectors, 1)
        print(f"{rows} vectors, file written in {time.perf_counter() - written:.2f} s, {threads} threads")
        ours = file.search(query, 100)[1][0]
        print(f"  ours                {timed(lambda: file.search(query, 100)) * 1000:8.1f} ms")
        some = generator.random(rows) < 0.05
        print(f"  ours, 5 % allowed   {timed(lambda: file.search(query, 100, some)) * 1000:8.1f} ms")
        _library_speeds(np.asarray(vectors, np.float32), query, ours, threads)


def _library_speeds(vectors: np.ndarray, query: np.ndarray, ours: np.ndarray, threads: int) -> None:
    try:
        import faiss

        faiss.omp_set_num_threads(threads)
        index = faiss.IndexFlatIP(vectors.shape[1])
        index.add(vectors)
        agreed = np.isin(index.search(query, 100)[1][0], ours).mean()
        print(
            f"  faiss IndexFlatIP   {timed(lambda: index.search(query, 100)) * 1000:8.1f} ms, same results {agreed:.0%}"
        )
    except ImportError:
        print("  faiss is not installed")
    try:
        from usearch.index import MetricKind
        from usearch.index import search as usearch

        def exact() -> Any:
            return usearch(vectors, query, 100, MetricKind.IP, exact=True, threads=threads)

        agreed = np.isin(np.asarray(exact().keys).ravel(), ours).mean()
        print(f"  usearch exact       {timed(exact) * 1000:8.1f} ms, same results {agreed:.0%}")
    except ImportError:
        print("  usearch is not installed")


def _embedding_speed(encoder: DrawingEncoder, threads: int) -> None:
    pictures = [np.asarray(c) for c in held_out("val")[1][:64]]
    batches = [encoder.prepare(pictures[i : i + 16]) for i in range(0, 64, 16)]
    encoder.run(batches[0])
    bare = timed(lambda: [encoder.run(b) for b in batches], 5)
    whole = timed(lambda: encoder.images(pictures), 5)
    print(
        f"embedding 64 pictures: bare ONNX {64 / bare:.0f} a second, ours {64 / whole:.0f}, "
        f"{whole / bare:.2f} times its time"
    )
    print(f"one text: {timed(lambda: encoder.text(['two-shot, baker and van before dawn'])) * 1000:.2f} ms")
    one = encoder.prepare(pictures[:1])
    print(f"one picture: {timed(lambda: encoder.run(one)) * 1000:.1f} ms, {threads} threads")


def main() -> None:
    """Runs one part of the benchmark."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=("quality", "words", "speed"))
    parser.add_argument("--part", default="test", choices=("test", "val"))
    parser.add_argument("--model", type=Path, help="folder of another exported model")
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--draws", type=int, default=10)
    parser.add_argument("--threads", type=int, default=2)
    options = parser.parse_args()
    {"quality": quality, "words": words, "speed": speed}[options.what](options)


if __name__ == "__main__":
    main()
