"""Licence texts: every blank filled, every tier its own, nothing smuggled in."""

from __future__ import annotations

import hashlib
from datetime import date

import pytest

from assetlib.errors import WrongUsage
from assetlib.rules.rights.licences import LINE_WIDTH, Tier, in_short, licence_id, render

DAY = date(2026, 3, 14)

SOLD_FIRST = {
    Tier.ONE_ARTIST: "9f4e64526282ffc6897b99ac18d677f6b4290f0c8aea6b71da23b0dc37cca5fa",
    Tier.ONE_STUDIO: "0c1fda8e20c2fb3679189a4c05635acf9da9f0e80f0de4c12ee5bf18273e9fd6",
    Tier.WHOLE_CAMPAIGN: "e0786ec94d6b255581919b41f528a34bbb828d8c8678aac440c3917887103f67",
    Tier.SAMPLE: "950b01125d86fb09a8f102ace85b195b2fac8cfede3baa0c0dbbfab750d8eb6e",
}


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


@pytest.mark.parametrize("wording", [1, 2])
def test_ids_never_change(wording: int) -> None:
    # sold bundles carry these names
    assert [licence_id(tier, wording) for tier in Tier] == [
        f"LicenseRef-Assetlib-One-Artist-{wording}",
        f"LicenseRef-Assetlib-One-Studio-{wording}",
        f"LicenseRef-Assetlib-Whole-Campaign-{wording}",
        f"LicenseRef-Assetlib-Sample-{wording}",
    ]


def test_the_first_wording_reads_as_it_was_sold() -> None:
    # SHA-256 of the texts that bundles were issued with under it
    sold = {tier: render(tier, "Mira Holm", "Before the Ovens", DAY, wording=1) for tier in Tier}
    assert {tier: hashlib.sha256(text.encode()).hexdigest() for tier, text in sold.items()} == SOLD_FIRST


@pytest.mark.parametrize("tier", Tier)
def test_it_says_that_the_two_pictures_of_a_drawing_are_one(tier: Tier) -> None:
    text = flat(render(tier, "Mira Holm", "Before the Ovens", DAY))
    assert "with its body to lay over a picture and as its ink alone; the two are one drawing" in text


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
