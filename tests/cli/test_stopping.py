"""What ends a command from outside: Ctrl-C in every phase, and a connection that ends."""

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from chairgap.cli import app as cli
from chairgap.cli.interrupts import Once


def test_only_the_first_interrupt_is_one() -> None:
    stop = Once()
    with pytest.raises(KeyboardInterrupt):
        stop(2, None)
    for _ in range(5):
        stop(2, None)


def test_an_interrupt_while_the_command_line_is_read_is_said(chairgap, monkeypatch) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli.TyperGroup, "make_context", interrupted)
    assert chairgap("status", ".") == (130, "", "Stopped from the keyboard.\n")


def test_a_connection_that_ends_is_no_exit_1(chairgap, monkeypatch, tmp_path) -> None:
    """The library of the command line took it for the end of the keyboard's input: 'Aborted!'."""

    def ended(*_: object) -> list[str]:
        raise EOFError

    monkeypatch.setattr("chairgap.cli.status.status_lines", ended)
    code, out, err = chairgap("status", ".")
    assert (code, out) == (3, "") and err.startswith("Error inside chairgap: RuntimeError: a connection to")


def test_an_interrupt_in_a_text_that_is_executed_ends_with_130(tmp_path: Path) -> None:
    """Python marks it as never caught, and killed itself by SIGINT at the very end, exit code -2: while the
    program imported, one Ctrl-C in six, since dataclasses are made of such texts."""
    (tmp_path / "interrupted.py").write_text(
        "import sys, types\n"
        "endless = 'import os, signal; os.kill(os.getpid(), signal.SIGINT); [0 for _ in iter(int, 1)]'\n"
        "app = types.ModuleType('chairgap.cli.app')\n"
        "app.main = lambda: exec(endless)\n"
        "sys.modules['chairgap.cli.app'] = app\n"
        "from chairgap.cli.interrupts import run\n"
        "run()\n"
    )
    ended = subprocess.run(
        [sys.executable, "-m", "interrupted"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        preexec_fn=_catches_interrupts,
    )
    assert (ended.returncode, ended.stdout, ended.stderr) == (130, "", "Stopped from the keyboard.\n")


def _catches_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background tests ignore it
