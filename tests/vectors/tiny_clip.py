"""A very small open_clip model with random weights, saved as a local checkpoint; its users skip without the extra."""

from __future__ import annotations

import json
import warnings
from pathlib import Path
from typing import Any

SIDE, DIMENSION = 32, 24


def config(context_length: int = 16, **words: Any) -> dict[str, Any]:
    """Two layers a tower, and CLIP's own vocabulary."""
    return {
        "embed_dim": DIMENSION,
        "vision_cfg": {"image_size": SIDE, "layers": 2, "width": 32, "head_width": 16, "patch_size": 8},
        "text_cfg": {
            "context_length": context_length,
            "vocab_size": 49408,
            "width": 16,
            "heads": 2,
            "layers": 2,
            **words,
        },
    }


def save(folder: Path, *, seed: int = 1, settings: dict[str, Any] | None = None) -> Path:
    """The folder, holding the configuration and random weights, as open_clip itself saves them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import open_clip
        import torch

        torch.manual_seed(seed)
        model = open_clip.CLIP(**config())
        folder.mkdir(parents=True)
        torch.save(model.state_dict(), folder / "open_clip_pytorch_model.bin")
    document = {"model_cfg": settings or config(), "preprocess_cfg": {"mean": [0.5] * 3, "std": [0.25] * 3}}
    (folder / "open_clip_config.json").write_text(json.dumps(document), encoding="utf-8")
    return folder


def load(folder: Path) -> tuple[Any, Any]:
    """The model and tokenizer as open_clip itself loads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import open_clip

        place = f"local-dir:{folder}"
        return open_clip.create_model(place).eval(), open_clip.get_tokenizer(place)
