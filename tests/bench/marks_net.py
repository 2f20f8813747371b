"""The judge of marks in PyTorch: its network, how it is fitted, and the file that is shipped.

`python -m tests.bench.marks_net DRAWINGS OUT [--pages 4000] [--minutes 6] [--seed 1]` makes pages (`mark_pages`) in as
many processes as there are cores, fits the network on a GPU and writes `marks.onnx`. DRAWINGS is a pickled list of
encoded RGBA pictures; `python -m tests.bench.marks_net pack DRAWINGS` writes it from the tuning half of the clip art.
"""

from __future__ import annotations

import argparse
import copy
import math
import os
import pickle
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Literal

import cv2
import numpy as np
import torch
from torch import Tensor, distributed, multiprocessing, nn
from torch.nn import functional

from tests.bench.mark_pages import make_marked
from tests.bench.mark_sheet import HEIGHT, INK, UNSURE, WIDTH

CLASSES = 7
WIDTHS = (12, 24, 48, 80, 104, 112)  # channels at 1, 1/2 ... 1/32 of the side
BLOCKS = (0, 1, 2, 2, 3, 3)
DECODED = (12, 24, 32, 48, 80)
# of paper, ink, print, soil, specks, off the page, underdrawing
WEIGHTS = (1.0, 2.0, 1.5, 1.2, 3.0, 1.2, 1.5)
BATCH, RATE, DECAY, LASTING = 20, 2.5e-3, 0.02, 0.995
PROVED = 160  # pages that are only looked at
_DRAWINGS: list[bytes] = []


class Block(nn.Module):
    """What stands around a place, then what it means: a wide depthwise convolution and two of one pixel."""

    def __init__(self, channels: int) -> None:
        super().__init__()
        self.around = nn.Conv2d(channels, channels, 5, padding=2, groups=channels, bias=False)
        self.norm = nn.BatchNorm2d(channels)
        self.wide = nn.Conv2d(channels, 2 * channels, 1)
        self.narrow = nn.Conv2d(2 * channels, channels, 1)

    def forward(self, x: Tensor) -> Tensor:
        return x + self.narrow(functional.relu(self.wide(self.norm(self.around(x)))))


def _down(before: int, after: int, stride: int) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(before, after, 3, stride, 1, bias=False), nn.BatchNorm2d(after), nn.ReLU(inplace=True)
    )


class Marks(nn.Module):
    """Pictures (N, 3, H, W), 0..1, sides multiples of 32, to logits (N, CLASSES, H, W)."""

    def __init__(self) -> None:
        super().__init__()
        before = (3, *WIDTHS[:-1])
        self.down = nn.ModuleList(
            nn.Sequential(_down(a, b, 1 if k == 0 else 2), *(Block(b) for _ in range(n)))
            for k, (a, b, n) in enumerate(zip(before, WIDTHS, BLOCKS, strict=True))
        )
        self.whole = nn.Conv2d(WIDTHS[-1], WIDTHS[-1], 1)
        self.up = nn.ModuleList()
        below = WIDTHS[-1]
        for k in range(4, -1, -1):
            mixed = nn.Conv2d(below + WIDTHS[k], DECODED[k], 1 if k else 3, padding=0 if k else 1, bias=False)
            after = Block(DECODED[k]) if k else nn.Identity()
            self.up.append(nn.Sequential(mixed, nn.BatchNorm2d(DECODED[k]), nn.ReLU(inplace=True), after))
            below = DECODED[k]
        self.last = nn.Conv2d(below, CLASSES, 1)

    def forward(self, picture: Tensor) -> Tensor:
        x = picture * 2 - 1
        seen = []
        for stage in self.down:
            x = stage(x)
            seen.append(x)
        x = x + self.whole(x.mean(dim=(2, 3), keepdim=True))
        for stage, beside in zip(self.up, reversed(seen[:-1]), strict=True):
            x = functional.interpolate(x, scale_factor=2.0, mode="nearest")
            x = stage(torch.cat([x, beside], dim=1))
        return self.last(x)


class Shipped(nn.Module):
    """The network as it is shipped: bytes in, logits out."""

    def __init__(self, marks: Marks) -> None:
        super().__init__()
        self.marks = marks

    def forward(self, picture: Tensor) -> Tensor:
        return self.marks(picture.float() / 255)


def _read(k: int) -> np.ndarray:
    raw = cv2.imdecode(np.frombuffer(_DRAWINGS[k], np.uint8), cv2.IMREAD_UNCHANGED)
    return np.ascontiguousarray(cv2.cvtColor(raw, cv2.COLOR_BGRA2RGBA))


def _make(job: tuple[str, str, int, int, int, int]) -> int:
    drawings, folder, first, last, total, seed = job
    cv2.setNumThreads(1)
    if not _DRAWINGS:
        _DRAWINGS.extend(pickle.loads(Path(drawings).read_bytes()))
    pictures, labels = _made(folder, total, "r+")
    for k in range(first, last):
        pictures[k], labels[k] = make_marked(np.random.default_rng([seed, k]), _read, len(_DRAWINGS))
    return last - first


def _made(folder: str, total: int, mode: Literal["r", "r+", "w+"]) -> tuple[np.ndarray, np.ndarray]:
    """Pages (total, H, W, 3) and what they hold (total, H, W), as files in a folder."""
    pictures = np.memmap(f"{folder}/pictures", np.uint8, mode, shape=(total, HEIGHT, WIDTH, 3))
    return pictures, np.memmap(f"{folder}/labels", np.uint8, mode, shape=(total, HEIGHT, WIDTH))


def make_pages(drawings: str, folder: str, total: int, seed: int) -> None:
    """Make so many pages, in as many processes as there are cores."""
    _made(folder, total, "w+")
    jobs = [(drawings, folder, k, min(total, k + 20), total, seed) for k in range(0, total, 20)]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(_make, jobs))


def _varied(picture: Tensor, label: Tensor) -> tuple[Tensor, Tensor]:
    """Turned, mirrored, lighter or darker, other tints, more grain."""
    if torch.rand(()) < 0.5:
        picture, label = picture.flip(3), label.flip(2)
    if torch.rand(()) < 0.5:
        picture, label = picture.flip(2), label.flip(1)
    if torch.rand(()) < 0.5:
        picture, label = picture.transpose(2, 3), label.transpose(1, 2)
    n = len(picture)
    gain = 1 + 0.12 * torch.randn(n, 1, 1, 1, device=picture.device)
    tint = 1 + 0.03 * torch.randn(n, 3, 1, 1, device=picture.device)
    gamma = torch.exp(0.15 * torch.randn(n, 1, 1, 1, device=picture.device))
    grain = 0.008 * torch.rand(n, 1, 1, 1, device=picture.device) * torch.randn_like(picture)
    return ((picture.clamp(1e-3, 1) ** gamma) * gain * tint + grain).clamp(0, 1), label


def fit(folder: str, total: int, minutes: float, seed: int) -> Marks:
    """The network, its weights averaged over the last of its steps, fitted on all GPUs; prints how it goes."""
    many = max(1, torch.cuda.device_count())
    os.environ.update(MASTER_ADDR="127.0.0.1", MASTER_PORT="29511", NCCL_NVLS_ENABLE="0")
    multiprocessing.spawn(_fit_one, (many, folder, total, minutes, seed), nprocs=many)
    lasting = Marks()
    lasting.load_state_dict(torch.load(f"{folder}/marks.pt", map_location="cpu"))
    return lasting


def _fit_one(rank: int, many: int, folder: str, total: int, minutes: float, seed: int) -> None:
    """Fit on one GPU of `many`, slopes averaged over all; the first writes `marks.pt`."""
    device = torch.device("cuda", rank) if torch.cuda.is_available() else torch.device("cpu")
    distributed.init_process_group("nccl" if device.type == "cuda" else "gloo", rank=rank, world_size=many)
    pages, truth = (
        torch.from_numpy(np.ascontiguousarray(part)).to(device) for part in _made(folder, total, "r")
    )
    torch.manual_seed(seed)
    marks = Marks().to(device).to(memory_format=torch.channels_last)  # type: ignore[call-overload]
    torch.manual_seed(seed + 1000 * rank)
    lasting = copy.deepcopy(marks)
    moved = torch.optim.AdamW(marks.parameters(), RATE, weight_decay=DECAY)
    weights = torch.tensor(WEIGHTS, device=device)
    began, step, known = time.time(), 0, total - PROVED
    spent = torch.zeros((), device=device)
    while spent < 1:
        moved.param_groups[0]["lr"] = (
            RATE * min(1.0, (step + 1) / 200) * 0.5 * (1 + math.cos(math.pi * float(spent)))
        )
        chosen = torch.randint(known, (BATCH,), device=device)
        picture, label = _varied(pages[chosen].permute(0, 3, 1, 2).float() / 255, truth[chosen].long())
        with torch.autocast(device.type, torch.bfloat16):
            logits = marks(picture.contiguous(memory_format=torch.channels_last))
        loss = functional.cross_entropy(logits.float(), label, weights, ignore_index=UNSURE)
        moved.zero_grad(set_to_none=True)
        loss.backward()
        spent.fill_((time.time() - began) / (minutes * 60))
        _average([p.grad for p in marks.parameters() if p.grad is not None], spent)
        nn.utils.clip_grad_norm_(marks.parameters(), 2.0)
        moved.step()
        step += 1
        _last(lasting, marks, min(LASTING, step / (step + 20)))
        if rank == 0 and step % 500 == 0:
            print(f"{step} steps, {time.time() - began:.0f} s, loss {loss.item():.4f}", flush=True)
    if rank == 0:
        print(f"{step} steps on {many}")
        prove(lasting.eval(), pages[known:], truth[known:])
        torch.save(lasting.state_dict(), f"{folder}/marks.pt")
    distributed.destroy_process_group()


def _average(slopes: list[Tensor], spent: Tensor) -> None:
    """Slopes, and the share of time that is spent, averaged over all GPUs in place: all stop at the same step."""
    flat = torch.cat([spent.reshape(1), *(slope.flatten() for slope in slopes)])
    distributed.all_reduce(flat)
    flat /= distributed.get_world_size()
    spent.copy_(flat[0])
    for slope, part in zip(slopes, flat[1:].split([slope.numel() for slope in slopes]), strict=True):
        slope.copy_(part.view_as(slope))


@torch.no_grad()
def _last(lasting: Marks, marks: Marks, keep: float) -> None:
    for old, new in zip(lasting.state_dict().values(), marks.state_dict().values(), strict=True):
        old.mul_(keep).add_(new, alpha=1 - keep) if old.is_floating_point() else old.copy_(new)


@torch.no_grad()
def prove(marks: Marks, pages: Tensor, truth: Tensor) -> None:
    """Print of each kind of mark which share is told as what."""
    counts = torch.zeros(CLASSES, CLASSES, device=pages.device)
    for k in range(0, len(pages), 8):
        told = marks(pages[k : k + 8].permute(0, 3, 1, 2).float() / 255).argmax(dim=1)
        label = truth[k : k + 8].long()
        sure = label != UNSURE
        counts += torch.bincount(label[sure] * CLASSES + told[sure], minlength=CLASSES**2).view(
            CLASSES, CLASSES
        )
    shares = counts / counts.sum(dim=1, keepdim=True).clamp(min=1)
    print("rows: truth, columns: told (paper ink print soil specks off under)")
    print(np.array_str(shares.cpu().numpy(), precision=3, suppress_small=True))
    print(f"ink: precision {(counts[INK, INK] / counts[:, INK].sum()).item():.3f}")


def ship(marks: Marks, file: Path) -> None:
    """Write the network as ONNX that takes pages of any size, its sides multiples of 32."""
    shipped = Shipped(marks.cpu().eval().to(memory_format=torch.contiguous_format)).eval()
    example = torch.zeros(1, 3, HEIGHT, WIDTH, dtype=torch.uint8)
    torch.onnx.export(
        shipped, (example,), str(file), input_names=["picture"], output_names=["logits"], opset_version=17,
        dynamic_axes={"picture": {2: "height", 3: "width"}, "logits": {2: "height", 3: "width"}}, dynamo=False,
    )  # fmt: skip


def pack(file: Path, most: int = 26_000_000) -> None:
    """Write the tuning half of the clip art, at most 140 of a folder and 420 pixels long, as one file."""
    from tests.bench.sheet_drawings import fit as fitted
    from tests.bench.sheet_drawings import names_by_place, read_drawing

    rng = np.random.default_rng(4)
    packed: list[bytes] = []
    for _, paths in sorted(names_by_place("tune").items()):
        for k in rng.permutation(len(paths))[:140]:
            drawing = read_drawing.__wrapped__(paths[k])
            if drawing is None:
                continue
            small = fitted(drawing, 420, 420) if max(drawing.shape[:2]) > 420 else drawing
            code = [cv2.IMWRITE_WEBP_QUALITY, 82]
            packed.append(cv2.imencode(".webp", cv2.cvtColor(small, cv2.COLOR_RGBA2BGRA), code)[1].tobytes())
    order = rng.permutation(len(packed))
    sizes = np.cumsum([len(packed[k]) for k in order])
    file.write_bytes(pickle.dumps([packed[k] for k in order[sizes <= most]]))


def main() -> None:
    """Pack drawings, or make pages, fit and write the file."""
    options = argparse.ArgumentParser()
    options.add_argument("drawings")
    options.add_argument("out")
    options.add_argument("--pages", type=int, default=4000)
    options.add_argument("--minutes", type=float, default=6.0)
    options.add_argument("--seed", type=int, default=1)
    asked = options.parse_args()
    if asked.drawings == "pack":
        pack(Path(asked.out))
        return
    out, folder, began = Path(asked.out), os.environ.get("TMPDIR", "/tmp"), time.time()
    make_pages(asked.drawings, folder, asked.pages, asked.seed)
    print(f"{asked.pages} pages in {time.time() - began:.0f} s", flush=True)
    marks = fit(folder, asked.pages, asked.minutes, asked.seed)
    torch.save(marks.state_dict(), out / "marks.pt")
    ship(marks, out / "marks.onnx")


if __name__ == "__main__":
    main()
