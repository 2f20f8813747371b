"""Stage `export`: the trained towers as the files that are shipped.

`image.onnx` holds its weights as float16 with a cast behind each, which onnxruntime folds to float32 when it loads the
file: half the size on disk, full speed. The text tower is plain arrays for numpy.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assetlib.vectors.training.tower import DIMENSION, IMAGE_SIZE

OPSET = 17  # read by every onnxruntime since 1.12


def export_image_tower(visual: Any, path: Path) -> None:
    """Writes the tower with unit-length output: float32 (N, 3, S, S), -1 to 1, in; float32 (N, D) out."""
    import torch

    class UnitVectors(torch.nn.Module):  # type: ignore[misc]
        def __init__(self, tower: torch.nn.Module) -> None:
            super().__init__()
            self.tower = tower

        def forward(self, pictures: torch.Tensor) -> torch.Tensor:
            return torch.nn.functional.normalize(self.tower(pictures), dim=1)

    example = torch.zeros(2, 3, IMAGE_SIZE, IMAGE_SIZE)
    torch.onnx.export(
        UnitVectors(visual.float().eval()), (example,), str(path), input_names=["pictures"],
        output_names=["vectors"],
        dynamic_axes={"pictures": {0: "n"}, "vectors": {0: "n"}}, opset_version=OPSET, dynamo=False,
    )  # fmt: skip
    halve_weights(path)


def halve_weights(path: Path) -> None:
    """Rewrites the file with every weight of two or more axes as float16 and a cast to float32."""
    import onnx
    from onnx import TensorProto, helper, numpy_helper

    model = onnx.load(str(path))
    casts = []
    for weight in model.graph.initializer:
        if weight.data_type == TensorProto.FLOAT and len(weight.dims) > 1:
            half = numpy_helper.from_array(
                numpy_helper.to_array(weight).astype(np.float16), weight.name + "_half"
            )
            casts.append(helper.make_node("Cast", [half.name], [weight.name], to=TensorProto.FLOAT))
            weight.CopyFrom(half)
    nodes = [*casts, *model.graph.node]
    del model.graph.node[:]
    model.graph.node.extend(nodes)
    onnx.checker.check_model(model)
    onnx.save(model, str(path))


def export_words(tables: dict[str, NDArray[Any]], vocabulary: Path, folder: Path) -> None:
    """Writes the static text tower: one .npy a table, so that only the rows a text needs are read."""
    for name in ("pieces", "piece_scale", "linear", "bias"):
        np.save(folder / f"{name}.npy", tables[name])
    shutil.copyfile(vocabulary, folder / "vocab.txt")


def export_description(folder: Path, name: str, tower: str) -> None:
    """Writes model.json, which the runtime reads first; the digest covers every other file."""
    files = sorted(p for p in folder.iterdir() if p.suffix not in (".md", ".json"))
    digest = hashlib.sha256()
    for path in files:
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    described = {
        "name": name, "digest": digest.hexdigest(), "dimension": DIMENSION, "image_side": IMAGE_SIZE,
        "image_mean": 127.5, "image_scale": 127.5, "tower": tower, "files": [p.name for p in files],
    }  # fmt: skip
    (folder / "model.json").write_text(json.dumps(described, indent=1) + "\n", encoding="utf-8")
