"""Geometries of the groups: each ligand is cut off, capped with CH3, embedded and minimised on its own.

Rotors are set later; what a group brings is bond lengths, angles, the shapes of its own rings and the
handedness of its pyramidal amine nitrogens. Each distinct combination of the last two is a variant.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from rdkit import rdBase
from rdkit.Chem import (
    AddHs,
    CanonicalRankAtoms,
    ChiralType,
    HybridizationType,
    Mol,
    RWMol,
    SanitizeMol,
    rdDistGeom,
)

from chairgap.errors import EngineError
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.records import Floats, ForceField, Integers, Ligand, Topology
from chairgap.shape.contacts import dihedral_deg, ligand_atoms
from chairgap.shape.vectors import cross, length

_EMBEDDINGS_WITH_VARIANTS = 40
_PUCKERED_DEG = 20.0
# Variants further above the lowest of their group than this are not tried.
_VARIANT_WINDOW_KCAL_MOL = 6.5


@dataclass(frozen=True, kw_only=True)
class Variant:
    """A group's geometry: positions (m, 3) of `atoms`, ring carbon at the origin, first atom along +z."""

    atoms: Integers
    positions: Floats


@dataclass(frozen=True, kw_only=True)
class Group:
    """A ligand to be shaped: its ring carbon, all its atoms (m,), and the centres (c, 4) among them that keep
    one handedness of their *labels* in all variants, also where the labels are equal groups (the methyls of
    isopropyl, both sides of a cyclohexyl): no rotation exchanges them, so no start may."""

    ring_carbon: int
    ligand: Ligand
    atoms: Integers
    centres: Integers


def groups_of(topology: Topology) -> tuple[Group, ...]:
    """Every ligand of the ring that is not hydrogen, in the order of topology.groups."""
    members = ligand_atoms(topology)
    owners = {ligand.atom: carbon.atom for carbon in topology.carbons for ligand in carbon.ligands}
    return tuple(
        Group(
            ring_carbon=owners[ligand.atom],
            ligand=ligand,
            atoms=members[ligand.atom],
            centres=topology.centres[np.isin(topology.centres[:, 0], members[ligand.atom])],
        )
        for _, ligand in topology.groups
    )


def group_variants(mol: Mol, group: Group, force_field: ForceField, seed: int) -> tuple[Variant, ...]:
    """Distinct starting geometries of a group of mol.

    Raises EngineError when RDKit cannot embed the group at all.
    """
    ring_carbon, ligand, atoms = group.ring_carbon, group.ligand, group.atoms
    capped, places = _capped(mol, ring_carbon, atoms)
    centres = [tuple(places[atom] for atom in quad) for quad in group.centres.tolist()]
    for centre, *_ in centres:
        if capped.GetAtomWithIdx(centre).GetChiralTag() == ChiralType.CHI_UNSPECIFIED:
            capped.GetAtomWithIdx(centre).SetChiralTag(ChiralType.CHI_TETRAHEDRAL_CW)
    signature_atoms = list(_ring_bonds(capped)), list(inverting_nitrogens(capped))
    requested = _EMBEDDINGS_WITH_VARIANTS if any(signature_atoms) else 1
    with rdBase.BlockLogs():  # it remarks on atom types that it then does without
        found = rdDistGeom.EmbedMultipleConfs(capped, requested, _embedding(seed))
    if not len(found):
        raise EngineError(f"the group {ligand.fragment} could not be embedded; report this molecule.")
    model = rdkit_model(capped, force_field)
    lowest: dict[tuple[int, ...], tuple[float, Floats]] = {}
    hands: tuple[int, ...] | None = None
    for number in found:
        raw = np.array(capped.GetConformer(number).GetPositions())
        relaxed = model.minimise(raw)
        geometry = raw if relaxed is None else relaxed
        own_hands = _handedness(geometry, centres)
        hands = hands or own_hands
        if own_hands != hands:
            continue
        energy, _ = model.energy_and_gradient(geometry)
        key = _signature(geometry, *signature_atoms)
        if key not in lowest or energy < lowest[key][0]:
            lowest[key] = energy, geometry
    ceiling = min(energy for energy, _ in lowest.values()) + _VARIANT_WINDOW_KCAL_MOL
    order = [places[int(atom)] for atom in atoms]
    return tuple(
        Variant(atoms=atoms, positions=_along_z(geometry, places[ring_carbon], places[ligand.atom])[order])
        for _, (energy, geometry) in sorted(lowest.items(), key=lambda item: item[0])
        if energy <= ceiling
    )


def _embedding(seed: int) -> rdDistGeom.EmbedParameters:
    parameters = rdDistGeom.ETKDGv3()
    parameters.randomSeed = seed  # type: ignore[assignment]  # RDKit's stubs mistype setters
    parameters.useRandomCoords = True  # type: ignore[assignment]
    return parameters


def _capped(mol: Mol, ring_carbon: int, atoms: Integers) -> tuple[Mol, dict[int, int]]:
    """The group on a methyl cap that stands for the ring carbon, and old -> new atom numbers."""
    keep = {int(atom) for atom in atoms} | {ring_carbon}
    editable = RWMol(mol)
    for atom in editable.GetAtoms():
        atom.SetIntProp("whole", atom.GetIdx())
    for index in range(editable.GetNumAtoms() - 1, -1, -1):
        if index not in keep:
            editable.RemoveAtom(index)
    cap = next(atom for atom in editable.GetAtoms() if atom.GetIntProp("whole") == ring_carbon)
    cap.SetNoImplicit(False)
    cap.SetNumExplicitHs(0)
    cut = editable.GetMol()
    SanitizeMol(cut)
    capped = AddHs(cut)
    places = {atom.GetIntProp("whole"): atom.GetIdx() for atom in capped.GetAtoms() if atom.HasProp("whole")}
    return capped, places


def puckering_rings(mol: Mol) -> Iterator[tuple[int, ...]]:
    """The rings that can pucker."""
    for ring in mol.GetRingInfo().AtomRings():
        if len(ring) > 3 and not all(mol.GetAtomWithIdx(atom).GetIsAromatic() for atom in ring):
            yield ring


def _ring_bonds(mol: Mol) -> Iterator[tuple[int, int, int, int]]:
    """One dihedral along each bond of each ring that can pucker."""
    for ring in puckering_rings(mol):
        for start in range(len(ring)):
            first, second, third, fourth = (ring[(start + step) % len(ring)] for step in range(4))
            yield first, second, third, fourth


def inverting_nitrogens(mol: Mol) -> Iterator[tuple[int, int, int, int]]:
    """Pyramidal three-coordinate nitrogens whose inversion is no mere swap of equal neighbours."""
    ranks = list(CanonicalRankAtoms(mol, breakTies=False))
    for atom in mol.GetAtoms():
        if (
            atom.GetAtomicNum() == 7
            and atom.GetDegree() == 3
            and atom.GetHybridization() == HybridizationType.SP3
            and len({ranks[neighbour.GetIdx()] for neighbour in atom.GetNeighbors()}) == 3
        ):
            yield (atom.GetIdx(), *(neighbour.GetIdx() for neighbour in atom.GetNeighbors()))


def _signature(
    positions: Floats,
    ring_bonds: list[tuple[int, int, int, int]],
    nitrogens: list[tuple[int, int, int, int]],
) -> tuple[int, ...]:
    puckers = []
    for bond in ring_bonds:
        angle = dihedral_deg(positions[list(bond)])
        puckers.append(0 if abs(angle) < _PUCKERED_DEG else int(np.sign(angle)))
    return (*puckers, *_handedness(positions, nitrogens))


def _handedness(positions: Floats, quads: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    """Sign of the triple product of the three neighbours of each centre."""
    return tuple(
        int(np.sign(np.linalg.det(positions[list(quad[1:])] - positions[quad[0]]))) for quad in quads
    )


def _along_z(positions: Floats, origin: int, first: int) -> Floats:
    """Positions with atom `origin` at 0 and atom `first` on +z."""
    moved = positions - positions[origin]
    axis = moved[first] / np.linalg.norm(moved[first])
    turned: Floats = moved @ frame(axis)
    return turned


def frame(axis: Floats) -> Floats:
    """(3, 3) rotation whose columns are two unit vectors across `axis` (3,) and axis itself."""
    helper = np.zeros(3)
    helper[int(np.abs(axis).argmin())] = 1.0
    across = cross(helper, axis)
    across /= length(across)
    return np.array([across, cross(axis, across), axis]).T
