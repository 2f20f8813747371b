from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assetlib.errors import NoVectors
from assetlib.vectors.neighbours import VectorFile, newest_generation

GENERATOR = np.random.default_rng(3)


def unit(count: int, size: int = 16) -> np.ndarray:
    vectors = GENERATOR.normal(size=(count, size)).astype(np.float32)
    return vectors / np.linalg.norm(vectors, axis=1, keepdims=True)


def write(folder: Path, count: int, generation: int = 1) -> tuple[VectorFile, np.ndarray]:
    vectors = unit(count).astype(np.float16)
    ids = np.arange(count, dtype=np.int64) * 10 + 5
    return VectorFile.write(folder, ids, vectors, generation), vectors.astype(np.float32)


@pytest.mark.parametrize("count", [1, 7, 400, 70_000])
def test_the_best_are_found_in_order(tmp_path: Path, count: int) -> None:
    file, vectors = write(tmp_path, count)
    queries = unit(3)
    scores, ids = file.search(queries, 5)
    expected = queries @ vectors.T
    order = np.argsort(-expected, axis=1, kind="stable")[:, : min(5, count)]
    assert np.array_equal(ids, order * 10 + 5)
    assert np.allclose(scores, np.take_along_axis(expected, order, 1), atol=1e-6)


@pytest.mark.parametrize("share", [0.0, 0.02, 0.5, 1.0])
def test_only_the_allowed_are_found(tmp_path: Path, share: float) -> None:
    file, _ = write(tmp_path, 900)
    allowed = GENERATOR.random(900) < share
    scores, ids = file.search(unit(2), 20, allowed)
    assert ids.shape == scores.shape == (2, min(20, int(allowed.sum())))
    assert set(((ids - 5) // 10).ravel()) <= set(np.flatnonzero(allowed))
    assert (np.diff(scores, axis=1) <= 0).all()


def test_equal_scores_come_in_the_order_of_the_file(tmp_path: Path) -> None:
    same = np.ones((300, 8), np.float16)
    file = VectorFile.write(tmp_path, np.arange(300, dtype=np.int64), same, 1)
    _, ids = file.search(np.ones((1, 8), np.float32), 4)
    assert ids.tolist() == [[0, 1, 2, 3]]


def test_a_drawing_finds_itself_first(tmp_path: Path) -> None:
    file, vectors = write(tmp_path, 250)
    _, ids = file.search(vectors[:40], 1)
    assert ids[:, 0].tolist() == [i * 10 + 5 for i in range(40)]


def test_an_empty_library_has_no_neighbours(tmp_path: Path) -> None:
    file = VectorFile.write(tmp_path, np.zeros(0, np.int64), np.zeros((0, 16), np.float16), 1)
    scores, ids = file.search(unit(2), 5)
    assert scores.shape == ids.shape == (2, 0)
    assert len(VectorFile.open(tmp_path).ids) == 0


def test_an_open_generation_stays_as_it_was_while_newer_ones_are_written(tmp_path: Path) -> None:
    _, vectors = write(tmp_path, 50, 1)
    reader = VectorFile.open(tmp_path)
    for generation in (2, 3, 4):
        write(tmp_path, 60, generation)
    assert np.array_equal(np.asarray(reader.vectors), vectors)
    assert VectorFile.open(tmp_path).generation == 4
    assert sorted(p.name for p in tmp_path.glob("vectors-*")) == [
        "vectors-000000003.npy",
        "vectors-000000004.npy",
    ]


def test_a_generation_is_never_written_twice(tmp_path: Path) -> None:
    _, vectors = write(tmp_path, 50, 7)
    with pytest.raises(FileExistsError):
        write(tmp_path, 60, 7)
    assert np.array_equal(np.asarray(VectorFile.open(tmp_path).vectors), vectors)


def test_a_half_written_newest_generation_is_passed_over(tmp_path: Path) -> None:
    write(tmp_path, 50, 1)
    write(tmp_path, 60, 2)
    path = tmp_path / "vectors-000000002.npy"
    path.write_bytes(path.read_bytes()[:1000])
    assert VectorFile.open(tmp_path).generation == 1
    assert newest_generation(tmp_path) == 2


def test_without_any_file_the_message_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(NoVectors) as caught:
        VectorFile.open(tmp_path)
    assert "upkeep" in (caught.value.hint or "")


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 200), st.integers(1, 40), st.integers(0, 2**32 - 1))
def test_search_agrees_with_sorting_everything(
    tmp_path_factory: pytest.TempPathFactory, n: int, k: int, s: int
) -> None:
    generator = np.random.default_rng(s)
    # Few different values, so that equal scores are common.
    vectors = generator.integers(-1, 2, (n, 4)).astype(np.float16)
    file = VectorFile.write(tmp_path_factory.mktemp("v"), np.arange(n, dtype=np.int64), vectors, 1)
    query = generator.integers(-1, 2, (1, 4)).astype(np.float32)
    allowed = generator.random(n) < 0.6
    _, ids = file.search(query, k, allowed)
    scores = np.where(allowed, (query @ vectors.astype(np.float32).T)[0], -np.inf)
    expected = [i for i in np.argsort(-scores, kind="stable") if allowed[i]][:k]
    assert ids[0].tolist() == expected
