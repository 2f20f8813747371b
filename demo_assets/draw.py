"""Draws all demo files anew: `python demo_assets/draw.py` or `python -m demo_assets.draw`. Same seeds, same drawings."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

if __package__ in (None, ""):
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    __package__ = Path(__file__).resolve().parent.name  # another name inside an installed wheel

from .backdrops import BACKDROPS
from .sheets import PAGE, SHEETS, Sheet, draw_sheet, save_sheet
from .singles import SINGLES, save_single

HERE = Path(__file__).resolve().parent


def _sheet(sheet: Sheet, folder: Path) -> dict[str, Any]:
    page, boxes = draw_sheet(sheet)
    save_sheet(sheet, page, folder)
    elements = [{"order": n, "title": item.title, "caption": item.words.upper(), "box": list(box)}
                for n, (item, box) in enumerate(zip(sheet.items, boxes, strict=True), 1)]  # fmt: skip
    return {"file": f"sheets/{sheet.file}", "size": list(PAGE), "elements": elements}


def draw_all(folder: Path) -> dict[str, Any]:
    """Writes every sheet, single and backdrop below the folder; what they hold, as in expected.json."""
    for name in ("sheets", "singles", "backdrops"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    sheets = [_sheet(sheet, folder / "sheets") for sheet in SHEETS]
    for single in SINGLES:
        save_single(single, folder / "singles")
    for name, draw in BACKDROPS.items():
        draw().quantize(16).save(folder / "backdrops" / name, optimize=True)
    singles = [{"file": f"singles/{s.file}", "title": s.title, "copy_of": f"singles/{s.copy_of}" if s.copy_of else None,
                "how": s.how or None} for s in SINGLES]  # fmt: skip
    return {"sheets": sheets, "singles": singles, "backdrops": [f"backdrops/{name}" for name in BACKDROPS]}


def main() -> None:
    expected = draw_all(HERE)
    text = json.dumps(expected, indent=1, ensure_ascii=False) + "\n"
    (HERE / "expected.json").write_text(text, encoding="utf-8", newline="\n")
    count = sum(len(s["elements"]) for s in expected["sheets"])
    print(f"{count} elements on {len(expected['sheets'])} sheets, {len(expected['singles'])} single drawings")


if __name__ == "__main__":
    main()
