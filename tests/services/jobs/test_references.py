"""References are kept with a job and whose they are; asked for, they go for good and one line stays."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import select

from assetlib.catalogue.work import JobRemoval
from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing import intake
from assetlib.services.finding.search import Asked, find
from assetlib.services.jobs import jobs, references
from tests.conftest import Draw


def test_references_are_removed_for_good_and_one_line_stays(lib: Library, draw: Draw) -> None:
    jobs.open_job(lib, "Bakery van", jobs.Facts(client="Two Gulls"))
    photo = draw("client photo quay.png", 8)
    (added,) = intake.bring_in(lib, [photo], intake.Wishes(role="reference", job="Bakery van")).added
    (kept,) = references.keep(lib, "Bakery van", [added.code], "location photo", "Mira Orr")
    assert (kept.kind, kept.owner) == ("location photo", "Mira Orr")
    assert find(lib, Asked("quay")).results == ()
    bytes_before = photo.read_bytes()
    foreseen = references.forget(lib, "Bakery van", dry_run=True)
    assert len(references.references(lib, "Bakery van")) == 1
    done = references.forget(lib, "Bakery van")
    assert done.removed == foreseen.removed
    assert "Mira Orr" in done.removed[0]
    assert done.elsewhere
    assert references.references(lib, "Bakery van") == []
    originals = [path.read_bytes() for path in lib.originals.root.rglob("*") if path.is_file()]
    assert bytes_before not in originals
    with lib.reading() as session:
        (line,) = session.scalars(select(JobRemoval))
        assert (line.owner, line.day) == ("Mira Orr", lib.now().date())
        assert "quay" not in line.what
    assert jobs.show(lib, "Bakery van").removed == (
        f"location photo {added.code}, Mira Orr's, removed 14 Mar 2026",
    )
    again = references.forget(lib, "Bakery van")
    assert (again.removed, again.elsewhere) == ((), ())


def test_a_drawing_is_no_reference(lib: Library, draw: Draw, tmp_path: Path) -> None:
    jobs.open_job(lib, "Bakery van", jobs.Facts())
    (added,) = intake.bring_in(lib, [draw("dog.png")], intake.Wishes(role="element")).added
    with pytest.raises(WrongUsage, match="kept as element"):
        references.keep(lib, "Bakery van", [added.code], "grab", None)
    with pytest.raises(WrongUsage, match="no kind"):
        references.keep(lib, "Bakery van", [added.code], "postcard", None)
