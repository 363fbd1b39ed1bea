"""What each command loads: no library that it does not use (each in its own process; nothing is timed)."""

import inspect
import os
import subprocess
import sys
from pathlib import Path

import pytest

from chairgap.cli.app import COMMANDS, command_of

KEY = Path(__file__).parents[2] / "configs" / "demo_key.csv"
# Every library that pyproject.toml names, extras included, but typer, which reads the command line.
LIBRARIES = {
    "distributed",
    "filelock",
    "jinja2",
    "matplotlib",
    "msgspec",
    "networkx",
    "numpy",
    "openmm",
    "openpyxl",
    "pandas",
    "pebble",
    "psutil",
    "pyarrow",
    "pydantic",
    "pyscf",
    "python_calamine",
    "rdkit",
    "rich",
    "scipy",
    "tblite",
    "threadpoolctl",
}
# Newer typer checks the values of options by pydantic.
OPTIONS = {"numpy", "pydantic"}
MAY_LOAD = {
    ("--version",): set(),
    ("--help",): set(),
    ("tabels",): OPTIONS,
    ("study", "--help"): OPTIONS,
    ("molecule", "--help"): OPTIONS,
    ("demo", "--help"): OPTIONS,
    ("key", "--help"): OPTIONS | {"rdkit", "rich"},
    # The fragments of a table are read as chemistry.
    ("tables", "--group", "OMe"): OPTIONS | {"rdkit", "rich"},
    ("tables", "--solvents"): OPTIONS | {"rdkit", "rich"},
    # The annotated copy of a key is a workbook.
    ("key", "check", str(KEY)): OPTIONS | {"filelock", "rdkit", "rich", "openpyxl"},
    ("key", "export", str(KEY)): OPTIONS | {"filelock", "rdkit", "rich"},
    ("status", "."): OPTIONS | {"filelock", "msgspec"},
}
CODE = """
import sys
from chairgap.cli.app import main
try:
    main()
finally:
    print("loaded:", *sorted({name.partition(".")[0] for name in sys.modules}))
"""


@pytest.mark.parametrize("words", MAY_LOAD, ids=lambda words: " ".join(words).replace(str(KEY.parent), ""))
def test_a_command_loads_only_what_it_uses(words: tuple[str, ...], tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", CODE, *words],
        cwd=tmp_path,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    assert "Traceback" not in done.stderr and "Error inside" not in done.stderr
    *shown, last = done.stdout.splitlines()
    assert last.startswith("loaded:") and (shown or done.stderr)
    assert set(last.split()) & LIBRARIES <= MAY_LOAD[words]


@pytest.mark.parametrize("name", COMMANDS)
def test_the_line_of_the_help_is_that_of_the_command(name: str) -> None:
    assert inspect.cleandoc(command_of(name).help) == COMMANDS[name]
