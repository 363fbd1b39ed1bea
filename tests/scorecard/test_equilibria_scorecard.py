"""The scorecard of published equilibria: shipped numbers come out again, through the real command too."""

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from chairgap.batch.executors import InProcess
from chairgap.cli import equilibria as command
from chairgap.cli.app import app
from chairgap.compare.equilibria import GAS_LIKE, equilibrium_errors
from chairgap.files.reading import read_text
from chairgap.records import Equilibrium, EquilibriumScore, Tables
from chairgap.report.canvas import figure_bytes
from chairgap.scorecard.equilibria import run_equilibria
from chairgap.scorecard.equilibria_plot import equilibria_figure
from chairgap.scorecard.tables import EQUILIBRIA, PAIR_SPREADS
from chairgap.scorecard.write import EQUILIBRIA_FILES
from chairgap.tables.shipped import TableReader

READER = TableReader()
TABLES = replace(READER.tables("chairgap"), estimate=READER.whole_table("chairgap"))
BY_KEY = {row.key: row for row in TABLES.equilibria}
DATA = Path(__file__).resolve().parents[2] / "data"
MODELS = ("hand sum, incomplete", "MMFF94", "anchored, MMFF94 pairs", "anchored, MP2/def2-TZVP pairs")
MODEL_GAP = "model_gap_B_minus_A_kcal_mol_positive_favours_A"


def scored(*keys: str, tables: Tables = TABLES) -> tuple[EquilibriumScore, ...]:
    rows = [BY_KEY[key] for key in keys]
    media = command.published_media(READER, rows)
    return run_equilibria(tables, rows, media, "none", executor=InProcess(), progress=lambda _: None)


def csv_rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def shipped() -> dict[tuple[str, str], dict[str, str]]:
    rows = csv_rows(read_text(DATA / "equilibria_scorecard.csv", at_most_mb=5))
    return {(row["key"], row["model"]): row for row in rows}


def test_shipped_numbers_come_out_again_in_the_gas_phase() -> None:
    keys = ("freitas_2005_f2_vapour", "freitas_2005_cl2_ccl4")
    old = shipped()
    new = csv_rows(EQUILIBRIA.csv_text(scored(*keys)))
    assert [(row["key"], row["model"]) for row in new] == [(key, model) for key in keys for model in MODELS]
    for row in new:
        was = old[row["key"], row["model"]]
        for name, cell in row.items():
            if name in (MODEL_GAP, "model_minus_published_kcal_mol"):
                # The file has four decimals; another version of the libraries may move the last of them.
                assert float(cell) == pytest.approx(float(was[name]), abs=3e-4), (row["key"], name)
            else:
                assert cell == was[name], (row["key"], name)


def test_derived_pair_terms_stay_out_of_the_hand_sum() -> None:
    """cis-1,3-diol in tetrachloromethane: the table has a derived syn-diaxial OH/OH, made from this row."""
    assert any(row.known == "derived" for row in TABLES.estimate.interactions)
    hand, *_ = scored("abraham_1993_diol_ccl4")
    assert (hand.model, hand.note) == ("hand sum, incomplete", "without syn-diaxial OH/OH")
    # A(OH) free in tetrachloromethane is 0.70 (Abraham 1993), two of them.
    assert hand.gap_kcal_mol == pytest.approx(1.40)


def test_a_pair_that_is_not_shipped_gives_no_gap_with_shipped_pairs() -> None:
    without = tuple(row for row in TABLES.pairs if {row.group_1, row.group_2} != {"F"})
    *_, last = scored("freitas_2005_f2_ccl4", tables=replace(TABLES, pairs=without))
    assert (last.model, last.gap_kcal_mol) == (MODELS[-1], None)
    assert last.note == "no pair of F/F is shipped"


def test_a_shipped_pair_of_a_group_without_a_value_goes_by_its_fragment() -> None:
    """cis-1,3-OH/propoxy: what is measured of OH, computed of propoxy alone, and the shipped pair."""
    scores = {score.model: score for score in scored("de_oliveira_2008_propoxy_ccl4")}
    last = scores[MODELS[-1]]
    (pair,) = [row for row in TABLES.pairs if row.group_2 == "*OCCC"]
    assert last.gap_kcal_mol is not None and last.note == ""
    # A(OH) in tetrachloromethane is 0.70; what is left is propoxy alone by MMFF94, like other alkoxy groups.
    assert 0.2 < last.gap_kcal_mol - 0.70 - pair.value_kcal_mol < 1.0


def test_shipped_pair_stands_on_measured_a_values() -> None:
    """1,2-difluoride: 2 x 0.28 - 0.593 = -0.033, with the pair of data/pair_interactions.csv."""
    *_, last = scored("freitas_2005_f2_vapour")
    assert last.gap_kcal_mol == pytest.approx(2 * 0.28 - 0.593, abs=1e-9)


def test_numbering_and_mirror_image_do_not_matter() -> None:
    plain = BY_KEY["wiberg_2000_methyl_phenyl"]
    mirrored = replace(
        plain, groups=((4, "down", "*C"), (4, "up", "*c1ccccc1")), odd_up_axial=plain.odd_up_axial
    )
    # Exchanging faces and moving to an even carbon leaves methyl equatorial in the chair that is meant.
    runs = [
        run_equilibria(TABLES, [row], {}, "none", executor=InProcess(), progress=lambda _: None)
        for row in (plain, mirrored)
    ]
    for one, other in zip(*runs, strict=True):
        assert other.published.gap_kcal_mol == one.published.gap_kcal_mol
        assert other.gap_kcal_mol == pytest.approx(one.gap_kcal_mol, abs=1e-4), one.model


def test_shipped_scorecard_speaks_of_the_shipped_table() -> None:
    keys = [key for key, model in shipped() if model == "MMFF94"]
    assert keys == list(BY_KEY)


def test_shipped_spreads_follow_from_the_shipped_scorecard() -> None:
    """Root mean squares of the shipped deviations, made here again from the text of the file."""
    found: dict[tuple[str, str, str], list[float]] = {}
    for (key, model), row in shipped().items():
        equilibrium = BY_KEY[key]
        method = model.removeprefix("anchored, ").removesuffix(" pairs")
        saturated = equilibrium.kind == "percent" and not 5.0 < (equilibrium.value or 50.0) < 95.0
        usable = row["counted"] == "yes" and equilibrium.medium_class in GAS_LIKE and not saturated
        if method != model and usable:
            carbons = sorted(carbon for carbon, *_ in equilibrium.groups)
            apart = (carbons[1] - carbons[0]) % 6
            relation = {0: "geminal", 1: "1,2", 2: "1,3", 3: "1,4"}[min(apart, 6 - apart)]
            found.setdefault((method, relation, ""), []).append(float(row["model_minus_published_kcal_mol"]))
    for method in {method for method, *_ in found}:
        spreads = [row for row in TABLES.spreads if row.method == method]
        everything = [value for (name, *_), values in found.items() if name == method for value in values]
        assert sum(row.values for row in spreads) == len(everything)
        for relation in {row.relation for row in spreads}:
            values = found.get((method, relation, ""), [])
            rows = [row for row in spreads if row.relation == relation]
            assert sum(row.values for row in rows) == len(values)
            if all(row.values >= 3 for row in rows):
                seen = sum(row.values * row.spread_kcal_mol**2 for row in rows)
                assert seen == pytest.approx(sum(value**2 for value in values), abs=2e-3), (method, relation)


def test_plot_has_the_same_bytes_twice() -> None:
    scores = scored("freitas_2005_f2_vapour")
    assert figure_bytes(equilibria_figure(scores), "svg") == figure_bytes(equilibria_figure(scores), "svg")


def test_options_that_have_no_meaning_are_refused(tmp_path: Path) -> None:
    for option in (["--group", "F"], ["--solvent", "dmso"], ["--temperature", "300"]):
        result = CliRunner().invoke(app, ["scorecard", str(tmp_path / "out"), "--equilibria", *option])
        assert result.exit_code != 0
        assert option[0] in str(result.exception) + result.output
    assert not (tmp_path / "out").exists()


class _TwoRows(TableReader):
    """The shipped tables, with two of the equilibria: one in the gas phase, one in a solvent."""

    @property
    def equilibria(self) -> tuple[Equilibrium, ...]:  # type: ignore[override]
        return (BY_KEY["freitas_2005_cl2_vapour"], BY_KEY["freitas_2005_f2_dmso"])


@pytest.mark.long
def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "TableReader", _TwoRows)
    folder = tmp_path / "card"
    result = CliRunner().invoke(
        app, ["scorecard", str(folder), "--equilibria", "--workers", "1"], catch_exceptions=False
    )
    assert result.exit_code == 0
    assert {path.name for path in folder.iterdir()} >= set(EQUILIBRIA_FILES)
    old = shipped()
    rows = csv_rows((folder / "equilibria_scorecard.csv").read_text(encoding="utf-8"))
    assert len(rows) == 8
    for row in rows:
        was = old[row["key"], row["model"]][MODEL_GAP]
        assert bool(row[MODEL_GAP]) == bool(was)
        if was:
            assert float(row[MODEL_GAP]) == pytest.approx(float(was), abs=1e-3), (row["key"], row["model"])
    assert "gas:" in result.output
    assert "polar:" in result.output
    assert "all media:" in result.output


def test_spread_table_is_what_the_reader_takes() -> None:
    from chairgap.tables.pairs import parse_spreads

    scores = scored("freitas_2005_f2_vapour", "freitas_2005_cl2_vapour")
    spreads, problems = parse_spreads(PAIR_SPREADS.csv_text(scores), "pair_spread.csv")
    assert not problems
    seen = [(row.method, row.relation, row.values) for row in spreads if row.values]
    assert seen == [("MMFF94", "1,2", 2), ("MP2/def2-TZVP", "1,2", 2)]
    # Every kind of pair has a spread: that of all values where none of the kind was seen.
    assert len(spreads) == 16 and all(row.spread_kcal_mol > 0.0 for row in spreads)
    errors = {row.model: row for row in equilibrium_errors(scores) if row.medium_class == "gas"}
    assert errors[MODELS[1]].values == 2
