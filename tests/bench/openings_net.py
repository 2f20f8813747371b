"""The network that judges openings, in PyTorch, and how it is fitted; `fold` gives what runs without PyTorch."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from assetlib.imaging.lookthrough import AREAS_AT_ONCE, INK_MIDDLE, SIDE
from assetlib.imaging.openings import FEATURES

WIDTHS = (16, 32, 48, 72, 96, 112)  # channels at a side of 256, 128 ... 8 pixels
DESCRIPTION, SUMMARY, HIDDEN = 32, 24, 64
BATCH, RATE = 64, 3e-3
DROPPED, UNTOLD, NOISE = (
    0.25,
    0.15,
    0.1,
)  # what is hidden of descriptions and of measurements, and their noise
HOLES_SEEN, ICONS_SEEN = 3.0, 0.5  # how often drawings with holes, and icons, are seen against others
HOLE_WEIGHT, PIXEL_WEIGHT, SURE = 2.0, 0.5, 0.98
LEAST, SMALL_WEIGHT = 0.002, 0.3  # share of the paint under which an area counts less
LASTING = 0.9985  # how much of the running mean of the weights a step keeps
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


class Data:
    """Examples as tensors: pictures, places, measurements, hole or not (N, K), weights (N, K), counted (N, K)."""

    def __init__(self, examples) -> None:
        shape = (len(examples), AREAS_AT_ONCE)
        self.pictures = torch.from_numpy(np.stack([one.picture for one in examples])).to(DEVICE)
        self.places = torch.from_numpy(np.stack([one.places for one in examples])).to(DEVICE)
        measured, hole = np.zeros((*shape, FEATURES), np.float32), np.zeros(shape, np.float32)
        weight, counted = np.zeros(shape, np.float32), np.zeros(shape, bool)
        for k, one in enumerate(examples):
            count = len(one.hole)
            seen = np.bincount(one.places.ravel(), minlength=AREAS_AT_ONCE + 1)[1 : count + 1] >= 3
            sure = ((one.hole < 0.4) | (one.hole > 0.6)) & seen
            measured[k, :count], hole[k, :count] = one.measured, one.hole > 0.5
            weight[k, :count] = sure * np.where(one.size >= LEAST, 1, SMALL_WEIGHT)
            counted[k, :count] = sure & (one.size >= LEAST)
        rows = np.concatenate([one.measured for one in examples])
        self.mean, self.scale = (
            torch.tensor(v, dtype=torch.float32) for v in (rows.mean(0), rows.std(0) + 1e-3)
        )
        self.measured, self.hole, self.weight = (
            torch.from_numpy(v).to(DEVICE) for v in (measured, hole, weight)
        )
        self.counted = counted
        _, own, views = np.unique([one.number for one in examples], return_inverse=True, return_counts=True)
        often = np.where((hole * weight).sum(1) > 0, HOLES_SEEN, 1.0) / views[own]
        often *= np.where([one.is_icon for one in examples], ICONS_SEEN, 1.0)
        self.often = torch.tensor(often / often.sum(), device=DEVICE)


def block(given: int, made: int, stride: int = 1) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(given, made, 3, stride, 1, bias=False), nn.BatchNorm2d(made), nn.ReLU(inplace=True)
    )


class Network(nn.Module):
    def __init__(self, mean: torch.Tensor, scale: torch.Tensor) -> None:
        super().__init__()
        self.down = nn.ModuleList([block(2, WIDTHS[0])])
        for given, made in pairwise(WIDTHS):
            self.down.append(nn.Sequential(block(given, made, 2), block(made, made)))
        self.up = nn.ModuleList()
        given = WIDTHS[-1]
        for level in range(len(WIDTHS) - 2, 0, -1):
            made = WIDTHS[level] if level > 1 else DESCRIPTION
            self.up.append(block(given + WIDTHS[level], made))
            given = made
        self.pixel, self.whole = nn.Conv2d(DESCRIPTION, 1, 1), nn.Linear(WIDTHS[-1], SUMMARY)
        self.first, self.last = nn.Linear(2 * DESCRIPTION + SUMMARY + FEATURES, HIDDEN), nn.Linear(HIDDEN, 1)
        self.dropout = nn.Dropout(DROPPED)
        self.register_buffer("mean", mean)
        self.register_buffer("scale", scale)

    def look(self, pictures: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        layer, seen = pictures - INK_MIDDLE, []
        for step in self.down:
            layer = step(layer)
            seen.append(layer)
        summary = functional.relu(self.whole(layer.mean((2, 3))))
        for step, finer in zip(self.up, reversed(seen[1:-1]), strict=True):
            layer = step(
                torch.cat([functional.interpolate(layer, scale_factor=2.0, mode="nearest"), finer], 1)
            )
        return layer, summary

    def weigh(self, features, summary, places, measured) -> torch.Tensor:  # type: ignore[no-untyped-def]
        numbers = torch.arange(1, AREAS_AT_ONCE + 1, device=places.device, dtype=torch.uint8)
        within = (places[:, None] == numbers[None, :, None, None]).to(features.dtype)
        within = functional.avg_pool2d(within, 2).flatten(2)
        amount = within.sum(2, keepdim=True).float().clamp(min=0.25)
        flat = features.flatten(2).transpose(1, 2)
        mean = torch.bmm(within, flat).float() / amount
        spread = ((torch.bmm(within, flat * flat).float() / amount).clamp(min=0) + 1e-4).sqrt()
        told = ((measured - self.mean) / self.scale).clamp(-4, 4)
        if self.training:
            told = told + NOISE * torch.randn_like(told)
            told = told * (torch.rand(len(told), 1, 1, device=told.device) > UNTOLD)
        summary = summary.float()[:, None].expand(-1, AREAS_AT_ONCE, -1)
        known = torch.cat([self.dropout(mean), self.dropout(spread), summary, told], 2)
        return self.last(self.dropout(functional.relu(self.first(known))))[..., 0]


def fit(data: Data, steps: int) -> Network:
    """The running mean of a network fitted for some steps."""
    torch.manual_seed(0)
    network, mean = (Network(data.mean, data.scale).to(DEVICE) for _ in range(2))
    mean.load_state_dict(network.state_dict())
    own, lasting = (
        [value for value in one.state_dict().values() if value.dtype.is_floating_point]
        for one in (network, mean)
    )
    optimiser = torch.optim.AdamW(network.parameters(), lr=RATE, weight_decay=0.03)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimiser, RATE, total_steps=steps + 1, pct_start=0.15)
    for step in range(steps):
        chosen = torch.multinomial(data.often, BATCH, True)
        pictures, places = _varied(data.pictures[chosen].float() / 255, data.places[chosen])
        loss = _loss(network, pictures, places, data, chosen)
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(network.parameters(), 1.0)
        optimiser.step()
        schedule.step()
        with torch.no_grad():
            torch._foreach_lerp_(lasting, own, 1 - min(LASTING, (step + 1) / (step + 10)))
        if (step + 1) % 500 == 0:
            print(step + 1, round(float(loss.detach()), 4), flush=True)
    return mean


def _loss(network: Network, pictures, places, data: Data, chosen):  # type: ignore[no-untyped-def]
    """What is missed by areas, and by places of them: cells count alike, not by their size."""
    hole, weight = data.hole[chosen], data.weight[chosen]
    with torch.autocast(DEVICE, torch.bfloat16):
        features, summary = network.look(pictures)
        pixels = functional.interpolate(network.pixel(features), scale_factor=2.0)[:, 0].float()
        areas = network.weigh(features, summary, places, data.measured[chosen])
    truth = hole * (2 * SURE - 1) + (1 - SURE)
    shared = weight / weight.sum(1, keepdim=True).clamp(min=1) ** 0.6
    missed = functional.binary_cross_entropy_with_logits(areas.float(), truth, reduction="none")
    by_area = (missed * shared * torch.where(hole > 0, HOLE_WEIGHT, 1.0)).sum() / shared.sum()
    nothing = torch.zeros(len(hole), 1, device=hole.device)
    at = places.long().flatten(1)
    hole_at, weight_at = (
        torch.gather(torch.cat([nothing, v], 1), 1, at).view_as(pixels) for v in (hole, weight)
    )
    missed = functional.binary_cross_entropy_with_logits(pixels, hole_at, reduction="none") * weight_at
    return by_area + PIXEL_WEIGHT * missed.sum() / weight_at.sum().clamp(min=1)


def _varied(pictures: torch.Tensor, places: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """The same mirrored, turned by up to 14 degrees, stretched, larger or smaller."""
    count, device = len(pictures), pictures.device
    turn, size, stretch = ((torch.rand(count, device=device) - 0.5) * reach for reach in (0.5, 0.25, 0.2))
    size, stretch = 1.075 + size, 1 + stretch
    side = torch.where(torch.rand(count, device=device) < 0.5, -1.0, 1.0)
    way = torch.zeros(count, 2, 3, device=device)
    way[:, 0, 0], way[:, 0, 1] = torch.cos(turn) * size * side * stretch, torch.sin(turn) * size
    way[:, 1, 0], way[:, 1, 1] = -torch.sin(turn) * size * side * stretch, torch.cos(turn) * size
    way[:, :, 2] = (torch.rand(count, 2, device=device) - 0.5) * 0.06
    grid = functional.affine_grid(way, (count, 1, SIDE, SIDE), align_corners=False)
    moved = functional.grid_sample(places[:, None].float(), grid, mode="nearest", align_corners=False)
    return functional.grid_sample(pictures, grid, align_corners=False), moved[:, 0].to(torch.uint8)


@torch.no_grad()
def score(network: Network, data: Data):  # type: ignore[no-untyped-def]
    """How likely every area is open, whether it is a hole, whether it counts; (N, K) each."""
    network.eval()
    found = []
    for start in range(0, len(data.pictures), BATCH):
        some = slice(start, start + BATCH)
        features, summary = network.look(data.pictures[some].float() / 255)
        found.append(network.weigh(features, summary, data.places[some], data.measured[some]).sigmoid().cpu())
    return torch.cat(found).numpy(), data.hole.cpu().numpy() > 0, data.counted


def fold(network: Network) -> dict[str, np.ndarray]:
    """The weights by the names that they are run by, normalisation folded into the convolutions."""
    names = {"down0": network.down[0]}
    for level, pair in enumerate(network.down[1:], start=1):
        names |= {f"down{level}a": pair[0], f"down{level}b": pair[1]}
    names |= {f"up{step}": one for step, one in enumerate(network.up)}
    stored = {}
    for name, (convolution, normal, _) in names.items():
        factor = normal.weight / torch.sqrt(normal.running_var + normal.eps)
        stored[f"{name}.w"] = convolution.weight * factor[:, None, None, None]
        stored[f"{name}.b"] = normal.bias - normal.running_mean * factor
    for name in ("whole", "first", "last"):
        stored |= {f"{name}.w": getattr(network, name).weight, f"{name}.b": getattr(network, name).bias}
    stored |= {"mean": network.mean, "scale": network.scale}
    return {name: value.detach().float().cpu().numpy() for name, value in stored.items()}
