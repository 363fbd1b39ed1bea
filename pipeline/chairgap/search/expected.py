"""How many starts the lattice of a ring will have, from its writing alone: what its search is likely to cost.

Ring starts and rotor states are those of the lattice itself. Group variants, which only embedding would give,
are guessed: two for each nitrogen that inverts, four for each ring that can pucker (those of cyclohexyl; a
guess of our own for others).
"""

from functools import lru_cache
from math import prod

from rdkit import Chem, rdBase

from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.search.fragments import inverting_nitrogens, puckering_rings
from chairgap.search.ring_templates import count_ring_starts
from chairgap.search.rotamers import rotors_beyond

_OF_A_NITROGEN, _OF_A_RING = 2, 4
_CACHE = 4096


@lru_cache(_CACHE)
def expected_starts(faces: RingFaces) -> int:
    """About how many starting geometries there are: ring starts x group variants x rotor states."""
    return count_ring_starts(faces) * prod(_of_group(fragment) for pair in faces for fragment in pair)


@lru_cache(_CACHE)
def _of_group(fragment: str) -> int:
    """Variants x rotor states of a group, on CH3 in place of the ring carbon."""
    if fragment == HYDROGEN:
        return 1
    with rdBase.BlockLogs():
        bare = Chem.MolFromSmiles(fragment)
        cap = next(atom.GetIdx() for atom in bare.GetAtoms() if atom.GetAtomicNum() == 0)
        bare.GetAtomWithIdx(cap).SetAtomicNum(6)
        bare.GetAtomWithIdx(cap).SetIsotope(13)  # no methyl group of the group is its equal
        bare.GetAtomWithIdx(cap).SetNoImplicit(False)
        Chem.SanitizeMol(bare)
        mol = Chem.AddHs(bare)
    states = prod(len(rotor.states_deg) for rotor in rotors_beyond(mol, {cap: cap}))
    nitrogens, rings = len(list(inverting_nitrogens(mol))), len(list(puckering_rings(mol)))
    return int(states * _OF_A_NITROGEN**nitrogens * _OF_A_RING**rings)
