"""The systematic name of a molecule in every output of the study; what stands in gaps.csv is read back."""

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from made_outcome import outcome, result
from rdkit import Chem
from test_report_terminal import shown as printed
from test_report_write import built_outcome

from chairgap import parse_name, read_study
from chairgap.cli.overview import headlines
from chairgap.errors import Place
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.molecule.names import molecule_name
from chairgap.naming.marks import inchi_of
from chairgap.notebook.results import StudyResult
from chairgap.records import Molecule, MoleculeRequest, Outcome
from chairgap.report.gaps_table import GAPS
from chairgap.report.names import name_words, other_name_words
from chairgap.study_output.write import write_outcome
from chairgap.text import typeset
from naming.ring_makers import random_ring, ring_of
from pipeline_helpers import TABLE
from texts_written import report_of

CONFIGS = Path(__file__).parents[2] / "configs"
DIAMINE = "1 up NHCH3, 2 down NHCH3"


def built(text: str) -> Molecule:
    """The molecule of a list of groups."""
    listed = read_group_list(text)
    request = MoleculeRequest(
        name=text, place=Place(), substituents=listed.groups, mirror_too=listed.relative
    )
    (molecule,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    return molecule


def outcome_with(*molecules: Molecule) -> Outcome:
    """Made-up numbers under these molecules."""
    return outcome(*(replace(result(), molecule=molecule) for molecule in molecules))


def rows_of(study: Outcome) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(GAPS.csv_text(study))))


# --- in words --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("groups", "words"),
    [
        ("1 up CH3", "methylcyclohexane"),
        # By hand: of C1 OH > C2 > C6 > H, of C2 C1 > C3 > CH3 > H.
        ("1 up OH, 2 down CH3", "(1R,2R)-2-methylcyclohexan-1-ol (trans)"),
        ("1 down OH, 2 up CH3", "(1S,2S)-2-methylcyclohexan-1-ol (trans)"),
        ("1 up OH, 4 down CH3", "(1r,4r)-4-methylcyclohexan-1-ol (trans)"),
        ("1 up CH3, 2 up CH3", "(1R,2S)-1,2-dimethylcyclohexane (cis)"),
        ("1 up CF3, 1 down OH", "1-(trifluoromethyl)cyclohexan-1-ol"),
        # Numbers of the user.
        (
            "2 up CH3, 3 down OH",
            "(1R,2R)-2-methylcyclohexan-1-ol (trans); C1 of the name is C3 here, C2 is C2",
        ),
        (
            "5 up CH3",
            "methylcyclohexane; C1 of the name is C5 here",
        ),
        # Which of the two like groups is C1 is open: the user's own numbers are kept.
        ("2 up CH3, 1 down CH3", "(1S,2S)-1,2-dimethylcyclohexane (trans)"),
        # Only the relation is given.
        (
            "trans-1,2: OH, CH3",
            "trans-2-methylcyclohexan-1-ol, rel-(1R,2R), and its mirror image",
        ),
        ("cis-1,2: CH3, CH3", "(1R,2S)-1,2-dimethylcyclohexane (cis)"),  # it is its own mirror image
    ],
)
def test_names_in_words(groups: str, words: str) -> None:
    assert name_words(built(groups).naming) == f"Systematic name: {words}"


def test_a_systematic_name_that_was_given_is_not_said_again() -> None:
    molecule = built("1 up CH3")
    assert other_name_words(molecule) == "Systematic name: methylcyclohexane"
    assert other_name_words(replace(molecule, name="methylcyclohexane")) == ""


@pytest.mark.parametrize(
    ("groups", "name"),
    [
        ("1 up OH, 2 down iPr, 5 up CH3", "rel-(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol"),
        # The mirror image drawn would be S first.
        ("1 down OH, 2 up iPr, 5 down CH3", "rel-(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol"),
        ("1 up *C(=O)OC, 3 up CH3", "methyl rel-(1R,3S)-3-methylcyclohexane-1-carboxylate"),
        ("1 up *[C@@H](C)O", "rel-[(1R)-1-hydroxyethyl]cyclohexane"),
    ],
)
def test_names_of_both_mirror_images(groups: str, name: str) -> None:
    found = molecule_name(ring_of(groups), relative=True)
    assert found.name == name
    parsed = parse_name(name)
    assert parsed.relative and not parsed.open_sites
    if found.systematic.cis_trans == "":
        assert name_words(found) == f"Systematic name: {name}, and its mirror image"


def test_without_a_name_the_reason_is_given() -> None:
    naming = replace(built("1 up CH3").naming, name="")
    naming = replace(naming, systematic=replace(naming.systematic, name="", why_none="it is too long"))
    assert name_words(naming) == "Systematic name: none, since it is too long"
    (row, *_) = rows_of(outcome_with(replace(built("1 up CH3"), naming=naming)))
    assert (row["name_systematic"], row["no_name_because"]) == ("", "it is too long")


@pytest.mark.parametrize("seed", range(70_000, 70_040))
def test_nothing_in_a_name_is_set_in_type(seed: int) -> None:
    for relative in (False, True):
        name = molecule_name(random_ring(seed), relative=relative).name
        assert typeset(name) == name
        assert typeset(f"It is {name}, of course") == f"It is {name}, of course"


def test_numbered_nitrogens_stay_and_formulas_do_not() -> None:
    assert typeset("N1,N2-dimethyl") == "N1,N2-dimethyl"
    assert typeset("N,N-dimethyl, NH2 and N2") == "N,N-dimethyl, NH\u2082 and N\u2082"


# --- in the files ----------------------------------------------------------------------------------------


def test_columns_of_gaps() -> None:
    first, second, *_ = rows_of(outcome_with(built("2 up CH3, 3 down OH"), built("trans-1,2: OH, CH3")))
    columns = ("name_systematic", "groups", "locants", "cis_trans", "cip", "no_name_because")
    assert [first[column] for column in columns] == [
        "(1R,2R)-2-methylcyclohexan-1-ol",
        "ol; methyl",
        "1; 2",
        "trans",
        "1R; 2R",
        "",
    ]
    assert second["name_systematic"] == "rel-(1R,2R)-2-methylcyclohexan-1-ol"


def test_every_output_has_the_name_letter_by_letter(tmp_path: Path) -> None:
    """N1,N2- would become a formula where it were set in type."""
    name = "(1R,2R)-N1,N2-dimethylcyclohexane-1,2-diamine"
    study = built_outcome()
    (one, *_) = study.results
    named = replace(one, molecule=replace(one.molecule, naming=built(DIAMINE).naming))
    study = replace(study, results=(named,))
    write_outcome(study, tmp_path, wall_seconds=1.0)
    files = {path.name: path.read_text() for path in tmp_path.iterdir() if path.suffix != ".parquet"}
    shown = f"Systematic name: {name} (trans)"
    assert shown in files["report.md"].splitlines()
    assert f'<p class="systematic">{shown}</p>' in files["page.html"]
    assert name in files["conformers.sdf"].splitlines()
    assert f"  {shown}" in printed(headlines(study), 100).splitlines()
    (result_of_python,) = StudyResult(_outcome=study)
    assert result_of_python.systematic_name == name
    assert result_of_python.naming.systematic.cip == ("R", "R", "", "", "", "")
    assert f"{shown}<br>" in result_of_python._repr_html_()


def test_brackets_of_a_name_are_no_link_in_the_report() -> None:
    study = outcome_with(built("1 up *[C@@H](C)O"))
    assert "Systematic name: \\[(1R)-1-hydroxyethyl\\]cyclohexane" in report_of(study).splitlines()


def demo_molecules() -> list[Molecule]:
    found: list[Molecule] = []
    for request in read_study(CONFIGS / "demo.toml").requests:
        found += build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    return found


def test_names_of_the_demo_are_read_back() -> None:
    molecules = [*demo_molecules(), built("trans-1,2: OH, CH3"), built("1 down *[C@@H](C)O")]
    rows = [row for row in rows_of(outcome_with(*molecules)) if row["status"] == "done"]
    assert len(rows) == len(molecules) > 15
    for row in rows:
        parsed = parse_name(row["name_systematic"])
        mol = Chem.MolFromSmiles(parsed.smiles)
        meant = {inchi_of(mol)}
        assert parsed.relative == row["name_systematic"].startswith("rel-")
        if parsed.relative:
            for atom in mol.GetAtoms():
                atom.InvertChirality()
            meant.add(inchi_of(mol))
        assert row["inchi"] in meant, row["name_systematic"]
