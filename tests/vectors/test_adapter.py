from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assetlib.vectors.adapter import Adapter, fit

GENERATOR = np.random.default_rng(5)
SIZE = 256  # in few dimensions chance alone makes vectors alike


def unit(vectors: np.ndarray) -> np.ndarray:
    return (vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)).astype(np.float32)


def cluster(centre: np.ndarray, count: int, spread: float = 0.04) -> np.ndarray:
    return unit(centre + spread * GENERATOR.normal(size=(count, SIZE)))


@pytest.fixture
def drawings() -> tuple[np.ndarray, list[list[str]], np.ndarray]:
    """Twelve drawings of a hood mount, sixty of other things, and the hood mounts' centre."""
    centre = unit(GENERATOR.normal(size=SIZE))
    others = unit(GENERATOR.normal(size=(60, SIZE)))
    words = [["hood mount", "van"]] * 12 + [["thing"] for _ in others]
    return np.concatenate([cluster(centre, 12), others]), words, centre


def test_a_word_the_model_does_not_know_finds_drawings_that_look_like_its_own(drawings) -> None:
    vectors, words, centre = drawings
    nonsense = unit(GENERATOR.normal(size=SIZE))
    fresh = np.concatenate([cluster(centre, 10), unit(GENERATOR.normal(size=(200, SIZE)))])
    scores = fit(vectors, words).scores("Hood mount", nonsense, fresh)
    plain = fresh @ nonsense
    right = np.arange(len(fresh)) < 10
    assert right[np.argsort(-scores)[:10]].mean() >= 0.8
    assert right[np.argsort(-plain)[:10]].mean() < 0.5


def test_an_unknown_word_leaves_the_text_vector_alone(drawings) -> None:
    vectors, words, _ = drawings
    said = unit(GENERATOR.normal(size=SIZE))
    assert np.allclose(fit(vectors, words).text_vector(["ferry"], said), said, atol=1e-6)


def test_a_word_of_one_drawing_is_trusted_less_than_a_word_of_twelve(drawings) -> None:
    vectors, words, _ = drawings
    said = unit(GENERATOR.normal(size=SIZE))
    many = fit(vectors, words).text_vector(["van"], said)
    one = fit(vectors, [["van"], *[["thing"]] * 71]).text_vector(["van"], said)
    assert float(many @ said) < float(one @ said) < 1


def test_the_order_of_drawings_does_not_matter(drawings) -> None:
    vectors, words, _ = drawings
    order = GENERATOR.permutation(len(vectors))
    one, two = fit(vectors, words), fit(vectors[order], [words[i] for i in order])
    assert one.words == two.words
    assert np.allclose(one.directions, two.directions, atol=1e-3)


def test_the_words_of_a_line_are_found_longest_first(drawings) -> None:
    vectors, words, _ = drawings
    assert fit(vectors, words).words_in("CU, Hood mount, baker drives van") == ["hood mount", "van"]


@pytest.mark.parametrize("count", [0, 1, 2])
def test_few_described_drawings_are_no_trouble(count: int) -> None:
    vectors = unit(GENERATOR.normal(size=(count, SIZE))) if count else np.zeros((0, SIZE), np.float32)
    said = unit(GENERATOR.normal(size=SIZE))
    vector = fit(vectors, [["van"]] * count).text_vector(["van"], said)
    assert np.isfinite(vector).all()
    assert np.linalg.norm(vector) == pytest.approx(1, abs=1e-5)


def test_an_adapter_is_read_back_as_it_was_written(tmp_path: Path, drawings) -> None:
    vectors, words, _ = drawings
    adapter = fit(vectors, words)
    adapter.save(tmp_path / "adapter.npz")
    again = Adapter.load(tmp_path / "adapter.npz")
    assert again.words == adapter.words
    assert np.array_equal(again.directions, adapter.directions)
    with pytest.raises(FileExistsError):
        adapter.save(tmp_path / "adapter.npz")
