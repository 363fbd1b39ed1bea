"""Near pairs of ligands in one conformer: 1,3-diaxial, vicinal gauche, flagpole."""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Literal

import numpy as np

from chairgap.records import Contact, Floats, Integers, Ligand, LigandPosition, RingShape, Topology
from chairgap.shape.puckering import displacements

_Placed = tuple[int, Ligand, LigandPosition]  # with the locant of its carbon
_Pair = tuple[Literal["1,3-diaxial", "gauche", "flagpole"], _Placed, _Placed, float | None]


def ligand_atoms(topology: Topology) -> dict[int, Integers]:
    """For each ligand (keyed by its first atom) all its atoms, found by walking away from the ring."""
    neighbours: dict[int, list[int]] = {atom: [] for atom in range(len(topology.symbols))}
    for first, second in topology.bonds.tolist():
        neighbours[first].append(second)
        neighbours[second].append(first)
    ring = set(topology.ring.tolist())
    members = {}
    for carbon in topology.carbons:
        for ligand in carbon.ligands:
            seen, edge = {ligand.atom}, [ligand.atom]
            while edge:
                new = [atom for atom in neighbours[edge.pop()] if atom not in seen and atom not in ring]
                seen.update(new)
                edge.extend(new)
            members[ligand.atom] = np.array(sorted(seen), dtype=np.int64)
    return members


def dihedral_deg(points: Floats) -> float:
    """Signed dihedral of four points (4, 3), -180..180 degrees (IUPAC sign: clockwise positive)."""
    # Plain floats: numpy takes ten times as long over three numbers.
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (points[1:] - points[:-1]).tolist()
    n1x, n1y, n1z = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    n2x, n2y, n2z = by * cz - bz * cy, bz * cx - bx * cz, bx * cy - by * cx
    length = math.sqrt(bx * bx + by * by + bz * bz)
    sine = (ax * n2x + ay * n2y + az * n2z) * length
    return math.degrees(math.atan2(sine, n1x * n2x + n1y * n2y + n1z * n2z))


def find_contacts(
    topology: Topology, positions: Floats, shape: RingShape, ligands: tuple[LigandPosition, ...]
) -> tuple[Contact, ...]:
    """All contacts with at least one group that is not hydrogen, and the flagpole pair whatever it is."""
    return tuple(contact for contact, _ in contacts_with_atoms(topology, positions, shape, ligands))


def contacts_with_atoms(
    topology: Topology, positions: Floats, shape: RingShape, ligands: tuple[LigandPosition, ...]
) -> Iterator[tuple[Contact, tuple[int, int]]]:
    """The contacts of `find_contacts`, each with the two atoms whose distance is given."""
    placed = [
        (carbon.locant, ligand, ligands[2 * index + side])
        for index, carbon in enumerate(topology.carbons)
        for side, ligand in enumerate(carbon.ligands)
    ]
    found = [*_diaxial(placed), *_gauche(topology, placed, positions)]
    if shape.family in ("boat", "twist-boat"):
        found.append(_flagpole(topology, placed, positions))
    atoms = ligand_atoms(topology)
    for kind, (locant, ligand, _), (other_locant, other, _), dihedral in found:
        distance, pair = _closest(positions, atoms[ligand.atom], atoms[other.atom])
        contact = Contact(
            kind=kind,
            carbons=(locant, other_locant),
            groups=(ligand.group, other.group),
            distance_angstrom=distance,
            dihedral_deg=dihedral,
        )
        yield contact, pair


def _closest(positions: Floats, one: Integers, other: Integers) -> tuple[float, tuple[int, int]]:
    apart = positions[one][:, None, :] - positions[other][None, :, :]
    squared = (apart**2).sum(axis=-1)
    row, column = np.unravel_index(int(squared.argmin()), squared.shape)
    return float(np.sqrt(squared[row, column])), (int(one[row]), int(other[column]))


def _diaxial(placed: Sequence[_Placed]) -> Iterator[_Pair]:
    for one, two in combinations(placed, 2):
        (locant, ligand, where), (other_locant, other, other_where) = one, two
        if (other_locant - locant) % 6 not in (2, 4) or ligand.face != other.face:
            continue
        both_axial = where.position == "axial" == other_where.position
        if both_axial and (ligand.group, other.group) != ("H", "H"):
            yield "1,3-diaxial", one, two, None


def _gauche(topology: Topology, placed: Sequence[_Placed], positions: Floats) -> Iterator[_Pair]:
    """Pairs of groups on neighbouring carbons with a dihedral under 90 degrees."""
    groups = [entry for entry in placed if entry[1].group != "H"]
    for one, two in combinations(groups, 2):
        (locant, ligand, _), (other_locant, other, _) = one, two
        if (other_locant - locant) % 6 not in (1, 5):
            continue
        ring = topology.ring
        chain = [ligand.atom, ring[locant - 1], ring[other_locant - 1], other.atom]
        dihedral = dihedral_deg(positions[chain])
        if abs(dihedral) < 90.0:
            yield "gauche", one, two, dihedral


def _flagpole(topology: Topology, placed: Sequence[_Placed], positions: Floats) -> _Pair:
    """The inward pair over the boat: of the three opposite pairs the one bent furthest to one side."""
    z = displacements(positions[topology.ring])
    opposite = [(z[first] + z[first + 3], first) for first in range(3)]
    bend, first = max(opposite, key=lambda pair: abs(pair[0]))
    side = 0 if bend > 0.0 else 1
    return "flagpole", placed[2 * first + side], placed[2 * (first + 3) + side], None
