"""Counting labelled copies of a conformer: permutations of equal atoms and mirror images, each exactly once.

The rule. Number the atoms of a molecule (heavy atoms and hydrogens on heteroatoms; the hydrogens of CH, CH2
and CH3 follow from them). An operation gamma = (p, e) gives each atom i the place of its equivalent p[i],
in the structure itself (e = +1) or in its mirror image (e = -1). Gamma is *feasible* when rotation about
single bonds, inversion of amine nitrogen and the ring flip can bring it about: every ring carbon keeps the
faces of its groups, every other stereocentre its handedness, every double bond its sides. The feasible
operations form a group G. A conformer X stands for |G| / |stabiliser of X| labelled minima, the stabiliser
being the operations after which X coincides with itself by a rotation. Pure rotor relabellings (e = +1, all
six ring carbons fixed: the turned tert-butyl or phenyl group, the swapped hydrogens of NH2) multiply every
conformer by the same number |T| and are divided out. So

    copies(X) = |G| / (|stabiliser(X)| |T|),

and the Boltzmann weight of X is copies(X) exp(-E/RT), with rotational partition functions taken *without*
symmetry number (it is in the stabiliser). Gauche ethylcyclohexane counts 2, its anti form 1; both chairs of
methylcyclohexane count 1. Copies are counted chair by chair, since a feasible operation may turn chair A of
one numbering into chair B of the other (cis-1,4-dimethyl: one conformer, one copy in each chair).
The group-theoretical counting is that of H. C. Longuet-Higgins, Mol. Phys. 1963, 6, 445
(doi 10.1080/00268976300100501, from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from chairgap.records import Floats, Integers, Topology
from chairgap.shape.torsions import torsion_directions

SAME_WITHIN_ANGSTROM = 0.05
_CHUNK = 20_000


@dataclass(frozen=True, kw_only=True)
class Operations:
    """Feasible operations: maps (g, k) into full atom numbers for the k labelled atoms, mirrored (g,) +1 or
    -1, turns_chair (g,) True where chair A of the numbering becomes chair B; rotor_degeneracy is |T|."""

    maps: Integers
    mirrored: Integers
    turns_chair: NDArray[np.bool_]
    rotor_degeneracy: int


@dataclass(frozen=True, kw_only=True)
class Degeneracy:
    """Degeneracy by chair; rotational_symmetry is the number sigma of rotations that bring the conformer onto
    itself, mirror_images 2 when its mirror image is another conformer of the same compound, else 1.
    Degeneracies are mirror_images / sigma, up to a factor that all conformers of a molecule share."""

    own: int
    opposite: int
    rotational_symmetry: int
    mirror_images: int


def feasible_operations(topology: Topology, positions: Floats) -> Operations:
    """The group G of a molecule; positions (n, 3) of any conformer fix the handedness of its centres."""
    ring = topology.ring
    place = np.full(len(topology.symbols), -1)
    place[ring] = np.arange(6)
    maps = topology.automorphisms
    image = place[maps[:, ring]]
    direction = np.where((image[:, 1] - image[:, 0]) % 6 == 1, 1, -1)
    found_maps, found_mirrored, found_turns = [], [], []
    rotor_degeneracy = 0
    for mirrored in (1, -1):
        side = direction * mirrored
        keeps = _keeps_faces(topology, maps, side) & _keeps_centres(topology, maps, positions, mirrored)
        keeps &= _keeps_double_bonds(topology, maps, positions)
        found_maps.append(maps[keeps][:, topology.labelled])
        found_mirrored.append(np.full(int(keeps.sum()), mirrored))
        # Axial-up at atom 1 of the copy is side * (axial-up at its image), which alternates round the ring.
        found_turns.append((side * np.where(image[:, 0] % 2 == 0, 1, -1))[keeps] == -1)
        if mirrored == 1:
            rotor_degeneracy = int((keeps & (image == np.arange(6)).all(axis=1)).sum())
    return Operations(
        maps=np.concatenate(found_maps),
        mirrored=np.concatenate(found_mirrored),
        turns_chair=np.concatenate(found_turns),
        rotor_degeneracy=rotor_degeneracy,
    )


def every_relabelling(topology: Topology) -> Operations:
    """All automorphisms, in the structure and its mirror image, feasible or not.

    Two minima that any of them superposes are one conformer, also when equal groups were labelled in an order
    that no rotation gives. Only for comparing; copies are counted with `feasible_operations`.
    """
    maps = topology.automorphisms[:, topology.labelled]
    return _for_comparing(np.concatenate([maps, maps]), np.repeat([1, -1], len(maps)))


def _for_comparing(maps: Integers, mirrored: Integers) -> Operations:
    turns_chair = np.zeros(len(maps), dtype=bool)
    return Operations(maps=maps, mirrored=mirrored, turns_chair=turns_chair, rotor_degeneracy=1)


def rotor_relabellings(topology: Topology) -> Operations:
    """The automorphisms that leave every ring carbon where it is: equal atoms within groups.

    Two minima that one of them superposes are the same *labelled* minimum; the copies that ring symmetry or a
    mirror makes stay apart.
    """
    still = (topology.automorphisms[:, topology.ring] == topology.ring).all(axis=1)
    maps = topology.automorphisms[still][:, topology.labelled]
    return _for_comparing(maps, np.ones(len(maps), dtype=np.int64))


def _keeps_faces(topology: Topology, maps: Integers, side: Integers) -> NDArray[np.bool_]:
    face = np.zeros(len(topology.symbols))
    atoms = []
    for _, ligand in topology.groups:
        face[ligand.atom] = 1 if ligand.face == "up" else -1
        atoms.append(ligand.atom)
    result: NDArray[np.bool_] = (face[maps[:, atoms]] == side[:, None] * face[atoms]).all(axis=1)
    return result


def _keeps_centres(topology: Topology, maps: Integers, positions: Floats, mirrored: int) -> NDArray[np.bool_]:
    def handedness(quads: Integers) -> Floats:
        corner = positions[quads]
        arms = corner[..., 1:, :] - corner[..., :1, :]
        signs: Floats = np.sign(np.linalg.det(arms))
        return signs

    images = maps[:, topology.centres]
    result: NDArray[np.bool_] = (mirrored * handedness(images) == handedness(topology.centres)).all(axis=1)
    return result


def _keeps_double_bonds(topology: Topology, maps: Integers, positions: Floats) -> NDArray[np.bool_]:
    def same_side(quads: Integers) -> NDArray[np.bool_]:
        result: NDArray[np.bool_] = torsion_directions(positions, quads).real > 0.0
        return result

    images = maps[:, topology.stiff_bonds]
    result: NDArray[np.bool_] = (same_side(images) == same_side(topology.stiff_bonds)).all(axis=1)
    return result


def best_rmsd(target: Floats, candidates: Floats) -> Floats:
    """RMSD (g,) of candidates (g, k, 3) on target (k, 3) after the best proper rotation and translation.

    Source: W. Kabsch, Acta Cryst. A 1976, 32, 922 (doi 10.1107/S0567739476001873).
    """
    fixed = target - target.mean(axis=0)
    moved = candidates - candidates.mean(axis=1, keepdims=True)
    # (1) H = moved^T fixed, singular values s; (2) the last one changes sign when det H < 0
    covariance = moved.transpose(0, 2, 1) @ fixed
    singular = np.linalg.svd(covariance, compute_uv=False)
    singular[:, 2] *= np.sign(np.linalg.det(covariance))
    # (3) k rmsd^2 = |moved|^2 + |fixed|^2 - 2 sum s
    squared = (moved**2).sum(axis=(1, 2)) + (fixed**2).sum() - 2.0 * singular.sum(axis=1)
    result: Floats = np.sqrt(np.maximum(squared, 0.0) / len(target))
    return result


def superposed(target: Floats, moved: Floats) -> Floats:
    """positions moved (n, 3) turned and shifted onto target (n, 3), atom by atom (Kabsch 1976)."""
    fixed, loose = target - target.mean(axis=0), moved - moved.mean(axis=0)
    left, _, right = np.linalg.svd(loose.T @ fixed)
    # (1) R = U diag(1, 1, det UV) V^T
    flip = np.diag([1.0, 1.0, float(np.sign(np.linalg.det(left @ right)))])
    result: Floats = loose @ (left @ flip @ right) + target.mean(axis=0)
    return result


def coincidences(
    topology: Topology, operations: Operations, target: Floats, positions: Floats
) -> NDArray[np.bool_]:
    """(g,) True where an operation brings positions (n, 3) onto target (n, 3) within SAME_WITHIN_ANGSTROM."""
    labelled = target[topology.labelled]
    hits = []
    for start in range(0, len(operations.maps), _CHUNK):
        chunk = slice(start, start + _CHUNK)
        images = positions[operations.maps[chunk]]
        images[..., 0] *= operations.mirrored[chunk, None]
        hits.append(best_rmsd(labelled, images) < SAME_WITHIN_ANGSTROM)
    return np.concatenate(hits)


def count_degeneracy(topology: Topology, operations: Operations, positions: Floats) -> Degeneracy:
    """Degeneracy of positions (n, 3) in the conformer's own chair and in the opposite one, and its symmetry.

    For a conformer that is no chair only the sum of the copies has a meaning: an operation that turns the
    chairs may be in its stabiliser (a twist-boat with a twofold axis), and then neither half need be a whole
    number.
    """
    stabiliser = coincidences(topology, operations, positions, positions)
    share = int(stabiliser.sum()) * operations.rotor_degeneracy
    copies = len(operations.maps) // share
    opposite = int(operations.turns_chair.sum()) // share
    proper = stabiliser & (operations.mirrored == 1)
    mirrored_too = bool((operations.mirrored == -1).any())
    own_mirror_image = bool((stabiliser & ~proper).any())
    return Degeneracy(
        own=copies - opposite,
        opposite=opposite,
        rotational_symmetry=int(proper.sum()),
        mirror_images=2 if mirrored_too and not own_mirror_image else 1,
    )


def chairs_equal_by_symmetry(operations: Operations) -> bool:
    """True when a feasible operation turns one chair into the other: their gap is then exactly zero."""
    return bool(operations.turns_chair.any())
