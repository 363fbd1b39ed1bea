"""Thousands of spoilt inputs through the command line:

    python tests/fuzz/fuzz_inputs.py --cases 5000 --seed N

prints a summary and leaves with 1 when a case failed. Such a case runs again alone, with everything it holds
and shows, by `--seed N --case NUMBER`. `--seed bombs` runs the inputs of `bombs.py`. What is checked stands
in `checks.py`, what is computed for real and what is not in `worker.py`.
"""

import argparse
import json
import os
import re
import resource
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from bombs import BOMBS

HERE = Path(__file__).parent
TESTS = HERE.parent
CHUNK = 1000
MOST_SHOWN = 40

Told = dict[str, Any]


def run_range(seed: str, first: int, last: int) -> list[Told]:
    """What came of each case of [first, last), in child processes; a crash or hang is a fault of its case."""
    with tempfile.TemporaryDirectory(prefix="chairgap-fuzz-") as folder:
        results: list[Told] = []
        while first < last:
            end = min(first + CHUNK, last)
            told, shown = Path(folder) / f"{first}.jsonl", Path(folder) / f"{first}.txt"
            command = [sys.executable, str(HERE / "worker.py"), seed, str(first), str(end), str(told)]
            with shown.open("wb") as stream:
                # What was put first for us comes first there too, such as the source of a work tree.
                given = os.environ.get("PYTHONPATH", "").split(os.pathsep)
                where = os.environ | {
                    "PYTHONPATH": os.pathsep.join(filter(None, [str(TESTS), *given])),
                    "CHAIRGAP_CACHE": "off",  # searches are bounded here, and keep nothing for others
                }
                code = subprocess.run(
                    command, stdout=stream, stderr=stream, env=where, check=False
                ).returncode
            lines = told.read_text(encoding="utf-8").splitlines() if told.exists() else []
            entries = [json.loads(line) for line in lines]
            done = [entry for entry in entries if "kind" in entry]
            results += done
            first += len(done)
            if first < end:
                last_words = shown.read_text(encoding="utf-8", errors="replace")[-3000:]
                if not entries or code == 0:
                    raise RuntimeError(f"The worker stopped before case {first}: {last_words}")
                results.append(_crash(first, code, last_words))
                first += 1
        return results


def _crash(number: int, code: int, last_words: str) -> Told:
    what = f"the process ended with {code} (crash or hang): {last_words}"
    return {"number": number, "kind": "crash", "code": code, "faults": [what], "messages": []} | {
        "computed": 0,
        "cpu_seconds": 0.0,
        "growth_mb": 0.0,
    }


def shape_of(message: str) -> str:
    """A message without what is particular to one input."""
    plain = re.sub(r"'[^']*'|\"[^\"]*\"", "'...'", " ".join(message.split()))
    plain = re.sub(r"\([^()]*\)", "(...)", re.sub(r"[-+]?\d[\d.,]*", "N", plain))
    return plain[-110:]


def summary(results: list[Told], seed: str) -> str:
    kinds = Counter(entry["kind"] for entry in results)
    codes = Counter(entry["code"] for entry in results)
    both = Counter((entry["kind"], entry["code"]) for entry in results)
    shapes = Counter(shape_of(text) for entry in results for text in entry["messages"])
    failed = [entry for entry in results if entry["faults"]]
    lines = [f"{len(results)} cases, seed {seed}"]
    lines.append("by exit code: " + ", ".join(f"{code}: {count}" for code, count in sorted(codes.items())))
    for kind, count in sorted(kinds.items()):
        split = ", ".join(f"{code}: {both[kind, code]}" for code in sorted(codes) if both[kind, code])
        lines.append(f"  {kind:7} {count:5}   exit codes {split}")
    lines.append(f"computed for real: {sum(entry['computed'] for entry in results)} molecules")
    lines.append(f"messages: {sum(shapes.values())} told, {len(shapes)} distinct")
    lines += [_largest("slowest", results, "cpu_seconds", "s of CPU time")]
    lines += [_largest("largest growth of memory", results, "growth_mb", "MB")]
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    lines.append(
        f"CPU time {used.ru_utime + used.ru_stime:.0f} s, peak memory {used.ru_maxrss / 1024:.0f} MB"
    )
    lines.append(f"failures: {len(failed)}")
    shown = failed[:MOST_SHOWN]
    lines += [f"  case {entry['number']} ({entry['kind']}): {'; '.join(entry['faults'])}" for entry in shown]
    return "\n".join(lines)


def _largest(what: str, results: list[Told], key: str, unit: str) -> str:
    most = max(results, key=lambda entry: entry[key])
    return f"{what}: case {most['number']} ({most['kind']}), {most[key]:.2f} {unit}"


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--cases", type=int, default=5000, help="how many")
    asked.add_argument("--seed", default="1", help="a whole number, or 'bombs'")
    asked.add_argument("--case", type=int, help="run this one alone and show it")
    asked.add_argument("--messages", action="store_true", help="list every kind of message with its count")
    options = asked.parse_args()
    if options.case is not None:
        from worker import show

        show(options.seed, options.case)
        return 0
    cases = len(BOMBS) if options.seed == "bombs" else options.cases
    results = run_range(options.seed, 0, cases)
    if options.messages:
        shapes = Counter(shape_of(text) for entry in results for text in entry["messages"])
        print("\n".join(f"{count:6} {shape}" for shape, count in shapes.most_common()))
    print(summary(results, options.seed))
    return 1 if any(entry["faults"] for entry in results) else 0


if __name__ == "__main__":
    sys.exit(main())
