"""A column is one line: what is added there is seen in CSV, in Parquet, in a frame and on the page."""

import csv
from dataclasses import replace
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from made_outcome import outcome
from test_report_write import built_outcome

from chairgap import StudyResult
from chairgap.report.columns import gap, number, text, whole, yes_or_no
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.study_output.write import write_outcome

ADDED = {
    "ring_strain_kcal_mol_positive_strained": (
        number(
            "ring_strain",
            "kcal_mol",
            lambda row: 1.23456,
            sign="positive_strained",
            label="Ring strain, kcal/mol",
        ),
        "1.2346",
        pa.float64(),
        1.2346,
        "float64",
    ),
    "strain_gap_B_minus_A_kcal_mol_positive_favours_A": (
        gap("strain", lambda row: -0.00001, label="Strain gap, kcal/mol"),
        "0.0000",
        pa.float64(),
        0.0,
        "float64",
    ),
    "letters_counted_by_hand": (whole("letters_counted_by_hand", lambda row: 7), "7", pa.int64(), 7, "Int64"),
    "checked_by_hand": (yes_or_no("checked_by_hand", lambda row: False), "no", pa.bool_(), False, "boolean"),
    "remark_by_hand": (
        text("remark_by_hand", lambda row: '=a, "b"'),
        """'=a, "b\"""",
        pa.string(),
        '=a, "b"',
        "object",
    ),
}


@pytest.fixture(params=ADDED)
def added(request, monkeypatch):
    """The header of a column that is added to gaps.csv, and what it should give."""
    column, *expected = ADDED[request.param]
    gaps = STUDY_TABLES["gaps"]
    monkeypatch.setitem(STUDY_TABLES, "gaps", replace(gaps, columns=(*gaps.columns, column)))
    return request.param, column, *expected


def test_a_column_added_to_a_table_is_everywhere(added, tmp_path: Path) -> None:
    header, column, cell, kind, value, dtype = added
    base = built_outcome()
    settings = replace(base.study.settings, parquet=True)
    write_outcome(replace(base, study=replace(base.study, settings=settings)), tmp_path, wall_seconds=1.0)

    with (tmp_path / "gaps.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert list(rows[0])[-1] == header
    assert {row[header] for row in rows} == {cell}

    table = pq.read_table(tmp_path / "gaps.parquet")
    assert table.schema.field(header).type == kind
    assert table[header].to_pylist()[0] == value

    assert StudyResult(_outcome=outcome()).to_frame()[header].dtype == dtype

    page = (tmp_path / "page.html").read_text()
    label = {
        "ring_strain": "Ring strain, kcal/mol",
        "strain_gap_B_minus_A": "Strain gap, B\u00a0\u2212\u2060\u00a0A, kcal/mol",
    }
    if column.name in label:
        assert page.count(f"<span>{label[column.name]}</span>") == 1
        assert page.count(f'data-key="{column.value(None)}"') == len(base.results)
    else:
        assert not column.label and column.name not in page


@pytest.mark.parametrize("name", STUDY_TABLES)
def test_no_two_columns_have_one_header(name: str) -> None:
    headers = STUDY_TABLES[name].headers
    assert len(set(headers)) == len(headers)
