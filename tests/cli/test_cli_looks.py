"""What the terminal gets: the width, no colours where none are wanted, plain letters where there are no
others, commands in the order in which a newcomer needs them."""

import io
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from chairgap.cli.app import COMMANDS
from chairgap.cli.bar import progress_bar
from chairgap.records import WRITING, RunState, Study
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study
from chairgap.text import typeset

WORDS = ("molecule", "1 up Cl", "--effort", "quick")
RUN = "import sys; from chairgap.cli.app import main; sys.argv = ['chairgap', *sys.argv[1:]]; main()"


def run(folder: Path, **environment: str) -> bytes:
    kept = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "NO_COLOR")}
    command = [sys.executable, "-c", RUN, *WORDS]
    return subprocess.run(command, cwd=folder, env=kept | environment, capture_output=True, check=True).stdout


def on_a_terminal(folder: Path, **environment: str) -> str:
    """What a terminal of 100 columns gets."""
    kept = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
    kept |= {"COLUMNS": "100", "TERM": "xterm", **environment}
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-c", RUN, *WORDS], cwd=folder, env=kept, stdout=theirs, stderr=subprocess.DEVNULL
    ) as process:
        os.close(theirs)
        read = bytearray()
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
            if not piece:
                break
            read += piece
        assert process.wait() == 0
    os.close(ours)
    return read.decode()


def test_a_terminal_gets_colours_and_no_color_takes_them_away(tmp_path: Path) -> None:
    coloured = on_a_terminal(tmp_path)
    assert "\x1b[31m" in coloured or "\x1b[1;31m" in coloured  # MMFF94 differs for chlorine
    plain = on_a_terminal(tmp_path, NO_COLOR="1")
    assert "31m" not in plain and "x MMFF94 differs" in plain


def test_a_pipe_gets_the_same_words_without_colours_in_a_hundred_columns(tmp_path: Path) -> None:
    text = run(tmp_path, PYTHONIOENCODING="utf-8").decode()
    assert "\x1b" not in text and "x MMFF94 differs" in text and typeset("-0.10") in text
    tables = text.partition("A computed preference")[0]
    assert 80 < max(map(len, tables.splitlines())) <= 100


def test_plain_letters_where_the_stream_has_no_others(tmp_path: Path) -> None:
    text = run(tmp_path, PYTHONIOENCODING="ascii").decode("ascii")
    assert "+- 0.11 kcal/mol" in text and "G(1a) - G(1e)" in text and "\u2013" not in text
    assert not re.search(r"\S\?|\?\S", text)  # no letter without a plain one; '? undecided' is a mark
    assert "1H NMR" in text and "x 10^-" in text  # the engines agree within 10^-14


@pytest.mark.parametrize("width", [80, 120])
def test_the_help_lists_commands_for_a_newcomer_and_cuts_no_line(chairgap, monkeypatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    code, out, _ = chairgap("--help")
    commands = out.partition("Commands:")[2]
    assert code == 0 and "..." not in commands
    listed = [line.split()[0] for line in commands.splitlines() if line.startswith("  ")]
    assert listed[: len(COMMANDS)] == list(COMMANDS)
    assert listed[:3] == ["demo", "molecule", "study"]
    code, out, _ = chairgap("key", "--help")
    assert code == 0 and "..." not in out.partition("Commands:")[2]


def test_long_work_says_when_it_writes_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "s.toml"
    file.write_text(
        'title = "s"\n[search]\neffort = "quick"\n[[molecule]]\nname = "f"\nsmiles = "FC1CCCCC1"\n'
    )
    study: Study = read_study(file)
    seen: list[RunState] = []
    with ran_in_folder(study, tmp_path / "out", RunOptions(workers=0), seen.append):
        pass
    assert seen[-1].stage == WRITING == "writing files" and seen[-1].total == 1
    shown = io.StringIO()
    monkeypatch.setattr(sys, "stderr", shown)
    monkeypatch.setattr("chairgap.cli.bar._LINE_EVERY_S", 0.0)
    with progress_bar() as progress:
        progress(seen[-1])
    assert shown.getvalue().startswith("writing files: ")
