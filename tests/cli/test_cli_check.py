"""`--check`: what is understood and what is wrong, nothing computed or written; and a run that names what it
leaves out before it computes."""

from pathlib import Path

import pytest

from chairgap.batch import stages
from chairgap.cli.bar import MOST_LEFT_OUT_SHOWN

KETONE = (
    "There is no ring of six sp3 carbons: ring carbon atom 7 (C) has a double bond to O (a ketone is not "
    "treated); give a substituted cyclohexane."
)
STUDY = """title = "Week 3"
molecules_csv = ["more.csv"]
[search]
effort = "quick"
[[molecule]]
name = "trans-2-methylcyclohexanol"
[[molecule]]
name = "either"
smiles = 'CC1CCC(O)CC1'
stereo = "all"
[[molecule]]
name = "ketone"
smiles = 'CC1CCCCC1=O'
"""
ROWS = 'name,smiles,substituents\nby groups,,"2 down OH, 3 up CH3"\nodd face,,1 sideways CH3\n'


@pytest.fixture
def study(tmp_path: Path) -> Path:
    (tmp_path / "study.toml").write_text(STUDY)
    (tmp_path / "more.csv").write_text(ROWS)
    return tmp_path


@pytest.fixture
def computes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise KeyboardInterrupt  # which nothing keeps as a failed task

    monkeypatch.setattr(stages, "compute_task", never)


def test_a_check_lists_what_is_understood_and_all_that_is_wrong(chairgap, study, computes_nothing) -> None:
    before = {path: path.read_bytes() for path in study.iterdir()}
    code, out, err = chairgap("study", "study.toml", "--check")
    assert code == 1
    assert out == (
        "Week 3: MMFF94, gas phase, 298.15 K; A-values of table 'chairgap'\n"
        "1. trans-2-methylcyclohexanol\n"
        "   Systematic name: trans-2-methylcyclohexan-1-ol, rel-(1R,2R), and its mirror image\n"
        "   Numbered by IUPAC: 1 up OH, 2 down CH3\n"
        "   C[C@@H]1CCCC[C@H]1O\n"
        "   Note: entered once for itself and its mirror image, which have the same gap\n"
        "2. either [1 up OH, 4 up CH3]\n"
        "   Systematic name: (1s,4s)-4-methylcyclohexan-1-ol (cis)\n"
        "   Numbered by IUPAC: 1 up OH, 4 up CH3\n"
        "   C[C@H]1CC[C@@H](O)CC1\n"
        "3. either [1 up OH, 4 down CH3]\n"
        "   Systematic name: (1r,4r)-4-methylcyclohexan-1-ol (trans)\n"
        "   Numbered by IUPAC: 1 up OH, 4 down CH3\n"
        "   C[C@H]1CC[C@H](O)CC1\n"
        "4. by groups\n"
        "   Systematic name: (1S,2S)-2-methylcyclohexan-1-ol (trans); C1 of the name is C2 here, C2 is C3\n"
        "   Numbers as given: 2 down OH, 3 up CH3\n"
        "   C[C@H]1CCCC[C@@H]1O\n"
        "\n"
        "4 molecules are understood, 2 are refused; the study has 5, of which some stand for several "
        "isomers.\n"
        "A run searches 6 rings, of molecules and of groups alone: with MMFF94 at standard effort about "
        "1 min on one core (half to twice that), less what is kept of an earlier run.\n"
        "Nothing was computed or written.\n"
    )
    odd, ketone = err.splitlines()
    assert odd.startswith("Refused: more.csv, row 3, column substituents: odd face: '1 sideways CH3'")
    assert ketone == f"Refused: study.toml, line 13, field 'molecule[3].smiles': ketone: {KETONE}"
    assert {path: path.read_bytes() for path in study.iterdir()} == before


def test_a_check_in_other_processes_says_the_same(chairgap, study) -> None:
    assert chairgap("study", "study.toml", "--check", "--workers", "2") == chairgap(
        "study", "study.toml", "--check"
    )


def test_a_quiet_check_says_only_what_is_wrong(chairgap, study) -> None:
    code, out, err = chairgap("study", "study.toml", "--check", "--quiet")
    assert (code, out, len(err.splitlines())) == (1, "", 2)


def test_a_check_of_a_sound_study_ends_with_0(chairgap, study, computes_nothing) -> None:
    (study / "study.toml").write_text(STUDY.split('[[molecule]]\nname = "ketone')[0])
    (study / "more.csv").write_text(ROWS.rsplit("odd face", maxsplit=1)[0])
    code, out, err = chairgap("study", "study.toml", "--check")
    assert (code, err) == (0, "")
    assert "4 molecules are understood; the study has 3, of which some stand for several isomers.\n" in out


def test_a_check_names_every_problem_of_a_study_that_cannot_be_read(chairgap, study) -> None:
    """A run shows the first fifty."""
    blocks = '[[molecule]]\nname = "same"\nsmiles = "C"\n' * 60
    (study / "study.toml").write_text(f'titel = "x"\n{blocks}')
    code, out, err = chairgap("study", "study.toml", "--check")
    lines = err.splitlines()
    assert code == 2 and len(lines) == 62  # title, its misspelling, all names but one, methane
    assert sum(line.startswith("Error: ") for line in lines) == 2
    assert "0 molecules are understood, 60 are refused." in out
    assert chairgap("study", "study.toml")[2].splitlines()[-1].startswith("Error: 11 more are not shown.")


def test_a_check_of_wrong_settings_goes_on_to_the_molecules(chairgap, study, computes_nothing) -> None:
    """A ketone was named only when the settings were right."""
    wrong = STUDY.replace('effort = "quick"', 'effort = "fast"').replace(
        "[search]", '[conditions]\nmedium = "watr"\ntemperature_k = "25 C"\n[search]'
    )
    (study / "study.toml").write_text(wrong)
    code, out, err = chairgap("study", "study.toml", "--check")
    medium, kelvin, effort, odd, ketone = err.splitlines()
    assert code == 2
    assert medium.startswith("Error: study.toml, line 4, field 'conditions.medium': ")
    assert kelvin.startswith("Error: study.toml, line 5, field 'conditions.temperature_k': ")
    assert effort.startswith("Error: study.toml, line 7, field 'search.effort': ")
    assert odd.startswith("Refused: more.csv, row 3, column substituents: odd face: '1 sideways CH3'")
    assert ketone == f"Refused: study.toml, line 16, field 'molecule[3].smiles': ketone: {KETONE}"
    first, *_, last, nothing = out.splitlines()
    assert first == (
        "Week 3: read with the defaults in place of wrong settings: MMFF94, gas phase, 298.15 K; A-values of "
        "table 'chairgap'"
    )
    assert "   Systematic name: trans-2-methylcyclohexan-1-ol, rel-(1R,2R), and its mirror image\n" in out
    assert last == "The study does not run before its 3 errors are mended."
    assert nothing == "Nothing was computed or written."


@pytest.mark.parametrize(
    ("setting", "field"),
    [
        ('[output]\nfolder = "study.toml"', "output.folder"),
        ("output = 3", "output"),
        ("model = 3", "model"),
        ('[model]\nforce_field = "UFF"\nengine = "openmm"', "model"),
        ('[model]\nforce_field = "UFF"\nquantum_method = "x"', "model.quantum_method"),
        ('[estimate]\ntable = "mine.csv"', "estimate.table"),
        ("[search]\natom_limit = 3", "search.atom_limit"),
        ('[conditions]\nmedium_series = ["watr"]', "conditions.medium_series[1]"),
        ('[[pair]]\ngroups = "x"', "pair[1]"),
        ("[[pattern]]\ngroups = []\ncarbons = 2", "pattern[1].groups"),
    ],
)
def test_whatever_is_wrong_beside_them_molecules_are_checked(chairgap, tmp_path, setting, field) -> None:
    lines = ['title = "x"', setting, '[[molecule]]\nname = "ketone"', "smiles = 'CC1CCCCC1=O'"]
    (tmp_path / "study.toml").write_text("\n".join(lines))
    code, _, err = chairgap("study", "study.toml", "--check")
    assert code == 2 and f"field '{field}" in err and KETONE in err


def test_a_check_of_a_typed_molecule_goes_on_to_it(chairgap) -> None:
    code, _, err = chairgap("molecule", "CC1CCCCC1=O", "--effort", "fast", "--check")
    effort, ketone = err.splitlines()
    assert code == 2 and ketone == f"Refused: command line, field 'MOLECULE': CC1CCCCC1=O: {KETONE}"
    assert effort.startswith("Error: command line, field '--effort': It cannot be \"fast\".")


def test_a_check_says_what_would_stop_the_run(chairgap, study, monkeypatch) -> None:
    """The folder of the output, and a library that is missing; the molecules are listed all the same."""
    monkeypatch.setattr("chairgap.abinitio.energies.find_spec", lambda name: None)
    (study / "study.toml").write_text(
        STUDY.replace("[search]", '[model]\npairs_by = "MP2/def2-SVP"\n[search]')
    )
    (study / "taken").write_text("")
    code, out, err = chairgap("study", "study.toml", "--check", "--output", "taken")
    assert code == 2 and "4. by groups\n" in out
    assert "Error: taken: The folder cannot be written to (not a directory)." in err
    assert "Error: MP2/def2-SVP needs pyscf and tblite, which are not installed;" in err


def test_a_check_says_what_pairs_at_a_level_cost(chairgap) -> None:
    words = ("molecule", "1 up OH, 2 down SCH3", "--check")
    assert "MP2/def2-SVP for 3 rings" not in chairgap(*words)[1]
    assert (
        "MP2/def2-SVP for 3 rings that the table of pairs does not cover: about "
        in chairgap(*words, "--pairs-by", "MP2/def2-SVP")[1]
    )


@pytest.mark.parametrize(
    ("text", "code", "shown"),
    [
        (
            "menthol",
            0,
            "1. menthol\n"
            "   Systematic name: rel-(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol, and its mirror "
            "image\n"
            "   Numbered by IUPAC: 1 up OH, 2 down CH(CH3)2, 5 up CH3\n   CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O\n",
        ),
        ("CC1CCCCC1=O", 2, "0 molecules are understood, 1 is refused.\n"),
    ],
)
def test_one_molecule_is_checked_as_well(chairgap, tmp_path, computes_nothing, text, code, shown) -> None:
    left, out, err = chairgap("molecule", text, "--check")
    assert left == code and shown in out and out.endswith("Nothing was computed or written.\n")
    assert bool(err) == bool(code) and not list(tmp_path.iterdir())


# --- before a run ----------------------------------------------------------------------------------------


def test_a_run_names_what_it_leaves_out_before_it_computes(chairgap, study, computes_nothing) -> None:
    """They were named when all was done. Here the first ring to be computed stops the run."""
    for quiet in ((), ("--quiet",)):
        code, _, err = chairgap("study", "study.toml", "--output", "out", "--workers", "0", *quiet)
        assert code == 130
        odd, ketone, others, *_ = err.splitlines()
        assert odd.startswith("Refused: more.csv, row 3, column substituents: odd face: ")
        assert ketone == f"Refused: study.toml, line 13, field 'molecule[3].smiles': ketone: {KETONE}"
        assert others == "The others are computed now."


def test_of_many_that_are_left_out_the_first_are_named_and_the_rest_counted(
    chairgap, study, computes_nothing
) -> None:
    rows = "".join(f"ketone {number},CC1CCCCC1=O,\n" for number in range(60))
    (study / "more.csv").write_text(ROWS + rows)
    _, _, err = chairgap("study", "study.toml", "--output", "out", "--workers", "0")
    lines = err.splitlines()
    assert sum(line.startswith("Refused: ") for line in lines) == MOST_LEFT_OUT_SHOWN == 50
    assert lines[50:52] == [
        "12 more are left out; 'chairgap study --check' names them all.",
        "The others are computed now.",
    ]
