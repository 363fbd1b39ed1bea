"""CPU seconds of the start of six commands, as compiled bytecode; with a second installation, the ratio.

    python tests/benchmarks/start.py [--against OTHER_PYTHON] [--times 5]

OTHER_PYTHON is the Python of an environment with another version of the program. Each command is run in turn
by both, in an empty folder; the least of the CPU times counts, the first run (which compiles) does not.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
COMMANDS = (
    ("--version",),
    ("--help",),
    ("tables", "--group", "OMe"),
    ("key", "check", str(ROOT / "configs" / "demo_key.csv")),
    ("status", "."),
    ("molecule", "--help"),
)


def cpu_s(
    python: str, words: tuple[str, ...], environment: dict[str, str], *, once_more: bool = False
) -> float:
    """CPU seconds of one run of the program in an empty folder, or of a second one there."""
    with tempfile.TemporaryDirectory() as folder:
        if once_more:
            cpu_s_in(Path(folder), python, words, environment)
        return cpu_s_in(Path(folder), python, words, environment)


def cpu_s_in(folder: Path, python: str, words: tuple[str, ...], environment: dict[str, str]) -> float:
    """CPU seconds of one run of the program in a folder."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [python, "-m", "chairgap", *words], cwd=folder, env=environment, capture_output=True, text=True
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if "Error inside chairgap" in done.stderr or "No module" in done.stderr:
        raise SystemExit(f"{python} -m chairgap {' '.join(words)}: {done.stderr}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--against", default="")
    parser.add_argument("--times", type=int, default=5)
    chosen = parser.parse_args()
    plain = {
        name: value
        for name, value in os.environ.items()
        if name not in ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE")
    }
    with tempfile.TemporaryDirectory() as cache:
        here = plain | {"PYTHONPATH": str(ROOT / "pipeline"), "PYTHONPYCACHEPREFIX": cache}
        print(f"{'command':24}{'CPU s':>8}{'other':>8}{'ratio':>8}")
        for words in COMMANDS:
            times: list[tuple[float, float]] = []
            for _ in range(chosen.times + 1):
                own = cpu_s(sys.executable, words, here)
                times.append((own, cpu_s(chosen.against, words, plain) if chosen.against else 0.0))
            own, other = (min(column) for column in zip(*times[1:], strict=True))
            shown = " ".join(words).replace(f"{ROOT}/", "")
            beside = f"{other:8.2f}{other / own:8.1f}" if chosen.against else ""
            print(f"{shown.replace('configs/', ''):24}{own:8.2f}{beside}", flush=True)


if __name__ == "__main__":
    main()
