"""Workbooks read in a process of their own, which is killed when one asks for too much and started anew for
the next: a bad workbook costs its own reading alone."""

import atexit
import datetime
import json
import os
import select
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from threading import Lock

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files.system import reason

Value = str | float | datetime.datetime
Sheets = list[tuple[str, list[tuple[int, tuple[Value, ...]]]]]
_WORKER = Path(__file__).with_name("workbook_worker.py")
# Beside its bounds of CPU seconds and memory: a process that waits for something.
_MOST_WAIT_S = 60.0
_MOST_ANSWER_BYTES = 150_000_000
_AT_ONCE = 1 << 20


class WorkbookReader:
    """Starts its process with the first workbook. An idle one ends by itself, and so does one whose parent is
    gone."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._one_at_a_time = Lock()

    def read(self, raw: bytes, place: Place) -> Sheets:
        """Name and rows (1-based number, cells) of each visible sheet of the workbook with these bytes.
        Raises InputError for what is no workbook or is beyond the bounds."""
        with self._one_at_a_time:
            answer = self._answer(raw)
        if answer is None:
            message = (
                "The workbook asks for far more time or memory than a table needs; copy the cells into a new "
                "workbook, or save them as .csv."
            )
            raise InputError(message, place=place)
        content = json.loads(answer)
        if "problem" in content:
            raise InputError(content["problem"], place=place)
        return [
            (name, [(number, tuple(map(_value, cells))) for number, cells in rows])
            for name, rows in content["sheets"]
        ]

    def close(self) -> int:
        """End the process, if there is one, and return how it ended: minus the number of a signal."""
        process, self._process = self._process, None
        if process is None:
            return 0
        process.kill()
        for pipe in (process.stdin, process.stdout):
            with suppress(OSError):
                pipe.close()  # type: ignore[union-attr]
        return process.wait()

    def _answer(self, raw: bytes) -> bytes | None:
        """What the process says; None when it came to its end instead, or said nothing in time."""
        for _ in range(2):
            answer = None
            try:
                answer = self._asked(len(raw).to_bytes(8) + raw)
            finally:  # whatever stopped us, the next question needs a process that waits for one
                how = 0 if answer else self.close()
            if how != -signal.SIGALRM:  # it had ended just then, for want of questions
                break
        return answer

    def _asked(self, question: bytes) -> bytes | None:
        process = self._running()
        try:
            process.stdin.write(question)  # type: ignore[union-attr]
            process.stdin.flush()  # type: ignore[union-attr]
        except BrokenPipeError:
            return None
        deadline_s = time.monotonic() + _MOST_WAIT_S
        length = _received(process, 8, deadline_s)
        if length is None or int.from_bytes(length) > _MOST_ANSWER_BYTES:
            return None
        return _received(process, int.from_bytes(length), deadline_s)

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is not None and self._process.poll() is None:
            return self._process
        self.close()
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-P", str(_WORKER)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                start_new_session=True,  # Ctrl-C is ours to handle
            )
        except OSError as error:
            message = f"The process that reads workbooks cannot be started ({reason(error)}). Make room."
            raise ChairgapError(message) from None
        return self._process


def _received(process: subprocess.Popen[bytes], count: int, deadline_s: float) -> bytes | None:
    """So many bytes of the answer; None when they do not come."""
    out = process.stdout.fileno()  # type: ignore[union-attr]
    ready = select.poll()
    ready.register(out, select.POLLIN)
    parts: list[bytes] = []
    while count:
        if not ready.poll(max(0.0, 1000.0 * (deadline_s - time.monotonic()))):
            return None
        part = os.read(out, min(count, _AT_ONCE))
        if not part:
            return None
        parts.append(part)
        count -= len(part)
    return b"".join(parts)


def _value(cell: str | float | list[str]) -> Value:
    return datetime.datetime.fromisoformat(cell[0]) if isinstance(cell, list) else cell


READER = WorkbookReader()
atexit.register(READER.close)
