"""What README, DEVELOPERS and FIGURES point at is there."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).parents[1]
DOCUMENTS = ("README.md", "DEVELOPERS.md", "tests/bench/FIGURES.md")
PICTURES = ROOT / "demo_assets" / "readme"
MOST_BYTES = 200_000
"""Of a picture in the README: a page with three of them opens at once on a slow line."""


@pytest.mark.parametrize("name", DOCUMENTS)
def test_links_lead_somewhere(name: str) -> None:
    path = ROOT / name
    links = re.findall(r"\]\(([^)#]+)", path.read_text(encoding="utf-8"))
    gone = [link for link in links if "://" not in link and not (path.parent / link).exists()]
    assert gone == []


@pytest.mark.parametrize("name", DOCUMENTS)
def test_modules_that_are_to_be_run_are_there(name: str) -> None:
    told = re.findall(r"python -m ((?:tests|demo_assets)[\w.]*\w)", (ROOT / name).read_text(encoding="utf-8"))
    written = {module for module in told if module not in ("tests.bench", "tests.bench.NAME")}
    assert [module for module in written if importlib.util.find_spec(module) is None] == []


def test_every_figure_names_a_benchmark_that_is_there() -> None:
    rows = re.findall(r"\| `(\w+)[^`|]*`[^|]*\|\n", (ROOT / DOCUMENTS[2]).read_text(encoding="utf-8"))
    assert len(rows) > 10
    benchmarks = {path.stem for path in (ROOT / "tests/bench").glob("*.py")}
    assert set(rows) - benchmarks - {"time"} == set()


def test_the_two_lines_stand_where_ci_reads_them() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for name in ("demo", "test"):
        assert re.search(rf"^<!-- line: {name} -->\n```sh\n[^\n]+\n```$", text, re.MULTILINE)


def test_pictures_open_at_once() -> None:
    shown = set(re.findall(r"demo_assets/readme/([\w.]+)", (ROOT / "README.md").read_text(encoding="utf-8")))
    assert {path.name for path in PICTURES.iterdir()} == shown
    for name in shown:
        assert (PICTURES / name).stat().st_size <= MOST_BYTES
        with Image.open(PICTURES / name) as picture:
            picture.load()
