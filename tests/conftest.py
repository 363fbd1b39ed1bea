"""For all tests: no property test is judged by how fast the machine is, and files stay in one process."""

import hashlib
import os
import shutil
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from xdist.scheduler import LoadScopeScheduling

from chairgap.minimise.compiled.building import compiler
from chairgap.minimise.compiled.library import library
from machine import missing

# No test reads or fills the cache of parts of whoever runs it; each has one of its own, made when it is used.
_CACHES = Path(tempfile.mkdtemp(prefix="chairgap-tests-"))
os.environ["CHAIRGAP_CACHE"] = str(_CACHES / "shared")

settings.register_profile("untimed", settings(deadline=None))
settings.load_profile("untimed")


# They take longest and begin first, so that no process works alone at the end.
_FIRST = (
    "packaging/test_wheel.py",
    "page/test_looks.py",
    "flip",
    "report/test_large_studies.py",
    "files/test_odd_files.py",
    "batch/test_runs.py",
)


def _group(test: str) -> str:
    path = test.split("::")[0].removeprefix("tests/")
    return "flip" if path.startswith("flip/") else path


class _WholeFiles(LoadScopeScheduling):
    """The tests of a file, and all of `flip/`, go to one process: what they share is computed once
    (`pipeline_helpers`, `flip_helpers`). The groups of xdist 3.8 have no effect with pytest 9.2."""

    def _split_scope(self, nodeid: str) -> str:
        return _group(nodeid)


def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> _WholeFiles:
    return _WholeFiles(config, log)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    places = {group: place for place, group in enumerate(_FIRST)}
    items.sort(key=lambda item: places.get(_group(item.nodeid), len(_FIRST)))


def pytest_unconfigure() -> None:
    shutil.rmtree(_CACHES, ignore_errors=True)


@pytest.fixture(autouse=True)
def own_cache(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    name = hashlib.sha256(request.node.nodeid.encode()).hexdigest()
    monkeypatch.setenv("CHAIRGAP_CACHE", str(_CACHES / name))


def pytest_runtest_setup(item: pytest.Item) -> None:
    """A machine without the compiled force field has to be one without a compiler, and CI has one."""
    if item.get_closest_marker("compiled") and library() is None and compiler() is None:
        missing("a C compiler", "Debian: apt-get install gcc libc6-dev")


@pytest.fixture
def chairgap(monkeypatch, tmp_path, capsys):
    """Runs `chairgap WORDS` in an empty folder and returns (exit code, stdout, stderr): the program as a user
    runs it, inside the test process."""
    from chairgap.cli import app as cli

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
