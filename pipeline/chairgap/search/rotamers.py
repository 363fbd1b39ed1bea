"""Rotors: the single bonds that are turned, their states, and the turning."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from rdkit.Chem import Atom, BondType, CanonicalRankAtoms, HybridizationType, Mol

from chairgap.molecule.fragments import atoms_beyond
from chairgap.records import Floats, Integers, Topology
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.torsions import turn_deg

# States in degrees of the dihedral reference-near-far-first. Staggered for two tetrahedral ends; a threefold
# top of heavy atoms (C(CH3)3, CF3) starts on either side of staggered, since in a crowded place, such as an
# axial one, it has two twisted minima there that differ (by 2 kcal/mol in trans-1,2-di-tert-butyl). Every 60
# degrees (30 in the half turn that a twofold group needs) where one end is planar, since the minima of a
# sixfold rotor lie on or between the eclipsed places; the two planar forms for esters and amides
# (where the far end is twofold, as in C(=O)N(CH3)2, both senses of twist and, by the half turn, of the slight
# pyramid: crowded ones are not planar, and minima were missed);
# skew for other conjugated ends (common practice, no source).
_STAGGERED = (60.0, 180.0, 300.0)
_TWISTED_TOP = (40.0, 80.0)
_SIXFOLD = (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)
_SIXFOLD_HALF = (0.0, 30.0, 60.0, 90.0, 120.0, 150.0)
_PLANAR = (0.0, 180.0)
_TWISTED_PLANE = (20.0, 160.0, 200.0, 340.0)
# A bond nearer than 30 degrees to the normal of the mean plane is axial.
_AXIAL_COSINE = 0.87
_SKEW = (45.0, 135.0, 225.0, 315.0)


@dataclass(frozen=True, kw_only=True)
class Rotor:
    """A bond near-far with the dihedral reference-near-far-first and the atoms `moving` beyond far.

    Where no dihedral is defined (a linear neighbour) reference is None and states are turns from the start.
    """

    reference: int | None
    near: int
    far: int
    first: int
    moving: Integers
    states_deg: tuple[float, ...]


def find_rotors(mol: Mol, topology: Topology) -> tuple[Rotor, ...]:
    """Rotors outward from the ring, inner before outer."""
    edge = topology.ring.tolist()
    # For a ring carbon the previous one, else the atom that leads back to the ring.
    return rotors_beyond(mol, {atom: edge[place - 1] for place, atom in enumerate(edge)})


def rotors_beyond(mol: Mol, inward: dict[int, int]) -> tuple[Rotor, ...]:
    """Rotors outward from some atoms, each given with the atom behind it, inner before outer."""
    ranks = list(CanonicalRankAtoms(mol, breakTies=False, includeChirality=False))
    edge, inward = list(inward), dict(inward)
    rotors = []
    while edge:
        near = edge.pop(0)
        for far in sorted(atom.GetIdx() for atom in mol.GetAtomWithIdx(near).GetNeighbors()):
            if far in inward:
                continue
            inward[far] = near
            edge.append(far)
            rotors.append(_rotor(mol, near, far, inward[near], ranks))
    return tuple(rotor for rotor in rotors if rotor is not None)


def _rotor(mol: Mol, near: int, far: int, reference: int, ranks: list[int]) -> Rotor | None:
    bond = mol.GetBondBetweenAtoms(near, far)
    if bond.IsInRing() or bond.GetBondType() != BondType.SINGLE:
        return None
    inner, outer = mol.GetAtomWithIdx(near), mol.GetAtomWithIdx(far)
    beyond = [atom for atom in outer.GetNeighbors() if atom.GetIdx() != near]
    if not beyond or _is_linear(outer):
        return None
    beyond.sort(key=lambda atom: (atom.GetAtomicNum() == 1, atom.GetIdx()))
    return Rotor(
        reference=None if _is_linear(inner) else reference,
        near=near,
        far=far,
        first=beyond[0].GetIdx(),
        moving=np.array([atom for atom in atoms_beyond(mol, near, far) if atom != far]),
        states_deg=_states(inner, outer, beyond, ranks),
    )


def torsion_chains(mol: Mol, topology: Topology) -> Integers:
    """(t, 4) all chains i-j-k-l of labelled atoms whose middle atoms are not straight."""
    labelled = set(topology.labelled.tolist())
    near = [
        sorted(other.GetIdx() for other in atom.GetNeighbors() if other.GetIdx() in labelled)
        for atom in mol.GetAtoms()
    ]
    rows = [
        (i, j, k, m)
        for j, k in topology.bonds.tolist()
        if labelled.issuperset((j, k)) and not any(_is_linear(mol.GetAtomWithIdx(atom)) for atom in (j, k))
        for i in near[j]
        for m in near[k]
        if i != k and m not in (i, j)
    ]
    return np.array(rows, dtype=np.int64).reshape(-1, 4)


def _is_linear(atom: Atom) -> bool:
    return bool(atom.GetHybridization() == HybridizationType.SP)


def _is_planar(atom: Atom) -> bool:
    return bool(atom.GetHybridization() == HybridizationType.SP2)


def _states(inner: Atom, outer: Atom, beyond: Sequence[Atom], ranks: list[int]) -> tuple[float, ...]:
    equal = len({ranks[atom.GetIdx()] for atom in beyond}) == 1
    if len(beyond) == 3 and equal and not _is_planar(outer):
        return (60.0,) if beyond[0].GetAtomicNum() == 1 else _TWISTED_TOP
    twofold = len(beyond) == 2 and equal and _is_planar(outer)
    if _is_planar(inner) and _is_planar(outer):
        if _is_stiff(inner, outer):
            return _TWISTED_PLANE if twofold else _PLANAR
        return _SKEW[:2] if twofold else _SKEW
    if _is_planar(inner) or _is_planar(outer):
        return _SIXFOLD_HALF if twofold else _SIXFOLD
    return _STAGGERED


def _is_stiff(inner: Atom, outer: Atom) -> bool:
    """Ester- or amide-like: one end a heteroatom, the other a planar atom that is not aromatic."""
    hetero = [atom for atom in (inner, outer) if atom.GetAtomicNum() in (7, 8, 16)]
    return bool(hetero) and not (inner.GetIsAromatic() or outer.GetIsAromatic())


def rotor_angle_deg(rotor: Rotor, positions: Floats) -> float:
    """The rotor's dihedral in positions (n, 3), 0 to 360 degrees; 0 where none is defined."""
    if rotor.reference is None:
        return 0.0
    return dihedral_deg(positions[[rotor.reference, rotor.near, rotor.far, rotor.first]]) % 360.0


def inward_angles_deg(topology: Topology, rotors: Sequence[Rotor], positions: Floats) -> list[float | None]:
    """For each rotor the dihedral at which its first atom stands over the ring, anti to the other ligand.

    Given only where it is crowded there: the group is axial in positions (n, 3), and that atom is no hydrogen
    or meets a second group on its side. None for all other rotors.
    """
    ring = positions[topology.ring]
    # (1) normal of the mean plane: the sum of the triangles round the ring
    normal = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    normal /= np.linalg.norm(normal)
    ligands = {ligand.atom: carbon for carbon in topology.carbons for ligand in carbon.ligands}
    held = {(locant, ligand.face) for locant, ligand in topology.groups}
    angles: list[float | None] = []
    for rotor in rotors:
        bond = positions[rotor.far] - positions[rotor.near]
        carbon = ligands.get(rotor.far)
        axial = abs(bond @ normal) > _AXIAL_COSINE * np.linalg.norm(bond)
        if carbon is None or rotor.reference is None or len(rotor.states_deg) < 2 or not axial:
            angles.append(None)
            continue
        here, other = carbon.ligands if carbon.up.atom == rotor.far else carbon.ligands[::-1]
        beside = {((carbon.locant + step - 1) % 6 + 1, here.face) for step in (2, 4)}
        if topology.symbols[rotor.first] == "H" and not held & beside:
            angles.append(None)
            continue
        own = dihedral_deg(positions[[rotor.reference, rotor.near, rotor.far, rotor.first]])
        to_other = dihedral_deg(positions[[other.atom, rotor.near, rotor.far, rotor.first]])
        angles.append((own - to_other + 180.0) % 360.0)
    return angles


def turns_to_other_states(rotor: Rotor, angle_deg: float) -> tuple[float, ...]:
    """Turns (degrees) that bring a rotor at angle_deg from its nearest state to each of the others."""
    nearest = int(np.argmin([abs(turn_deg(angle_deg, state)) for state in rotor.states_deg]))
    return tuple(
        state - rotor.states_deg[nearest] for index, state in enumerate(rotor.states_deg) if index != nearest
    )


def turn(rotor: Rotor, positions: Floats, state_deg: float) -> Floats:
    """Positions (n, 3) with the rotor in the given state; the input is left alone."""
    if rotor.reference is None:
        return turn_by(rotor, positions, state_deg)
    chain = [rotor.reference, rotor.near, rotor.far, rotor.first]
    return turn_by(rotor, positions, state_deg - dihedral_deg(positions[chain]))


def turn_by(rotor: Rotor, positions: Floats, by_deg: float) -> Floats:
    """Positions (n, 3) with everything beyond the rotor turned; its dihedral grows by by_deg degrees."""
    pivot = positions[rotor.far]
    x, y, z = (pivot - positions[rotor.near]).tolist()
    length = math.sqrt(x * x + y * y + z * z)
    x, y, z = x / length, y / length, z / length
    c, s = math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))
    t = 1.0 - c
    # (1) Rodrigues: v' = v cos a + (k x v) sin a + k (k.v)(1 - cos a), as a matrix
    turned = np.array(
        [
            [c + t * x * x, t * x * y - s * z, t * x * z + s * y],
            [t * x * y + s * z, c + t * y * y, t * y * z - s * x],
            [t * x * z - s * y, t * y * z + s * x, c + t * z * z],
        ]
    )
    result = positions.copy()
    result[rotor.moving] = pivot + (positions[rotor.moving] - pivot) @ turned.T
    return result
