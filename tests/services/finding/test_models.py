"""Models of a library: taking in another, the former one until upkeep is done, going back, measuring."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from assetlib.catalogue import lookup
from assetlib.config import SETTINGS_FILE, Settings, read_settings
from assetlib.errors import MissingExtra, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import bring_in
from assetlib.services.describing.tagging import Description, describe
from assetlib.services.finding import likeness, measuring, models
from assetlib.services.finding.search import Asked, find
from assetlib.services.keeping import upkeep
from assetlib.services.keeping.starting import start_library
from assetlib.vectors import foreign
from tests.conftest import NOON, Draw
from tests.vectors import tiny_clip
from tests.vectors.test_foreign import has_extra, needs_extra

SHAPES = ("egg", "box", "tent")


def never(sentence: str) -> bool:
    raise AssertionError(sentence)


def look_at_all(lib: Library) -> None:
    """The part of upkeep that is about looks."""
    upkeep.work_off(lib, (upkeep.look(lib),))
    likeness.build(lib)


def shape(folder: Path, name: str, number: int) -> Path:
    """A drawing of an egg, a box or a tent, each number a little different."""
    page = Image.new("L", (160, 160), 255)
    pen = ImageDraw.Draw(page)
    corner, far = 20 + number, 140 - 2 * number
    if name == "egg":
        pen.ellipse((corner, 30, far, 130), outline=0, width=3)
    elif name == "box":
        pen.rectangle((corner, 40, far, 120), outline=0, width=3)
    else:
        pen.polygon([(corner, 130), (80, 30), (far, 130)], outline=0, width=3)
    path = folder / f"{name} {number}.png"
    page.save(path)
    return path


@pytest.fixture(scope="module")
def checkpoint(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tiny_clip.save(tmp_path_factory.mktemp("checkpoint") / "tiny")


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a library with twelve of each shape, tagged with what they are, and looked at."""
    folder = tmp_path_factory.mktemp("drawn")
    lib = start_library(folder / "library", Settings(workers=2), lambda: NOON)
    for name in SHAPES:
        added = bring_in(lib, [shape(folder, name, number) for number in range(12)]).added
        describe(lib, [item.code for item in added], Description(add=(f"my {name}",)))
    look_at_all(lib)
    lib.close()
    return lib.folder


@pytest.fixture
def shelf(drawn: Path, tmp_path: Path) -> Iterator[Library]:
    shutil.copytree(drawn, tmp_path / "library")
    lib = Library.open(tmp_path / "library", lambda: NOON)
    yield lib
    lib.close()


def recipes(lib: Library) -> dict[str, int]:
    """How many vectors lie in the catalogue under each recipe, and that all of one recipe have one length."""
    with lookup.looking(lib.catalogue) as connection:
        rows = connection.execute(
            """SELECT r.name, count(*), count(DISTINCT length(v.data))
               FROM vectors v JOIN recipes r ON r.id = v.recipe_id GROUP BY r.name"""
        ).fetchall()
    assert all(lengths == 1 for _, _, lengths in rows)
    return {name: count for name, count, _ in rows}


def test_a_new_library_looks_by_the_shipped_model(lib: Library, draw: Draw) -> None:
    (only,) = models.overview(lib).models
    assert (only.name, only.in_use, only.wanted, only.drawings, only.waiting) == (
        "drawings-1",
        True,
        True,
        0,
        0,
    )
    assert only.dimension == 384
    assert Path(only.card).is_file()
    assert only.size == sum(path.stat().st_size for path in Path(only.folder).iterdir())
    bring_in(lib, [draw("dog.png")])
    assert models.overview(lib).in_use.waiting == 1
    look_at_all(lib)
    used = models.overview(lib).in_use
    assert (used.drawings, used.waiting) == (1, 0)


@needs_extra
def test_the_former_model_serves_until_the_new_one_knows_every_drawing(
    shelf: Library, checkpoint: Path
) -> None:
    before = find(shelf, Asked("egg", limit=40))
    like = Asked(like=(before.results[0].card.code,))
    alike = find(shelf, like)
    taken = models.use(shelf, str(checkpoint), never)
    assert (taken.in_use.name, taken.wanted.name) == ("drawings-1", "tiny")
    assert (taken.wanted.drawings, taken.wanted.waiting) == (0, 36)
    assert find(shelf, like) == alike

    with lookup.looking(shelf.catalogue) as connection:
        some = [row[0] for row in connection.execute("SELECT id FROM entries ORDER BY id LIMIT 20")]
    upkeep.work_off(shelf, (upkeep.look(shelf),), entries=some)  # as when upkeep was stopped on its way
    likeness.build(shelf)
    half = models.overview(shelf)
    assert (half.in_use.name, half.wanted.drawings, half.wanted.waiting) == ("drawings-1", 20, 16)
    assert find(shelf, like) == alike

    (worked,) = upkeep.work_off(shelf, (upkeep.look(shelf),))
    assert (worked.done, worked.failed) == (16, ())
    likeness.build(shelf)
    done = models.overview(shelf)
    assert (done.in_use.name, done.in_use.drawings, done.in_use.waiting) == ("tiny", 36, 0)
    assert find(shelf, like).results[0].score != alike.results[0].score
    assert sorted(recipes(shelf).values()) == [36, 36]
    assert {name.rsplit("-", 1)[0] for name in recipes(shelf)} == {"drawings-1", "tiny"}

    back = models.use(shelf, "drawings-1", never)
    assert (back.in_use.name, back.in_use.waiting) == ("drawings-1", 0)
    assert find(shelf, like) == alike
    assert models.use(shelf, done.in_use.recipe, never).in_use.name == "tiny"


@needs_extra
def test_pictures_from_outside_are_seen_by_the_model_in_use(
    shelf: Library, checkpoint: Path, tmp_path: Path
) -> None:
    models.use(shelf, str(checkpoint), never)
    look_at_all(shelf)
    with lookup.looking(shelf.catalogue) as connection:
        looks = likeness.Looks(shelf, connection)
        vector = looks.of_file(shape(tmp_path, "egg", 5), sketch=False)
        assert vector.shape == (tiny_clip.DIMENSION,)
        (nearest,) = looks.nearest(vector, 1)
        own = looks.of(nearest.entry_id)
        assert own is not None
        assert np.allclose(own, vector, atol=1e-3)


@needs_extra
def test_a_file_finds_its_drawing_by_the_model_in_use(
    shelf: Library, checkpoint: Path, tmp_path: Path
) -> None:
    models.use(shelf, str(checkpoint), never)
    look_at_all(shelf)
    found = find(shelf, Asked(like=(str(shape(tmp_path, "tent", 3)),)))
    assert found.results[0].card.title.lower().startswith("tent")
    assert found.results[0].score == pytest.approx(1, abs=1e-3)


@needs_extra
def test_drawings_that_come_later_wait_without_bringing_the_former_model_back(
    shelf: Library, checkpoint: Path, tmp_path: Path
) -> None:
    models.use(shelf, str(checkpoint), never)
    look_at_all(shelf)
    bring_in(shelf, [shape(tmp_path, "egg", 14)])
    likeness.build(shelf)
    used = models.overview(shelf).in_use
    assert (used.name, used.drawings, used.waiting) == ("tiny", 36, 1)


@needs_extra
def test_a_model_that_was_thrown_away_is_missed_and_the_shipped_one_serves(
    shelf: Library, checkpoint: Path
) -> None:
    recipe = models.use(shelf, str(checkpoint), never).wanted.recipe
    look_at_all(shelf)
    shutil.rmtree(shelf.derived / "models")
    left = models.overview(shelf)
    assert (left.missing, left.in_use.name) == (recipe, "drawings-1")
    assert find(shelf, Asked("egg")).results
    again = models.use(shelf, str(checkpoint), never)
    assert (again.missing, again.in_use.recipe, again.in_use.waiting) == (None, recipe, 0)


@needs_extra
def test_searching_with_it_loads_no_torch(shelf: Library, checkpoint: Path, tmp_path: Path) -> None:
    models.use(shelf, str(checkpoint), never)
    look_at_all(shelf)
    program = f"""
import sys
from pathlib import Path
from assetlib.library import Library
from assetlib.services.finding.search import Asked, find
lib = Library.open(Path({str(shelf.folder)!r}))
assert find(lib, Asked("egg", like=(find(lib, Asked("egg")).results[0].card.code,))).results
print([m for m in ("torch", "open_clip") if m in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@needs_extra
def test_nothing_is_fetched_without_a_word(lib: Library) -> None:
    asked: list[str] = []

    def no(sentence: str) -> bool:
        asked.append(sentence)
        return False

    with pytest.raises(WrongUsage, match="nothing was fetched"):
        models.use(lib, "ViT-B-32:openai", no)
    assert "internet" in asked[0]
    assert read_settings(lib.folder).model == "drawings-1"
    assert not (lib.derived / "models").exists()


@needs_extra
def test_what_cannot_be_taken_in_changes_nothing(lib: Library, tmp_path: Path) -> None:
    settings = tiny_clip.config(hf_tokenizer_name="some/tokenizer")
    with pytest.raises(foreign.CannotExport):
        models.use(lib, str(tiny_clip.save(tmp_path / "tiny", settings=settings)), never)
    (tmp_path / "tiny" / "open_clip_pytorch_model.bin").write_bytes(b"\x80garbage")
    tiny_clip_settings = tmp_path / "tiny" / foreign.CONFIG_FILE
    tiny_clip_settings.write_text('{"model_cfg": {"embed_dim": 8}}', encoding="utf-8")
    with pytest.raises(foreign.CannotExport):
        models.use(lib, str(tmp_path / "tiny"), never)
    assert models.overview(lib).wanted.name == "drawings-1"
    assert not list((lib.folder / "staging").iterdir())


def test_a_checkpoint_that_is_not_there(lib: Library) -> None:
    with pytest.raises(NotFound):
        models.use(lib, "nowhere/weights.pt", never)


@pytest.mark.skipif(has_extra(), reason="the extra 'clip' is installed")
def test_without_the_extra_it_says_what_to_install(lib: Library) -> None:
    with pytest.raises(MissingExtra) as caught:
        models.use(lib, "ViT-B-32:openai", never)
    assert "assetlib[clip]" in str(caught.value.hint)


@needs_extra
def test_the_settings_keep_their_remarks(lib: Library, checkpoint: Path) -> None:
    path = lib.folder / SETTINGS_FILE
    path.write_text(
        '# mine\nname = "Boards" # the model = here\nartist="Ida"\n', encoding="utf-8"
    )  # an older file without the key
    recipe = models.use(lib, str(checkpoint), never).wanted.recipe
    text = path.read_text(encoding="utf-8")
    assert text.startswith('# mine\nname = "Boards" # the model = here\n')
    assert read_settings(lib.folder) == Settings(name="Boards", artist="Ida", model=recipe)
    models.use(lib, "drawings-1", never)
    assert (
        path.read_text(encoding="utf-8").count("model = ") == 2
    )  # the remark, and one line that was changed


def test_measuring_needs_described_drawings(lib: Library, draw: Draw) -> None:
    bring_in(lib, [draw("dog.png")])
    with pytest.raises(measuring.TooFewDescribed, match="only 0 drawings"):
        measuring.measure(lib)


def test_figures_of_the_only_model(shelf: Library) -> None:
    compared = measuring.measure(shelf)
    assert (compared.drawings, compared.better, len(compared.models)) == (36, None, 1)
    figures = {figure.name: figure for figure in compared.models[0].figures}
    assert list(figures) == [
        "title to drawing R@1",
        "title to drawing R@5",
        "title to drawing R@10",
        "one tag, mAP",
        "same tag, P@10",
    ]
    assert all(0 <= f.low <= f.value <= f.high <= 1 for f in figures.values())
    assert figures["same tag, P@10"].value > 0.8  # chance is a third; shapes are easily told apart
    assert figures["one tag, mAP"].value > 0.6


@needs_extra
def test_the_better_model_is_named_and_measuring_does_not_switch(shelf: Library, checkpoint: Path) -> None:
    models.use(shelf, str(checkpoint), never)
    assert [one.name for one in measuring.measure(shelf).models] == ["drawings-1"]
    assert len(measuring.measure(shelf).left_out) == 1
    look_at_all(shelf)
    compared = measuring.measure(shelf)
    assert [(one.name, one.in_use) for one in compared.models] == [("tiny", True), ("drawings-1", False)]
    shipped = compared.models[1]
    assert compared.better == shipped.recipe  # the other one's weights are random
    assert compared.sentence.startswith("drawings-1 serves these 36 drawings better than tiny")
    assert models.overview(shelf).in_use.name == "tiny"


def test_titles_are_found_by_any_drawing_that_carries_them() -> None:
    scores = np.array([[0.9, 0.1, 0.5], [0.2, 0.8, 0.9]], np.float32)
    places = measuring._first_places(scores, ["dog", "van"], ["van", "dog", "dog"])
    assert places.tolist() == [1, 2]
