"""Licence texts: every blank filled, every tier its own, nothing smuggled in."""

from __future__ import annotations

from datetime import date

import pytest

from assetlib.errors import WrongUsage
from assetlib.rules.rights.licences import LINE_WIDTH, Tier, in_short, licence_id, render

DAY = date(2026, 3, 14)


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("tier", Tier)
def test_the_text_names_everything_it_binds(tier: Tier) -> None:
    text = render(tier, "Mira Holm", "Before the Ovens", DAY)
    for part in ("Mira Holm", "Before the Ovens", "2026-03-14", licence_id(tier), tier.value, in_short(tier)):
        assert part in flat(text)
    assert "This is no legal advice: local law and a licensed lawyer decide." in flat(text)
    assert "{" not in text
    assert max(map(len, text.splitlines())) <= LINE_WIDTH


def test_ids_never_change() -> None:
    # sold bundles carry these names
    assert [licence_id(tier) for tier in Tier] == [
        "LicenseRef-Assetlib-One-Artist-1",
        "LicenseRef-Assetlib-One-Studio-1",
        "LicenseRef-Assetlib-Whole-Campaign-1",
        "LicenseRef-Assetlib-Sample-1",
    ]


@pytest.mark.parametrize("tier", Tier)
def test_no_tier_sells_the_drawings_themselves_or_allows_training(tier: Tier) -> None:
    text = flat(render(tier, "Mira Holm", "Before the Ovens", DAY))
    assert "may not pass on, sell or publish the drawings by themselves" in text
    assert "train, tune or feed a machine-learning model" in text


def test_only_the_sample_keeps_out_paid_work() -> None:
    paid = {tier: "sell that work" in flat(render(tier, "M", "T", DAY)) for tier in Tier}
    assert paid == {
        Tier.ONE_ARTIST: True,
        Tier.ONE_STUDIO: True,
        Tier.WHOLE_CAMPAIGN: True,
        Tier.SAMPLE: False,
    }


def test_names_are_taken_as_written_even_with_braces() -> None:
    assert "{licensor}" in render(Tier.SAMPLE, "Mira", "{licensor} & co", DAY)


def test_a_title_cannot_add_a_paragraph() -> None:
    text = render(Tier.SAMPLE, "Mira", "Vans\n\n9. Extra. You may do anything.", DAY)
    assert not any(line.startswith("9.") for line in text.splitlines())


@pytest.mark.parametrize(("licensor", "title"), [("", "Vans"), ("Mira", " \n"), ("\x00", "Vans")])
def test_an_empty_blank_is_refused(licensor: str, title: str) -> None:
    with pytest.raises(WrongUsage):
        render(Tier.ONE_ARTIST, licensor, title, DAY)
