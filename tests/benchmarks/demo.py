"""CPU seconds of the demo study, all in one process; with a second installation, the ratio.

    python tests/benchmarks/demo.py --against OTHER_PYTHON --their-study DEMO_TOML [--times 2]

OTHER_PYTHON is the Python of an environment with another version of the program. Both run the molecules of
their own demo in turn, without worker processes (whose CPU time nobody adds up), each time in an empty
folder. The first run, which compiles, does not count.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

from start import ROOT, cpu_s


def study_cpu_s(python: str, study: Path, environment: dict[str, str]) -> float:
    return cpu_s(python, ("study", str(study), "--workers", "0"), environment)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--against", required=True)
    parser.add_argument("--times", type=int, default=2)
    parser.add_argument("--their-study", type=Path, required=True, help="demo.toml of the other version")
    chosen = parser.parse_args()
    left_out = ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE")
    plain = {name: value for name, value in os.environ.items() if name not in left_out}
    plain |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "OPENMM_CPU_THREADS": "1"}
    with tempfile.TemporaryDirectory() as cache:
        here = plain | {"PYTHONPATH": str(ROOT / "pipeline"), "PYTHONPYCACHEPREFIX": cache}
        for number in range(chosen.times + 1):
            own = study_cpu_s(sys.executable, ROOT / "configs" / "demo.toml", here)
            other = study_cpu_s(chosen.against, chosen.their_study, plain)
            counted = "" if number else " (compiling, not counted)"
            print(f"{own:8.2f} s here, {other:8.2f} s there, ratio {own / other:.3f}{counted}", flush=True)


if __name__ == "__main__":
    main()
