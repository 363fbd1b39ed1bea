"""The systematic name of a ring: names out. An adapter.

The cyclohexane ring is always the parent, whatever its groups are: phenylcyclohexane, and a group with an
acid at the end of a chain is '(carboxymethyl)', where the rules of P-44 and P-52 would choose another parent.
Of two rings the one that is asked for is the parent (cyclohexylcyclohexane). The principal characteristic
group on the ring is the ending (P-41): anions, cations, acids, esters, acid chlorides, amides, nitriles,
aldehydes, alcohols, thiols, selenols, amines. An ester of a cyclohexanol is named by functional class
('4-methylcyclohexyl acetate', P-65.6.3) where all acids on the ring are the same; others are prefixes.

Numbering (P-31.1.4): lowest locants for the principal groups; for all prefixes together; for the prefixes in
the order of citation; for R and r together before S and s, then for R before r (P-31.1.4.3.4; of R and r
themselves the rule says nothing). Names that are still equal are the same text. Numbers of rules of the IUPAC
recommendations 2013 from memory.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rdkit import Chem

from chairgap.errors import MoleculeError
from chairgap.naming.cited import (
    GroupName,
    descriptors,
    in_order,
    letters_of,
    locants_cited,
    number_of,
    times_ending,
    written,
)
from chairgap.naming.group_names import GroupNamer
from chairgap.naming.marks import everything, inchi_of, turned
from chairgap.naming.reading import parse_name
from chairgap.naming.skeleton import NoNameError, matches, pattern_of, skeleton_of
from chairgap.naming.words import ESTER, SUFFIXES, Suffix
from chairgap.records import SystematicName

# Where each ring position (0 to 5) stands: the positions of carbons 1 to 6.
Order = tuple[int, ...]
Ligands = Sequence[tuple[int | None, int | None]]
_CONJUNCTIVE = 20
_MANY_LETTERS = 6
_SUBSTITUTED = ("amine", "aminium", "carboxamide", "sulfonamide")


@dataclass(frozen=True, kw_only=True)
class _Ending:
    """What a ligand is as the principal group. rank: seniority, 1 above 2. on_it: names of the groups on its
    nitrogen, or of an ester; acid: the name of the acid on the oxygen of the ring."""

    rank: float
    suffix: Suffix | None
    on_it: tuple[GroupName, ...] = ()
    acid: GroupName | None = None


@dataclass(frozen=True, kw_only=True)
class _Ligand:
    """A group on the ring. position: 0 to 5; is_up: in the writing given."""

    position: int
    is_up: bool
    first: int
    endings: tuple[_Ending, ...]


class RingNamer:
    """Names of one molecule in any numbering of its ring.

    mol: with CIP labels, and marks on stereocentres only; ring: atoms of positions 0 to 5; ligands: first
    atom of the upper and of the lower group of each, None for hydrogen. Raises NoNameError where there is no
    name.
    """

    def __init__(self, mol: Chem.Mol, ring: Sequence[int], ligands: Ligands):
        self._mol, self._skeleton = mol, skeleton_of(mol)
        self._namer = GroupNamer(self._skeleton)
        self._ring = ring
        self._ligands = tuple(
            self._ligand(position, is_up, first)
            for position, pair in enumerate(ligands)
            for first, is_up in zip(pair, (True, False), strict=True)
            if first is not None
        )
        principal = self._choose()
        chosen = {ligand.first for ligand, _ in principal}
        self._parts = _Parts(
            principal=principal,
            prefixes=[
                (ligand, self._prefix(ligand)) for ligand in self._ligands if ligand.first not in chosen
            ],
            letters=tuple(self._skeleton.nodes[atom].letter for atom in ring),
            relation=self._relation(),
        )
        if any(_is_marked(mol, atom) and not self._skeleton.nodes[atom].letter for atom in ring):
            self._take_faces(mol)

    def best(self, orders: Sequence[Order]) -> list[tuple[Order, SystematicName]]:
        """The numberings of the ring's name among those given, with the name; several where symmetry offers
        them."""
        left = [_Written(self._parts, order) for order in orders]
        for criterion in _CRITERIA:
            ranks = [criterion(one) for one in left]
            left = [one for one, rank in zip(left, ranks, strict=True) if rank == min(ranks)]
        found = [(one.order, one.result()) for one in left]
        text = min(name.name for _, name in found)
        if self._is_hard and not self._is_read_back(text):
            raise NoNameError("its configuration cannot be written so that it is read again")
        return [(order, name) for order, name in found if name.name == text]

    @property
    def _is_hard(self) -> bool:
        """Whether letters depend on each other in number or in groups, or faces stand for them."""
        letters = {atom: node.letter for atom, node in self._skeleton.nodes.items() if node.letter}
        in_groups = any(letter in "rs" for atom, letter in letters.items() if atom not in self._ring)
        return len(letters) > _MANY_LETTERS or in_groups or self._parts.by_faces

    def _is_read_back(self, name: str) -> bool:
        try:
            parsed = parse_name(name)
        except MoleculeError:
            return False
        if parsed.relative or parsed.open_sites:
            return False
        return inchi_of(Chem.MolFromSmiles(parsed.smiles)) == inchi_of(self._mol)

    def _ligand(self, position: int, is_up: bool, first: int) -> _Ligand:
        try:
            endings = self._endings(first, self._ring[position])
        except NoNameError as error:
            error.ligand = (position, int(not is_up))
            raise
        return _Ligand(position=position, is_up=is_up, first=first, endings=endings)

    def _prefix(self, ligand: _Ligand) -> GroupName:
        try:
            return self._namer.group(ligand.first, self._ring[ligand.position])
        except NoNameError as error:
            error.ligand = (ligand.position, int(not ligand.is_up))
            raise

    def _take_faces(self, mol: Chem.Mol) -> None:
        """r, c and t for a ring with a centre to which the CIP rules as computed give no letter (cis,trans-
        1,3,5-trimethylcyclohexane). They name the two mirror images alike, so there must be one only."""
        if inchi_of(mol) != inchi_of(turned(mol, [everything(mol)])) or self._parts.has_letters_on_groups:
            raise NoNameError("one of its stereocentres has no CIP descriptor")
        self._parts = replace(self._parts, letters=("",) * 6, by_faces=True)

    def _relation(self) -> str:
        if len(self._ligands) != 2 or self._ligands[0].position == self._ligands[1].position:
            return ""
        return "cis" if self._ligands[0].is_up == self._ligands[1].is_up else "trans"

    # --- the principal group -----------------------------------------------------------------------------

    def _endings(self, first: int, parent: int) -> tuple[_Ending, ...]:
        """Every ending that the group could be, the senior one first."""
        found = []
        for suffix in (*SUFFIXES, ESTER):
            if suffix.carbon == "chain" or suffix.rank >= _CONJUNCTIVE or suffix.name == "carboxaldehyde":
                continue
            pattern = pattern_of(suffix.smiles)
            for match in matches(self._skeleton, first, parent, pattern):
                on_it = [(match.atoms[locant], other) for locant, other in match.extra]
                if self._may_have(suffix, on_it):
                    names = tuple(self._namer.group(other, atom) for atom, other in on_it)
                    found.append(_Ending(rank=suffix.rank, suffix=suffix, on_it=names))
                break
        if self._skeleton.nodes[first].kind[0] == "O" and (acid := self._namer.acid(first, parent)):
            found.append(_Ending(rank=ESTER.rank + 0.5, suffix=None, acid=acid))
        return tuple(sorted(found, key=lambda ending: ending.rank))

    def _may_have(self, suffix: Suffix, on_it: Sequence[tuple[int, int]]) -> bool:
        """Hydrocarbon groups and their like on the nitrogen of an amine or amide, one on an ester."""
        if suffix is ESTER:
            return len(on_it) == 1 and all(self._is_alkyl(*pair) for pair in on_it)
        if suffix.name in _SUBSTITUTED:
            return all(self._is_alkyl(*pair) for pair in on_it)
        return not on_it

    def _is_alkyl(self, atom: int, other: int) -> bool:
        node = self._skeleton.nodes[other]
        return node.kind[0] == "C" and not any(
            order > 1.5 and self._skeleton.nodes[far].kind[0] != "C" for far, order in node.bonds.items()
        )

    def _choose(self) -> tuple[tuple[_Ligand, _Ending], ...]:
        """The ligands of the senior class; esters of different acids are no class of their own."""
        ranks = sorted({ending.rank for ligand in self._ligands for ending in ligand.endings})
        for rank in ranks:
            found = [
                (ligand, ending)
                for ligand in self._ligands
                for ending in ligand.endings
                if ending.rank == rank
            ]
            suffixes = [ending.suffix for _, ending in found if ending.suffix]
            if len(set(suffixes)) > 1:  # anions
                senior = min(suffixes, key=SUFFIXES.index)
                found = [pair for pair in found if pair[1].suffix == senior]
            if len({ending.acid.text for _, ending in found if ending.acid}) <= 1:
                return tuple(found)
        return ()


@dataclass(frozen=True, kw_only=True)
class _Parts:
    """What a name is made of in whatever numbering. letters: of the ring positions; relation: cis, trans or
    ''; by_faces: r, c and t stand for the letters of the ring."""

    principal: tuple[tuple[_Ligand, _Ending], ...]
    prefixes: Sequence[tuple[_Ligand, GroupName]]
    letters: tuple[str, ...]
    relation: str
    by_faces: bool = False

    @property
    def has_letters_on_groups(self) -> bool:
        names = [group for _, group in self.prefixes]
        for _, ending in self.principal:
            names += [*ending.on_it, *((ending.acid,) if ending.acid else ())]
        return any(name.text != name.plain for name in names)


class _Written:
    """A name in one numbering."""

    def __init__(self, parts: _Parts, order: Order):
        self._parts, self.order = parts, order
        self._locant = {position: place for place, position in enumerate(order, start=1)}
        self._letters = tuple(parts.letters[position] for position in order)
        self._principal = sorted(parts.principal, key=lambda pair: self._locant[pair[0].position])
        marks = self._marks() if parts.by_faces else {}
        self._ends = [self._marked(ligand, marks) for ligand, _ in self._principal]
        self._suffix = self._principal[0][1].suffix if self._principal else None
        self._acid = self._principal[0][1].acid if self._principal else None
        self._on_ring = [(self._marked(ligand, marks), group) for ligand, group in parts.prefixes]

    def result(self) -> SystematicName:
        letters = [(str(place), letter) for place, letter in enumerate(self._letters, start=1) if letter]
        by_faces = ""
        if self._parts.relation and not self._parts.has_letters_on_groups:
            by_faces = self._text(f"{self._parts.relation}-")
        return SystematicName(
            name=self._text(descriptors(letters)),
            name_by_faces=by_faces,
            groups=tuple(text for _, text in self._groups()),
            locants=tuple(locant for locant, _ in self._groups()),
            cis_trans=self._parts.relation,
            cip=self._letters,
        )

    def principal_locants(self) -> list[int]:
        return [number_of(end) for end in self._ends]

    def prefix_locants(self) -> list[int]:
        return sorted(number_of(locant) for locant, _ in self._on_ring)

    def cited_locants(self) -> tuple[object, ...]:
        """Of the prefixes in order of citation; then of the groups of esters in theirs."""
        esters = [number_of(one.locants[0]) for one in in_order(self._esters())]
        return locants_cited(in_order(self._on_ring)), esters

    def stereo_locants(self) -> tuple[list[int], list[int]]:
        """Of R and r together, then of R."""
        right = [place for place, letter in enumerate(self._letters, start=1) if letter in ("R", "r")]
        return right, [place for place in right if self._letters[place - 1] == "R"]

    def _marked(self, ligand: _Ligand, marks: dict[int, str]) -> str:
        return f"{marks.get(ligand.first, '')}{self._locant[ligand.position]}"

    def _marks(self) -> dict[int, str]:
        """'r-', 'c-' or 't-' for one group of each carbon that has two faces (P-31.1.4.3.4)."""
        found: dict[int, str] = {}
        up = None
        principal = [(ligand, "") for ligand, _ in self._parts.principal]
        prefixes = [(ligand, group.text) for ligand, group in self._parts.prefixes]
        for place in range(1, 7):
            here = [pair for pair in (*principal, *prefixes) if self._locant[pair[0].position] == place]
            if not here or (len(here) == 2 and here[0][1] == here[1][1]):
                continue
            first = min(here, key=lambda pair: (letters_of(pair[1]), pair[1]))[0]
            up = first.is_up if up is None else up
            found[first.first] = "r-" if not found else "c-" if first.is_up == up else "t-"
        return found

    def _groups(self) -> list[tuple[int, str]]:
        called = self._acid.text if self._acid else f"-{self._suffix.name}" if self._suffix else ""
        found = [(number_of(end), 0, called) for end in self._ends]
        found += [(number_of(locant), 1, group.text) for locant, group in self._on_ring]
        return [(locant, text) for locant, _, text in sorted(found)]

    # --- text --------------------------------------------------------------------------------------------

    def _text(self, stereo: str) -> str:
        items = [*self._on_ring, *self._on_nitrogen()]
        alone = len(self._on_ring) == 1 and not self._ends and len(items) == 1
        everywhere = len(self._on_ring) == 12 and len({group.text for _, group in self._on_ring}) == 1
        front = written(in_order(items), with_locants=not alone and not everywhere)
        if self._acid:
            return f"{stereo}{front}{self._ester_of_ring()}"
        return f"{self._esters_in_front()}{stereo}{front}{self._parent(bool(self._on_ring))}"

    def _parent(self, crowded: bool) -> str:
        if self._suffix is None:
            return "cyclohexane"
        ending = times_ending(self._suffix.name, len(self._ends))
        if len(self._ends) > 1 or crowded:
            ending = f"-{','.join(self._ends)}-{ending}"
        return f"cyclohexan{'' if ending.lstrip('-,0123456789')[0] in 'aoi' else 'e'}{ending}"

    def _ester_of_ring(self) -> str:
        assert self._acid is not None
        if len(self._ends) == 1:
            return f"cyclohexyl {self._acid.text}"
        ending = times_ending("yl", len(self._ends))
        return f"cyclohexane-{','.join(self._ends)}-{ending} {self._acid.times(len(self._ends))}"

    def _esters(self) -> list[tuple[str, GroupName]]:
        if self._suffix is not ESTER:
            return []
        return [
            (end[-1], ending.on_it[0]) for end, (_, ending) in zip(self._ends, self._principal, strict=True)
        ]

    def _esters_in_front(self) -> str:
        cited = in_order(self._esters())
        if len(cited) == 1:
            (one,) = cited
            return f"{one.group.text if len(one.locants) == 1 else one.group.times(len(one.locants))} "
        return "".join(f"{','.join(one.locants)}-{one.group.times(len(one.locants))} " for one in cited)

    def _on_nitrogen(self) -> list[tuple[str, GroupName]]:
        """(locant, group) of the groups on the nitrogens of the ending: N; N and N' on one carbon; N1 and N2;
        N1, N'1 and N2 (P-62.2.4.1.2). The prime is that of the N: 1' is carbon 1 of a second ring."""
        if self._suffix is None or self._suffix is ESTER or not any(end.on_it for _, end in self._principal):
            return []
        found: list[tuple[str, GroupName]] = []
        number = "" if len(self._principal) == 1 or len({end[-1] for end in self._ends}) == 1 else "{}"
        for place in sorted({end[-1] for end in self._ends}):
            here = [
                pair[1] for end, pair in zip(self._ends, self._principal, strict=True) if end[-1] == place
            ]
            for primes, ending in enumerate(sorted(here, key=_nitrogen_order)):
                mark = "N" + "'" * primes + number.format(place)
                found += [(mark, group) for group in ending.on_it]
        return found


# P-31.1.4: what decides between numberings, before the text of the name does.
_CRITERIA: tuple[Callable[[_Written], Any], ...] = (
    _Written.principal_locants,
    _Written.prefix_locants,
    _Written.cited_locants,
    _Written.stereo_locants,
)


def _nitrogen_order(ending: _Ending) -> tuple[object, ...]:
    return -len(ending.on_it), sorted(group.text for group in ending.on_it)


def _is_marked(mol: Chem.Mol, atom: int) -> bool:
    return bool(mol.GetAtomWithIdx(atom).GetChiralTag() != Chem.ChiralType.CHI_UNSPECIFIED)
