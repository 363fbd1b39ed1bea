"""Short ways to build molecules in tests."""

from rdkit import Chem
from rdkit.Chem import rdCIPLabeler

from chairgap.errors import Place
from chairgap.molecule.build import build_molecules, open_molecule
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import ForceField, Molecule, MoleculeRequest
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")
PLACE = Place(file="study.toml")


def request(
    *,
    smiles: str | None = None,
    groups_by_face: str | None = None,
    molblock: str | None = None,
    every: bool = False,
) -> MoleculeRequest:
    return MoleculeRequest(
        name="m",
        place=PLACE,
        smiles=smiles,
        substituents=None if groups_by_face is None else read_group_list(groups_by_face).groups,
        molblock=molblock,
        every_stereoisomer=every,
    )


def build(
    *,
    smiles: str | None = None,
    groups_by_face: str | None = None,
    molblock: str | None = None,
    force_field: ForceField = "MMFF94",
    atom_limit: int = 100,
) -> Molecule:
    asked = request(smiles=smiles, groups_by_face=groups_by_face, molblock=molblock)
    (molecule,) = build_molecules(asked, TABLE, force_field=force_field, atom_limit=atom_limit)
    return molecule


def build_every(smiles: str) -> tuple[Molecule, ...]:
    asked = request(smiles=smiles, every=True)
    return build_molecules(asked, TABLE, force_field="MMFF94", atom_limit=100)


def cip_labels(molecule: Molecule) -> tuple[str, ...]:
    """R, S, r, s or '' for C1 to C6, by RDKit's implementation of the CIP rules."""
    mol = Chem.Mol(open_molecule(molecule))
    rdCIPLabeler.AssignCIPLabels(mol)
    atoms = [mol.GetAtomWithIdx(int(index)) for index in molecule.topology.ring]
    return tuple(atom.GetProp("_CIPCode") if atom.HasProp("_CIPCode") else "" for atom in atoms)
