"""The judge of rooms in PyTorch: `python -m tests.bench.rooms_net OUT.onnx VIEWS… [--steps N]` fits and writes it.

A small U-Net sees a drawing's line and what of it is already known to be body, and says of every place how likely it
is body. VIEWS come from `room_views`; the last of them are kept for measuring.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from assetlib.imaging.cleaning.rooms import SIDE
from tests.bench.openings_net import store_in_bytes

CHANNELS = (20, 40, 72, 112)  # at a half, a quarter, an eighth and a sixteenth of the side
KEPT_FOR_MEASURING = 400
BATCH, RATE, LASTING = 32, 2e-3, 0.995
LEVELS = (0.5, 0.7, 0.8, 0.9)


def block(given: int, made: int, stride: int = 1) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(given, made, 3, stride, 1, bias=False), nn.BatchNorm2d(made), nn.ReLU(inplace=True)
    )


class Network(nn.Module):
    """Line and body (B, 2, S, S), 0 to 1, to logits (B, 1, S/2, S/2)."""

    def __init__(self) -> None:
        super().__init__()
        a, b, c, d = CHANNELS
        self.first = block(2, a, 2)
        self.second = nn.Sequential(block(a, b, 2), block(b, b))
        self.third = nn.Sequential(block(b, c, 2), block(c, c))
        self.fourth = nn.Sequential(block(c, d, 2), block(d, d), block(d, d), block(d, d))
        self.summary = nn.Linear(d, d)
        self.up = nn.ModuleList([block(d + c, c), block(c + b, b), block(b + a, a)])
        self.last = nn.Sequential(block(a, a), nn.Conv2d(a, 1, 1))

    def forward(self, picture: Tensor) -> Tensor:
        one = self.first(picture * 2 - 1)
        two = self.second(one)
        three = self.third(two)
        layer = self.fourth(three)
        layer = layer + self.summary(layer.mean((2, 3)))[:, :, None, None]
        for step, finer in zip(self.up, (three, two, one), strict=True):
            layer = step(
                torch.cat([functional.interpolate(layer, scale_factor=2.0, mode="nearest"), finer], 1)
            )
        return self.last(layer)


def varied(seen: Tensor, truth: Tensor) -> tuple[Tensor, Tensor]:
    """The same mirrored, turned a little, larger or smaller, bent, in a bolder or fainter line."""
    count = len(seen)
    turn, size, stretch = ((torch.rand(count) - 0.5) * reach for reach in (0.5, 0.3, 0.25))
    size, stretch = 1.1 + size, 1 + stretch
    side = torch.where(torch.rand(count) < 0.5, -1.0, 1.0)
    way = torch.zeros(count, 2, 3)
    way[:, 0, 0], way[:, 0, 1] = torch.cos(turn) * size * side * stretch, torch.sin(turn) * size
    way[:, 1, 0], way[:, 1, 1] = -torch.sin(turn) * size * side * stretch, torch.cos(turn) * size
    way[:, :, 2] = (torch.rand(count, 2) - 0.5) * 0.08
    grid = functional.affine_grid(way, [count, 1, SIDE, SIDE], align_corners=False)
    bend = torch.randn(count, 2, 6, 6) * 0.025 * torch.rand(count, 1, 1, 1)
    grid = grid + functional.interpolate(bend, size=(SIDE, SIDE), mode="bicubic").permute(0, 2, 3, 1)
    moved = functional.grid_sample(torch.cat([seen, truth], 1).float() / 255, grid, align_corners=False)
    line = moved[:, :1]
    chance = torch.rand(count, 1, 1, 1)
    bolder = functional.max_pool2d(line, 3, 1, 1)
    line = torch.where(chance < 0.15, bolder, line) * (1 - 0.5 * torch.rand(count, 1, 1, 1) ** 2)
    return torch.cat([line, moved[:, 1:2]], 1), functional.avg_pool2d(moved[:, 2:], 2)


def fit(seen: Tensor, truth: Tensor, steps: int, seed: int, out: Path) -> Network:
    """The running mean of a network fitted for some steps."""
    torch.manual_seed(seed)
    network = Network().to(memory_format=torch.channels_last)
    lasting = Network()
    lasting.load_state_dict(network.state_dict())
    optimiser = torch.optim.AdamW(network.parameters(), RATE, weight_decay=0.02)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimiser, RATE, total_steps=steps + 1, pct_start=0.1)
    began, total = time.time(), 0.0
    for step in range(steps):
        chosen = torch.randint(len(seen), (BATCH,))
        picture, wanted = varied(seen[chosen], truth[chosen])
        with torch.autocast("cpu", torch.bfloat16):
            logits = network(picture.contiguous(memory_format=torch.channels_last)).float()
        missed = functional.binary_cross_entropy_with_logits(
            logits[:, 0], wanted[:, 0].clamp(0.01, 0.99), reduction="none"
        )
        weight = wanted[:, 1]
        # a drawing with much in question does not outweigh others by as much
        each = (missed * weight).sum((1, 2)) / weight.sum((1, 2)).clamp(min=1) ** 0.8
        loss = each.mean() / 4
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(network.parameters(), 2.0)
        optimiser.step()
        schedule.step()
        total += float(loss.detach())
        with torch.no_grad():
            for mean, own in zip(lasting.state_dict().values(), network.state_dict().values(), strict=True):
                if mean.dtype.is_floating_point:
                    mean.lerp_(own, 1 - min(LASTING, (step + 1) / (step + 10)))
        if (step + 1) % 100 == 0:
            print(step + 1, round(total / 100, 4), round(time.time() - began), flush=True)
            total = 0.0
        if (step + 1) % 300 == 0:
            torch.save(lasting.state_dict(), out.with_suffix(".pt"))
    return lasting.eval()


@torch.no_grad()
def measure(network: Network, seen: Tensor, truth: Tensor) -> None:
    """Print, of what geometry leaves outside within reach of the line, how much of the body is found and how surely."""
    found = torch.cat([network.eval()(part.float() / 255).sigmoid()[:, 0] for part in seen.split(BATCH)])
    wanted = functional.avg_pool2d(truth.float() / 255, 2)
    known = functional.avg_pool2d(seen[:, 1:].float() / 255, 2)[:, 0]
    asked = (wanted[:, 1] > 0.5) & (known < 0.2)
    inside = asked & (wanted[:, 0] > 0.8)
    outside = asked & (wanted[:, 0] < 0.2)
    for level in LEVELS:
        right, wrong = float((found[inside] > level).sum()), float((found[outside] > level).sum())
        print(
            f"from {level}: found {right / float(inside.sum()):.3f}, of it right {right / max(1, right + wrong):.3f}, "
            f"outside filled {wrong / float(outside.sum()):.4f}"
        )


def export(network: Network, path: Path) -> None:
    """Write the network: picture (1, 2, S, S) in, how likely each place is body (1, 1, S/2, S/2) out."""
    torch.onnx.export(
        nn.Sequential(network, nn.Sigmoid()).eval().to(memory_format=torch.contiguous_format),
        (torch.zeros(1, 2, SIDE, SIDE),), str(path), input_names=["picture"], output_names=["body"],
        opset_version=17, dynamo=False,
    )  # fmt: skip
    store_in_bytes(path)


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("out", type=Path)
    options.add_argument("views", type=Path, nargs="+")
    options.add_argument("--steps", type=int, default=1500)
    options.add_argument("--seed", type=int, default=1)
    asked = options.parse_args()
    torch.set_num_threads(1)
    files = [np.load(path) for path in asked.views]
    seen, truth = (
        torch.from_numpy(np.concatenate([file[what] for file in files])) for what in ("seen", "truth")
    )
    kept = slice(len(seen) - KEPT_FOR_MEASURING, None)
    network = fit(seen[: kept.start], truth[: kept.start], asked.steps, asked.seed, asked.out)
    torch.save(network.state_dict(), asked.out.with_suffix(".pt"))
    measure(network, seen[kept], truth[kept])
    export(network, asked.out)


if __name__ == "__main__":
    main()
