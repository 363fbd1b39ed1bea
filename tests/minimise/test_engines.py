"""Which engine does what, and that the second engine would notice a difference."""

from dataclasses import replace

import numpy as np
import pytest

from chairgap.errors import InputError
from chairgap.minimise.compiled.engine import CompiledModel
from chairgap.minimise.compiled.library import engine_used, library
from chairgap.minimise.engines import Engines, open_engines, search_model
from chairgap.minimise.hessian import gradient_rms
from chairgap.minimise.openmm_engine import OpenmmModel
from chairgap.minimise.rdkit_engine import RdkitModel
from chairgap.records import Engine, Floats, ForceField
from chairgap.report.digest import engine_agreement
from pipeline_helpers import SETTINGS, molecule, treated, treated_with


def opened(groups_by_face: str, force_field: ForceField = "MMFF94", engine: Engine = "rdkit") -> Engines:
    settings = replace(SETTINGS, force_field=force_field, engine=engine)
    built = molecule(groups_by_face)
    return open_engines(built, settings, search_model(built, settings))


ANILINE_LIKE = "1 up *Nc1ccccc1"


@pytest.mark.parametrize(
    ("engine", "first", "others"),
    [
        pytest.param("compiled", CompiledModel, [RdkitModel, OpenmmModel], marks=pytest.mark.compiled),
        ("rdkit", RdkitModel, [OpenmmModel]),
        ("openmm", OpenmmModel, [RdkitModel]),
    ],
)
def test_the_chosen_engine_minimises_and_the_others_check(
    engine: Engine, first: type, others: list[type]
) -> None:
    engines = opened("1 up CH3", "MMFF94", engine)
    assert isinstance(engines.surface, first) and [type(other) for other in engines.others] == others


def test_where_the_library_is_not_built_rdkit_minimises(monkeypatch: pytest.MonkeyPatch) -> None:
    with_it = treated("1 up CH3").gaps.potential_kcal_mol
    monkeypatch.setattr("chairgap.minimise.compiled.library.library", lambda: None)
    engines = opened("1 up CH3", "MMFF94", "compiled")
    assert isinstance(engines.surface, RdkitModel)
    assert engines.note == "minimised by RDKit, checked by OpenMM"
    without = treated_with(molecule("1 up CH3"), SETTINGS).gaps.potential_kcal_mol
    assert without == pytest.approx(with_it, abs=1e-9)


def test_the_engine_named_in_reports_is_the_one_that_minimises(monkeypatch: pytest.MonkeyPatch) -> None:
    named = {field: engine_used(replace(SETTINGS, force_field=field)) for field in ("MMFF94s", "UFF")}
    assert named["UFF"] == "rdkit" and named["MMFF94s"] == ("rdkit" if library() is None else "compiled")
    monkeypatch.setattr("chairgap.minimise.compiled.library.library", lambda: None)
    assert engine_used(SETTINGS) == "rdkit"
    assert engine_used(replace(SETTINGS, engine="openmm")) == "openmm"


def test_uff_has_no_second_engine_and_says_so() -> None:
    engines = opened("1 up CH3", "UFF", "rdkit")
    assert not engines.others
    check = engines.check(treated("1 up CH3").conformers[0].minimum)
    assert check.energy_difference_kcal_mol is check.gradient_difference_kcal_mol_angstrom is None
    assert "UFF" in check.note


def test_uff_cannot_be_minimised_with_openmm() -> None:
    with pytest.raises(InputError, match="choose engine 'rdkit' or force field MMFF94"):
        opened("1 up CH3", "UFF", "openmm")


class Bent:
    """The second engine with a small error in it."""

    def __init__(self, model: OpenmmModel, energy: float, slope: float) -> None:
        self.model, self.energy, self.slope = model, energy, slope

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        energy, gradient = self.model.energy_and_gradient(positions_angstrom)
        bent = gradient.copy()
        bent[3, 1] += self.slope
        return energy - self.energy, bent

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        return self.model.minimise(positions_angstrom)


@pytest.mark.parametrize(("energy", "slope"), [(2e-6, 0.0), (0.0, 2e-5), (0.5, 0.3)])
def test_an_error_in_either_engine_is_seen_at_its_size(energy: float, slope: float) -> None:
    engines = opened("1 up CH3", "MMFF94", "rdkit")
    (second,) = engines.others
    assert isinstance(second, OpenmmModel)
    minimum = treated("1 up CH3").conformers[0].minimum
    check = replace(engines, others=(second, Bent(second, energy, slope))).check(minimum)
    assert replace(engines, others=(Bent(second, energy, slope), second)).check(minimum) == check
    assert check.energy_difference_kcal_mol == pytest.approx(energy, abs=1e-9)
    assert check.gradient_difference_kcal_mol_angstrom == pytest.approx(slope, abs=1e-9)
    conformer = treated("1 up CH3").conformers[0]
    assert engine_agreement((conformer,)).agree == "yes"
    assert engine_agreement((replace(conformer, check=check),)).agree == "no"


def test_a_mix_up_of_the_two_variants_is_seen() -> None:
    """MMFF94s differs from MMFF94 at the nitrogen of an aniline; a check across them must fail loudly."""
    own = opened(ANILINE_LIKE, "MMFF94", "rdkit")
    other = opened(ANILINE_LIKE, "MMFF94s", "rdkit")
    minimum = treated(ANILINE_LIKE).conformers[0].minimum
    mixed = replace(own, others=other.others).check(minimum)
    assert mixed.energy_difference_kcal_mol is not None
    assert mixed.energy_difference_kcal_mol > 1e-2
    assert own.check(minimum).energy_difference_kcal_mol == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("engine", ["compiled", "rdkit"])
@pytest.mark.parametrize("force_field", ["MMFF94", "MMFF94s", "UFF"])
def test_the_gradient_is_the_promised_one_from_a_bad_start(force_field: ForceField, engine: Engine) -> None:
    engines = opened("1 up C(CH3)3, 2 up OH", force_field, engine)
    rng = np.random.default_rng(4)
    start = treated("1 up C(CH3)3, 2 up OH").conformers[0].minimum.positions
    relaxed = engines.surface.minimise(start + rng.normal(0.0, 0.2, start.shape))
    assert relaxed is not None
    assert gradient_rms(engines.surface.energy_and_gradient(relaxed)[1]) <= 1e-4


@pytest.mark.parametrize("force_field", ["MMFF94", "MMFF94s", "UFF"])
def test_energy_and_gradient_do_not_depend_on_what_was_asked_before(force_field: ForceField) -> None:
    """RDKit's energy and gradient both may read distances kept from the last geometry; a model that was never
    anywhere else knows better."""
    here = treated("1 up CH3").conformers[0].minimum.positions
    there = here + np.random.default_rng(9).normal(0.0, 0.1, here.shape)
    energy, gradient = opened("1 up CH3", force_field).surface.energy_and_gradient(there)
    model = opened("1 up CH3", force_field).surface
    for elsewhere in (model.energy_and_gradient, model.gradient, model.minimise):
        elsewhere(here)
        assert np.array_equal(model.gradient(there), gradient)
        elsewhere(here)
        again, slope = model.energy_and_gradient(there)
        assert again == energy and np.array_equal(slope, gradient)


def test_both_engines_give_the_gradient_alone() -> None:
    engines = opened("1 up CH3")
    there = treated("1 up CH3").conformers[0].minimum.positions * 1.02
    (second,) = engines.others
    assert second.gradient(there) == pytest.approx(engines.surface.gradient(there), abs=1e-7)


def test_gradient_is_right_wherever_it_was_asked_before() -> None:
    """RDKit's gradient reads distances cached by the last call; asked in any order it must agree with
    differences of the energy."""
    model = opened("1 up CH3", "MMFF94", "rdkit").surface
    here = treated("1 up CH3").conformers[0].minimum.positions
    there = here + np.random.default_rng(9).normal(0.0, 0.1, here.shape)
    first = model.energy_and_gradient(there)[1]
    model.energy_and_gradient(here)
    again = model.energy_and_gradient(there)[1]
    assert np.array_equal(first, again)
    h = 1e-4
    for atom, axis in ((0, 0), (7, 2), (12, 1)):
        ahead, behind = there.copy(), there.copy()
        ahead[atom, axis] += h
        behind[atom, axis] -= h
        slope = (model.energy_and_gradient(ahead)[0] - model.energy_and_gradient(behind)[0]) / (2.0 * h)
        assert first[atom, axis] == pytest.approx(slope, abs=1e-4)
