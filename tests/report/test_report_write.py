"""Files on disk: all or nothing, nobody's work written over, manifest and SDF complete."""

import hashlib
import json
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from importlib.metadata import version
from pathlib import Path
from typing import Any

import pytest
from made_outcome import outcome, result
from rdkit import Chem

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files import RECORD
from chairgap.molecule.build import build_molecules
from chairgap.records import GroupOnCarbon, MoleculeRequest, Outcome
from chairgap.report.manifest import manifest_text
from chairgap.study_output.write import FILES, check_folder, write_outcome
from chairgap.tables.shipped import read_estimate_table
from texts_written import texts_written


def built_outcome() -> Outcome:
    """The made-up outcome on a molecule that RDKit has built, as an SDF needs one."""
    table = read_estimate_table("chairgap")
    request = MoleculeRequest(
        name="fluorocyclohexane",
        place=Place(),
        substituents=(GroupOnCarbon(carbon=1, face="up", group="F"),),
    )
    (molecule,) = build_molecules(request, table, force_field="MMFF94", atom_limit=100)
    base = result()
    return outcome(replace(base, molecule=replace(molecule, name="made")))


def test_all_files_are_written_and_named(tmp_path: Path) -> None:
    paths, _ = write_outcome(built_outcome(), tmp_path / "deep" / "er", wall_seconds=1.25)
    assert tuple(path.name for path in paths) == FILES
    assert sorted(path.name for path in (tmp_path / "deep" / "er").iterdir()) == sorted([*FILES, RECORD])


def test_a_second_run_gives_the_same_bytes_but_for_the_manifest(tmp_path: Path) -> None:
    first, _ = write_outcome(built_outcome(), tmp_path / "a", wall_seconds=1.0)
    second, _ = write_outcome(built_outcome(), tmp_path / "b", wall_seconds=2.0)
    same = [one.read_bytes() == two.read_bytes() for one, two in zip(first, second, strict=True)]
    assert same == [True] * (len(FILES) - 1) + [False]
    assert FILES[-1] == "manifest.json"


def test_a_second_run_into_the_same_folder_takes_the_place_of_the_first(tmp_path: Path) -> None:
    write_outcome(built_outcome(), tmp_path, wall_seconds=1.0)
    first = (tmp_path / "gaps.csv").read_text()
    write_outcome(replace(built_outcome(), results=()), tmp_path, wall_seconds=1.0)
    second = (tmp_path / "gaps.csv").read_text()
    assert second.startswith("name,status") and len(second) < len(first)


def test_a_file_that_is_not_ours_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "report.md").write_text("a person's own report")
    with pytest.raises(InputError) as caught:
        check_folder(tmp_path, outcome().study)
    assert str(caught.value) == (
        f"{tmp_path / 'report.md'}: This file is not as chairgap left it and is not overwritten. "
        "Move it away, or name another folder with --output."
    )
    assert (tmp_path / "report.md").read_text() == "a person's own report"


@pytest.mark.parametrize("manifest", ["not json", "[]", '{"program": "other"}'])
def test_a_manifest_of_another_program_does_not_open_the_folder(tmp_path: Path, manifest: str) -> None:
    (tmp_path / "manifest.json").write_text(manifest)
    with pytest.raises(InputError, match=r"manifest\.json: This file is not as chairgap left it"):
        check_folder(tmp_path, outcome().study)


def test_a_file_in_place_of_the_folder_is_an_input_error(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    with pytest.raises(InputError) as caught:
        check_folder(tmp_path / "taken", outcome().study)
    assert str(caught.value) == (
        f"{tmp_path / 'taken'}: The folder cannot be written to (not a directory). "
        "Name another folder with --output."
    )
    with pytest.raises(InputError, match="not a directory"):
        check_folder(tmp_path / "taken" / "below", outcome().study)


def test_checking_a_folder_makes_nothing(tmp_path: Path) -> None:
    check_folder(tmp_path / "a" / "b", outcome().study)
    assert list(tmp_path.iterdir()) == []


def test_a_failed_write_leaves_no_half_files_and_keeps_the_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_outcome(built_outcome(), tmp_path, wall_seconds=1.0)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    real = Path.open

    def full(self: Path, mode: str = "r", **options: Any) -> Any:
        if "conformers.sdf" in self.name and mode == "wb":
            raise OSError(28, "No space left on device")
        return real(self, mode, **options)

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(ChairgapError) as caught:
        write_outcome(replace(built_outcome(), results=()), tmp_path, wall_seconds=1.0)
    assert caught.value.exit_code == 3
    assert str(caught.value) == (
        f"{tmp_path}: It cannot be written (no space left on device). "
        "Make room, or name another folder with --output."
    )
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_study_stopped_while_its_files_are_put_in_place_leaves_none(tmp_path: Path, monkeypatch) -> None:
    replace_path, places = Path.replace, []

    def stopped_at_sixth(self: Path, target: Path) -> Path:
        places.append(target)
        if len(places) == 6:
            assert (tmp_path / "conformers.csv").exists()
            raise KeyboardInterrupt
        return replace_path(self, target)

    with monkeypatch.context() as patched, pytest.raises(KeyboardInterrupt):
        patched.setattr(Path, "replace", stopped_at_sixth)
        write_outcome(built_outcome(), tmp_path, wall_seconds=1.0)
    assert list(tmp_path.iterdir()) == []
    write_outcome(built_outcome(), tmp_path, wall_seconds=1.0)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*FILES, RECORD])


def test_manifest_holds_what_a_second_run_needs() -> None:
    files = {"gaps.csv": hashlib.sha256(b"a\n").hexdigest()}
    eastern = datetime(2026, 1, 2, 3, 4, 5, 999, tzinfo=timezone(timedelta(hours=2)))
    text = manifest_text(
        outcome(),
        finished=eastern,
        wall_seconds=12.34567,
        file_checksums=files,
    )
    content = json.loads(text)
    assert content["program"] == "chairgap"
    assert content["finished_utc"] == "2026-01-02T01:04:05+00:00"
    assert content["wall_seconds"] == 12.346
    assert content["study_text"] == 'title = "Made for tests"\n'
    assert content["settings"]["temperature_k"] == 298.15
    assert content["seeds"] == {"search": 1}
    assert content["counts"] == {"treated": 3, "refused": 1, "failed": 1}
    assert content["table_sha256"] == {"t.csv": "00"} == outcome().study.tables.checksums
    assert content["file_sha256"]["gaps.csv"] == hashlib.sha256(b"a\n").hexdigest()
    for name in ("chairgap", "numpy", "rdkit", "openmm", "scipy"):
        assert content["versions"][name] == version(name)
    assert content["versions"]["python"].startswith("3.")
    assert content["platform"]["system"]


def test_only_the_manifest_knows_the_time(tmp_path: Path) -> None:
    year = str(datetime.now(UTC).year)
    for name, text in texts_written(built_outcome()).items():
        assert f"{year}-" not in text, name


def test_sdf_is_read_back_by_a_general_library_with_its_fields(tmp_path: Path) -> None:
    text = texts_written(built_outcome())["conformers.sdf"]
    supplier = Chem.SDMolSupplier()
    supplier.SetData(text, removeHs=False)
    first, second = supplier
    assert (first.GetProp("conformer"), second.GetProp("conformer")) == ("1", "2")
    assert first.GetNumAtoms() == 18
    assert first.GetConformer().GetAtomPosition(1).x == pytest.approx(3.0)  # row 1 of the made-up positions
    assert first.GetPropsAsDict(autoConvertStrings=False) == {
        "name": "made",
        "name_systematic": "fluorocyclohexane",
        "conformer": "1",
        "chair": "A",
        "chair_groups": "1e",
        "model": "MMFF94",
        "temperature_k": "298.15",
        "potential_energy_kcal_mol": "-3.0000",
        "potential_energy_above_lowest_kcal_mol": "0.0000",
        "gibbs_energy_kcal_mol": "100.0000",
        "gibbs_energy_above_lowest_kcal_mol": "0.0000",
        "population_percent": "92.6335",
        "cremer_pople_q_angstrom": "0.5534",
        "cremer_pople_theta_deg": "1.50",
        "cremer_pople_phi_deg": "60.00",
        "ring_form": "4C1",
        "ring_family": "chair",
        "degeneracy": "1",
    }
    assert second.GetProp("potential_energy_above_lowest_kcal_mol") == "1.3700"


def test_a_folder_that_cannot_be_written_is_reported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Root may write everywhere, so it becomes nobody for the check."""
    (tmp_path / "out").mkdir(mode=0o555)
    tmp_path.chmod(0o755)
    monkeypatch.chdir(tmp_path)
    user = os.geteuid()
    if user == 0:
        os.seteuid(65534)
    try:
        with pytest.raises(InputError) as told:
            check_folder(Path("out"), outcome().study)
    finally:
        os.seteuid(user)
    assert str(told.value) == (
        "out: The folder cannot be written to (permission denied). Name another folder with --output."
    )
    assert not list((tmp_path / "out").iterdir())
