"""Any open_clip model as files that assetlib runs by itself; only here are torch and open_clip needed (extra `clip`).

Downloads happen in `load` alone, and only for a source that says it is online.
"""

from __future__ import annotations

import difflib
import hashlib
import importlib.util
import io
import json
import os
import re
import shutil
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assetlib.errors import AssetlibError, CannotExport, MissingExtra, NotFound, WrongUsage
from assetlib.vectors.description import BYTE_PAIRS, MODEL_FILE, ModelDescription, read_description

CONFIG_FILE = "open_clip_config.json"
HUB = "hf-hub:"
_NEEDED = ("torch", "open_clip", "onnx")
# Names of weights in the order in which open_clip itself prefers them; any other of these endings comes after.
_PREFERRED = (
    "open_clip_model.safetensors", "open_clip_pytorch_model.safetensors", "open_clip_pytorch_model.bin",
    "open_clip_pytorch_model.pth", "model.safetensors", "pytorch_model.bin", "pytorch_model.pth", "model.pth",
)  # fmt: skip
_ENDINGS = (".safetensors", ".bin", ".pth", ".pt")
_PAPERS = ("readme", "model_card", "license", "licence", "notice")
_LARGEST_TOWER = 2_000_000_000  # bytes as float32: an ONNX file cannot hold more than 2 GiB
_LIKE_ENOUGH = (
    0.999  # cosine of vectors from halved weights with the true ones; rounding alone costs about 1e-6
)
_TRIED = 4  # pictures and texts by which an exported tower is checked
_LONGEST_NAME = 60
_LONGEST_REASON = 200
_SHOWN = 6  # names offered where one was not known


@dataclass(frozen=True, slots=True)
class ModelSource:
    """Where a model comes from."""

    label: str
    """As the artist said it."""
    architecture: str
    """A name that open_clip knows, `hf-hub:…`, or empty for a folder with its own configuration."""
    tag: str = ""
    """Which trained weights of the architecture; empty where a file has them."""
    weights: Path | None = None
    folder: Path | None = None
    """The folder of the configuration, for a local checkpoint."""

    @property
    def online(self) -> bool:
        """Whether it has to be fetched from the internet."""
        return self.weights is None

    @property
    def name(self) -> str:
        """A short name for files and settings."""
        words = [self.architecture.removeprefix(HUB) or (self.folder.name if self.folder else ""), self.tag]
        if self.weights is not None and self.architecture:
            words.append(self.weights.stem)
        name = re.sub(r"[^A-Za-z0-9._]+", "-", "-".join(filter(None, words)))
        return name.strip("-.")[:_LONGEST_NAME] or "model"


def read_source(given: str) -> ModelSource:
    """The source that was named: a checkpoint's folder or file, NAME:FILE, NAME:PRETRAINED or hf-hub:ORGANISATION/NAME.

    Raises NotFound, CannotExport.
    """
    path = Path(given).expanduser()
    if path.is_dir():
        return ModelSource(given, "", weights=_weights_in(path), folder=_configured(path, path))
    if path.is_file():
        return ModelSource(given, "", weights=path.absolute(), folder=_configured(path.parent, path))
    if given.startswith(HUB):
        return ModelSource(given, given)
    name, _, trained = given.partition(":")
    file = Path(trained).expanduser()
    if trained and file.is_file():
        return ModelSource(given, name, weights=file.absolute())
    if "/" in name or "\\" in name or file.suffix in _ENDINGS:
        raise NotFound(f"there is no file or folder {file if trained else path}")
    return ModelSource(given, name, tag=trained)


def _configured(folder: Path, given: Path) -> Path:
    if (folder / CONFIG_FILE).is_file():
        return folder.absolute()
    raise CannotExport(
        f"{given} does not say what model it is: no {CONFIG_FILE} beside it",
        "name its architecture: assetlib model use ViT-B-32:FILE",
    )


def _weights_in(folder: Path) -> Path:
    found = sorted(path for path in folder.iterdir() if path.suffix in _ENDINGS and path.is_file())
    found.sort(key=lambda path: (_PREFERRED.index(path.name) if path.name in _PREFERRED else len(_PREFERRED),
                                 _ENDINGS.index(path.suffix)))  # fmt: skip
    if not found:
        raise NotFound(f"{folder} holds no weights", f"they end in {', '.join(_ENDINGS)}")
    return found[0].absolute()


def demand_extra() -> None:
    """Raises MissingExtra where torch, open_clip or onnx is not installed."""
    missing = [name for name in _NEEDED if importlib.util.find_spec(name) is None]
    if missing:
        raise MissingExtra(
            f"taking in another model needs the extra 'clip' ({', '.join(missing)} not installed)",
            'install it: pip install "assetlib[clip]"',
        )


def settle_source(source: ModelSource) -> ModelSource:
    """The source with its trained weights chosen, once it is sure that it can be taken in; nothing is fetched.

    Raises NotFound, WrongUsage, CannotExport.
    """
    with _quiet():
        import open_clip

        if source.architecture.startswith(HUB):
            return source
        if not source.architecture:
            _demand_byte_pairs(_local_config(source), source)
            return source
        config = open_clip.get_model_config(source.architecture)
        if config is None:
            names = open_clip.list_models()
            near = difflib.get_close_matches(source.architecture, names, _SHOWN) or ["ViT-B-32", "RN50"]
            raise NotFound(f"open_clip knows no model '{source.architecture}'", f"it knows {_some(near)}")
        _demand_byte_pairs(config, source)
        return source if source.weights else _with_tag(source, open_clip)


def _with_tag(source: ModelSource, open_clip: Any) -> ModelSource:
    tags = list(open_clip.list_pretrained_tags_by_model(source.architecture))
    if source.tag in tags:
        return source
    choice = _some([f"{source.architecture}:{tag}" for tag in tags]) or "none; give a file: NAME:FILE"
    if source.tag:
        raise NotFound(f"{source.architecture} has no trained weights '{source.tag}'", f"there are {choice}")
    if len(tags) != 1:
        raise WrongUsage(f"which trained weights of {source.architecture}?", f"there are {choice}")
    return ModelSource(f"{source.label}:{tags[0]}", source.architecture, tags[0])


def _some(names: list[str]) -> str:
    return ", ".join(names[:_SHOWN]) + (" …" if len(names) > _SHOWN else "")


def _local_config(source: ModelSource) -> dict[str, Any]:
    assert source.folder is not None
    path = source.folder / CONFIG_FILE
    try:
        return dict(json.loads(path.read_text(encoding="utf-8"))["model_cfg"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise CannotExport(f"{path} is no configuration of a model") from error


def _demand_byte_pairs(config: dict[str, Any], source: ModelSource) -> None:
    words = config.get("text_cfg", {})
    named = words.get("hf_tokenizer_name") or words.get("hf_model_name")
    if named or "siglip" in source.architecture.lower():
        raise CannotExport(
            f"{source.label} reads words by a vocabulary that assetlib does not have ({named or 'SigLIP'})",
            "choose a model with CLIP's own byte pairs, like ViT-B-32 or RN50",
        )


def origin(source: ModelSource) -> str:
    """Where an online source is fetched from, in words."""
    if source.architecture.startswith(HUB):
        return f"https://huggingface.co/{source.architecture.removeprefix(HUB)}"
    with _quiet():
        import open_clip

        places = open_clip.get_pretrained_cfg(source.architecture, source.tag)
    hub = str(places.get("hf_hub", "")).strip("/")
    return f"https://huggingface.co/{'/'.join(hub.split('/')[:2])}" if hub else str(places.get("url", ""))


def export(source: ModelSource, folder: Path) -> ModelDescription:
    """What the model says of itself, after its towers, vocabulary and papers were written into an empty folder.

    Goes online for an online source. Raises CannotExport.
    """
    with _quiet(), _said_plainly(source):
        model, tokenizer = _load(source)
        side, mean, scale = _picture_settings(model, source)
        length = int(tokenizer.context_length)
        dimension = _export_images(model, side, folder, source)
        _export_texts(model, tokenizer, folder, source)
    merges = sorted(tokenizer.bpe_ranks, key=tokenizer.bpe_ranks.__getitem__)
    (folder / "merges.txt").write_text("\n".join(map(" ".join, merges)), encoding="utf-8", newline="\n")
    described = {
        "name": source.name, "digest": "", "dimension": dimension, "image_side": side, "image_mean": mean,
        "image_scale": scale, "words": {"kind": BYTE_PAIRS, "length": length, "cleaning": _cleaning(tokenizer)},
        "source": source.label, "card": origin(source) if source.online else "",
    }  # fmt: skip
    _describe(folder, described)
    _copy_papers(source, folder)
    return read_description(folder)


def _load(source: ModelSource) -> tuple[Any, Any]:
    import open_clip

    if source.folder is not None:
        place = f"local-dir:{source.folder}"
        model = open_clip.create_model(place, load_weights=False)
        open_clip.load_checkpoint(model, str(source.weights))
        tokenizer = open_clip.get_tokenizer(place)
    elif source.weights is not None:
        model = open_clip.create_model(source.architecture, pretrained=str(source.weights))
        tokenizer = open_clip.get_tokenizer(source.architecture)
    else:
        model, tokenizer = _fetch(source, open_clip)
    if not isinstance(tokenizer, open_clip.SimpleTokenizer):
        raise CannotExport(f"{source.label} reads words by a vocabulary that assetlib does not have")
    return model.float().eval(), tokenizer


def _fetch(source: ModelSource, open_clip: Any) -> tuple[Any, Any]:
    if source.architecture.startswith(HUB):
        _demand_byte_pairs(open_clip.get_model_config(source.architecture), source)
        model = open_clip.create_model(source.architecture, require_pretrained=True)
        return model, open_clip.get_tokenizer(source.architecture)
    # Weights trained with another gate than the configuration names give wrong vectors without a word.
    quick = bool(open_clip.get_pretrained_cfg(source.architecture, source.tag).get("quick_gelu", False))
    model = open_clip.create_model(
        source.architecture, pretrained=source.tag, force_quick_gelu=quick, require_pretrained=True
    )
    return model, open_clip.get_tokenizer(source.architecture)


def _picture_settings(model: Any, source: ModelSource) -> tuple[int, list[float], list[float]]:
    """Side in pixels, and mean and scale of red, green and blue in 0 to 255."""
    settings = model.visual.preprocess_cfg
    size = settings["size"]
    sides = {int(size)} if isinstance(size, int) else {int(side) for side in size}
    if len(sides) != 1:
        raise CannotExport(f"{source.label} takes pictures that are not square ({size})")
    return sides.pop(), [255 * float(v) for v in settings["mean"]], [255 * float(v) for v in settings["std"]]


def _cleaning(tokenizer: Any) -> str:
    return str(tokenizer.clean_fn.__name__).removeprefix("_clean_")


def _export_images(model: Any, side: int, folder: Path, source: ModelSource) -> int:
    import torch

    noise = np.random.default_rng(1).standard_normal((_TRIED, 3, side, side)).astype(np.float32)
    path = folder / "image.onnx"
    return _export_tower(model.visual, model.encode_image, torch.from_numpy(noise), path, "pictures", source)


def _export_texts(model: Any, tokenizer: Any, folder: Path, source: ModelSource) -> int:
    texts = [
        "a van",
        "a woman at the wheel",
        "crowd on the quay, ferry behind",
        "line drawing of a loaf of bread",
    ]
    words = getattr(model, "text", model)
    return _export_tower(words, model.encode_text, tokenizer(texts), folder / "text.onnx", "tokens", source)


def _export_tower(tower: Any, encode: Any, example: Any, path: Path, name: str, source: ModelSource) -> int:
    """The length of the tower's unit vectors, after writing it, with its weights halved where that changes nothing."""
    if 4 * sum(parameter.numel() for parameter in tower.parameters()) > _LARGEST_TOWER:
        raise CannotExport(
            f"{source.label} is too large: one tower takes over 2 GB", "choose a smaller one, like ViT-B-32"
        )
    wanted = _write_tower(tower, encode, example, path, name)
    given = {name: example.numpy()}
    if not _agrees(path, given, wanted):
        raise CannotExport(f"{source.label} says something else after export than before; it cannot be used")
    _halve(path, given, wanted)
    return int(wanted.shape[1])


def _write_tower(tower: Any, encode: Any, example: Any, path: Path, name: str) -> NDArray[np.float32]:
    """What the tower itself says to the example, after writing it as ONNX."""
    import torch

    from assetlib.vectors.training.export import OPSET

    class Unit(torch.nn.Module):  # type: ignore[misc, unused-ignore]
        def __init__(self) -> None:
            super().__init__()
            self.tower = tower

        def forward(self, values: Any) -> Any:
            return torch.nn.functional.normalize(encode(values), dim=-1)

    with torch.no_grad(), _plain_attention():
        said: NDArray[np.float32] = Unit()(example).numpy()
        torch.onnx.export(
            Unit(), (example,), str(path), input_names=[name], output_names=["vectors"],
            dynamic_axes={name: {0: "n"}, "vectors": {0: "n"}}, opset_version=OPSET, dynamo=False,
        )  # fmt: skip
    return said


def _halve(path: Path, given: dict[str, NDArray[Any]], wanted: NDArray[np.float32]) -> None:
    """Halves the weights in the file, unless the tower then says something else."""
    from assetlib.vectors.training.export import halve_weights

    halved = path.with_suffix(".half")
    shutil.copyfile(path, halved)
    halve_weights(halved)
    if _agrees(halved, given, wanted):
        os.replace(halved, path)
    else:
        halved.unlink()


def _agrees(path: Path, given: dict[str, NDArray[Any]], wanted: NDArray[np.float32]) -> bool:
    import onnxruntime

    try:
        session = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
        got = session.run(None, given)[0]
    except Exception:  # onnxruntime raises its own kinds
        return False
    return bool(((got * wanted).sum(1) > _LIKE_ENOUGH).all())


def _describe(folder: Path, described: dict[str, Any]) -> None:
    """Writes model.json, last: a folder that has it is whole. The digest covers all that vectors depend on."""
    settings = {key: value for key, value in described.items() if key not in ("source", "card")}
    digest = hashlib.sha256(json.dumps(settings, sort_keys=True).encode())
    files = sorted(folder.iterdir())
    for path in files:
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    described |= {"digest": digest.hexdigest(), "files": [path.name for path in files]}
    (folder / MODEL_FILE).write_text(json.dumps(described, indent=1) + "\n", encoding="utf-8")


def _copy_papers(source: ModelSource, folder: Path) -> None:
    if source.folder is None:
        return
    for path in source.folder.iterdir():
        if path.is_file() and path.name.lower().startswith(_PAPERS):
            shutil.copyfile(path, folder / path.name)


@contextmanager
def _plain_attention() -> Iterator[None]:
    """Keeps torch from its fused attention, which ONNX has no word for."""
    import torch

    before = torch.backends.mha.get_fastpath_enabled()
    torch.backends.mha.set_fastpath_enabled(False)
    try:
        yield
    finally:
        torch.backends.mha.set_fastpath_enabled(before)


@contextmanager
def _said_plainly(source: ModelSource) -> Iterator[None]:
    """Turns whatever torch, open_clip and the hub client raise into one sentence."""
    try:
        yield
    except (AssetlibError, KeyboardInterrupt):
        raise
    except Exception as error:
        said = " ".join(str(error).split())[:_LONGEST_REASON]
        raise CannotExport(f"{source.label} cannot be taken in ({type(error).__name__}: {said})") from error


@contextmanager
def _quiet() -> Iterator[None]:
    """Keeps the exporter's and open_clip's remarks to programmers from the artist."""
    import logging

    before = logging.root.manager.disable
    logging.disable(logging.WARNING)
    try:
        with warnings.catch_warnings(), redirect_stdout(io.StringIO()):
            warnings.simplefilter("ignore")
            yield
    finally:
        logging.disable(before)
