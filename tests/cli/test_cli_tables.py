"""`chairgap tables`: what is shown, and what is wrong with a table of one's own."""

from pathlib import Path


def test_tables_are_shown_and_checked(chairgap) -> None:
    code, out, err = chairgap("tables")
    assert (code, err) == (0, "")
    assert "+1.74 (1.70 to 1.82)" in out and "Shipped tables: chairgap, textbook." in out
    assert chairgap("tables", "textbook", "--check")[1].startswith("Table 'textbook' is sound: ")
    assert "10.1039/P29800000255" in chairgap("tables", "--sources")[1]
    assert "A-value" in chairgap("tables", "--group", "methyl")[1]


def test_an_own_table_is_checked_row_by_row(chairgap, tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("group,fragment,value_kcal_mol\nCH3,*C,1.7\n")
    assert chairgap("tables", "own.csv", "--check")[0] == 0
    (tmp_path / "own.csv").write_text("group,fragment,value_kcal_mol\nCH3,*C,much\nOH,O,0.9\n")
    code, out, err = chairgap("tables", "own.csv", "--check")
    assert (code, out) == (2, "")
    first, second = err.splitlines()
    assert first.startswith("Error: own.csv, row 2, column value_kcal_mol: ")
    assert second.startswith("Error: own.csv, row 3, column fragment: ")


def test_an_unknown_group_or_table_gets_a_hint(chairgap) -> None:
    assert chairgap("tables", "--group", "metoxy")[2] == (
        "Error: The table 'chairgap' has no group 'metoxy'. Did you mean 'methoxy' or 'ethoxy' or 'acetoxy'? "
        "'chairgap tables' lists all groups of a table.\n"
    )
    assert "Did you mean 'textbook'?" in chairgap("tables", "textbok")[2]
