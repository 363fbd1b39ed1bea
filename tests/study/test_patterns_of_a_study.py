"""[[pattern]] blocks: what they become, in which order, under which names, and how many are too many."""

from pathlib import Path

import pytest
from rdkit import Chem

from chairgap.errors import InputError, MoleculeError, Place, StudyError
from chairgap.molecule.build import build_molecules
from chairgap.records import AskedNumbering, GroupOnCarbon, MoleculeRequest, Study
from chairgap.study import patterns as study_patterns
from chairgap.study.reading import read_study, study_from_text
from chairgap.tables.shipped import read_estimate_table

CONFIGS = Path(__file__).parents[2] / "configs"
TITLE = "title = 'a'\n"
MIRROR_TOO = "entered once for itself and its mirror image, which have the same gap"


def read(text: str) -> Study:
    return study_from_text(TITLE + text, Path("study.toml"))


def names(study: Study) -> list[str]:
    return [request.name for request in study.requests]


def test_a_block_becomes_requests() -> None:
    study = read("[[pattern]]\ngroups = ['methyl', '*OCCC']\ncarbons = 1\n")
    place = Place(file="study.toml", line=2, field="pattern[1]")
    assert study.requests == (
        MoleculeRequest(
            name="1 up *OCCC",
            place=place,
            substituents=(GroupOnCarbon(carbon=1, face="up", group="*OCCC"),),
            pattern="",
        ),
        MoleculeRequest(
            name="1 up CH3",
            place=place,
            substituents=(GroupOnCarbon(carbon=1, face="up", group="CH3"),),
            pattern="",
        ),
    )
    assert (study.refused, study.notes) == ((), ())


def test_one_number_is_a_list_of_one_and_once_is_the_default() -> None:
    plain = read("[[pattern]]\ngroups = ['CH3']\ncarbons = 2\n")
    full = read("[[pattern]]\ngroups = ['CH3']\ncarbons = [2]\nmirror_images = 'once'\n")
    both = read("[[pattern]]\ngroups = ['CH3']\ncarbons = [2]\nmirror_images = 'both'\n")
    assert plain.requests == full.requests
    # trans-1,2 and trans-1,3 have mirror images
    assert set(names(both)) - set(names(full)) == {"1 down CH3, 2 up CH3", "1 down CH3, 3 up CH3"}
    assert not set(names(full)) - set(names(both))


def test_a_molecule_that_stands_for_two_says_so() -> None:
    table = read_estimate_table("chairgap")
    notes = {}
    for mirror_images in ("once", "both"):
        study = read(f"[[pattern]]\ngroups = ['CH3']\ncarbons = 2\nmirror_images = '{mirror_images}'\n")
        built = [
            build_molecules(request, table, force_field="MMFF94", atom_limit=100)
            for request in study.requests
        ]
        notes[mirror_images] = {molecule.name: molecule.notes for (molecule,) in built}
    assert {name for name, told in notes["once"].items() if told == (MIRROR_TOO,)} == {
        "1 up CH3, 2 down CH3",
        "1 up CH3, 3 down CH3",
    }
    assert set(notes["both"].values()) == {()}


def test_molecules_are_numbered_and_named_as_a_smiles_of_theirs() -> None:
    table = read_estimate_table("chairgap")
    text = "[[pattern]]\nname = 'set'\ngroups = ['CH3', 'OH']\ncarbons = 2\n"
    names: dict[AskedNumbering, set[str]] = {}
    ways: tuple[AskedNumbering, ...] = ("iupac", "mine")
    for numbering in ways:
        names[numbering] = set()
        for request in read(text).requests:
            (molecule,) = build_molecules(
                request, table, force_field="MMFF94", atom_limit=100, numbering=numbering
            )
            assert molecule.name == f"set [{molecule.groups_by_face}]"
            by_rules = numbering == "iupac" or molecule.name in names["iupac"]
            assert molecule.numbered == ("Numbered by IUPAC" if by_rules else "Numbered by lowest locants")
            names[numbering].add(molecule.name)
    # Of (1R,2S)- and (1R,3S)-methylcyclohexanol both groups are up; from the other end they are down.
    assert names["iupac"] - names["mine"] == {
        f"set [1 up OH, {carbon} {face} CH3]" for carbon in (2, 3, 4) for face in ("up", "down")
    }
    assert names["mine"] - names["iupac"] == {
        *(f"set [1 down CH3, {carbon} down OH]" for carbon in (2, 3)),
        "set [1 up CH3, 4 up OH]",
        *(f"set [1 up CH3, {carbon} down OH]" for carbon in (2, 3, 4)),
    }


def test_order_is_blocks_patterns_files(tmp_path: Path) -> None:
    (tmp_path / "more.csv").write_text("name,smiles\nfrom csv,CC1CCCCC1\n1 up OH,OC1CCCCC1\n")
    text = (
        "title = 'a'\nmolecules_csv = ['more.csv']\n"
        "[[pattern]]\ngroups = ['OH']\ncarbons = 1\n"
        "[[molecule]]\nname = 'from block'\nsmiles = 'CC1CCCCC1'\n"
        "[[pattern]]\nname = 'second'\ngroups = ['CH3', 'OH']\ncarbons = 1\n"
    )
    (tmp_path / "study.toml").write_text(text)
    study = read_study(tmp_path / "study.toml")
    assert names(study) == ["from block", "1 up OH", "second [1 up CH3]", "second [1 up OH]", "from csv"]
    (refusal,) = study.refused
    assert (refusal.name, refusal.place.row) == ("1 up OH", 3)


def test_groups_go_by_the_names_of_the_studys_own_table(tmp_path: Path) -> None:
    (tmp_path / "course.csv").write_text("group,names,fragment,value_kcal_mol\nMe,CH3,*C,1.7\n")
    text = "title = 'a'\nestimate.table = 'course.csv'\n[[pattern]]\ngroups = [{}]\ncarbons = 1\n"
    assert names(study_from_text(text.format("'CH3', '*O'"), tmp_path / "study.toml")) == [
        "1 up *O",
        "1 up Me",
    ]
    with pytest.raises(StudyError, match="Group 'OH' is not in table"):
        study_from_text(text.format("'OH'"), tmp_path / "study.toml")


def test_a_chiral_group_comes_in_all_its_isomers() -> None:
    study = read("[[pattern]]\ngroups = ['F', '*C(C)CC']\ncarbons = 2\nmirror_images = 'both'\n")
    groups = {put.group for request in study.requests for put in request.substituents or ()}
    assert groups == {"F", "*[C@H](C)CC", "*[C@@H](C)CC"}
    table = read_estimate_table("chairgap")
    smiles = [
        build_molecules(request, table, force_field="MMFF94", atom_limit=100)[0].smiles
        for request in study.requests
    ]
    assert len({Chem.CanonSmiles(text) for text in smiles}) == len(smiles) == 54


def test_what_chemistry_refuses_is_refused_alone() -> None:
    study = read("[[pattern]]\ngroups = ['CH3', 'MgBr']\ncarbons = [1, 2]\n")
    table = read_estimate_table("chairgap")
    kept, refused = [], []
    for request in study.requests:
        try:
            kept += build_molecules(request, table, force_field="MMFF94", atom_limit=100)
        except MoleculeError as error:
            assert (error.place.line, error.place.field) == (2, "pattern[1]")
            refused.append(request.name)
    assert len(kept) == 7
    assert len(refused) == 13
    assert all("MgBr" in name for name in refused)


def test_limit_is_reported_before_anything_is_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*given: object, **named: object) -> None:
        raise AssertionError("nothing may be listed here")

    monkeypatch.setattr(study_patterns, "arrangements", never)
    groups = ["CH3", "OH", "F", "Cl", "Br", "I", "CN", "NH2", "SH", "NO2"]
    with pytest.raises(StudyError) as caught:
        read(f"[[pattern]]\ngroups = {groups}\ncarbons = [1, 2, 3, 4, 5, 6]\n")
    (problem,) = caught.value.problems
    assert isinstance(problem, InputError)
    assert problem.place == Place(file="study.toml", line=2, field="pattern[1]")
    assert isinstance(problem.value, int)
    assert f"This would be {problem.value:,} molecules (10 with groups on 1; " in problem.message


@pytest.mark.parametrize("limit", [19, 20, 27, 28])
def test_limit_is_of_all_patterns_together(limit: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """20 molecules in the first block, 8 in the second."""
    monkeypatch.setattr(study_patterns, "MOST_MOLECULES", limit)
    text = (
        "[[pattern]]\ngroups = ['CH3', 'OH']\ncarbons = [1, 2]\n"
        "[[pattern]]\ngroups = ['F']\ncarbons = 2\nmirror_images = 'both'\n"
    )
    if limit == 28:
        assert len(read(text).requests) == 28
        return
    with pytest.raises(StudyError) as caught:
        read(text)
    (problem,) = caught.value.problems
    assert problem.place.field == ("pattern[1]" if limit < 20 else "pattern[2]")
    assert f"takes at most {limit} from its patterns" in problem.message


def test_shipped_study_of_patterns() -> None:
    study = read_study(CONFIGS / "patterns.toml")
    table = read_estimate_table(study.settings.a_value_table)
    built = [
        build_molecules(request, table, force_field="MMFF94", atom_limit=100) for request in study.requests
    ]
    assert len({molecule.inchi for (molecule,) in built}) == len(built) == 20
    assert not study.refused


def test_a_name_that_a_molecule_or_another_pattern_has_is_refused_with_both_places() -> None:
    block = "[[pattern]]\ngroups = ['Cl']\ncarbons = 1\n"
    study = read(f"[[molecule]]\nname = '1 up Cl'\nsmiles = 'BrC1CCCCC1'\n{block}{block}")
    assert [request.name for request in study.requests] == ["1 up Cl"]
    first, second = study.refused
    advice = "Give this [[pattern]] block a name of its own, which its molecules then begin with."
    taken = "The name '1 up Cl' is taken already (study.toml, line 3, field 'molecule[1].name')."
    assert [first.message, second.message] == [f"{taken} {advice}"] * 2
    assert [str(first.place), str(second.place)] == [
        "study.toml, line 5, field 'pattern[1]'",
        "study.toml, line 8, field 'pattern[2]'",
    ]
