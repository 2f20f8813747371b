"""The picture of the catalogue in DEVELOPERS.md: every table, and what points at what.

python -m assetlib.catalogue.picture [FILE]

It is a Mermaid flowchart (mermaid.js.org), which GitHub and most editors draw.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

from sqlalchemy import Table

from assetlib.catalogue.tables import Base

START = "<!-- the catalogue, drawn by `python -m assetlib.catalogue.picture` -->"
END = "<!-- end of the catalogue -->"

ROOMS = {
    "entries": "drawings",
    "derived": "computed, and decided about pairs",
    "words": "words",
    "work": "jobs and uses",
    "trade": "origin and sales",
    "log": "the step log",
    "identity": "the library itself",
}
"""Modules of tables, with what stands over them in the picture; a module that is not here stands under its own name."""


def drawn() -> str:
    """The picture as a fenced block of Mermaid."""
    rooms: dict[str, list[str]] = defaultdict(list)
    edges = []
    for mapper in sorted(Base.registry.mappers, key=lambda mapper: mapper.class_.__tablename__):
        table = Base.metadata.tables[mapper.class_.__tablename__]
        module = mapper.class_.__module__.rsplit(".", 1)[1]
        rooms[module].append(_node(table.name, record=mapper.class_.record, undoable=mapper.class_.undoable))
        edges += _edges(table)
    lines = ["flowchart LR"]
    for module in sorted(rooms, key=lambda name: (list(ROOMS).index(name) if name in ROOMS else 99, name)):
        lines += [f'  subgraph {module}_["{ROOMS.get(module, module)}"]', *rooms[module], "  end"]
    lines += edges
    lines += ["  classDef record stroke-width:3px", "  classDef computed stroke-dasharray:4 3"]
    return "\n".join(["```mermaid", *lines, "```"])


def _node(name: str, *, record: bool, undoable: bool) -> str:
    kind = ":::record" if record else "" if undoable else ":::computed"
    return f"    {name}[{name}]{kind}"


def _edges(table: Table) -> list[str]:
    """One arrow for each table that this one points at, with the columns that do."""
    columns: dict[str, list[str]] = defaultdict(list)
    for key in table.foreign_keys:
        columns[key.column.table.name].append(key.parent.name)
    return [
        f"  {table.name} -->|{', '.join(sorted(names))}| {target}"
        for target, names in sorted(columns.items())
    ]


def put_into(text: str) -> str:
    """The text with the picture between its two marks in place of what stood there. Raises ValueError without marks."""
    before, start, rest = text.partition(START)
    _, end, after = rest.partition(END)
    if not start or not end:
        raise ValueError(f"the marks {START} and {END} are missing")
    return f"{before}{START}\n{drawn()}\n{END}{after}"


if __name__ == "__main__":
    file = Path(sys.argv[1] if len(sys.argv) > 1 else "DEVELOPERS.md")
    file.write_text(put_into(file.read_text(encoding="utf-8")), encoding="utf-8")
