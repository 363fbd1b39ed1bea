"""The scorecard: its shipped numbers come out of the program again, and its sums are right."""

from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import rankdata

from chairgap.batch.executors import InProcess
from chairgap.batch.pool import Pool
from chairgap.cli.scorecard import scored_models
from chairgap.errors import InputError
from chairgap.files import OutputFolder
from chairgap.records import ScorecardRow
from chairgap.report.canvas import figure_bytes
from chairgap.report.model_scores import model_scores
from chairgap.scorecard.compute import run_scorecard
from chairgap.scorecard.plot import scorecard_figure
from chairgap.scorecard.tables import MODELS, SCORECARD
from chairgap.scorecard.write import write_scorecard
from chairgap.tables.scorecard import (
    mean_absolute_error_kcal_mol,
    mean_error_kcal_mol,
    parse_scorecard,
)
from chairgap.tables.shipped import read_scorecard
from machine import tblite
from pipeline_helpers import TABLE, TABLES, treated

SHIPPED = read_scorecard()
FORCE_FIELDS = scored_models("water", 298.15)
REBUILT = ("CH3", "Cl", "OH", "CHO", "C#CH")


def row(group: str, a_value: float, gibbs: float | None, model: str = "M") -> ScorecardRow:
    return ScorecardRow(
        model=model,
        group=group,
        fragment=f"*{group}",
        temperature_k=298.15,
        potential_kcal_mol=None if gibbs is None else gibbs - 0.2,
        ensemble_kcal_mol=gibbs,
        gibbs_kcal_mol=gibbs,
        a_value_kcal_mol=a_value,
        a_value_low_kcal_mol=a_value - 0.1,
        a_value_high_kcal_mol=a_value + 0.2,
        note="" if gibbs is not None else "no parameters",
    )


MADE = (row("a", 1.0, 1.5), row("b", 2.0, 1.0), row("c", 0.5, -0.3), row("d", 3.0, None), row("e", 0.0, 0.4))


def test_scores_by_hand() -> None:
    """Errors +0.5, -1.0, -0.8, +0.4; ranks of the A-values 3 4 2 1, of the gaps 4 3 1 2."""
    (score,) = model_scores(MADE)
    assert (score.groups, score.without_gap) == (4, 1)
    assert score.mean_absolute_error_kcal_mol == pytest.approx(2.7 / 4)
    assert score.bias_kcal_mol == pytest.approx(-0.9 / 4)
    assert score.potential_mean_absolute_error_kcal_mol == pytest.approx((0.3 + 1.2 + 1.0 + 0.2) / 4)
    # 1 - 6 sum d^2 / (n (n^2 - 1)) with d = 1, 1, 1, 1
    assert score.rank_correlation == pytest.approx(1.0 - 6.0 * 4.0 / (4.0 * 15.0))
    assert score.wrong == ("c",), "a group whose A-value is zero has no sign to be wrong in"


def test_common_groups_are_those_that_every_model_has() -> None:
    other = (row("a", 1.0, 1.1, "N"), row("b", 2.0, None, "N"), row("c", 0.5, 0.7, "N"))
    one, two = model_scores((*MADE, *other))
    assert one.common_mean_absolute_error_kcal_mol == pytest.approx((0.5 + 0.8 + 0.4) / 3)
    assert two.common_mean_absolute_error_kcal_mol == pytest.approx((0.1 + 0.2) / 2)


def test_rank_correlation_of_the_shipped_rows_by_ranks() -> None:
    for score in model_scores(SHIPPED):
        known = [row for row in SHIPPED if row.model == score.model and row.gibbs_kcal_mol is not None]
        ranks = [rankdata([row.a_value_kcal_mol for row in known])]
        ranks.append(rankdata([row.gibbs_kcal_mol for row in known]))
        assert score.rank_correlation == pytest.approx(np.corrcoef(ranks)[0, 1], abs=1e-12)


def test_a_model_without_any_gap_has_no_score() -> None:
    with pytest.raises(ValueError, match="has no gap"):
        model_scores([row("d", 3.0, None)])


def test_shipped_scorecard_speaks_of_the_shipped_table() -> None:
    """Every model has every group once, in the order of the table, with the table's own values."""
    models = dict.fromkeys(row.model for row in SHIPPED)
    assert list(models)[:4] == ["MMFF94", "MMFF94s", "UFF", "MMFF94 in water"]
    for model in models:
        rows = [row for row in SHIPPED if row.model == model]
        assert [row.group for row in rows] == [a_value.group for a_value in TABLE.a_values], model
        for found, a_value in zip(rows, TABLE.a_values, strict=True):
            assert found.a_value_kcal_mol == a_value.value_kcal_mol
            assert (found.a_value_low_kcal_mol, found.a_value_high_kcal_mol) == (
                a_value.low_kcal_mol,
                a_value.high_kcal_mol,
            )
            assert (found.gibbs_kcal_mol is None) == bool(found.note), (model, found.group)


def test_at_least_forty_groups_with_at_least_four_models() -> None:
    scores = model_scores(SHIPPED)
    assert len(scores) >= 4
    assert all(score.groups >= 40 for score in scores)


@pytest.mark.parametrize("group", REBUILT)
def test_shipped_numbers_come_out_again(group: str) -> None:
    chosen = [a_value for a_value in TABLE.a_values if a_value.group == group]
    found = run_scorecard(TABLES, FORCE_FIELDS, chosen, executor=InProcess(), progress=lambda *_: None)
    shipped = {(row.model, row.group): row for row in SHIPPED}
    assert [row.model for row in found] == [model.model for model in FORCE_FIELDS]
    for new in found:
        old = shipped[new.model, group]
        kinds = ("potential_kcal_mol", "ensemble_kcal_mol", "gibbs_kcal_mol")
        # The file has four decimals; another version of RDKit or OpenMM may move the last of them.
        for kind in kinds:
            assert getattr(new, kind) == pytest.approx(getattr(old, kind), abs=2e-4), (new.model, kind)


def test_scorecard_and_study_give_the_same_gap() -> None:
    """A study by default has a wider window and more starts; for these groups that moves nothing."""
    shipped = {row.group: row.gibbs_kcal_mol for row in SHIPPED if row.model == "MMFF94"}
    for group in REBUILT:
        assert treated(f"1 up {group}").gaps.gibbs_kcal_mol == pytest.approx(shipped[group], abs=1e-3)


@pytest.mark.long
def test_quantum_rows_come_out_again() -> None:
    """GFN2-xTB at the minima of MMFF94; the shipped row was made by another run of the same version."""
    tblite()
    *_, quantum = scored_models("water", 298.15, "GFN2-xTB")
    shipped = {row.group: row for row in SHIPPED if row.model == "GFN2-xTB"}
    chosen = [a_value for a_value in TABLE.a_values if a_value.group in ("Cl", "C#CH", "C6H11")]
    found = {
        row.group: row
        for row in run_scorecard(TABLES, [quantum], chosen, executor=InProcess(), progress=lambda *_: None)
    }
    for group in ("Cl", "C#CH"):
        assert found[group].gibbs_kcal_mol == pytest.approx(shipped[group].gibbs_kcal_mol, abs=2e-3)
        assert found[group].sign == "right", "where MMFF94 is wrong"
    assert found["C6H11"].gibbs_kcal_mol is None and "more than 28 atoms" in found["C6H11"].note


@pytest.mark.long
def test_two_workers_give_what_one_gives() -> None:
    chosen = [a_value for a_value in TABLE.a_values if a_value.group in ("CH3", "Cl", "F")]
    with closing(Pool(workers=2, memory_mb=4000)) as pool:
        one, two = (
            run_scorecard(TABLES, FORCE_FIELDS[:3], chosen, executor=executor, progress=lambda *_: None)
            for executor in (InProcess(), pool)
        )
    assert SCORECARD.csv_text(one) == SCORECARD.csv_text(two)


def test_a_group_without_parameters_is_reported_and_the_others_go_on() -> None:
    chosen = [a_value for a_value in TABLE.a_values if a_value.group in ("CH3", "Sn(CH3)3")]
    rows = run_scorecard(TABLES, FORCE_FIELDS[:1], chosen, executor=InProcess(), progress=lambda *_: None)
    found = {row.group: row for row in rows}
    assert found["CH3"].gibbs_kcal_mol is not None and found["CH3"].note == ""
    assert found["Sn(CH3)3"].gibbs_kcal_mol is None
    assert "MMFF94 has no parameters" in found["Sn(CH3)3"].note


def test_csv_and_back() -> None:
    rows, problems = parse_scorecard(SCORECARD.csv_text(MADE), "scorecard.csv")
    assert not problems
    assert rows == MADE


def test_a_broken_row_is_reported_with_row_and_field() -> None:
    text = SCORECARD.csv_text(MADE).replace("M,b,*b,298.15,0.8000", "M,b,*b,298.15,low")
    rows, (problem,) = parse_scorecard(text, "scorecard.csv")
    assert [row.group for row in rows] == ["a", "c", "d", "e"]
    assert problem.place.row == 3 and problem.place.field.startswith("potential_gap")


def test_mean_error_falls_back_on_the_method_and_says_when_there_is_none() -> None:
    acetone, water, gas = (
        mean_error_kcal_mol(SHIPPED, model, "MMFF94")
        for model in ("MMFF94 in acetone", "MMFF94 in water", "MMFF94")
    )
    assert acetone == gas != water
    assert mean_absolute_error_kcal_mol(MADE, "M") == pytest.approx(2.7 / 4)
    with pytest.raises(InputError, match="no model ABC"):
        mean_error_kcal_mol(SHIPPED, "ABC", "ABC")


def test_files_are_written_and_the_plot_shows_every_group(tmp_path: Path) -> None:
    paths = write_scorecard(MADE, OutputFolder(path=tmp_path / "new", command="scorecard"))
    assert [path.name for path in paths] == [
        "scorecard.csv",
        "scorecard_models.csv",
        "scorecard.svg",
        "scorecard.png",
    ]
    assert all(path.stat().st_size > 100 for path in paths)
    assert (
        MODELS.csv_text(MADE)
        .splitlines()[1]
        .startswith("M,4,1,0.6750,0.6750,3,0.5667,1,1.0000,-0.2250,0.6750,0.6,1,c")
    )


def test_the_same_rows_give_the_same_picture() -> None:
    first, second = (figure_bytes(scorecard_figure(MADE), "svg") for _ in range(2))
    assert first == second


def test_points_stand_where_the_numbers_say() -> None:
    (panel,) = scorecard_figure(MADE).get_axes()
    points = {tuple(point) for line in panel.containers for point in line[0].get_xydata().tolist()}
    assert points == {(1.0, 1.5), (2.0, 1.0), (0.5, -0.3), (0.0, 0.4)}
    diagonal = panel.get_lines()[0]
    assert np.array_equal(diagonal.get_xdata(), diagonal.get_ydata()), "the 1:1 line"


def test_no_sign_is_reported_where_there_is_none() -> None:
    assert [item.sign for item in MADE] == ["right", "right", "wrong", "", ""]
    assert replace(MADE[0], gibbs_kcal_mol=-0.01).sign == "wrong"
