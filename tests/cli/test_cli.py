"""The command line as a user meets it: exit codes, exact error texts, no traceback."""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from rdkit import Chem
from rdkit.Chem import AllChem

from chairgap import running
from chairgap.cli import running as cli_run
from chairgap.errors import EngineError, Place
from chairgap.records import Outcome, Refusal, Study
from chairgap.study_output.write import FILES
from chairgap.text import typeset

BENZENE = (
    "There is no ring of six sp3 carbons: the six-membered ring is aromatic; give a substituted cyclohexane."
)
CAUTION = "A computed preference is not an instruction for the laboratory."


def never(study: Study, **_: object) -> Outcome:
    raise AssertionError("nothing may be computed here")


def replace_run(monkeypatch: pytest.MonkeyPatch, fake: Callable[..., Outcome]) -> None:
    """Where a study is run in a folder, and where a molecule is run without one."""
    for module in (running, cli_run):
        monkeypatch.setattr(module, "run_study", fake)


def outcome_of(study: Study, *, refused: int = 0, failed: int = 0) -> Outcome:
    told = Refusal(name="one", message="It went wrong. Try another.", place=Place())
    return Outcome(
        study=study,
        results=(),
        refused=(told,) * refused,
        failed=(told,) * failed,
    )


# --- one molecule ----------------------------------------------------------------------------------------


def test_molecule_prints_verdict_ledger_gaps_and_conformers(chairgap) -> None:
    code, out, err = chairgap("molecule", "CC1CCCCC1", "--effort", "quick")
    assert (code, err) == (0, "")
    for words in (
        "1e (A)",
        "+ both agree",
        "Measured for CH3: G(axial) - G(equatorial) = +1.74 kcal/mol",
        "+1.74 (1.70 to 1.82)",
        "CH3 axial on C1",
        "gap = G(chair B) - G(chair A); positive means that chair A is preferred.",
        "Gibbs energy, harmonic, at 298.15 K, G(B) - G(A)",
        "K = [A]/[B]",
        "twist-boat",
        "Engines agree: yes.",
        CAUTION,
    ):
        assert typeset(words) in " ".join(out.split()), words
    # The answer stands first, with what its numbers mean; the references stand last.
    name, systematic, headline = out.splitlines()[:3]
    assert systematic == "  Systematic name: methylcyclohexane"
    assert name.strip() == "CC1CCCCC1 (Numbered by IUPAC: 1 up CH3)" and headline.startswith(
        "Chair 1e (A) by 1.74 \u00b1 0.10 kcal/mol, 95 %"
    )
    assert out.index("Gibbs energies at 298.15 K") < out.index("Hand estimate") < out.index("References")
    assert "10.1039/P29800000255" in out
    tables = out.split(CAUTION)[0]
    assert max(len(line) for line in tables.split("\n")) <= 100
    assert "Written to" not in out


def test_molecule_says_in_which_solvents_not_to_trust_the_gap(chairgap) -> None:
    code, out, _ = chairgap("molecule", "1 up OH, 3 up OH", "--solvent", "cyclohexane", "--solvent", "water")
    shown = " ".join(out.split())
    assert code == 0
    assert "do not trust the gap in cyclohexane (+" in shown
    assert "do not trust the gap in cyclohexane, water" not in shown


def test_typed_molecule_needs_no_quotes_and_is_the_same_molecule(chairgap) -> None:
    _, smiles, _ = chairgap("molecule", "CC1CCCCC1", "--effort", "quick", "--name", "x")
    code, groups_by_face, _ = chairgap("molecule", "1", "up", "CH3", "--effort", "quick", "--name", "x")
    assert code == 0
    assert groups_by_face == smiles


def test_molecule_writes_files_whose_study_runs_to_the_same_bytes(chairgap, tmp_path: Path) -> None:
    code, out, _ = chairgap(
        "molecule", "1 up CH3", "--effort", "quick", "--seed", "5", "--temperature", "250", "--output", "one"
    )
    assert code == 0
    assert "Written to one: gaps.csv, conformers.csv, ledger.csv, anchored.csv, published.csv" in out
    manifest = json.loads((tmp_path / "one" / "manifest.json").read_text())
    assert manifest["settings"]["temperature_k"] == 250.0
    assert manifest["seeds"] == {"search": 5}
    (tmp_path / "again.toml").write_text(manifest["study_text"])
    assert chairgap("study", "again.toml", "--output", "two")[0] == 0
    for name in FILES[:-1]:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes(), name
    assert FILES[-1] == "manifest.json"  # the only file that knows the time; all others were compared


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_conformer_populations_add_up_to_those_of_the_chairs(chairgap, tmp_path: Path) -> None:
    """One conformer in two chairs (cis-1,2) and several in each (ethyl)."""
    for text in ("1 up C2H5", "1 up CH3, 2 up CH3"):
        assert chairgap("molecule", text, "--effort", "quick", "--output", text)[0] == 0
        (gaps,) = rows_of(tmp_path / text / "gaps.csv")
        sums = {"A": 0.0, "B": 0.0, "non": 0.0}
        for row in rows_of(tmp_path / text / "conformers.csv"):
            parts = [int(row[f"degeneracy_in_chair_{letter}"]) for letter in "AB"] + [
                int(row["degeneracy_non_chair"])
            ]
            for key, part in zip(sums, parts, strict=True):
                sums[key] += float(row["population_percent"]) * part / sum(parts)
        assert sums["A"] == pytest.approx(float(gaps["population_chair_A_percent"]), abs=2e-3)
        assert sums["B"] == pytest.approx(float(gaps["population_chair_B_percent"]), abs=2e-3)
        assert sums["non"] == pytest.approx(float(gaps["population_non_chair_percent"]), abs=2e-3)


def test_sdf_coordinates_carry_the_energy_they_are_labelled_with(chairgap, tmp_path: Path) -> None:
    """RDKit's own MMFF94 at the coordinates of the file, which are rounded to 1e-4 angstrom."""
    assert chairgap("molecule", "1 up OH, 2 down CH3", "--effort", "quick", "--output", "made")[0] == 0
    supplier = Chem.SDMolSupplier(str(tmp_path / "made" / "conformers.sdf"), removeHs=False)
    assert len(supplier) == len(rows_of(tmp_path / "made" / "conformers.csv")) > 2
    for structure in supplier:
        model = AllChem.MMFFGetMoleculeForceField(structure, AllChem.MMFFGetMoleculeProperties(structure))
        labelled = float(structure.GetProp("potential_energy_kcal_mol"))
        assert model.CalcEnergy() == pytest.approx(labelled, abs=1e-3)


@pytest.mark.parametrize(
    ("words", "error"),
    [
        (["c1ccccc1"], f"command line, field 'MOLECULE': c1ccccc1: {BENZENE}"),
        (
            ["CC("],
            "command line, field 'MOLECULE': CC(: SMILES 'CC(' cannot be read: syntax error near character "
            "3; correct it there.",
        ),
        (
            ["1 up CH3, 2 dwn OH"],
            "command line, field 'MOLECULE': 1 up CH3, 2 dwn OH: '2 dwn OH' does not read 'carbon face "
            "group', for example '1 up CH3, 2 down OH'; correct this piece.",
        ),
        (
            ["CC1CCCCC1", "--temperature", "0"],
            "command line, field '--temperature': It cannot be 0.0. "
            "Write a temperature in kelvin from 1 to 2000, such as 298.15 for 25 degrees Celsius.",
        ),
        (
            ["CC1CCCCC1", "--force-field", "MMF94"],
            "command line, field '--force-field': It cannot be \"MMF94\". Did you mean 'MMFF94'? "
            "Write 'MMFF94', 'MMFF94s' or 'UFF'.",
        ),
        (
            ["CC1CCCCC1", "--effort", "fast"],
            "command line, field '--effort': It cannot be \"fast\". Write 'quick', 'standard' or 'thorough'.",
        ),
        (
            ["CC1CCCCC1", "--seed", "-1"],
            "command line, field '--seed': It cannot be -1. Write a whole number from 0 to 2147483647.",
        ),
        (
            ["CC1CCCCC1", "--stereo", "some"],
            "command line, field '--stereo': CC1CCCCC1: It cannot be \"some\". Write 'all', or leave it out.",
        ),
        (
            ["CC1CCCCC1", "--force-field", "UFF", "--engine", "openmm"],
            "command line, field '--force-field, --engine, --quantum-method, --pairs-by, --solvent': "
            "The engine 'openmm' has no UFF. Write engine = \"rdkit\", or an MMFF94 force field.",
        ),
    ],
)
def test_a_slip_on_the_command_line_is_reported_with_its_option(chairgap, words, error) -> None:
    assert chairgap("molecule", *words) == (2, "", f"Error: {error}\n")


def test_all_problems_are_reported_at_once(chairgap) -> None:
    code, _, err = chairgap("molecule", "CC1CCCCC1", "--effort", "fast", "--seed", "-1")
    assert code == 2
    assert [line.split("'")[1] for line in err.splitlines()] == ["--effort", "--seed"]


# --- a study ---------------------------------------------------------------------------------------------

STUDY = """
title = "Two molecules, one of them aromatic"
[search]
effort = "quick"
[output]
folder = "made/here"
[[molecule]]
name = "methyl"
smiles = 'CC1CCCCC1'
[[molecule]]
name = "=benzene"
smiles = 'c1ccccc1'
"""


def test_one_refused_molecule_lets_the_other_go_on(chairgap, tmp_path: Path) -> None:
    (tmp_path / "two.toml").write_text(STUDY)
    code, out, err = chairgap("study", "two.toml")
    place = "two.toml, line 12, field 'molecule[2].smiles'"
    assert (code, err) == (1, f"Refused: {place}: =benzene: {BENZENE}\nThe others are computed now.\n")
    told = " ".join(out.split())
    assert f"! refused: =benzene: {BENZENE}" in told
    assert "Written to made/here: gaps.csv" in told and "1e (A)" in told
    rows = rows_of(tmp_path / "made" / "here" / "gaps.csv")
    assert [(row["name"], row["status"]) for row in rows] == [("methyl", "done"), ("'=benzene", "refused")]
    assert rows[1]["message"] == f"{place}: {BENZENE}"
    assert BENZENE in (tmp_path / "made" / "here" / "report.md").read_text(encoding="utf-8")


def test_a_study_with_nothing_to_treat_computes_nothing(chairgap, tmp_path: Path) -> None:
    (tmp_path / "none.toml").write_text(STUDY.replace("'CC1CCCCC1'", "'c1ccccc1C'"))
    code, out, err = chairgap("study", "none.toml", "--output", "results")
    assert (code, out) == (2, "")
    assert err == (
        f"Error: none.toml, line 9, field 'molecule[1].smiles': methyl: {BENZENE}\n"
        f"Error: none.toml, line 12, field 'molecule[2].smiles': =benzene: {BENZENE}\n"
    )
    assert not (tmp_path / "results").exists()


def test_a_missing_study_file(chairgap) -> None:
    assert chairgap("study", "nowhere.toml") == (
        2,
        "",
        "Error: nowhere.toml: There is no such file. Check the name and the folder.\n",
    )


def test_a_folder_that_cannot_be_written_is_reported_before_computing(
    chairgap, tmp_path: Path, monkeypatch
) -> None:
    replace_run(monkeypatch, never)
    (tmp_path / "two.toml").write_text(STUDY)
    (tmp_path / "taken").write_text("")
    assert chairgap("study", "two.toml", "--output", "taken/below") == (
        2,
        "",
        "Error: taken/below: The folder cannot be written to (not a directory). "
        "Name another folder with --output.\n",
    )


def test_a_note_about_a_doubtful_setting_goes_to_stderr(chairgap, monkeypatch) -> None:
    replace_run(monkeypatch, lambda study, **_: outcome_of(study, refused=1))
    _, _, err = chairgap("molecule", "CC1CCCCC1", "--temperature", "25")
    assert err.startswith("Note: The temperature is 25 K")


# --- exit codes and failures -------------------------------------------------------------------------------


@pytest.mark.parametrize(("refused", "failed", "code"), [(0, 1, 3), (1, 1, 3), (1, 0, 2)])
def test_exit_code_when_nothing_came_out(chairgap, monkeypatch, refused, failed, code) -> None:
    replace_run(monkeypatch, lambda study, **_: outcome_of(study, refused=refused, failed=failed))
    assert chairgap("molecule", "CC1CCCCC1")[0] == code


def test_an_engine_failure_has_its_own_exit_code(chairgap, monkeypatch) -> None:
    def fail(study: Study, **_: object) -> Outcome:
        raise EngineError("The force field gave no energy. Report the molecule.")

    replace_run(monkeypatch, fail)
    assert chairgap("molecule", "CC1CCCCC1") == (
        3,
        "",
        "Error: The force field gave no energy. Report the molecule.\n",
    )


def broken(study: Study, **_: object) -> Outcome:
    raise ValueError("two\nlines")


def test_a_slip_of_ours_is_one_line_that_asks_for_a_report(chairgap, monkeypatch) -> None:
    replace_run(monkeypatch, broken)
    assert chairgap("molecule", "CC1CCCCC1") == (
        3,
        "",
        "Error inside chairgap: ValueError: two lines. Please report it with what you typed and the output "
        "of the same command with --debug.\n",
    )


def test_debug_shows_the_traceback(chairgap, monkeypatch) -> None:
    replace_run(monkeypatch, broken)
    code, _, err = chairgap("molecule", "CC1CCCCC1", "--debug")
    assert code == 3 and "Traceback (most recent call last)" in err and "in broken" in err
    code, _, err = chairgap("study", "nowhere.toml", "--debug")
    assert code == 2 and "Traceback (most recent call last)" in err


def test_stopping_from_the_keyboard(chairgap, monkeypatch) -> None:
    def stop(study: Study, **_: object) -> Outcome:
        raise KeyboardInterrupt

    replace_run(monkeypatch, stop)
    assert chairgap("molecule", "CC1CCCCC1") == (130, "", "Stopped from the keyboard.\n")


@pytest.mark.parametrize("words", [["study"], ["molecule"], ["--nonsense"], ["compute"], ["study", "a", "b"]])
def test_wrong_use_is_exit_2_with_a_way_to_help(chairgap, words) -> None:
    code, out, err = chairgap(*words)
    assert (code, out) == (2, "")
    assert err.startswith("Usage: chairgap") and "--help' for help." in err and "Error: " in err


def test_help_and_version(chairgap) -> None:
    code, out, _ = chairgap("--help")
    assert code == 0
    for command in ("study", "molecule", "tables", "demo"):
        assert f"\n  {command} " in out
    assert chairgap("--version") == (0, "chairgap 0.4.0\n", "")


# --- the demo --------------------------------------------------------------------------------------------


def test_the_demo_is_copied_run_and_never_written_over(chairgap, tmp_path: Path, monkeypatch) -> None:
    replace_run(monkeypatch, lambda study, **_: outcome_of(study, refused=1))
    code, out, err = chairgap("demo", "first")
    assert code == 2  # the made-up outcome holds no result
    assert "chairgap study first/demo.toml" in err
    assert "Written to first/reports/demo: gaps.csv" in out
    for name in ("demo.toml", "demo_molecules.csv", "demo_refused.toml", "demo_key.csv", "demo_notebook.py"):
        assert (tmp_path / "first" / name).is_file()
    (tmp_path / "first" / "demo.toml").write_text("mine")
    assert chairgap("demo", "first")[2] == (
        "Error: first/demo.toml: The file exists already and is not overwritten. "
        "Run it with 'chairgap study', or name another folder: chairgap demo FOLDER.\n"
    )
    assert (tmp_path / "first" / "demo.toml").read_text() == "mine"


def test_the_demo_study_names_only_files_that_are_copied(chairgap, tmp_path: Path, monkeypatch) -> None:
    seen: list[Study] = []

    def look(study: Study, **_: object) -> Outcome:
        seen.append(study)
        return outcome_of(study, refused=1)

    replace_run(monkeypatch, look)
    chairgap("demo")
    assert len(seen[0].requests) >= 12
