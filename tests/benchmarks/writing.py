"""What writing costs, and what the program holds while it writes, over made records: a few are computed.

    PYTHONPATH=tests python tests/benchmarks/writing.py [--molecules 132] [--workers 2]
    PYTHONPATH=tests python tests/benchmarks/writing.py --memory 2000 4000 8000

The records of a few molecules stand in a store as often as there are molecules, each under a name of its
own. A study is then written in a process of its own, watched from outside: by the program alone, by workers,
again with nothing new, and without the page. CPU seconds of the program are what no further worker can share.
"""

import argparse
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field, replace
from itertools import cycle
from pathlib import Path

import psutil

from chairgap.batch.content import plan_key
from chairgap.batch.executors import InProcess
from chairgap.batch.stages import compute, plan
from chairgap.batch.store import PLAN, STORE, Store, open_store
from chairgap.model.assessment import shipped_pairs
from chairgap.records import MoleculeRequest, Planned, Record, RunState, Study
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study

SEED = """title = "Made for the benchmark of writing"
[search]
effort = "quick"
[[pattern]]
groups = ["CH3", "OH", "Cl"]
carbons = [1, 2]
"""
LOOK_EVERY_S = 0.1


def seed(folder: Path) -> Store:
    """A few molecules, computed."""
    study, store = seed_study(folder), open_store(None)
    plan(study, store, InProcess(), lambda state: None)
    compute(study, store, InProcess(), lambda state: None)
    return store


def seed_study(folder: Path) -> Study:
    (folder / "study.toml").write_text(SEED)
    return read_study(folder / "study.toml")


def made_study(folder: Path, molecules: int, *, page: bool) -> Study:
    """A study of so many molecules; what they are stands in the store alone."""
    study = seed_study(folder)
    requests = tuple(
        MoleculeRequest(name=f"made {n}", place=study.requests[0].place, smiles="CC1CCCCC1")
        for n in range(molecules)
    )
    return replace(study, requests=requests, settings=replace(study.settings, page=page))


def fill(few: Store, study: Study, output: Path) -> None:
    """The store of a made study."""
    output.mkdir()
    store = open_store(output / STORE)
    entries = [
        (entry.molecule, entry.record)
        for entry in few.entries()
        if isinstance(entry.molecule, Planned) and entry.record is not None
    ]
    for planned, _ in entries:
        for task in planned.parts:
            if (record := few.record(task.key)) is not None:
                store.put(task.key, record)
    store.begin_plan()
    for number, (planned, record) in zip(range(len(study.requests)), cycle(entries), strict=False):
        put(store, planned, record, number)
    pairs = shipped_pairs(study.tables, study.settings)
    key = plan_key(study.requests, study.tables.estimate, study.settings, pairs)
    store.note(PLAN, store.plan_mark(key))
    store.close()


def put(store: Store, planned: Planned, record: Record, number: int) -> None:
    task = replace(planned.task, key=f"{planned.task.key} {number}")
    store.add_entries([replace(planned, name=f"{planned.name} no. {number}", task=task)])
    store.put(task.key, record)


@dataclass(kw_only=True)
class Watched:
    """CPU seconds and memory of a program and of its workers, seen from outside."""

    wall_s: float = 0.0
    program_s: float = 0.0
    workers: dict[int, float] = field(default_factory=dict)
    program_mb: float = 0.0

    @property
    def cpu_s(self) -> float:
        return self.program_s + sum(self.workers.values())

    def look(self, program: psutil.Process) -> None:
        try:
            self.program_mb = max(self.program_mb, program.memory_info().rss / 1e6)
            self.program_s = spent_s(program)
            for child in program.children(recursive=True):
                self.workers[child.pid] = spent_s(child)
        except psutil.Error:
            return  # one of them has just ended


def spent_s(process: psutil.Process) -> float:
    times = process.cpu_times()
    return times.user + times.system


def written(folder: Path, molecules: int, output: str, workers: int, *, page: bool = True) -> Watched:
    """A made study written in a process of its own."""
    command = [sys.executable, __file__, "--one", str(folder), output, str(molecules), str(workers)]
    began, watched = time.perf_counter(), Watched()
    process = subprocess.Popen([*command, *([] if page else ["--no-page"])])
    program = psutil.Process(process.pid)
    while process.poll() is None:
        watched.look(program)
        time.sleep(LOOK_EVERY_S)
    watched.wall_s = time.perf_counter() - began
    if process.returncode:
        sys.exit("The study could not be written.")
    return watched


def one(folder: Path, output: str, molecules: int, workers: int, *, page: bool) -> None:
    """In the process of its own."""

    def progress(state: RunState) -> None:
        return

    study = made_study(folder, molecules, page=page)
    with ran_in_folder(study, folder / output, RunOptions(workers=workers), progress):
        return


def size_kb(folder: Path, *names: str) -> float:
    return sum((folder / name).stat().st_size for name in names if (folder / name).exists()) / 1000.0


def costs(folder: Path, few: Store, molecules: int, workers: int) -> None:
    for output, page in (("alone", True), ("shared", True), ("tables", False)):
        fill(few, made_study(folder, molecules, page=page), folder / output)
    alone = written(folder, molecules, "alone", 0)
    shared = written(folder, molecules, "shared", workers)
    again = written(folder, molecules, "shared", workers)
    tables = written(folder, molecules, "tables", 0, page=False)
    for name in ("gaps.csv", "conformers.sdf", "report.md", "references.bib", "page.html"):
        assert (folder / "alone" / name).read_bytes() == (folder / "shared" / name).read_bytes(), name
    print(f"{molecules} molecules, CPU seconds of the program and in all, seconds on the clock:")
    for words, it in (
        ("this process alone", alone),
        (f"{workers} workers", shared),
        ("nothing new", again),
        ("tables only, this process alone", tables),
    ):
        print(f"  {words:33}{it.program_s:8.2f}{it.cpu_s:8.2f}{it.wall_s:8.2f}")
    print(f"program with workers / alone: {shared.program_s / alone.program_s:.2f}")
    print(f"in all with workers / alone: {shared.cpu_s / alone.cpu_s:.2f}")
    print(f"nothing new / first: {again.cpu_s / alone.cpu_s:.2f}")
    print(f"tables only / with the page: {tables.cpu_s / alone.cpu_s:.2f}")
    for output in ("alone", "tables"):
        found = size_kb(folder / output, "page.html", "conformers.sdf", "conformers.sdf.gz")
        print(f"page and structures, {output}: {found / molecules:.1f} kB a molecule")


def memory(folder: Path, few: Store, counts: list[int], workers: int) -> None:
    peaks = []
    for molecules in counts:
        output = f"memory{molecules}"
        fill(few, made_study(folder, molecules, page=False), folder / output)
        found = written(folder, molecules, output, workers, page=False)
        peaks.append(found.program_mb)
        per = 1000.0 * found.program_s / molecules
        print(f"{molecules} molecules: at most {found.program_mb:.0f} MB, {per:.1f} ms of the program each")
        kept = size_kb(folder / output, STORE) / molecules
        structures = size_kb(folder / output, "conformers.sdf.gz") / molecules
        print(f"  store {kept:.1f} kB, structures {structures:.1f} kB a molecule")
    for (less, low), (more, high) in zip(
        list(zip(counts, peaks, strict=True))[:-1], list(zip(counts, peaks, strict=True))[1:], strict=True
    ):
        print(f"from {less} to {more}: {1000.0 * (high - low) / (more - less):+.2f} MB for each 1,000")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--molecules", type=int, default=132)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--memory", type=int, nargs="+", help="numbers of molecules to write, tables only")
    parser.add_argument("--one", nargs=4, help=argparse.SUPPRESS)
    parser.add_argument("--no-page", action="store_true", help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.one:
        home, output, molecules, workers = arguments.one
        one(Path(home), output, int(molecules), int(workers), page=not arguments.no_page)
        return
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        few = seed(folder)
        if arguments.memory:
            memory(folder, few, arguments.memory, arguments.workers)
        else:
            costs(folder, few, arguments.molecules, arguments.workers)


if __name__ == "__main__":
    main()
