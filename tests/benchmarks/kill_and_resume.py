"""Killed at random moments and gone on with: are the bytes those of a run left in peace?

    PYTHONPATH=tests:tests/batch python tests/benchmarks/kill_and_resume.py [--kills 20] [--seed 1] [--few]

A study of 237 molecules, with all their parts, is run once in this process alone and once with two workers
that are killed with the program (SIGKILL) so many times: before the run has begun, while it reads, while it
computes, while it writes. Every table of both runs is compared byte by byte.
"""

import argparse
import random
import tempfile
import time
from pathlib import Path

from running import STUDY as FEW
from running import contents, finish, kill_at_random, records_in, start

STUDY = """title = "Killed and gone on with"
[search]
effort = "quick"
[[pattern]]
groups = ["CH3", "F", "Cl", "Br", "OH", "CN", "SH"]
carbons = [1, 2]
[[pattern]]
name = "three"
groups = ["CH3", "F"]
carbons = 3
"""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--few", action="store_true", help="the twelve molecules of tests/batch/running.py")
    arguments = parser.parse_args()
    study = FEW if arguments.few else STUDY
    rng = random.Random(arguments.seed)
    with tempfile.TemporaryDirectory() as place:
        peace, trouble = Path(place) / "peace", Path(place) / "trouble"
        peace.mkdir()
        trouble.mkdir()
        began = time.perf_counter()
        code, _, err = finish(peace, "--workers", "2", "--quiet", study=study)
        total = records_in(peace / "out")
        print(f"left in peace: exit code {code}, {total} tasks, {time.perf_counter() - began:.0f} s {err}")
        began = time.perf_counter()
        for number in range(1, arguments.kills + 1):
            process = start(trouble, "--workers", "2", "--quiet", study=study)
            most = max(1, 2 * (total - records_in(trouble / "out")) // (arguments.kills - number + 2))
            kill_at_random(trouble, process, rng, most)
            print(
                f"kill {number}: exit code {process.returncode}, {records_in(trouble / 'out')} tasks kept",
                flush=True,
            )
        code, _, err = finish(trouble, "--workers", "2", "--quiet", study=study)
        print(f"then left in peace: exit code {code} {err}{time.perf_counter() - began:.0f} s with the kills")
        one, other = contents(peace / "out"), contents(trouble / "out")
        for name, content in one.items():
            same = "the same bytes" if content == other[name] else "DIFFERS"
            print(f"{name:20}{len(content):10} bytes: {same}")


if __name__ == "__main__":
    main()
