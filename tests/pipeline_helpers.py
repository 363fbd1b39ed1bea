"""Molecules through the whole pipeline in few words. A test process computes each of them once."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np
from threadpoolctl import threadpool_limits

from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.compare.thermochemistry import gibbs_kcal_mol
from chairgap.errors import Place
from chairgap.minimise.rdkit_engine import RdkitModel, rdkit_model
from chairgap.model.reference_compounds import Memo
from chairgap.molecule.build import build_molecules, open_molecule
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import (
    GAS_PHASE,
    ChairLetter,
    Conformer,
    Engine,
    Floats,
    ForceField,
    Medium,
    Molecule,
    MoleculeRequest,
    Result,
    SearchSettings,
    Settings,
    Tables,
    Topology,
)
from chairgap.run import treat
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.tables.shipped import TableReader

READER = TableReader()
TABLES = READER.tables("chairgap")
TABLE = TABLES.estimate
SETTINGS = Settings(title="test", output="reports/test")
CYCLOHEXANE = "1 up H"


@cache
def molecule(groups_by_face: str) -> Molecule:
    """The one molecule of a list of groups by face such as '1 up CH3, 2 down OH'."""
    request = MoleculeRequest(
        name=groups_by_face, place=Place(), substituents=read_group_list(groups_by_face).groups
    )
    (built,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    return built


def molecule_from_smiles(smiles: str) -> Molecule:
    request = MoleculeRequest(name="m", place=Place(), smiles=smiles)
    (built,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    return built


@cache
def treated(
    groups_by_face: str,
    *,
    force_field: ForceField = "MMFF94",
    engine: Engine = "compiled",
    temperature_k: float = 298.15,
    seed: int = 1,
    medium: Medium = GAS_PHASE,
) -> Result:
    """The pipeline's result for a list of groups by face."""
    settings = Settings(
        title="test",
        output="reports/test",
        force_field=force_field,
        engine=engine,
        temperature_k=temperature_k,
        medium=medium,
        search=SearchSettings(seed=seed),
    )
    return treated_with(molecule(groups_by_face), settings)


def treated_with(built: Molecule, settings: Settings) -> Result:
    """The pipeline's result; parts of molecules with the same settings are computed once."""
    with threadpool_limits(1):
        return treat(built, tables_for(settings), settings, _memo(settings))


def tables_for(settings: Settings) -> Tables:
    """The tables with the rows nearest to each medium of the series."""
    names = [medium.name for medium in settings.medium_series]
    rows = {name: READER.estimate_table("chairgap", name, settings.temperature_k) for name in names}
    return replace(TABLES, in_media=rows)


@cache
def _memo(_: Settings) -> Memo:
    return {}


def treated_molecule(built: Molecule) -> Result:
    """The pipeline's result, default settings, for a molecule already built; not kept."""
    return treated_with(built, SETTINGS)


@cache
def lattice(groups_by_face: str) -> Lattice:
    return build_lattice(molecule(groups_by_face), "MMFF94", 1)


def mmff94(groups_by_face: str) -> RdkitModel:
    return rdkit_model(open_molecule(molecule(groups_by_face)), "MMFF94")


def in_chair(result: Result, letter: ChairLetter) -> list[Conformer]:
    """Conformers with degeneracies in a chair, lowest first."""
    return [item for item in result.conformers if (item.degeneracy_a if letter == "A" else item.degeneracy_b)]


def non_chairs(result: Result) -> list[Conformer]:
    return [item for item in result.conformers if item.degeneracy_other]


def neighbours(topology: Topology, atom: int) -> list[int]:
    """Bonded atoms in order of their numbers."""
    found = [int(b if a == atom else a) for a, b in topology.bonds if atom in (a, b)]
    return sorted(found)


def torsion_deg(positions: Floats, a: int, b: int, c: int, d: int) -> float:
    """Dihedral a-b-c-d, -180..180 degrees, from the two perpendiculars to b-c (sign: clockwise positive)."""
    axis = positions[c] - positions[b]
    axis = axis / np.linalg.norm(axis)
    first = positions[a] - positions[b]
    last = positions[d] - positions[c]
    first = first - (first @ axis) * axis
    last = last - (last @ axis) * axis
    return float(np.degrees(np.arctan2(np.cross(first, last) @ axis, first @ last)))


def ring_torsions_deg(result_or_topology: Result | Topology, positions: Floats) -> Floats:
    """The six torsions of the ring, along C1-C2, C2-C3 ... C6-C1."""
    given = result_or_topology
    ring = (given.molecule.topology if isinstance(given, Result) else given).ring.tolist()
    return np.array(
        [torsion_deg(positions, *(ring[(k + step) % 6] for step in (-1, 0, 1, 2))) for k in range(6)]
    )


def rotation(rng: np.random.Generator) -> Floats:
    """A random proper rotation (3, 3)."""
    matrix, triangle = np.linalg.qr(rng.normal(size=(3, 3)))
    matrix = matrix * np.sign(np.diag(triangle))
    matrix[:, 0] *= np.sign(np.linalg.det(matrix))
    result: Floats = matrix
    return result


def free_energy(result: Result, members: Sequence[tuple[Conformer, int]], temperature_k: float) -> float:
    """Gibbs energy, kcal/mol, of conformers with degeneracies at any temperature, not only the study's."""
    energies = [
        gibbs_kcal_mol(
            item.minimum.energy_kcal_mol,
            item.minimum.frequencies_cm1,
            item.minimum.positions,
            result.molecule.topology.masses_u,
            temperature_k,
        )
        for item, _ in members
    ]
    total = ensemble_kcal_mol(energies, [degeneracies for _, degeneracies in members], temperature_k)
    assert total is not None
    return total


def free_energy_of_all_forms(result: Result, temperature_k: float) -> float:
    """Gibbs energy of a molecule with all its forms, chairs or not."""
    return free_energy(result, [(item, item.degeneracy) for item in result.conformers], temperature_k)


def enthalpy_of_all_forms(result: Result, temperature_k: float) -> float:
    """H = G - T dG/dT of a molecule with all its forms, kcal/mol."""
    slope = free_energy_of_all_forms(result, temperature_k + 0.5) - free_energy_of_all_forms(
        result, temperature_k - 0.5
    )
    return free_energy_of_all_forms(result, temperature_k) - temperature_k * slope


def chair_free_energy(result: Result, letter: ChairLetter, temperature_k: float) -> float:
    """Gibbs energy of one chair with all its rotamers."""
    members = in_chair(result, letter)
    degeneracies = [item.degeneracy_a if letter == "A" else item.degeneracy_b for item in members]
    return free_energy(result, list(zip(members, degeneracies, strict=True)), temperature_k)


def enthalpy_and_entropy_gap(result: Result, temperature_k: float) -> tuple[float, float]:
    """H(B) - H(A) in kcal/mol and S(B) - S(A) in cal/mol/K, from G at temperatures 1 K apart."""

    def gap(at_k: float) -> float:
        return chair_free_energy(result, "B", at_k) - chair_free_energy(result, "A", at_k)

    # (1) S = -dG/dT; (2) H = G + T S
    entropy = -(gap(temperature_k + 0.5) - gap(temperature_k - 0.5))
    return gap(temperature_k) + temperature_k * entropy, 1000.0 * entropy
