"""Names wherever a molecule is asked for: study file, CSV, command line, key; locants are kept."""

from pathlib import Path

import pytest

from chairgap.answer_key.files.facts import FactsLookup
from chairgap.errors import InputError, Place, StudyError
from chairgap.molecule.build import build_molecules
from chairgap.records import Molecule, Study
from chairgap.study.reading import read_study
from chairgap.study.typed import study_as_typed
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")


def built(study: Study) -> list[Molecule]:
    return [
        molecule
        for request in study.requests
        for molecule in build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    ]


def test_typed_name_keeps_its_locants_and_stands_for_its_mirror_image() -> None:
    (molecule,) = built(study_as_typed("cis-1-bromo-3-methylcyclohexane"))
    places = {ligand.group: (locant, ligand.face) for locant, ligand in molecule.topology.groups}
    assert places["Br"][0] == 1 and places["CH3"][0] == 3 and places["Br"][1] == places["CH3"][1]
    assert molecule.name == "cis-1-bromo-3-methylcyclohexane"
    assert any("mirror image" in note for note in molecule.notes)


def test_menthol_keeps_c1_at_the_hydroxy_group() -> None:
    (molecule,) = built(study_as_typed("(1R,2S,5R)-menthol"))
    assert [(locant, ligand.group) for locant, ligand in molecule.topology.groups] == [
        (1, "OH"),
        (2, "CH(CH3)2"),
        (5, "CH3"),
    ]
    assert not molecule.notes


def test_what_a_name_leaves_open_is_asked_for() -> None:
    (request,) = study_as_typed("4-methylcyclohexan-1-ol").requests
    with pytest.raises(Exception, match="could be one of 2"):
        build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    assert len(built(study_as_typed("4-methylcyclohexan-1-ol", stereo="all"))) == 2


def test_wrong_name_on_the_command_line() -> None:
    with pytest.raises(StudyError, match="Did you mean 'methyl'"):
        study_as_typed("1-bromo-3-metylcyclohexane")


def test_study_and_csv(tmp_path: Path) -> None:
    (tmp_path / "more.csv").write_text(
        'name,smiles\na,"trans-1,2-dimethylcyclohexane"\nmenthol,\nb,cyclohexanone\nc,cyclohexyl acetate\n'
    )
    (tmp_path / "study.toml").write_text(
        'title = "t"\nmolecules_csv = ["more.csv"]\n[output]\nfolder = "o"\n'
        '[[molecule]]\nname = "cis-4-methylcyclohexanol"\n'
        "[[molecule]]\nname = 'd'\nsmiles = 'L-menthol'\n"
    )
    study = read_study(tmp_path / "study.toml")
    assert [molecule.name for molecule in built(study)] == [
        *("cis-4-methylcyclohexanol", "d", "a", "menthol", "c"),
    ]
    (refused,) = study.refused
    assert refused.name == "b" and "ring ketone" in refused.message and refused.place.field == "smiles"


def test_key() -> None:
    lookup = FactsLookup(TABLE, place=Place())
    facts = lookup.facts_of("(1R,2S)-2-isopropylcyclohexanol")
    assert facts.cip[:2] == ("R", "S")
    assert lookup.facts_of("(1R,2S,5R)-menthol").cip[:5] == ("R", "S", "", "", "R")
    with pytest.raises(InputError, match="Did you mean 'menthol'"):
        lookup.facts_of("mentol")
