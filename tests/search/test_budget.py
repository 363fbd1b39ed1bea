"""Flexible groups through the whole pipeline: the search ends within its budget and says what it did."""

from dataclasses import replace
from functools import cache

import pytest
from threadpoolctl import threadpool_limits

from chairgap.records import Result, SearchSettings
from chairgap.run import treat
from pipeline_helpers import SETTINGS, TABLES, lattice, molecule, treated

OCTYL = "1 up *CCCCCCCC"


@cache
def sampled(groups_by_face: str, most_starts: int, window_kcal_mol: float = 1.0) -> Result:
    search = SearchSettings(effort="quick", most_starts=most_starts, window_kcal_mol=window_kcal_mol)
    with threadpool_limits(1):
        return treat(molecule(groups_by_face), TABLES, replace(SETTINGS, search=search), {})


@pytest.mark.parametrize("most_starts", [40, 90])
def test_a_budget_below_the_lattice_is_kept(most_starts: int) -> None:
    result = sampled(OCTYL, most_starts)
    report = result.search
    assert report.lattice_states == 5 * 3**7  # five rings, seven rotors of three states, CH3 of one
    assert report.starts_minimised <= most_starts
    assert not report.exhaustive
    # What the last round still found is told, so that nobody takes a sample for a complete walk.
    assert report.new_in_last_round > 0


def test_octyl_prefers_equatorial_and_its_estimate_says_what_is_missing() -> None:
    result = sampled(OCTYL, 90)
    assert result.conformers and result.comparison.preferred == "A"
    assert result.gaps.potential_kcal_mol is not None and result.gaps.potential_kcal_mol > 0.5
    assert result.estimate.gap_kcal_mol is None and not result.estimate.complete
    assert "missing-table-value" in {reason.code for reason in result.comparison.reasons}
    assert result.conformers[0].check.energy_difference_kcal_mol == pytest.approx(0.0, abs=1e-6)


def test_cyclohexyl_as_a_group_keeps_the_asked_ring_and_prefers_equatorial() -> None:
    result = treated("1 up C6H11")
    assert result.search.exhaustive
    assert result.search.new_in_last_round == 0
    assert len(lattice("1 up C6H11").variants[0]) >= 2  # the second ring joined equatorial or axial
    best = result.conformers[0]
    assert (best.chair, result.comparison.preferred) == ("A", "A")
    # Its A-value is that of isopropyl, branched alike (2.2; E. L. Eliel, S. H. Wilen, L. N. Mander 1994, from
    # memory), and so should MMFF94's be, right or wrong.
    assert result.gaps.gibbs_kcal_mol == pytest.approx(treated("1 up CH(CH3)2").gaps.gibbs_kcal_mol, abs=0.5)


def test_the_same_seed_gives_the_same_sample() -> None:
    one, other = sampled(OCTYL, 40), sampled.__wrapped__(OCTYL, 40)
    assert one.search == other.search
    assert [c.minimum.energy_kcal_mol for c in one.conformers] == [
        c.minimum.energy_kcal_mol for c in other.conformers
    ]
