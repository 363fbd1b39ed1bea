"""Job list and geometries for the pair interactions: the force field's conformers, minimised by GFN2-xTB.

    python prepare_conformers.py equilibria.tsv OUT [--most N]

writes OUT/molecules.jsonl (one line a molecule) and OUT/conformers.jsonl (one line a conformer, with its
geometry) in order of importance; a second call goes on where the first stopped. Needs chairgap 0.4.0 with
tblite. Energies are potential energies unless called otherwise; temperature 298.15 K; gas phase.

Conformers: those of chairgap's search with MMFF94 within SENT_KCAL_MOL of the lowest of their chair, each
minimised again with GFN2-xTB (Bannwarth, Ehlert, Grimme, J. Chem. Theory Comput. 2019, 15, 1652). One is
dropped when it leaves its chair, its stereochemistry or its rotamer, or repeats another. Of the rest the
lowest by GFN2-xTB potential plus MMFF94's thermal part are kept, within a window and at most so many a chair;
the lowest by MMFF94 is always among them.
"""

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement
from pathlib import Path

import numpy as np
from chairgap.shape.copies import count_copies
from chairgap.treat import on_surface, search

from chairgap.errors import ChairgapError, Place
from chairgap.minimise.xtb_engine import XtbModel, xtb_model
from chairgap.molecule.build import build_molecules, open_molecule
from chairgap.molecule.stereo import stereo_survives
from chairgap.molecule.substituents import parse_spoken
from chairgap.records import (
    Computation,
    Conformer,
    EstimateTable,
    Molecule,
    MoleculeRequest,
    SearchSettings,
    Settings,
)
from chairgap.search.lattice import Lattice
from chairgap.shape.canonical import ring_shape
from chairgap.shape.duplicates import is_same_conformer
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from chairgap.shape.positions import which_chair
from chairgap.tables import read_estimate_table
from chairgap.units import HARTREE_KCAL_MOL

CORE = ("CH3", "OH", "Cl", "Br", "F")
COMMON = (*CORE, "OCH3", "NH2", "C2H5", "CH(CH3)2", "CO2CH3", "C6H5", "C(CH3)3")
GROUPS = (*COMMON, "CF3", "OCOCH3", "I", "N(CH3)2", "CN", "CHO", "NO2", "SH")
# Of the published equilibria also those with this group.
ETHOXY = "OC2H5"
POLAR = frozenset(GROUPS) - {"CH3", "C2H5", "CH(CH3)2", "C6H5", "C(CH3)3"}
# Groups that turn and can give or take a hydrogen bond: more conformers are kept for each.
POLAR_ROTORS = frozenset({"OH", "OCH3", ETHOXY, "NH2", "CO2CH3", "OCOCH3", "N(CH3)2", "CHO", "SH"})

RELATIONS = {
    "trans-1,2": ("1 up", "2 down"),
    "cis-1,2": ("1 up", "2 up"),
    "cis-1,3": ("1 up", "3 up"),
    "geminal": ("1 up", "1 down"),
    "trans-1,3": ("1 up", "3 down"),
    "trans-1,4": ("1 up", "4 down"),
    "cis-1,4": ("1 up", "4 up"),
}
NEAR, FAR = tuple(RELATIONS)[:4], tuple(RELATIONS)[4:]
# With two equal groups the chairs of the other relations are equal by symmetry: gap 0.
LIKE_TOO = frozenset({"trans-1,2", "cis-1,3", "trans-1,4"})
SPELLINGS = {
    "Me": "CH3",
    "Et": "C2H5",
    "tBu": "C(CH3)3",
    "Ph": "C6H5",
    "OMe": "OCH3",
    "OEt": ETHOXY,
    "NMe2": "N(CH3)2",
    "OAc": "OCOCH3",
}

TEMPERATURE_K = 298.15
SEARCH = SearchSettings(window_kcal_mol=4.0)
SENT_KCAL_MOL = 3.0
MOST_SENT = 8
KEPT_KCAL_MOL, KEPT_SINGLE_KCAL_MOL = 1.5, 2.5
MOST_KEPT, MOST_KEPT_SINGLE = 2, 5
TURNED_DEG = 50.0


@dataclass(frozen=True, kw_only=True)
class Job:
    """A molecule as groups by ring carbon and face; relation is 'single' for one group."""

    text: str
    relation: str
    groups: tuple[str, ...]
    importance: int

    @property
    def key(self) -> tuple[str, tuple[str, ...]]:
        return self.relation, tuple(sorted(self.groups))


@dataclass(frozen=True, kw_only=True)
class Relaxed:
    """A conformer of the force field after minimisation by GFN2-xTB."""

    conformer: Conformer
    chair: str
    positions: np.ndarray
    xtb_kcal_mol: float
    turned_deg: float

    @property
    def thermal_kcal_mol(self) -> float:
        return self.conformer.gibbs_kcal_mol - self.conformer.minimum.energy_kcal_mol

    @property
    def level_kcal_mol(self) -> float:
        return self.xtb_kcal_mol + self.thermal_kcal_mol


def job_list(equilibria: Path) -> list[Job]:
    """Every molecule once, the most important first."""
    jobs = [
        Job(text=f"1 up {group}", relation="single", groups=(group,), importance=0)
        for group in (*GROUPS, ETHOXY)
    ]
    jobs += published(equilibria)
    jobs += pairs(CORE, CORE, NEAR, 2)
    jobs += pairs(CORE, COMMON, NEAR, 3)
    jobs += pairs(CORE, CORE, FAR, 4)
    jobs += pairs(COMMON, COMMON, NEAR, 5)
    jobs += pairs(("CH3", "OH", "Cl"), GROUPS, NEAR, 6)
    polar = tuple(group for group in COMMON if group in POLAR)
    jobs += pairs(polar, polar, FAR, 7)
    jobs += pairs(COMMON, COMMON, FAR, 8)
    jobs += pairs(("CH3", "OH", "Cl"), GROUPS, FAR, 9)
    first: dict[tuple[str, tuple[str, ...]], Job] = {}
    for job in jobs:
        first.setdefault(job.key, job)
    return list(first.values())


def published(equilibria: Path) -> list[Job]:
    """The disubstituted molecules of the table of published equilibria whose groups are all treated alone."""
    jobs = []
    for line in equilibria.read_text().splitlines()[1:]:
        pieces = [piece.split() for piece in line.split("\t")[1].split(", ")]
        groups = tuple(SPELLINGS.get(piece[2], piece[2]) for piece in pieces)
        if len(groups) == 2 and set(groups) <= {*GROUPS, ETHOXY}:
            places = tuple(" ".join(piece[:2]) for piece in pieces)
            relation = next(name for name, pattern in RELATIONS.items() if pattern == places)
            jobs += [pair(groups, relation, 1)] if is_wanted(groups, relation) else []
    return jobs


def pairs(
    ones: tuple[str, ...], others: tuple[str, ...], relations: tuple[str, ...], importance: int
) -> list[Job]:
    """All pairs of one of `ones` and one of `others`, relation by relation."""
    chosen = [(a, b) for a, b in combinations_with_replacement(others, 2) if a in ones or b in ones]
    return [pair(two, name, importance) for name in relations for two in chosen if is_wanted(two, name)]


def is_wanted(groups: tuple[str, ...], relation: str) -> bool:
    """False where symmetry makes the two chairs equal."""
    return groups[0] != groups[1] or relation in LIKE_TOO


def pair(groups: tuple[str, ...], relation: str, importance: int) -> Job:
    text = ", ".join(f"{place} {group}" for place, group in zip(RELATIONS[relation], groups, strict=True))
    return Job(text=text, relation=relation, groups=groups, importance=importance)


def prepare(job: Job, table: EstimateTable) -> tuple[dict, list[dict]]:
    """The line of the molecule and those of its conformers. Raises ChairgapError."""
    settings = Settings(title="pairs", output="", temperature_k=TEMPERATURE_K, search=SEARCH)
    request = MoleculeRequest(name=job.text, place=Place(), substituents=parse_spoken(job.text))
    (molecule,) = build_molecules(request, table, force_field="MMFF94", atom_limit=settings.atom_limit)
    searched = search(molecule, settings)
    computed, lattice = on_surface(searched, settings), searched.lattice
    model = xtb_model(open_molecule(molecule))
    rows: list[dict] = []
    counts = {}
    for letter in ("A", "B"):
        sent = to_send(computed, letter)
        relaxed = distinct([relax(item, letter, computed, lattice, model) for item in sent], lattice)
        kept = select(relaxed, job)
        counts[letter] = (len(sent), len(relaxed), len(kept))
        rows += [conformer_line(job, computed, lattice, item, relaxed, kept) for item in relaxed]
    return molecule_line(job, molecule, computed, counts), rows


def to_send(computed: Computation, letter: str) -> list[Conformer]:
    """The conformers of a chair worth minimising, the lowest potential first."""
    held = [item for item in computed.conformers if letter in item.chairs_held]
    held.sort(key=lambda item: item.minimum.energy_kcal_mol)
    return [
        item
        for item in held[:MOST_SENT]
        if item.minimum.energy_kcal_mol <= held[0].minimum.energy_kcal_mol + SENT_KCAL_MOL
    ]


def relax(
    item: Conformer, letter: str, computed: Computation, lattice: Lattice, model: XtbModel
) -> Relaxed | None:
    """The conformer on the surface of GFN2-xTB; None when it does not survive there."""
    topology = computed.molecule.topology
    start = item.minimum.positions
    positions = model.minimise(start)
    if positions is None or not stereo_survives(computed.molecule, positions):
        return None
    if which_chair(ring_shape(positions[topology.ring]), computed.chairs) != letter:
        return None
    turned = largest_turn_deg(start, positions, lattice.chains)
    energy, _ = model.energy_and_gradient(positions)
    return Relaxed(conformer=item, chair=letter, positions=positions, xtb_kcal_mol=energy, turned_deg=turned)


def largest_turn_deg(before: np.ndarray, after: np.ndarray, chains: np.ndarray) -> float:
    """The largest change of a rotor's dihedral, degrees."""
    if not len(chains):
        return 0.0
    change = dihedrals_deg(after, chains) - dihedrals_deg(before, chains)
    return float(np.abs((change + 180.0) % 360.0 - 180.0).max())


def dihedrals_deg(positions: np.ndarray, chains: np.ndarray) -> np.ndarray:
    """Dihedrals i-j-k-l (t,) in degrees of chains (t, 4)."""
    a, b, c, d = np.moveaxis(positions[chains], 1, 0)
    one, axis, two = b - a, c - b, d - c
    first, second = np.cross(one, axis), np.cross(axis, two)
    length = np.linalg.norm(axis, axis=1)
    return np.degrees(np.arctan2((one * second).sum(1) * length, (first * second).sum(1)))


def distinct(items: list[Relaxed | None], lattice: Lattice) -> list[Relaxed]:
    """Those that survived, repeats left out (the one that turned least stays), lowest level first."""
    kept: list[Relaxed] = []
    survivors = [item for item in items if item]
    # Where every conformer turns (geminal OH and F) their common minimum is taken, and its turn is recorded.
    true = [item for item in survivors if item.turned_deg <= TURNED_DEG] or survivors
    for item in sorted(true, key=lambda item: item.turned_deg):
        topology = lattice.molecule.topology
        if not any(
            is_same_conformer(topology, lattice.relabellings, one.positions, item.positions) for one in kept
        ):
            kept.append(item)
    return sorted(kept, key=lambda item: item.level_kcal_mol)


def select(relaxed: list[Relaxed], job: Job) -> list[Relaxed]:
    """The conformers of a chair to compute: the lowest within the window, and MMFF94's lowest."""
    if not relaxed:
        return []
    single = job.relation == "single"
    window = KEPT_SINGLE_KCAL_MOL if single else KEPT_KCAL_MOL
    most = MOST_KEPT_SINGLE if single else MOST_KEPT + sum(group in POLAR_ROTORS for group in job.groups)
    kept = [item for item in relaxed if item.level_kcal_mol <= relaxed[0].level_kcal_mol + window][:most]
    favourite = min(relaxed, key=lambda item: item.conformer.minimum.energy_kcal_mol)
    if not any(item is favourite for item in kept):
        kept = [*kept[: most - 1], favourite] if len(kept) == most else [*kept, favourite]
    return kept


def degeneracy(item: Relaxed, lattice: Lattice) -> int:
    """Labelled copies in the conformer's chair, counted anew for one that turned."""
    if item.turned_deg > TURNED_DEG:
        return count_copies(lattice.molecule.topology, lattice.operations, item.positions).own
    return item.conformer.copies_a if item.chair == "A" else item.conformer.copies_b


def conformer_line(
    job: Job,
    computed: Computation,
    lattice: Lattice,
    item: Relaxed,
    relaxed: list[Relaxed],
    kept: list[Relaxed],
) -> dict:
    chair = computed.chairs[item.chair == "B"]
    molecule, conformer = computed.molecule, item.conformer
    return {
        "id": f"{job.text} | {item.chair} | {conformer.number}",
        "molecule": job.text,
        "smiles": molecule.smiles,
        "relation": job.relation,
        "chair": item.chair,
        "chair_name": chair.name,
        "conformer": conformer.number,
        "degeneracy": degeneracy(item, lattice),
        "mmff94_potential_kcal_mol": round(conformer.minimum.energy_kcal_mol, 6),
        "mmff94_thermal_kcal_mol": round(item.thermal_kcal_mol, 6),
        "gfn2_xtb_hartree": round(item.xtb_kcal_mol / HARTREE_KCAL_MOL, 9),
        "hydrogen_bonds": len(hydrogen_bonds(molecule.topology, item.positions)),
        "turned_deg": round(item.turned_deg, 1),
        "rank": next(rank for rank, one in enumerate(relaxed) if one is item),
        "computed": any(one is item for one in kept),
        "importance": job.importance,
        "symbols": list(molecule.topology.symbols),
        "positions_angstrom": np.round(item.positions, 6).tolist(),
    }


def molecule_line(
    job: Job, molecule: Molecule, computed: Computation, counts: dict[str, tuple[int, ...]]
) -> dict:
    chair_a, chair_b = computed.chairs
    axial_in_b = [group.position == "axial" for group in chair_b.groups]
    return {
        "molecule": job.text,
        "smiles": molecule.smiles,
        "relation": job.relation,
        "importance": job.importance,
        "groups": [group.group for group in chair_b.groups],
        "locants": [group.carbon for group in chair_b.groups],
        "axial_in_b": axial_in_b,
        "chair_a": chair_a.name,
        "chair_b": chair_b.name,
        "mmff94_gap_gibbs_kcal_mol": computed.gaps.gibbs_kcal_mol,
        "mmff94_gap_potential_kcal_mol": computed.gaps.potential_kcal_mol,
        "sent_survived_kept_a": counts["A"],
        "sent_survived_kept_b": counts["B"],
    }


def todo(jobs: list[Job], out: Path) -> Iterator[Job]:
    """The jobs that have no line yet."""
    path = out / "molecules.jsonl"
    lines = path.read_text().splitlines() if path.exists() else []
    done = {json.loads(line)["molecule"] for line in lines}
    return (job for job in jobs if job.text not in done)


def main() -> None:
    parser = argparse.ArgumentParser(description="Conformers and GFN2-xTB geometries for pair interactions.")
    parser.add_argument("equilibria", type=Path, help="table of published equilibria")
    parser.add_argument("out", type=Path, help="folder for molecules.jsonl and conformers.jsonl")
    parser.add_argument("--most", type=int, default=10_000, help="stop after so many molecules")
    asked = parser.parse_args()
    asked.out.mkdir(exist_ok=True)
    table = read_estimate_table("chairgap")
    for _, job in zip(range(asked.most), todo(job_list(asked.equilibria), asked.out), strict=False):
        try:
            line, rows = prepare(job, table)
        except ChairgapError as error:
            line, rows = {"molecule": job.text, "relation": job.relation, "failed": error.message}, []
        with (asked.out / "conformers.jsonl").open("a") as file:
            file.writelines(json.dumps(row) + "\n" for row in rows)
        with (asked.out / "molecules.jsonl").open("a") as file:
            file.write(json.dumps(line) + "\n")


if __name__ == "__main__":
    main()
