"""The program as a user runs it, inside the test process."""

import sys

import pytest

from chairgap.cli import app as cli


@pytest.fixture
def chairgap(monkeypatch, tmp_path, capsys):
    """Runs `chairgap WORDS` in an empty folder and returns (exit code, stdout, stderr)."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("COLUMNS", raising=False)

    def run(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["chairgap", *words])
        with pytest.raises(SystemExit) as left:
            cli.main()
        shown = capsys.readouterr()
        code = left.value.code
        assert "Traceback" not in shown.err or "--debug" in words
        return (code if isinstance(code, int) else 0), shown.out, shown.err

    return run
