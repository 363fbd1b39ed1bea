"""Structure records: splitting SDF and MOL files, and writing SDF records with data tags."""

from dataclasses import dataclass

from rdkit import Chem

from chairgap.molecule.build import open_molecule
from chairgap.records import Floats, Molecule

_TITLE_LENGTH = 80  # of the title line of a MOL block; the whole name is a data field


@dataclass(frozen=True, kw_only=True)
class StructureRecord:
    """One record of an SDF or MOL file: number and first line (both 1-based), title line, first line of the
    data tag `name` (or nothing), molblock text."""

    number: int
    line: int
    title: str
    name_tag: str
    molblock: str


def read_sdf_blocks(text: str) -> tuple[StructureRecord, ...]:
    """The records of an SDF file, or the one of a MOL file. Nothing is checked; data tags are left out."""
    records: list[StructureRecord] = []
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    start = 0
    for end, line in enumerate([*lines, "$$$$"]):
        if not line.startswith("$$$$"):
            continue
        block = lines[start:end]
        if any(part.strip() for part in block):
            stop = next((n + 1 for n, part in enumerate(block) if part.startswith("M  END")), len(block))
            records.append(
                StructureRecord(
                    number=len(records) + 1,
                    line=start + 1,
                    title=block[0].strip(),
                    name_tag=_name_tag(block),
                    molblock="\n".join(block[:stop]) + "\n",
                )
            )
        start = end + 1
    return tuple(records)


def _name_tag(lines: list[str]) -> str:
    for number, line in enumerate(lines[:-1]):
        if line.startswith(">") and "<name>" in line.casefold():
            return lines[number + 1]
    return ""


def sdf_block(molecule: Molecule, positions: Floats, properties: dict[str, str]) -> str:
    """An SDF record, '$$$$' included, of positions (n, 3) in angstrom with the given data tags."""
    mol = open_molecule(molecule)
    conformer = Chem.Conformer(mol.GetNumAtoms())
    conformer.Set3D(True)
    conformer.SetPositions(positions.astype(float))
    mol.AddConformer(conformer)
    # The coordinates say it all: no wedges, which RDKit would draw even to hydrogens.
    for atom in mol.GetAtoms():
        atom.SetChiralTag(Chem.ChiralType.CHI_UNSPECIFIED)
    mol.SetProp("_Name", " ".join(molecule.name.split())[:_TITLE_LENGTH])
    for name, value in properties.items():
        mol.SetProp(name, " ".join(value.split()))
    return str(Chem.SDWriter.GetText(mol))
