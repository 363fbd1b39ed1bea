"""Good studies become exactly the records that stand in them."""

from pathlib import Path

import pytest
from rdkit import Chem

from chairgap.errors import MoleculeError, Place, StudyError
from chairgap.molecule.build import build_molecules
from chairgap.records import GroupOnCarbon, Molecule, MoleculeRequest, SearchSettings, Settings, Study
from chairgap.study.reading import EFFORT_STARTS, read_study, study_from_text
from chairgap.tables.shipped import read_estimate_table

CONFIGS = Path(__file__).parents[2] / "configs"
EVERY_KEY = """\
title = "Week 3:  chairs"
molecules_csv = ["lists/more.csv"]
molecules_sdf = ["lists/more.sdf"]
conditions = { temperature_k = 350 }
[model]
force_field = "UFF"
engine = "rdkit"
[estimate]
table = "course.csv"
[verdict]
undecided_below_kcal_mol = 0
size_tolerance_kcal_mol = 0.75
[search]
effort = "thorough"
most_starts = 50
window_kcal_mol = 6.5
seed = 0
atom_limit = 60
[output]
folder = "out/week 3"
[[molecule]]
name = " isopropylcyclohexane "
smiles = 'CC(C)C1CCCCC1'
[[molecule]]
name = "menthol"
substituents = ["1 up OH", "2 down CH(CH3)2; 5 UP methyl"]
stereo = "all"
"""
COURSE = "group,names,fragment,value_kcal_mol\nCH3,methyl,*C,1.7\nOH,hydroxy,*O,0.9\n"
MOL_BLOCK = """\
{title}
  made by hand

  1  0  0  0  0  0            999 V2000
    0.0000    0.0000    0.0000 C   0  0
M  END
"""


def write(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8", newline="")


def with_csv(folder: Path, text: str) -> Study:
    write(folder, {"study.toml": "title = 'a'\nmolecules_csv = ['more.csv']\n", "more.csv": text})
    return read_study(folder / "study.toml")


def test_every_key_reaches_its_record(tmp_path: Path) -> None:
    header = "name,stereo,smiles,substituents\n"
    csv = header + 'ethylcyclohexane,,CCC1CCCCC1,\n,,,\ntrans,all,,"1 up F, 2 down F"\n'
    sdf = MOL_BLOCK.format(title="methane") + "$$$$\n" + MOL_BLOCK.format(title="")
    files = {"study.toml": EVERY_KEY, "course.csv": COURSE, "lists/more.csv": csv, "lists/more.sdf": sdf}
    write(tmp_path, files)
    study = read_study(tmp_path / "study.toml")
    file, more = str(tmp_path / "study.toml"), str(tmp_path / "lists/more.csv")
    read = ("study.toml", "lists/more.csv", "lists/more.sdf", "course.csv")
    assert study == Study(
        settings=Settings(
            title="Week 3: chairs",
            output="out/week 3",
            temperature_k=350.0,
            force_field="UFF",
            engine="rdkit",
            a_value_table=str(tmp_path / "course.csv"),
            undecided_below_kcal_mol=0.0,
            size_tolerance_kcal_mol=0.75,
            atom_limit=60,
            search=SearchSettings(effort="thorough", most_starts=50, window_kcal_mol=6.5, seed=0),
        ),
        tables=study.tables,
        requests=(
            MoleculeRequest(
                name="isopropylcyclohexane",
                place=Place(file=file, line=23, field="molecule[1].smiles"),
                smiles="CC(C)C1CCCCC1",
            ),
            MoleculeRequest(
                name="menthol",
                place=Place(file=file, line=26, field="molecule[2].substituents"),
                substituents=(
                    GroupOnCarbon(carbon=1, face="up", group="OH"),
                    GroupOnCarbon(carbon=2, face="down", group="CH(CH3)2"),
                    GroupOnCarbon(carbon=5, face="up", group="methyl"),
                ),
                every_stereoisomer=True,
            ),
            MoleculeRequest(
                name="ethylcyclohexane", place=Place(file=more, row=2, field="smiles"), smiles="CCC1CCCCC1"
            ),
            MoleculeRequest(
                name="trans",
                place=Place(file=more, row=4, field="substituents"),
                substituents=(
                    GroupOnCarbon(carbon=1, face="up", group="F"),
                    GroupOnCarbon(carbon=2, face="down", group="F"),
                ),
                every_stereoisomer=True,
            ),
            MoleculeRequest(
                name="methane",
                place=Place(file=str(tmp_path / "lists/more.sdf"), line=1, record=1),
                molblock=MOL_BLOCK.format(title="methane"),
            ),
            MoleculeRequest(
                name="more 2",
                place=Place(file=str(tmp_path / "lists/more.sdf"), line=8, record=2),
                molblock=MOL_BLOCK.format(title=""),
            ),
        ),
        inputs=tuple(tmp_path / name for name in read),
        text=EVERY_KEY,
        file=file,
        refused=(),
        notes=(),
    )


def test_least_study_takes_the_defaults_of_the_records(tmp_path: Path) -> None:
    text = "title = 'a'\n[[molecule]]\nname = 'b'\nsmiles = 'CC1CCCCC1'\n"
    settings = study_from_text(text, tmp_path / "week 3.toml").settings
    assert settings == Settings(title="a", output="reports/week 3")
    assert SearchSettings().most_starts == EFFORT_STARTS["standard"]


@pytest.mark.parametrize(("effort", "most_starts"), [("quick", 600), ("standard", 4000), ("thorough", 20000)])
def test_effort_bounds_the_starts(effort: str, most_starts: int) -> None:
    text = f"title = 'a'\nsearch.effort = '{effort}'\n[[molecule]]\nname = 'b'\nsmiles = 'CC1CCCCC1'\n"
    assert study_from_text(text, Path("study.toml")).settings.search.most_starts == most_starts


@pytest.mark.parametrize(("kelvin", "notes"), [("25", 1), ("149.9", 1), ("150", 0), ("298.15", 0)])
def test_low_temperature_is_remarked_on(kelvin: str, notes: int) -> None:
    text = (
        f"title = 'a'\nconditions.temperature_k = {kelvin}\n[[molecule]]\nname = 'b'\nsmiles = 'CC1CCCCC1'\n"
    )
    study = study_from_text(text, Path("study.toml"))
    assert study.settings.temperature_k == float(kelvin)
    assert len(study.notes) == notes


def test_note_names_both_scales() -> None:
    text = "title = 'a'\nconditions.temperature_k = 25\nmolecule = [{name = 'b', smiles = 'CC1CCCCC1'}]\n"
    assert study_from_text(text, Path("study.toml")).notes == (
        "The temperature is 25 K (-248.15 degrees Celsius). "
        "If 25 degrees Celsius was meant, write temperature_k = 298.15.",
    )


def test_byte_order_mark_and_windows_line_ends_do_not_matter(tmp_path: Path) -> None:
    plain = "title = 'a'\nmolecules_csv = ['more.csv']\n"
    rows = "name,smiles\nmethyl,CC1CCCCC1\n"
    write(tmp_path, {"study.toml": plain, "more.csv": rows})
    expected = read_study(tmp_path / "study.toml")
    windows = {"study.toml": "\ufeff" + plain, "more.csv": "\ufeff" + rows}
    write(tmp_path, {name: text.replace("\n", "\r\n") for name, text in windows.items()})
    study = read_study(tmp_path / "study.toml")
    assert (study.settings, study.requests) == (expected.settings, expected.requests)


@pytest.mark.parametrize(
    "text",
    [
        'name,smiles,substituents\na,,"1 up CH3, 2 down OH"\nb,CC1CCCCC1,\n',
        "name,smiles,substituents\r\na,,1 up CH3; 2 down OH\r\nb,CC1CCCCC1\r\n",
        'Name;SMILES;Substituents\na;;"1 up CH3; 2 down OH"\nb;CC1CCCCC1;\n',
        "NAME ;smiles; substituents;;\n a ;;1 up CH3, 2 down OH;;\nb;CC1CCCCC1;;;\n;;;;\n;;;;\n",
        "name\tsmiles\tsubstituents\na\t\t1 up CH3, 2 down OH\nb\tCC1CCCCC1\t\n",
        'name,smiles,substituents\n"a",,"1 up CH3,\n2 down OH"\nb, CC1CCCCC1\u00a0,\n',
    ],
    ids=["commas", "semicolons in a cell", "semicolons", "untidy header", "tabs", "line break in a cell"],
)
def test_csv_dialects_say_the_same(tmp_path: Path, text: str) -> None:
    study = with_csv(tmp_path, text)
    file = str(tmp_path / "more.csv")
    groups = (
        GroupOnCarbon(carbon=1, face="up", group="CH3"),
        GroupOnCarbon(carbon=2, face="down", group="OH"),
    )
    assert study.refused == ()
    assert study.requests == (
        MoleculeRequest(name="a", place=Place(file=file, row=2, field="substituents"), substituents=groups),
        MoleculeRequest(name="b", place=Place(file=file, row=3, field="smiles"), smiles="CC1CCCCC1"),
    )


def test_csv_rows_are_counted_as_in_a_spreadsheet(tmp_path: Path) -> None:
    text = 'name,smiles\n\n"a\n1",CC1CCCCC1\n,\nb,\n'
    study = with_csv(tmp_path, text)
    assert [(request.name, request.place.row) for request in study.requests] == [("a 1", 3)]
    assert [(refusal.name, refusal.place.row) for refusal in study.refused] == [("b", 5)]


def test_a_name_of_83_characters_is_no_reason_for_refusal(tmp_path: Path) -> None:
    name = "the isomer of the third exercise, the one that smells of roses and of green leaves!"
    study = with_csv(tmp_path, f'name,smiles\n"{name}",CC1CCCCC1\n')
    assert len(name) == 83 and [request.name for request in study.requests] == [name] and not study.refused


def test_sdf_names_come_from_title_then_tag_then_number(tmp_path: Path) -> None:
    records = [
        MOL_BLOCK.format(title="by title") + "> <name>\nnot this\n\n",
        MOL_BLOCK.format(title="") + "> <source>\n<name>\n\n>  25 <NAME> (7)\nby  tag\n\n",
        MOL_BLOCK.format(title="") + "> <source>\nhand\n\n",
    ]
    write(
        tmp_path,
        {
            "study.toml": "title = 'a'\nmolecules_sdf = ['ring.sdf']\n",
            "ring.sdf": "$$$$\n".join(records) + "$$$$\n\n",
        },
    )
    study = read_study(tmp_path / "study.toml")
    assert [request.name for request in study.requests] == ["by title", "by tag", "ring 3"]


def test_files_are_looked_for_from_the_folder_of_the_study(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    study = (
        "title = 'a'\nmolecules_csv = ['more.csv']\n"
        "[estimate]\ntable = 'course.csv'\n[output]\nfolder = 'out'\n"
    )
    write(there, {"study.toml": study, "more.csv": "name,smiles\nthere,CC1CCCCC1\n", "course.csv": COURSE})
    write(here, {"more.csv": "name,smiles\nhere,CC1CCCCC1\n", "course.csv": "nonsense"})
    monkeypatch.chdir(here)
    read = read_study(Path("../there/study.toml"))
    assert [request.name for request in read.requests] == ["there"]
    assert read_estimate_table(read.settings.a_value_table).a_values[0].value_kcal_mol == 1.7
    assert read.settings.output == "out"
    (there / "course.csv").unlink()
    with pytest.raises(StudyError, match="There is no A-value table"):
        read_study(Path("../there/study.toml"))


@pytest.mark.parametrize(
    ("conditions", "value"),
    [
        ("", 0.70),
        ('medium = "DMSO"', 0.80),
        ('medium = "water"', 0.90),
        ('medium_series = ["water"]', 0.70),
    ],
)
def test_a_study_holds_the_rows_of_its_own_medium(conditions: str, value: float) -> None:
    """A(OH) by medium, Abraham 1993; acetone stands for DMSO."""
    text = f"title = 'a'\n[conditions]\n{conditions}\n[[molecule]]\nname = 'm'\nsubstituents = ['1 up OH']\n"
    table = study_from_text(text, Path("study.toml")).tables.estimate
    assert [row.value_kcal_mol for row in table.a_values if row.group == "OH"] == [value]


@pytest.mark.parametrize(("temperature_k", "value"), [(180, 0.2), (400, 0.3)])
def test_a_study_holds_the_rows_nearest_to_its_temperature(
    temperature_k: int, value: float, tmp_path: Path
) -> None:
    course = (
        "group,fragment,value_kcal_mol,temperature_k,medium\nX,*F,0.2,193,toluene\nX,*F,0.3,298,toluene\n"
    )
    study = (
        f"title = 'a'\n[conditions]\ntemperature_k = {temperature_k}\n[estimate]\ntable = 'course.csv'\n"
        "[[molecule]]\nname = 'm'\nsubstituents = ['1 up X']\n"
    )
    write(tmp_path, {"study.toml": study, "course.csv": course})
    (row,) = read_study(tmp_path / "study.toml").tables.estimate.a_values
    assert row.value_kcal_mol == value


def test_refused_molecules_keep_their_order_and_stop_no_other(tmp_path: Path) -> None:
    blocks = "".join(
        f"[[molecule]]\nname = '{name}'\n{rest}\n"
        for name, rest in [
            ("a", "smiles = 'CC1CCCCC1'"),
            ("b", ""),
            ("c", "substituents = ['1 up CH3']"),
            ("d", "substituents = ['one up CH3']"),
        ]
    )
    text = "title = 'a'\nmolecules_csv = ['more.csv']\n" + blocks
    write(tmp_path, {"study.toml": text, "more.csv": "name,smiles\ne,\nf,CC1CCCCC1\n"})
    study = read_study(tmp_path / "study.toml")
    assert [request.name for request in study.requests] == ["a", "c", "f"]
    assert [refusal.name for refusal in study.refused] == ["b", "d", "e"]


def test_line_numbers_skip_text_that_only_looks_like_keys() -> None:
    text = (
        "title = '''\n[conditions]\ntemperature_k = 300\n[[molecule]]\n'''\n# seed = 1\n"
        "[conditions] # [search]\n\n  temperature_k = -1\n"
        "[[molecule]]\nname = 'a'\nsmiles = 'CC1CCCCC1'\n[search.more]\nseed = 3\n"
    )
    with pytest.raises(StudyError) as caught:
        study_from_text(text, Path("study.toml"))
    assert [problem.place for problem in caught.value.problems] == [
        Place(file="study.toml", line=9, field="conditions.temperature_k"),
        Place(file="study.toml", line=13, field="search.more"),
    ]


# --- the studies that ship -------------------------------------------------------------------------------


def built(file: str) -> tuple[dict[str, Molecule], dict[str, str]]:
    """Molecules by name, and refusals by name, of a shipped study."""
    study = read_study(CONFIGS / file)
    assert study.refused == ()
    table = read_estimate_table(study.settings.a_value_table)
    molecules, refused = {}, {}
    for request in study.requests:
        try:
            for molecule in build_molecules(request, table, force_field="MMFF94", atom_limit=100):
                molecules[molecule.name] = molecule
        except MoleculeError as error:
            refused[request.name] = error.message
    return molecules, refused


def test_every_molecule_of_the_demo_is_built() -> None:
    molecules, refused = built("demo.toml")
    assert len(molecules) >= 14
    assert not refused


def test_the_demo_of_refusals_names_each_reason_and_builds_the_rest() -> None:
    molecules, refused = built("demo_refused.toml")
    assert list(molecules) == ["trans-2-methylcyclohexanol"]
    reasons = {
        "2-methylcyclohexanol, faces missing": "1 up OH, 2 down CH3",
        "menthone": "a ketone is not treated",
        "sodium salt": "2 separate molecules or ions",
        "methoxy, misspelt": "Did you mean methoxy",
    }
    assert list(refused) == list(reasons)
    assert all(reason in refused[name] for name, reason in reasons.items())


# InChIKeys from memory (as chemical catalogues print them), for a check that a name means its structure.
INCHI_KEYS_FROM_MEMORY = {
    "(-)-menthol": "NOOLISFMXDJSKH-KXUCPTDWSA-N",
    "methylcyclohexane": "UAEPNZWRGJTJPN-UHFFFAOYSA-N",
    "chlorocyclohexane": "UNFUYWDGSFDHCW-UHFFFAOYSA-N",
    "cyclohexanamine": "PAFZNILMFXTMIY-UHFFFAOYSA-N",
    "methyl cyclohexanecarboxylate": "ZQWPRMPSCMSAJU-UHFFFAOYSA-N",
}


@pytest.mark.parametrize("name", INCHI_KEYS_FROM_MEMORY)
def test_demo_names_mean_their_structures(name: str) -> None:
    molecules, _ = built("demo.toml")
    assert Chem.InchiToInchiKey(molecules[name].inchi) == INCHI_KEYS_FROM_MEMORY[name]


def test_demo_acetate_is_the_cis_isomer() -> None:
    molecules, _ = built("demo.toml")
    text = (
        "title = 'a'\n[[molecule]]\nname = 'cis'\nsubstituents = ['1 up OAc', '4 up t-Bu']\n"
        "[[molecule]]\nname = 'trans'\nsubstituents = ['1 up OAc', '4 down t-Bu']\n"
    )
    table = read_estimate_table("chairgap")
    cis, trans = (
        build_molecules(request, table, force_field="MMFF94", atom_limit=100)[0].inchi
        for request in study_from_text(text, Path("study.toml")).requests
    )
    assert molecules["cis-4-tert-butylcyclohexyl acetate"].inchi == cis != trans


def test_seven_dimethylcyclohexanes_are_seven() -> None:
    """Seven C8H16 isomers of this skeleton, cis and trans counted once each (common practice, no source)."""
    molecules, refused = built("dimethyls.toml")
    assert refused == {}
    assert len({molecule.inchi for molecule in molecules.values()}) == len(molecules) == 7
    for name, molecule in molecules.items():
        assert "/C8H16/" in molecule.inchi, name
