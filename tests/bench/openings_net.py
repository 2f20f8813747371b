"""The judge of openings in PyTorch: its network, how it is fitted, and the file that is shipped.

An ImageNet encoder (EfficientNet-Lite0) and a light decoder describe every place of the drawing; what is described
within an area, around it and in the whole, together with what `measure_areas` measures, makes one token an area;
the areas then look at one another, and each gets a logit. While it is fitted it is also asked for the colours.
"""

from __future__ import annotations

import copy
import math
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from assetlib.imaging.cleaning.lookthrough import OUTSIDE, SHADED, SIDE
from assetlib.imaging.cleaning.openings import FEATURES, MOST_OPENINGS

ENCODED = (16, 24, 40, 112, 192)  # channels of the encoder at 1/2, 1/4 ... 1/32 of the side
STAGES = (  # widened, kernel, stride, channels, blocks
    (1, 3, 1, 16, 1), (6, 3, 2, 24, 2), (6, 5, 2, 40, 2), (6, 3, 2, 80, 3), (6, 5, 1, 112, 3), (6, 5, 2, 192, 4),
)  # fmt: skip
PASSED_BY = 0.05
DECODED = (32, 48, 64, 96, 128)
HEADS, LAYERS, TOKEN = 4, 2, 128
RING = 7  # pixels at half the side
# more steps fit openclipart's 700 drawings ever better and others ever worse
STEPS, BATCH, RATE, ENCODER_RATE = 700, 96, 1.2e-3, 0.4
UNTOLD, NOISE, DROPPED = (
    0.3,
    0.15,
    0.25,
)  # how often measurements are hidden, their noise, what is dropped of tokens
LEAST, SMALL_WEIGHT, HOLE_WEIGHT = 0.002, 0.3, 2.0
HOLES_SEEN = 4.0  # how often drawings with holes are seen against others
# share of each group among what is seen
SEEN = {"things and figures": 0.33, "icons and signs": 0.06, "vehicles": 0.07, "scenes": 0.3, "sets": 0.24}
PIXEL_WEIGHT, COLOUR_WEIGHT, SURE = 0.4, 0.6, 0.98
LASTING = 0.998
LARGE = 1000  # numbers in a weight from which it is stored in bytes
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


class Data:
    """Views as tensors on the device, pictures uint8, areas padded to `MOST_OPENINGS`."""

    def __init__(self, views: list[Any], pictures: tuple[Any, Any, Any]) -> None:
        self.line, self.places, self.colour = (torch.from_numpy(one).to(DEVICE) for one in pictures)
        shape = (len(views), MOST_OPENINGS)
        measured, hole = np.zeros((*shape, FEATURES), np.float32), np.zeros(shape, np.float32)
        weight, there, counted = np.zeros(shape, np.float32), np.zeros(shape, bool), np.zeros(shape, bool)
        for k, one in enumerate(views):
            n = len(one.hole)
            sure = ((one.hole < 0.4) | (one.hole > 0.6)) & ~((one.hole < 0.4) & (one.glass > 0.4))
            counted[k, :n] = sure & (one.size >= LEAST)
            sure &= ~((one.hole < 0.4) & pale_glass(one))
            measured[k, :n], hole[k, :n], there[k, :n] = one.measured, one.hole > 0.5, True
            weight[k, :n] = sure * np.where(one.size >= LEAST, 1, SMALL_WEIGHT)
        self.measured, self.hole, self.weight, self.there, self.counted = (
            torch.from_numpy(v).to(DEVICE) for v in (measured, hole, weight, there, counted)
        )
        rows = np.concatenate([one.measured for one in views])
        self.mean, self.scale = torch.from_numpy(rows.mean(0)), torch.from_numpy(rows.std(0) + 1e-3)
        groups = np.array([one.group for one in views])
        _, own, often = np.unique(
            [f"{v.source}:{v.name}" for v in views], return_inverse=True, return_counts=True
        )
        seen = np.where((hole * weight).sum(1) > 0, HOLES_SEEN, 1.0) / often[own] ** 0.7
        for group in np.unique(groups):
            mine = groups == group
            seen[mine] *= SEEN[group] / seen[mine].sum()
        self.seen = torch.from_numpy(seen).to(DEVICE)

    def inputs(self, chosen: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        return self.line[chosen].float() / 255, self.places[chosen], self.colour[chosen].float() / 255


def pale_glass(view: Any) -> Any:
    """Areas painted the pale blue or grey-blue of glass in what may have windows, bool (N,)."""
    red, green, blue = (view.tint[:, c] for c in range(3))
    return view.glazed & (blue > 130) & (blue > red + 8) & (green > red - 8) & (red > 70)


def picture_of(line: Tensor, places: Tensor) -> Tensor:
    """What the encoder sees: paper with its line, the same with the outside shaded, the body; (B, 3, S, S), -1 to 1."""
    body = (places != OUTSIDE).float()
    paper = 1 - line
    return torch.stack([paper, paper * (1 - SHADED * (1 - body)), body], 1) * 2 - 1


def within_of(places: Tensor, most: int) -> Tensor:
    """Which share of every place at half the side belongs to which area, (B, N, S/2, S/2)."""
    numbers = torch.arange(1, most + 1, device=places.device, dtype=torch.uint8)
    return functional.avg_pool2d((places[:, None] == numbers[None, :, None, None]).float(), 2)


def block(given: int, made: int) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(given, made, 3, 1, 1, bias=False), nn.BatchNorm2d(made), nn.ReLU(inplace=True)
    )


class Look(nn.Module):
    """One layer in which the areas of a drawing look at one another."""

    def __init__(self) -> None:
        super().__init__()
        self.first, self.second = nn.LayerNorm(TOKEN), nn.LayerNorm(TOKEN)
        self.asked, self.out = nn.Linear(TOKEN, 3 * TOKEN), nn.Linear(TOKEN, TOKEN)
        self.wide, self.narrow = nn.Linear(TOKEN, 2 * TOKEN), nn.Linear(2 * TOKEN, TOKEN)
        self.drop = nn.Dropout(DROPPED)

    def forward(self, tokens: Tensor, absent: Tensor) -> Tensor:
        batch, count, _ = tokens.shape
        parts = (
            self.asked(self.first(tokens)).view(batch, count, 3, HEADS, TOKEN // HEADS).permute(2, 0, 3, 1, 4)
        )
        heed = parts[0] @ parts[1].transpose(2, 3) / math.sqrt(TOKEN / HEADS) + absent[:, None, None, :]
        seen = (heed.softmax(-1) @ parts[2]).transpose(1, 2).reshape(batch, count, TOKEN)
        tokens = tokens + self.drop(self.out(seen))
        return tokens + self.drop(self.narrow(functional.relu(self.wide(self.second(tokens)))))


def unit(given: int, made: int, kernel: int, stride: int, apart: bool, acts: bool = True) -> list[nn.Module]:
    """A convolution as TensorFlow pads it, channels each for itself with `apart`, its normalisation and ReLU6."""
    spare = kernel - stride
    padding = [nn.ZeroPad2d((spare // 2, spare - spare // 2) * 2)] if stride > 1 else []
    inner = 0 if stride > 1 else kernel // 2
    convolution = nn.Conv2d(given, made, kernel, stride, inner, groups=given if apart else 1, bias=False)
    return [
        *padding,
        convolution,
        nn.BatchNorm2d(made, eps=1e-3),
        *([nn.ReLU6(inplace=True)] if acts else []),
    ]


class Bottleneck(nn.Module):
    """EfficientNet's inverted bottleneck: widened, each channel convolved, narrowed, added to what came in."""

    def __init__(self, given: int, made: int, widened: int, kernel: int, stride: int) -> None:
        super().__init__()
        wide = given * widened
        first = unit(given, wide, 1, 1, apart=False) if widened > 1 else []
        self.layers = nn.Sequential(
            *first,
            *unit(wide, wide, kernel, stride, apart=True),
            *unit(wide, made, 1, 1, apart=False, acts=False),
        )
        self.adds = stride == 1 and given == made

    def forward(self, layer: Tensor) -> Tensor:
        made = self.layers(layer)
        if not self.adds:
            return made
        if self.training:  # some blocks are passed by
            made = made * (torch.rand(len(made), 1, 1, 1, device=made.device) > PASSED_BY) / (1 - PASSED_BY)
        return layer + made


def encoder(start: Path | None) -> nn.ModuleList:
    """EfficientNet-Lite0 (Tan and Le 2019, without squeeze and excitation): the stem and six of its seven stages.

    `start` holds the same layers in the same order under other names.
    """
    stages, given = [nn.Sequential(*unit(3, 32, 3, 2, apart=False))], 32
    for widened, kernel, stride, made, count in STAGES:
        blocks = []
        for k in range(count):
            blocks.append(Bottleneck(given, made, widened, kernel, stride if k == 0 else 1))
            given = made
        stages.append(nn.Sequential(*blocks))
    made = nn.ModuleList(stages)
    if start is not None:
        values = iter(torch.load(start, map_location="cpu", weights_only=True).values())
        own = made.state_dict()
        made.load_state_dict(
            {name: next(values).reshape(was.shape).to(was.dtype) for name, was in own.items()}
        )
    return made


class Network(nn.Module):
    def __init__(self, mean: Tensor, scale: Tensor, start: Path | None) -> None:
        super().__init__()
        self.encoder = encoder(start)
        self.up = nn.ModuleList([nn.Sequential(nn.Conv2d(ENCODED[4], DECODED[4], 1), nn.ReLU(inplace=True))])
        for level in (3, 2, 1, 0):
            self.up.append(block(DECODED[level + 1] + ENCODED[level], DECODED[level]))
        self.bare, self.colour = nn.Conv2d(DECODED[0], 1, 1), nn.Conv2d(DECODED[1], 3, 1)
        self.whole = nn.Linear(ENCODED[4], 48)
        pooled = 3 * DECODED[0] + 2 * DECODED[2] + DECODED[3]
        self.join = nn.Linear(pooled + 48 + FEATURES + 1, TOKEN)
        self.looks = nn.ModuleList([Look() for _ in range(LAYERS)])
        self.last = nn.Sequential(nn.LayerNorm(TOKEN), nn.Linear(TOKEN, 1))
        self.drop = nn.Dropout(DROPPED)
        self.register_buffer("mean", mean)
        self.register_buffer("scale", scale)

    def describe(self, picture: Tensor) -> list[Tensor]:
        """The decoder's layers from 1/32 to 1/2 of the side, then the encoder's summary."""
        layer, kept = self.encoder[0](picture), []
        for stage in list(self.encoder)[1:]:
            layer = stage(layer)
            if layer.shape[1] in ENCODED:
                kept.append(layer)
        layers = [self.up[0](kept[4])]
        for step, finer in zip(list(self.up)[1:], (kept[3], kept[2], kept[1], kept[0]), strict=True):
            larger = functional.interpolate(layers[-1], scale_factor=2.0, mode="nearest")
            layers.append(step(torch.cat([larger, finer], 1)))
        return [*layers, kept[4].mean((2, 3))]

    def weigh(self, layers: list[Tensor], within: Tensor, told: Tensor) -> Tensor:
        """The logit of every area, (B, N); absent areas are those that are nowhere."""
        _, coarse, middle, _, fine, summary = layers
        around = (functional.max_pool2d(within, RING, 1, RING // 2) - within).clamp(min=0)
        quarter, eighth = functional.avg_pool2d(within, 4), functional.avg_pool2d(within, 8)
        mean, spread = pool(fine, within)
        mean4, spread4 = pool(middle, quarter)
        known = torch.cat([mean, spread, pool(fine, around)[0], mean4, spread4, pool(coarse, eighth)[0]], 2)
        summary = functional.relu(self.whole(summary.float()))[:, None].expand(-1, within.shape[1], -1)
        tokens = self.join(self.drop(torch.cat([known, summary, told], 2)))
        absent = torch.where(within.flatten(2).sum(2) > 0, 0.0, -1e4)
        for look in self.looks:
            tokens = look(tokens, absent)
        return self.last(tokens)[..., 0]

    def tell(self, measured: Tensor) -> Tensor:
        """Measurements as the network is told them, a last 0 for told."""
        told = ((measured - self.mean) / self.scale).clamp(-4, 4)
        return torch.cat([told, torch.zeros_like(told[..., :1])], -1)

    def forward(self, picture: Tensor, within: Tensor, measured: Tensor) -> Tensor:
        return self.weigh(self.describe(picture), within, self.tell(measured))


def pool(layer: Tensor, within: Tensor) -> tuple[Tensor, Tensor]:
    """Mean and spread of a layer (B, C, H, W) within areas (B, N, H, W): (B, N, C) each."""
    share = within.flatten(2)
    amount = share.sum(2, keepdim=True).clamp(min=0.25)
    flat = layer.float().flatten(2).transpose(1, 2)
    mean = share @ flat / amount
    return mean, ((share @ (flat * flat) / amount - mean * mean).clamp(min=0) + 1e-4).sqrt()


def fit(data: Data, start: Path | None, steps: int, seed: int) -> Network:
    """The running mean of a network fitted for some steps."""
    torch.manual_seed(seed)
    network = Network(data.mean, data.scale, start).to(DEVICE).to(memory_format=torch.channels_last)
    lasting = copy.deepcopy(network)
    given = list(network.encoder.parameters())
    known = {id(one) for one in given}
    rest = [one for one in network.parameters() if id(one) not in known]
    optimiser = torch.optim.AdamW(
        [{"params": given, "lr": RATE * ENCODER_RATE}, {"params": rest, "lr": RATE}], weight_decay=0.03
    )
    schedule = torch.optim.lr_scheduler.OneCycleLR(
        optimiser, [RATE * ENCODER_RATE, RATE], total_steps=steps + 1, pct_start=0.1
    )
    pairs = list(zip(lasting.state_dict().values(), network.state_dict().values(), strict=True))
    mean, own = zip(*[pair for pair in pairs if pair[0].dtype.is_floating_point], strict=True)
    for step in range(steps):
        chosen = torch.multinomial(data.seen, BATCH, True)
        loss = _loss(network, data, chosen)
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(network.parameters(), 2.0)
        optimiser.step()
        schedule.step()
        with torch.no_grad():
            torch._foreach_lerp_(list(mean), list(own), 1 - min(LASTING, (step + 1) / (step + 10)))
        if (step + 1) % max(1, steps // 6) == 0:
            print(step + 1, round(float(loss.detach()), 4), flush=True)
    return lasting.eval()


def _loss(network: Network, data: Data, chosen: Tensor) -> Tensor:
    """What is missed by areas, by places, and of the colours of what is painted."""
    hole, weight = data.hole[chosen], data.weight[chosen]
    line, places, colour = varied(*data.inputs(chosen))
    picture = picture_of(line, places).contiguous(memory_format=torch.channels_last)
    told = network.tell(data.measured[chosen])
    noisy = told + NOISE * torch.randn_like(told)
    untold = torch.zeros_like(told)
    untold[..., -1] = 1
    told = torch.where(torch.rand(len(told), 1, 1, device=told.device) < UNTOLD, untold, noisy)
    within = within_of(places, MOST_OPENINGS)
    seen = within.flatten(2).sum(2) > 0
    with torch.autocast(DEVICE, torch.bfloat16):
        layers = network.describe(picture)
        bare = network.bare(layers[4])[:, 0].float()
        painted = network.colour(layers[3]).float()
    areas = network.weigh([one.float() for one in layers], within, told)
    weight = weight * seen
    truth = hole * (2 * SURE - 1) + (1 - SURE)
    shared = weight / weight.sum(1, keepdim=True).clamp(min=1) ** 0.6
    missed = functional.binary_cross_entropy_with_logits(areas, truth, reduction="none")
    by_area = (missed * shared * torch.where(hole > 0, HOLE_WEIGHT, 1.0)).sum() / shared.sum().clamp(min=1)
    share = (within * weight[..., None, None]).sum(1)
    bare_share = (within * (hole * weight)[..., None, None]).sum(1) / share.clamp(min=1e-3)
    missed = (
        functional.binary_cross_entropy_with_logits(bare, bare_share.clamp(0, 1), reduction="none") * share
    )
    by_place = missed.sum() / share.sum().clamp(min=1)
    inside = functional.avg_pool2d((places != OUTSIDE).float()[:, None], 4)
    off = ((painted - colour.permute(0, 3, 1, 2)).abs() * inside).sum() / (3 * inside.sum().clamp(min=1))
    return by_area + PIXEL_WEIGHT * by_place + COLOUR_WEIGHT * off


def varied(line: Tensor, places: Tensor, colour: Tensor) -> tuple[Tensor, Tensor, Tensor]:
    """The same mirrored, turned, stretched, bent a little, larger or smaller, in a heavier, finer or softer line."""
    count, device = len(line), line.device
    turn, size, stretch = ((torch.rand(count, device=device) - 0.5) * reach for reach in (0.5, 0.3, 0.25))
    size, stretch = 1.06 + size, 1 + stretch
    side = torch.where(torch.rand(count, device=device) < 0.5, -1.0, 1.0)
    way = torch.zeros(count, 2, 3, device=device)
    way[:, 0, 0], way[:, 0, 1] = torch.cos(turn) * size * side * stretch, torch.sin(turn) * size
    way[:, 1, 0], way[:, 1, 1] = -torch.sin(turn) * size * side * stretch, torch.cos(turn) * size
    way[:, :, 2] = (torch.rand(count, 2, device=device) - 0.5) * 0.08
    grid = functional.affine_grid(way, [count, 1, SIDE, SIDE], align_corners=False)
    bend = torch.randn(count, 2, 7, 7, device=device) * 0.02 * torch.rand(count, 1, 1, 1, device=device)
    grid = grid + functional.interpolate(bend, size=(SIDE, SIDE), mode="bicubic").permute(0, 2, 3, 1)
    line = functional.grid_sample(line[:, None], grid, align_corners=False)
    moved = functional.grid_sample(
        places[:, None].float() - OUTSIDE, grid, mode="nearest", align_corners=False
    )
    small = functional.avg_pool2d(grid.permute(0, 3, 1, 2), 4).permute(0, 2, 3, 1)
    colour = functional.grid_sample(colour.permute(0, 3, 1, 2) - 1, small, align_corners=False) + 1
    chance = torch.rand(count, 1, 1, 1, device=device)
    heavier, softer = functional.max_pool2d(line, 3, 1, 1), functional.avg_pool2d(line, 3, 1, 1)
    line = torch.where(chance < 0.25, heavier, torch.where(chance < 0.5, softer, line))
    line = line * (1 - 0.4 * torch.rand(count, 1, 1, 1, device=device) ** 2)
    return line[:, 0], (moved[:, 0] + OUTSIDE).round().to(torch.uint8), colour.permute(0, 2, 3, 1)


@torch.no_grad()
def score(network: Network, data: Data) -> np.ndarray:
    """The logit of every area, (N, K)."""
    network.eval()
    found = []
    for chosen in torch.arange(len(data.line), device=DEVICE).split(BATCH):
        line, places, _ = data.inputs(chosen)
        told = data.measured[chosen]
        found.append(network(picture_of(line, places), within_of(places, MOST_OPENINGS), told).cpu())
    return torch.cat(found).numpy()


def export(network: Network, path: Path) -> None:
    """Write the network: picture (1, 3, S, S), within (1, N, S/2, S/2), measured (1, N, F) in, (1, N) logits out."""
    given = (
        torch.zeros(1, 3, SIDE, SIDE),
        torch.zeros(1, 5, SIDE // 2, SIDE // 2),
        torch.zeros(1, 5, FEATURES),
    )
    torch.onnx.export(
        copy.deepcopy(network).cpu().float().eval().to(memory_format=torch.contiguous_format), given, str(path),
        input_names=["picture", "within", "measured"], output_names=["logits"],
        dynamic_axes={"within": {1: "n"}, "measured": {1: "n"}, "logits": {1: "n"}}, opset_version=17, dynamo=False,
    )  # fmt: skip
    store_in_bytes(path)


def store_in_bytes(path: Path) -> None:
    """Rewrite the file with large weights as int8 and a scale an output channel, which folds when it is loaded."""
    import onnx
    from onnx import helper, numpy_helper

    model = onnx.load(str(path))
    outputs_last = {name for node in model.graph.node if node.op_type == "MatMul" for name in node.input}
    steps, scales = [], []
    for weight in model.graph.initializer:
        values = numpy_helper.to_array(weight)
        if values.dtype != np.float32 or values.ndim < 2 or values.size < LARGE:
            continue
        others = (
            tuple(range(values.ndim - 1)) if weight.name in outputs_last else tuple(range(1, values.ndim))
        )
        scale = np.maximum(np.abs(values).max(axis=others, keepdims=True), 1e-9).astype(np.float32) / 127
        name = weight.name
        weight.CopyFrom(numpy_helper.from_array(np.rint(values / scale).astype(np.int8), f"{name}_bytes"))
        scales.append(numpy_helper.from_array(scale, f"{name}_scale"))
        steps.append(helper.make_node("Cast", [f"{name}_bytes"], [f"{name}_cast"], to=onnx.TensorProto.FLOAT))
        steps.append(helper.make_node("Mul", [f"{name}_cast", f"{name}_scale"], [name]))
    nodes = [*steps, *model.graph.node]
    del model.graph.node[:]
    model.graph.node.extend(nodes)
    model.graph.initializer.extend(scales)
    onnx.checker.check_model(model)
    onnx.save(model, str(path))
