"""What kept parts save: `chairgap molecule` and the demo, cold and warm, against another installation.

    python tests/benchmarks/kept_parts.py [--against OTHER_PYTHON --their-study DEMO_TOML] [--times 3]

CPU seconds of whole commands in empty folders, as compiled bytecode, in turn; the least of the runs counts.
Cold: the cache of parts is empty, as after installation, so only the parts that ship are there. Warm: the
same command again elsewhere. Once more: again in the folder where the demo was run, with nothing new. The
demo is run with --workers 0.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

from start import ROOT, cpu_s

MOLECULES = {
    "menthol": "1 up OH, 2 down CH(CH3)2, 5 down CH3",
    "menthyl acetate": "1 up OCOCH3, 2 down CH(CH3)2, 5 down CH3",
    "trans-2-phenylcyclohexanol": "1 up C6H5, 2 down OH",
    "chlorodimethylcyclohexanol": "1 up OH, 2 up CH3, 3 down Cl, 5 up CH3",
    "tert-butylcyclohexane": "1 up C(CH3)3",
}
DEMO, ONCE_MORE = "demo", "demo, once more"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--against", default="")
    parser.add_argument("--their-study", default="", help="demo.toml of the other version")
    parser.add_argument("--times", type=int, default=3)
    chosen = parser.parse_args()
    hidden = ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE", "CHAIRGAP_CACHE")
    plain = {name: value for name, value in os.environ.items() if name not in hidden}
    commands = {name: (("molecule", text), ("molecule", text)) for name, text in MOLECULES.items()}
    for name in (DEMO, ONCE_MORE):
        commands[name] = tuple(
            ("study", file, "--workers", "0")
            for file in (chosen.their_study, str(ROOT / "configs/demo.toml"))
        )
    print(f"{'command':28}{'other':>8}{'cold':>8}{'warm':>8}{'other/cold':>12}{'other/warm':>12}")
    with tempfile.TemporaryDirectory() as bytecode:
        here = plain | {"PYTHONPATH": str(ROOT / "pipeline"), "PYTHONPYCACHEPREFIX": bytecode}
        cpu_s(sys.executable, commands["menthol"][1], here | {"CHAIRGAP_CACHE": "off"})  # compiles
        for name, (theirs, own) in commands.items():
            taken: list[tuple[float, float, float]] = []
            again = name == ONCE_MORE
            for _ in range(chosen.times):
                with tempfile.TemporaryDirectory() as place:
                    kept = here | {"CHAIRGAP_CACHE": str(Path(place) / "parts")}
                    other = cpu_s(chosen.against, theirs, plain, once_more=again) if chosen.against else 0.0
                    cold, warm = (cpu_s(sys.executable, own, kept, once_more=again) for _ in range(2))
                taken.append((other, cold, warm))
            other, cold, warm = (min(column) for column in zip(*taken, strict=True))
            beside = f"{other / cold:12.2f}{other / warm:12.2f}"
            print(f"{name:28}{other:8.2f}{cold:8.2f}{warm:8.2f}{beside}", flush=True)


if __name__ == "__main__":
    main()
