"""A ring and its systematic name: names out."""

from dataclasses import dataclass, replace
from functools import lru_cache

from rdkit import Chem
from rdkit.Chem import rdCIPLabeler

from chairgap.molecule import fragments
from chairgap.molecule.glue import glued
from chairgap.molecule.numbering import ALL_NUMBERINGS, HYDROGEN, Numbering, RingFaces, key, renumbered
from chairgap.naming.skeleton import NoNameError
from chairgap.naming.systematic import RingNamer
from chairgap.records import SystematicName

_KEPT = 4096
# By the old positions of the new carbons 1 to 6.
_NUMBERINGS = {tuple(one.source(locant) for locant in range(1, 7)): one for one in ALL_NUMBERINGS}


@dataclass(frozen=True, kw_only=True)
class NamedRing:
    """The name of a ring and its numbering: which of the twelve writings, and the ring in it. alike: all
    numberings in which the ring has this name."""

    name: SystematicName
    numbering: Numbering
    faces: RingFaces
    alike: tuple[Numbering, ...]


def named_ring(faces: RingFaces) -> NamedRing:
    """The systematic name of a ring (six pairs of upper and lower fragment) and its numbering, the same for
    each of its twelve writings. Without a name, which `why_none` then explains, rules (a) to (d) of
    `numbering` number it.

    Where symmetry gives several numberings one name, rules (c) and (d) choose among them.
    """
    one, to_one = min(
        ((renumbered(faces, numbering), numbering) for numbering in ALL_NUMBERINGS), key=lambda pair: pair[0]
    )
    found = named_as_written(one)

    def of_faces(numbering: Numbering) -> Numbering:
        order = tuple(to_one.source(numbering.source(locant) + 1) for locant in range(1, 7))
        return _NUMBERINGS[order]

    return replace(found, numbering=of_faces(found.numbering), alike=tuple(map(of_faces, found.alike)))


def has_numbers_of_its_name(faces: RingFaces) -> bool:
    """Whether the numbers of this writing are those of the systematic name: the same groups, whatever their
    faces, and the same letters on each carbon."""
    named = named_ring(faces)
    letters = [""] * 6
    for locant, letter in enumerate(named.name.cip, start=1):
        letters[named.numbering.source(locant)] = letter
    same_groups = all(sorted(one) == sorted(other) for one, other in zip(faces, named.faces, strict=True))
    return bool(named.name.name) and same_groups and tuple(letters) == named.name.cip


@lru_cache(_KEPT)
def named_as_written(faces: RingFaces, numberings: tuple[Numbering, ...] = ALL_NUMBERINGS) -> NamedRing:
    """The best of some numberings of a ring by the rules for its name, and the name in it."""
    mol = glued(faces)
    ligands = tuple(_ligands(mol, faces))
    mol = labelled(mol)
    orders = [tuple(one.source(locant) for locant in range(1, 7)) for one in numberings]
    try:
        namer = RingNamer(mol, tuple(range(6)), ligands)
        best = namer.best(orders)
    except NoNameError as error:
        numbering = min(numberings, key=lambda one: _old_order(faces, one))
        return _without_name(faces, numbering, mol, _reason(error, faces))
    order, name = min(best, key=lambda pair: _old_order(faces, _NUMBERINGS[pair[0]]))
    return NamedRing(
        name=name,
        numbering=_NUMBERINGS[order],
        faces=renumbered(faces, _NUMBERINGS[order]),
        alike=tuple(_NUMBERINGS[one] for one, _ in best),
    )


def _reason(error: NoNameError, faces: RingFaces) -> str:
    if error.ligand is None:
        return str(error)
    position, side = error.ligand
    why = f": {error}" if str(error) else ""
    return f"no name is known here for the group {faces[position][side]}{why}"


def labelled(mol: Chem.Mol) -> Chem.Mol:
    """A copy with CIP labels (by RDKit, see `cip`), marks on stereocentres only, and without hydrogens."""
    copy = Chem.Mol(mol)
    # The stored form has a mark on every ring carbon, also where it is no stereocentre.
    Chem.AssignStereochemistry(copy, cleanIt=True, force=True)
    copy = Chem.RemoveHs(copy)
    rdCIPLabeler.AssignCIPLabels(copy)
    return copy


def _old_order(faces: RingFaces, numbering: Numbering) -> tuple[object, ...]:
    return key(renumbered(faces, numbering), fragments.flat)


def _ligands(mol: Chem.Mol, faces: RingFaces) -> list[tuple[int | None, int | None]]:
    found = []
    for position, pair in enumerate(faces):
        bonded = (bond.GetOtherAtomIdx(position) for bond in mol.GetAtomWithIdx(position).GetBonds())
        up, down = (
            atom if fragment != HYDROGEN else None
            for atom, fragment in zip((atom for atom in bonded if atom > 5), pair, strict=True)
        )
        found.append((up, down))
    return found


def _without_name(faces: RingFaces, numbering: Numbering, mol: Chem.Mol, why: str) -> NamedRing:
    letters = [_letter(mol.GetAtomWithIdx(numbering.source(locant))) for locant in range(1, 7)]
    name = SystematicName(
        name="",
        name_by_faces="",
        groups=(),
        locants=(),
        cis_trans="",
        cip=tuple(letters),
        why_none=why,
    )
    return NamedRing(name=name, numbering=numbering, faces=renumbered(faces, numbering), alike=(numbering,))


def _letter(atom: Chem.Atom) -> str:
    return str(atom.GetProp("_CIPCode")) if atom.HasProp("_CIPCode") else ""
