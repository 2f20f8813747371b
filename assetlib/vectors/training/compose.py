"""Made-up scenes as pictures, put together on the GPU from single drawings."""

from __future__ import annotations

import torch
import torch.nn.functional as F  # noqa: N812
from torch import Tensor

from assetlib.vectors.training.views import gaps, on_paper, sample, smooth_noise, uniform

MEMBERS = 5


def compose(rgba: Tensor, lines: Tensor, present: Tensor, ground: Tensor) -> Tensor:
    """Colour (B, 3, S, S), half of the batch as line art.

    `rgba` uint8 (B, MEMBERS, 4, S, S), `lines` uint8 (B, MEMBERS, S, S), `present` bool (B, MEMBERS) which members a
    scene has, `ground` int (B,) as in Scene.
    """
    count, members, _, side, _ = rgba.shape
    device = rgba.device
    colour, ink = _backdrop(count, side, ground, device)
    order = torch.argsort(torch.rand(count, members, device=device), dim=1)
    for slot in range(members):
        grid = F.affine_grid(
            _spots(order[:, slot], present, ground), [count, 1, side, side], align_corners=False
        )
        picture = rgba[:, slot].float() / 255
        moved = sample(torch.cat([picture[:, :3] * picture[:, 3:], picture[:, 3:]], 1), grid)
        drawn = sample(1 - lines[:, slot : slot + 1].float() / 255, grid)
        here = present[:, slot].view(-1, 1, 1, 1)
        alpha = moved[:, 3:] * here
        colour = colour * (1 - alpha) + moved[:, :3] * here
        ink = torch.maximum(ink * (1 - alpha), drawn * here)
    lined = torch.arange(count, device=device).view(-1, 1, 1, 1) % 2 == 0
    return torch.where(lined, on_paper(gaps(ink, 0.3)), colour).clamp(0, 1)


def _spots(order: Tensor, present: Tensor, ground: Tensor) -> Tensor:
    # Sampling matrices: a member a third to a half as wide as the sheet, spread from left to right.
    count = len(order)
    device = order.device
    few = present.sum(1) <= 2
    width = torch.where(
        few, torch.rand(count, device=device) * 0.2 + 0.45, torch.rand(count, device=device) * 0.22 + 0.3
    )
    across = (
        (order.float() + 0.5) / present.shape[1] * 1.5 - 0.75 + (torch.rand(count, device=device) - 0.5) * 0.3
    )
    down = (torch.rand(count, device=device) - 0.4) * 0.8
    flip = torch.where(torch.rand(count, device=device) < 0.5, -1.0, 1.0)
    zero = torch.zeros(count, device=device)
    rows = [flip / width, zero, -across * flip / width, zero, 1 / width, -down / width]
    return torch.stack(rows, 1).view(count, 2, 3)


def _backdrop(count: int, side: int, ground: Tensor, device: torch.device) -> tuple[Tensor, Tensor]:
    # Open ground: a band of colour and a horizon line. Room: the back wall's outline and the edges to the corners.
    axis = torch.linspace(-1, 1, side, device=device)
    y, x = axis.view(1, 1, -1, 1), axis.view(1, 1, 1, -1)
    horizon = uniform(count, -0.3, 0.5, device)
    tint = torch.rand(count, 3, 1, 1, device=device) * 0.5 + 0.5
    sky = torch.rand(count, 3, 1, 1, device=device) * 0.3 + 0.7
    below = ((y - horizon) * side / 2).clamp(0, 1).expand(-1, -1, -1, side)
    outside = (ground == 1).view(-1, 1, 1, 1)
    room = (ground == 2).view(-1, 1, 1, 1)
    painted = torch.rand(count, 1, 1, 1, device=device) < 0.6
    colour = torch.where(outside & painted, sky * (1 - below) + tint * below, torch.ones((), device=device))
    half = uniform(count, 0.3, 0.7, device)
    centre = uniform(count, -0.3, 0.3, device)
    inner = torch.maximum((x - centre).abs(), y.abs())
    wall = (inner - half).abs()
    corner = torch.where(inner > half, ((x - centre).abs() - y.abs()).abs(), 1.0)
    room_ink = torch.exp(-((torch.minimum(wall, corner) * side / 2.4) ** 2))
    bend = smooth_noise(count, 1, 4, side, device) * 0.01
    horizon_ink = torch.exp(-(((y - horizon + bend) * side / 2.4) ** 2))
    none = torch.zeros(count, 1, side, side, device=device)
    ink = torch.where(room, room_ink, torch.where(outside, horizon_ink, none))
    return torch.where(room & painted, colour * (1 - 0.5 * ink), colour).expand(-1, 3, -1, -1), ink
