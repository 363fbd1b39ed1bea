"""Finding the cyclohexane ring of a molecule, or saying why there is none."""

from dataclasses import dataclass

from rdkit import Chem

from chairgap.errors import MoleculeError
from chairgap.molecule.numbering import allowed
from chairgap.molecule.reading import atom_label

_SINGLE = Chem.BondType.SINGLE
_MOST_RINGS_SHOWN = 4


@dataclass(frozen=True, kw_only=True)
class ChosenRing:
    """Six ring atoms in order round the ring, the locant the user fixed for each (or None), and remarks."""

    atoms: tuple[int, ...]
    locants: tuple[int | None, ...]
    notes: tuple[str, ...] = ()


def possible_rings(mol: Chem.Mol) -> tuple[ChosenRing, ...]:
    """The rings the molecule offers: one, or several among which atom-map numbers do not choose.

    mol has explicit hydrogens. Raises MoleculeError when there is none, or the atom-map numbers are wrong.
    """
    info = mol.GetRingInfo()
    saturated = [ring for ring in info.AtomRings() if _is_saturated_carbocycle(mol, ring)]
    alone = [ring for ring in saturated if all(info.NumAtomRings(atom) == 1 for atom in ring)]
    if not saturated:
        raise MoleculeError(
            f"There is no ring of six sp3 carbons: {_why_none(mol)}; give a substituted cyclohexane.",
        )
    numbers = {atom.GetIdx(): atom.GetAtomMapNum() for atom in mol.GetAtoms() if atom.GetAtomMapNum()}
    if numbers:
        return (_by_numbers(mol, saturated, alone, numbers),)
    if not alone:
        raise MoleculeError(_SHARES_ATOMS)
    others = len(saturated) - len(alone)
    notes = (f"other six-membered rings ({others}) share atoms with rings and count as part of a group",)
    return tuple(
        ChosenRing(atoms=tuple(ring), locants=(None,) * 6, notes=notes if others else ())
        for ring in sorted(alone, key=min)
    )


_SHARES_ATOMS = (
    "The six-membered ring shares atoms with another ring (fused, bridged or spiro), and only a ring of its "
    "own is treated; leave the molecule out."
)


def several_rings(rings: tuple[ChosenRing, ...]) -> MoleculeError:
    """The error for rings that differ, when nothing says which is meant."""
    shown = rings[:_MOST_RINGS_SHOWN]
    places = "; ".join("atoms " + ", ".join(str(atom + 1) for atom in sorted(ring.atoms)) for ring in shown)
    if len(rings) > len(shown):
        places += f"; and {len(rings) - len(shown)} more"
    return MoleculeError(
        f"{len(rings)} rings could be meant ({places}); mark carbon 1 of the one you mean with "
        "the atom-map number 1, for example [CH2:1] or [C@H:1].",
        expected="an atom-map number 1 on one ring carbon",
    )


def _is_saturated_carbocycle(mol: Chem.Mol, ring: tuple[int, ...]) -> bool:
    return len(ring) == 6 and all(
        atom.GetAtomicNum() == 6
        and atom.GetDegree() == 4
        and all(bond.GetBondType() == _SINGLE for bond in atom.GetBonds())
        for atom in map(mol.GetAtomWithIdx, ring)
    )


def _by_numbers(
    mol: Chem.Mol, saturated: list[tuple[int, ...]], alone: list[tuple[int, ...]], numbers: dict[int, int]
) -> ChosenRing:
    known = "numbers 1 to 6 on the carbons of one ring, each used once, fix its numbering; remove the others."
    for atom, number in numbers.items():
        if not 1 <= number <= 6:
            label = atom_label(mol.GetAtomWithIdx(atom))
            raise MoleculeError(
                f"The atom-map number {number} on {label} is not a locant; {known}", value=number
            )
    if len(set(numbers.values())) < len(numbers):
        raise MoleculeError(f"An atom-map number is on two atoms; {known}")
    holding = [ring for ring in saturated if numbers.keys() <= set(ring)]
    if not holding:
        labels = ", ".join(
            f"{number} on {atom_label(mol.GetAtomWithIdx(a))}" for a, number in numbers.items()
        )
        raise MoleculeError(
            f"The atom-map numbers ({labels}) are not all on one ring of six sp3 carbons; {known}"
        )
    if holding[0] not in alone:
        raise MoleculeError(_SHARES_ATOMS)
    ring = holding[0]
    locants = tuple(numbers.get(atom) for atom in ring)
    if not allowed(locants):
        given = ", ".join(str(number) for number in sorted(numbers.values()))
        raise MoleculeError(
            f"The atom-map numbers {given} do not follow the ring; number its carbons in the order "
            "they are bonded."
        )
    return ChosenRing(atoms=tuple(ring), locants=locants)


def _why_none(mol: Chem.Mol) -> str:
    """What the nearest thing to a cyclohexane ring is."""
    rings = mol.GetRingInfo().AtomRings()
    if not rings:
        return "the molecule has no ring"
    six = [ring for ring in rings if len(ring) == 6]
    if not six:
        sizes = sorted({len(ring) for ring in rings})
        return f"the ring sizes are {', '.join(map(str, sizes))}"
    return "; ".join(dict.fromkeys(_why_not(mol, ring) for ring in six))


def _why_not(mol: Chem.Mol, ring: tuple[int, ...]) -> str:
    atoms = [mol.GetAtomWithIdx(index) for index in ring]
    other = sorted({atom.GetSymbol() for atom in atoms if atom.GetAtomicNum() != 6})
    if other:
        return f"the six-membered ring contains {', '.join(other)}"
    if all(atom.GetIsAromatic() for atom in atoms):
        return "the six-membered ring is aromatic"
    for atom in atoms:
        for bond in atom.GetBonds():
            if bond.GetBondType() == _SINGLE:
                continue
            end = bond.GetOtherAtom(atom)
            if end.GetIdx() in ring:
                return "the six-membered ring has a double or aromatic bond in it"
            if bond.GetBondType() != Chem.BondType.DOUBLE:
                return f"ring carbon {atom_label(atom)} has an unusual bond to {end.GetSymbol()}"
            kind = " (a ketone is not treated)" if end.GetSymbol() == "O" else ""
            return f"ring carbon {atom_label(atom)} has a double bond to {end.GetSymbol()}{kind}"
    label = next(atom_label(atom) for atom in atoms if atom.GetDegree() != 4)
    return f"ring carbon {label} does not have four bonds"
