"""The compiled force field: against RDKit, by differences, downhill, and how it is built and found."""

import ctypes
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from force_field_molecules import SMILES, embedded
from rdkit.Chem import rdDistGeom

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.compiled import building, library
from chairgap.minimise.compiled.engine import CompiledModel, compiled_model
from chairgap.minimise.hessian import gradient_rms, hessian
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.molecule.build import open_molecule
from chairgap.records import Floats
from pipeline_helpers import TABLE, molecule, treated

pytestmark = pytest.mark.compiled
# A step of 1e-4 angstrom leaves h^2/6 of the fourth derivative, up to 1e5 kcal/mol/angstrom^4 (triple bonds).
SECOND_KCAL_MOL_ANGSTROM2 = 5e-4


def shaken(positions: Floats, by_angstrom: float = 0.05) -> Floats:
    """No longer planar or straight anywhere: there RDKit's own gradient is off by up to 1e-7."""
    return positions + np.random.default_rng(3).normal(0.0, by_angstrom, positions.shape)


@pytest.mark.parametrize("force_field", ["MMFF94", "MMFF94s"])
@pytest.mark.parametrize("name", SMILES)
def test_energy_and_gradient_are_rdkits(name: str, force_field: str) -> None:
    mol, start = embedded(SMILES[name])
    own, other = compiled_model(mol, force_field), rdkit_model(mol, force_field)
    for positions in (shaken(start), shaken(start, 0.15)):
        energy, gradient = own.energy_and_gradient(positions)
        there, slope = other.energy_and_gradient(positions)
        assert energy == pytest.approx(there, abs=1e-9)
        assert gradient == pytest.approx(slope, abs=1e-9)
        assert np.array_equal(own.gradient(positions), gradient)


@pytest.mark.parametrize("name", SMILES)
def test_second_derivatives_are_those_of_the_gradient(name: str) -> None:
    mol, start = embedded(SMILES[name])
    model, positions = compiled_model(mol, "MMFF94"), shaken(start)
    second = model.hessian(positions)
    assert np.array_equal(second, second.T)
    assert second == pytest.approx(hessian(model.gradient, positions), abs=SECOND_KCAL_MOL_ANGSTROM2)


def test_every_group_of_the_table_that_mmff94_knows() -> None:
    """At a minimum, where nothing is shaken: energy, gradient; near it the second derivatives, by differences
    of RDKit's gradient."""
    done = []
    for group in (row.group for row in TABLE.a_values):
        try:
            mol = open_molecule(molecule(f"1 up {group}"))
        except MoleculeError:
            continue
        assert rdDistGeom.EmbedMolecule(mol, randomSeed=7) == 0
        model, other = compiled_model(mol, "MMFF94"), rdkit_model(mol, "MMFF94")
        positions = model.minimise(mol.GetConformer().GetPositions())
        assert positions is not None, group
        energy, gradient = model.energy_and_gradient(positions)
        there, slope = other.energy_and_gradient(positions)
        assert energy == pytest.approx(there, abs=1e-9), group
        assert gradient == pytest.approx(slope, abs=1e-6), group
        assert gradient_rms(gradient) < 1e-5, group
        bent = shaken(positions, 0.02)
        assert model.hessian(bent) == pytest.approx(other.hessian(bent), abs=SECOND_KCAL_MOL_ANGSTROM2), group
        done.append(group)
    assert len(done) == 64
    assert {"NH3+", "CO2-", "S-"} <= set(done)


def evaluated(model: CompiledModel, positions: Floats, kind: int) -> Floats:
    second = np.empty((positions.size, positions.size))
    gradient = np.empty_like(positions)
    address = second.ctypes.data
    model.library.mmff_evaluate(
        ctypes.byref(model.given), positions.ctypes.data, gradient.ctypes.data, address, kind
    )
    return second


@pytest.mark.parametrize("name", ["tosylate", "azide", "menthyl benzoate", "diol"])
def test_the_model_of_the_curvature_has_no_negative_one(name: str) -> None:
    """Also where the second derivatives have."""
    mol, start = embedded(SMILES[name])
    model, positions = compiled_model(mol, "MMFF94"), shaken(start, 0.15)
    whole = np.linalg.eigvalsh(evaluated(model, positions, 0))
    positive = np.linalg.eigvalsh(evaluated(model, positions, 1))
    assert whole[0] < -1.0
    assert positive[0] > -1e-6
    # It is a model: the stiffest curvatures are nearly those.
    assert positive[-1] == pytest.approx(whole[-1], rel=0.1)


@pytest.mark.parametrize("name", ["azide", "isothiocyanate", "ethynyl"])
def test_straight_groups_converge_from_far_away(name: str) -> None:
    """A bent straight group has curvatures of -50 kcal/mol/angstrom^2; kept in the model, they made 4 to 10
    of 200 starts end without a minimum."""
    mol, start = embedded(SMILES[name])
    model, rng = compiled_model(mol, "MMFF94"), np.random.default_rng(1)
    starts = [start + rng.normal(0.0, by, start.shape) for by in (0.1, 0.2, 0.3, 0.5) for _ in range(50)]
    assert sum(model.minimise(positions) is None for positions in starts) == 0


def test_same_bits_whatever_was_computed_before_and_in_any_thread() -> None:
    mol, start = embedded(SMILES["menthyl benzoate"])
    starts = [shaken(start, by) for by in (0.02, 0.05, 0.1, 0.02)]
    model = compiled_model(mol, "MMFF94")
    alone = [compiled_model(mol, "MMFF94").minimise(positions) for positions in starts]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(model.minimise, starts * 3))
    for found, positions in zip(together, starts * 3, strict=True):
        expected = alone[[np.array_equal(positions, other) for other in starts].index(True)]
        assert found is not None and expected is not None and found.tobytes() == expected.tobytes()


def test_the_start_is_left_as_it_was() -> None:
    mol, start = embedded(SMILES["isopropyl"])
    before = start.copy()
    compiled_model(mol, "MMFF94").minimise(start)
    assert np.array_equal(start, before)


def test_what_is_no_geometry_converges_to_nothing() -> None:
    mol, start = embedded(SMILES["methyl"])
    model = compiled_model(mol, "MMFF94")
    nowhere, together = start.copy(), start.copy()
    nowhere[3, 1] = np.nan
    together[5] = together[9]
    assert model.minimise(nowhere) is None
    assert model.minimise(together) is None
    with pytest.raises(EngineError, match=r"shape \(4, 3\), the molecule needs \(21, 3\)"):
        model.minimise(start[:4])


def test_positions_of_any_layout_are_read() -> None:
    mol, start = embedded(SMILES["methyl"])
    model = compiled_model(mol, "MMFF94")
    other = np.asfortranarray(start)
    assert model.energy_and_gradient(other)[0] == model.energy_and_gradient(start)[0]


def test_both_engines_check_every_minimum() -> None:
    for conformer in treated("1 up OH, 2 down CH(CH3)2, 5 down CH3").conformers:
        assert conformer.check.note == "minimised by compiled code, checked by RDKit and OpenMM"
        assert conformer.check.energy_difference_kcal_mol < 1e-6
        assert conformer.check.gradient_difference_kcal_mol_angstrom < 1e-5


def test_a_library_of_other_sources_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    assert library.library() is not None
    monkeypatch.setattr(library, "fingerprint", lambda: "0" * 64)
    assert library.library.__wrapped__() is None
    monkeypatch.setattr(library, "NAME", "mmff.c")
    assert library.library.__wrapped__() is None


def test_a_library_compiled_in_another_way_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(building, "_FLAGS", (*building._FLAGS, "-ffast-math"))
    assert library.library.__wrapped__() is None


def test_without_a_compiler_it_is_said_what_is_missing(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CC", str(tmp_path / "no-such-compiler"))
    assert building.build(tmp_path).startswith("no C compiler (")
    monkeypatch.setenv("CC", "false")
    assert building.build(tmp_path) == "false failed: "
    monkeypatch.delenv("CC")
    monkeypatch.setenv("PATH", str(tmp_path))
    assert building.build(tmp_path) == "no C compiler (cc, gcc or clang) on the PATH"
    assert not list(tmp_path.iterdir())


def test_building_anew_gives_the_same_numbers(tmp_path) -> None:
    """Compiled without optimisation: contraction or a reordered sum would show in the last bits."""
    chosen = [SMILES[name] for name in ("tosylate", "azide")]
    command = f"""
import sys
from pathlib import Path
from chairgap.minimise.compiled import building, library
building._FLAGS = tuple("-O0" if flag == "-O3" else flag for flag in building._FLAGS)
assert building.build(Path({str(tmp_path)!r})) == ""
library.HERE = Path({str(tmp_path)!r})
sys.path.insert(0, {str(tmp_path.parent)!r})
from chairgap.minimise.compiled.engine import compiled_model
from rdkit import Chem
from rdkit.Chem import rdDistGeom
for smiles in {chosen!r}:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    rdDistGeom.EmbedMolecule(mol, randomSeed=20261125)
    model = compiled_model(mol, "MMFF94")
    assert str(library.HERE) in model.library._name
    found = model.minimise(mol.GetConformer().GetPositions())
    print(found.tobytes().hex() + model.hessian(found).tobytes().hex())
"""
    done = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    for smiles, line in zip(chosen, done.stdout.split(), strict=True):
        mol, start = embedded(smiles)
        model = compiled_model(mol, "MMFF94")
        found = model.minimise(start)
        assert found is not None
        assert line == found.tobytes().hex() + model.hessian(found).tobytes().hex()
