"""Views of drawings made on the GPU while training: as coloured, as line art, as a rough sketch on paper.

All functions take and give batches: ink and grey float (B, 1, S, S) with 1 = full ink, colour float (B, 3, S, S) with
1 = paper white. The ranges were set by looking at sheets of views, not by measuring.
"""

from __future__ import annotations

import torch
import torch.nn.functional as F  # noqa: N812 - the name every torch program gives it
from torch import Tensor

COLOUR, LINE, ROUGH = 0, 1, 2


def uniform(count: int, low: float, high: float, device: torch.device) -> Tensor:
    """Float (count, 1, 1, 1), evenly spread between the bounds."""
    return torch.rand(count, 1, 1, 1, device=device) * (high - low) + low


def chance(count: int, share: float, device: torch.device) -> Tensor:
    """Bool (count, 1, 1, 1), true for about `share` of the batch."""
    return torch.rand(count, 1, 1, 1, device=device) < share


def smooth_noise(count: int, channels: int, cells: int, side: int, device: torch.device) -> Tensor:
    """Float (count, channels, side, side), smooth noise of unit spread with about `cells` bumps across."""
    grid = torch.randn(count, channels, cells, cells, device=device)
    return F.interpolate(grid, size=(side, side), mode="bicubic", align_corners=False)


def placements(count: int, device: torch.device, turn: float = 0.2, mirror: bool = True) -> Tensor:
    """Affine matrices float (count, 2, 3): turned, sized, stretched, shifted and mirrored a little."""
    angle = (torch.rand(count, device=device) - 0.5) * 2 * turn * (torch.rand(count, device=device) < 0.7)
    size = 1 / (torch.rand(count, device=device) * 0.35 + 0.75)
    stretch = torch.exp((torch.rand(count, device=device) - 0.5) * 0.3)
    flip = torch.where(torch.rand(count, device=device) < (0.5 if mirror else 0.0), -1.0, 1.0)
    cos, sin = torch.cos(angle) * size, torch.sin(angle) * size
    shift = (torch.rand(count, 2, device=device) - 0.5) * 0.16
    shear = (torch.rand(count, device=device) - 0.5) * 0.2
    rows = torch.stack(
        [cos * stretch * flip, -sin + shear, shift[:, 0], sin * flip, cos / stretch, shift[:, 1]], 1
    )
    return rows.view(count, 2, 3)


def sample(picture: Tensor, grid: Tensor) -> Tensor:
    """The picture (zero outside) read at the grid's points."""
    return F.grid_sample(
        picture, grid.to(picture.dtype), mode="bilinear", padding_mode="zeros", align_corners=False
    )


def wobble(count: int, side: int, device: torch.device, strength: Tensor) -> Tensor:
    """Displacements float (count, side, side, 2) of a hand that does not draw straight; `strength` in pixels."""
    slow = smooth_noise(count, 2, 5, side, device) * 1.6
    quick = smooth_noise(count, 2, 16, side, device) * 0.7
    return ((slow + quick) * strength * 2 / side).permute(0, 2, 3, 1)


def thicken(ink: Tensor) -> Tensor:
    """The ink with lines left, thickened or thinned, at random for each drawing."""
    wide = F.max_pool2d(ink, 3, 1, 1)
    wider = F.max_pool2d(wide, 3, 1, 1)
    thin = -F.max_pool2d(-ink, 2, 1, 0)
    thin = F.pad(thin, (0, 1, 0, 1))
    pick = torch.rand(len(ink), 1, 1, 1, device=ink.device)
    ink = torch.where(pick < 0.30, wide, ink)
    ink = torch.where(pick < 0.10, wider, ink)
    return torch.where(pick > 0.93, thin * 1.5, ink).clamp(0, 1)


def gaps(ink: Tensor, share: float) -> Tensor:
    """The ink with stretches missing, as where the pencil lost the paper."""
    count, side = len(ink), ink.shape[-1]
    cells = 14 if torch.rand(()) < 0.5 else 26
    pressure = smooth_noise(count, 1, cells, side, ink.device)
    level = uniform(count, -1.6, -0.3, ink.device)
    worn = ink * ((pressure - level) * 3).clamp(0, 1)
    return torch.where(chance(count, share, ink.device), worn, ink)


def stray_lines(count: int, side: int, device: torch.device, lines: int = 4) -> Tensor:
    """Ink of long straight lines across the sheet: axes, boxes and overshooting strokes."""
    axis = torch.linspace(-1, 1, side, device=device)
    y, x = torch.meshgrid(axis, axis, indexing="ij")
    total = torch.zeros(count, 1, side, side, device=device)
    for _ in range(lines):
        angle = torch.rand(count, 1, 1, 1, device=device) * 3.1416
        angle = torch.where(chance(count, 0.6, device), torch.round(angle / 1.5708) * 1.5708 + 0.05, angle)
        offset = uniform(count, -0.9, 0.9, device)
        distance = (x * torch.cos(angle) + y * torch.sin(angle) - offset).abs()
        along = x * -torch.sin(angle) + y * torch.cos(angle)
        start, length = uniform(count, -1.2, 0.6, device), uniform(count, 0.3, 1.8, device)
        inside = (along > start) & (along < start + length)
        ink = torch.exp(-((distance * side / 2.4) ** 2)) * uniform(count, 0.2, 0.8, device) * inside
        total = torch.maximum(total, torch.where(chance(count, 0.5, device), ink, 0.0))
    return total


def hatching(tone: Tensor) -> Tensor:
    """Ink of parallel strokes where the drawing is dark: `tone` float (B, 1, S, S), 1 = black."""
    count, side = len(tone), tone.shape[-1]
    axis = torch.arange(side, device=tone.device, dtype=tone.dtype)
    y, x = torch.meshgrid(axis, axis, indexing="ij")
    angle, pitch = uniform(count, -1.2, 1.2, tone.device), uniform(count, 4, 9, tone.device)
    bend = smooth_noise(count, 1, 4, side, tone.device) * 2
    strokes = torch.sin((x * torch.cos(angle) + y * torch.sin(angle) + bend) * 6.2832 / pitch)
    soft = F.avg_pool2d(tone, 7, 1, 3)
    return (
        ((strokes - 0.2) * 3).clamp(0, 1)
        * ((soft - 0.25) * 4).clamp(0, 1)
        * uniform(count, 0.3, 0.9, tone.device)
    )


def rough(ink: Tensor, tone: Tensor, grid: Tensor) -> Tensor:
    """Ink of a rough sketch of the line art: shaken strokes drawn once or twice, gaps, stray lines, hatching."""
    count, side = len(ink), ink.shape[-1]
    device = ink.device
    strength = uniform(count, 0.8, 3.6, device)
    first = sample(ink, grid + wobble(count, side, device, strength))
    second = sample(ink, grid + wobble(count, side, device, strength))
    third = sample(ink, grid + wobble(count, side, device, strength * 1.3))
    strokes = torch.maximum(first, torch.where(chance(count, 0.6, device), second * 0.85, 0.0))
    strokes = torch.maximum(strokes, torch.where(chance(count, 0.3, device), third * 0.7, 0.0))
    strokes = gaps(thicken(strokes), 0.6)
    shade = hatching(sample(tone, grid))
    strokes = torch.maximum(strokes, torch.where(chance(count, 0.3, device), shade, 0.0))
    stray = stray_lines(count, side, device)
    return torch.maximum(strokes, torch.where(chance(count, 0.35, device), stray, 0.0))


def on_paper(ink: Tensor) -> Tensor:
    """Colour (B, 3, S, S): the ink in pencil, ink or blue on white or toned paper, sometimes unevenly lit."""
    count, side = len(ink), ink.shape[-1]
    device = ink.device
    pen = torch.rand(count, 3, 1, 1, device=device) * 0.6
    grey = uniform(count, 0.0, 0.45, device).expand(-1, 3, -1, -1)
    pen = torch.where(chance(count, 0.75, device), grey, pen)
    paper = 1 - torch.rand(count, 3, 1, 1, device=device) * uniform(count, 0.0, 0.25, device)
    paper = torch.where(chance(count, 0.7, device), torch.ones_like(paper), paper)
    light = 1 - smooth_noise(count, 1, 3, side, device).abs() * 0.12
    sheet = torch.where(chance(count, 0.2, device), paper * light, paper.expand(-1, -1, side, side))
    return sheet * (1 - ink) + pen * ink


def recoloured(rgba: Tensor) -> Tensor:
    """Colour (B, 3, S, S): straight-alpha RGBA in other colours, or grey, on white or on a ground."""
    count = len(rgba)
    device = rgba.device
    colour, alpha = rgba[:, :3], rgba[:, 3:]
    mean = colour.mean(1, keepdim=True)
    saturation = uniform(count, 0.4, 1.5, device)
    changed = (mean + (colour - mean) * saturation) * uniform(count, 0.75, 1.25, device)
    changed = torch.where(chance(count, 0.12, device), changed[:, [2, 0, 1]], changed)
    changed = torch.where(chance(count, 0.12, device), changed[:, [0, 2, 1]], changed)
    changed = torch.where(chance(count, 0.18, device), mean.expand(-1, 3, -1, -1), changed)
    ground = torch.where(
        chance(count, 0.85, device), 1.0, torch.rand(count, 3, 1, 1, device=device) * 0.5 + 0.5
    )
    colour = torch.where(chance(count, 0.75, device), changed, colour)
    return (colour * alpha + ground * (1 - alpha)).clamp(0, 1)


def worn(picture: Tensor) -> Tensor:
    """The picture with a piece missing, coarser, or with noise, each now and then."""
    count, side = len(picture), picture.shape[-1]
    device = picture.device
    axis = torch.linspace(0, 1, side, device=device)
    top, left = uniform(count, 0, 0.8, device), uniform(count, 0, 0.8, device)
    size = uniform(count, 0.12, 0.35, device)
    inside = ((axis[:, None] - top).abs() < size / 2) & ((axis[None, :] - left).abs() < size / 2)
    picture = torch.where(inside & chance(count, 0.12, device), 1.0, picture)
    small = F.interpolate(picture, scale_factor=0.4, mode="bilinear", antialias=True, align_corners=False)
    coarse = F.interpolate(small, size=(side, side), mode="bilinear", align_corners=False)
    picture = torch.where(chance(count, 0.12, device), coarse, picture)
    noise = torch.randn_like(picture) * uniform(count, 0, 0.06, device)
    return torch.where(chance(count, 0.2, device), picture + noise, picture).clamp(0, 1)


def make_views(rgba: Tensor, lines: Tensor, styles: Tensor) -> Tensor:
    """Colour (B, 3, S, S), each drawing in its style.

    `rgba` uint8 (B, 4, S, S) straight alpha, `lines` uint8 (B, S, S) with 255 = paper, `styles` int (B,).
    """
    count, side = len(rgba), rgba.shape[-1]
    device = rgba.device
    picture = rgba.float() / 255
    ink = 1 - lines.float().unsqueeze(1) / 255
    premultiplied = torch.cat([picture[:, :3] * picture[:, 3:], picture[:, 3:]], 1)
    grid = F.affine_grid(placements(count, device), [count, 1, side, side], align_corners=False)
    out = torch.ones(count, 3, side, side, device=device)
    coloured, lined, roughed = (torch.nonzero(styles == s).flatten() for s in (COLOUR, LINE, ROUGH))
    if len(coloured):
        moved = sample(premultiplied[coloured], grid[coloured])
        straight = torch.cat([moved[:, :3] / moved[:, 3:].clamp_min(1e-3), moved[:, 3:]], 1).clamp(0, 1)
        out[coloured] = recoloured(straight)
    if len(lined):
        out[lined] = on_paper(gaps(thicken(sample(ink[lined], grid[lined])), 0.15))
    if len(roughed):
        tone = (1 - picture[roughed, :3].mean(1, keepdim=True)) * picture[roughed, 3:]
        out[roughed] = on_paper(rough(ink[roughed], tone, grid[roughed]).clamp(0, 1))
    return worn(out)
