"""Work on many files in watched processes, so that a bad file costs that file alone.

Each item runs in a spawned worker process. A worker that takes too long, needs
too much memory or crashes is ended and replaced; only its item fails.
"""

from __future__ import annotations

import contextlib
import itertools
import multiprocessing
import os
import queue
import signal
import threading
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import CancelledError
from concurrent.futures import TimeoutError as TookTooLong
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

import psutil
from pebble import ProcessExpired, ProcessPool

from assetlib.errors import AssetlibError

DEFAULT_TIMEOUT = 60.0  # seconds for one file: a 200-million-pixel PNG takes about 20 here
DEFAULT_MEMORY = 2 << 30  # bytes for one worker: twice a 200-million-pixel picture, and room to work
_IN_FLIGHT = 8  # items handed out for each worker: enough to last while a batch of results is kept
_TASKS_PER_WORKER = 2000  # then it is replaced, in case a decoder leaks
_WATCH = 0.05  # seconds between two looks at the memory
_POLL = 0.2  # seconds; a wait without end cannot be interrupted on Windows
# numpy and OpenCV would each start a thread for every core, in every worker
_ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM")

T = TypeVar("T")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Outcome(Generic[R]):
    """What came of one item: a value, or the reason why there is none.

    `error` is the AssetlibError behind the reason, where the function raised one.
    """

    value: R | None = None
    reason: str | None = None
    hint: str | None = None
    error: AssetlibError | None = None

    @property
    def failed(self) -> bool:
        """True where there is a reason instead of a value."""
        return self.reason is not None


def run_supervised(
    function: Callable[[T], R],
    items: Iterable[T],
    *,
    workers: int,
    timeout: float = DEFAULT_TIMEOUT,
    memory: int = DEFAULT_MEMORY,
) -> Generator[tuple[T, Outcome[R]], None, None]:
    """Each item with its outcome, in the order in which they are done.

    `function` must be importable by name (spawned workers import it). Items are
    taken only as workers get free. `timeout` is in seconds and `memory` in bytes,
    both for one item. Closing the iterator, or an interrupt, ends the workers.
    """
    waiting = iter(items)
    first = list(itertools.islice(waiting, workers))
    if not first:
        return
    # A process more than there is work is still starting when all is done, and complains on stderr when it is ended.
    workers = len(first)
    waiting = itertools.chain(first, waiting)
    done: queue.SimpleQueue[tuple[int, Any]] = queue.SimpleQueue()
    in_work: dict[int, T] = {}
    with _Crew(workers, timeout, memory) as crew:
        while True:
            for item in itertools.islice(waiting, workers * _IN_FLIGHT - len(in_work)):
                ticket = crew.start(function, item, done)
                in_work[ticket] = item
            if not in_work:
                return
            ticket, future = _next_done(done)
            yield in_work.pop(ticket), crew.outcome(ticket, future)


def call_supervised(
    function: Callable[..., R],
    *arguments: Any,
    timeout: float = DEFAULT_TIMEOUT,
    memory: int = DEFAULT_MEMORY,
) -> Outcome[R]:
    """The outcome of one call in a watched process of its own."""
    with Worker(timeout=timeout, memory=memory) as worker:
        return worker.call(function, *arguments)


class Worker:
    """A watched process for calls one after the other; it is started for the first, and stays for the next.

    `timeout` is in seconds and `memory` in bytes, both for one call.
    """

    def __init__(self, *, timeout: float = DEFAULT_TIMEOUT, memory: int = DEFAULT_MEMORY) -> None:
        self._crew = _Crew(1, timeout, memory)

    def __enter__(self) -> Worker:
        self._crew.__enter__()
        return self

    def __exit__(self, *of: object) -> None:
        self._crew.__exit__(*of)

    def call(self, function: Callable[..., R], *arguments: Any) -> Outcome[R]:
        """The outcome of a call; `function` must be importable by name."""
        done: queue.SimpleQueue[tuple[int, Any]] = queue.SimpleQueue()
        self._crew.start(_Spread(function), arguments, done)
        return self._crew.outcome(*_next_done(done))


@dataclass(frozen=True, slots=True)
class _Spread(Generic[R]):
    """A function of several arguments as one of a tuple."""

    function: Callable[..., R]

    def __call__(self, arguments: tuple[Any, ...]) -> R:
        return self.function(*arguments)


class _Crew:
    """The worker processes, and the watch over their memory."""

    def __init__(self, workers: int, timeout: float, memory: int) -> None:
        self.timeout = timeout
        self.memory = memory
        self.tickets = itertools.count()
        self.futures: dict[int, Any] = {}
        self.too_large: set[int] = set()
        self.ended = threading.Event()
        spawn = multiprocessing.get_context("spawn")
        self.starts = spawn.SimpleQueue()
        self.pool = ProcessPool(
            max_workers=workers,
            max_tasks=_TASKS_PER_WORKER,
            initializer=_prepare_worker,
            initargs=(self.starts,),
            context=spawn,
        )
        self.watch = threading.Thread(target=self._watch_memory, daemon=True)

    def __enter__(self) -> _Crew:
        self.watch.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.ended.set()
        self.pool.stop()
        self.pool.join()
        self.watch.join()
        self.starts.close()

    def start(self, function: Callable[[T], R], item: T, done: queue.SimpleQueue[tuple[int, Any]]) -> int:
        """The ticket of an item that was handed out; `done` gets it when it is finished."""
        ticket = next(self.tickets)
        future = self.pool.schedule(_run, args=(ticket, function, item), timeout=self.timeout)
        self.futures[ticket] = future
        future.add_done_callback(lambda finished: done.put((ticket, finished)))
        return ticket

    def outcome(self, ticket: int, future: Any) -> Outcome[Any]:
        """The outcome of a finished item."""
        del self.futures[ticket]
        try:
            return Outcome(value=future.result())
        except AssetlibError as error:
            return Outcome(reason=error.sentence, hint=error.hint, error=error)
        except CancelledError:
            return Outcome(reason=self._tell_end(ticket))
        except TookTooLong:
            return Outcome(reason=f"took longer than {self.timeout:g} s")
        except ProcessExpired:
            return Outcome(reason="broke the program that read it")
        except MemoryError:
            return Outcome(reason=self._tell_memory())
        except Exception as error:  # whatever it is, it is this item's alone
            text = " ".join(f"{type(error).__name__}: {error}".split())
            return Outcome(reason=f"could not be worked on ({text})")

    def _tell_end(self, ticket: int) -> str:
        return self._tell_memory() if ticket in self.too_large else "was stopped"

    def _tell_memory(self) -> str:
        if self.memory >= 1 << 30:
            return f"needed more than {self.memory / (1 << 30):g} GB of memory"
        return f"needed more than {self.memory / (1 << 20):g} MB of memory"

    def _watch_memory(self) -> None:
        """Cancels the items of workers that have grown too large; runs in a thread."""
        at_work: dict[int, int] = {}  # process to ticket
        while not self.ended.wait(_WATCH):
            while not self.starts.empty():
                process, ticket = self.starts.get()
                at_work[process] = ticket
            for process, ticket in list(at_work.items()):
                future = self.futures.get(ticket)
                if future is None or future.done():
                    del at_work[process]
                elif _resident(process) > self.memory:
                    self.too_large.add(ticket)
                    future.cancel()


def _resident(process: int) -> int:
    """Bytes of memory that a process holds; 0 for one that is gone."""
    with contextlib.suppress(psutil.Error):
        return psutil.Process(process).memory_info().rss
    return 0


def _next_done(done: queue.SimpleQueue[tuple[int, Any]]) -> tuple[int, Any]:
    while True:
        with contextlib.suppress(queue.Empty):
            return done.get(timeout=_POLL)


_starts: Any = None  # in a worker: where it tells which item it has begun


def _run(ticket: int, function: Callable[[T], R], item: T) -> R:
    """The value of the item, in the worker; tells the watch first who works on it."""
    _starts.put((os.getpid(), ticket))
    return function(item)


def _prepare_worker(starts: Any) -> None:
    """Makes a worker quiet, deaf to Ctrl-C, and mortal with its parent."""
    global _starts
    _starts = starts
    for name in _ONE_THREAD:  # read when the libraries are first imported, which comes after this
        os.environ.setdefault(name, "1")
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends its workers in order
    # decoders in C and Rust write to the file descriptor, past Python
    silence = os.open(os.devnull, os.O_WRONLY)
    for descriptor in (1, 2):
        with contextlib.suppress(OSError):
            os.dup2(silence, descriptor)
    os.close(silence)
    threading.Thread(target=_follow_parent, daemon=True).start()


def _follow_parent() -> None:
    """Ends this worker when its parent has been killed."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
