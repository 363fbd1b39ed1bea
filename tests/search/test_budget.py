"""Flexible groups through the whole pipeline: the search ends within its budget and says what it did."""

import math
from dataclasses import replace
from functools import cache

import pytest
from threadpoolctl import threadpool_limits

from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.model.assessment import assess
from chairgap.molecule.agreed import agreed
from chairgap.molecule.build import open_molecule
from chairgap.records import Computation, Result, SearchSettings
from chairgap.report.digest import notes, unfinished_search
from chairgap.run import treat
from chairgap.search.explore import CHAIRS, explore
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


def test_what_the_end_of_the_budget_still_brought_is_said_and_widens_the_uncertainty() -> None:
    """By the rule of `late_shift_kcal_mol`: octyl has no A-value, so the anchored gap is the computed one,
    and both uncertainties grow by the shift, as independent errors."""
    result = sampled(OCTYL, 90)
    shift = result.late_shift_kcal_mol
    assert shift > 0.0
    rested = replace(result.search, new_in_last_round=0)
    computed = Computation(
        molecule=result.molecule,
        chairs=result.chairs,
        conformers=result.conformers,
        search=rested,
        gaps=result.gaps,
    )
    at_rest = assess(computed, (), lambda _: None, TABLES, SETTINGS)
    pairs = [
        (result.anchored.uncertainty_kcal_mol, at_rest.anchored.uncertainty_kcal_mol),
        (_half_range(result), _half_range(at_rest)),
    ]
    for widened, without in pairs:
        assert widened == pytest.approx(math.hypot(without, shift))
    assert "its last round still found" in unfinished_search(result) and unfinished_search(at_rest) == ""
    assert unfinished_search(result) in notes(result)


def _half_range(result: Result) -> float:
    low, high = result.comparison.computed_low_kcal_mol, result.comparison.computed_high_kcal_mol
    assert low is not None and high is not None
    return 0.5 * (high - low)


@pytest.mark.long
def test_the_rotors_of_the_lowest_minima_are_turned_before_the_budget_is_spent() -> None:
    """Standard effort missed it by 0.54 kcal/mol: the lowest minima of octyl, 0.226 (equatorial) and 1.674
    (axial), are those of a scan over all states of its chain, each minimised (MMFF94, RDKit)."""
    built = agreed(molecule(OCTYL)).molecule
    search = SearchSettings(effort="quick", most_starts=600)
    found, report = explore(lattice(OCTYL), rdkit_model(open_molecule(built), "MMFF94"), search)
    lowest = [min(item.energy_kcal_mol for item in found if item.form == chair) for chair in CHAIRS]
    assert sorted(lowest) == pytest.approx([0.226, 1.674], abs=1e-3)
    assert not report.exhaustive


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
