"""Where the installed command begins: so light that a Ctrl-C is answered from its first moment on."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import sys


def run() -> None:
    """Run the command line and exit with its code."""
    import sys

    sys.unraisablehook = _unraisable
    try:
        from assetlib.cli.main import run as run_command

        run_command()
    except KeyboardInterrupt:
        sys.stderr.write("assetlib: stopped before anything was done\n")
        sys.exit(130)


_SOON = 0.05
"""Seconds until a Ctrl-C that nobody could answer is given again."""


def _unraisable(failure: sys.UnraisableHookArgs) -> None:
    """Give a Ctrl-C again that fell into a moment where nothing can be raised, such as the end of an import."""
    import sys
    import threading

    if issubclass(failure.exc_type, KeyboardInterrupt):
        again = threading.Timer(_SOON, _interrupt)
        again.daemon = True
        again.start()
    else:
        sys.__unraisablehook__(failure)


def _interrupt() -> None:
    import _thread
    import signal
    import threading

    main = threading.main_thread().ident
    if main is not None and hasattr(signal, "pthread_kill"):
        signal.pthread_kill(main, signal.SIGINT)  # ends its waiting, too
    else:
        _thread.interrupt_main()
