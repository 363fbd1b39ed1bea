"""When a series of media earns the reason of hydrogen bonds in apolar solvents: limits from both sides."""

from dataclasses import replace
from functools import cache

import pytest

from chairgap.compare.reasons import Case, find_reasons
from chairgap.records import GAS_PHASE, SolventPoint
from pipeline_helpers import treated

CODE = "hydrogen-bond-in-apolar-solvent"
DIAXIAL_BOUND = "1 up OH, 3 up OH"  # chair B
NONE_BOUND = "1 up F, 3 up F"


@cache
def base(groups_by_face: str) -> Case:
    result = treated(groups_by_face)
    return Case(
        topology=result.molecule.topology,
        chairs=result.chairs,
        conformers=result.conformers,
        estimate=result.estimate,
        gaps=result.gaps,
        split=result.split,
        temperature_k=298.15,
        table_temperature_k=None,
        gibbs_at_table_kcal_mol=None,
    )


def evidence(groups_by_face: str, dielectric: float, shift: float) -> str | None:
    """What the reason says when a medium lies so far from the gas phase."""
    case = base(groups_by_face)
    assert case.gaps.gibbs_kcal_mol is not None and case.medium == GAS_PHASE
    point = SolventPoint(
        medium="made",
        dielectric=dielectric,
        potential_kcal_mol=None,
        ensemble_kcal_mol=None,
        gibbs_kcal_mol=case.gaps.gibbs_kcal_mol + shift,
        population_a=0.5,
        population_b=0.5,
        population_non_chair=0.0,
        hydrogen_bonds_a=0,
        hydrogen_bonds_b=0,
    )
    found = {reason.code: reason.evidence for reason in find_reasons(replace(case, media=(point,)))}
    return found.get(CODE)


@pytest.mark.parametrize(("shift", "earned"), [(0.201, True), (0.199, False), (-0.201, False)])
def test_a_gap_that_moves_away_from_the_bound_chair(shift: float, earned: bool) -> None:
    words = evidence(DIAXIAL_BOUND, 2.2, shift)
    assert (words is not None) is earned
    if words:
        assert f"made ({shift:+.2f} kcal/mol from the gas phase)" in words and "chair 1a 3a" in words


@pytest.mark.parametrize(("dielectric", "earned"), [(4.999, True), (5.0, False), (80.0, False)])
def test_apolar_is_below_5(dielectric: float, earned: bool) -> None:
    assert (evidence(DIAXIAL_BOUND, dielectric, 1.0) is not None) is earned


def test_a_molecule_without_a_hydrogen_bond() -> None:
    assert evidence(NONE_BOUND, 2.2, 1.0) is None


def test_the_gas_phase_alone() -> None:
    assert CODE not in {reason.code for reason in find_reasons(base(DIAXIAL_BOUND))}
