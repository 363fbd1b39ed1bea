"""What cannot be treated, by name: composition before the ring is looked for, force field after building."""

from collections.abc import Iterator

from rdkit import Chem, rdBase
from rdkit.Chem import rdForceFieldHelpers, rdMolDescriptors

from chairgap.errors import MoleculeError
from chairgap.molecule.reading import atom_label
from chairgap.records import ForceField

CHARGE_TOLERANCE = 1e-4
# Elements that MMFF94 types in organic molecules (Halgren, J. Comput. Chem. 1996, 17, 490,
# doi 10.1002/(SICI)1096-987X(199604)17:5/6<490::AID-JCC1>3.0.CO;2-P); bare ions are refused as fragments.
_MMFF_ELEMENTS = frozenset(("H", "C", "N", "O", "F", "Si", "P", "S", "Cl", "Br", "I"))
_TETRAHEDRAL = (
    Chem.ChiralType.CHI_UNSPECIFIED,
    Chem.ChiralType.CHI_TETRAHEDRAL_CW,
    Chem.ChiralType.CHI_TETRAHEDRAL_CCW,
)
_BONDS = (Chem.BondType.SINGLE, Chem.BondType.DOUBLE, Chem.BondType.TRIPLE, Chem.BondType.AROMATIC)


def composition_problems(mol: Chem.Mol, force_field: ForceField, atom_limit: int) -> list[MoleculeError]:
    """Everything about a molecule (explicit hydrogens) that is refused whatever its ring."""
    pieces = _pieces(mol)
    messages = [
        *_size(mol, atom_limit),
        *pieces,
        *_placeholders(mol),
        *_marked_atoms(mol),
        *([] if pieces else _elements(mol, force_field)),
    ]
    return [MoleculeError(message) for message in messages]


def _labels(atoms: list[Chem.Atom]) -> str:
    shown = ", ".join(atom_label(atom) for atom in atoms[:5])
    return f"{shown} and {len(atoms) - 5} more" if len(atoms) > 5 else shown


def _size(mol: Chem.Mol, atom_limit: int) -> list[str]:
    count = mol.GetNumAtoms()
    if count <= atom_limit:
        return []
    return [
        f"The molecule has {count} atoms, hydrogens included, and the limit is {atom_limit}; take a smaller "
        "one or raise atom_limit."
    ]


def _pieces(mol: Chem.Mol) -> list[str]:
    with rdBase.BlockLogs():
        pieces = Chem.GetMolFrags(mol, asMols=True, sanitizeFrags=False)
        formulas = [str(rdMolDescriptors.CalcMolFormula(piece)) for piece in pieces]
    if len(pieces) == 1:
        return []
    return [
        f"There are {len(pieces)} separate molecules or ions ({', '.join(formulas)}); give one, without "
        "counter-ion or solvent."
    ]


def _placeholders(mol: Chem.Mol) -> list[str]:
    atoms = [atom for atom in mol.GetAtoms() if atom.GetAtomicNum() == 0 or atom.HasQuery()]
    bonds = [bond for bond in mol.GetBonds() if bond.HasQuery() or bond.GetBondType() not in _BONDS]
    messages = []
    if atoms:
        messages.append(f"There is a placeholder at {_labels(atoms)}; write a real element there.")
    for bond in bonds:
        ends = f"{atom_label(bond.GetBeginAtom())} and {atom_label(bond.GetEndAtom())}"
        messages.append(
            f"The bond between {ends} is no single, double, triple or aromatic bond; draw one of these, or "
            "leave the molecule out."
        )
    return messages


def _marked_atoms(mol: Chem.Mol) -> Iterator[str]:
    """Atoms with marks, electrons or charges that are not treated, one message for each kind."""
    atoms = list(mol.GetAtoms())
    if odd := [atom for atom in atoms if atom.GetChiralTag() not in _TETRAHEDRAL]:
        yield f"There is a stereo mark that is not tetrahedral at {_labels(odd)}; write @ or @@, or no mark."
    if isotopes := [atom for atom in atoms if atom.GetIsotope()]:
        named = ", ".join(
            f"{atom.GetIsotope()}{atom.GetSymbol()} at atom {atom.GetIdx() + 1}" for atom in isotopes[:5]
        )
        yield (
            f"Isotopes are marked ({named}), which the force field's energies do not distinguish; write "
            "the plain element."
        )
    if unpaired := [atom for atom in atoms if atom.GetNumRadicalElectrons()]:
        yield (
            f"Radical or carbene: unpaired electrons at {_labels(unpaired)}, which the force field would "
            "type as an ordinary atom; add the missing hydrogens or leave the molecule out."
        )
    carbons = [atom for atom in atoms if atom.GetAtomicNum() == 6 and not _is_isocyanide(atom)]
    for sign, kind in ((1, "Carbocation"), (-1, "Carbanion")):
        if ions := [atom for atom in carbons if atom.GetFormalCharge() * sign > 0]:
            yield (
                f"{kind} at {_labels(ions)}, which the force field would type as an ordinary neutral "
                "carbon; give an uncharged carbon or leave the molecule out."
            )


def _is_isocyanide(atom: Chem.Atom) -> bool:
    return any(
        bond.GetBondType() == Chem.BondType.TRIPLE
        and bond.GetOtherAtom(atom).GetAtomicNum() == 7
        and bond.GetOtherAtom(atom).GetFormalCharge() == 1
        and atom.GetDegree() == 1
        for bond in atom.GetBonds()
    )


def _elements(mol: Chem.Mol, force_field: ForceField) -> list[str]:
    """Elements MMFF94 does not know. What UFF lacks shows after building."""
    if force_field == "UFF":
        return []
    table = Chem.GetPeriodicTable()
    unknown: dict[str, list[Chem.Atom]] = {}
    for atom in mol.GetAtoms():
        if atom.GetAtomicNum() and atom.GetSymbol() not in _MMFF_ELEMENTS:
            unknown.setdefault(atom.GetSymbol(), []).append(atom)
    if not unknown:
        return []
    advice = 'set force_field = "UFF" or ' if has_parameters(mol, "UFF") else ""
    return [
        f"{force_field} has no parameters for {table.GetElementName(atoms[0].GetAtomicNum()).lower()} "
        f"({_labels(atoms)}); {advice}leave the molecule out."
        for atoms in unknown.values()
    ]


def has_parameters(mol: Chem.Mol, force_field: ForceField) -> bool:
    """Whether every atom of mol (explicit hydrogens) has a type and parameters."""
    with rdBase.BlockLogs():
        if force_field == "UFF":
            return bool(rdForceFieldHelpers.UFFHasAllMoleculeParams(mol))
        return bool(rdForceFieldHelpers.MMFFHasAllMoleculeParams(mol))


def charge_problem(mol: Chem.Mol, force_field: ForceField) -> MoleculeError | None:
    """The force field's atom charges must add up to the formal charge; RDKit does not look.

    A difference means that an ion was typed as something else. UFF has no charges.
    """
    if force_field == "UFF":
        return None
    properties = rdForceFieldHelpers.MMFFGetMoleculeProperties(mol, mmffVariant=force_field)
    total = sum(properties.GetMMFFPartialCharge(index) for index in range(mol.GetNumAtoms()))
    formal = Chem.GetFormalCharge(mol)
    if abs(total - formal) <= CHARGE_TOLERANCE:
        return None
    charged = ", ".join(
        f"{atom.GetSymbol()} {atom.GetFormalCharge():+d}" for atom in mol.GetAtoms() if atom.GetFormalCharge()
    )
    where = f" (formal charges at {charged})" if charged else ""
    return MoleculeError(
        f"{force_field} does not know this ion: its atom charges add up to {total:+.2f} and the formal "
        f"charge is {formal:+d}{where}; leave the molecule out or give its neutral form."
    )
