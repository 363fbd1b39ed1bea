"""Bad tables: the exact text a user reads, and that every problem of a table is told at once."""

from pathlib import Path

import pytest

from chairgap.errors import InputError, StudyError
from chairgap.tables.a_values import parse_a_values
from chairgap.tables.interactions import parse_interactions
from chairgap.tables.shipped import read_estimate_table
from chairgap.tables.sources import parse_sources

HEAD = "group,fragment,value_kcal_mol"
PAIRS = "kind,group_1,group_2,form,value_kcal_mol"
ENERGY = "Write G(axial) - G(equatorial) in kcal/mol with a decimal point, for example 1.74."
ONE_STAR = "Write exactly one, where the ring carbon is, for example *OC."
CELLS = "Put double quotes around a cell that holds a comma, and give every column a cell."
AS_UTF8 = "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again."
COLUMNS = (
    "Rename or remove it; the columns are group, names, fragment, value_kcal_mol, low_kcal_mol, "
    "high_kcal_mol, temperature_k, medium, solvent, method, source, known, note."
)

BAD_TABLES: dict[str, tuple[bytes, str]] = {
    "empty": (
        b"",
        ": The file is empty. Write the columns group, fragment, value_kcal_mol, and one row per entry.",
    ),
    "blank": (
        b"\n , \n",
        ": The file is empty. Write the columns group, fragment, value_kcal_mol, and one row per entry.",
    ),
    "header only": (
        HEAD.encode(),
        ", row 1: There is a header but no row below it. Write one row per entry.",
    ),
    "latin-1": (
        f"{HEAD}\nMé,*C,1.8\n".encode("latin-1"),
        f", line 2: Byte 0xe9 is not UTF-8 text. {AS_UTF8}",
    ),
    "utf-16": (
        f"{HEAD}\nMe,*C,1.8\n".encode("utf-16"),
        f": The file is UTF-16 text. {AS_UTF8}",
    ),
    "misspelt column": (
        b"group,fragment,vaule_kcal_mol\nMe,*C,1.8\n",
        ", row 1, column vaule_kcal_mol: Column 'vaule_kcal_mol' is not known. "
        f"Did you mean 'value_kcal_mol'? {COLUMNS}",
    ),
    "column in kJ": (
        b"group,fragment,value_kj_mol\nMe,*C,7.3\n",
        ", row 1, column value_kj_mol: Column 'value_kj_mol' is not known. "
        "Divide its numbers by 4.184 (energies are kcal/mol) and name it 'value_kcal_mol'.",
    ),
    "foreign column": (
        f"{HEAD},colour\nMe,*C,1.8,red\n".encode(),
        f", row 1, column colour: Column 'colour' is not known. {COLUMNS}",
    ),
    "missing column": (
        b"group,value_kcal_mol\nMe,1.8\n",
        ", row 1, column fragment: Column 'fragment' is missing. Add it "
        "(the group as SMILES with * for the ring carbon, for example *C).",
    ),
    "column twice": (
        f"{HEAD},group\nMe,*C,1.8,Me\n".encode(),
        ", row 1, column group: Column 'group' is there twice. Keep one.",
    ),
    "column without a name": (
        b"group,fragment,,value_kcal_mol\nMe,*C,,1.8\n",
        ", row 1: Column 3 has no name. Name it or remove it.",
    ),
    "short row": (
        f"{HEAD}\nMe,*C,1.8\nEt,*CC\n".encode(),
        f", row 3: The row has 2 cells, the header 3. {CELLS}",
    ),
    "quote left open": (
        f'{HEAD}\nMe,*C,1.8\n"Et,*CC,1.9\n'.encode(),
        ", row 3: The quoting of cells breaks in this row (unexpected end of data), so the rest cannot be "
        'read. Close every double quote, and write a double quote inside a cell as "".',
    ),
    "text behind a quote": (
        f'{HEAD}\nMe,"*C"C,1.8\n'.encode(),
        ", row 2: The quoting of cells breaks in this row (',' expected after '\"'), so the rest cannot be "
        'read. Close every double quote, and write a double quote inside a cell as "".',
    ),
    "no number": (
        f"{HEAD}\nMe,*C,about 1.8\n".encode(),
        f", row 2, column value_kcal_mol: 'about 1.8' is not a number. {ENERGY}",
    ),
    "nan": (
        f"{HEAD}\nMe,*C,nan\n".encode(),
        f", row 2, column value_kcal_mol: 'nan' is not a number. {ENERGY}",
    ),
    "no value": (
        f"{HEAD}\nMe,*C,\n".encode(),
        f", row 2, column value_kcal_mol: The cell is empty. {ENERGY}",
    ),
    "decimal comma": (
        f'{HEAD}\nMe,*C,"1,8"\n'.encode(),
        ", row 2, column value_kcal_mol: '1,8' has a decimal comma. Write 1.8 with a point.",
    ),
    "low above value": (
        f"{HEAD},low_kcal_mol,high_kcal_mol\nMe,*C,1.8,1.9,2.0\n".encode(),
        ", row 2, column low_kcal_mol: The lower end 1.9 is above the value 1.8. Exchange or correct them.",
    ),
    "high below value": (
        f"{HEAD},low_kcal_mol,high_kcal_mol\nMe,*C,1.8,1.7,1.75\n".encode(),
        ", row 2, column high_kcal_mol: The upper end 1.75 is below the value 1.8. Exchange or correct them.",
    ),
    "too large": (
        f"{HEAD}\ntBu,*C(C)(C)C,22.8\n".encode(),
        ", row 2, column value_kcal_mol: 22.8 is too large for kcal/mol (at most 10 is accepted). "
        "If it is in kJ/mol divide it by 4.184, otherwise correct it.",
    ),
    "methyl in kJ": (
        f"{HEAD}\nMe,*C,7.6\n".encode(),
        ", row 2, column value_kcal_mol: Methyl is 7.6 here but 1.7 to 1.9 kcal/mol in every source. "
        "If the table is in kJ/mol divide every energy by 4.184, otherwise correct it.",
    ),
    "group twice": (
        f"{HEAD}\nMe,*C,1.8\nMe,*C,1.9\n".encode(),
        ", row 3: 'Me' is already in row 2. Keep one of them, or give each its own medium or temperature_k.",
    ),
    "group twice in one medium": (
        f"{HEAD},medium\nMe,*C,1.8,\nMe,*C,1.9,CCl4\nMe,*C,1.7,carbon tetrachloride\n".encode(),
        ", row 4: 'Me' is already in row 3. Keep one of them, or give each its own medium or temperature_k.",
    ),
    "group with two fragments": (
        f"{HEAD},medium\nMe,*C,1.8,\nMe,*CC,1.9,water\n".encode(),
        ", row 3, column fragment: 'Me' has another fragment in row 2. Write the same one, or another key "
        "in 'group'.",
    ),
    "group with the fragment of another": (
        f"{HEAD},medium\nMe,*C,1.8,\nEt,*CC,1.8,\nMe,*CC,1.9,water\n".encode(),
        ", row 4, column fragment: 'Me' has another fragment in row 2. Write the same one, or another key "
        "in 'group'.",
    ),
    "names in two rows of a group": (
        f"{HEAD},names,medium\nMe,*C,1.8,methyl,\nMe,*C,1.9,methyl,water\n".encode(),
        ", row 3, column names: The other names of 'Me' belong in row 2. Leave this cell empty.",
    ),
    "unknown medium": (
        f"{HEAD},medium\nMe,*C,1.8,tolune\n".encode(),
        ", row 2, column medium: 'tolune' is no solvent that 'chairgap tables --solvents' lists. Did you "
        "mean 'toluene'? Write one of these or 'gas phase', or leave the cell empty.",
    ),
    "alias twice": (
        f"{HEAD},names\nCH3,*C,1.8,Me;methyl\nC2H5,*CC,1.9,Et; Me\n".encode(),
        ", row 3, column names: 'Me' is already in row 2 ('CH3'). Keep one of them.",
    ),
    "fragment twice": (
        f"{HEAD}\nCH3,*C,1.8\nC2H5,*C,1.9\n".encode(),
        ", row 3, column fragment: '*C' is already in row 2 ('CH3'). Keep one of them.",
    ),
    "no star": (
        f"{HEAD}\nMe,C,1.8\n".encode(),
        f", row 2, column fragment: The fragment 'C' has no *. {ONE_STAR}",
    ),
    "two stars": (
        f"{HEAD}\nX,*C*,1.8\n".encode(),
        f", row 2, column fragment: The fragment '*C*' has 2 *. {ONE_STAR}",
    ),
    "two pieces": (
        f"{HEAD}\nX,*[NH3+].[Cl-],1.8\n".encode(),
        ", row 2, column fragment: The fragment '*[NH3+].[Cl-]' has a full stop, that is two pieces. "
        "Write one group in one piece, for example *OC.",
    ),
    "space in the fragment": (
        f"{HEAD}\nX,*C C,1.8\n".encode(),
        ", row 2, column fragment: The fragment '*C C' has a space. "
        "Write the SMILES without, for example *OC.",
    ),
    "no fragment": (
        f"{HEAD}\nX,,1.8\n".encode(),
        ", row 2, column fragment: The cell is empty. Write the group as SMILES with * for the ring carbon, "
        "for example *C.",
    ),
    "hydrogen": (
        f"{HEAD}\nH,*[H],0\n".encode(),
        ", row 2, column group: 'H' needs no row: hydrogen is the zero of the scale. Remove the row.",
    ),
    "several names in the key": (
        f"{HEAD}\nCH3;Me,*C,1.8\n".encode(),
        ", row 2, column group: The key 'CH3;Me' has several names. "
        "Write one key here and the others under 'names'.",
    ),
    "SMILES among the names": (
        f"{HEAD},names\nCH3,*C,1.8,*C\n".encode(),
        ", row 2, column names: The name '*C' has a *. Write a name here and the SMILES under 'fragment'.",
    ),
    "Celsius": (
        f"{HEAD},temperature_k\nMe,*C,1.8,-80\n".encode(),
        ", row 2, column temperature_k: -80 is no temperature in kelvin (0 degrees Celsius is "
        "273). Write the temperature of the measurement in kelvin, for example 298.",
    ),
    "unknown evidence": (
        f"{HEAD},known\nMe,*C,1.8,primry\n".encode(),
        ", row 2, column known: It cannot be \"primry\". Did you mean 'primary'? "
        "Write how the value is known: 'primary', 'compilation', 'derived' or 'from memory'.",
    ),
}

BAD_PAIRS: dict[str, tuple[str, str]] = {
    "kind": (
        "syn diaxial,Me,Me,replacing,3.7",
        ", row 2, column kind: It cannot be \"syn diaxial\". Did you mean 'syn-diaxial'? "
        "Write 'syn-diaxial' or 'vicinal gauche'.",
    ),
    "form": (
        "syn-diaxial,Me,Me,exces,1.9",
        ", row 2, column form: It cannot be \"exces\". Did you mean 'excess'? Write 'replacing' or 'excess'.",
    ),
    "gauche that replaces": (
        "vicinal gauche,Me,Me,replacing,0.9",
        ", row 2, column form: A vicinal gauche energy replaces no contact with H. Write 'excess'.",
    ),
    "group not in the table": (
        "vicinal gauche,Me,hydroxl,excess,0.9",
        ", row 2, column group_2: Group 'hydroxl' is not in the A-value table. Did you mean 'hydroxyl'? "
        "Correct it or add the group there.",
    ),
    "pair twice": (
        "vicinal gauche,Me,hydroxyl,excess,0.45\nvicinal gauche,hydroxyl,Me,excess,0.4",
        ", row 3: 'vicinal gauche hydroxyl/Me' is already in row 2. Keep one of them, or give each its own "
        "medium or temperature_k (the order of the groups does not matter).",
    ),
    "empty group": (
        "vicinal gauche,,Me,excess,0.9",
        ", row 2, column group_1: The cell is empty. Write a group of the A-value table.",
    ),
}


def message_for(path: Path) -> str:
    with pytest.raises(StudyError) as caught:
        read_estimate_table(str(path))
    assert caught.value.exit_code == 2
    return str(caught.value)


@pytest.mark.parametrize("case", BAD_TABLES)
def test_bad_table(case: str, tmp_path: Path) -> None:
    content, expected = BAD_TABLES[case]
    path = tmp_path / "course.csv"
    path.write_bytes(content)
    assert message_for(path) == f"{path}{expected}"


@pytest.mark.parametrize("case", BAD_PAIRS)
def test_bad_interactions_beside_a_good_table(case: str, tmp_path: Path) -> None:
    rows, expected = BAD_PAIRS[case]
    path = tmp_path / "course.csv"
    path.write_text(f"{HEAD}\nMe,*C,1.8\nhydroxyl,*O,0.9\n", encoding="utf-8")
    beside = tmp_path / "course_interactions.csv"
    beside.write_text(f"{PAIRS}\n{rows}\n", encoding="utf-8")
    assert message_for(path) == f"{beside}{expected}"


def test_every_problem_of_both_files_is_reported_at_once(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text(f"{HEAD}\nMe,C,1.8\nEt,*CC,x\nOH,*O,0.9\n", encoding="utf-8")
    beside = tmp_path / "course_interactions.csv"
    beside.write_text(f"{PAIRS}\nvicinal gauche,Me,Me,replacing,0.9\n", encoding="utf-8")
    with pytest.raises(StudyError) as caught:
        read_estimate_table(str(path))
    places = [str(problem.place) for problem in caught.value.problems]
    # Groups of the second file are not looked up in a table that could not be read whole.
    assert places == [
        f"{path}, row 2, column fragment",
        f"{path}, row 3, column value_kcal_mol",
        f"{beside}, row 2, column form",
    ]


def test_an_error_carries_its_facts(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text(f"{HEAD}\nMe,*C,about 1.8\n", encoding="utf-8")
    with pytest.raises(StudyError) as caught:
        read_estimate_table(str(path))
    (problem,) = caught.value.problems
    assert (problem.place.file, problem.place.row, problem.place.field) == (str(path), 2, "value_kcal_mol")
    assert problem.value == "about 1.8"
    assert problem.expected == ("G(axial) - G(equatorial) in kcal/mol with a decimal point, for example 1.74")


# --- what is asked of the shipped tables on top ------------------------------------------------------------

FULL = (
    "group,names,fragment,value_kcal_mol,low_kcal_mol,high_kcal_mol,temperature_k,medium,solvent,method,source,"
    "known,note"
)


def test_a_shipped_row_needs_a_listed_source() -> None:
    rows, problems = parse_a_values(
        f"{FULL}\nCH3,Me,*C,1.74,1.7,1.8,298,,,,booth_1980,primary,\n",
        "a_values.csv",
        source_keys={"booth_everett_1980"},
    )
    assert rows == ()
    assert [str(problem) for problem in problems] == [
        "a_values.csv, row 2, column source: Source 'booth_1980' is not in sources.csv. "
        "Did you mean 'booth_everett_1980'? Add it there or correct the key."
    ]


def test_a_shipped_table_needs_every_column() -> None:
    _, problems = parse_a_values(f"{HEAD}\nCH3,*C,1.74\n", "a_values.csv", source_keys={"x"})
    assert {problem.place.field for problem in problems} == set(FULL.split(",")) - set(HEAD.split(","))


def test_a_shipped_row_must_say_how_it_is_known() -> None:
    _, problems = parse_interactions(
        "kind,group_1,group_2,form,value_kcal_mol,low_kcal_mol,high_kcal_mol,temperature_k,medium,source,known,note\n"
        "syn-diaxial,CH3,CH3,replacing,3.7,3.7,3.7,,,x,,\n",
        "interactions.csv",
        None,
        source_keys={"x"},
    )
    assert [problem.message for problem in problems] == [
        "The cell is empty. Write how the value is known: 'primary', 'compilation', 'derived' or 'from "
        "memory'."
    ]


def test_sources_are_checked() -> None:
    _, problems = parse_sources(
        "key,short,citation,journal,doi,doi_known,how_seen\n"
        "a,A 1980,A.,,https://doi.org/10.1000/1,seen,seen\n"
        "a,A 1980,A.,,10.1000/1,perhaps,seen\n"
        "b,B.,,,,,seen\n"
        "c,C 1980,C. J. Chem. 1980.,J. Chm.,,,seen\n",
        "sources.csv",
    )
    assert [str(problem) for problem in problems] == [
        "sources.csv, row 2, column doi: 'https://doi.org/10.1000/1' is no DOI. Write the "
        "DOI without https://doi.org/, such as 10.1039/P29800000255, or leave the cell empty.",
        "sources.csv, row 3, column key: 'a' is already in row 2. Keep one of them.",
        'sources.csv, row 3, column doi_known: It cannot be "perhaps". '
        "Write 'seen' or 'from memory', or leave the cell empty without a DOI.",
        "sources.csv, row 4, column citation: The cell is empty. Write the full citation.",
        "sources.csv, row 5, column journal: 'J. Chm.' is not in the citation. Write the journal as it "
        "stands in the citation, or leave the cell empty.",
    ]


# --- found by tests/fuzz ---------------------------------------------------------------------------------


def test_a_cell_far_too_long_is_reported(tmp_path: Path) -> None:
    """It was shown in full, hundreds of kilobytes of it."""
    path = tmp_path / "course.csv"
    path.write_text(f"{HEAD}\n{'g' * 1001},*C,1.8\n", encoding="utf-8")
    with pytest.raises(StudyError) as caught:
        read_estimate_table(str(path))
    assert str(caught.value).endswith(
        "course.csv, row 2, column group: The cell has 1,001 characters. Use at most 1,000."
    )


def test_a_file_far_too_large_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_bytes(b"x" * 5_000_001)
    with pytest.raises(StudyError, match=r"larger than 5 MB. Leave only the rows of groups in it"):
        read_estimate_table(str(path))


def test_a_name_that_no_file_can_have_is_no_table() -> None:
    """The file system refuses it by an OSError."""
    with pytest.raises(InputError, match="There is no A-value table"):
        read_estimate_table("n" * 300)
