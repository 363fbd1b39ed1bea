"""What ends a command from outside: Ctrl-C in every phase, and a connection that ends."""

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
