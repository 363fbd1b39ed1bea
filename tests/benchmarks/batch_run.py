"""A study of 2,068 molecules from start to end: time, memory, store, and what a larger one would take.

    PYTHONPATH=tests:tests/batch python tests/benchmarks/batch_run.py [--workers 2] [--few]

Everything is one run of `chairgap study` in a process of its own, watched from outside: CPU time and memory
of the program and of its workers every half second. Projections take the mean cost of this run and the time
that the program itself spends on a molecule, which no further core can share.
"""

import argparse
import tempfile
import time
from pathlib import Path

import psutil
from running import start

from chairgap.batch.cost import projected_hours
from chairgap.batch.status import status_lines
from chairgap.batch.store import STORE, reading_store

STUDY = """title = "Benchmark of a large study"
[[pattern]]
groups = ["CH3", "OH", "F", "Cl", "CN", "OCH3"]
carbons = [1, 2, 3]
[[pattern]]
groups = ["CH3", "Cl"]
carbons = 4
[[pattern]]
groups = ["CH3", "F"]
carbons = 6
"""
FEW = """title = "Benchmark of a small study"
[[pattern]]
groups = ["CH3", "OH", "F", "Cl"]
carbons = [1, 2]
"""
PROJECTED = 100_000
LOOK_EVERY_S = 0.5


class Watch:
    """Memory and CPU time of a program and its workers, looked at from outside."""

    def __init__(self, pid: int):
        self.program = psutil.Process(pid)
        self.program_mb: list[float] = []
        self.worker_mb: list[float] = []
        self.program_cpu_s = 0.0

    def look(self) -> None:
        try:
            self.program_mb.append(self.program.memory_info().rss / 1e6)
            times = self.program.cpu_times()
            self.program_cpu_s = times.user + times.system
            workers = [child.memory_info().rss / 1e6 for child in self.program.children(recursive=True)]
        except psutil.Error:
            return  # it has just ended
        self.worker_mb.append(max(workers, default=0.0))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--few", action="store_true", help="64 molecules, for a quick look")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        began = time.perf_counter()
        process = start(
            folder, "--quiet", "--workers", str(arguments.workers), study=FEW if arguments.few else STUDY
        )
        watch = Watch(process.pid)
        while process.poll() is None:
            watch.look()
            time.sleep(LOOK_EVERY_S)
        wall_s = time.perf_counter() - began
        _, err = process.communicate()
        with reading_store(folder / "out" / STORE) as store:
            counts, costs = store.counts(), store.costs()
        molecules = counts.molecules
        print(f"exit code {process.returncode} {err}")
        print(f"{molecules} molecules, {counts.tasks} tasks with parts, {counts.failed + counts.lost} failed")
        print(
            f"{wall_s:.0f} s on {arguments.workers} workers: {60 * molecules / wall_s:.0f} molecules a minute"
        )
        looks = len(watch.program_mb)
        quarters = [watch.program_mb[looks * n // 4 : looks * (n + 1) // 4] for n in range(4)]
        peaks = ", ".join(f"{max(quarter, default=0.0):.0f}" for quarter in quarters)
        print(f"memory of the program, largest in each quarter of the run: {peaks} MB")
        print(f"memory of the largest worker: {max(watch.worker_mb):.0f} MB")
        print(f"CPU time of the program itself: {1000 * watch.program_cpu_s / molecules:.1f} ms a molecule")
        for path in sorted((folder / "out").iterdir()):
            print(f"  {path.name:24}{path.stat().st_size / 1e6:9.1f} MB")
        for line in status_lines(folder / "out"):
            print(line)
        total_s = sum(seconds for _, seconds, _ in costs)
        there_s = arguments.workers * wall_s
        print(f"CPU in tasks {total_s:.0f} s of {there_s:.0f} s there were: {100 * total_s / there_s:.0f} %")
        for cores in (1, 16, 256):
            hours = projected_hours(
                tasks=PROJECTED,
                mean_s=total_s / molecules,
                cores=cores,
                serial_s_per_task=watch.program_cpu_s / molecules,
            )
            print(f"{PROJECTED:,} molecules like these on {cores} cores: {hours:.2f} h")


if __name__ == "__main__":
    main()
