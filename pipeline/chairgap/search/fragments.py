"""Geometries of the groups: each ligand is cut off, capped with CH3, embedded and minimised on its own.

Rotors are set later; what a group brings is bond lengths, angles, the shapes of its own rings and the
handedness of its pyramidal amine nitrogens. Each distinct combination of the last two is a variant.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from rdkit.Chem import (
    AddHs,
    HybridizationType,
    Mol,
    RWMol,
    SanitizeMol,
    rdDistGeom,
)

from chairgap.errors import EngineError
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.records import Floats, ForceField, Integers, Ligand
from chairgap.shape.contacts import dihedral_deg

_EMBEDDINGS_WITH_VARIANTS = 40
_PUCKERED_DEG = 20.0


@dataclass(frozen=True, kw_only=True)
class Variant:
    """A group's geometry: positions (m, 3) of `atoms`, ring carbon at the origin, first atom along +z."""

    atoms: Integers
    positions: Floats


def group_variants(
    mol: Mol, ring_carbon: int, ligand: Ligand, atoms: Integers, force_field: ForceField, seed: int
) -> tuple[Variant, ...]:
    """Distinct starting geometries of the ligand with the given atoms (m,).

    Raises EngineError when RDKit cannot embed the group at all.
    """
    capped, places = _capped(mol, ring_carbon, atoms)
    signature_atoms = list(_ring_bonds(capped)), list(_inverting_nitrogens(capped))
    wanted = _EMBEDDINGS_WITH_VARIANTS if any(signature_atoms) else 1
    found = rdDistGeom.EmbedMultipleConfs(capped, wanted, _embedding(seed))
    if not len(found):
        raise EngineError(f"the group {ligand.fragment} could not be embedded; report this molecule.")
    model = rdkit_model(capped, force_field)
    variants: dict[tuple[int, ...], Variant] = {}
    for number in found:
        raw = np.array(capped.GetConformer(number).GetPositions())
        relaxed = model.minimise(raw)
        geometry = raw if relaxed is None else relaxed
        key = _signature(geometry, *signature_atoms)
        if key not in variants:
            moved = _along_z(geometry, places[ring_carbon], places[ligand.atom])
            order = [places[int(atom)] for atom in atoms]
            variants[key] = Variant(atoms=atoms, positions=moved[order])
    return tuple(variants[key] for key in sorted(variants))


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


def _ring_bonds(mol: Mol) -> Iterator[tuple[int, int, int, int]]:
    """One dihedral along each bond of each ring that can pucker."""
    for ring in mol.GetRingInfo().AtomRings():
        if len(ring) > 3 and not all(mol.GetAtomWithIdx(atom).GetIsAromatic() for atom in ring):
            for start in range(len(ring)):
                yield tuple(ring[(start + step) % len(ring)] for step in range(4))


def _inverting_nitrogens(mol: Mol) -> Iterator[tuple[int, int, int, int]]:
    """Pyramidal three-coordinate nitrogens with three different neighbours to look at."""
    for atom in mol.GetAtoms():
        if (
            atom.GetAtomicNum() == 7
            and atom.GetDegree() == 3
            and atom.GetHybridization() == HybridizationType.SP3
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
    hands = [
        int(np.sign(np.linalg.det(positions[list(quad[1:])] - positions[quad[0]]))) for quad in nitrogens
    ]
    return (*puckers, *hands)


def _along_z(positions: Floats, origin: int, first: int) -> Floats:
    """Positions with atom `origin` at 0 and atom `first` on +z."""
    moved = positions - positions[origin]
    axis = moved[first] / np.linalg.norm(moved[first])
    turned: Floats = moved @ frame(axis)
    return turned


def frame(axis: Floats) -> Floats:
    """(3, 3) rotation whose columns are two unit vectors across `axis` (3,) and axis itself."""
    helper = np.eye(3)[int(np.argmin(np.abs(axis)))]
    across = np.cross(helper, axis)
    across /= np.linalg.norm(across)
    return np.column_stack([across, np.cross(axis, across), axis])
