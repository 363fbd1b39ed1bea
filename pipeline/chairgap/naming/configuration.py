"""The configuration of a built name: faces and CIP descriptors to chiral marks of RDKit. An adapter.

Letters are not computed from rules of our own. The marks of the centres that have a letter are set both ways,
and those settings stay whose labels (RDKit's implementation of the CIP rules; P. Hanson, S. Musacchio, J. W.
Mayfield, M. J. Vainio, A. Yerin, D. Redkin, J. Chem. Inf. Model. 2018, 58, 1755, from memory) are the letters
of the name. Where each mark governs its own label only, as nearly always, one labelling more than there are
centres decides; otherwise all settings are looked at (rules 4 and 5: inositols, pseudoasymmetric carbons).
Names that leave more than one structure, or none, are refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rdkit import Chem

from chairgap.naming.faces import faces_of
from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.marks import (
    ANTICLOCKWISE,
    CLOCKWISE,
    Turn,
    everything,
    from_behind,
    inchi_of,
    is_open,
    possible_centres,
    turned,
    turns_left,
)
from chairgap.naming.solving import Site, all_settings, part_by_part, say_why
from chairgap.naming.structure import Placed, Structure
from chairgap.naming.tree import RING_LOCANTS, Letter, Stereo

_NO_ATOM = 2**32 - 1
MOST_LETTERS = 16
_NOT_E_Z = "for groups on the ring write cis or trans"


@dataclass(frozen=True, kw_only=True)
class Configured:
    """The molecule with its marks, and its mirror image. relative: the mirror image is meant as well;
    sign_open: a sign of rotation that does not say which of the two."""

    mol: Chem.Mol
    mirror: Chem.Mol
    relative: bool
    sign_open: str


class _Centres:
    """What could be a stereocentre, found once on the unmarked molecule."""

    def __init__(self, mol: Chem.Mol):
        self.atoms: set[int] = set()
        self.bonds: dict[int, tuple[int, int]] = {}
        for info in possible_centres(mol):
            if info.type == Chem.StereoType.Atom_Tetrahedral:
                self.atoms.add(info.centeredOn)
            else:
                ends = list(info.controllingAtoms)
                near, far = (next(a for a in side if a != _NO_ATOM) for side in (ends[:2], ends[2:]))
                self.bonds[info.centeredOn] = (near, far)


def configured(structure: Structure) -> Configured:
    """The molecule of a name with the configuration that the name gives. Raises UnreadableNameError."""
    mol = Chem.AddHs(structure.mol)
    centres = _Centres(structure.mol)
    stereos = [(placed, placed.unit.stereo) for placed in structure.placed]
    _all_relative_or_none(stereos)
    blocks = _blocks(mol, structure.placed, centres)
    sites = [site for placed, stereo in stereos for site in _sites(placed, stereo, structure, centres)]
    _each_once(sites)
    mol = _solved(mol, sites, blocks, centres)
    Chem.SetDoubleBondNeighborDirections(mol)  # without these, cleaning wipes the sides again
    return _judged(mol, stereos, [block for block in blocks if not _has_letter(block, sites)])


# --- faces -----------------------------------------------------------------------------------------------


def _blocks(mol: Chem.Mol, placed: Sequence[Placed], centres: _Centres) -> list[list[int]]:
    """Sets the marks of ring carbons whose faces the name gives; their atoms, ring by ring."""
    rings = [one for one in placed if one.unit.is_ring]
    blocks: list[list[int]] = []
    for one in placed:
        stereo = one.unit.stereo
        ring = one
        if not one.unit.is_ring:
            if not (stereo.relation or stereo.faces):
                continue
            if len(rings) != 1:
                raise UnreadableNameError(
                    stereo.start, f"'{stereo.relation or 'alpha'}' does not say which ring it means"
                )
            ring = rings[0]
            if not ring.unit.stereo.says_nothing and (ring.unit.stereo.relation or ring.unit.stereo.faces):
                raise UnreadableNameError(stereo.start, "it says twice on which faces the groups stand")
        locants = {int(text) for text in RING_LOCANTS if ring.atoms[text] in centres.atoms}
        up = faces_of(stereo, ring.groups, locants)
        if up:
            atoms = [_set_face(mol, ring, place, face) for place, face in up.items()]
            blocks.append(sorted(set(atoms)))
    return blocks


def _set_face(mol: Chem.Mol, ring: Placed, place: int, up: bool) -> int:
    """Marks the carbon of a group; returns it."""
    group = ring.groups[place]
    atom = mol.GetAtomWithIdx(ring.atoms[str(group.locant)])
    atom.SetChiralTag(ANTICLOCKWISE)
    if turns_left(atom, from_behind(ring, group, atom)) != up:
        atom.SetChiralTag(CLOCKWISE)
    return int(atom.GetIdx())


def _has_letter(block: list[int], sites: Sequence[Site]) -> bool:
    return any(not site.is_bond and site.index in block for site in sites)


# --- letters ---------------------------------------------------------------------------------------------


def _sites(placed: Placed, stereo: Stereo, structure: Structure, centres: _Centres) -> list[Site]:
    """The centres that the letters of a unit are about."""
    if stereo.letters and not stereo.letters[0].locant:
        return _without_locants(placed, stereo, structure, centres)
    return [_site(placed, stereo, letter, structure, centres) for letter in stereo.letters]


def _site(placed: Placed, stereo: Stereo, letter: Letter, structure: Structure, centres: _Centres) -> Site:
    where = f"{letter.locant}{letter.letter}"
    if letter.locant not in placed.atoms:
        raise UnreadableNameError(stereo.start, f"there is no locant {letter.locant} for '{where}'")
    atom = placed.atoms[letter.locant]
    if letter.letter in "EZ":
        following = placed.atoms.get(str(int(letter.locant) + 1), atom)
        bond = structure.mol.GetBondBetweenAtoms(atom, following)
        if bond is None or bond.GetIdx() not in centres.bonds:
            raise UnreadableNameError(
                stereo.start,
                f"there is no double bond with two sides at {letter.locant} for '{where}'; {_NOT_E_Z}",
            )
        return Site(index=bond.GetIdx(), is_bond=True, letter=letter.letter, where=where, start=stereo.start)
    if atom not in centres.atoms:
        raise UnreadableNameError(
            stereo.start,
            f"carbon {letter.locant} is no stereocentre, so it cannot be '{where}'; leave it out",
        )
    return Site(index=atom, is_bond=False, letter=letter.letter, where=where, start=stereo.start)


def _without_locants(placed: Placed, stereo: Stereo, structure: Structure, centres: _Centres) -> list[Site]:
    """'(R)-' or '(S,S)-': every centre there is, all with one letter."""
    letters = [letter.letter for letter in stereo.letters]
    bonds = letters[0] in "EZ"
    own: list[int] = [
        index
        for index in sorted(centres.bonds if bonds else centres.atoms)
        if (structure.mol.GetBondWithIdx(index).GetBeginAtomIdx() if bonds else index) in placed.own
    ]
    found = own or sorted(centres.bonds if bonds else centres.atoms)
    said = ",".join(letters)
    if len(set(letters)) > 1:
        raise UnreadableNameError(
            stereo.start, f"'({said})' does not say which letter belongs to which carbon; write locants"
        )
    if bonds and not found:
        raise UnreadableNameError(
            stereo.start, f"'({said})' is about double bonds, and none has two sides; {_NOT_E_Z}"
        )
    if len(found) != len(letters):
        what = "double bonds with two sides" if bonds else "stereocentres"
        raise UnreadableNameError(
            stereo.start, f"'({said})' has no locants, and there are {len(found)} {what}; write locants"
        )
    return [
        Site(index=index, is_bond=bonds, letter=letters[0], where=letters[0], start=stereo.start)
        for index in found
    ]


def _each_once(sites: Sequence[Site]) -> None:
    seen: set[tuple[int, bool]] = set()
    for site in sites:
        if (site.index, site.is_bond) in seen:
            raise UnreadableNameError(
                site.start, f"'{site.where}' is about a centre that has a letter already"
            )
        seen.add((site.index, site.is_bond))
    if len(sites) > MOST_LETTERS:
        raise UnreadableNameError(
            sites[0].start, f"there are more than {MOST_LETTERS} letters; give a SMILES"
        )


# --- solving ---------------------------------------------------------------------------------------------


def _solved(mol: Chem.Mol, sites: Sequence[Site], blocks: list[list[int]], centres: _Centres) -> Chem.Mol:
    """The molecule with marks whose labels are the letters. Raises UnreadableNameError."""
    if not sites:
        return Chem.RemoveHs(mol)
    in_blocks = {atom for block in blocks for atom in block}
    for site in sites:
        if site.is_bond:
            bond = mol.GetBondWithIdx(site.index)
            bond.SetStereoAtoms(*centres.bonds[site.index])
            bond.SetStereo(Chem.BondStereo.STEREOCIS)
        elif site.index not in in_blocks:
            mol.GetAtomWithIdx(site.index).SetChiralTag(CLOCKWISE)
    mol = Chem.RemoveHs(mol)
    turns: list[Turn] = [(block, []) for block in blocks if _has_letter(block, sites)]
    turns += [
        ([], [site.index]) if site.is_bond else ([site.index], [])
        for site in sites
        if site.is_bond or site.index not in in_blocks
    ]
    found = part_by_part(mol, sites, turns) or all_settings(mol, sites, turns)
    if not found:
        say_why(mol, sites, blocks)
    structures = {inchi_of(one): one for one in found}
    if len(structures) > 1:
        said = ",".join(site.where for site in sites)
        raise UnreadableNameError(
            sites[0].start, f"'({said})' is right for {len(structures)} structures; give a SMILES"
        )
    return next(iter(structures.values()))


# --- what it amounts to ----------------------------------------------------------------------------------


def _all_relative_or_none(stereos: Sequence[tuple[Placed, Stereo]]) -> None:
    """rel- inside a part, with letters elsewhere, would relate nothing to them."""
    lettered = [(placed, stereo) for placed, stereo in stereos if stereo.letters]
    for placed, stereo in stereos:
        if stereo.relative and placed.depth and any(other is not placed for other, _ in lettered):
            raise UnreadableNameError(
                stereo.start,
                "part of the name is relative (rel, rac, *) and part is not; write rel- in front of all",
            )


def _judged(
    mol: Chem.Mol, stereos: Sequence[tuple[Placed, Stereo]], loose: Sequence[list[int]]
) -> Configured:
    """Whether the mirror image is meant as well. loose: rings with faces and no letter."""
    same = inchi_of(mol)
    other_hand = turned(mol, [everything(mol)])
    mirror = inchi_of(other_hand)
    chiral = same != mirror
    relative = any(stereo.relative for _, stereo in stereos)
    for block in loose:
        other = inchi_of(turned(mol, [(block, [])]))
        if other == same:
            continue
        if other != mirror or len(loose) > 1:
            raise UnreadableNameError(
                0,
                "cis and trans, r/c/t or alpha/beta on the ring relate nothing to the letters elsewhere, so "
                "two molecules could be meant; write R and S for the ring carbons",
            )
        relative = True
    sign = next((stereo.sign for _, stereo in stereos if stereo.sign), "")
    if series := sign.strip("+-"):
        raise UnreadableNameError(
            0, f"'{series}-' has no meaning for this name; write R and S with their locants"
        )
    if not chiral and not is_open(mol):
        for _, stereo in stereos:
            if stereo.racemic or stereo.sign:
                what = "racemic" if stereo.racemic else f"({stereo.sign})"
                raise UnreadableNameError(
                    stereo.start,
                    f"'{what}' says that there is a mirror image, and there is none; leave it out",
                )
    relative = relative and chiral
    given = any(stereo.letters for _, stereo in stereos) and not relative
    return Configured(mol=mol, mirror=other_hand, relative=relative, sign_open="" if given else sign)
