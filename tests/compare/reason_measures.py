"""The numbers behind the reasons, measured from a result by other code than that of the reasons.

Energies in kcal/mol, E(B) - E(A); every measure takes the result and the temperature in kelvin.
"""

import math
from collections.abc import Callable

import numpy as np
from rdkit import Chem

from chairgap.molecule.build import open_molecule
from chairgap.records import ChairLetter, Conformer, Floats, Result
from pipeline_helpers import (
    TABLE,
    chair_free_energy,
    enthalpy_and_entropy_gap,
    in_chair,
    neighbours,
    torsion_deg,
    treated,
)

GAS_KCAL_MOL_K = 8.314462618 / 4184.0  # CODATA 2018
ACCEPTING = {"N", "O", "F", "Cl", "S"}


def best(result: Result, letter: ChairLetter) -> Conformer:
    return min(in_chair(result, letter), key=lambda item: item.minimum.energy_kcal_mol)


def kcal(value: float | None) -> float:
    assert value is not None
    return value


def non_chair_share(result: Result, temperature_k: float) -> float:
    """All conformers by e^(-G/RT) and degeneracy, G as listed."""
    base = min(item.gibbs_kcal_mol for item in result.conformers)
    rt = GAS_KCAL_MOL_K * temperature_k
    weights = [
        (math.exp(-(item.gibbs_kcal_mol - base) / rt), item.degeneracy_other, item.degeneracy)
        for item in result.conformers
    ]
    return sum(w * other for w, other, _ in weights) / sum(w * every for w, _, every in weights)


def chairs_without_a_minimum(result: Result, _: float) -> float:
    letters: tuple[ChairLetter, ChairLetter] = ("A", "B")
    return sum(not in_chair(result, letter) for letter in letters)


def largest_net_charge(result: Result, _: float) -> float:
    """By RDKit, of each group as a fragment."""
    fragments = [ligand.fragment for _, ligand in result.molecule.topology.groups]
    return max(abs(Chem.GetFormalCharge(Chem.MolFromSmiles(fragment))) for fragment in fragments)


def gibbs_gap_size(result: Result, _: float) -> float:
    return abs(kcal(result.gaps.gibbs_kcal_mol))


def values_missing(result: Result, _: float) -> float:
    """Groups and pairs without a table row, counted in chair B less in chair A; those that are left."""
    net: dict[tuple[str, ...], int] = {}
    for term in result.estimate.terms:
        if term.value_kcal_mol is None:
            # Geminal: it matters which of the two is axial; the ledger puts that one first.
            groups = term.groups if term.kind == "geminal" else tuple(sorted(term.groups))
            key = (term.kind, *groups)
            net[key] = net.get(key, 0) + (1 if term.chair == "B" else -1)
    return sum(count != 0 for count in net.values())


def polar_contacts(
    result: Result, letter: ChairLetter, conformer: Conformer | None = None
) -> list[tuple[float, float]]:
    """(H...Y angstrom, X-H...Y degrees) below 3 angstrom between two groups; Y is no positive nitrogen."""
    topology, positions = result.molecule.topology, (conformer or best(result, letter)).minimum.positions
    mol: Chem.Mol = open_molecule(result.molecule)
    ring = set(topology.ring.tolist())
    found = []
    for hydrogen in (atom.GetIdx() for atom in mol.GetAtoms() if atom.GetSymbol() == "H"):
        (donor,) = neighbours(topology, hydrogen)
        if topology.symbols[donor] not in ("N", "O"):
            continue
        own = group_of(result, donor, ring)
        for atom in mol.GetAtoms():
            other = atom.GetIdx()
            lone_pair = atom.GetSymbol() in ACCEPTING and not (
                atom.GetSymbol() == "N" and atom.GetFormalCharge() > 0
            )
            if not lone_pair or other in own:
                continue
            back, ahead = positions[donor] - positions[hydrogen], positions[other] - positions[hydrogen]
            sizes = float(np.linalg.norm(back)), float(np.linalg.norm(ahead))
            angle = float(np.degrees(np.arccos(back @ ahead / sizes[0] / sizes[1])))
            found.append((sizes[1], angle))
    return sorted(item for item in found if item[0] < 3.0)


def group_of(result: Result, atom: int, ring: set[int]) -> set[int]:
    """All atoms reached from one without crossing the ring."""
    known, todo = {atom}, [atom]
    while todo:
        for near in neighbours(result.molecule.topology, todo.pop()):
            if near not in known and near not in ring:
                known.add(near)
                todo.append(near)
    return known


def bond_length(result: Result, _: float) -> float:
    """The shortest contact at 100 degrees or more; within 2.5 angstrom, only one chair has any."""
    a, b = ([c[0] for c in polar_contacts(result, letter) if c[1] >= 100.0] for letter in ("A", "B"))
    assert not (a and b) or max(min(a), min(b)) > 2.5, "both chairs of this molecule have a bond"
    return min(a + b)


def bond_length_of_low_conformers(result: Result, _: float) -> float:
    """As `bond_length`, over all conformers within 2 kcal/mol of the lowest of their chair."""
    shortest = []
    letters: tuple[ChairLetter, ChairLetter] = ("A", "B")
    for letter in letters:
        held = in_chair(result, letter)
        ceiling = held[0].minimum.energy_kcal_mol + 2.0
        low = [item for item in held if item.minimum.energy_kcal_mol <= ceiling]
        contacts = [contact for item in low for contact in polar_contacts(result, letter, item)]
        shortest.append(min((length for length, angle in contacts if angle >= 100.0), default=9.0))
    assert max(shortest) > 2.5, "both chairs of this molecule can have a bond"
    return min(shortest)


def dipole_difference(result: Result, _: float) -> float:
    """From the charges, sum q r, in debye (1 e angstrom = 4.803 D, CODATA 2018)."""
    charges = result.molecule.topology.charges_e
    assert charges is not None
    a, b = (
        4.803205 * float(np.linalg.norm(charges @ best(result, letter).minimum.positions))
        for letter in ("A", "B")
    )
    return b - a


def flat_turn(result: Result, _: float) -> float:
    """The largest change of the turn of a flat group about its bond to the ring, degrees."""
    topology = result.molecule.topology
    changes = []
    for locant, ligand in topology.groups:
        carbon = topology.carbons[locant - 1]
        (other,) = [item.atom for item in carbon.ligands if item.atom != ligand.atom]
        ends = [near for near in neighbours(topology, ligand.atom) if near != carbon.atom]
        turns = []
        for letter in ("A", "B"):
            positions = best(result, letter).minimum.positions
            if len(ends) == 2 and out_of_plane_angstrom(positions, ligand.atom, carbon.atom, *ends) < 0.15:
                torsions = [abs(torsion_deg(positions, other, carbon.atom, ligand.atom, end)) for end in ends]
                turns.append(min(min(angle, 180.0 - angle) for angle in torsions))
        if len(turns) == 2:
            changes.append(abs(turns[1] - turns[0]))
    return max(changes)


def out_of_plane_angstrom(positions: Floats, centre: int, *around: int) -> float:
    """Height of an atom above the plane of its three neighbours."""
    one, two, three = positions[list(around)]
    normal = np.cross(two - one, three - one)
    return abs(float((positions[centre] - one) @ normal) / float(np.linalg.norm(normal)))


def part_sum(kind: str, relation: str = "") -> Callable[[Result, float], float]:
    def measured(result: Result, _: float) -> float:
        return sum(
            part.computed_kcal_mol - (part.tabulated_kcal_mol or 0.0)
            for part in result.split.parts
            if part.kind == kind and part.relation == relation
        )

    return measured


def single_group_errors(result: Result, _: float) -> float:
    """Each group's own gap less its A-value, axial in B counting +, from molecules with that group alone."""
    total = 0.0
    for group in result.chairs[1].groups:
        alone = kcal(treated(f"1 up {group.group}").gaps.gibbs_kcal_mol)
        (row,) = [row for row in TABLE.a_values if row.group == group.group]
        total += (1 if group.position == "axial" else -1) * (alone - row.value_kcal_mol)
    return total


def ensemble_minus_potential(result: Result, temperature_k: float) -> float:
    sums = []
    for letter in ("A", "B"):
        low = best(result, letter).minimum.energy_kcal_mol
        sums.append(
            sum(
                (item.degeneracy_a if letter == "A" else item.degeneracy_b)
                * math.exp(-(item.minimum.energy_kcal_mol - low) / (GAS_KCAL_MOL_K * temperature_k))
                for item in in_chair(result, letter)
            )
        )
    return -GAS_KCAL_MOL_K * temperature_k * math.log(sums[1] / sums[0])


def gibbs_minus_ensemble(result: Result, temperature_k: float) -> float:
    gibbs = chair_free_energy(result, "B", temperature_k) - chair_free_energy(result, "A", temperature_k)
    return gibbs - kcal(result.gaps.potential_kcal_mol) - ensemble_minus_potential(result, temperature_k)


def minus_t_ds(result: Result, temperature_k: float) -> float:
    """From the slope of the Gibbs gap with temperature."""
    return -temperature_k * enthalpy_and_entropy_gap(result, temperature_k)[1] / 1000.0


def away_from_193_k(result: Result, temperature_k: float) -> float:
    """The halogens' and SH's A-values are of 193 K (Jensen, Bushweller & Beck 1969)."""
    here, there = (
        chair_free_energy(result, "B", at) - chair_free_energy(result, "A", at)
        for at in (temperature_k, 193.0)
    )
    return here - there


def degeneracies_of_the_best(result: Result, temperature_k: float) -> float:
    ratio = best(result, "A").degeneracy_a / best(result, "B").degeneracy_b
    return GAS_KCAL_MOL_K * temperature_k * math.log(ratio)


def inside_the_range(result: Result, _: float) -> float:
    """How far inside the estimate's range; negative = outside."""
    gibbs, estimate = kcal(result.gaps.gibbs_kcal_mol), result.estimate
    return min(gibbs - kcal(estimate.low_kcal_mol), kcal(estimate.high_kcal_mol) - gibbs)
