"""`assetlib model` as its user meets it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import Assetlib, Draw
from tests.vectors import tiny_clip
from tests.vectors.test_foreign import has_extra, needs_extra


@pytest.fixture
def library(assetlib: Assetlib, tmp_path: Path, draw: Draw) -> Path:
    folder = tmp_path / "lib"
    assert assetlib("start", folder, "--artist", "Ida Brandt").code == 0
    for number in range(2):
        draw(f"dog {number}.png", number)
    assert assetlib("intake", draw("ferry.png", 5).parent, library=folder).code == 0
    return folder


def test_the_model_in_use(assetlib: Assetlib, library: Path) -> None:
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
    assert (done.code, done.out) == (36, "")
    assert "figures need 30" in done.err
    assert "Traceback" not in done.err


@needs_extra
def test_taking_a_local_model_and_going_back(assetlib: Assetlib, library: Path, tmp_path: Path) -> None:
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


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["nowhere/weights.pt"], 15, "weights.pt"),
        (["ViT-B-32:openai"], 2 if has_extra() else 24, "--yes" if has_extra() else "assetlib[clip]"),
    ],
)
def test_an_error_is_one_line_and_a_code(
    assetlib: Assetlib, library: Path, arguments: list[str], code: int, says: str
) -> None:
    done = assetlib("model", "use", *arguments, library=library)
    assert done.code == code
    assert says in done.err
    assert "Traceback" not in done.err
    assert done.out == ""


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
