"""Trained judges that come with the package, as networks: opened once a process, run on few threads."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from assetlib.errors import ModelBroken

THREADS = 2


@cache
def open_judge(file: Path, does: str) -> Any:
    """The session of onnxruntime for the network in `file`; `does` says what it is for. Raises ModelBroken."""
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = THREADS
    # several pictures at once share the cores
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    options.log_severity_level = 3
    try:
        return onnxruntime.InferenceSession(str(file), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime raises its own kinds, not importable by name everywhere
        sentence = f"{file.name}, which {does}, cannot be run ({type(error).__name__})"
        raise ModelBroken(sentence, "Install assetlib again.") from error
