"""Which file a name means, what a user's own table may leave out, checksums, where the shipped data lies."""

import hashlib
import shutil
from pathlib import Path

import pytest

from chairgap.errors import ChairgapError, InputError, StudyError
from chairgap.estimate.groups import find_row
from chairgap.files import system
from chairgap.tables import shipped
from chairgap.tables.shipped import TableReader, read_estimate_table, read_tables, read_whole_table

SMALL = "group,fragment,value_kcal_mol\nMe,*C,1.8\nhydroxyl,*O,0.9\n"


@pytest.fixture
def course(tmp_path: Path) -> Path:
    path = tmp_path / "course.csv"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_three_columns_are_enough(course: Path) -> None:
    table = read_estimate_table(str(course))
    assert table.name == str(course)
    row = table.a_values[0]
    assert (row.group, row.names, row.fragment) == ("Me", (), "*C")
    assert (row.low_kcal_mol, row.value_kcal_mol, row.high_kcal_mol) == (1.8, 1.8, 1.8)
    assert (row.temperature_k, row.medium, row.solvent, row.method, row.note) == (None, "", "", "", "")
    assert (row.source, row.known) == ("course.csv", "compilation")


def test_shipped_interactions_are_used_in_the_keys_of_the_users_table(course: Path) -> None:
    pairs = {
        (row.kind, row.group_1, row.group_2, row.value_kcal_mol)
        for row in read_estimate_table(str(course)).interactions
    }
    assert ("syn-diaxial", "Me", "Me", 3.70) in pairs
    assert ("syn-diaxial", "hydroxyl", "Me", 2.50) in pairs
    # Pairs with chlorine are left out: the user's table has none.
    assert {group for _, *groups, _ in pairs for group in groups} == {"Me", "hydroxyl"}


def test_an_alias_finds_the_shipped_interaction_of_another_fragment_text(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text("group,fragment,value_kcal_mol,names\nmethyl group,C*,1.8,Me\n", encoding="utf-8")
    assert ("methyl group", 0.87) in {
        (row.group_1, row.value_kcal_mol) for row in read_estimate_table(str(path)).interactions
    }


def test_interactions_beside_the_users_table_take_the_place_of_the_shipped_ones(course: Path) -> None:
    beside = course.with_name("course_interactions.csv")
    beside.write_text(
        "kind,group_1,group_2,form,value_kcal_mol\nvicinal gauche,Me,me,excess,0.95\n", encoding="utf-8"
    )
    (row,) = read_estimate_table(str(course)).interactions
    assert (row.group_1, row.group_2, row.value_kcal_mol, row.low_kcal_mol) == ("Me", "Me", 0.95, 0.95)
    assert (row.source, row.known) == ("course_interactions.csv", "compilation")


def test_a_byte_order_mark_and_blank_lines_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_bytes(b"\xef\xbb\xbf" + b"group,fragment,value_kcal_mol\r\n\r\nMe,*C,1.8\r\n,,\r\n")
    assert [row.group for row in read_estimate_table(str(path)).a_values] == ["Me"]


@pytest.mark.parametrize("separator", [";", "\t"])
@pytest.mark.parametrize("value", ["1,8", "1.8"])
def test_semicolons_and_tabs_separate_cells_too_and_numbers_may_then_have_a_decimal_comma(
    separator: str, value: str, tmp_path: Path
) -> None:
    """What a spreadsheet program writes where the decimal sign is a comma."""
    rows = (
        ("Group", "names", "fragment", "value_kcal_mol", "low_kcal_mol", "note", ""),
        ("Me", '"methyl;CH3"', "*C", value, "-0,5", "one, two", ""),
    )
    path = tmp_path / "course.csv"
    path.write_text("\n".join(separator.join(row) for row in rows), encoding="utf-8")
    (row,) = read_estimate_table(str(path)).a_values
    assert (row.group, row.names, row.value_kcal_mol) == ("Me", ("methyl", "CH3"), 1.8)
    assert (row.low_kcal_mol, row.high_kcal_mol, row.note) == (-0.5, 1.8, "one, two")


def test_a_thousands_separator_is_no_decimal_comma(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text("group;fragment;value_kcal_mol\nMe;*C;1.001,8\n", encoding="utf-8")
    with pytest.raises(StudyError, match=r"'1\.001,8' is not a number"):
        read_estimate_table(str(path))


def test_capitals_count_in_names_and_fragments(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text("group,fragment,value_kcal_mol\nAc,*CO,1.0\nAC,*Co,1.1\n", encoding="utf-8")
    assert [row.group for row in read_estimate_table(str(path)).a_values] == ["Ac", "AC"]


def test_an_unknown_table_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(InputError) as caught:
        read_estimate_table("textbok")
    assert str(caught.value) == (
        "There is no A-value table \"textbok\". Did you mean 'textbook'? "
        "Write 'chairgap', 'textbook', or the path of your own table."
    )


def test_a_folder_is_no_table(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no A-value table"):
        read_estimate_table(str(tmp_path))


def test_a_course_that_teaches_no_interactions_says_so_with_a_bare_header(course: Path) -> None:
    beside = course.with_name("course_interactions.csv")
    beside.write_text("kind,group_1,group_2,form,value_kcal_mol\n", encoding="utf-8")
    assert read_estimate_table(str(course)).interactions == ()


def test_a_group_and_a_pair_may_have_a_row_for_each_medium_and_temperature(tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    path.write_text(
        "group,names,fragment,value_kcal_mol,temperature_k,medium\n"
        "X,ex,*F,0.1,,\nX,,*F,0.2,193,CCl4\nX,,*F,0.3,298,ccl4\nX,,*F,0.4,,Gas Phase\nMe,,*C,1.8,,\n",
        encoding="utf-8",
    )
    path.with_name("course_interactions.csv").write_text(
        "kind,group_1,group_2,form,value_kcal_mol,medium,known\n"
        "vicinal gauche,X,Me,excess,0.5,water,derived\nvicinal gauche,me,EX,excess,0.6,gas,\n",
        encoding="utf-8",
    )
    table = read_whole_table(str(path))
    assert [(row.value_kcal_mol, row.medium, row.temperature_k) for row in table.a_values] == [
        (0.1, "", None),
        (0.2, "tetrachloromethane", 193.0),
        (0.3, "tetrachloromethane", 298.0),
        (0.4, "gas phase", None),
        (1.8, "", None),
    ]
    # Each row of the group has its names, so that the group is found whichever is chosen.
    assert {row.names for row in table.a_values if row.group == "X"} == {("ex",)}
    assert [(row.group_1, row.group_2, row.medium, row.known) for row in table.interactions] == [
        ("X", "Me", "water", "derived"),
        ("Me", "X", "gas phase", "compilation"),
    ]
    chosen = TableReader().estimate_table(str(path), "tetrachloromethane", 310.0)
    assert [row.value_kcal_mol for row in chosen.a_values] == [0.3, 1.8]
    assert find_row(chosen, "EX").value_kcal_mol == 0.3


def test_all_shipped_rows_of_a_pair_are_translated(course: Path) -> None:
    diol = [
        row for row in read_whole_table(str(course)).interactions if row.group_1 == row.group_2 == "hydroxyl"
    ]
    assert [(row.kind, row.medium) for row in diol] == [
        ("syn-diaxial", "water"),
        ("syn-diaxial", "tetrachloromethane"),
        ("vicinal gauche", "water"),
    ]


# --- checksums -------------------------------------------------------------------------------------------


def sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


DATA = Path(__file__).parents[2] / "data"
# What every run rests on besides its A-value table: sources, solvents, radii and the scorecard; pairs and
# equilibria, whose groups go by the names of the shipped A-values.
ALWAYS = {
    *("sources.csv", "solvents.csv", "born_radii.csv", "scorecard.csv", "pair_interactions.csv"),
    *("pair_spread.csv", "equilibria.csv", "a_values.csv", "interactions.csv"),
}


def test_checksums_of_the_shipped_tables() -> None:
    assert set(read_tables().checksums) == ALWAYS
    textbook = {"textbook_values.csv", "textbook_interactions.csv"}
    assert set(read_tables("textbook").checksums) == textbook | ALWAYS
    for name, checksum in {**read_tables().checksums, **read_tables("textbook").checksums}.items():
        assert checksum == sha256(DATA / name)


def test_checksums_of_a_users_table_name_every_file_it_rests_on(course: Path) -> None:
    found = dict(read_tables(str(course)).checksums)
    assert found.pop(str(course)) == sha256(course)
    assert found == read_tables().checksums
    beside = course.with_name("course_interactions.csv")
    beside.write_text("kind,group_1,group_2,form,value_kcal_mol\n", encoding="utf-8")
    found = dict(read_tables(str(course)).checksums)
    assert found.pop(str(course)) == sha256(course) and found.pop(str(beside)) == sha256(beside)
    assert set(found) == ALWAYS


def test_a_users_table_called_as_a_shipped_one_has_a_checksum_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a_values.csv").write_text(SMALL, encoding="utf-8")
    found = read_tables("a_values.csv").checksums
    assert found["./a_values.csv"] == sha256(tmp_path / "a_values.csv")
    assert found["a_values.csv"] == sha256(DATA / "a_values.csv")


def test_a_reader_reads_each_file_once(course: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[Path] = []
    read_bytes = shipped.read_bytes

    def noted(path: Path, **given: object) -> bytes:
        read.append(path)
        return read_bytes(path, **given)

    monkeypatch.setattr(shipped, "read_bytes", noted)
    reader = TableReader()
    first = reader.tables(str(course))
    course.unlink()
    assert reader.tables(str(course)) == first
    assert reader.medium("water").born_radii == reader.born_radii
    assert len(read) == len(set(read)) == 10


# --- installed or in a source checkout -------------------------------------------------------------------


def test_data_inside_the_package_goes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site" / "chairgap"
    shutil.copytree(Path(__file__).parents[2] / "data", package / "data")
    (package / "data" / "textbook_values.csv").write_text(
        "group,names,fragment,value_kcal_mol,low_kcal_mol,high_kcal_mol,temperature_k,medium,solvent,method,"
        "source,known,note\nCH3,,*C,1.8,1.8,1.8,,,,,openstax_organic,from memory,\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(system, "__file__", str(package / "files" / "system.py"))
    assert len(read_estimate_table("textbook").a_values) == 1


def test_missing_data_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system, "__file__", str(tmp_path / "a" / "chairgap" / "files" / "system.py"))
    with pytest.raises(ChairgapError) as caught:
        read_estimate_table("chairgap")
    assert str(caught.value) == (
        "The literature tables are missing from this installation; install chairgap again."
    )
