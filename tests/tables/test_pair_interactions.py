"""The shipped pair interactions: made from the raw energies, by hand for one pair, and anew for one group."""

import csv
import gzip
import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from chairgap.tables.shipped import read_tables
from machine import needs_pyscf

DATA = Path(__file__).parents[2] / "data"
HARTREE_KCAL_MOL = 627.509474  # CODATA 2018
RT_KCAL_MOL = 0.0019872043 * 298.15


SHIPPED = (
    ("pair_interactions.csv", DATA),
    ("method_spread.csv", DATA / "mp2"),
    ("method_spread_by_relation.csv", DATA / "mp2"),
)


def lines(name: str) -> list[dict[str, Any]]:
    with gzip.open(DATA / "mp2" / f"{name}.jsonl.gz", "rt", encoding="utf-8") as file:
        return [json.loads(line) for line in file]


def mp2_kcal_mol(row: dict[str, Any]) -> float:
    return HARTREE_KCAL_MOL * sum(
        row[part] for part in ("hf_hartree", "same_spin_hartree", "opposite_spin_hartree")
    )


def gap_by_hand(molecule: str) -> float:
    """G(B) - G(A): -RT ln of the sum of g exp(-(E + thermal)/RT) over the conformers of each chair."""
    energies = {row["id"]: row for row in lines("results") if "failed" not in row}
    sums = {}
    for letter in "AB":
        found = [
            (row["degeneracy"], mp2_kcal_mol(energies[row["id"]]) + row["mmff94_thermal_kcal_mol"])
            for row in lines("conformers")
            if row["molecule"] == molecule and row["chair"] == letter and row["id"] in energies
        ]
        base = min(energy for _, energy in found)
        total = sum(g * math.exp((base - energy) / RT_KCAL_MOL) for g, energy in found)
        sums[letter] = base - RT_KCAL_MOL * math.log(total)
    return sums["B"] - sums["A"]


def shipped(group_1: str, group_2: str, relation: str) -> float:
    (row,) = [
        row
        for row in read_tables().pairs
        if (row.group_1, row.group_2, row.relation) == (group_1, group_2, relation)
    ]
    return row.value_kcal_mol


def test_the_table_is_made_from_the_raw_energies(tmp_path: Path) -> None:
    script = DATA / "mp2" / "make_pair_table.py"
    subprocess.run([sys.executable, script, tmp_path], check=True)
    for made, kept in SHIPPED:
        assert (tmp_path / made).read_bytes() == (kept / made).read_bytes()


def test_trans_1_2_difluoride_by_hand() -> None:
    """Both axial in B: the pair is the gap less twice that of fluorine alone."""
    expected = gap_by_hand("1 up F, 2 down F") - 2.0 * gap_by_hand("1 up F")
    assert shipped("F", "F", "trans-1,2") == pytest.approx(expected, abs=6e-4)


def test_a_pair_whose_first_group_is_axial_in_chair_a() -> None:
    """cis-1,2-CH3/OH: chair A has the lighter CH3 axial, so G(CH3 axial) - G(CH3 equatorial) is G(A) - G(B):
    minus the gap of the ring, less methyl's own, plus hydroxyl's, which is then equatorial."""
    ring = [row for row in lines("molecules") if row["molecule"] == "1 up CH3, 2 up OH"]
    assert [row["chair_a"] for row in ring] == ["1a 2e"]
    expected = -gap_by_hand("1 up CH3, 2 up OH") - gap_by_hand("1 up CH3") + gap_by_hand("1 up OH")
    assert shipped("CH3", "OH", "cis-1,2") == pytest.approx(expected, abs=6e-4)


def test_no_pair_stands_twice_and_every_group_has_an_a_value() -> None:
    tables = read_tables()
    groups = {row.group for row in tables.estimate.a_values}
    keys = [(frozenset((row.group_1, row.group_2)), row.relation) for row in tables.pairs]
    assert len(keys) == len(set(keys)) == 432
    named = {group for pair, _ in keys for group in pair}
    # The propoxides of a published equilibrium have no A-value and go by their fragment.
    assert named - groups == {"*OCCC", "*OC(C)C"}


def test_columns_for_people_agree_with_the_value() -> None:
    """Potential part, and what rotamers and vibrations add."""
    with (DATA / "pair_interactions.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            parts = float(row["potential_kcal_mol"]) + float(row["rotamers_and_vibrations_kcal_mol"])
            assert float(row["value_kcal_mol"]) == pytest.approx(parts, abs=1.1e-3), row


@pytest.mark.long
def test_energies_of_fluorocyclohexane_come_out_again(tmp_path: Path) -> None:
    """RI-HF and RI-MP2 by PySCF, half a minute a conformer."""
    needs_pyscf()
    jobs = [row for row in lines("conformers") if row["molecule"] == "1 up F" and row["computed"]]
    path = tmp_path / "jobs.jsonl"
    path.write_text("".join(json.dumps(job) + "\n" for job in jobs), encoding="utf-8")
    script, out = DATA / "mp2" / "run_energies.py", tmp_path / "results.jsonl"
    subprocess.run([sys.executable, script, path, out, "--seconds", "900", "--workers", "1"], check=True)
    made = {row["id"]: row for row in map(json.loads, out.read_text(encoding="utf-8").splitlines())}
    kept = {row["id"]: row for row in lines("results")}
    for job in jobs:
        assert mp2_kcal_mol(made[job["id"]]) == pytest.approx(mp2_kcal_mol(kept[job["id"]]), abs=1e-3)
