"""Whole runs as a user starts them: killed and gone on with, with any number of workers, on a cluster."""

import multiprocessing
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from distributed import LocalCluster
from running import FEW, STUDY, contents, finish, kill_at_random, start, wait_for_records

from chairgap.batch.folder import store_in
from chairgap.batch.status import status_lines
from chairgap.batch.store import STORE, reading_store
from machine import missing

SEED = 20261128


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The tables of a run without workers and without a stop."""
    folder = tmp_path_factory.mktemp("whole")
    code, _, err = finish(folder, "--workers", "0", "--quiet")
    assert code == 1 and err.startswith("Refused: study.toml, line 12, field 'molecule[3].smiles': refused: ")
    assert len(err.splitlines()) == 2  # one molecule is refused on purpose
    return contents(folder / "out")


@pytest.mark.parametrize("workers", [pytest.param("1", marks=pytest.mark.long), "4"])
def test_any_number_of_workers_gives_the_same_bytes(whole: dict[str, bytes], tmp_path: Path, workers) -> None:
    """With 2 workers: the next test."""
    assert finish(tmp_path, "--workers", workers, "--quiet")[0] == 1
    assert contents(tmp_path / "out") == whole


def test_killed_at_random_moments_and_gone_on_with_gives_the_same_bytes(
    whole: dict[str, bytes], tmp_path: Path
) -> None:
    """The long form, 20 kills of 200 molecules: tests/benchmarks/kill_and_resume.py."""
    rng = random.Random(SEED)
    killed = [kill_at_random(tmp_path, start(tmp_path, "--workers", "2", "--quiet"), rng) for _ in range(2)]
    assert any(killed)
    assert finish(tmp_path, "--workers", "2", "--quiet")[0] == 1
    assert contents(tmp_path / "out") == whole


def test_a_second_run_computes_nothing_and_fresh_starts_over(tmp_path: Path) -> None:
    """A second run with another threshold judges anew, and computes nothing all the same."""
    finish(tmp_path, "--workers", "1", "--quiet", study=FEW)
    first = contents(tmp_path / "out")
    before, gaps = records(tmp_path / "out"), (tmp_path / "out" / "gaps.csv").read_text()
    stricter = FEW + "[verdict]\nundecided_below_kcal_mol = 2.0\n"
    finish(tmp_path, "--workers", "1", "--quiet", study=stricter)
    assert records(tmp_path / "out") == before  # with the CPU seconds of the first run
    assert (tmp_path / "out" / "gaps.csv").read_text().count("undecided") > gaps.count("undecided")
    finish(tmp_path, "--workers", "1", "--quiet", "--fresh", study=FEW)
    assert records(tmp_path / "out") != before
    assert contents(tmp_path / "out") == first


def records(folder: Path) -> list[tuple[int, float, float]]:
    with reading_store(folder / STORE) as store:
        return store.costs()


def test_ctrl_c_leaves_a_store_says_how_to_go_on_and_stops_the_workers(
    whole: dict[str, bytes], tmp_path: Path
) -> None:
    process = start(tmp_path, "--workers", "2")
    wait_for_records(tmp_path / "out", 3, process)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (130, "")
    *left_out, told, stopped = err.splitlines()
    assert len(left_out) == 2 and left_out[0].startswith("Refused: ")
    assert told.endswith("tasks are computed and kept in out. Run the same command again to go on.")
    assert stopped == "Stopped from the keyboard."
    assert not (tmp_path / "out" / "gaps.csv").exists()
    assert finish(tmp_path, "--workers", "2", "--quiet")[0] == 1
    assert contents(tmp_path / "out") == whole


def test_ctrl_c_before_the_workers_are_there_is_reported_in_one_line(tmp_path: Path) -> None:
    """A terminal sends it to every process of the run, those that still read their libraries among them."""
    process = start(tmp_path, "--workers", "2")
    while process.poll() is None and not (tmp_path / "out" / ".running").exists():
        time.sleep(0.02)
    time.sleep(0.5)
    os.killpg(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out, err) == (130, "", "Stopped from the keyboard.\n")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("moment", ["importing", "beginning", "computing"])
def test_six_quick_ctrl_c_are_one_line_and_the_exit_code_of_one(tmp_path: Path, moment: str) -> None:
    """While it stopped, further ones met it with a traceback, or with exit code 1."""
    if moment == "importing" and not Path("/proc/self/maps").exists():
        missing("/proc", "only Linux says what a process has loaded")
    process = start(tmp_path, "--workers", "2")
    if moment == "importing":
        until_it_imports(process)
    elif moment == "beginning":
        while process.poll() is None and not (tmp_path / "out" / ".running").exists():
            time.sleep(0.02)
    else:
        wait_for_records(tmp_path / "out", 2, process)
    for _ in range(6):
        os.killpg(process.pid, signal.SIGINT)
        time.sleep(0.02)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (130, "") and err.endswith("Stopped from the keyboard.\n")
    said_before = 2 if moment == "computing" else 0  # the molecule that is refused on purpose
    assert "Traceback" not in err and err.count("\n") <= 2 + said_before


def until_it_imports(process: subprocess.Popen[str]) -> None:
    """Until the process has loaded a library that the program imports once it handles SIGINT. Python handles
    it otherwise before, and how long it takes to begin depends on what else the machine does."""
    maps = Path(f"/proc/{process.pid}/maps")
    while process.poll() is None and "pydantic_core" not in maps.read_text():
        time.sleep(0.005)


@pytest.mark.parametrize("after_s", [0.0, pytest.param(0.5, marks=pytest.mark.long)])
def test_a_fork_server_that_is_killed_at_the_start_is_an_error_and_the_next_run_goes_on(
    tmp_path: Path, after_s: float
) -> None:
    """It was 'Aborted!' with exit code 1, which means that some molecules were refused."""
    import psutil

    if "forkserver" not in multiprocessing.get_all_start_methods():
        missing("a fork server", "Windows has none")
    process = start(tmp_path, "--workers", "2", "--quiet", study=FEW)
    servers: list[psutil.Process] = []
    while process.poll() is None and not servers:
        with suppress(psutil.Error):
            children = psutil.Process(process.pid).children()
            servers = [child for child in children if any("forkserver" in word for word in child.cmdline())]
        time.sleep(0.01)
    time.sleep(after_s)
    servers[0].kill()
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (3, "") and err.count("\n") == 1
    assert err.startswith("Error: The process that begins the workers has ended, or was killed.")
    assert finish(tmp_path, "--workers", "2", "--quiet", study=FEW)[0] == 0


def test_a_killed_program_takes_its_workers_with_it(tmp_path: Path) -> None:
    process = start(tmp_path, "--workers", "2", "--quiet")
    wait_for_records(tmp_path / "out", 2, process)
    family = descendants(process.pid)
    assert len(family) >= 2
    process.send_signal(signal.SIGKILL)
    process.wait()
    until = time.monotonic() + 60.0
    while any(map(alive, family)) and time.monotonic() < until:
        time.sleep(0.1)
    assert not any(map(alive, family))


def descendants(pid: int) -> list[int]:
    import psutil

    return [child.pid for child in psutil.Process(pid).children(recursive=True)]


def alive(pid: int) -> bool:
    import psutil

    return psutil.pid_exists(pid) and psutil.Process(pid).status() != psutil.STATUS_ZOMBIE


def test_two_runs_in_one_folder_do_not_meet(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with store_in(tmp_path / "out", fresh=False):
        code, out, err = finish(tmp_path, "--workers", "1")
    assert (code, out) == (2, "")
    assert err == (
        "Error: out: Another run is working in this folder. "
        "Wait for it ('chairgap status' shows how far it is), "
        "or name another folder with --output.\n"
    )


def test_status_while_it_runs_when_stopped_and_at_the_end(tmp_path: Path) -> None:
    process = start(tmp_path, "--workers", "1", "--quiet", study=FEW)
    wait_for_records(tmp_path / "out", 2, process)
    running = "\n".join(status_lines(tmp_path / "out"))
    process.send_signal(signal.SIGKILL)
    process.wait()
    stopped = "\n".join(status_lines(tmp_path / "out"))
    finish(tmp_path, "--workers", "2", "--quiet", study=FEW)
    ended = "\n".join(status_lines(tmp_path / "out"))
    assert "Study: A few\nRunning since " in running and ": computing " in running
    assert f"process {process.pid}: " in running
    assert "Not running, and not finished: run the same command again to go on." in stopped
    assert "\nFinished 20" in ended and " 0 to do." in ended
    assert "Cost: 0." in ended and "100,000 tasks like these" in ended


def test_status_of_a_folder_without_a_store(tmp_path: Path) -> None:
    found = subprocess.run(
        [sys.executable, "-m", "chairgap", "status", "."], cwd=tmp_path, capture_output=True, text=True
    )
    assert (found.returncode, found.stdout) == (2, "")
    assert found.stderr == (
        "Error: .: No study was run in this folder: it has no store. Name the output folder of a study.\n"
    )


# --- limits and trouble ------------------------------------------------------------------------------------


def test_a_molecule_that_takes_too_long_is_reported_and_the_others_go_on(tmp_path: Path) -> None:
    """The silyl ether has thousands of rotamers and takes far longer, fluorocyclohexane a moment."""
    study = (
        'title = "Slow"\n[limits]\ntime_s = 3.0\n'
        '[[molecule]]\nname = "slow"\nsubstituents = ["1 up OSi(CH(CH3)2)3"]\n'
        '[[molecule]]\nname = "quick"\nsubstituents = ["1 up F"]\n'
    )
    code, out, _ = finish(tmp_path, "--workers", "2", study=study)
    assert code == 1
    assert "! failed: slow: it took more than 3 CPU seconds. Raise time_s in [limits]" in " ".join(
        out.split()
    )
    rows = (tmp_path / "out" / "gaps.csv").read_text().splitlines()
    assert rows[1].startswith("quick,done,") and rows[2].startswith("slow,failed,")


@pytest.mark.long
def test_a_disk_that_is_full_is_reported_and_the_next_run_goes_on(
    whole: dict[str, bytes], tmp_path: Path
) -> None:
    """A bound on the size of a file, set for the process, fails a write as a full disk does."""
    (tmp_path / "study.toml").write_text(STUDY)
    script = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000)); "
        "sys.argv = ['chairgap', 'study', 'study.toml', '--output', 'out', '--workers', '0', '--quiet']; "
        "from chairgap.cli.app import main; main()"
    )
    found = subprocess.run([sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True)
    assert found.returncode == 3 and "Traceback" not in found.stderr
    # What the study leaves out is said before anything is computed.
    assert "\nError: out/computed.sqlite: The store cannot be written (" in found.stderr
    assert found.stderr.endswith("make room, then run the same command again.\n")
    assert records(tmp_path / "out")  # what was computed before is kept
    assert finish(tmp_path, "--workers", "0", "--quiet")[0] == 1
    assert contents(tmp_path / "out") == whole


# --- a cluster ---------------------------------------------------------------------------------------------


@pytest.fixture
def cluster() -> Iterator[LocalCluster]:
    """A real scheduler and two workers with nannies, each a process of its own, on loopback."""
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
    ) as opened:
        yield opened


@pytest.mark.long
def test_a_cluster_one_of_whose_workers_is_killed_gives_the_same_bytes(
    whole: dict[str, bytes], tmp_path: Path, cluster: LocalCluster
) -> None:
    process = start(tmp_path, "--cluster", cluster.scheduler_address, "--quiet")
    wait_for_records(tmp_path / "out", 4, process)
    assert process.poll() is None
    victim = next(iter(cluster.workers.values())).process.pid
    os.kill(victim, signal.SIGKILL)
    _, err = process.communicate(timeout=300)
    assert process.returncode == 1, err
    assert contents(tmp_path / "out") == whole


def test_a_cluster_that_does_not_answer_is_reported(chairgap, tmp_path: Path) -> None:
    Path("study.toml").write_text(STUDY)
    code, out, err = chairgap("study", "study.toml", "--output", "out", "--cluster", "tcp://127.0.0.1:9")
    assert (code, out) == (2, "")
    assert err.startswith("Error: command line, field '--cluster': Nothing answers at 'tcp://127.0.0.1:9' (")
    assert not (tmp_path / "out").exists()
