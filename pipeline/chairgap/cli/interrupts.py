"""Ctrl-C: the first one stops the program, further ones leave it the time to stop."""

import os
import signal
import sys
import time

STOPPED = 130
_TIME_TO_STOP_S = 10.0


class Once:
    """A handler of signals that raises KeyboardInterrupt once. Later signals are ignored, since they would
    meet the program while it stops; after ten seconds one more ends it at once."""

    def __init__(self) -> None:
        self._first_s: float | None = None

    def __call__(self, number: int, frame: object) -> None:
        if self._first_s is None:
            self._first_s = time.monotonic()
            raise KeyboardInterrupt
        if time.monotonic() - self._first_s > _TIME_TO_STOP_S:
            os._exit(STOPPED)


def run() -> None:
    """The command line from its first moment on: what it imports takes long enough to be stopped, too. A
    shell that lets the program ignore Ctrl-C is left its way."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, Once())
    try:
        from chairgap.cli.app import main

        main()
    except KeyboardInterrupt:
        sys.stderr.write("Stopped from the keyboard.\n")
        sys.exit(STOPPED)
    finally:
        # Python would give Ctrl-C back its first meaning, the death of the process, before it leaves.
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        # An interrupt in a text that was executed (dataclasses are made of such) is marked as never caught,
        # though it was, and Python kills itself by SIGINT at its very end; the next such text takes it off.
        exec("")
