"""Studies too large to be read molecule by molecule: counts instead of sections, Parquet beside CSV."""

import io
import sys
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pytest
from made_outcome import outcome, result
from rich.console import Console
from test_report_write import built_outcome

from chairgap.cli.overview import TallyTable
from chairgap.errors import InputError
from chairgap.files import RECORD
from chairgap.records import Outcome
from chairgap.report.by_molecule import by_molecule, joined
from chairgap.report.citations import Cited, cited_of
from chairgap.report.columns import Table, number
from chairgap.report.overview import Overview, overview_rows
from chairgap.report.parquet import ParquetFile
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.tally import MOST_NAMED, Tally, merged, tally_of
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study_output.pieces import MOST_IN_FULL, OutputOptions, pieces_of
from chairgap.study_output.write import FILES, PARQUET_FILES, parquet_note, write_outcome
from chairgap.text import typeset
from texts_written import texts_written


def large(count: int = MOST_IN_FULL + 1) -> Outcome:
    """The made-up molecule so many times, under names of their own."""
    base = built_outcome()
    (first, *_) = base.results
    molecules = (replace(first.molecule, name=f"made {n}") for n in range(count))
    return replace(base, results=tuple(replace(first, molecule=molecule) for molecule in molecules))


def test_pieces_put_one_behind_the_other_are_the_whole() -> None:
    whole = large(7)
    parts = [
        replace(whole, results=whole.results[:3], refused=(), failed=()),
        replace(whole, results=whole.results[3:], refused=(), failed=()),
        replace(whole, results=()),
    ]
    wanted = OutputOptions(parquet=False, molecules=7)
    pieces = [pieces_of(part, wanted, first=1 + 3 * n) for n, part in enumerate(parts)]
    texts = texts_written(whole)
    for name, text in texts.items():
        if name.endswith(".csv"):
            assert text.endswith("".join(piece.texts[name] for piece in pieces)), name
    assert texts["conformers.sdf"].encode() == b"".join(piece.structures for piece in pieces)
    assert joined(piece.report for piece in pieces) == by_molecule(whole, alone=False)
    assert sum((piece.overview for piece in pieces), Overview()) == Overview(
        tally=tally_of(whole), rows=overview_rows(whole)
    )
    assert sum((piece.cited for piece in pieces), Cited()) == cited_of(whole)


@pytest.mark.parametrize(
    ("count", "files"),
    [
        pytest.param(MOST_IN_FULL, FILES, marks=pytest.mark.long),
        (MOST_IN_FULL + 1, (*FILES, *PARQUET_FILES)),
    ],
)
def test_parquet_is_written_for_large_studies(tmp_path: Path, count: int, files: tuple[str, ...]) -> None:
    paths, _ = write_outcome(large(count), tmp_path, wall_seconds=1.0)
    assert sorted(path.name for path in paths) == sorted(files)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*files, RECORD])


@pytest.mark.parametrize("wanted", [True, False])
def test_a_study_can_say_whether_it_wants_parquet(tmp_path: Path, wanted: bool) -> None:
    base = built_outcome()
    settings = replace(base.study.settings, parquet=wanted)
    paths, _ = write_outcome(
        replace(base, study=replace(base.study, settings=settings)), tmp_path, wall_seconds=1.0
    )
    assert {path.name for path in paths} == {*FILES, *(PARQUET_FILES if wanted else ())}


def test_parquet_asked_for_without_its_library_is_refused_before_anything(tmp_path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    study = replace(
        built_outcome().study, settings=replace(built_outcome().study.settings, parquet=True), file="s.toml"
    )
    with (
        pytest.raises(
            InputError, match=r"s\.toml, field 'output\.parquet': .*pip install 'chairgap\[parquet\]'"
        ),
        ran_in_folder(study, tmp_path / "out", RunOptions(workers=0)),
    ):
        pass
    assert not (tmp_path / "out").exists()


@pytest.mark.long
def test_a_large_study_without_the_library_is_written_as_csv_with_a_note(tmp_path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    monkeypatch.delitem(sys.modules, "chairgap.report.parquet", raising=False)
    made = large()
    paths, _ = write_outcome(made, tmp_path, wall_seconds=1.0)
    assert {path.name for path in paths} == set(FILES)
    assert "pip install 'chairgap[parquet]'" in parquet_note(made)
    assert not parquet_note(built_outcome())


def test_no_note_where_the_library_is_there_or_parquet_is_not_asked_for() -> None:
    made = large()
    assert not parquet_note(made)
    settings = replace(made.study.settings, parquet=False)
    assert not parquet_note(replace(made, study=replace(made.study, settings=settings)))


@pytest.mark.long
def test_parquet_files_of_an_earlier_run_do_not_stay_behind(tmp_path: Path) -> None:
    write_outcome(large(), tmp_path, wall_seconds=1.0)
    write_outcome(built_outcome(), tmp_path, wall_seconds=1.0)
    assert not list(tmp_path.glob("*.parquet"))


@pytest.mark.parametrize("name", STUDY_TABLES)
def test_parquet_holds_what_csv_holds(tmp_path: Path, name: str) -> None:
    """Read back by pandas, both: the same rows, and the same numbers to the last written digit."""
    base = built_outcome()
    settings = replace(base.study.settings, parquet=True)
    made = replace(base, study=replace(base.study, settings=settings))
    write_outcome(made, tmp_path, wall_seconds=1.0)
    table = pd.read_parquet(tmp_path / f"{name}.parquet")
    text = pd.read_csv(tmp_path / f"{name}.csv", keep_default_na=False, dtype=str)
    assert list(table.columns) == list(text.columns) and len(table) == len(text)
    for header in table.columns:
        for typed, written in zip(table[header], text[header], strict=True):
            if pd.isna(typed):
                assert written == ""
            elif isinstance(typed, bool):
                assert written == ("yes" if typed else "no")
            elif isinstance(typed, float):
                assert float(written) == typed, header
            else:
                assert written.lstrip("'") == str(typed).lstrip("'"), header


def test_a_cell_of_another_kind_than_its_column_is_no_column_of_text(tmp_path: Path) -> None:
    table: Table[None, str] = Table(
        rows=lambda _: ["high"],
        columns=(number("gibbs_energy", "kcal_mol", lambda row: row),),  # type: ignore
    )
    file = ParquetFile(tmp_path / "made.parquet", table)
    with pytest.raises((pa.ArrowException, ValueError)):
        file.append(table.rounded(table.cells(None)))
    file.close()


def test_the_report_of_a_large_study_counts_and_points(tmp_path: Path) -> None:
    write_outcome(large(), tmp_path, wall_seconds=1.0)
    text = (tmp_path / "report.md").read_text()
    assert (
        f"{MOST_IN_FULL + 1} molecules treated, with {2 * (MOST_IN_FULL + 1)} conformers; 1 refused" in text
    )
    assert "made 7" not in text.partition("## The largest disagreements")[0]
    assert "- [gaps.csv](gaps.csv)" in text and "- [gaps.parquet](gaps.parquet)" in text
    assert "A computed preference is not an instruction for the laboratory." in text
    assert "## How to cite, and sources" in text


def test_the_largest_disagreements_come_first_and_are_bounded() -> None:
    base = result()
    results = [
        replace(
            base,
            molecule=replace(base.molecule, name=f"off by {n}"),
            headline=replace(base.headline, model="differs"),
            gaps=replace(base.gaps, gibbs_kcal_mol=1.74 + (-1) ** n * float(n)),
        )
        for n in range(60)
    ]
    tally = tally_of(replace(outcome(), results=tuple(results)))
    assert [item.name for item in tally.largest] == [f"off by {59 - n}" for n in range(MOST_NAMED)]
    assert sum(count for _, count in tally.verdicts) == tally.molecules == 60


def test_nothing_adds_up_to_nothing() -> None:
    assert merged(()) == Tally()


def test_the_terminal_shows_counts_of_a_large_study() -> None:
    made = large(250)
    console = Console(width=100, file=io.StringIO(), color_system=None)
    console.print(TallyTable(outcome=made, tally=tally_of(made)))
    shown = console.file.getvalue()
    assert "250 molecules" in shown and "100.0" in shown and "made 7" not in shown
    assert typeset("gap = G(chair B) - G(chair A); positive means that chair A is preferred.") in shown
