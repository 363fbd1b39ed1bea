"""Runs cases through the real command line, in this process, and tells of each on one line of JSON.

`python worker.py SEED FIRST LAST FILE`: before a case its number goes into FILE, afterwards what came of it.
A crash of a native library thus belongs to the case whose second line is missing, and so does a hang, which
ends the process with its traceback. SEED 'bombs' stands for the cases of `bombs.py`.

Real is `chairgap.cli.app.main` with all that reads, checks, builds, refuses, judges, prints and writes, in
this process (`--workers 0`). Not real is `compute_task`, which computes one molecule or part: it gives what
was computed for cyclohexane. A case marked `real` computes everything with the settings it asks for, bounded
to MOST_STARTS starts and one solvent. GFN2-xTB, `key check --compute`, `flip` behind its reading,
`scorecard`, `demo`, worker processes and clusters are not run at all.
"""

import contextlib
import faulthandler
import gc
import io
import json
import os
import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from bombs import make_bomb
from case import Case
from cases import make_case
from checks import Outcome, error_blocks, faults, refusal_blocks

from chairgap.batch import stages
from chairgap.batch.content import planned
from chairgap.cli import app as cli
from chairgap.errors import Place
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import MoleculeRequest, Record, Settings, Study, Task
from chairgap.tables.shipped import read_tables

HANG_SECONDS = 60
MOST_EXTRA_BYTES = 3_000_000_000
MOST_STARTS = 6
_SHOWN = 4000


class BoundedCompute:
    """Stands for `compute_task`: gives what was computed for cyclohexane, which needs no parts; in a real
    case it computes, with a bounded search."""

    def __init__(self) -> None:
        self._compute = stages.compute_task
        self._real, self.computed = False, 0
        tables = read_tables()
        settings = Settings(title="stand-in", output="")
        shared = _bounded(Study(settings=settings, tables=tables, requests=(), text="", file=""))
        request = MoleculeRequest(
            name="stand-in", place=Place(), substituents=read_group_list("1 up H").groups
        )
        (molecule,) = build_molecules(request, tables.estimate, force_field="MMFF94", atom_limit=100)
        self._stand_in = self._compute(shared, planned(molecule, tables.estimate, settings).task)

    def begin(self, *, real: bool) -> None:
        self._real, self.computed = real, 0

    def __call__(self, shared: Study, task: Task) -> Record:
        if not self._real or shared.settings.quantum_method != "none":
            return self._stand_in
        self.computed += 1
        return self._compute(_bounded(shared), task)


def _bounded(shared: Study) -> Study:
    settings = shared.settings
    search = replace(settings.search, most_starts=min(settings.search.most_starts, MOST_STARTS))
    bounded = replace(settings, medium_series=settings.medium_series[:1], search=search)
    return replace(shared, settings=bounded)


class _Captured:
    """What Python or native code writes to file descriptors 1 and 2 meanwhile, as two texts."""

    def __init__(self, encoding: str):
        self._encoding = encoding
        self.texts = ["", ""]

    def __enter__(self) -> list[str]:
        self._streams = sys.stdout, sys.stderr
        self._kept = [os.dup(1), os.dup(2)]
        self._files = [tempfile.TemporaryFile(), tempfile.TemporaryFile()]
        for number, file in enumerate(self._files, start=1):
            os.dup2(file.fileno(), number)
        sys.stdout, sys.stderr = (
            io.TextIOWrapper(os.fdopen(os.dup(number), "wb"), encoding=self._encoding, write_through=True)
            for number in (1, 2)
        )
        return self.texts

    def __exit__(self, *_: object) -> None:
        for stream in (sys.stdout, sys.stderr):
            with contextlib.suppress(ValueError):
                stream.close()
        sys.stdout, sys.stderr = self._streams
        for place, (file, kept) in enumerate(zip(self._files, self._kept, strict=True)):
            os.dup2(kept, place + 1)
            os.close(kept)
            file.seek(0)
            self.texts[place] = file.read().decode(self._encoding, errors="backslashreplace")
            file.close()


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def _folder(home: Path) -> dict[str, bytes]:
    return {str(path.relative_to(home)): path.read_bytes() for path in home.rglob("*") if path.is_file()}


def run_case(case: Case) -> Outcome:
    """The command of a case, in a folder of its own that holds its files."""
    before = Path.cwd()
    with tempfile.TemporaryDirectory(prefix="chairgap-fuzz-") as name:
        home = Path(name)
        for path, raw in case.files.items():
            (home / path).parent.mkdir(parents=True, exist_ok=True)
            (home / path).write_bytes(raw)
        os.chdir(home)
        os.environ.pop("COLUMNS", None)
        sys.argv = ["chairgap", *case.words]
        code, escaped = 3, ""
        started, peak = time.process_time(), _peak_mb()
        try:
            with _Captured(case.encoding) as shown:
                try:
                    cli.main()
                except SystemExit as left:
                    code = left.code if isinstance(left.code, int) else int(left.code is not None)
                except BaseException as error:  # whatever comes out of main is a fault
                    escaped = f"{type(error).__name__}: {error}"
        finally:
            os.chdir(before)
        return Outcome(
            code=code,
            out=shown[0],
            err=shown[1],
            escaped=escaped,
            files=_folder(home),
            cpu_seconds=time.process_time() - started,
            growth_mb=_peak_mb() - peak,
        )


def _told(case: Case, outcome: Outcome, computed: int) -> dict[str, Any]:
    blocks = [*error_blocks(outcome.err), *refusal_blocks(outcome.out)]
    return {
        "number": case.number,
        "kind": case.kind,
        "code": outcome.code,
        "faults": faults(case, outcome),
        "messages": blocks,
        "computed": computed,
        "cpu_seconds": outcome.cpu_seconds,
        "growth_mb": outcome.growth_mb,
    }


def prepared() -> BoundedCompute:
    """The one place where the program is changed; memory is bounded from here on."""
    compute = BoundedCompute()
    stages.compute_task = compute  # type: ignore[assignment]
    size = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    gc.freeze()
    resource.setrlimit(resource.RLIMIT_AS, (size + MOST_EXTRA_BYTES, resource.RLIM_INFINITY))
    return compute


def the_case(seed: str, number: int) -> Case:
    return make_bomb(number) if seed == "bombs" else make_case(int(seed), number)


def main(seed: str, first: int, last: int, told: Path) -> None:
    compute = prepared()
    with told.open("a", encoding="utf-8") as file, os.fdopen(os.dup(2), "wb") as kept:
        faulthandler.enable(kept)
        for number in range(first, last):
            file.write(f'{{"begun": {number}}}\n')
            file.flush()
            faulthandler.dump_traceback_later(HANG_SECONDS, exit=True, file=kept)
            case = the_case(seed, number)
            compute.begin(real=case.real)
            outcome = run_case(case)
            faulthandler.cancel_dump_traceback_later()
            file.write(json.dumps(_told(case, outcome, compute.computed)) + "\n")
            file.flush()


def show(seed: str, number: int) -> None:
    """Run one case and print it whole."""
    compute, case = prepared(), the_case(seed, number)
    compute.begin(real=case.real)
    print(
        f"kind: {case.kind}, steps: {case.steps}, encoding: {case.encoding}\nchairgap {case.words!r}"[:_SHOWN]
    )
    for name, raw in case.files.items():
        print(f"--- {name!r}\n{raw[:_SHOWN]!r}")
    sys.stdout.flush()
    with os.fdopen(os.dup(2), "wb") as kept:
        faulthandler.dump_traceback_later(HANG_SECONDS, exit=True, file=kept)
        outcome = run_case(case)
        faulthandler.cancel_dump_traceback_later()
    print(f"--- exit code {outcome.code}, {outcome.cpu_seconds:.2f} s {outcome.escaped}")
    for stream, text in (("stdout", outcome.out), ("stderr", outcome.err)):
        print(f"--- {stream}\n{text[:_SHOWN]!r}")
    print(f"--- written: {sorted(outcome.files)}\n--- faults: {faults(case, outcome)}")


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
