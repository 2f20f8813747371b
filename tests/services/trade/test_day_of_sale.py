"""What is asked on the day of sale: may the drawings still be sold, who has them, for how much, where it is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.errors import NotClear, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.rules.rights.clearance import Question
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.trade import bundling, clearance, collections, sales
from tests.conftest import Assetlib, Draw
from tests.services.trade.test_buyers_words import OWN

BUYER = "Two Gulls Studio"


@pytest.fixture
def issue(lib: Library, draw: Draw) -> bundling.Issue:
    code = bring_in(lib, [draw("dog.png")], Wishes(role="element", title="Baker – kneading")).added[0].code
    clearance.answer(lib, [code], clearance.Statement(OWN))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", [code])
    collections.choose_licence(lib, "Dogs", "one studio")
    return bundling.build(lib, "Dogs")


@pytest.fixture
def blocked(lib: Library, issue: bundling.Issue) -> str:
    """The code of the drawing, of which something was said since it was sealed that keeps it from being sold."""
    statement = clearance.Statement(((Question.OWNERSHIP, "made-for-hire"),))
    (item,) = clearance.answer(lib, list(issue.drawings), statement, replace=True)
    assert item.verdict.state.value == "blocked"
    return item.card.code


def test_what_is_blocked_today_is_not_sold_unless_it_is_said_why(
    lib: Library, issue: bundling.Issue, blocked: str, assetlib: Assetlib, tmp_path: Path
) -> None:
    with pytest.raises(NotClear, match=f"{blocked} Baker – kneading .blocked: ") as caught:
        sales.issue(lib, issue.code, BUYER, tmp_path)
    assert "--despite" in (caught.value.hint or "")
    assert sales.everything(lib) == []
    line = ("sale", "issue", issue.code, "--buyer", BUYER, "--to", tmp_path, "--json")
    said = assetlib(*line, "--despite", "the agency agreed by mail", library=lib.folder)
    assert said.code == 0
    (kept,) = sales.everything(lib)
    assert (kept.despite or "").startswith(
        f"the agency agreed by mail | {blocked} Baker – kneading (blocked: "
    )
    assert "agency" not in Path(said.json["files"][0]).read_text()


def test_lists_tell_it(lib: Library, issue: bundling.Issue, blocked: str, assetlib: Assetlib) -> None:
    (row,) = assetlib("bundle", "list", "--json", library=lib.folder).json["bundles"]
    assert [(one["code"], one["state"]) for one in row["today"]] == [(blocked, "blocked")]
    assert "blocked" in assetlib("bundle", "list", library=lib.folder).out
    shown = " ".join(assetlib("collection", "show", "dogs", library=lib.folder).out.split())
    assert f"issue 1 ({issue.code}) may not be sold today: {blocked}" in shown


def test_a_long_name_squeezes_nothing_out_of_the_list(
    lib: Library, issue: bundling.Issue, assetlib: Assetlib
) -> None:
    name = "Bakers, ferries, lighthouses and gulls of the whole northern coast"
    collections.make(lib, name)
    collections.put(lib, name, list(issue.drawings))
    collections.choose_licence(lib, name, "one studio")
    bundling.build(lib, name)
    words = assetlib("bundle", "list", library=lib.folder).out.split()
    assert {"collection", "today", "Dogs", "Bakers,", "clear"} <= set(words)
    assert words.count(str(lib.now().date())) == 2


def test_what_is_clear_is_told_as_clear(lib: Library, issue: bundling.Issue, assetlib: Assetlib) -> None:
    assert assetlib("bundle", "list", "--json", library=lib.folder).json["bundles"][0]["today"] == []
    assert "may not be sold today" not in assetlib("collection", "show", "Dogs", library=lib.folder).out


def test_its_own_library_tells_a_revoked_certificate(
    lib: Library, issue: bundling.Issue, assetlib: Assetlib, tmp_path: Path
) -> None:
    sale = sales.issue(lib, "dogs", BUYER, tmp_path)
    assert sale.bundle == issue.code
    assert assetlib("sale", "verify", sale.files[0], library=lib.folder).code == 0
    sales.revoke(lib, sale.code, "not paid")
    said = assetlib("sale", "verify", sale.files[0], library=lib.folder)
    assert said.code == 1
    assert "notes it as revoked on 2026-03-14: not paid" in " ".join(said.out.split())
    told = assetlib("sale", "verify", sale.files[0], "--json", library=lib.folder).json
    assert (told["ok"], [one["code"] for one in told["problems"]]) == (False, ["revoked"])


def test_a_second_certificate_is_asked_for_by_name(
    lib: Library, issue: bundling.Issue, tmp_path: Path
) -> None:
    first = sales.issue(lib, issue.code, BUYER, tmp_path)
    with pytest.raises(WrongUsage, match=f"{BUYER} has {first.code} for {issue.code} already"):
        sales.issue(lib, "Dogs", BUYER.lower(), tmp_path)
    sales.issue(lib, issue.code, BUYER, tmp_path, again=True)
    sales.issue(lib, issue.code, "Somebody else", tmp_path)
    assert len(sales.everything(lib)) == 3


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ({"price": "-480 €"}, "minus"),
        ({"price": "−480 €"}, "minus"),
        ({"price": "9" * 101}, "101 characters"),
        ({"contact": "x" * 401}, "401 characters"),
    ],
)
def test_words_that_cannot_be_are_refused_in_a_line(
    lib: Library, issue: bundling.Issue, tmp_path: Path, words: dict[str, str], told: str
) -> None:
    with pytest.raises(WrongUsage, match=told):
        sales.issue(lib, issue.code, BUYER, tmp_path, **words)
    assert sales.everything(lib) == []


def test_nothing_is_written_into_the_library(lib: Library, issue: bundling.Issue, tmp_path: Path) -> None:
    for folder in (lib.folder, lib.folder / "bundles"):
        with pytest.raises(WrongUsage, match="inside the library"):
            sales.issue(lib, issue.code, BUYER, folder)
    assert sales.everything(lib) == []
    collections.make(lib, "Cats")
    with pytest.raises(NotFound, match="no issue yet"):
        sales.issue(lib, "cats", BUYER, tmp_path)
    with pytest.raises(WrongUsage, match="'Cats' already"):
        collections.make(lib, "CATS")
