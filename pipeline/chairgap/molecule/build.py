"""The recipe: a request in, finished molecules out."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from rdkit import Chem, rdBase

from chairgap.errors import MoleculeError, Place
from chairgap.molecule import fragments, refuse
from chairgap.molecule.charges import partial_charges
from chairgap.molecule.cut import Cut, cut_apart
from chairgap.molecule.glue import glued
from chairgap.molecule.isomers import Family, Isomer, families_of, isomers_of, locants_are_given
from chairgap.molecule.names import molecule_name
from chairgap.molecule.numbering import HYDROGEN, RingFaces, agreed_writings, identity, mirrored
from chairgap.molecule.reading import (
    Reading,
    library_problem,
    mol_from_binary,
    read_molblock,
    read_smiles,
)
from chairgap.molecule.ring import possible_rings, several_rings
from chairgap.molecule.substituents import cut_from_list, group_name, groups_by_face_text, together
from chairgap.molecule.symmetry import automorphisms, fixed_centres, labelled_atoms, stiff_bonds
from chairgap.records import (
    AskedNumbering,
    EstimateTable,
    Face,
    ForceField,
    Integers,
    Ligand,
    Molecule,
    MoleculeRequest,
    RingCarbon,
    Topology,
)

MOST_ISOMERS_LISTED = 16
_NO_NUMBERS = (
    'The study says numbering = "mine", and the numbers of the ring carbons are not given; write atom-map '
    "numbers on them, for example C[CH:1]1[CH2:2]CCCC1, or a list of groups, or leave numbering out."
)


def build_molecules(
    request: MoleculeRequest,
    table: EstimateTable,
    *,
    force_field: ForceField,
    atom_limit: int,
    numbering: AskedNumbering = "iupac",
) -> tuple[Molecule, ...]:
    """The molecule of a request; with `every_stereoisomer` each diastereomer it can mean, mirror images once.

    Raises MoleculeError, with the request's place, for everything that is not treated.
    """
    try:
        cut, notes, relative = _take_apart(request, table, force_field, atom_limit)
        request = replace(request, mirror_too=request.mirror_too or relative)
        cut, families = _numbered_as_asked(request, cut, numbering)
        if len(families) > 1 and not request.every_stereoisomer:
            raise _undefined(cut, families, table)
        notes = (*request.notes, *notes, *cut.notes)
        return tuple(
            _molecule(request, isomer, len(families), notes, table, force_field)
            for isomer in isomers_of(cut, families)
        )
    except MoleculeError as error:
        raise _with_place(error, request) from None
    except RuntimeError as error:
        raise _with_place(library_problem(error), request) from None


def build_written(faces: RingFaces, table: EstimateTable, *, force_field: ForceField) -> Molecule:
    """The molecule of a ring in its final writing, without name, place and notes.

    A built molecule gives its writing back (`writing_of`), so this builds the same molecule again. Raises
    MoleculeError when the force field does not know it.
    """
    mol = glued(faces)
    _check_parameters(mol, faces, table, force_field)
    smiles = fragments.canonical(mol)
    groups = dict.fromkeys(fragment for pair in faces for fragment in pair)
    with rdBase.BlockLogs():
        inchi = str(Chem.MolToInchi(Chem.MolFromSmiles(smiles)))  # type: ignore[no-untyped-call]
    return Molecule(
        name="",
        smiles=smiles,
        inchi=inchi,
        groups_by_face=groups_by_face_text(faces, table),
        topology=topology_of(mol, faces, {fragment: group_name(fragment, table) for fragment in groups}),
        rdkit_binary=mol.ToBinary(),
        place=Place(),
    )


def writing_of(topology: Topology) -> RingFaces:
    """The ring of a built molecule in its writing: six pairs (upper, lower fragment), C1 to C6."""
    return tuple((carbon.up.fragment, carbon.down.fragment) for carbon in topology.carbons)


def ring_atoms(faces: RingFaces) -> int:
    """The number of atoms of a ring, hydrogens counted."""
    return len(faces) + sum(fragments.atom_count(fragment) for pair in faces for fragment in pair)


def open_molecule(molecule: Molecule) -> Chem.Mol:
    """RDKit's molecule: explicit hydrogens, no conformer, ring carbons first in order of locant.

    All six ring carbons have a chiral mark, CH2 and C(CH3)2 too, so that embedding puts the atoms called
    upper on the upper side. RDKit's AssignStereochemistry(cleanIt=True)
    would wipe those marks: do not call it.
    """
    return mol_from_binary(molecule.rdkit_binary)


def _with_place(error: MoleculeError, request: MoleculeRequest) -> MoleculeError:
    field = (
        "smiles" if request.smiles is not None else "substituents" if request.substituents is not None else ""
    )
    place = request.place if request.place.field else replace(request.place, field=field)
    value = error.value if error.value is not None else request.smiles
    return MoleculeError(error.message, place=place, value=value, expected=error.expected)


def _take_apart(
    request: MoleculeRequest, table: EstimateTable, force_field: ForceField, atom_limit: int
) -> tuple[Cut, tuple[str, ...], bool]:
    """The ring, remarks, and whether only the relation of its centres is given."""
    if request.substituents is not None:
        cut = cut_from_list(request.substituents, table)
        problems = refuse.composition_problems(glued(cut.faces), force_field, atom_limit)
        if problems:
            raise together(problems)
        return cut, (), False
    if request.smiles is not None:
        reading = read_smiles(request.smiles)
    elif request.molblock is not None:
        reading = read_molblock(request.molblock)
    else:
        raise MoleculeError(
            "The molecule has no SMILES, no groups and no structure record; give one of them."
        )
    return _cut_reading(reading, force_field, atom_limit), reading.notes, reading.relative


def _cut_reading(reading: Reading, force_field: ForceField, atom_limit: int) -> Cut:
    problems = refuse.composition_problems(reading.mol, force_field, atom_limit)
    try:
        rings = possible_rings(reading.mol)
    except MoleculeError as error:
        problems.append(error)
    if problems:
        raise together(problems)
    cuts = [cut_apart(reading.mol, ring) for ring in rings]
    # Rings that are equivalent (bicyclohexyl) need no choice.
    if len({(identity(cut.faces), len(cut.open_carbons)) for cut in cuts}) > 1:
        raise several_rings(rings)
    return cuts[0]


def _numbered_as_asked(
    request: MoleculeRequest, cut: Cut, numbering: AskedNumbering
) -> tuple[Cut, tuple[Family, ...]]:
    """The ring without the numbers that a pattern gave it, and what it can mean, mirror images where the
    request asks for them. Raises MoleculeError where numbers of the user are asked for and missing."""
    if request.pattern is not None and numbering == "iupac":
        cut = replace(cut, locants=(None,) * 6)
    if numbering == "mine" and not locants_are_given(cut):
        raise MoleculeError(_NO_NUMBERS)
    families = families_of(cut)
    if request.mirror_too:
        families = tuple((*one, *(mirrored(faces, fragments.mirror) for faces in one)) for one in families)
    return cut, families


def _undefined(cut: Cut, families: tuple[Family, ...], table: EstimateTable) -> MoleculeError:
    isomers = isomers_of(cut, families[:MOST_ISOMERS_LISTED])
    sites = _in_words(tuple(dict.fromkeys(site for isomer in isomers for site in isomer.open_sites)))
    lines = [
        f"  {groups_by_face_text(isomer.faces, table)}    {fragments.canonical(glued(isomer.faces))}"
        + ("    (and its mirror image)" if isomer.mirror_too else "")
        for isomer in isomers
    ]
    if len(families) > MOST_ISOMERS_LISTED:
        lines.append(f"  and {len(families) - MOST_ISOMERS_LISTED} more")
    return MoleculeError(
        f"The configuration {sites} is not given. The molecule could be one of {len(families)}:\n"
        + "\n".join(lines)
        + '\nWrite one of them, or set stereo = "all" to take every one.',
        expected='one configuration, or stereo = "all"',
    )


def _molecule(
    request: MoleculeRequest,
    isomer: Isomer,
    count: int,
    notes: tuple[str, ...],
    table: EstimateTable,
    force_field: ForceField,
) -> Molecule:
    built = build_written(isomer.faces, table, force_field=force_field)
    as_listed = request.pattern is not None and isomer.numbered == "Numbers as given"
    return replace(
        built,
        name=_name(request, built.groups_by_face, count),
        naming=molecule_name(isomer.faces, relative=isomer.mirror_too),
        numbered="Numbered by lowest locants" if as_listed else isomer.numbered,
        place=request.place,
        notes=(*notes, *_stereo_note(isomer, count, request)),
    )


def _name(request: MoleculeRequest, groups_by_face: str, count: int) -> str:
    """The name asked for; molecules of a pattern, and isomers of one request, are told apart by groups."""
    if count == 1 and request.pattern is None:
        return request.name
    first = request.name if request.pattern is None else request.pattern
    return f"{first} [{groups_by_face}]" if first else groups_by_face


def _stereo_note(isomer: Isomer, count: int, request: MoleculeRequest) -> tuple[str, ...]:
    if not isomer.mirror_too:
        return ()
    if count > 1 or request.mirror_too:
        return ("entered once for itself and its mirror image, which have the same gap",)
    return (f"configuration {_in_words(isomer.open_sites)} not given; mirror images have the same gap",)


def _in_words(sites: tuple[str, ...]) -> str:
    return " and ".join([", ".join(sites[:-1]), sites[-1]]) if len(sites) > 1 else sites[0]


def _check_parameters(mol: Chem.Mol, faces: RingFaces, table: EstimateTable, force_field: ForceField) -> None:
    if refuse.has_parameters(mol, force_field):
        problem = refuse.charge_problem(mol, force_field)
        if problem:
            raise problem
        return
    plain = (HYDROGEN, HYDROGEN)
    groups = dict.fromkeys(fragment for pair in faces for fragment in pair)
    guilty = [
        group_name(group, table)
        for group in groups
        if not refuse.has_parameters(glued(((group, HYDROGEN), *(plain,) * 5)), force_field)
    ]
    what = f"the group {', '.join(guilty)}" if guilty else "this molecule"
    raise MoleculeError(
        f"{force_field} has no parameters for {what}; choose another force field or leave the molecule out."
    )


def topology_of(mol: Chem.Mol, faces: RingFaces, names: Mapping[str, str]) -> Topology:
    """The plain arrays of a glued ring; `names` gives each fragment its key of the A-value table."""
    ring: Integers = np.arange(6, dtype=np.int64)
    labelled = labelled_atoms(mol)
    charges, charges_from = partial_charges(mol)
    return Topology(
        symbols=tuple(atom.GetSymbol() for atom in mol.GetAtoms()),
        masses_u=np.array([atom.GetMass() for atom in mol.GetAtoms()]),
        bonds=np.array([(b.GetBeginAtomIdx(), b.GetEndAtomIdx()) for b in mol.GetBonds()], dtype=np.int64),
        carbons=tuple(_ring_carbon(mol, index, faces[index], names) for index in range(6)),
        labelled=labelled,
        automorphisms=automorphisms(mol, ring, labelled),
        centres=fixed_centres(mol, ring, labelled),
        stiff_bonds=stiff_bonds(mol, labelled),
        charges_e=charges,
        charges_from=charges_from,
        leading=_leading(faces),
    )


def _leading(faces: RingFaces) -> tuple[int, Face] | None:
    """The first group of the agreed writing; of those equal by symmetry the lowest, upper one first."""
    writings = agreed_writings(faces, fragments.mirror)
    sides: tuple[Face, Face] = ("up", "down")
    first = next(
        (
            (locant, side)
            for locant, pair in enumerate(writings[0].faces, start=1)
            for side, fragment in zip(sides, pair, strict=True)
            if fragment != HYDROGEN
        ),
        None,
    )
    if first is None:
        return None
    sites = [writing.site(*first) for writing in writings]
    return min(sites, key=lambda site: (site[0], site[1] == "down"))


def _ring_carbon(mol: Chem.Mol, index: int, pair: tuple[str, str], names: Mapping[str, str]) -> RingCarbon:
    faces: tuple[Face, Face] = ("up", "down")
    bonded = (bond.GetOtherAtomIdx(index) for bond in mol.GetAtomWithIdx(index).GetBonds())
    up, down = (
        Ligand(
            atom=atom,
            face=face,
            group=names[fragment],
            fragment=fragment,
            mass_u=fragments.mass_u(fragment),
        )
        for atom, face, fragment in zip((atom for atom in bonded if atom > 5), faces, pair, strict=True)
    )
    return RingCarbon(locant=index + 1, atom=index, up=up, down=down)
