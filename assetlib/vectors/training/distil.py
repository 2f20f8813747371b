"""Stage `distil`: a static text tower (a bag of word-piece vectors and one linear map) that says what the sentence
encoder says, tuned further on the drawings' own vectors."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import torch
import torch.nn.functional as F  # noqa: N812
from torch import Tensor, nn

PIECES_PER_TEXT = 32
WIDTH = 256


class Bag(nn.Module):  # type: ignore[misc]
    """Mean of the pieces' vectors, then a linear map."""

    def __init__(self, pieces: int, width: int, dimension: int) -> None:
        super().__init__()
        self.pieces = nn.EmbeddingBag(pieces, width, mode="sum", padding_idx=0)
        self.linear = nn.Linear(width, dimension)

    def forward(self, ids: Tensor) -> Tensor:
        """Unit vectors (B, dimension) of piece numbers (B, PIECES_PER_TEXT), 0 where a text is shorter."""
        length = (ids > 0).sum(1, keepdim=True).clamp_min(1)
        return F.normalize(self.linear(self.pieces(ids) / length), dim=1)


@dataclass(frozen=True)
class DistilSettings:
    """Lengths and rates of the distillation, chosen on the validation part."""

    steps: int = 6000
    batch: int = 4096
    rate: float = 6e-3
    picture_weight: float = 0.3
    seed: int = 1


def piece_ids(text_folder: Path, texts: list[str]) -> Tensor:
    """Int (N, PIECES_PER_TEXT): word pieces without the marks for start and end, 0 for padding."""
    from transformers import AutoTokenizer

    tokenizer = AutoTokenizer.from_pretrained(text_folder)
    out = torch.zeros(len(texts), PIECES_PER_TEXT, dtype=torch.long)
    for start in range(0, len(texts), 20000):
        part = tokenizer(
            texts[start : start + 20000],
            add_special_tokens=False,
            truncation=True,
            max_length=PIECES_PER_TEXT,
        )
        for row, ids in enumerate(part["input_ids"], start):
            out[row, : len(ids)] = torch.tensor(ids, dtype=torch.long)
    return out


def start_from(bag: Bag, single: Tensor) -> None:
    """Begin with the principal axes of the teacher's vectors (P, D) of the single pieces."""
    centre = single.mean(0)
    _, _, axes = torch.linalg.svd(single - centre, full_matrices=False)
    width = bag.linear.in_features
    with torch.no_grad():
        bag.pieces.weight.copy_((single - centre) @ axes[:width].T)
        bag.pieces.weight[0] = 0
        bag.linear.weight.copy_(axes[:width].T)
        bag.linear.bias.copy_(centre)


def distil(
    bag: Bag, ids: Tensor, teacher: Tensor, spoken: Tensor, drawing_texts: Tensor, drawing_weights: Tensor,
    pictures: Tensor, settings: DistilSettings,
) -> list[float]:  # fmt: skip
    """Losses along the way. `teacher` (T, D) unit vectors of the texts, `spoken` (T,) how often each is drawn,
    `drawing_texts`, `drawing_weights` (N, C) the captions of the drawings whose unit vectors are `pictures` (N, D)."""
    torch.manual_seed(settings.seed)
    optimiser = torch.optim.AdamW(bag.parameters(), lr=settings.rate, weight_decay=0.0, fused=ids.is_cuda)
    temperature = 0.04
    losses = []
    for step in range(settings.steps):
        progress = step / settings.steps
        for group in optimiser.param_groups:
            group["lr"] = (
                settings.rate * min(1.0, 50 * progress + 0.01) * 0.5 * (1 + math.cos(math.pi * progress))
            )
        chosen = torch.multinomial(spoken, settings.batch, replacement=True)
        loss = (1 - (bag(ids[chosen]) * teacher[chosen]).sum(1)).mean()
        if settings.picture_weight:
            rows = torch.randint(0, len(pictures), (2048,), device=ids.device)
            column = torch.multinomial(drawing_weights[rows], 1)
            texts = drawing_texts[rows].gather(1, column).flatten()
            logits = bag(ids[texts]) @ pictures[rows].T / temperature
            right = (drawing_texts[rows].unsqueeze(0) == texts.view(-1, 1, 1)).any(2).float()
            right = right / right.sum(1, keepdim=True)
            loss = loss - settings.picture_weight * 0.1 * (right * torch.log_softmax(logits, 1)).sum(1).mean()
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        optimiser.step()
        if step % 500 == 0:
            losses.append(loss.item())
    return losses


def quantised(bag: Bag) -> dict[str, Any]:
    """The tower as arrays: pieces int8 (P, width) with a scale for each row, linear map float16 and bias float32."""
    pieces = bag.pieces.weight.detach().float().cpu()
    scale = pieces.abs().amax(1).clamp_min(1e-8) / 127
    return {
        "pieces": (pieces / scale[:, None]).round().clamp(-127, 127).to(torch.int8).numpy(),
        "piece_scale": scale.half().numpy(),
        "linear": bag.linear.weight.detach().cpu().half().numpy(),
        "bias": bag.linear.bias.detach().cpu().float().numpy(),
    }
