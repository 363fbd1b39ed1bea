"""An estimate that lacks an A-value shows no number: what remains is the sum of the other groups."""

import io

from made_outcome import outcome
from rich.console import Console

from chairgap.cli.overview import OutcomeTable
from chairgap.report.headline import standing_words
from chairgap.report.overview import overview_rows
from chairgap.report.words import estimate_words
from pipeline_helpers import SETTINGS, treated


def test_no_number_looks_like_a_gap_where_an_a_value_is_missing() -> None:
    """The A-value of *CF is in no table; CH3 alone is worth 1.74."""
    result = treated("1 up *CF, 3 up CH3")
    assert result.estimate.gap_kcal_mol is not None  # what reasons and the split still need
    assert estimate_words(result) == "none, incomplete"
    assert result.estimate.shown_kcal_mol == (None, None, None)
    made = outcome(result)
    for width in (60, 80, 120):
        out = io.StringIO()
        Console(file=out, width=width).print(OutcomeTable(outcome=made, rows=overview_rows(made)))
        assert "1.74" not in out.getvalue() and result.molecule.name in out.getvalue()


def test_a_sum_that_lacks_a_pair_alone_is_shown_and_marked() -> None:
    result = treated("1 up CN, 3 up C#CH")
    assert not result.estimate.complete and result.estimate.gap_kcal_mol is not None
    assert estimate_words(result).endswith("), incomplete") and result.estimate.shown_kcal_mol[0] is not None


def test_beside_the_anchored_gap_no_remainder_stands_as_the_hand_sum() -> None:
    result = treated("1 up *CF, 3 up CH3")
    assert standing_words(result, SETTINGS).startswith("hand sum is incomplete, ")
