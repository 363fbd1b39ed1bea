"""The gaps and the shares of conformers made up so that every number can be worked out by hand."""

import math
from dataclasses import replace

import pytest
import scipy.constants

from chairgap.compare.gaps import compute_gaps
from chairgap.records import Conformer
from pipeline_helpers import treated

AT_K = 400.0
RT = scipy.constants.R * AT_K / (1000.0 * scipy.constants.calorie)
PATTERN = treated("1 up CH3").conformers[0]


def made(
    energy: float, gibbs: float, *, a: int = 0, b: int = 0, other: int = 0, enthalpy: float = 0.0
) -> Conformer:
    return replace(
        PATTERN,
        minimum=replace(PATTERN.minimum, energy_kcal_mol=energy),
        gibbs_kcal_mol=gibbs,
        enthalpy_kcal_mol=enthalpy,
        degeneracy_a=a,
        degeneracy_b=b,
        degeneracy_other=other,
    )


def test_every_kind_of_gap() -> None:
    conformers = [
        made(10.0, 110.0, a=1),
        made(10.0 + RT * math.log(4.0), 110.0 + RT * math.log(2.0), a=2),  # each copy 1/4, by Gibbs 1/2
        made(12.0, 111.0, b=2),
        made(15.0, 113.0, other=2),
        made(14.0, 120.0, other=1),
    ]
    gaps = compute_gaps(conformers, AT_K, equal_by_symmetry=False)
    assert gaps.potential_kcal_mol == pytest.approx(2.0)
    # A: 1 + 2/4 = 3/2; B: 2 exp(-2/RT), so F(B) - F(A) = 2 - RT ln 2 + RT ln 3/2
    assert gaps.ensemble_kcal_mol == pytest.approx(2.0 - RT * math.log(4.0 / 3.0), abs=1e-9)
    # A: 1 + 2/2 = 2; B: 2 exp(-1/RT): the factors of two cancel
    assert gaps.gibbs_kcal_mol == pytest.approx(1.0, abs=1e-9)
    assert gaps.to_non_chair_kcal_mol == pytest.approx(4.0)
    weights = [2.0, 2.0 * math.exp(-1.0 / RT), 2.0 * math.exp(-3.0 / RT) + math.exp(-10.0 / RT)]
    found = (gaps.population_a, gaps.population_b, gaps.population_non_chair)
    assert found == pytest.approx([weight / sum(weights) for weight in weights], abs=1e-9)
    assert gaps.equilibrium_constant == pytest.approx(math.exp(1.0 / RT), rel=1e-9)


def test_enthalpy_and_entropy_gap() -> None:
    """A: one form with H 5, G 3 and two with H 6, each copy half as likely, so H(A) = (5 + 6) / 2 and
    G(A) = 3 - RT ln 2; B: H 7, G 4. Positive entropy: B has more."""
    conformers = [
        made(0.0, 3.0, a=1, enthalpy=5.0),
        made(0.0, 3.0 + RT * math.log(2.0), a=2, enthalpy=6.0),
        made(0.0, 4.0, b=1, enthalpy=7.0),
        made(0.0, -9.0, other=1, enthalpy=-9.0),  # no part in a gap between chairs
    ]
    gaps = compute_gaps(conformers, AT_K, equal_by_symmetry=False)
    gibbs = 4.0 - (3.0 - RT * math.log(2.0))
    assert gaps.gibbs_kcal_mol == pytest.approx(gibbs, abs=1e-9)
    assert gaps.enthalpy_kcal_mol == pytest.approx(1.5, abs=1e-9)
    assert gaps.entropy_cal_mol_k == pytest.approx(1000.0 * (1.5 - gibbs) / AT_K, abs=1e-6)


def test_harmonic_gap_is_summed_like_the_other_and_missing_where_a_form_has_none() -> None:
    high, low, top = made(0.0, 0.0, a=2), made(0.0, 0.0, b=1), made(0.0, 0.0, other=1)
    known = [
        replace(item, harmonic_gibbs_kcal_mol=value) for item, value in ((high, 1.0), (low, 3.0), (top, None))
    ]
    gaps = compute_gaps(known, AT_K, equal_by_symmetry=False)
    assert gaps.harmonic_gibbs_kcal_mol == pytest.approx(2.0 + RT * math.log(2.0), abs=1e-9)
    lost = [replace(known[0], harmonic_gibbs_kcal_mol=None), *known[1:]]
    assert compute_gaps(lost, AT_K, equal_by_symmetry=False).harmonic_gibbs_kcal_mol is None


def test_sign_is_b_minus_a() -> None:
    gaps = compute_gaps([made(3.0, 3.0, a=1), made(1.0, 1.0, b=1)], AT_K, equal_by_symmetry=False)
    assert gaps.potential_kcal_mol == gaps.ensemble_kcal_mol == gaps.gibbs_kcal_mol == pytest.approx(-2.0)
    assert gaps.population_b > gaps.population_a
    assert gaps.to_non_chair_kcal_mol is None and gaps.population_non_chair == 0.0


def test_non_chair_is_measured_from_the_better_chair() -> None:
    conformers = [made(3.0, 3.0, a=1), made(1.0, 1.0, b=1), made(0.5, 0.5, other=1)]
    assert compute_gaps(conformers, AT_K, equal_by_symmetry=False).to_non_chair_kcal_mol == pytest.approx(
        -0.5
    )


def test_a_conformer_in_both_chairs_counts_in_both_and_leaves_no_gap() -> None:
    conformers = [made(1.23456789, 7.654321, a=2, b=2), made(2.0, 8.0, a=1, b=1), made(5.0, 5.0, other=6)]
    gaps = compute_gaps(conformers, AT_K, equal_by_symmetry=True)
    assert (gaps.potential_kcal_mol, gaps.ensemble_kcal_mol, gaps.gibbs_kcal_mol) == (0.0, 0.0, 0.0)
    assert (gaps.enthalpy_kcal_mol, gaps.entropy_cal_mol_k) == (0.0, 0.0)
    assert gaps.equilibrium_constant == 1.0


def test_only_non_chairs() -> None:
    gaps = compute_gaps([made(5.0, 5.0, other=2)], AT_K, equal_by_symmetry=False)
    assert gaps.population_non_chair == 1.0
    assert gaps.potential_kcal_mol is None and gaps.to_non_chair_kcal_mol is None
    assert gaps.enthalpy_kcal_mol is None and gaps.entropy_cal_mol_k is None


def test_no_conformer_at_all_is_an_error() -> None:
    with pytest.raises(ValueError, match="empty"):
        compute_gaps([], AT_K, equal_by_symmetry=False)


def test_shares_of_the_pipeline_are_those_of_its_conformers() -> None:
    """The populations a study prints, summed again conformer by conformer."""
    result = treated("1 up CH(CH3)2", temperature_k=350.0)
    rt = scipy.constants.R * 350.0 / (1000.0 * scipy.constants.calorie)
    floor = min(item.gibbs_kcal_mol for item in result.conformers)
    weights = [math.exp(-(item.gibbs_kcal_mol - floor) / rt) for item in result.conformers]
    total = sum(item.degeneracy * weight for item, weight in zip(result.conformers, weights, strict=True))
    in_b = sum(item.degeneracy_b * weight for item, weight in zip(result.conformers, weights, strict=True))
    assert result.gaps.population_b == pytest.approx(in_b / total, rel=1e-9)
    assert result.gaps.gibbs_kcal_mol == pytest.approx(
        rt * math.log(result.gaps.population_a / result.gaps.population_b), abs=1e-9
    )
