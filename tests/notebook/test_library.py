"""A library: nothing of the command line is loaded, nothing is printed, no signal handler is set, and all of
it works in a thread. Each in a fresh interpreter."""

import subprocess
import sys
from pathlib import Path

import pytest

STUDY = """title = "Quiet"
[search]
effort = "quick"
[conditions]
temperature_k = 25.0
[[molecule]]
name = "fluorocyclohexane"
smiles = 'FC1CCCCC1'
[[molecule]]
name = "benzene"
smiles = 'c1ccccc1'
"""
KEY = "item,molecule,quantity,claimed,unit\n1,1 up CH3,gap,1.74,kcal/mol\n2,1 up CH3,gap,9,kcal/mol\n"
# Put before the work: every name that can be caught is asked for its handler before and after.
FRAME = """
import signal, sys, threading
handlers = lambda: {number: signal.getsignal(number) for number in signal.valid_signals()}
before = handlers()
import chairgap
failed = []
def work():
    try:
        WORK
    except BaseException as error:
        failed.append(error)
if __name__ == "__main__":
    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    if failed:
        raise failed[0]
    assert handlers() == before, "a signal handler was left behind"
    shown = sorted(name for name in sys.modules if name.split(".")[0] in ("typer", "rich", "click"))
    shown += sorted(name for name in sys.modules if name.startswith("chairgap.cli"))
    assert not shown, shown
"""


def done(folder: Path, work: str) -> subprocess.CompletedProcess[str]:
    (folder / "study.toml").write_text(STUDY)
    (folder / "key.csv").write_text(KEY)
    (folder / "work.py").write_text(FRAME.replace("WORK", work))
    return subprocess.run(
        [sys.executable, "work.py"], cwd=folder, capture_output=True, text=True, timeout=300
    )


@pytest.mark.parametrize(
    "work",
    [
        "assert len(chairgap.run_study('study.toml', output='out')) == 1",
        "assert chairgap.run_study('study.toml', output='out', workers=1).notes",
        "chairgap.compare_chairs('1 up CH3', effort='quick')._repr_html_()",
        "assert chairgap.check_key('key.csv', output='out').counts['ERROR'] == 1",
        "assert chairgap.make_handout('study.toml', pdf=False, questions=1).paths",
        pytest.param(
            "assert chairgap.compute_flip('1 up F', step_deg=45.0, output='out').rates",
            marks=pytest.mark.long,
        ),
    ],
)
def test_work_in_a_thread_is_silent_and_leaves_signals_alone(tmp_path: Path, work: str) -> None:
    found = done(tmp_path, work)
    assert (found.returncode, found.stdout, found.stderr) == (0, "", "")


def test_the_tests_above_can_fail(tmp_path: Path) -> None:
    for work, words in (
        ("import chairgap.cli.app", "chairgap.cli.app"),
        ("raise ValueError('in a thread')", "in a thread"),
    ):
        found = done(tmp_path, work)
        assert found.returncode == 1 and words in found.stderr
