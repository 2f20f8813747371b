"""The judge of marks in PyTorch: its network, how it is fitted, and the file that is shipped.

`python -m tests.bench.marks_net DRAWINGS OUT [--pages 4000] [--minutes 6] [--seed 1]` makes pages (`mark_pages`) in as
many processes as there are cores, fits the network on a GPU and writes `marks.onnx`. DRAWINGS is a pickled list of
encoded RGBA pictures; `python -m tests.bench.marks_net pack DRAWINGS` writes it from the tuning half of the clip art.
"""

from __future__ import annotations

import argparse
import copy
import os
import pickle
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import cv2
import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from tests.bench.mark_pages import HEIGHT, INK, UNSURE, WIDTH, make_marked

CLASSES = 7
WIDTHS = (12, 24, 48, 80, 104, 112)  # channels at 1, 1/2 ... 1/32 of the side
BLOCKS = (0, 1, 2, 2, 3, 3)
DECODED = (12, 24, 32, 48, 80)
WEIGHTS = (
    1.0,
    2.0,
    1.5,
    1.2,
    4.0,
    1.2,
    1.5,
)  # of paper, ink, print, soil, specks, off the page, underdrawing
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
    pictures = np.memmap(f"{folder}/pictures", np.uint8, "r+", shape=(total, HEIGHT, WIDTH, 3))
    labels = np.memmap(f"{folder}/labels", np.uint8, "r+", shape=(total, HEIGHT, WIDTH))
    for k in range(first, last):
        pictures[k], labels[k] = make_marked(np.random.default_rng([seed, k]), _read, len(_DRAWINGS))
    return last - first


def make_pages(drawings: str, folder: str, total: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """So many pages and what they hold, as files in a folder."""
    np.memmap(f"{folder}/pictures", np.uint8, "w+", shape=(total, HEIGHT, WIDTH, 3)).flush()
    np.memmap(f"{folder}/labels", np.uint8, "w+", shape=(total, HEIGHT, WIDTH)).flush()
    jobs = [(drawings, folder, k, min(total, k + 20), total, seed) for k in range(0, total, 20)]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(_make, jobs))
    pictures = np.memmap(f"{folder}/pictures", np.uint8, "r", shape=(total, HEIGHT, WIDTH, 3))
    labels = np.memmap(f"{folder}/labels", np.uint8, "r", shape=(total, HEIGHT, WIDTH))
    return pictures, labels


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


def fit(pictures: np.ndarray, labels: np.ndarray, minutes: float) -> Marks:
    """The network, its weights averaged over the last of its steps; prints how it goes."""
    device = "cuda" if torch.cuda.is_available() else "cpu"
    pages = torch.from_numpy(np.ascontiguousarray(pictures)).to(device)
    truth = torch.from_numpy(np.ascontiguousarray(labels)).to(device)
    marks = Marks().to(device, memory_format=torch.channels_last)
    lasting = copy.deepcopy(marks)
    moved = torch.optim.AdamW(marks.parameters(), RATE, weight_decay=DECAY)
    weights = torch.tensor(WEIGHTS, device=device)
    began, step, total = time.time(), 0, minutes * 60
    known = len(pages) - PROVED
    while (spent := (time.time() - began) / total) < 1:
        moved.param_groups[0]["lr"] = RATE * min(1.0, (step + 1) / 200) * 0.5 * (1 + np.cos(np.pi * spent))
        chosen = torch.randint(known, (BATCH,), device=device)
        picture, label = _varied(pages[chosen].permute(0, 3, 1, 2).float() / 255, truth[chosen].long())
        with torch.autocast(device, torch.bfloat16):
            logits = marks(picture.contiguous(memory_format=torch.channels_last))
        loss = functional.cross_entropy(logits.float(), label, weights, ignore_index=UNSURE)
        moved.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(marks.parameters(), 2.0)
        moved.step()
        step += 1
        with torch.no_grad():
            keep = min(LASTING, step / (step + 20))
            for old, new in zip(lasting.state_dict().values(), marks.state_dict().values(), strict=True):
                old.mul_(keep).add_(new, alpha=1 - keep) if old.is_floating_point() else old.copy_(new)
        if step % 500 == 0:
            print(f"{step} steps, {time.time() - began:.0f} s, loss {loss.item():.4f}", flush=True)
    print(f"{step} steps")
    prove(lasting.eval(), pages[known:], truth[known:])
    return lasting


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
    torch.manual_seed(asked.seed)
    out = Path(asked.out)
    began = time.time()
    pictures, labels = make_pages(asked.drawings, os.environ.get("TMPDIR", "/tmp"), asked.pages, asked.seed)
    print(f"{asked.pages} pages in {time.time() - began:.0f} s", flush=True)
    marks = fit(pictures, labels, asked.minutes)
    torch.save(marks.state_dict(), out / "marks.pt")
    ship(marks, out / "marks.onnx")


if __name__ == "__main__":
    main()
