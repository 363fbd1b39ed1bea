"""CPU seconds of a study that was computed at 298.15 K and is run again at 350 K, in the same output folder.

    python tests/benchmarks/another_temperature.py [--against OTHER_PYTHON]

OTHER_PYTHON is the Python of an environment with another version of the program. All in one process, without
workers. The first run computes, the second is at the other temperature, the third the same again: it has only
to read and to write.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

from start import ROOT, cpu_s_in

MOLECULES = (
    "1 up OH, 2 down CH(CH3)2, 5 down CH3",
    "1 up CH3, 3 up OH, 4 down Cl",
    "1 up CO2CH3, 2 up CH3",
    "1 up OCH3, 2 down OH, 4 up CH3",
    "1 up C6H5, 3 up OH",
    "1 up CH2CH3, 4 down OH",
)


def written(folder: Path, kelvin: float) -> None:
    blocks = "".join(f'[[molecule]]\nname = "{text}"\nsubstituents = ["{text}"]\n' for text in MOLECULES)
    conditions = f"[conditions]\ntemperature_k = {kelvin}\n"
    (folder / "study.toml").write_text(f'title = "Another temperature"\n{conditions}{blocks}')


def runs_cpu_s(python: str, environment: dict[str, str]) -> list[float]:
    """CPU seconds of the three runs."""
    times = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for kelvin in (298.15, 350.0, 350.0):
            written(folder, kelvin)
            words = ("study", "study.toml", "--output", "out", "--workers", "0")
            times.append(cpu_s_in(folder, python, words, environment))
    return times


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--against", default="")
    chosen = parser.parse_args()
    left_out = ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE")
    plain = {name: value for name, value in os.environ.items() if name not in left_out}
    plain |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "OPENMM_CPU_THREADS": "1"}
    with tempfile.TemporaryDirectory() as cache:
        here = plain | {"PYTHONPATH": str(ROOT / "pipeline"), "PYTHONPYCACHEPREFIX": cache}
        cpu_s_in(Path(cache), sys.executable, ("molecule", "1 up CH3"), here)  # compiles
        own = runs_cpu_s(sys.executable, here)
    print(f"here: {own[0]:.1f}, {own[1]:.1f}, {own[2]:.1f} s")
    if chosen.against:
        other = runs_cpu_s(chosen.against, plain)
        print(f"there: {other[0]:.1f}, {other[1]:.1f}, {other[2]:.1f} s")
        print(f"another temperature: {other[1]:.1f} there, {own[1]:.1f} here, ratio {other[1] / own[1]:.1f}")


if __name__ == "__main__":
    main()
