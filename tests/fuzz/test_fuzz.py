"""A share of the spoilt inputs, all inputs without end, and that the checks would see what they look for."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import fuzz_inputs
import pytest
from bombs import BOMBS
from case import OUTPUT, RUN_STUDY, Case
from cases import KINDS, make_case
from checks import Outcome, faults
from fuzz_inputs import run_range

from study_files import STUDY_FILES

SEED = "20260"
CASES = 60
CASE = Case(seed=0, number=0, kind="toml", files={"study.toml": b"x"}, words=list(RUN_STUDY))
WRITTEN = {f"{OUTPUT}/{name}": b"a,b\n1,2\n" if name.endswith(".csv") else b"" for name in STUDY_FILES}
REFUSED = Outcome(
    code=2, out="", err="Error: study.toml, line 1: It is wrong. Correct it.\n", files=CASE.files
)
DONE = Outcome(code=0, out="A table.\n", err="", files=CASE.files | WRITTEN)


@pytest.mark.parametrize(
    "first", [0, *(pytest.param(first, marks=pytest.mark.long) for first in (60, 120, 180))]
)
def test_a_share_of_the_cases_holds(first: int) -> None:
    results = run_range(SEED, first, first + CASES)
    assert [entry for entry in results if entry["faults"]] == []
    assert [entry["number"] for entry in results] == list(range(first, first + CASES))
    # The cases reach all ends of the program, and some of them its chemistry.
    assert set(Counter(entry["code"] for entry in results)) == {0, 1, 2}
    valid = [entry for entry in results if entry["kind"] == "valid"]
    assert {entry["kind"] for entry in results} == {*KINDS, "valid"}
    assert [entry["number"] for entry in valid] == [first + 10, first + 30, first + 50]
    assert all(entry["code"] == 0 and entry["computed"] for entry in valid)


@pytest.mark.long
def test_inputs_without_end_are_refused() -> None:
    results = run_range("bombs", 0, len(BOMBS))
    assert [entry for entry in results if entry["faults"]] == []
    assert {entry["kind"]: entry["code"] for entry in results} == dict.fromkeys(BOMBS, 2)


def test_a_case_depends_on_seed_and_number_alone() -> None:
    cases = [make_case(1, number) for number in range(60)]
    assert [make_case(1, case.number) for case in reversed(cases)] == cases[::-1]
    others = [make_case(2, case.number) for case in cases]
    assert (
        sum(
            (one.files, one.words) != (other.files, other.words)
            for one, other in zip(cases, others, strict=True)
        )
        > 50
    )


# --- the checks themselves -------------------------------------------------------------------------------


def test_good_outcomes_have_no_faults() -> None:
    assert faults(CASE, REFUSED) == faults(CASE, DONE) == []
    assert faults(CASE, replace(DONE, code=1, out="! refused: a: It is wrong. Correct it.\n")) == []


@pytest.mark.parametrize(
    ("outcome", "fault"),
    [
        (replace(REFUSED, err=REFUSED.err + "Traceback (most recent call last):\n"), "Traceback"),
        (replace(DONE, code=1, out="! failed: a: internal error, KeyError.\n"), "'internal error' is shown"),
        (replace(REFUSED, code=3), "exit code 3"),
        (replace(REFUSED, escaped="KeyError: 1"), "came out of main"),
        (replace(REFUSED, err="[11:43:40] SMILES Parse Error: x\n" + REFUSED.err), "remark of a library"),
        (replace(REFUSED, growth_mb=2000.0), "memory grew by 2000 MB"),
        (replace(REFUSED, err="Error: study.toml: \x1b[31mred. Correct it.\n"), "stderr holds U+001B"),
        (replace(REFUSED, err="Error: study.toml: \u202eder. Correct it.\n"), "stderr holds U+202E"),
        (replace(REFUSED, err="Error: study.toml: " + "x" * 5000 + ".\n"), "has a line of"),
        (replace(REFUSED, err="Error: study.toml: a.\n" * 4000), "characters"),
        (replace(REFUSED, err="Error: study.toml: It is wrong\n"), "does not end with a full stop"),
        (replace(REFUSED, err="Error: It is wrong. Correct it.\n"), "no place is named"),
        (replace(REFUSED, err=""), "no line 'Error:'"),
        (replace(REFUSED, files=CASE.files | {f"{OUTPUT}/gaps.csv": b""}), "out/gaps.csv was written"),
        (replace(REFUSED, files={"study.toml": b"y"}), "study.toml was changed"),
        (replace(DONE, code=1), "exit code 1 and 0 refused"),
        (replace(DONE, out="! refused: a: It is wrong. Correct it.\n"), "exit code 0 and 1 refused"),
        (replace(DONE, files=CASE.files), "the folder lacks"),
        (replace(DONE, files=DONE.files | {f"{OUTPUT}/gaps.csv": b"a,b\n1\n"}), "rows of [1, 2] cells"),
        (replace(DONE, files=DONE.files | {f"{OUTPUT}/report.md": b"\x07"}), "report.md holds U+0007"),
        (replace(DONE, files=DONE.files | {f"{OUTPUT}/gaps.csv": b"\xff"}), "gaps.csv is not UTF-8"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_every_check_sees_its_fault(outcome: Outcome, fault: str) -> None:
    assert any(fault in found for found in faults(CASE, outcome)), faults(CASE, outcome)


def test_a_process_that_dies_is_reported_with_its_case(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = '{"number": 0, "kind": "toml", "code": 0, "faults": [], "messages": [], "computed": 0, '
    worker = (
        "import os, sys\n"
        "with open(sys.argv[4], 'a') as told:\n"
        "    for number in range(int(sys.argv[2]), int(sys.argv[3])):\n"
        "        print('{\"begun\": 1}', file=told, flush=True)\n"
        "        if number == 1:\n"
        "            os.abort()\n"
        f'        print(\'{done}"cpu_seconds": 0, "growth_mb": 0}}\', file=told, flush=True)\n'
    )
    (tmp_path / "worker.py").write_text(worker, encoding="utf-8")
    monkeypatch.setattr(fuzz_inputs, "HERE", tmp_path)
    results = run_range("1", 0, 3)
    assert [entry["kind"] for entry in results] == ["toml", "crash", "toml"]
    assert results[1]["number"] == 1 and "crash or hang" in results[1]["faults"][0]
