"""From the tree of a name to a molecule of RDKit: an adapter, with `configuration` the only one here.

Each word's structure is put down as it is and joined to the others at the locants. Which hydrogens there are
to replace is counted here, so that a fifth bond, a locant that is not there or a group without a locant is
refused in the words of names.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from rdkit import Chem, rdBase

from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.tree import RING_LOCANTS, Ending, Item, Locant, Unit
from chairgap.naming.words import Word

MOST_ATOMS = 200
_LOCANT_N = 99
_TIN, _VALENCE_OF_TIN = 50, 4
_AT_THE_END = ("al", "oic acid", "nitrile")
_NITROGEN = ("amine", "aminium", "carboxamide", "sulfonamide", "methanamine", "ethanamine")


@dataclass(frozen=True, kw_only=True)
class RingGroup:
    """A group on a ring carbon: locant, first atom, mark (r, c, t or ''), and what the name calls it."""

    locant: int
    atom: int
    mark: str
    said: str


@dataclass(kw_only=True)
class Placed:
    """A unit in the molecule: its atoms by locant, all its own atoms, and the groups on them where it is a
    cyclohexane ring."""

    unit: Unit
    atoms: dict[str, int]
    own: range
    depth: int
    groups: list[RingGroup] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Template:
    """A word's atoms: the mol without `*`, atoms by locant, the atom and bond order of each `*`, and how many
    hydrogens each atom has to replace."""

    mol: Chem.Mol
    locants: dict[str, int]
    ends: tuple[tuple[int, Chem.BondType], ...]
    hydrogens: tuple[int, ...]


@lru_cache(1024)
def word_template(smiles: str) -> Template:
    parameters: Any = Chem.SmilesParserParams()  # RDKit's stubs give its fields the wrong type
    parameters.removeHs = False
    with rdBase.BlockLogs():
        mol = Chem.RWMol(Chem.MolFromSmiles(smiles, parameters))
    locants: dict[int, str] = {}
    for atom in mol.GetAtoms():
        if number := atom.GetAtomMapNum():
            locants[atom.GetIdx()] = str(number) if number != _LOCANT_N else "N"
            atom.SetAtomMapNum(0)
            atom.SetNoImplicit(False)
            atom.SetNumRadicalElectrons(0)
    mol.UpdatePropertyCache(strict=False)
    stars = [atom.GetIdx() for atom in mol.GetAtoms() if atom.GetAtomicNum() == 0]
    kept = [index for index in range(mol.GetNumAtoms()) if index not in stars]
    hydrogens = tuple(_hydrogens(mol.GetAtomWithIdx(index)) for index in kept)
    ends = []
    for star in stars:
        (bond,) = mol.GetAtomWithIdx(star).GetBonds()
        ends.append((kept.index(bond.GetOtherAtomIdx(star)), bond.GetBondType()))
    for star in reversed(stars):
        mol.RemoveAtom(star)
    by_locant = {locant: kept.index(index) for index, locant in locants.items()}
    return Template(mol=mol.GetMol(), locants=by_locant, ends=tuple(ends), hydrogens=hydrogens)


def _hydrogens(atom: Chem.Atom) -> int:
    """Tin has four valences in names; RDKit leaves it two where these are enough."""
    return _VALENCE_OF_TIN - atom.GetDegree() if atom.GetAtomicNum() == _TIN else int(atom.GetTotalNumHs())


class Structure:
    """The molecule of a tree, without configuration yet. Raises UnreadableNameError where it cannot be."""

    def __init__(self, tree: Unit, text: str):
        self._text = text
        self.mol = Chem.RWMol()
        self._free: list[int] = []
        self.placed: list[Placed] = []
        self._place(tree, 0)
        for atom in self.mol.GetAtoms():
            if atom.GetAtomicNum() == _TIN:
                atom.SetNumExplicitHs(self._free[atom.GetIdx()])
                atom.SetNoImplicit(True)
        with rdBase.BlockLogs():
            self.mol.UpdatePropertyCache(strict=False)
            Chem.SanitizeMol(self.mol)

    def said(self, item: Item | Ending) -> str:
        return self._text[item.start : item.end].strip("-")

    # --- placing -----------------------------------------------------------------------------------------

    def _add(self, smiles: str, start: int) -> tuple[dict[str, int], list[tuple[int, Chem.BondType]]]:
        template = word_template(smiles)
        first = self.mol.GetNumAtoms()
        if first + template.mol.GetNumAtoms() > MOST_ATOMS:
            raise UnreadableNameError(start, f"it has more than {MOST_ATOMS} atoms; name a smaller molecule")
        self.mol.InsertMol(template.mol)
        self._free += template.hydrogens
        atoms = {locant: index + first for locant, index in template.locants.items()}
        return atoms, [(index + first, order) for index, order in template.ends]

    def _place(self, unit: Unit, depth: int) -> list[tuple[int, Chem.BondType]]:
        """Puts a unit down; returns its free ends."""
        first = self.mol.GetNumAtoms()
        atoms, ends = self._add(unit.word.smiles, unit.start)
        own = range(first, self.mol.GetNumAtoms())
        placed = Placed(unit=unit, atoms=atoms, own=own, depth=depth)
        self.placed.append(placed)
        if unit.is_ring:
            placed.groups += self._carried(placed)
        nitrogens: list[int] = []
        if unit.ending:
            nitrogens = self._place_ending(placed, unit.ending, depth)
        if unit.is_ring and ends:
            self._note_end(placed, ends[0][0], unit)
        self._place_items(placed, nitrogens, depth)
        if unit.attached:
            (end, _), others = ends[0], self._place(unit.attached, depth + 1)
            self._join(end, others)
            if placed.groups and unit.is_ring:
                said = self._text[unit.attached.start : unit.attached.end]
                placed.groups[0] = replace(placed.groups[0], atom=others[0][0], said=said)
            ends = []
        return ends

    def _carried(self, placed: Placed) -> list[RingGroup]:
        """The groups that are part of the word itself (menthane)."""
        ring = {placed.atoms[locant]: int(locant) for locant in RING_LOCANTS}
        return [
            RingGroup(locant=locant, atom=other.GetIdx(), mark="", said=placed.unit.called)
            for atom, locant in ring.items()
            for other in self.mol.GetAtomWithIdx(atom).GetNeighbors()
            if other.GetIdx() not in ring
        ]

    def _note_end(self, placed: Placed, end: int, unit: Unit) -> None:
        """The free valence of a ring counts as its group at that locant; `-1` until something is there."""
        locant = next(int(number) for number, atom in placed.atoms.items() if atom == end)
        placed.groups.append(RingGroup(locant=locant, atom=-1, mark="", said="what it is a group of"))

    def _join(self, atom: int, ends: list[tuple[int, Chem.BondType]]) -> None:
        for end, order in ends:
            self.mol.AddBond(atom, end, order)

    def _take(self, atom: int, count: int, what: Item | Ending, locant: str) -> None:
        self._free[atom] -= count
        if self._free[atom] < 0:
            raise UnreadableNameError(
                what.start, f"there is no hydrogen left to replace at {locant} for '{self.said(what)}'"
            )
        if (written := self.mol.GetAtomWithIdx(atom)).GetNumExplicitHs():
            written.SetNumExplicitHs(written.GetNumExplicitHs() - count)

    def _put(self, placed: Placed, locant: Locant, unit: Unit, what: Item | Ending, depth: int) -> None:
        """A unit on the atom of that locant."""
        atom = self._atom(placed, locant, what)
        on_ring = placed.unit.is_ring and locant.text in RING_LOCANTS
        if locant.mark and not on_ring:
            raise UnreadableNameError(
                what.start, f"'{self.said(what)}' is on no ring carbon and has no face; leave r, c or t out"
            )
        first = self.mol.GetNumAtoms()
        ends = self._place(unit, depth + 1)
        if not ends:
            raise UnreadableNameError(what.start, f"'{self.said(what)}' has no free valence")
        if placed.unit.is_ring and any(order != Chem.BondType.SINGLE for _, order in ends):
            raise UnreadableNameError(
                what.start,
                f"'{self.said(what)}' is held by a double bond, so its ring is that of a ketone; "
                "give a ring of six sp3 carbons",
            )
        self._take(atom, sum(int(order) for _, order in ends), what, locant.text)
        self._join(atom, ends)
        self._link_ring(first, atom)
        if on_ring:
            said = self.said(what)
            placed.groups.append(
                RingGroup(locant=int(locant.text), atom=ends[0][0], mark=locant.mark, said=said)
            )

    def _link_ring(self, first: int, atom: int) -> None:
        """A ring whose free valence was filled from outside knows now by which atom."""
        for other in self.placed:
            if other.unit.is_ring and other.own.start == first:
                other.groups[:] = [
                    replace(group, atom=atom) if group.atom == -1 else group for group in other.groups
                ]

    def _atom(self, placed: Placed, locant: Locant, what: Item | Ending) -> int:
        if locant.text not in placed.atoms:
            known = ", ".join(sorted(placed.atoms, key=lambda text: (len(text), text))) or "none"
            raise UnreadableNameError(
                what.start,
                f"there is no locant {locant.text} on '{placed.unit.called}' for '{self.said(what)}' "
                f"(there: {known})",
            )
        return placed.atoms[locant.text]

    # --- endings -----------------------------------------------------------------------------------------

    def _place_ending(self, placed: Placed, ending: Ending, depth: int) -> list[int]:
        """Puts the groups of an ending down; returns their nitrogens in order of locant."""
        locants = ending.locants
        self._check_end(placed, ending)
        if not locants and ending.count == 1:
            locants = (Locant(text="1"),)
        if len(locants) != ending.count or any(not locant.text.isdigit() for locant in locants):
            raise UnreadableNameError(ending.start, _wrong_number(self.said(ending), ending.count, locants))
        nitrogens = []
        for number, locant in enumerate(locants):
            if ending.suffix is None:
                if not ending.attached:
                    raise UnreadableNameError(
                        ending.start,
                        f"'{self.said(ending)}' is read in front of a word such as acetate or chloride only; "
                        "write the group systematically",
                    )
                self._put(placed, locant, ending.attached[number], ending, depth)
                continue
            word = Word(name=ending.suffix.name, smiles=ending.suffix.smiles)
            items: tuple[Item, ...] = ()
            if ending.attached:
                group = ending.attached[number]
                items = (Item(locants=(), count=1, unit=group, start=group.start, end=group.end),)
            before = len(self.placed)
            unit = Unit(word=word, items=items, start=ending.start, end=ending.end)
            self._put(placed, locant, unit, ending, depth)
            if ending.suffix.name in _NITROGEN:
                nitrogens.append(self.placed[before].atoms["1"])
        return nitrogens

    def _check_end(self, placed: Placed, ending: Ending) -> None:
        """On a chain an aldehyde, acid or nitrile is at its end, and anything else says where it is, as on a
        ring with groups of its own."""
        if placed.unit.word.has_ring and not ending.locants:
            raise UnreadableNameError(ending.start, f"'{self.said(ending)}' needs a locant; write it before")
        if placed.unit.is_ring or ending.suffix is None:
            return
        at_end = ending.suffix.name in _AT_THE_END
        if at_end and (ending.count > 1 or any(locant.text != "1" for locant in ending.locants)):
            raise UnreadableNameError(ending.start, f"'{self.said(ending)}' is at the end of a chain, C1")
        if not at_end and not ending.locants and ending.suffix.carbon != "ring" and len(placed.atoms) > 2:
            raise UnreadableNameError(ending.start, f"'{self.said(ending)}' needs a locant")

    # --- items -------------------------------------------------------------------------------------------

    def _place_items(self, placed: Placed, nitrogens: list[int], depth: int) -> None:
        unit = placed.unit
        count = sum(item.count for item in unit.items)
        if count < unit.word.needs:
            raise UnreadableNameError(unit.start, f"nothing stands on '{unit.word.name}'")
        for item in unit.items:
            locants = item.locants or self._implied(placed, item)
            if len(locants) != item.count:
                raise UnreadableNameError(item.start, _wrong_number(self.said(item), item.count, locants))
            for locant in locants:
                if locant.text.startswith("N") and locant.text not in placed.atoms:
                    self._on_nitrogen(placed, locant, item, nitrogens, depth)
                else:
                    self._put(placed, locant, item.unit, item, depth)

    def _implied(self, placed: Placed, item: Item) -> tuple[Locant, ...]:
        """Locants that need not be written: of the only place there is, of a single group on a bare ring or
        chain of two, of all hydrogens (P-31.1.4.3.4, from memory)."""
        unit = placed.unit
        if len(placed.atoms) == 1:
            self._one_group_or_two(unit, item)
            return (Locant(text=next(iter(placed.atoms))),) * item.count
        alone = len(unit.items) == 1
        free = {locant: self._free[atom] for locant, atom in placed.atoms.items()}
        if alone and item.count == sum(free.values()):
            return tuple(Locant(text=locant) for locant, count in free.items() for _ in range(count))
        symmetric = unit.is_ring or unit.word.name in ("benzen", "ethan")
        bare = unit.ending is None and not placed.groups
        if alone and item.count == 1 and symmetric and bare:
            return (Locant(text="1"),)
        said = self.said(item)
        if item.count > 1:
            example = ",".join(str(locant) for locant in range(1, item.count + 1))
            advice = f"write a locant for each, such as {example}-{said}"
        else:
            advice = (
                f"write one, such as 2-{said}, or brackets round a group of several words: (chloromethyl)"
            )
        raise UnreadableNameError(
            item.start, f"'{said}' has no locant, so it is open where on '{unit.called}'; {advice}"
        )

    def _one_group_or_two(self, unit: Unit, item: Item) -> None:
        """Refuses (chloroethylmethyl): chloro and ethyl on a methyl group, or a chloroethyl group on it."""
        before = [one for one in unit.items if one.end == item.start]
        bare = "(" not in "".join(map(self.said, (*before, item))) and not item.locants
        if before and bare and unit.word.name == "methyl" and item.unit.word.name.endswith("yl"):
            first, second = self.said(before[-1]), self.said(item)
            raise UnreadableNameError(
                before[-1].start,
                f"'{first}{second}' may be one group or two; write {first}({second}) for two, or brackets "
                f"and a locant for one, such as (2-{first}{second})",
            )

    def _on_nitrogen(
        self, placed: Placed, locant: Locant, item: Item, nitrogens: list[int], depth: int
    ) -> None:
        """N, N' or N2: on the nitrogen of the ending (P-62.2.4.1.2, from memory)."""
        which = locant.text.count("'")
        if number := locant.text.strip("N'"):
            ending = placed.unit.ending
            numbers = [found.text for found in ending.locants] if ending else []
            places = [place for place, text in enumerate(numbers) if text == number]
            which = places[which] if which < len(places) else len(nitrogens)
        if which >= len(nitrogens):
            raise UnreadableNameError(
                item.start, f"there is no nitrogen '{locant.text}' for '{self.said(item)}'"
            )
        if (
            len(nitrogens) > 1
            and locant.text == "N"
            and not any("'" in other.text for one in placed.unit.items for other in one.locants)
            and placed.unit.ending
            and len(set(placed.unit.ending.locants)) > 1
        ):
            raise UnreadableNameError(
                item.start, f"which nitrogen has '{self.said(item)}' is open; write N1 or N2"
            )
        ends = self._place(item.unit, depth + 1)
        self._take(nitrogens[which], sum(int(order) for _, order in ends), item, locant.text)
        first = ends[0][0]
        self._join(nitrogens[which], ends)
        self._link_ring(first, nitrogens[which])


def _wrong_number(said: str, count: int, locants: tuple[Locant, ...]) -> str:
    written = ", ".join(locant.text for locant in locants)
    needs = f"'{said}' is {count} group{'s' * (count > 1)}"
    if not locants:
        return f"{needs} and has no locants; write them, such as 1,2-"
    return f"{needs} and has {len(locants)} locant{'s' * (len(locants) > 1)} ({written}); write one for each"
