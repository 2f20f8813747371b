"""`assetlib model` as its user meets it."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.config import Settings
from assetlib.services.keeping.starting import start_library
from tests.conftest import Assetlib, Draw
from tests.vectors import tiny_clip
from tests.vectors.test_foreign import has_extra, needs_extra


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A library with nothing in it."""
    lib = start_library(tmp_path / "lib", Settings())
    lib.close()
    return lib.folder


def _bring_in_three(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    for number in range(2):
        draw(f"dog {number}.png", number)
    assert assetlib("intake", draw("ferry.png", 5).parent, library=library).code == 0


def test_the_model_in_use(assetlib: Assetlib, library: Path, draw: Draw) -> None:
    _bring_in_three(assetlib, library, draw)
    shown = assetlib("model", library=library)
    assert shown.code == 0, shown.err
    for word in ("drawings-1", "384 numbers", "MODEL_CARD.md", "3 drawings known, 0 waiting"):
        assert word in shown.out.replace("\n", "")
    document = assetlib("model", "--json", library=library).json
    assert set(document) == {"in_use", "models", "missing"}
    assert (document["in_use"]["name"], document["in_use"]["drawings"]) == ("drawings-1", 3)
    assert document["models"] == [document["in_use"]]


def test_measuring_a_library_that_is_hardly_described(assetlib: Assetlib, library: Path) -> None:
    done = assetlib("model", "measure", "--json", library=library)
    assert (done.code, done.json["error"]["kind"]) == (36, "too-few-described")
    assert "figures need 30" in done.err
    assert "Traceback" not in done.err


@needs_extra
def test_taking_a_local_model_and_going_back(
    assetlib: Assetlib, library: Path, draw: Draw, tmp_path: Path
) -> None:
    _bring_in_three(assetlib, library, draw)
    checkpoint = tiny_clip.save(tmp_path / "tiny")
    taken = assetlib("model", "use", checkpoint, library=library)
    assert taken.code == 0, taken.err
    assert "tiny is to follow: 3 drawings wait" in taken.out
    assert assetlib("upkeep", library=library).code == 0
    used = assetlib("model", "--json", library=library).json["in_use"]
    assert (used["name"], used["dimension"], used["drawings"]) == ("tiny", tiny_clip.DIMENSION, 3)
    assert assetlib("find", "dog", "--json", library=library).json["total"] >= 2
    back = assetlib("model", "use", "drawings-1", "--json", library=library).json
    assert back["in_use"]["name"] == "drawings-1"


@needs_extra
def test_going_online_needs_a_word(assetlib: Assetlib, library: Path) -> None:
    done = assetlib("model", "use", "ViT-B-32:openai", library=library)
    assert done.code == 2
    assert "internet" in done.err
    assert "--yes" in done.err
    assert not (library / "derived" / "models").exists()


def test_what_is_not_there_is_one_line_and_a_code(assetlib: Assetlib, library: Path) -> None:
    done = assetlib("model", "use", "nowhere/weights.pt", library=library)
    assert (done.code, done.out) == (15, "")
    assert "weights.pt" in done.err
    assert "Traceback" not in done.err


@pytest.mark.skipif(has_extra(), reason="the extra 'clip' is installed")
def test_without_the_extra_it_says_what_to_install(assetlib: Assetlib, library: Path) -> None:
    done = assetlib("model", "use", "ViT-B-32:openai", library=library)
    assert (done.code, done.out) == (24, "")
    assert "assetlib[clip]" in done.err


def test_help_loads_nothing_heavy(run_python) -> None:  # type: ignore[no-untyped-def]
    code = """
import contextlib, io, sys
from assetlib.cli.main import main
with contextlib.redirect_stdout(io.StringIO()) as out:
    for arguments in (["model", "--help"], ["model", "use", "--help"], ["model", "measure", "--help"]):
        assert main(arguments) == 0
assert "measure" in out.getvalue()
print([name for name in ("numpy", "torch", "open_clip", "sqlalchemy", "onnxruntime", "rich") if name in sys.modules])
"""
    assert run_python(code).strip() == "[]"
