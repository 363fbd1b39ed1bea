"""The command line as another process: terminals and pipes."""

import os
import subprocess
import sys
from pathlib import Path


def test_module_runs_and_a_terminal_without_unicode_stops_nothing(tmp_path: Path) -> None:
    plain = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "chairgap", "tables", "--group", "CN"],
        capture_output=True,
        cwd=tmp_path,
        env=plain,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"cyano" in done.stdout and done.stdout.isascii()


def test_a_closed_pipe_gives_no_traceback(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "chairgap", "tables"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=tmp_path,
    ) as running:
        assert running.stdout and running.stderr
        running.stdout.close()
        err = running.stderr.read()
    assert b"Traceback" not in err and b"Error inside" not in err
