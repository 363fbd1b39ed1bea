"""A molecule as a graph for the writer of names, and where a word of the vocabulary lies in it: an adapter.

The counterpart of `structure`: there words are joined at their locants, here a structure is taken apart into
a word and what stands at its locants, with the same table (`words`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from rdkit import Chem

from chairgap.naming.structure import word_template


class NoNameError(ValueError):
    """A structure that cannot be named here; the text says why. ligand: (ring position, 0 upper or 1 lower)
    of the group that has no name."""

    ligand: tuple[int, int] | None = None


@dataclass(frozen=True, kw_only=True)
class Node:
    """A heavy atom (or a labelled hydrogen). kind: element, charge and whether aromatic; bonds: neighbour to
    bond order (1.5 aromatic); hydrogens: how many it carries; letter: its CIP descriptor or ''."""

    kind: tuple[str, int, bool]
    bonds: dict[int, float]
    hydrogens: int
    letter: str = ""


@dataclass(frozen=True, kw_only=True)
class Skeleton:
    """A molecule without its plain hydrogens. sides: E or Z of the bonds that have one."""

    nodes: dict[int, Node]
    sides: dict[frozenset[int], str] = field(default_factory=dict)

    def beyond(self, first: int, parent: int) -> frozenset[int]:
        """All atoms of the group that starts with `first` on `parent`."""
        seen, edge = {parent, first}, [first]
        while edge:
            for other in self.nodes[edge.pop()].bonds:
                if other not in seen:
                    seen.add(other)
                    edge.append(other)
        return frozenset(seen - {parent})

    def is_chain_carbon(self, index: int, parent: int) -> bool:
        """Whether a chain may run on from `parent` through this atom: carbon in no ring, and not that of an
        acid or nitrile, which stay groups."""
        node = self.nodes[index]
        if node.kind != ("C", 0, False):
            return False
        others = [other for other in node.bonds if other != parent]
        if any(set(others) & self.beyond(other, index) - {other} for other in others):
            return False
        ends = [other for other in others if len(self.nodes[other].bonds) == 1]
        oxygens = [other for other in ends if self.nodes[other].kind[0] == "O"]
        return len(oxygens) < 2 and not any(
            node.bonds[other] == 3.0 and self.nodes[other].kind[0] == "N" for other in ends
        )


def skeleton_of(mol: Chem.Mol) -> Skeleton:
    """The graph of a molecule that has its CIP labels. Raises NoNameError for isotopes and radicals."""
    nodes = {}
    for atom in mol.GetAtoms():
        if atom.GetIsotope():
            raise NoNameError(f"names with isotopes ({atom.GetIsotope()}{atom.GetSymbol()}) are not written")
        if atom.GetNumRadicalElectrons():
            raise NoNameError("names of radicals are not written")
        nodes[atom.GetIdx()] = _node(atom)
    plain = [index for index, node in nodes.items() if node.kind[0] == "H" and len(node.bonds) == 1]
    for index in plain:
        (parent,) = nodes.pop(index).bonds
        del nodes[parent].bonds[index]
    sides = {
        frozenset((bond.GetBeginAtomIdx(), bond.GetEndAtomIdx())): bond.GetProp("_CIPCode")
        for bond in mol.GetBonds()
        if bond.HasProp("_CIPCode")
    }
    return Skeleton(nodes=nodes, sides=sides)


def _node(atom: Chem.Atom) -> Node:
    return Node(
        kind=(atom.GetSymbol(), atom.GetFormalCharge(), atom.GetIsAromatic()),
        bonds={bond.GetOtherAtomIdx(atom.GetIdx()): bond.GetBondTypeAsDouble() for bond in atom.GetBonds()},
        hydrogens=atom.GetTotalNumHs(includeNeighbors=True),
        letter=atom.GetProp("_CIPCode") if atom.HasProp("_CIPCode") else "",
    )


# --- words in a structure --------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """A word's structure with one free end. root: the atom at the end; order: the bond there; locants: by
    atom; carbons, others: how many atoms of the two sorts it has."""

    nodes: dict[int, Node]
    root: int
    order: float
    locants: dict[int, str]
    carbons: int
    others: int


@dataclass(frozen=True, kw_only=True)
class Match:
    """A word found in a structure. atoms: locant to atom; covered: all atoms of the word; extra: (locant,
    first atom) of each group that stands on it."""

    atoms: dict[str, int]
    covered: frozenset[int]
    extra: tuple[tuple[str, int], ...]


@lru_cache(2048)
def pattern_of(smiles: str) -> Pattern:
    template = word_template(smiles)
    nodes = {
        atom.GetIdx(): Node(
            kind=(atom.GetSymbol(), atom.GetFormalCharge(), atom.GetIsAromatic()),
            bonds={b.GetOtherAtomIdx(atom.GetIdx()): b.GetBondTypeAsDouble() for b in atom.GetBonds()},
            hydrogens=template.hydrogens[atom.GetIdx()],
        )
        for atom in template.mol.GetAtoms()
    }
    ((root, bond),) = template.ends
    carbons = sum(node.kind[0] == "C" for node in nodes.values())
    return Pattern(
        nodes=nodes,
        root=root,
        order={Chem.BondType.SINGLE: 1.0, Chem.BondType.DOUBLE: 2.0, Chem.BondType.TRIPLE: 3.0}[bond],
        locants={atom: locant for locant, atom in template.locants.items()},
        carbons=carbons,
        others=len(nodes) - carbons,
    )


def matches(skeleton: Skeleton, first: int, parent: int, pattern: Pattern) -> Iterator[Match]:
    """Every way in which the group `first` on `parent` is the word with other groups on its locants."""
    if skeleton.nodes[parent].bonds[first] != pattern.order:
        return
    seen = set()
    for placed in _placings(skeleton, pattern, {pattern.root: first}, parent):
        atoms = {locant: placed[atom] for atom, locant in pattern.locants.items()}
        covered = frozenset(placed.values())
        if (key := (tuple(atoms.items()), covered)) in seen:
            continue
        seen.add(key)
        if (extra := _extra(skeleton, pattern, placed, parent)) is not None:
            yield Match(atoms=atoms, covered=covered, extra=extra)


def _placings(
    skeleton: Skeleton, pattern: Pattern, placed: dict[int, int], parent: int
) -> Iterator[Mapping[int, int]]:
    """Maps of the word's atoms, grown one bond at a time."""
    newest = next(reversed(placed))
    if not _fits(skeleton, pattern, placed, newest):
        return
    following = next(
        ((near, far) for near in placed for far in pattern.nodes[near].bonds if far not in placed), None
    )
    if following is None:
        yield placed
        return
    near, far = following
    for candidate in skeleton.nodes[placed[near]].bonds:
        if candidate != parent and candidate not in placed.values():
            yield from _placings(skeleton, pattern, {**placed, far: candidate}, parent)


def _fits(skeleton: Skeleton, pattern: Pattern, placed: Mapping[int, int], newest: int) -> bool:
    here, there = pattern.nodes[newest], skeleton.nodes[placed[newest]]
    if here.kind != there.kind or there.hydrogens > here.hydrogens:
        return False
    if newest not in pattern.locants and there.hydrogens != here.hydrogens:
        return False
    bonds = {placed[other]: order for other, order in here.bonds.items() if other in placed}
    in_both = {other: order for other, order in there.bonds.items() if other in placed.values()}
    return bonds == in_both


def _extra(
    skeleton: Skeleton, pattern: Pattern, placed: Mapping[int, int], parent: int
) -> tuple[tuple[str, int], ...] | None:
    """The groups on the word, or None where what is left does not stand on its locants."""
    covered = set(placed.values())
    found = []
    for atom, index in placed.items():
        node = skeleton.nodes[index]
        rest = [other for other in node.bonds if other not in covered and other != parent]
        replaced = sum(node.bonds[other] for other in rest)
        if node.hydrogens + replaced != pattern.nodes[atom].hydrogens:
            return None
        for other in rest:
            if skeleton.beyond(other, index) & (covered | {parent}):
                return None
            found.append((pattern.locants[atom], other))
    return tuple(found)
