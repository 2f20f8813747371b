from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from assetlib.errors import ModelBroken
from assetlib.vectors import encoders
from assetlib.vectors.encoders import open_encoder


@pytest.fixture(scope="module")
def encoder() -> encoders.DrawingEncoder:
    return open_encoder(threads=1)


def drawing(kind: str, size: int = 300, shift: int = 0) -> np.ndarray:
    """A simple line drawing on empty ground: a house, a ball or a tree."""
    picture = np.zeros((size, size, 4), np.uint8)
    ink = (0, 0, 0, 255)
    a, b, c = size // 4 + shift, size // 2 + shift, 3 * size // 4 + shift
    if kind == "house":
        cv2.rectangle(picture, (a, b), (c, c), ink, 4)
        cv2.polylines(picture, [np.array([(a - 10, b), (b, a), (c + 10, b)])], True, ink, 4)
    elif kind == "ball":
        cv2.circle(picture, (b, b), size // 4, ink, 4)
    else:
        cv2.circle(picture, (b, a), size // 6, ink, 4)
        cv2.line(picture, (b, a + size // 6), (b, c), ink, 12)
    return picture


def test_vectors_are_of_unit_length_and_one_a_drawing(encoder: encoders.DrawingEncoder) -> None:
    vectors = encoder.images([drawing(kind) for kind in ("house", "ball", "tree")] * 7)
    assert vectors.shape == (21, encoder.dimension)
    assert vectors.dtype == np.float32
    assert np.allclose(np.linalg.norm(vectors, axis=1), 1, atol=1e-4)
    assert encoder.images([]).shape == (0, encoder.dimension)


def test_the_same_drawing_elsewhere_larger_or_mirrored_stays_nearest(
    encoder: encoders.DrawingEncoder,
) -> None:
    kinds = ("house", "ball", "tree")
    library = encoder.images([drawing(kind) for kind in kinds])
    changed = [np.ascontiguousarray(drawing(kind, 520, 17)[:, ::-1]) for kind in kinds]
    assert (encoder.images(changed) @ library.T).argmax(1).tolist() == [0, 1, 2]


def test_a_drawing_on_white_paper_is_the_drawing_on_empty_ground(encoder: encoders.DrawingEncoder) -> None:
    empty = drawing("house")
    paper = empty.copy()
    paper[empty[..., 3] == 0] = 255
    one, two = encoder.images([empty, paper])
    assert float(one @ two) > 0.99


def test_words_find_what_they_name(encoder: encoders.DrawingEncoder) -> None:
    library = encoder.images([drawing(kind) for kind in ("house", "ball", "tree")])
    assert (encoder.text(["house", "ball", "tree"]) @ library.T).argmax(1).tolist() == [0, 1, 2]


def test_words_of_one_meaning_lie_nearer_than_others(encoder: encoders.DrawingEncoder) -> None:
    dog, puppy, ferry, boat = encoder.text(["dog", "puppy", "ferry", "boat"])
    assert dog @ puppy > dog @ ferry
    assert ferry @ boat > ferry @ puppy


def test_a_text_without_words_is_like_nothing(encoder: encoders.DrawingEncoder) -> None:
    vectors = encoder.text(["", "  ", "van"])
    assert not vectors[:2].any()
    assert np.linalg.norm(vectors[2]) == pytest.approx(1, abs=1e-4)


def test_a_search_by_words_loads_neither_onnxruntime_nor_opencv() -> None:
    program = (
        "import sys; from assetlib.vectors.encoders import open_encoder; open_encoder().text(['a van']);"
        "print([m for m in ('onnxruntime', 'cv2', 'PIL', 'torch') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_shipped_files_are_those_that_the_digest_was_made_of(encoder: encoders.DrawingEncoder) -> None:
    import hashlib

    digest = hashlib.sha256()
    for path in sorted(p for p in encoder._folder.iterdir() if p.suffix not in (".md", ".json")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    assert digest.hexdigest() == encoder.digest
    assert encoder.size <= 20_000_000


@pytest.mark.parametrize(
    ("name", "calls"), [("image.onnx", "images"), ("pieces.npy", "text"), ("vocab.txt", "text")]
)
def test_a_missing_file_is_named_in_one_sentence(tmp_path: Path, name: str, calls: str) -> None:
    folder = tmp_path / "model"
    shutil.copytree(open_encoder()._folder, folder)
    (folder / name).unlink()
    broken = open_encoder(folder)
    argument = [drawing("ball")] if calls == "images" else ["van"]
    with pytest.raises(ModelBroken) as caught:
        getattr(broken, calls)(argument)
    assert "model" in caught.value.sentence
    assert caught.value.hint


def test_a_folder_without_a_description_is_no_model(tmp_path: Path) -> None:
    with pytest.raises(ModelBroken):
        open_encoder(tmp_path)
    (tmp_path / "model.json").write_text(json.dumps({"name": "x"}), encoding="utf-8")
    with pytest.raises(ModelBroken):
        open_encoder(tmp_path)
