"""Near pairs of ligands in one conformer: 1,3-diaxial, vicinal gauche, flagpole."""

import math

import numpy as np

from chairgap.records import Contact, Floats, Integers, Ligand, LigandPosition, RingShape, Topology
from chairgap.shape.puckering import displacements

_Placed = list[tuple[int, Ligand, LigandPosition]]


def ligand_atoms(topology: Topology) -> dict[int, Integers]:
    """For each ligand (keyed by its first atom) all its atoms, found by walking away from the ring."""
    neighbours: dict[int, list[int]] = {atom: [] for atom in range(len(topology.symbols))}
    for first, second in topology.bonds:
        neighbours[int(first)].append(int(second))
        neighbours[int(second)].append(int(first))
    ring = {int(atom) for atom in topology.ring}
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
    atoms = ligand_atoms(topology)
    placed = [
        (carbon.locant, ligand, ligands[2 * index + side])
        for index, carbon in enumerate(topology.carbons)
        for side, ligand in enumerate(carbon.ligands)
    ]
    contacts = [
        *_diaxial(placed, positions, atoms),
        *_gauche(topology, placed, positions, atoms),
    ]
    if shape.family in ("boat", "twist-boat"):
        contacts.append(_flagpole(topology, placed, positions, atoms))
    return tuple(contacts)


def _closest(first: Ligand, second: Ligand, positions: Floats, atoms: dict[int, Integers]) -> float:
    apart = positions[atoms[first.atom]][:, None, :] - positions[atoms[second.atom]][None, :, :]
    return float(np.sqrt((apart**2).sum(axis=-1).min()))


def _diaxial(placed: _Placed, positions: Floats, atoms: dict[int, Integers]) -> list[Contact]:
    found = []
    for index, (locant, ligand, where) in enumerate(placed):
        for other_locant, other, other_where in placed[index + 1 :]:
            if (other_locant - locant) % 6 not in (2, 4) or ligand.face != other.face:
                continue
            both_axial = where.position == "axial" == other_where.position
            if both_axial and (ligand.group, other.group) != ("H", "H"):
                found.append(
                    Contact(
                        kind="1,3-diaxial",
                        carbons=(locant, other_locant),
                        groups=(ligand.group, other.group),
                        distance_angstrom=_closest(ligand, other, positions, atoms),
                    )
                )
    return found


def _gauche(
    topology: Topology, placed: _Placed, positions: Floats, atoms: dict[int, Integers]
) -> list[Contact]:
    """Pairs of groups on neighbouring carbons with a dihedral under 90 degrees."""
    found = []
    groups = [entry for entry in placed if entry[1].group != "H"]
    for index, (locant, ligand, _) in enumerate(groups):
        for other_locant, other, _ in groups[index + 1 :]:
            if (other_locant - locant) % 6 not in (1, 5):
                continue
            ring = topology.ring
            chain = [ligand.atom, ring[locant - 1], ring[other_locant - 1], other.atom]
            dihedral = dihedral_deg(positions[chain])
            if abs(dihedral) < 90.0:
                found.append(
                    Contact(
                        kind="gauche",
                        carbons=(locant, other_locant),
                        groups=(ligand.group, other.group),
                        distance_angstrom=_closest(ligand, other, positions, atoms),
                        dihedral_deg=dihedral,
                    )
                )
    return found


def _flagpole(topology: Topology, placed: _Placed, positions: Floats, atoms: dict[int, Integers]) -> Contact:
    """The inward pair over the boat: of the three opposite pairs the one bent furthest to one side."""
    z = displacements(positions[topology.ring])
    opposite = [(z[first] + z[first + 3], first) for first in range(3)]
    bend, first = max(opposite, key=lambda pair: abs(pair[0]))
    face = "up" if bend > 0.0 else "down"
    side = 0 if face == "up" else 1
    one, two = placed[2 * first + side], placed[2 * (first + 3) + side]
    return Contact(
        kind="flagpole",
        carbons=(one[0], two[0]),
        groups=(one[1].group, two[1].group),
        distance_angstrom=_closest(one[1], two[1], positions, atoms),
    )
