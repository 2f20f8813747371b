"""Models made elsewhere: what assetlib exports says what open_clip itself says, and needs no torch any more."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from assetlib.errors import MissingExtra, ModelBroken, NotFound, WrongUsage
from assetlib.vectors import foreign
from assetlib.vectors.description import card_of, is_whole, read_description
from assetlib.vectors.encoders import open_encoder
from tests.vectors import tiny_clip

TEXTS = [
    "a van before dawn",
    "A woman's hand — holding “bread”",
    "12 ferries, don't",
    "x" * 90,
    "câfé 🐶 日本",
]


def has_extra() -> bool:
    """Whether torch, open_clip and onnx are installed."""
    try:
        foreign.demand_extra()
    except MissingExtra:
        return False
    return True


needs_extra = pytest.mark.skipif(not has_extra(), reason="the extra 'clip' is not installed")


@pytest.fixture(scope="module")
def checkpoint(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tiny_clip.save(tmp_path_factory.mktemp("checkpoint") / "tiny")


@pytest.fixture(scope="module")
def exported(checkpoint: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    (checkpoint / "README.md").write_text("MIT, a test", encoding="utf-8")
    folder = tmp_path_factory.mktemp("exported")
    foreign.export(foreign.settle_source(foreign.read_source(str(checkpoint))), folder)
    return folder


def drawing() -> np.ndarray:
    """A red ball with a tail that fills its square to the margin that the crop leaves."""
    picture = np.zeros((400, 400, 4), np.uint8)
    cv2.circle(picture, (200, 200), 160, (200, 30, 30, 255), -1)
    cv2.line(picture, (200, 200), (330, 60), (0, 0, 0, 255), 9)
    return picture


@needs_extra
def test_pictures_get_the_vectors_that_open_clip_gives(checkpoint: Path, exported: Path) -> None:
    import torch

    model, _ = tiny_clip.load(checkpoint)
    encoder = open_encoder(exported)
    prepared = encoder.prepare([drawing(), drawing()[:, ::-1]])
    assert prepared.shape == (2, 3, tiny_clip.SIDE, tiny_clip.SIDE)
    assert prepared.max() == pytest.approx(
        (1 - 0.5) / 0.25
    )  # paper white under the configuration's own scale
    with torch.no_grad():
        wanted = model.encode_image(torch.from_numpy(prepared), normalize=True).numpy()
    got = encoder.images([drawing(), np.ascontiguousarray(drawing()[:, ::-1])])
    assert np.abs(got - wanted).max() < 2e-3
    assert not np.allclose(got[0], got[1], atol=1e-2)


@needs_extra
def test_words_get_the_vectors_that_open_clip_gives(checkpoint: Path, exported: Path) -> None:
    import torch

    model, tokenizer = tiny_clip.load(checkpoint)
    with torch.no_grad():
        wanted = model.encode_text(tokenizer(TEXTS), normalize=True).numpy()
    got = open_encoder(exported).text(["", *TEXTS])
    assert np.abs(got[1:] - wanted).max() < 2e-3
    assert not got[0].any()


@needs_extra
def test_weights_are_kept_halved(exported: Path) -> None:
    import onnx

    kept = onnx.load(str(exported / "image.onnx")).graph.initializer
    large = [weight for weight in kept if len(weight.dims) > 1]
    assert large
    assert {weight.data_type for weight in large} == {onnx.TensorProto.FLOAT16}


@needs_extra
def test_what_it_says_of_itself(checkpoint: Path, exported: Path) -> None:
    described = read_description(exported)
    assert (described.name, described.dimension) == ("tiny", tiny_clip.DIMENSION)
    assert described.source == str(checkpoint)
    assert described.recipe == f"tiny-{described.digest[:12]}"
    assert Path(card_of(exported, described)).read_text(encoding="utf-8") == "MIT, a test"
    assert is_whole(exported)


@needs_extra
def test_other_weights_get_another_digest(exported: Path, tmp_path: Path) -> None:
    other = tiny_clip.save(tmp_path / "tiny", seed=2)
    folder = tmp_path / "exported"
    folder.mkdir()
    described = foreign.export(foreign.read_source(str(other)), folder)
    assert described.name == read_description(exported).name
    assert described.recipe != read_description(exported).recipe


@needs_extra
def test_neither_words_nor_pictures_load_torch(exported: Path) -> None:
    program = f"""
import sys
from pathlib import Path
import numpy as np
from assetlib.vectors.encoders import open_encoder
encoder = open_encoder(Path({str(exported)!r}))
encoder.text(["a van"]); encoder.images([np.zeros((9, 9, 4), np.uint8)])
print([m for m in ("torch", "open_clip", "transformers", "tokenizers", "ftfy") if m in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@needs_extra
@pytest.mark.parametrize("name", ["text.onnx", "merges.txt"])
def test_a_missing_file_is_named_in_one_sentence(exported: Path, tmp_path: Path, name: str) -> None:
    import shutil

    folder = tmp_path / "model"
    shutil.copytree(exported, folder)
    (folder / name).unlink()
    assert not is_whole(folder)
    with pytest.raises(ModelBroken, match=name):
        open_encoder(folder).text(["a van"])


@needs_extra
@pytest.mark.parametrize("weights", ["garbage", "of another model"])
def test_weights_that_do_not_fit_are_one_sentence(tmp_path: Path, weights: str) -> None:
    settings = tiny_clip.config()
    settings["vision_cfg"]["width"] = 64
    folder = tiny_clip.save(tmp_path / "tiny", settings=settings)
    if weights == "garbage":
        (folder / "open_clip_pytorch_model.bin").write_bytes(b"\x80garbage")
    (tmp_path / "out").mkdir()
    with pytest.raises(foreign.CannotExport) as caught:
        foreign.export(foreign.read_source(str(folder)), tmp_path / "out")
    assert "\n" not in caught.value.sentence
    assert not is_whole(tmp_path / "out")


@needs_extra
def test_another_vocabulary_is_refused_before_anything_is_loaded(tmp_path: Path) -> None:
    settings = tiny_clip.config(hf_tokenizer_name="some/tokenizer")
    source = foreign.read_source(str(tiny_clip.save(tmp_path / "tiny", settings=settings)))
    with pytest.raises(foreign.CannotExport, match="some/tokenizer"):
        foreign.settle_source(source)
    with pytest.raises(foreign.CannotExport, match="vocabulary"):
        foreign.settle_source(foreign.read_source("ViT-B-16-SigLIP:webli"))


@needs_extra
def test_names_are_looked_up_without_going_online() -> None:
    source = foreign.settle_source(foreign.read_source("ViT-B-32:openai"))
    assert (source.online, source.name) == (True, "ViT-B-32-openai")
    assert foreign.origin(source).startswith("https://")
    with pytest.raises(WrongUsage) as asked:
        foreign.settle_source(foreign.read_source("ViT-B-32"))
    assert "ViT-B-32:openai" in str(asked.value.hint)
    for unknown in ("ViT-B-32:nobody", "ViT-Q-1"):
        with pytest.raises(NotFound) as caught:
            foreign.settle_source(foreign.read_source(unknown))
        assert "ViT-" in str(caught.value.hint)


def test_a_checkpoint_is_known_by_what_lies_there(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        foreign.read_source(str(tmp_path / "nothing.pt"))
    with pytest.raises(NotFound):
        foreign.read_source(f"ViT-B-32:{tmp_path / 'nothing.pt'}")
    with pytest.raises(NotFound, match="no weights"):
        foreign.read_source(str(tmp_path))
    file = tmp_path / "epoch 7.pt"
    file.write_bytes(b"weights")
    for given in (str(file), str(tmp_path)):
        with pytest.raises(foreign.CannotExport, match="does not say what model"):
            foreign.read_source(given)
    named = foreign.read_source(f"RN50:{file}")
    assert (named.architecture, named.weights, named.online) == ("RN50", file, False)
    assert named.name == "RN50-epoch-7"
    (tmp_path / foreign.CONFIG_FILE).write_text(json.dumps({"model_cfg": {}}), encoding="utf-8")
    assert foreign.read_source(str(file)).folder == tmp_path
    (tmp_path / "open_clip_model.safetensors").write_bytes(b"weights")
    assert foreign.read_source(str(tmp_path)).weights == tmp_path / "open_clip_model.safetensors"
