"""Details of drawings: the same on every machine, found wherever the drawing stands; and pages taken apart."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from assetlib.imaging.doubles.candidates import Index
from assetlib.imaging.doubles.comparing import compare_prints
from assetlib.imaging.doubles.details import Details, details_of
from assetlib.imaging.doubles.fingerprints import fingerprint
from assetlib.imaging.doubles.matching import DoubleKind
from assetlib.imaging.doubles.normalise import normalise
from assetlib.imaging.doubles.seams import parts_along_seams
from assetlib.imaging.doubles.voting import NEAR, DetailTable, vote
from tests.imaging.art import on_white, van

Pixels = NDArray[np.uint8]


def _codes(count: int, seed: int) -> NDArray[np.uint64]:
    return np.random.default_rng(seed).integers(0, 1 << 64, (count, 2), dtype=np.uint64)


def _page() -> Pixels:
    """Nine drawings of which each runs into the next."""
    sheet = np.full((720, 960, 4), 255, np.uint8)
    for number, (x, y) in enumerate((x, y) for y in (0, 230, 460) for x in (0, 300, 600)):
        piece = cv2.resize(on_white(van(40 + number)), (345, 250), interpolation=cv2.INTER_AREA)
        spot = sheet[y : y + 250, x : x + 345]
        spot[:] = np.minimum(spot, piece)
    return sheet


def test_a_table_finds_what_differs_in_few_bits() -> None:
    codes = _codes(500, 1)
    table = DetailTable.of([(3, Details(codes, np.zeros((500, 4), np.uint8)))])
    asked = codes[:40].copy()
    asked[:, 1] ^= np.uint64(0b1011)  # three bits off, none of them where buckets are told apart
    found = [
        (int(m), int(e["owner"]))
        for mine, theirs in table.matches(asked, (1, 1))
        for m, e in zip(mine, theirs, strict=True)
    ]
    assert sorted(found) == [(k, 3) for k in range(40)]
    far = codes[:40] ^ np.uint64((1 << (NEAR + 1)) - 1)
    assert [len(mine) for mine, _ in table.matches(far, (1, 1))] == [0, 0]


def test_details_vote_where_they_lie_alike() -> None:
    codes = _codes(20, 2)
    spots = np.random.default_rng(3).integers(40, 200, (20, 4)).astype(np.uint8)
    spots[:, 2:] = (100, 0)
    alike = Details(codes, spots)
    strewn = Details(codes, np.random.default_rng(4).integers(0, 255, (20, 4)).astype(np.uint8))
    moved = spots.copy()
    moved[:, :2] = 20 + spots[:, :2] // 2
    moved[:, 2] -= 16  # half the size
    tables = [DetailTable.of([(1, strewn)]), DetailTable.of([(7, alike)])]
    numbers, votes = vote(Details(codes, moved), tables)
    assert numbers[0] == 7
    assert len(numbers) == 1 or votes[0] > 3 * votes[1]


def test_details_are_the_same_again() -> None:
    portrait = fingerprint(van(5)).portrait
    made, again = details_of(portrait, 48), details_of(portrait.copy(), 48)
    assert np.array_equal(made.codes, again.codes)
    assert 0 < len(made) <= 48
    assert np.all(np.diff(made.spots[:, 2].astype(int)) <= 0)


def test_nothing_has_no_details() -> None:
    assert len(details_of(np.zeros((160, 160), np.uint8), 48)) == 0
    assert len(vote(details_of(np.zeros((160, 160), np.uint8), 48), [DetailTable.of([])])[0]) == 0


def test_a_page_is_taken_apart_along_seams() -> None:
    boxes = [part.box for part in parts_along_seams(normalise(_page()))]
    middles = [(53 + 100 * column, 40 + 77 * row) for row in range(3) for column in range(3)]
    for x, y in middles:
        assert any(box[0] <= x <= box[2] and box[1] <= y <= box[3] and box[2] - box[0] < 150 for box in boxes)


def test_drawings_that_overlap_on_a_page_are_found(tmp_path: Path) -> None:
    library = [fingerprint(van(seed)) for seed in range(60)]
    page = fingerprint(_page())
    index = Index(library)
    found = index.found(page)
    by_details = {number for number, voted in found.items() if voted}
    matches = compare_prints(page, {number: library[number] for number in found}, by_details)
    kinds = {match.cut_id: match.verdict.kind for match in matches}
    assert set(kinds) <= set(range(40, 49))
    assert len(kinds) >= 7
    assert set(kinds.values()) == {DoubleKind.CONTAINED}
    index.save(tmp_path / "1.npz")
    assert Index.load(tmp_path / "1.npz").found(page) == found


@pytest.mark.parametrize("name", ["1.npz", "1.details"])
@pytest.mark.parametrize("left", [0.0, 0.01, 0.5, 0.99])
def test_a_searched_file_that_a_kill_cut_short_is_told_from_a_whole_one(
    tmp_path: Path, name: str, left: float
) -> None:
    Index([fingerprint(van(seed)) for seed in range(2)]).save(tmp_path / "1.npz")
    whole = (tmp_path / name).read_bytes()
    (tmp_path / name).write_bytes(whole[: int(left * len(whole))])
    with pytest.raises((OSError, KeyError, ValueError)):
        Index.load(tmp_path / "1.npz")


def test_the_page_is_found_by_a_drawing_that_stands_on_it() -> None:
    library = [fingerprint(van(seed)) for seed in range(30)] + [fingerprint(_page())]
    asked = fingerprint(van(44))
    found = Index(library).found(asked)
    assert found[30]
    matches = compare_prints(asked, {number: library[number] for number in found}, {30})
    assert [(match.cut_id, match.verdict.kind, match.inside) for match in matches] == [
        (30, DoubleKind.CONTAINED, "it")
    ]
