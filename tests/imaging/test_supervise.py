"""A bad item costs itself alone, and nobody is left behind. The jobs below run in spawned workers."""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from assetlib.errors import BadPicture
from assetlib.imaging.supervise import Worker, call_supervised, run_supervised

PATIENCE = 300
"""Seconds that nothing here needs, however busy the machine is."""
SLEEP = 2 * PATIENCE


def work(item: object) -> object:
    if item == "sleep":
        time.sleep(SLEEP)
    if item == "abort":
        os.abort()
    if item == "fault":
        ctypes.string_at(0)
    if item == "grow":
        held = []
        while True:
            held.append(bytearray(b"x" * 20_000_000))
            time.sleep(0.01)
    if item == "refuse":
        raise BadPicture("no drawing in it", "Draw one.")
    if item == "trip":
        raise ValueError("two\nlines")
    return item


def add(one: int, other: int) -> int:
    return one + other


@pytest.mark.parametrize(
    ("bad", "told"),
    [
        ("sleep", "took longer than 5 s"),
        ("abort", "broke"),
        ("fault", "broke"),
        ("grow", "needed more than 300 MB"),
        ("refuse", "no drawing in it"),
        ("trip", "ValueError"),
    ],
)
def test_a_bad_item_fails_alone(bad: str, told: str) -> None:
    items = [*range(4), bad, *range(4, 8)]
    seconds = 5 if bad == "sleep" else PATIENCE
    outcomes = dict(run_supervised(work, items, workers=2, timeout=seconds, memory=300 << 20))
    assert {item for item, outcome in outcomes.items() if not outcome.failed} == set(range(8))
    assert [outcomes[item].value for item in range(8)] == list(range(8))
    reason = outcomes[bad].reason
    assert reason is not None
    assert told in reason
    assert "\n" not in reason
    assert outcomes[bad].value is None


def test_an_error_keeps_its_hint() -> None:
    outcome = call_supervised(work, "refuse")
    assert (outcome.reason, outcome.hint) == ("no drawing in it", "Draw one.")
    assert isinstance(outcome.error, BadPicture)


def test_one_call_with_several_arguments() -> None:
    assert call_supervised(add, 2, 3).value == 5


def test_one_process_does_call_after_call_and_is_replaced_when_it_fails() -> None:
    with Worker(timeout=20) as worker:
        first, second = worker.call(os.getpid).value, worker.call(os.getpid).value
        assert first == second != os.getpid()
        assert worker.call(os.abort).failed
        assert worker.call(add, 2, 3).value == 5


def test_no_items_no_outcomes() -> None:
    assert list(run_supervised(work, [], workers=2)) == []


def test_items_are_taken_as_workers_get_free() -> None:
    taken = []

    def endless() -> Iterator[int]:
        for number in range(10_000):
            taken.append(number)
            yield number

    outcomes = run_supervised(work, endless(), workers=1)
    for _ in range(5):
        next(outcomes)
    outcomes.close()
    assert len(taken) < 20


def test_closing_ends_the_workers() -> None:
    before = _workers(os.getpid())
    outcomes = run_supervised(work, ["quick", "sleep", "sleep"], workers=2)
    next(outcomes)
    assert _workers(os.getpid()) - before
    outcomes.close()
    assert not _workers(os.getpid()) - before


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such signals")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_no_worker_outlives_its_parent(tmp_path: Path, how: signal.Signals) -> None:
    script = tmp_path / "run.py"
    script.write_text(
        "import signal\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # where tests run behind a shell, it is ignored
        "from assetlib.imaging.supervise import run_supervised\n"
        "from tests.imaging.test_supervise import work\n"
        "if __name__ == '__main__':\n"
        "    for item, _ in run_supervised(work, ['quick', 'sleep', 'sleep'], workers=2, timeout=600):\n"
        "        print(item, flush=True)\n",
        encoding="utf-8",
    )
    root = Path(__file__).parents[2]
    environment = {**os.environ, "PYTHONPATH": str(root)}
    with subprocess.Popen(
        [sys.executable, str(script)], env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as parent:
        assert parent.stdout is not None
        assert parent.stdout.readline() == b"quick\n"
        workers = _workers(parent.pid)
        assert workers
        parent.send_signal(how)
        parent.communicate(timeout=PATIENCE)
    _, alive = psutil.wait_procs(
        [psutil.Process(pid) for pid in workers if psutil.pid_exists(pid)], timeout=PATIENCE
    )
    assert not alive


def _workers(parent: int) -> set[int]:
    """The spawned workers of a process; not the tracker that Python keeps beside them."""
    children = psutil.Process(parent).children()
    return {child.pid for child in children if "spawn_main" in " ".join(_command(child))}


def _command(process: psutil.Process) -> list[str]:
    try:
        return process.cmdline()
    except psutil.Error:
        return []


def test_there_are_no_more_processes_than_items() -> None:
    for _, outcome in run_supervised(work, ["one", "two"], workers=5, timeout=PATIENCE):
        workers = [
            child for child in psutil.Process().children() if "spawn_main" in " ".join(child.cmdline())
        ]
        assert 0 < len(workers) <= 2
        assert not outcome.failed
    assert list(run_supervised(work, [], workers=5, timeout=PATIENCE)) == []
