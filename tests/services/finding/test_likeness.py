"""Finding by looks: a drawing, a file, a sketch, what it shall not be like, words with looks, words learned."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
import pytest

from assetlib.config import Settings
from assetlib.errors import BadPicture, NotFound
from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding import likeness
from assetlib.services.finding.search import Asked, Found, find
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.history import undo_steps
from assetlib.services.keeping.starting import start_library
from tests.conftest import NOON, Draw

KINDS = ("house", "boat", "tree", "spiral", "ladder", "face", "star", "wave")
EACH = 4
SIDE = 320


def figure(kind: str, seed: int, *, rough: bool = False) -> np.ndarray:
    """Grey line art on white, uint8 (320, 320): each seed another drawing of its kind; `rough` lines tremble."""
    draw = np.random.default_rng([KINDS.index(kind), seed])
    page = np.full((SIDE, SIDE), 255, np.uint8)
    tremble = np.random.default_rng(seed + 99)
    size, x, y = draw.integers(80, 110), draw.integers(140, 180), draw.integers(140, 180)
    for line in _lines(kind, draw):
        points = np.asarray(line, float) * size + (x, y)
        if rough:
            points = _finely(points)
            points += tremble.normal(0, 2.0, points.shape)
        cv2.polylines(page, [points.round().astype(np.int32)], False, 60 if rough else 0, 2 if rough else 4)
    return page


def _lines(kind: str, draw: np.random.Generator) -> list[list[tuple[float, float]]]:
    a, b = draw.uniform(0.6, 1.0), draw.uniform(0.2, 0.5)
    turns = np.linspace(0, 1, 80)
    if kind == "house":
        walls = [(-a, 0), (-a, 1), (a, 1), (a, 0), (-a, 0), (0, -1), (a, 0)]
        return [walls, [(-b / 2, 1), (-b / 2, 0.4), (b / 2, 0.4), (b / 2, 1)]]
    if kind == "boat":
        return [
            [(-1, 0.3), (-0.6, 0.9), (0.6, 0.9), (1, 0.3), (-1, 0.3)],
            [(0, 0.3), (0, -1), (a, 0.1), (0, 0.1)],
        ]
    if kind == "tree":
        return [*[_circle(dx, -0.4 + dy, b + 0.25) for dx, dy in ((-0.4, 0), (0.4, 0), (0, -0.3))],
                [(-0.12, 0.1), (-0.12, 1), (0.12, 1), (0.12, 0.1)]]  # fmt: skip
    if kind == "spiral":
        angle = turns * 2 * np.pi * (2.5 + b)
        return [list(zip(turns * np.cos(angle), turns * np.sin(angle), strict=True))]
    if kind == "ladder":
        rungs = [[(-b, y), (b, y)] for y in np.linspace(-0.9, 0.9, draw.integers(5, 9))]
        return [[(-b, -1), (-b, 1)], [(b, -1), (b, 1)], *rungs]
    if kind == "face":
        return [_circle(0, 0, 1), _circle(-0.35, -0.25, 0.1), _circle(0.35, -0.25, 0.1),
                [(-b, 0.4), (0, 0.4 + b / 2), (b, 0.4)]]  # fmt: skip
    if kind == "star":
        angles = np.arange(11) * 0.8 * np.pi + b
        return [list(zip(np.sin(angles), np.cos(angles), strict=True))]
    waves = 2 + draw.integers(0, 2)
    return [list(zip(2 * turns - 1, dy + b / 2 * np.sin(turns * 2 * np.pi * waves), strict=True))
            for dy in (-0.5, 0, 0.5)]  # fmt: skip


def _circle(x: float, y: float, radius: float) -> list[tuple[float, float]]:
    angles = np.linspace(0, 2 * np.pi, 40)
    return list(zip(x + radius * np.cos(angles), y + radius * np.sin(angles), strict=True))


def _finely(points: np.ndarray) -> np.ndarray:
    """The same line with a point every few pixels."""
    parts = [points[:1]]
    for start, end in pairwise(points):
        count = max(2, int(np.hypot(*(end - start)) / 6))
        parts.append(start + np.linspace(0, 1, count)[1:, None] * (end - start))
    return np.concatenate(parts)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Library, dict[str, list[str]]]]:
    """A library of four drawings of each kind under names that say nothing, looked at; and their codes by kind."""
    folder = tmp_path_factory.mktemp("shelf")
    lib = start_library(folder / "library", Settings(workers=2), lambda: NOON)
    codes: dict[str, list[str]] = {}
    for number, kind in enumerate(KINDS):
        for seed in range(EACH):
            cv2.imwrite(str(folder / f"q{number}{seed}.png"), figure(kind, seed))
        added = bring_in(lib, sorted(folder.glob(f"q{number}*.png"))).added
        codes[kind] = [item.code for item in added]
    look_at_all(lib)
    yield lib, codes
    lib.close()


def look_at_all(lib: Library) -> None:
    """The part of upkeep that is about looks."""
    upkeep.work_off(lib, (upkeep.look(lib),))
    likeness.build(lib)


def found_codes(found: Found) -> list[str]:
    return [result.card.code for result in found.results]


def share(found: Found, codes: list[str], count: int) -> float:
    """Share of the first results that are among these."""
    return sum(code in codes for code in found_codes(found)[:count]) / count


@pytest.mark.parametrize("kind", KINDS)
def test_like_a_drawing_finds_its_kind_and_never_itself(shelf, kind: str) -> None:
    lib, codes = shelf
    found = find(lib, Asked(like=(codes[kind][0],)))
    assert codes[kind][0] not in found_codes(found)
    assert share(found, codes[kind], EACH - 1) >= 2 / 3
    assert "looks like it" in found.results[0].why[-1]


def test_like_a_file_finds_the_same_drawing_mirrored_coloured_and_on_other_paper(
    shelf, tmp_path: Path
) -> None:
    lib, codes = shelf
    for kind in ("house", "face"):
        grey = figure(kind, 2)[:, ::-1]
        colour = np.full((SIDE + 200, SIDE + 300, 3), 255, np.uint8)
        colour[90 : 90 + SIDE, 40 : 40 + SIDE][grey < 128] = (160, 60, 20)
        path = tmp_path / f"{kind}.png"
        cv2.imwrite(str(path), colour)
        assert found_codes(find(lib, Asked(like=(str(path),))))[0] == codes[kind][2]


def test_a_rough_sketch_photographed_on_grey_paper_finds_what_it_is_of(shelf, tmp_path: Path) -> None:
    lib, codes = shelf
    right = 0
    for kind in KINDS[::2]:
        page = cv2.copyMakeBorder(figure(kind, 1, rough=True), 60, 90, 80, 50, cv2.BORDER_CONSTANT, value=255)
        light = np.linspace(0.55, 0.85, page.shape[1])[None, :]  # a lamp from the right
        noise = np.random.default_rng(4).normal(0, 3, page.shape)
        path = tmp_path / f"{kind}.jpg"
        cv2.imwrite(str(path), np.clip(page * light + noise, 0, 255).astype(np.uint8))
        right += found_codes(find(lib, Asked(sketch=(path,))))[0] in codes[kind]
    assert right >= len(KINDS[::2]) - 1


def test_unlike_pushes_away_what_it_names(shelf) -> None:
    lib, codes = shelf
    both = Asked(like=(codes["house"][0], codes["boat"][0]), limit=40)
    away = Asked(like=both.like, unlike=(codes["boat"][1],), limit=40)

    def mean_place(question: Asked) -> float:
        order = found_codes(find(lib, question))
        return float(
            np.mean([order.index(code) if code in order else len(order) for code in codes["boat"][2:]])
        )

    assert mean_place(away) > mean_place(both) + 2
    assert codes["boat"][1] not in found_codes(find(lib, away))
    assert share(find(lib, away), codes["house"], 3) >= 2 / 3


def test_filters_hold_for_pictures(shelf) -> None:
    lib, codes = shelf
    some = [codes["house"][1], codes["wave"][0]]
    describe(lib, some, Description(add=("kept back",)))
    found = find(lib, Asked(like=(codes["house"][0],), tags=("kept back",)))
    assert found_codes(found) == some
    assert found.total == 2
    undo_steps(lib)


def test_words_find_what_carries_them_first_and_then_what_looks_like_it(shelf) -> None:
    lib, codes = shelf
    describe(lib, [codes["ladder"][3]], Description(title="House"))
    found = find(lib, Asked("house"))
    order = found_codes(found)
    assert order[0] == codes["ladder"][3]  # the artist's own word outweighs any look
    assert "house" in found.results[0].why
    looked = [result for result in found.results if result.card.code in codes["house"]]
    assert len(looked) >= 3
    assert all("looks like it" in result.why[-1] for result in looked)
    undo_steps(lib)
    assert codes["ladder"][3] not in found_codes(find(lib, Asked("house")))[:1]


def test_words_and_a_picture_together(shelf) -> None:
    lib, codes = shelf
    alone = found_codes(find(lib, Asked(like=(codes["spiral"][0],), limit=40)))
    mixed = found_codes(find(lib, Asked("tree", like=(codes["spiral"][0],), limit=40)))
    trees = codes["tree"]
    assert np.mean([mixed.index(c) for c in trees]) < np.mean([alone.index(c) for c in trees])


def test_a_word_of_the_artist_pulls_in_what_looks_the_same(shelf) -> None:
    lib, codes = shelf
    before = found_codes(find(lib, Asked("zibbel")))
    assert not set(before) & set(codes["spiral"][2:])
    describe(lib, codes["spiral"][:2], Description(add=("zibbel",)))
    found = find(lib, Asked("zibbel"))
    assert set(found_codes(found)[:2]) == set(codes["spiral"][:2])
    assert set(found_codes(found)[2:4]) == set(codes["spiral"][2:])
    undo_steps(lib)
    assert found_codes(find(lib, Asked("zibbel"))) == before


def test_a_line_without_meaning_finds_nothing_by_looks(shelf) -> None:
    lib, _ = shelf
    assert find(lib, Asked("?!")).total == 0


def test_what_cannot_be_looked_at_is_said(shelf, draw: Draw, tmp_path: Path) -> None:
    lib, _ = shelf
    broken = tmp_path / "broken.png"
    broken.write_bytes(b"\x89PNG\r\n\x1a\nxx")
    with pytest.raises(BadPicture, match=r"broken\.png"):
        find(lib, Asked(like=(str(broken),)))
    with pytest.raises(NotFound, match="neither a file nor the code"):
        find(lib, Asked(like=("nothing.png",)))
    code = bring_in(lib, [draw("late.png")]).added[0].code
    with pytest.raises(NotFound) as caught:
        find(lib, Asked(like=(code,)))
    assert "upkeep" in str(caught.value.hint)
    look_at_all(lib)
    assert find(lib, Asked(like=(code,))).total
    undo_steps(lib)


def test_blending_keeps_to_the_unit_sphere() -> None:
    one, two = np.eye(2, dtype=np.float32)
    mixed = likeness.blended([one, two], [])
    assert np.allclose(mixed, [0.5**0.5, 0.5**0.5])
    assert likeness.blended([one], [two]) @ two < 0
    assert np.linalg.norm(likeness.blended([], [two])) == pytest.approx(1)
