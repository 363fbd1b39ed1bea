"""Clusters that fail: what is no scheduler, one without workers, one that is lost; and TLS."""

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path
from shutil import which
from threading import Timer
from types import SimpleNamespace

import pytest
import work
from distributed.comm import CommClosedError
from running import FEW, contents, finish, records_in, start, wait_for_records

from chairgap.batch import cluster, scheduler
from chairgap.batch.cluster import Cluster
from chairgap.batch.executors import Job
from chairgap.errors import EngineError, InputError
from chairgap.records import Study
from chairgap.study.typed import study_as_typed
from machine import missing

HERE = Path(__file__).parent
# What a module of the program is to a worker that lacks it.
WITHOUT_CHAIRGAP = (
    "import sys; sys.modules['chairgap'] = None; from distributed.cli.dask_worker import main; main()"
)


class Processes:
    """A scheduler and workers of `dask`, each a process of its own, on loopback."""

    def __init__(self, stack: ExitStack, folder: Path, **settings: str):
        self._stack, self._log = stack, (folder / "dask.log").open("ab")
        self._env = os.environ | {"PYTHONPATH": os.pathsep.join([*sys.path, str(HERE)])} | settings
        self._protocol = "tls" if settings else "tcp"
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.address = f"{self._protocol}://127.0.0.1:{free.getsockname()[1]}"
        self.scheduler = self._start(
            "-m", "distributed.cli.dask_scheduler", "--no-dashboard", "--no-show",
            "--host", self.address.rsplit(":", 1)[0], "--port", self.address.rsplit(":", 1)[1],
        )  # fmt: skip

    def worker(self, *program: str) -> subprocess.Popen[bytes]:
        program = program or ("-m", "distributed.cli.dask_worker")
        return self._start(*program, self.address, "--nthreads", "1", "--no-nanny", "--no-dashboard")

    def _start(self, *words: str) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(
            [sys.executable, *words], env=self._env, stdout=self._log, stderr=self._log
        )
        self._stack.callback(process.wait)
        self._stack.callback(process.kill)
        return process


@pytest.fixture
def dask(tmp_path: Path) -> Iterator[Callable[..., Processes]]:
    with ExitStack() as stack:
        yield lambda **settings: Processes(stack, tmp_path, **settings)


@pytest.fixture
def shared() -> Study:
    return study_as_typed("CC1CCCCC1").shared


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same bounds, shorter."""
    monkeypatch.setattr(scheduler, "_PATIENCE_S", 3.0)
    monkeypatch.setattr(scheduler, "_ASKED_EVERY_S", 0.5)
    monkeypatch.setattr(cluster, "_CLOSES_WITHIN_S", 1.0)


# --- what is no scheduler ----------------------------------------------------------------------------------


@contextmanager
def server(says: bytes, *, then_closes: bool) -> Iterator[str]:
    """Accepts whoever comes, reads a little, and says the same to all."""
    with socket.create_server(("127.0.0.1", 0)) as listening, ExitStack() as held:

        def serve() -> None:
            while True:
                try:
                    connection, _ = listening.accept()
                except OSError:
                    return
                if says:
                    connection.recv(8)
                    connection.sendall(says)
                if then_closes:
                    connection.close()
                else:
                    held.callback(connection.close)

        threading.Thread(target=serve, daemon=True).start()
        yield f"tcp://127.0.0.1:{listening.getsockname()[1]}"
        listening.shutdown(socket.SHUT_RDWR)


@pytest.mark.parametrize(
    ("says", "then_closes", "words"),
    [
        (b"", False, "says nothing that a Dask scheduler would say, or nothing at all"),
        (
            b"HTTP/1.1 400 Bad Request\r\n\r\n",
            True,
            "is no Dask scheduler. Give the address of the scheduler",
        ),
        (b"SSH-2.0-OpenSSH_9.2p1\r\n", False, "is no Dask scheduler"),
        (b"\0" * 4096, False, "is no Dask scheduler"),
        (b"\xff" * 4096, False, "is no Dask scheduler"),
        (b"", True, "is no Dask scheduler"),
    ],
    ids=["silent", "http", "ssh", "zeros", "ones", "closes"],
)
def test_what_is_no_scheduler_is_said_to_be_none(
    monkeypatch: pytest.MonkeyPatch, says: bytes, then_closes: bool, words: str
) -> None:
    monkeypatch.setattr(scheduler, "_ANSWERS_WITHIN_S", 3.0)
    with server(says, then_closes=then_closes) as address, pytest.raises(InputError) as caught:
        Cluster(address)
    assert words in caught.value.message and address in caught.value.message
    assert caught.value.place.field == "--cluster"


def test_the_whole_program_says_it_in_one_line(tmp_path: Path) -> None:
    """A silent server held it for ever; another one's answer was an internal error, with a traceback of the
    library below."""
    with server(b"", then_closes=False) as address:
        code, out, err = finish(tmp_path, "--cluster", address, study=FEW)
    assert (code, out) == (2, "") and err.startswith(
        "Error: command line, field '--cluster': What listens at"
    )
    assert err.count("\n") == 1 and not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "address",
    ["foo", "127.0.0.1", "http://127.0.0.1:8787", "inproc://1", "tcp://", "://", "tcp://h:1/status"],
)
def test_what_is_no_address_is_refused_at_once(address: str) -> None:
    with pytest.raises(InputError, match="This is no address of a Dask scheduler"):
        Cluster(address)


def test_a_scheduler_without_workers_is_said_to_have_none(dask, impatient: None) -> None:
    processes = dask()
    until_it_listens(processes)
    with pytest.raises(InputError, match="has no workers; they were waited for"):
        Cluster(processes.address)


def until_it_listens(processes: Processes) -> None:
    host, port = processes.address.split("//")[1].split(":")
    until = time.monotonic() + 60.0
    while time.monotonic() < until and processes.scheduler.poll() is None:
        with socket.socket() as tried:
            if tried.connect_ex((host, int(port))) == 0:
                return
        time.sleep(0.1)
    raise AssertionError("the scheduler does not begin")


# --- a cluster that is lost while it works -----------------------------------------------------------------


def signalled(number: int, *processes: subprocess.Popen[bytes]) -> None:
    for process in processes:
        process.send_signal(number)


@pytest.mark.parametrize(
    ("which_one", "number", "words"),
    [
        ("scheduler", signal.SIGKILL, "is gone, or has given the work up"),
        pytest.param(
            "scheduler", signal.SIGSTOP, "has not answered for half a minute", marks=pytest.mark.long
        ),
        pytest.param("worker", signal.SIGKILL, "has had no worker for half a minute", marks=pytest.mark.long),
    ],
)
def test_what_is_lost_while_it_works_is_said(
    dask, shared: Study, impatient: None, monkeypatch: pytest.MonkeyPatch, which_one, number, words
) -> None:
    """Each of these was waited for without an end."""
    monkeypatch.setattr(scheduler, "_ANSWERS_WITHIN_S", 20.0)
    processes = dask()
    worker = processes.worker()
    until_it_listens(processes)
    monkeypatch.setattr(scheduler, "_PATIENCE_S", 30.0)
    with closing(Cluster(processes.address)) as executor:
        monkeypatch.setattr(scheduler, "_PATIENCE_S", 3.0)
        finished = executor.run(Job(work=work.where, shared=shared, time_s=600.0), range(1000))
        next(finished)
        signalled(number, processes.scheduler if which_one == "scheduler" else worker)
        with pytest.raises(EngineError, match=words) as caught:
            list(finished)
    assert caught.value.message.endswith("see to the cluster, then run the same command again.")


@pytest.mark.long
def test_workers_that_hang_are_not_waited_for_without_end(
    dask, shared: Study, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "_RESTARTS_S", 2.0)
    processes = dask()
    worker = processes.worker()
    until_it_listens(processes)
    with closing(Cluster(processes.address)) as executor:
        finished = executor.run(Job(work=work.where, shared=shared, time_s=0.1), range(1000))
        next(finished)
        signalled(signal.SIGSTOP, worker)
        with pytest.raises(EngineError, match=r"Nothing has come back from the 1 threads of the cluster for"):
            list(finished)


@pytest.mark.long
def test_a_run_whose_workers_are_gone_goes_on_with_others(dask, tmp_path: Path) -> None:
    """The whole program, with the bounds it has: one line within half a minute, and nothing is lost."""
    processes = dask()
    worker = processes.worker()
    process = start(tmp_path, "--cluster", processes.address, "--quiet", study=FEW)
    wait_for_records(tmp_path / "out", 2, process)
    signalled(signal.SIGKILL, worker, processes.scheduler)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (3, "") and err.count("\n") == 1 and err.startswith("Error: ")
    assert records_in(tmp_path / "out") >= 2
    assert finish(tmp_path, "--workers", "0", "--quiet", study=FEW)[0] == 0
    assert finish(tmp_path, "--workers", "0", "--quiet", study=FEW, output="peace")[0] == 0
    assert contents(tmp_path / "out") == contents(tmp_path / "peace")


def test_a_worker_without_chairgap_is_named_as_such(dask, shared: Study) -> None:
    processes = dask()
    processes.worker("-c", WITHOUT_CHAIRGAP)
    until_it_listens(processes)
    with (
        closing(Cluster(processes.address)) as executor,
        pytest.raises(
            EngineError, match=r"cannot do its work \(ModuleNotFoundError.* Install the same chairgap"
        ),
    ):
        list(executor.run(Job(work=work.double, shared=shared, time_s=60.0), range(3)))


def test_work_may_take_as_long_as_its_clock_lets_it(monkeypatch: pytest.MonkeyPatch, shared: Study) -> None:
    """It was given up after a few times its CPU seconds, a part of what it may take on the clock: one hanging
    molecule would have ended the whole study each time. No Dask here: a work that comes back late."""
    monkeypatch.setattr(cluster, "_RESTARTS_S", 0.0)
    monkeypatch.setattr(cluster, "_LOOK_EVERY_S", 0.05)
    job = Job(work=work.double, shared=shared, time_s=0.1)
    late = SimpleNamespace(key="late", result=lambda timeout: 2)
    late.add_done_callback = lambda call: Timer(0.9 * job.clock_s, call, (late,)).start()
    assert list(without_dask(late).run(job, [1])) == [(1, 2)]


def test_a_scheduler_that_ends_while_a_value_is_fetched_is_gone(shared: Study) -> None:
    """A worker was blamed, and other libraries asked for, when it ended after it had said 'finished'."""

    def result(timeout: float) -> None:
        raise CommClosedError("in <TCP (closed) ConnectionPool.gather>: Connection reset by peer")

    lost = SimpleNamespace(key="lost", result=result)
    lost.add_done_callback = lambda call: call(lost)
    with pytest.raises(EngineError, match="is gone, or has given the work up"):
        list(without_dask(lost).run(Job(work=work.double, shared=shared, time_s=0.1), [1]))


def without_dask(future: SimpleNamespace) -> Cluster:
    """A cluster of one thread whose only work is this future."""
    executor = object.__new__(Cluster)
    executor._client = SimpleNamespace(status="running", submit=lambda *_, **__: future)
    executor._scheduler = SimpleNamespace(threads=1, check=lambda: None)
    return executor


# --- TLS ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def certificates(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Dask's settings, by its environment variables, with an authority and one certificate for all parts."""
    folder = tmp_path_factory.mktemp("tls")
    if which("openssl") is None:
        missing("openssl", "the program that makes certificates is not on the path.")
    for words in (
        "req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=test-authority -keyout ca.key -out ca.pem",
        "req -newkey rsa:2048 -nodes -subj /CN=test-part -keyout part.key -out part.csr",
        "x509 -req -in part.csr -CA ca.pem -CAkey ca.key -CAcreateserial -days 2 -out part.pem",
    ):
        subprocess.run(["openssl", *words.split()], cwd=folder, check=True, capture_output=True)
    named = {"DASK_DISTRIBUTED__COMM__TLS__CA_FILE": f"{folder}/ca.pem"}
    for part in ("SCHEDULER", "WORKER", "CLIENT"):
        named[f"DASK_DISTRIBUTED__COMM__TLS__{part}__CERT"] = f"{folder}/part.pem"
        named[f"DASK_DISTRIBUTED__COMM__TLS__{part}__KEY"] = f"{folder}/part.key"
    return named | {"DASK_DISTRIBUTED__COMM__REQUIRE_ENCRYPTION": "True"}


@pytest.mark.long
def test_a_study_runs_with_tls_and_is_refused_without_it(
    dask, certificates: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    processes = dask(**certificates)
    processes.worker()
    until_it_listens(processes)
    # Without certificates, and without TLS: not let in, and said.
    code, _, err = finish(tmp_path, "--cluster", processes.address, study=FEW)
    assert code == 2 and "cannot be spoken to with TLS" in err and err.count("\n") == 1
    code, _, err = finish(tmp_path, "--cluster", processes.address.replace("tls", "tcp"), study=FEW)
    assert code == 2 and "tls://" in err and err.count("\n") == 1
    for name, value in certificates.items():
        monkeypatch.setenv(name, value)
    code, _, err = finish(tmp_path, "--cluster", processes.address, "--quiet", study=FEW)
    assert (code, err) == (0, "")
