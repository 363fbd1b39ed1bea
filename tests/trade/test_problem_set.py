"""The problem set of configs/problem_set.toml: most of fifteen ordinary molecules get a decided answer.

Which molecules an ordinary problem set has is common practice, no source. No value is compared here: only
whether the anchored gap lies beyond its uncertainty. The molecules were chosen before the first run.
"""

from functools import cache
from pathlib import Path

import pytest
from threadpoolctl import threadpool_limits

from chairgap.records import Outcome
from chairgap.run import run_study
from chairgap.study.reading import read_study

STUDY = Path(__file__).resolve().parents[2] / "configs" / "problem_set.toml"
DECIDED_AT_LEAST = 12

# Both tests look at one run.
pytestmark = pytest.mark.xdist_group("problem set")


@cache
def outcome() -> Outcome:
    with threadpool_limits(1):
        return run_study(read_study(STUDY), progress=lambda state: None)


def test_every_molecule_is_treated_and_has_an_answer_with_its_uncertainty() -> None:
    found = outcome()
    assert len(found.results) == 15 and not found.refused and not found.failed
    for result in found.results:
        headline = result.headline
        assert headline.gap_kcal_mol is not None, result.molecule.name
        assert headline.uncertainty_kcal_mol > 0.0, result.molecule.name
        assert headline.chair in ("A", "B", "undecided"), result.molecule.name
        assert "not comparable" not in (headline.hand_sum, headline.model), result.molecule.name


def test_at_least_twelve_are_decided_beyond_their_uncertainty() -> None:
    decided = [result for result in outcome().results if result.headline.chair in ("A", "B")]
    for result in decided:
        assert abs(result.headline.gap_kcal_mol or 0.0) > result.headline.uncertainty_kcal_mol
    assert len(decided) >= DECIDED_AT_LEAST
