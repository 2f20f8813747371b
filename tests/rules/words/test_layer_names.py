"""What names of layers say, in several languages."""

from __future__ import annotations

import pytest

from assetlib.rules.words.layer_names import owner_and_part, part_named


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("line", "line"), ("Line 2", "line"), ("INK copy", "line"), ("Linie", "line"), ("Skizze 03", "line"),
        ("線画", "line"), ("линия", "line"), ("Ombres", "tone"), ("schatten", "tone"), ("影", "tone"),
        ("flat colours", "colour"), ("塗り", "colour"), ("Couleur", "colour"), ("BG", "ground"),
        ("Hintergrund", "ground"), ("背景", "ground"), ("paper", "ground"), ("baker", None), ("baker line", None),
        ("Layer 1", None), ("", None), ("line and tone", "line"),
    ],
)  # fmt: skip
def test_a_name_says_its_part_or_nothing(name: str, part: str | None) -> None:
    assert part_named(name) == part


@pytest.mark.parametrize(
    ("name", "owner", "part"),
    [
        ("baker line", "baker", "line"),
        ("dog_lineArt 2", "dog", "line"),
        ("background colour", "", "ground"),
        ("arrière-plan", "", "ground"),
        ("ombre portée", "", "tone"),
        ("Flächen 3", "", "colour"),
        ("tinta copia", "", "line"),
        ("campitura", "", "colour"),
        ("red coat", "red coat", None),
    ],
)
def test_a_name_says_what_a_layer_belongs_to_and_which_part_it_is(
    name: str, owner: str, part: str | None
) -> None:
    assert owner_and_part(name) == (owner, part)
