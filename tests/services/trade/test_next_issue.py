"""The next issue of a collection: not sealed where nothing changed, and told what did; who sells is named first."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from assetlib.errors import WrongUsage
from assetlib.library import Library
from assetlib.services.bringing import clean_copies
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.trade import bundling, clearance, collections
from tests.conftest import Assetlib, Draw
from tests.services.trade.test_buyers_words import OWN


@pytest.fixture
def dogs(lib: Library, draw: Draw) -> list[str]:
    """Two drawings that are clear, the first of them in a collection."""
    wishes = Wishes(role="element")
    codes = [bring_in(lib, [draw(f"dog {n}.png", n * 5)], wishes).added[0].code for n in (1, 2)]
    clearance.answer(lib, codes, clearance.Statement(OWN))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", codes[:1])
    collections.choose_licence(lib, "Dogs", "one studio")
    return codes


@pytest.mark.parametrize("dry_run", [False, True])
def test_unchanged_it_is_not_sealed_again(lib: Library, dogs: list[str], dry_run: bool) -> None:
    first = bundling.build(lib, "Dogs")
    assert first.since is None
    with pytest.raises(WrongUsage, match=f"nothing changed in 'Dogs' since issue 1 .{first.code}."):
        bundling.build(lib, "Dogs", dry_run=dry_run)
    assert len(bundling.issues(lib)) == 1
    assert len([*lib.bundles.glob("*.zip")]) == 1
    again = bundling.build(lib, "Dogs", again=True)
    assert (again.number, again.since is not None and again.since.any) == (2, False)


def test_what_changed_is_told(lib: Library, dogs: list[str]) -> None:
    bundling.build(lib, "Dogs")
    collections.put(lib, "Dogs", dogs[1:])
    assert getattr(bundling.build(lib, "Dogs").since, "sentence", "") == f"added {dogs[1]}"
    collections.take_out(lib, "Dogs", dogs[:1])
    clean_copies.make(lib, dogs[1], clean_copies.Changes(remove=("speck",)))
    collections.choose_licence(lib, "Dogs", "one artist")
    told = getattr(bundling.build(lib, "Dogs").since, "sentence", "")
    assert told == f"removed {dogs[0]}; altered {dogs[1]}; another licence"


def test_on_the_line_the_code_to_sell_is_named(lib: Library, dogs: list[str], assetlib: Assetlib) -> None:
    said = " ".join(assetlib("bundle", "build", "dogs", library=lib.folder).out.split())
    (issue,) = bundling.issues(lib)
    assert f"assetlib sale issue {issue.code} --buyer" in said
    collections.put(lib, "Dogs", dogs[1:])
    told = assetlib("bundle", "build", "Dogs", "--dry-run", "--json", library=lib.folder).json
    assert told["since"]["added"] == dogs[1:]


def test_what_is_missing_of_name_and_address_is_said_and_set(
    lib: Library, dogs: list[str], assetlib: Assetlib, tmp_path: Path
) -> None:
    assetlib("licence", "--contact", "ida@new.example", library=lib.folder)
    assert 'contact = "ida@new.example"' in (lib.folder / "assetlib.toml").read_text()
    assert assetlib("licence", "--contact", "nowhere", library=lib.folder).code == 2
    lib.settings = replace(lib.settings, contact="")
    with pytest.raises(WrongUsage, match="your e-mail address for buyers is missing") as caught:
        bundling.build(lib, "Dogs", dry_run=True)
    assert "assetlib licence --contact" in (caught.value.hint or "")
    lib.settings = replace(lib.settings, artist="")
    with pytest.raises(WrongUsage, match="your name and your e-mail address for buyers are missing"):
        bundling.build(lib, "Dogs")
    said = " ".join(assetlib("start", tmp_path / "other", "--artist", "Ida Brandt").out.split())
    assert "licence --contact" in said
    assert "--artist" not in said
