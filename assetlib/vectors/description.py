"""What a model's folder says of itself, and the failure where it says it wrongly."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from assetlib.errors import ModelBroken

MODEL_FILE = "model.json"
BAG_OF_PIECES = "pieces"
BYTE_PAIRS = "byte pairs"
_CARDS = ("model_card", "readme")  # beginnings of names of files that tell about a model
_RECIPE_DIGITS = 12  # of the digest; 48 bits tell a handful of models apart
Colour = tuple[float, float, float]


@dataclass(frozen=True)
class Words:
    """How a model reads text: the kind of its text tower and, for byte pairs, how they are cut."""

    kind: str = BAG_OF_PIECES
    length: int = 0
    """Numbers a text takes at the most, the marks of its start and end among them."""
    cleaning: str = "lower"


@dataclass(frozen=True)
class ModelDescription:
    """What a model's `model.json` says."""

    name: str
    digest: str
    dimension: int
    image_side: int
    image_mean: Colour
    """Of red, green and blue, 0 to 255."""
    image_scale: Colour
    words: Words = field(default_factory=Words)
    files: tuple[str, ...] = ()
    source: str = ""
    """Where the weights came from, in words."""
    card: str = ""
    """Where its model card and licence are to be read, where the folder has none."""

    @property
    def recipe(self) -> str:
        """The name under which its vectors are kept: never that of another model."""
        return f"{self.name}-{self.digest[:_RECIPE_DIGITS]}"


def read_description(folder: Path) -> ModelDescription:
    """What the model in a folder says of itself; raises ModelBroken."""
    try:
        raw = json.loads((folder / MODEL_FILE).read_text(encoding="utf-8"))
        return ModelDescription(
            name=str(raw["name"]),
            digest=str(raw["digest"]),
            dimension=int(raw["dimension"]),
            image_side=int(raw["image_side"]),
            image_mean=_colour(raw["image_mean"]),
            image_scale=_colour(raw["image_scale"]),
            words=Words(**raw.get("words", {})),
            files=tuple(raw.get("files", ())),
            source=str(raw.get("source", "")),
            card=str(raw.get("card", "")),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise broken(folder, f"{MODEL_FILE} cannot be read") from error


def is_whole(folder: Path) -> bool:
    """Whether the folder holds a model with every file that it names."""
    try:
        described = read_description(folder)
    except ModelBroken:
        return False
    return all((folder / name).is_file() for name in described.files)


def card_of(folder: Path, described: ModelDescription) -> str:
    """Where the model's card is: a file of its folder, else what its description says."""
    for path in sorted(folder.iterdir()):
        if path.name.lower().startswith(_CARDS):
            return str(path)
    return described.card


def broken(folder: Path, what: str) -> ModelBroken:
    """The failure of a model's folder."""
    return ModelBroken(
        f"Model {folder.name}: {what}.",
        "Install assetlib again, or choose another with `assetlib model use`.",
    )


def _colour(value: Any) -> Colour:
    red, green, blue = value if isinstance(value, list) else (value, value, value)
    return float(red), float(green), float(blue)
