"""The stages as the command line calls them; every one reads and writes the work folder only."""

# ruff: noqa: T201 - a stage's report is what it prints
from __future__ import annotations

import json
import os
import time
from argparse import Namespace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assetlib.vectors.training import exam

_SCENES = 40_000
_DEV_SEED = 11


def collect(options: Namespace) -> None:
    """Writes drawings.jsonl.xz and more-texts.txt."""
    from assetlib.vectors.training import sources
    from assetlib.vectors.training.collect import collect as run
    from assetlib.vectors.training.wordlists import nouns_and_glosses

    print(run(options.split, options.work / "npm", options.work / "drawings.jsonl.xz"))
    texts = nouns_and_glosses(Path(sources.WORDNET_FOLDER))
    (options.work / "more-texts.txt").write_text("\n".join(texts), encoding="utf-8")


def _drawings(options: Namespace) -> list[dict[str, Any]]:
    from assetlib.vectors.training.corpus import read_drawings

    return read_drawings(options.work / "drawings.jsonl.xz")


def render(options: Namespace) -> None:
    """Writes colour.npy, line.npy, rendered.npy and index.json."""
    from assetlib.vectors.training.render import render as run

    started = time.monotonic()
    drawings = _drawings(options)
    rendered = run(drawings, options.work, options.workers)
    np.save(options.work / "rendered.npy", rendered)
    for drawing in drawings:
        del drawing["svg"]
    (options.work / "index.json").write_text(json.dumps(drawings), encoding="utf-8")
    print(f"rendered {rendered.sum()} of {len(drawings)} in {time.monotonic() - started:.0f} s", flush=True)


def _index(options: Namespace) -> tuple[list[dict[str, Any]], NDArray[np.bool_]]:
    drawings = json.loads((options.work / "index.json").read_text(encoding="utf-8"))
    return drawings, np.load(options.work / "rendered.npy")


def _parts(options: Namespace) -> tuple[list[dict[str, Any]], NDArray[np.bool_], NDArray[np.int64]]:
    """Drawings, which are trained on, and the rows held out to choose by (validation and `--dev` others)."""
    import torch

    from assetlib.vectors.training.corpus import copies_of, thumbnails

    drawings, rendered = _index(options)
    cache = options.work / f"parts-{options.dev}.npz"
    if cache.exists():
        known = np.load(cache)
        return drawings, known["train"], known["choose"]
    parts = np.array([d["part"] for d in drawings])
    train = rendered & (parts == "train")
    choose = rendered & (parts == "val")
    if options.dev:
        open_rows = np.flatnonzero(train & np.array([d["set"] == "oc" for d in drawings]))
        choose[np.random.default_rng(_DEV_SEED).choice(open_rows, options.dev, replace=False)] = True
        train &= ~choose
    device = _device()
    colour = np.load(options.work / "colour.npy", mmap_mode="r")
    thumbs = torch.cat(
        [thumbnails(torch.from_numpy(p.copy()).to(device)) for p in np.array_split(colour, 40)]
    )
    held = torch.from_numpy(choose | (rendered & (parts == "test"))).to(device)
    copies = copies_of(thumbs[held], thumbs).cpu().numpy()
    print(f"left out as copies of held-out drawings: {int((copies & train).sum())}", flush=True)
    if int(os.environ.get("RANK", "0")) == 0:
        partial = cache.with_suffix(".part.npz")
        np.savez(partial, train=train & ~copies, choose=np.flatnonzero(choose))
        partial.replace(cache)
    return drawings, train & ~copies, np.flatnonzero(choose)


def train(options: Namespace) -> None:
    """Writes NAME.pt: the averaged image tower, the map on the words, texts and their vectors."""
    import torch

    from assetlib.vectors.training import corpus as corpora
    from assetlib.vectors.training import tower
    from assetlib.vectors.training.train import Trainer, TrainingSettings

    torch.backends.cudnn.benchmark = True
    torch.backends.cudnn.benchmark_limit = 4  # trying every kernel took longer than it saved
    torch.backends.cuda.matmul.allow_tf32 = True
    device = _device()
    settings = TrainingSettings(**options.settings)
    drawings, kept, choose = _parts(options)
    corpus = corpora.load(drawings, kept, options.work, device, _SCENES, settings.seed)
    print(f"{len(corpus.drawings)} drawings, {len(corpus.texts)} texts", flush=True)
    torch.manual_seed(settings.seed)  # every process starts from the same weights
    model = tower.build(options.tower, options.words, options.image_weights)
    sentences = tower.sentence_vectors(model, options.words, corpus.texts, device)
    trainer = Trainer(model, corpus, sentences, settings)
    pictures = _chosen_pictures(options.work, choose) if trainer.rank == 0 else {}
    held = [drawings[i] for i in choose]
    asked = _Asked(model, options.words, device, trainer)
    checks = {"next": 0.3}

    def show_and_save(name: str) -> None:
        _show(name, exam.figures(_views(trainer.averaged, asked, pictures, held, device), held, asked))
        visual = {k: v.half() if v.ndim > 1 else v for k, v in trainer.averaged.state_dict().items()}
        saved = {"visual": visual, "words": trainer.averaged_words.state_dict(), "tower": options.tower}
        torch.save(saved, options.work / f"{name}.pt")

    def report(step: int, progress: float, losses: list[float]) -> None:
        print(
            f"{options.name} step {step} {progress:.0%} words {losses[0]:.3f} views {losses[1]:.3f}",
            flush=True,
        )
        if progress >= checks["next"]:
            checks["next"] += 0.15
            show_and_save(f"{options.name}-{round(progress * 100)}")

    steps = trainer.run(report)
    if trainer.rank == 0:
        print(f"{options.name}: {steps} steps of {settings.batch}", flush=True)
        show_and_save(options.name)
    if trainer.world > 1:
        torch.distributed.destroy_process_group()


def _device() -> Any:
    """The device of this process; under torchrun every process takes its own."""
    import torch

    graphics = torch.cuda.is_available()
    if int(os.environ.get("WORLD_SIZE", "1")) > 1 and not torch.distributed.is_initialized():
        torch.distributed.init_process_group("nccl" if graphics else "gloo")
    if not graphics:
        return torch.device("cpu")
    local = int(os.environ.get("LOCAL_RANK", "0"))
    torch.cuda.set_device(local)
    return torch.device("cuda", local)


class _Asked:
    """Vectors of texts by the sentence encoder and the trained map."""

    def __init__(self, model: Any, folder: Path, device: Any, trainer: Any) -> None:
        self.model, self.folder, self.device, self.trainer = model, folder, device, trainer

    def __call__(self, texts: list[str]) -> NDArray[np.float32]:
        import torch

        from assetlib.vectors.training.tower import sentence_vectors

        with torch.no_grad():
            raw = sentence_vectors(self.model, self.folder, texts, self.device).float()
            mapped = self.trainer.averaged_words(raw)
            return np.asarray(torch.nn.functional.normalize(mapped, dim=1).cpu().numpy(), np.float32)


def _chosen_pictures(folder: Path, rows: NDArray[np.int64]) -> dict[str, NDArray[np.uint8]]:
    cache = folder / f"choose-{len(rows)}.npz"
    if cache.exists():
        return dict(np.load(cache))
    colour = np.load(folder / "colour.npy", mmap_mode="r")[rows]
    line = np.load(folder / "line.npy", mmap_mode="r")[rows]
    found = {"colour": colour, "line": line, "rough": exam.rough_views(colour, line)}
    np.savez(cache, **found)
    return found


def _views(
    visual: Any, asked: Any, pictures: dict[str, Any], held: list[dict[str, Any]], device: Any
) -> exam.Views:
    flat = _on_white(pictures["colour"])
    line = np.repeat(pictures["line"][:, 0, :, :, None], 3, 3)
    rough = np.repeat(pictures["rough"][..., None], 3, 3)
    small = np.stack([_coarse(p) for p in flat])
    vectors = [_embed(visual, p, device) for p in (flat, line, rough, flat[:, :, ::-1], small)]
    vectors.append(asked([d["title"] for d in held]))
    return exam.Views(*vectors)


def _on_white(rgba: NDArray[np.uint8]) -> NDArray[np.uint8]:
    alpha = rgba[..., 3:].astype(np.float32) / 255
    return np.asarray(rgba[..., :3] * alpha + 255 * (1 - alpha), np.uint8)


def _coarse(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    import cv2

    small = cv2.resize(picture, (64, 64), interpolation=cv2.INTER_AREA)
    return np.asarray(cv2.resize(small, picture.shape[:2], interpolation=cv2.INTER_LINEAR), np.uint8)


def _embed(visual: Any, pictures: NDArray[np.uint8], device: Any) -> NDArray[np.float32]:
    import torch

    out = []
    with torch.no_grad(), torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
        for part in np.array_split(pictures, max(1, len(pictures) // 256)):
            batch = (
                torch.from_numpy(np.ascontiguousarray(part)).to(device).permute(0, 3, 1, 2).float() / 127.5
                - 1
            )
            out.append(torch.nn.functional.normalize(visual(batch).float(), dim=1).cpu().numpy())
    return np.concatenate(out).astype(np.float32)


def _show(name: str, figures: list[exam.ExamFigure]) -> None:
    print(name + " | " + " | ".join(f"{f.name} {f.value:.3f}" for f in figures), flush=True)


def distil(options: Namespace) -> None:
    """Writes NAME-words.npz: the static text tower's tables, from NAME.pt and the captions."""
    import torch

    from assetlib.vectors.training import corpus as corpora
    from assetlib.vectors.training import distil as bags
    from assetlib.vectors.training import tower

    device = _device()
    settings = bags.DistilSettings(**options.settings)
    drawings, kept, choose = _parts(options)
    corpus = corpora.load(drawings, kept, options.work, device, _SCENES, settings.seed)
    saved = torch.load(options.work / f"{options.name}.pt", map_location=device, weights_only=True)
    model = tower.build(saved["tower"], options.words, None)
    model.visual.load_state_dict(saved["visual"])
    visual = model.visual.to(device).eval()
    model.text.proj.load_state_dict(saved["words"])
    texts = corpus.texts + _more_texts(options)
    everything = texts + _single_pieces(options.words)
    with torch.no_grad():
        raw = tower.sentence_vectors(model, options.words, everything, device).float()
        teacher = torch.nn.functional.normalize(model.text.proj.to(device)(raw), dim=1)
        flat = [corpora.on_white(p) for p in corpus.colour.split(2048)]
        pictures = torch.cat([_embed_batches(visual, p) for p in flat])
    ids = bags.piece_ids(options.words, everything).to(device)
    vocabulary = len(everything) - len(texts)
    bag = bags.Bag(vocabulary, bags.WIDTH, tower.DIMENSION).to(device)
    bags.start_from(bag, teacher[len(texts) :])
    spoken = torch.ones(len(everything), device=device)
    spoken[: len(corpus.texts)] = 3.0
    spoken[len(texts) :] = 0.3
    print(
        bags.distil(
            bag,
            ids,
            teacher,
            spoken,
            corpus.caption_ids.clamp_min(0),
            corpus.caption_weights,
            pictures,
            settings,
        )
    )
    tables = bags.quantised(bag)
    label = f"{options.name}{options.label}"
    np.savez_compressed(options.work / f"{label}-words.npz", **tables)
    np.savez_compressed(
        options.work / f"{options.name}-pictures.npz", rows=np.flatnonzero(kept),
        vectors=(pictures * 127 / pictures.abs().amax(1, keepdim=True)).round().to(torch.int8).cpu().numpy(),
    )  # fmt: skip
    held = [drawings[i] for i in choose]
    chosen = _chosen_pictures(options.work, choose)

    def asked(queries: list[str]) -> NDArray[np.float32]:
        with torch.no_grad():
            return np.asarray(
                bag(bags.piece_ids(options.words, queries).to(device)).cpu().numpy(), np.float32
            )

    _show(label + " static", exam.figures(_views(visual, asked, chosen, held, device), held, asked))


def _embed_batches(visual: Any, pictures: Any) -> Any:
    import torch

    with torch.autocast(pictures.device.type, torch.bfloat16, enabled=pictures.is_cuda):
        return torch.nn.functional.normalize(visual(pictures * 2 - 1).float(), dim=1)


def _single_pieces(folder: Path) -> list[str]:
    return (folder / "vocab.txt").read_text(encoding="utf-8").splitlines()


def _more_texts(options: Namespace) -> list[str]:
    """Nouns and their short explanations, from a text file with one a line, where the work folder has one."""
    path = options.work / "more-texts.txt"
    return path.read_text(encoding="utf-8").splitlines() if path.exists() else []


def export(options: Namespace) -> None:
    """Writes the shipped files into `--target` from NAME.pt and NAME+LABEL-words.npz.

    With `--average OTHER` the image tower is the mean of NAME.pt and OTHER.pt, two points of one run.
    """
    import torch

    from assetlib.vectors.training import export as exports
    from assetlib.vectors.training import tower

    saved = torch.load(options.work / f"{options.name}.pt", map_location="cpu", weights_only=True)
    weights = saved["visual"]
    if options.average:
        other = torch.load(options.work / f"{options.average}.pt", map_location="cpu", weights_only=True)[
            "visual"
        ]
        weights = {
            k: (v.float() + other[k].float()) / 2 if v.is_floating_point() else v for k, v in weights.items()
        }
    model = tower.build(saved["tower"], options.words, None)
    model.visual.load_state_dict(weights)
    options.target.mkdir(parents=True, exist_ok=True)
    exports.export_image_tower(model.visual, options.target / "image.onnx")
    tables = dict(np.load(options.work / f"{options.name}{options.label}-words.npz"))
    exports.export_words(tables, options.words / "vocab.txt", options.target)
    exports.export_description(options.target, options.target.name, saved["tower"])


def measure(options: Namespace) -> None:
    """Prints how the exported model in `--target` does on the validation drawings; the test part is for the end.

    The same as `python -m tests.bench.lookalikes quality --part val`, from the work folder's own pictures.
    """
    from assetlib.vectors.encoders import DrawingEncoder

    drawings, rendered = _index(options)
    rows = np.flatnonzero(rendered & np.array([d["part"] == "val" for d in drawings]))
    pictures, held = _chosen_pictures(options.work, rows), [drawings[i] for i in rows]
    encoder = DrawingEncoder(options.target)
    grey = [
        [np.dstack([p] * 3 + [np.full_like(p, 255)]) for p in given]
        for given in (pictures["line"][:, 0], pictures["rough"])
    ]
    mirrored = [np.ascontiguousarray(c[:, ::-1]) for c in pictures["colour"]]
    small = [_coarse(p) for p in _on_white(pictures["colour"])]
    opaque = [np.dstack([p, np.full(p.shape[:2], 255, np.uint8)]) for p in small]
    given_views: list[Any] = [pictures["colour"], *grey, mirrored, opaque]
    vectors = [encoder.images([np.asarray(p) for p in given]) for given in given_views]
    vectors.append(encoder.text([d["title"] for d in held]))
    views = exam.Views(*vectors)
    _show(encoder.name, exam.figures(views, held, encoder.text))
