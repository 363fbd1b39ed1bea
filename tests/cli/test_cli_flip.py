"""`chairgap flip` as a user types it: files, words, refusals, exit codes."""

import csv
from pathlib import Path

import numpy as np
import pytest
from rdkit import Chem

from chairgap.shape.puckering import puckering
from made_flips import made_flip, put_flip
from pipeline_helpers import treated

FILES = {
    "flip.md",
    "flip.json",
    "stationary.csv",
    "stationary.sdf",
    "path.csv",
    "path.sdf",
    "path.xyz",
    "map.csv",
    "map.svg",
    "map.png",
    "profile.svg",
    ".chairgap.json",
}


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_flip_of_one_molecule_writes_what_it_says(chairgap, tmp_path: Path) -> None:
    code, out, err = chairgap("flip", "1 up CH3", "--step", "30", "--output", "new")
    assert (code, err) == (0, "")
    assert {file.name for file in (tmp_path / "new").iterdir()} == FILES
    assert "saddle   envelope E\u2081                  E  10.70" in out
    assert "Chair A to chair B: k = " in out and "per second" in out
    assert "A computed preference is not an instruction for the laboratory." in out and "10.8" in out
    rows = rows_of(tmp_path / "new" / "stationary.csv")
    assert [row["kind"] for row in rows].count("minimum") == 8
    saddles = [row for row in rows if row["kind"] == "saddle"]
    assert len(saddles) == 9 and all(float(row["imaginary_frequency_cm1"]) < -3.0 for row in saddles)
    boats = [row for row in saddles if row["ring_family"] == "boat"]
    assert all(1.5 < float(row["flagpole_distance_angstrom"]) < 4.0 for row in boats)
    assert all(len(row["eclipsed_ring_bonds"].split("; ")) == 2 for row in boats), "a boat eclipses two bonds"
    chairs = [row for row in rows if row["chair"]]
    assert {row["flagpole_distance_angstrom"] for row in chairs} == {""}
    assert {row["eclipsed_ring_bonds"] for row in chairs} == {""}
    frames_are_the_same(tmp_path)
    every_point_has_its_geometry(rows, tmp_path / "new" / "stationary.sdf")


def every_point_has_its_geometry(rows: list[dict[str, str]], file: Path) -> None:
    """Saddles off the path too: energy and puckering of a record's geometry are those of its row."""
    models = list(Chem.SDMolSupplier(str(file), removeHs=False))
    assert len(models) == len(rows)
    for model, row in zip(models, rows, strict=True):
        for name in ("kind", "number", "ring_form"):
            assert model.GetProp(name) == row[name]
        energy = row["potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable"]
        assert model.GetProp("potential_energy_above_lowest_minimum_kcal_mol") == energy
        places = model.GetConformer().GetPositions()
        q, theta, _ = puckering(places[:6])
        assert q == pytest.approx(float(row["cremer_pople_q_angstrom"]), abs=2e-3)
        assert theta == pytest.approx(float(row["cremer_pople_theta_deg"]), abs=0.2)


def frames_are_the_same(tmp_path: Path) -> None:
    """Frames of SDF, XYZ and CSV."""
    rows = rows_of(tmp_path / "new" / "path.csv")
    models = list(Chem.SDMolSupplier(str(tmp_path / "new" / "path.sdf"), removeHs=False))
    lines = (tmp_path / "new" / "path.xyz").read_text(encoding="utf-8").splitlines()
    atoms = int(lines[0])
    assert len(models) == len(rows) == len(lines) // (atoms + 2)
    for number, (model, row) in enumerate(zip(models, rows, strict=True)):
        start = number * (atoms + 2)
        xyz = np.array([line.split()[1:] for line in lines[start + 2 : start + 2 + atoms]], dtype=float)
        assert np.allclose(model.GetConformer().GetPositions(), xyz, atol=1e-3)
        energy = row["potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable"]
        assert model.GetProp("potential_energy_above_lowest_minimum_kcal_mol") == energy
    assert rows[0]["place"].startswith("minimum") and rows[-1]["place"].startswith("minimum")


@pytest.mark.long
def test_flip_of_a_study_takes_one_molecule_by_name(chairgap, tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text(
        'title = "two"\n[[molecule]]\nname = "one"\nsmiles = \'FC1CCCCC1\'\n'
        "[[molecule]]\nname = \"two\"\nsmiles = 'CC1CCCCC1'\n",
        encoding="utf-8",
    )
    code, out, _ = chairgap("flip", "set.toml", "--only", "one", "--step", "45", "--output", "new")
    assert code == 0 and "one, MMFF94" in out and "two, MMFF94" not in out
    code, _, err = chairgap("flip", "set.toml", "--only", "three", "--output", "new")
    assert code == 2 and "There is no molecule 'three'; there are: 'one', 'two'." in err


@pytest.mark.long
def test_all_molecules_of_a_study_get_folders_of_their_own(chairgap, tmp_path: Path) -> None:
    (tmp_path / "set.toml").write_text(
        'title = "two"\n[[molecule]]\nname = "F/one"\nsmiles = \'FC1CCCCC1\'\n'
        "[[molecule]]\nname = \"no ring\"\nsmiles = 'CCC'\n"
        "[[molecule]]\nname = \"two\"\nsmiles = 'CC1CCCCC1'\n",
        encoding="utf-8",
    )
    code, _, err = chairgap("flip", "set.toml", "--step", "45", "--output", "new")
    assert code == 1 and "refused: no ring" in err
    assert {folder.name for folder in (tmp_path / "new").iterdir()} == {"F-one", "two"}


@pytest.mark.long
def test_a_twist_boat_as_the_lowest_form_is_reported(chairgap, tmp_path: Path) -> None:
    code, out, _ = chairgap(
        "flip", "1 up C(CH3)3, 4 up C(CH3)3", "--step", "45", "--temperature", "125", "--output", "new"
    )
    assert code == 0
    assert "The lowest minimum is a non-chair, twist-boat" in out
    assert "H and G at 125.00 K" in out
    assert "a non-chair, twist-boat" in (tmp_path / "new" / "flip.md").read_text(encoding="utf-8")


def test_too_short_a_run_is_refused_before_anything_is_computed(chairgap, tmp_path: Path) -> None:
    for option, least in (("--dynamics", "800"), ("--free-energy", "1600")):
        code, out, err = chairgap("flip", "1 up CH3", option, "5", "--output", "new")
        assert (code, out) == (2, "")
        assert f"'{option}': 5 steps are too few for a mean; give {least} or more" in err
    assert not (tmp_path / "new").exists()


@pytest.mark.long
def test_dynamics_with_few_flips_says_so(chairgap, tmp_path: Path) -> None:
    """800 steps are 0.4 ps: no time for ten flips."""
    code, out, _ = chairgap("flip", "1 up CH3", "--step", "45", "--dynamics", "800", "--output", "new")
    assert code == 0
    assert "Dynamics at 1000 K, 0.4 ps" in out and "Too few flips for reliable error bars" in out
    (first, *_) = rows_of(tmp_path / "new" / "dynamics.csv")
    assert first["ring_family"] == "chair A" and first["temperature_k"] == "1000.00"


def test_bad_input_is_reported_and_nothing_is_written(chairgap, tmp_path: Path) -> None:
    for words, told in (
        (("flip", "c1ccccc1"), "There is no ring of six sp3 carbons"),
        (("flip", "missing.toml"), "There is no such file"),
        (("flip", "1 up XYZ"), "XYZ"),
    ):
        code, _, err = chairgap(*words)
        assert code == 2 and told in err, err
    assert not (tmp_path / "reports").exists()


def put_study(folder: Path, *groups: str) -> None:
    blocks = "".join(f'[[molecule]]\nname = "{one}"\nsubstituents = ["{one}"]\n' for one in groups)
    (folder / "set.toml").write_text(f'title = "set"\n{blocks}', encoding="utf-8")


@pytest.mark.parametrize(
    ("groups", "words", "folders"),
    [
        (("1 up CH3", "1 up Cl"), ("set.toml",), ["reports/set/flip/1-up-CH3", "reports/set/flip/1-up-Cl"]),
        (("1 up CH3", "1 up Cl"), ("set.toml", "--only", "1 up Cl"), ["reports/set/flip/1-up-Cl"]),
        (("1 up CH3",), ("set.toml",), ["reports/set/flip"]),
        (("1 up CH3", "1 up Cl"), ("set.toml", "--only", "1 up Cl", "--output", "new"), ["new/1-up-Cl"]),
        ((), ("1 up CH3",), ["reports/flip"]),
    ],
)
def test_flips_of_a_study_go_where_its_page_finds_them(
    chairgap, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, groups, words, folders
) -> None:
    put_study(tmp_path, *groups)
    asked = []

    def nothing_computed(molecules, settings, options, outputs):
        asked.extend(str(output.path) for output in outputs)
        return iter(())

    monkeypatch.setattr("chairgap.cli.flip.flips_of", nothing_computed)
    code, _, err = chairgap("flip", *words)
    assert (code, err, asked) == (0, "", folders)


def test_a_flip_that_came_later_renews_page_and_report(chairgap, tmp_path: Path) -> None:
    put_study(tmp_path, "1 up Cl")
    page, report = (tmp_path / "reports" / "set" / name for name in ("page.html", "report.md"))
    run = ("study", "set.toml", "--workers", "0", "--quiet")
    assert chairgap(*run)[0] == 0
    assert "Ring flips" not in report.read_text(encoding="utf-8")
    kept = put_flip(page.parent, made_flip(treated("1 up Cl")), "Cl")
    assert chairgap(*run)[0] == 0
    assert "### Ring flip of 1 up Cl" in report.read_text(encoding="utf-8")
    assert 'id="flip-1"' in page.read_text(encoding="utf-8")
    before = page.stat().st_mtime_ns
    assert chairgap(*run)[0] == 0 and page.stat().st_mtime_ns == before
    kept.write_text("{}", encoding="utf-8")
    assert chairgap(*run)[0] == 0
    for file in (page, report):
        assert "flip/Cl/flip.json is not shown: This is no flip.json" in file.read_text(encoding="utf-8")
