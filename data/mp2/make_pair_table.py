"""From raw energies to the tables of single groups, pair interactions and method spread.

    python data/mp2/make_pair_table.py FOLDER

Read beside this file: molecules.jsonl.gz and conformers.jsonl.gz of prepare_conformers.py, results.jsonl.gz
with the lines of run_energies.py. Written into FOLDER: pair_interactions.csv (shipped in
data/), single_groups.csv, method_spread.csv and method_spread_by_relation.csv. Needs NumPy only.

Gap of a molecule: G(B) - G(A), kcal/mol, 298.15 K, gas phase, with

    G(chair) = -RT ln sum_i g_i exp(-(E_i + thermal_i) / RT),

E_i the electronic energy of conformer i at its GFN2-xTB geometry (MMFF94: the force field's own minimum),
thermal_i Gibbs energy minus potential energy of the same conformer by MMFF94 (quasi-harmonic, as chairgap
0.4.0 computes it), g_i its labelled copies. Chair B is the one chairgap calls so: more axial groups, or the
heavier ones. Pair part: gap of the molecule less the gaps of its groups alone, each with + where the group is
axial in B and - where it is axial in A. MP2: E(HF) + same + opposite spin; SCS-MP2: E(HF) + 1/3 same + 6/5
opposite (S. Grimme, J. Chem. Phys. 2003, 118, 9095, from memory).
"""

import argparse
import csv
import gzip
import json
import math
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

import numpy as np
from spread_by_relation import BASIS, Row, add_method_spread, by_relation, kcal

TEMPERATURE_K = 298.15
HARTREE_KCAL_MOL = 627.5094740631  # CODATA 2018
RT_KCAL_MOL = 1.987204258640832e-3 * TEMPERATURE_K
GEOMETRY = "GFN2-xTB minimum from MMFF94's"

Energy = Callable[[Row], float]


def read_lines(path: Path) -> list[Row]:
    return [json.loads(line) for line in gzip.open(path, "rt", encoding="utf-8")]


# Energies of a conformer, kcal/mol


def by_mp2(row: Row) -> float:
    return HARTREE_KCAL_MOL * (row["hf_hartree"] + row["same_spin_hartree"] + row["opposite_spin_hartree"])


def by_scs_mp2(row: Row) -> float:
    # (1) same spin times 1/3, opposite spin times 6/5
    return HARTREE_KCAL_MOL * (
        row["hf_hartree"] + row["same_spin_hartree"] / 3.0 + 1.2 * row["opposite_spin_hartree"]
    )


def by_hf(row: Row) -> float:
    return HARTREE_KCAL_MOL * row["hf_hartree"]


def by_mmff94(row: Row) -> float:
    return row["mmff94_potential_kcal_mol"]


def by_xtb(row: Row) -> float:
    return HARTREE_KCAL_MOL * row["gfn2_xtb_hartree"]


LEVELS: dict[str, Energy] = {
    "mp2": by_mp2,
    "scs_mp2": by_scs_mp2,
    "hf": by_hf,
    "mmff94": by_mmff94,
    "gfn2_xtb": by_xtb,
}


# Gaps and pair parts


def gap_kcal_mol(rows: list[Row], energy: Energy) -> float:
    """G(B) - G(A) from the conformers given, kcal/mol."""
    chairs = []
    for letter in "AB":
        held = [row for row in rows if row["chair"] == letter]
        levels = np.array([energy(row) + row["mmff94_thermal_kcal_mol"] for row in held])
        copies = np.array([row["degeneracy"] for row in held], dtype=float)
        chairs.append(
            levels.min()
            - RT_KCAL_MOL * math.log(np.sum(copies * np.exp((levels.min() - levels) / RT_KCAL_MOL)))
        )
    return float(chairs[1] - chairs[0])


def lowest_gap_kcal_mol(rows: list[Row], energy: Energy) -> float:
    """Potential energy of the lowest conformer of B less that of A, kcal/mol."""
    lowest = {letter: min(energy(row) for row in rows if row["chair"] == letter) for letter in "AB"}
    return lowest["B"] - lowest["A"]


def gaps_of(done: list[Row], every: list[Row]) -> Row:
    """All gaps of one molecule: `done` have MP2 energies, `every` are all that survived GFN2-xTB."""
    found = {f"gap_{name}": gap_kcal_mol(done, energy) for name, energy in LEVELS.items()}
    found |= {f"lowest_{name}": lowest_gap_kcal_mol(done, energy) for name, energy in LEVELS.items()}
    for name, energy in (("mmff94", by_mmff94), ("gfn2_xtb", by_xtb)):
        found[f"left_out_{name}"] = gap_kcal_mol(every, completed(done, energy)) - found["gap_mp2"]
    return found


def completed(done: list[Row], other: Energy) -> Energy:
    """MP2 where it was computed, elsewhere another level, moved by its mean distance to MP2 in that chair."""
    moves = {}
    for letter in "AB":
        held = [row for row in done if row["chair"] == letter]
        moves[letter] = sum(by_mp2(row) - other(row) for row in held) / len(held)

    def energy(row: Row) -> float:
        return by_mp2(row) if "hf_hartree" in row else other(row) + moves[row["chair"]]

    return energy


def signs_of(molecule: Row) -> list[int]:
    """+1 for a group axial in B, -1 for one axial in A."""
    return [1 if axial else -1 for axial in molecule["axial_in_b"]]


def pair_part(molecule: Row, gaps: dict[str, Row], quantity: str) -> float:
    """A quantity of the molecule less the signed ones of its groups alone."""
    alone = (
        sign * gaps[f"1 up {group}"][quantity]
        for sign, group in zip(signs_of(molecule), molecule["groups"], strict=True)
    )
    return gaps[molecule["molecule"]][quantity] - sum(alone)


def finished(conformers: list[Row], results: dict[str, Row]) -> dict[str, list[Row]]:
    """All conformers, with their energies, of the molecules whose chosen ones are all computed."""
    every = defaultdict(list)
    for row in conformers:
        every[row["molecule"]].append({**row, **results.get(row["id"], {})})
    return {
        name: rows
        for name, rows in every.items()
        if {row["chair"] for row in rows if row["computed"]} == {"A", "B"}
        and all("hf_hartree" in row for row in rows if row["computed"])
    }


# Tables


def counts(rows: list[Row]) -> tuple[int, int]:
    return sum(row["chair"] == "A" for row in rows), sum(row["chair"] == "B" for row in rows)


def hydrogen_bonds(rows: list[Row], letter: str) -> int:
    """Hydrogen bonds between the groups in the chair's conformer of lowest MP2 energy."""
    return min((row for row in rows if row["chair"] == letter), key=by_mp2)["hydrogen_bonds"]


def single_row(molecule: Row, rows: list[Row], gaps: Row) -> Row:
    in_a, in_b = counts(rows)
    return {
        "group": molecule["groups"][0],
        "smiles": molecule["smiles"],
        "chair_a": molecule["chair_a"],
        "chair_b": molecule["chair_b"],
        "gap_kcal_mol": kcal(gaps["gap_mp2"]),
        "scs_mp2_gap_kcal_mol": kcal(gaps["gap_scs_mp2"]),
        "hf_gap_kcal_mol": kcal(gaps["gap_hf"]),
        "mmff94_gap_kcal_mol": kcal(gaps["gap_mmff94"]),
        "gfn2_xtb_gap_kcal_mol": kcal(gaps["gap_gfn2_xtb"]),
        "lowest_gap_kcal_mol": kcal(gaps["lowest_mp2"]),
        "rotamers_and_thermal_kcal_mol": kcal(gaps["gap_mp2"] - gaps["lowest_mp2"]),
        "mmff94_all_conformers_gap_kcal_mol": kcal(molecule["mmff94_gap_gibbs_kcal_mol"]),
        "left_out_by_mmff94_kcal_mol": kcal(gaps["left_out_mmff94"]),
        "left_out_by_gfn2_xtb_kcal_mol": kcal(gaps["left_out_gfn2_xtb"]),
        "conformers_a": in_a,
        "conformers_b": in_b,
        "temperature_k": TEMPERATURE_K,
        "basis": BASIS,
        "geometry": GEOMETRY,
    }


def pair_row(molecule: Row, rows: list[Row], gaps: dict[str, Row]) -> Row:
    """A row of the shipped table; its energies belong to G(group_1 axial) - G(group_1 equatorial)."""
    in_a, in_b = counts(rows)
    sign = signs_of(molecule)[0]
    part = {name: sign * pair_part(molecule, gaps, f"gap_{name}") for name in LEVELS}
    lowest = sign * pair_part(molecule, gaps, "lowest_mp2")
    own = gaps[molecule["molecule"]]
    return {
        "group_1": molecule["groups"][0],
        "group_2": molecule["groups"][1],
        "relation": molecule["relation"],
        "value_kcal_mol": kcal(part["mp2"]),
        "temperature_k": TEMPERATURE_K,
        "method": f"MP2/{BASIS}",
        "method_spread_kcal_mol": "",
        "scs_mp2_kcal_mol": kcal(part["scs_mp2"]),
        "mmff94_kcal_mol": kcal(part["mmff94"]),
        "gfn2_xtb_kcal_mol": kcal(part["gfn2_xtb"]),
        "potential_kcal_mol": kcal(lowest),
        "rotamers_and_vibrations_kcal_mol": kcal(part["mp2"] - lowest),
        "left_out_kcal_mol": kcal(max(abs(own["left_out_mmff94"]), abs(own["left_out_gfn2_xtb"]))),
        "gap_kcal_mol": kcal(own["gap_mp2"]),
        "chair_a": molecule["chair_a"],
        "chair_b": molecule["chair_b"],
        "conformers_a": in_a,
        "conformers_b": in_b,
        "hydrogen_bonds_a": hydrogen_bonds(rows, "A"),
        "hydrogen_bonds_b": hydrogen_bonds(rows, "B"),
        "geometry": GEOMETRY,
    }


def without_kind(name: str) -> str:
    """The conformer's id in a job's id such as 'def2-qzvp | 1 up F | A | 1'."""
    return " | ".join(name.split(" | ")[-3:])


# Method spread: lowest conformer of each chair, electronic energies only


def special(results: dict[str, Row], kind: str) -> dict[str, dict[str, Row]]:
    """Results of a kind by molecule and chair, for molecules that have both chairs."""
    found: dict[str, dict[str, Row]] = defaultdict(dict)
    for name, row in results.items():
        if name.startswith(f"{kind} | "):
            _, molecule, letter, _ = name.split(" | ")
            found[molecule][letter] = row
    return {molecule: chairs for molecule, chairs in found.items() if set(chairs) == {"A", "B"}}


def spread_quantities(chairs: dict[str, Row], triple: dict[str, Row]) -> Row:
    """Differences B - A, kcal/mol, in def2-QZVP and in def2-TZVP for the same two geometries."""

    def between(energy: Energy, of: dict[str, Row]) -> float:
        return energy(of["B"]) - energy(of["A"])

    def limit(row: Row, small: Row) -> float:
        # (2) correlation energy to the limit by X^-3 from X = 3, 4 (A. Halkier et al., Chem. Phys. Lett.
        # 1998, 286, 243, from memory)
        return by_hf(row) + (64.0 * (by_mp2(row) - by_hf(row)) - 27.0 * (by_mp2(small) - by_hf(small))) / 37.0

    return {
        "mp2_tzvp": between(by_mp2, triple),
        "mp2_qzvp": between(by_mp2, chairs),
        "scs_mp2_tzvp": between(by_scs_mp2, triple),
        "scs_mp2_qzvp": between(by_scs_mp2, chairs),
        "mp2_limit": limit(chairs["B"], triple["B"]) - limit(chairs["A"], triple["A"]),
    }


def coupled_cluster_quantities(chairs: dict[str, Row]) -> Row:
    """Differences B - A in def2-SVP, kcal/mol."""

    def between(*names: str) -> float:
        return HARTREE_KCAL_MOL * sum(chairs["B"][name] - chairs["A"][name] for name in names)

    return {
        "mp2_svp": between("hf_hartree", "mp2_correlation_hartree"),
        "ccsd_t_svp": between("hf_hartree", "ccsd_correlation_hartree", "triples_hartree"),
    }


def spread_rows(results: dict[str, Row], molecules: dict[str, Row]) -> list[Row]:
    """Pair parts (or, for one group, gaps) of the potential energy by method, kcal/mol."""
    quantities: dict[str, Row] = defaultdict(dict)
    for name, chairs in special(results, "def2-qzvp").items():
        triple = {letter: results[without_kind(row["id"])] for letter, row in chairs.items()}
        quantities[name] |= spread_quantities(chairs, triple)
    for name, chairs in special(results, "ccsd(t)").items():
        quantities[name] |= coupled_cluster_quantities(chairs)
    rows = []
    for name, own in quantities.items():
        molecule = molecules[name]
        values = {}
        for quantity in own:
            alone = [quantities.get(f"1 up {group}", {}).get(quantity) for group in molecule["groups"]]
            if molecule["relation"] == "single":
                values[quantity] = own[quantity]
            elif None not in alone:
                values[quantity] = pair_part(molecule, quantities, quantity)
        rows.append(spread_row(molecule, values))
    return rows


def spread_row(molecule: Row, values: Row) -> Row:
    def text(name: str) -> str:
        return kcal(values[name]) if name in values else ""

    def difference(one: str, other: str) -> str:
        return kcal(values[one] - values[other]) if one in values and other in values else ""

    return {
        "molecule": molecule["molecule"],
        "relation": molecule["relation"],
        "chair_a": molecule["chair_a"],
        "chair_b": molecule["chair_b"],
        "quantity": "gap of the potential energy"
        if molecule["relation"] == "single"
        else "pair part of the potential energy",
        "mp2_tzvp_kcal_mol": text("mp2_tzvp"),
        "mp2_qzvp_kcal_mol": text("mp2_qzvp"),
        "mp2_limit_kcal_mol": text("mp2_limit"),
        "scs_mp2_tzvp_kcal_mol": text("scs_mp2_tzvp"),
        "mp2_svp_kcal_mol": text("mp2_svp"),
        "ccsd_t_svp_kcal_mol": text("ccsd_t_svp"),
        "qzvp_minus_tzvp_kcal_mol": difference("mp2_qzvp", "mp2_tzvp"),
        "limit_minus_tzvp_kcal_mol": difference("mp2_limit", "mp2_tzvp"),
        "scs_mp2_minus_mp2_kcal_mol": difference("scs_mp2_tzvp", "mp2_tzvp"),
        "ccsd_t_minus_mp2_kcal_mol": difference("ccsd_t_svp", "mp2_svp"),
    }


# Files


def write_table(path: Path, rows: list[Row]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def main() -> None:
    parser = argparse.ArgumentParser(description="Tables of pair interactions from raw energies.")
    parser.add_argument("folder", type=Path, help="where the tables are written")
    folder = parser.parse_args().folder
    here = Path(__file__).parent
    prepared = read_lines(here / "molecules.jsonl.gz")
    molecules = {row["molecule"]: row for row in prepared if "failed" not in row}
    conformers = read_lines(here / "conformers.jsonl.gz")
    results = {row["id"]: row for row in read_lines(here / "results.jsonl.gz") if "failed" not in row}
    every = finished(conformers, results)
    done = {name: [row for row in rows if "hf_hartree" in row] for name, rows in every.items()}
    gaps = {name: gaps_of(done[name], rows) for name, rows in every.items()}
    single = [name for name in done if molecules[name]["relation"] == "single"]
    pairs = [
        name
        for name in done
        if name not in single and all(f"1 up {group}" in gaps for group in molecules[name]["groups"])
    ]
    singles = [single_row(molecules[name], done[name], gaps[name]) for name in single]
    write_table(folder / "single_groups.csv", singles)
    rows = [pair_row(molecules[name], done[name], gaps) for name in pairs]
    spreads = spread_rows(results, molecules)
    write_table(folder / "method_spread.csv", spreads)
    relations = by_relation(rows, spreads)
    write_table(folder / "method_spread_by_relation.csv", relations)
    add_method_spread(rows, relations)
    write_table(folder / "pair_interactions.csv", rows)


if __name__ == "__main__":
    main()
