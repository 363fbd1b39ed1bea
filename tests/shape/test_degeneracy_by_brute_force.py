"""Degeneracy against a count that knows neither permutations nor mirror images.

Every atom keeps its own name. All eight ring starts, not only those that symmetry tells apart, are combined
with a fine grid of rotor angles that knows no equal states; each start is shaken, minimised and, when it is
new, checked by its Hessian. Two minima are the same only when the rotation that fits atom on atom (SciPy)
makes them coincide. The number of such labelled minima of each energy, chair by chair, must be the
conformer's copies times the relabellings by turning rotors that the count of copies divides out.
"""

from collections import Counter
from itertools import product

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from chairgap.minimise.verified import Unverified, verified_minimum
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Floats, Topology
from chairgap.search.placing import place
from chairgap.search.ring_templates import all_ring_starts
from chairgap.search.rotamers import turn_by
from pipeline_helpers import lattice, mmff94, molecule, ring_torsions_deg, treated

# One shake may throw two starts into the same twist-boat (seen with the oldest RDKit allowed).
SHAKES = 3
SHAKE_ANGSTROM = 0.02
SAME_ENERGY_KCAL_MOL = 1e-4
SAME_PLACES_ANGSTROM = 0.1


def starts(groups_by_face: str, step_deg: float, swap: tuple[int, int] | None) -> list[Floats]:
    """Every ring start with each group turned in steps; swap exchanges two atoms that rotors cannot."""
    topology, points = molecule(groups_by_face).topology, lattice(groups_by_face)
    variants = {atom: choices[0] for atom, choices in zip(points.groups, points.variants, strict=True)}
    outer = [
        rotor
        for rotor in points.rotors
        if rotor.near in topology.ring and any(atom in topology.labelled for atom in rotor.moving)
    ]
    rng = np.random.default_rng(42)
    found = []
    # The grid is set off from the staggered and eclipsed places, on which a start may balance.
    angles = np.arange(0.0, 360.0, step_deg) + 0.3 * step_deg
    for start, turns in product(all_ring_starts(), product(angles, repeat=len(outer))):
        positions = place(topology, start.ring, variants)
        for rotor, angle in zip(outer, turns, strict=True):
            positions = turn_by(rotor, positions, angle)
        for order in (None, swap) if swap else (None,):
            made = positions.copy()
            if order:
                made[list(order)] = made[list(order)[::-1]]
            found += [made + rng.normal(0.0, SHAKE_ANGSTROM, made.shape) for _ in range(SHAKES)]
    return found


def coincide(first: Floats, second: Floats) -> bool:
    first, second = first - first.mean(axis=0), second - second.mean(axis=0)
    _, distance = Rotation.align_vectors(first, second)
    return bool(distance / np.sqrt(len(first)) < SAME_PLACES_ANGSTROM)


def side(topology: Topology, positions: Floats) -> str:
    """'odd up' or 'odd down' for the chair that raises or lowers C1, C3, C5; 'other' for any other ring."""
    torsions = ring_torsions_deg(topology, positions)
    alternating = torsions * (-1.0) ** np.arange(6)
    if not (np.all(alternating > 25.0) or np.all(alternating < -25.0)):
        return "other"
    ring = positions[topology.ring] - positions[topology.ring].mean(axis=0)
    downward = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)  # numbered clockwise seen from above
    return "odd down" if ring[0] @ downward > 0.0 else "odd up"


def labelled_minima(
    groups_by_face: str, step_deg: float, swap: tuple[int, int] | None
) -> list[tuple[float, Floats]]:
    built, model = molecule(groups_by_face), mmff94(groups_by_face)
    topology = built.topology
    seen: list[tuple[float, Floats]] = []
    truly: dict[float, bool] = {}  # the Hessian does not know labels: one for each energy
    for start in starts(groups_by_face, step_deg, swap):
        relaxed = model.minimise(start)
        if relaxed is None or not stereo_survives(built, relaxed):
            continue
        energy, _ = model.energy_and_gradient(relaxed)
        labelled = relaxed[topology.labelled]
        same_energy = [pair for pair in seen if abs(pair[0] - energy) < SAME_ENERGY_KCAL_MOL]
        if any(coincide(labelled, positions[topology.labelled]) for _, positions in same_energy):
            continue
        seen.append((energy, relaxed))
        if not same_energy:
            outcome = verified_minimum(model, relaxed, topology.masses_u, "")
            truly[energy] = (
                not isinstance(outcome, Unverified)
                and abs(outcome.energy_kcal_mol - energy) < SAME_ENERGY_KCAL_MOL
            )
    minima = [energy for energy, is_minimum in truly.items() if is_minimum]
    return [pair for pair in seen if any(abs(pair[0] - energy) < SAME_ENERGY_KCAL_MOL for energy in minima)]


@pytest.mark.parametrize(
    ("groups_by_face", "step_deg"),
    [
        ("1 up H", 360.0),
        ("1 up CH3", 360.0),
        ("1 up C2H5", 60.0),
        ("1 up CH(CH3)2", 60.0),
        ("1 up C(CH3)3", 60.0),
        ("1 up OH", 60.0),
        pytest.param("1 up C6H5", 30.0, marks=pytest.mark.long),
        ("1 up CH3, 2 up CH3", 360.0),
        ("1 up CH3, 2 down CH3", 360.0),
        ("1 up CH3, 4 up CH3", 360.0),
        ("1 up CH3, 4 down CH3", 360.0),
        ("1 up CH3, 3 up CH3, 5 up CH3", 360.0),
        ("1 up Cl, 2 down CH3", 360.0),
        pytest.param("1 up OH, 4 down OH", 60.0, marks=pytest.mark.long),
        pytest.param("1 up C(CH3)3, 3 down C(CH3)3", 60.0, marks=pytest.mark.long),
    ],
)
def test_copies_are_the_labelled_minima(groups_by_face: str, step_deg: float) -> None:
    check(groups_by_face, step_deg, swap=None)


def test_copies_of_an_amine_that_inverts() -> None:
    topology = molecule("1 up NH2").topology
    first, second = (int(a) for a in topology.labelled if topology.symbols[a] == "H")
    check("1 up NH2", 60.0, swap=(first, second))


def check(groups_by_face: str, step_deg: float, *, swap: tuple[int, int] | None) -> None:
    result = treated(groups_by_face)
    topology = result.molecule.topology
    rotor_degeneracy = lattice(groups_by_face).operations.rotor_degeneracy
    odd_up_letter = "A" if result.chairs[0].odd_up_axial else "B"
    counted: Counter[tuple[int, str]] = Counter()
    beyond = max(item.minimum.energy_kcal_mol for item in result.conformers)
    for energy, positions in labelled_minima(groups_by_face, step_deg, swap):
        numbers = [
            item.number
            for item in result.conformers
            if abs(item.minimum.energy_kcal_mol - energy) < SAME_ENERGY_KCAL_MOL
        ]
        if not numbers:
            assert energy > beyond, "a minimum below the highest reported one is missing"
            continue
        (number,) = numbers
        counted[number, side(topology, positions)] += 1
    for item in result.conformers:
        # A raised carbon has its upper ligand axial.
        odd_up = item.degeneracy_a if odd_up_letter == "A" else item.degeneracy_b
        odd_down = item.degeneracy_b if odd_up_letter == "A" else item.degeneracy_a
        found = tuple(counted[item.number, which] for which in ("odd up", "odd down", "other"))
        assert found == tuple(n * rotor_degeneracy for n in (odd_up, odd_down, item.degeneracy_other)), (
            item.number
        )
