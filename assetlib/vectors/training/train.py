"""Stage `train`: fits the image tower (and a linear map on the words) so that drawings lie near their words.

InfoNCE between pictures and captions where every drawing that may be called by a caption counts as right, softened by
the likeness of the captions; open_clip's own contrastive loss between two views of one drawing.
"""

from __future__ import annotations

import copy
import math
import time
from dataclasses import dataclass
from typing import Any

import torch
import torch.distributed as dist
import torch.nn.functional as F  # noqa: N812
from open_clip.loss import ClipLoss
from torch import Tensor

from assetlib.vectors.training.compose import MEMBERS, compose
from assetlib.vectors.training.corpus import Corpus
from assetlib.vectors.training.views import COLOUR, LINE, ROUGH, make_views

Report = Any
_SETTLING_STEPS = 3  # the first steps compile and choose kernels; the clock starts after them


@dataclass(frozen=True)
class TrainingSettings:
    """What a training run can vary; the values shipped were chosen on the validation part."""

    seconds: float = 560.0  # on two H100; the same number of steps on others: `steps` 2609
    steps: int = 0  # 0: as many as fit into `seconds`
    batch: int = 576  # a device
    scene_batch: int = 96
    rate: float = 1e-3
    word_rate: float = 1e-4
    decay: float = 0.05
    warmup: float = 0.04
    hold: float = 0.55  # share of the run after which the rate falls
    average: float = 0.998
    soften: float = 0.15  # share of the target spread by the likeness of captions
    soft_temperature: float = 0.06
    view_weight: float = 0.7
    smallest_temperature: float = 0.02
    compiled: bool = True
    seed: int = 1


class Trainer:
    """One training run on one device."""

    def __init__(self, model: Any, corpus: Corpus, sentences: Tensor, settings: TrainingSettings) -> None:
        self.model, self.corpus, self.sentences, self.settings = model, corpus, sentences, settings
        self.device = corpus.colour.device
        self.visual = model.visual.to(self.device, memory_format=torch.channels_last)
        self.words = model.text.proj.to(self.device)
        self.scale = torch.nn.Parameter(
            torch.tensor([math.log(1 / 0.07), math.log(1 / 0.07)], device=self.device)
        )
        self.averaged = copy.deepcopy(self.visual).eval()
        self.averaged_words = copy.deepcopy(self.words)
        self.optimiser = torch.optim.AdamW(
            self._groups(), betas=(0.9, 0.98), eps=1e-6, fused=self.device.type == "cuda"
        )
        self.view_loss = ClipLoss()
        spread = dist.is_initialized()
        self.rank: int = dist.get_rank() if spread else 0
        self.world: int = dist.get_world_size() if spread else 1
        self.generator = torch.Generator(self.device).manual_seed(settings.seed + self.rank)
        torch.manual_seed(settings.seed + self.rank)
        self.steps = 0
        self.network = torch.compile(self.visual) if settings.compiled else self.visual

    def _groups(self) -> list[dict[str, Any]]:
        decayed = [p for p in self.visual.parameters() if p.ndim > 1]
        plain = [p for p in self.visual.parameters() if p.ndim <= 1]
        s = self.settings
        return [
            {"params": decayed, "peak": s.rate, "weight_decay": s.decay},
            {"params": plain, "peak": s.rate, "weight_decay": 0.0},
            {"params": list(self.words.parameters()), "peak": s.word_rate, "weight_decay": 0.0},
            {"params": [self.scale], "peak": 1e-3, "weight_decay": 0.0},
        ]

    def run(self, report: Report) -> int:
        """Number of steps taken; `report(step, progress, losses)` is called now and then."""
        started = time.monotonic()
        step = 0
        progress = 0.0
        while progress < 1:
            losses = self.step(progress)
            step += 1
            if step == _SETTLING_STEPS:
                started = time.monotonic()
            if self.settings.steps:
                progress = step / self.settings.steps
            elif step > _SETTLING_STEPS:
                progress = (time.monotonic() - started) / self.settings.seconds
            progress = self._agreed(progress)
            if step % 50 == 1 and self.rank == 0:
                report(step, progress, losses)
        return step

    def _agreed(self, progress: float) -> float:
        if self.world == 1:
            return progress
        value = torch.tensor([progress], device=self.device, dtype=torch.float64)
        dist.broadcast(value, 0)
        return float(value.item())

    def _set_rate(self, progress: float) -> None:
        s = self.settings
        up = min(1.0, progress / s.warmup + 0.01)
        down = 0.5 * (1 + math.cos(math.pi * max(0.0, progress - s.hold) / (1 - s.hold)))
        for group in self.optimiser.param_groups:
            group["lr"] = group["peak"] * up * max(down, 0.002)

    def step(self, progress: float) -> list[float]:
        """The losses of one step: pictures and words, views of one drawing."""
        self._set_rate(min(progress, 1.0))
        self.visual.train()
        rows = torch.multinomial(self.corpus.share, self.settings.batch, generator=self.generator)
        columns = torch.multinomial(self.corpus.caption_weights[rows], 1, generator=self.generator)
        captions = self.corpus.caption_ids[rows].gather(1, columns).flatten()
        first, second, scene, scene_captions = self._pictures(rows)
        with torch.autocast(self.device.type, torch.bfloat16):
            vectors = self.network(
                torch.cat([first, second, scene]).to(memory_format=torch.channels_last) * 2 - 1
            )
        vectors = F.normalize(vectors.float(), dim=1)
        count = len(rows)
        # Every device sees the vectors of all; only its own carry gradients, whose sum is that of the whole batch.
        views_one, views_two, of_scenes = (
            self._gathered(v) for v in vectors.split([count, count, len(scene)])
        )
        rows, captions, scene_captions = (self._gathered(t) for t in (rows, captions, scene_captions))
        loss_words = self._word_loss(
            torch.cat([views_one, views_two, of_scenes]), rows, captions, scene_captions
        )
        view_scale = self.scale[1].exp().clamp(max=1 / self.settings.smallest_temperature)
        loss_views = self.view_loss(views_one, views_two, view_scale)
        self.optimiser.zero_grad(set_to_none=True)
        (loss_words + self.settings.view_weight * loss_views).backward()
        self._add_gradients()
        torch.nn.utils.clip_grad_norm_(self.visual.parameters(), 5.0)
        self.optimiser.step()
        self._average()
        return [loss_words.item(), loss_views.item()]

    def _gathered(self, own: Tensor) -> Tensor:
        if self.world == 1:
            return own
        parts = [torch.empty_like(own) for _ in range(self.world)]
        dist.all_gather(parts, own.detach().contiguous())
        parts[self.rank] = own
        return torch.cat(parts)

    def _add_gradients(self) -> None:
        if self.world == 1:
            return
        gradients = [p.grad for g in self.optimiser.param_groups for p in g["params"] if p.grad is not None]
        flat = torch.cat([g.flatten() for g in gradients])
        dist.all_reduce(flat)
        for gradient, part in zip(gradients, flat.split([g.numel() for g in gradients]), strict=True):
            gradient.copy_(part.view_as(gradient))

    def _pictures(self, rows: Tensor) -> tuple[Tensor, Tensor, Tensor, Tensor]:
        corpus, count, device = self.corpus, len(rows), self.device
        pick = torch.rand(count, device=device)
        styles = torch.where(pick < 0.5, COLOUR, torch.where(pick < 0.75, LINE, ROUGH))
        other = torch.where(torch.rand(count, device=device) < 0.45, ROUGH, LINE)
        other = torch.where(
            pick < 0.5, other, torch.where(torch.rand(count, device=device) < 0.6, COLOUR, other)
        )
        kinds = torch.randint(0, 2, (2, count), device=device)
        colour = corpus.colour[rows]
        first = make_views(colour, corpus.lines[rows, kinds[0]], styles)
        second = make_views(colour, corpus.lines[rows, kinds[1]], other)
        chosen = torch.randint(0, len(corpus.scene_text), (self.settings.scene_batch,), device=device)
        members = corpus.scene_members[chosen]
        safe = members.clamp_min(0)
        lines = corpus.lines[safe, kinds[0][: len(chosen), None].expand(-1, MEMBERS)]
        scene = compose(corpus.colour[safe], lines, members >= 0, corpus.scene_ground[chosen])
        return first, second, scene, corpus.scene_text[chosen]

    def _word_loss(self, vectors: Tensor, rows: Tensor, captions: Tensor, scene_captions: Tensor) -> Tensor:
        texts = torch.cat([captions, scene_captions])
        raw = self.sentences[texts].float()
        words = F.normalize(self.words(raw), dim=1)
        target = self._targets(rows, texts, raw)
        scale = self.scale[0].exp().clamp(max=1 / self.settings.smallest_temperature)
        count, scenes = len(rows), len(scene_captions)
        total = torch.zeros((), device=self.device)
        for pictures in (vectors[:count], vectors[count : 2 * count]):
            both = torch.cat([pictures, vectors[2 * count : 2 * count + scenes]])
            logits = scale * both @ words.T
            total = total + _cross_entropy(logits, target) + _cross_entropy(logits.T, target.T)
        return total / 4

    def _targets(self, rows: Tensor, texts: Tensor, raw: Tensor) -> Tensor:
        # Right (1) where the caption is one of the drawing's own; the rest is spread by the likeness of captions.
        count = len(rows)
        right = torch.zeros(len(texts), len(texts), device=self.device)
        right[:count, :count] = (
            (self.corpus.caption_ids[rows].unsqueeze(1) == texts[:count].view(1, -1, 1)).any(2).float()
        )
        right.fill_diagonal_(1.0)
        same = (texts.unsqueeze(0) == texts.unsqueeze(1)).float()
        right = torch.maximum(right, same)
        soft = torch.softmax(raw @ raw.T / self.settings.soft_temperature, 1)
        # Columns keep their weight too, so the same table serves both directions.
        return (1 - self.settings.soften) * right / right.sum(1, keepdim=True) + self.settings.soften * soft

    @torch.no_grad()  # type: ignore[untyped-decorator]
    def _average(self) -> None:
        self.steps += 1
        keep = min(self.settings.average, (1 + self.steps) / (10 + self.steps))
        for model, average in ((self.visual, self.averaged), (self.words, self.averaged_words)):
            for new, old in zip(model.state_dict().values(), average.state_dict().values(), strict=True):
                if old.is_floating_point():
                    old.lerp_(new, 1 - keep)
                else:
                    old.copy_(new)


def _cross_entropy(logits: Tensor, target: Tensor) -> Tensor:
    target = target / target.sum(1, keepdim=True)
    return -(target * torch.log_softmax(logits, 1)).sum(1).mean()
