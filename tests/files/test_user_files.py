"""Nothing of the user's is written over: not what a command reads, nor what was changed since, nor a file of
somebody else. Each of these lost a file once, or had the same fault in it."""

import hashlib
import json
from pathlib import Path

import pytest

from chairgap.drawings.picture import Picture
from chairgap.errors import InputError
from chairgap.notebook.drawing import drawing_of

HEADER = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
KEY = f"{HEADER}1,1 up CH3,gap,,,9.99,kcal/mol,0.05,1,\n"
SHEET = "item,quantity,carbon,chair,claimed\n1,gap,,,1.74\n"
MINE = b"a person's own work\n"
NOT_OURS = "This file is not as chairgap left it and is not overwritten. Move it away, or "
OTHER_FOLDER = "ame another folder with --output."


def put(path: Path, content: str | bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def left_by_an_earlier_study(*files: Path) -> None:
    """A manifest beside files that says they were written by a study."""
    digests = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in files}
    put(files[0].parent / "manifest.json", json.dumps({"program": "chairgap", "file_sha256": digests}))


def state(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- what a command reads --------------------------------------------------------------------------------

KEY_COMMANDS = {
    "check": ("key_check.csv", "key_corrected.csv"),
    "export": ("questions.csv",),
}


@pytest.mark.parametrize(
    "command, name", [(word, name) for word in KEY_COMMANDS for name in KEY_COMMANDS[word]]
)
def test_a_key_in_the_output_folder_is_kept(chairgap, tmp_path: Path, command, name) -> None:
    put(tmp_path / "k2" / name, KEY)
    before = state(tmp_path)
    code, out, err = chairgap("key", command, f"k2/{name}", "--output", "k2")
    assert (code, out) == (2, "")
    assert err == (
        f"Error: k2/{name}: The command reads this file and does not overwrite it. N{OTHER_FOLDER}\n"
    )
    assert state(tmp_path) == before


@pytest.mark.parametrize("way", ["spelling", "symbolic", "hard", "folder"])
def test_a_key_is_kept_by_whatever_way_it_is_reached(chairgap, tmp_path: Path, way) -> None:
    key, output = put(tmp_path / "mine" / "questions.csv", KEY), "mine"
    if way == "spelling":
        output = "mine/../mine/."
    elif way == "folder":
        (tmp_path / "other").symlink_to(tmp_path / "mine")
        output = "other"
    else:
        key = put(tmp_path / "key.csv", KEY)
        (tmp_path / "mine" / "questions.csv").unlink()
        link = tmp_path / "mine" / "questions.csv"
        link.symlink_to(key) if way == "symbolic" else link.hardlink_to(key)
    before = state(tmp_path)
    code, _, err = chairgap("key", "export", str(key.relative_to(tmp_path)), "--output", output)
    assert code == 2 and "questions.csv: The command reads this file" in err
    assert state(tmp_path) == before and (way != "symbolic" or link.is_symlink())


@pytest.mark.parametrize("command", ["check", "export"])
@pytest.mark.parametrize("interactions", [False, True])
def test_a_table_that_a_key_names_is_kept(chairgap, tmp_path: Path, command, interactions) -> None:
    taken = {"check": "key_check.csv", "export": "questions.csv"}[command]
    table = tmp_path / ("course.csv" if interactions else f"k2/{taken}")
    shipped = Path(__file__).parents[2] / "data"
    put(table, (shipped / "textbook_values.csv").read_bytes())
    if interactions:
        beside = put(
            tmp_path / "course_interactions.csv", (shipped / "textbook_interactions.csv").read_bytes()
        )
        (tmp_path / "k2").mkdir()
        (tmp_path / "k2" / taken).hardlink_to(beside)
    put(tmp_path / "key.csv", KEY.replace(",1,\n", f",1,table={table.relative_to(tmp_path)}\n"))
    before = state(tmp_path)
    code, _, err = chairgap("key", command, "key.csv", "--output", "k2")
    assert code == 2 and f"k2/{taken}: The command reads this file" in err, err
    assert state(tmp_path) == before


def test_student_sheets_and_their_key_are_kept(chairgap, tmp_path: Path) -> None:
    put(tmp_path / "key.csv", KEY)
    put(tmp_path / "sheets" / "students_claims.csv", SHEET)
    put(tmp_path / "sheets" / "s1.csv", SHEET)
    before = state(tmp_path)
    code, _, err = chairgap("key", "mark", "key.csv", "sheets", "--output", "sheets")
    assert code == 2 and "sheets/students_claims.csv: The command reads this file" in err
    (tmp_path / "key.csv").rename(tmp_path / "students_summary.csv")
    before = state(tmp_path)
    code, _, err = chairgap("key", "mark", "students_summary.csv", "sheets", "--output", ".")
    assert code == 2 and "students_summary.csv: The command reads this file" in err
    assert state(tmp_path) == before


STUDY = """title = "one"
molecules_csv = ["{molecules}"]
[estimate]
table = "{table}"
"""
MOLECULES = "name,smiles\nchlorocyclohexane,ClC1CCCCC1\n"


@pytest.mark.parametrize("command", ["study", "handout", "flip"])
@pytest.mark.parametrize("read", ["molecules", "table", "interactions", "study"])
def test_what_a_study_is_read_from_is_kept(chairgap, tmp_path: Path, command, read) -> None:
    """Also where a manifest says that the file was written by an earlier run."""
    taken = {"study": "gaps.csv", "handout": "matching.csv", "flip": "map.csv"}[command]
    shipped = Path(__file__).parents[2] / "data"
    files = {
        "molecules": put(tmp_path / "molecules.csv", MOLECULES),
        "table": put(tmp_path / "course.csv", (shipped / "textbook_values.csv").read_bytes()),
        "interactions": put(
            tmp_path / "course_interactions.csv", (shipped / "textbook_interactions.csv").read_bytes()
        ),
        "study": put(tmp_path / "one.toml", STUDY.format(molecules="molecules.csv", table="course.csv")),
    }
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / taken).hardlink_to(files[read])
    left_by_an_earlier_study(tmp_path / "out" / taken)
    before = state(tmp_path)
    code, _, err = chairgap(command, "one.toml", "--output", "out")
    assert code == 2, err
    assert err == (
        f"Error: out/{taken}: The command reads this file as {files[read]} and does not overwrite it. "
        f"N{OTHER_FOLDER}\n"
    )
    assert state(tmp_path) == before


def test_molecules_and_a_table_in_the_output_folder_are_kept(chairgap, tmp_path: Path) -> None:
    shipped = Path(__file__).parents[2] / "data"
    molecules = put(tmp_path / "out" / "gaps.csv", MOLECULES)
    table = put(tmp_path / "out" / "conformers.csv", (shipped / "textbook_values.csv").read_bytes())
    left_by_an_earlier_study(molecules, table)
    put(tmp_path / "one.toml", STUDY.format(molecules="out/gaps.csv", table="out/conformers.csv"))
    before = state(tmp_path)
    code, _, err = chairgap("study", "one.toml", "--output", "out")
    assert code == 2 and "out/gaps.csv: The command reads this file and" in err
    code, _, err = chairgap("molecule", "1 up CH3", "--table", "out/conformers.csv", "--output", "out")
    assert code == 2 and "out/conformers.csv: The command reads this file and" in err
    assert state(tmp_path) == before


def test_a_table_in_the_folder_of_a_scorecard_is_kept(chairgap, tmp_path: Path) -> None:
    shipped = Path(__file__).parents[2] / "data"
    put(tmp_path / "out" / "scorecard.csv", (shipped / "textbook_values.csv").read_bytes())
    before = state(tmp_path)
    code, _, err = chairgap("scorecard", "out", "--table", "out/scorecard.csv", "--group", "F")
    assert code == 2
    assert err == (
        "Error: out/scorecard.csv: The command reads this file and does not overwrite it. "
        "Name another folder: chairgap scorecard FOLDER.\n"
    )
    assert state(tmp_path) == before


# --- what is not as it was left --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words, name",
    [
        (("key", "check", "key.csv"), "solutions.md"),
        (("key", "check", "key.csv"), "key_annotated.xlsx"),
        (("key", "check", "key.csv"), "key_corrected.csv"),
        (("key", "export", "key.csv"), "questions.csv"),
        (("key", "export", "key.csv"), "questions_qti21.zip"),
        (("key", "mark", "key.csv", "sheets"), "students_per_claim.csv"),
        (("molecule", "1 up CH3"), "page.html"),
        (("molecule", "1 up CH3"), "gaps.parquet"),
        (("study", "one.toml"), "manifest.json"),
        (("handout", "one.toml"), "handout.json"),
        (("flip", "1 up CH3"), "flip.md"),
        (("flip", "1 up CH3"), "map.png"),
    ],
)
def test_a_file_of_somebody_else_is_kept(chairgap, tmp_path: Path, words, name) -> None:
    put(tmp_path / "key.csv", KEY)
    put(tmp_path / "sheets" / "s1.csv", SHEET)
    put(tmp_path / "one.toml", 'title = "one"\n[[molecule]]\nname = "a"\nsmiles = "ClC1CCCCC1"\n')
    put(tmp_path / "out" / name, MINE)
    before = state(tmp_path)
    code, _, err = chairgap(*words, "--output", "out")
    assert (code, err) == (2, f"Error: out/{name}: {NOT_OURS}n{OTHER_FOLDER}\n")
    assert state(tmp_path) == before


def test_of_several_flips_no_folder_is_computed_when_one_is_taken(chairgap, tmp_path: Path) -> None:
    blocks = "".join(f'[[molecule]]\nname = "{x}"\nsmiles = "{x}C1CCCCC1"\n' for x in ("F", "Cl"))
    put(tmp_path / "two.toml", f'title = "two"\n{blocks}')
    put(tmp_path / "out" / "Cl" / "map.svg", MINE)
    before = state(tmp_path)
    code, _, err = chairgap("flip", "two.toml", "--output", "out")
    assert (code, err) == (2, f"Error: out/Cl/map.svg: {NOT_OURS}n{OTHER_FOLDER}\n")
    assert state(tmp_path) == before


def test_a_scorecard_of_somebody_else_is_kept(chairgap, tmp_path: Path) -> None:
    put(tmp_path / "out" / "scorecard.svg", MINE)
    code, _, err = chairgap("scorecard", "out", "--group", "F")
    assert code == 2
    assert err == (f"Error: out/scorecard.svg: {NOT_OURS}name another folder: chairgap scorecard FOLDER.\n")
    assert (tmp_path / "out" / "scorecard.svg").read_bytes() == MINE


def test_the_demo_is_not_copied_where_its_results_cannot_be_written(chairgap, tmp_path: Path) -> None:
    put(tmp_path / "reports" / "demo" / "gaps.csv", MINE)
    before = state(tmp_path)
    code, _, err = chairgap("demo")
    assert code == 2 and f"reports/demo/gaps.csv: {NOT_OURS}" in err
    assert state(tmp_path) == before


def test_a_template_is_not_written_over(chairgap, tmp_path: Path) -> None:
    put(tmp_path / "key.xlsx", MINE)
    code, _, err = chairgap("key", "template", "1 up CH3")
    assert code == 2
    assert err == (
        "Error: key.xlsx: The file exists already and is not overwritten. Name another one with --file.\n"
    )
    assert (tmp_path / "key.xlsx").read_bytes() == MINE
    assert chairgap("key", "template", "1 up CH3", "--file", "new/key.xlsx")[0] == 0
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["key.xlsx"]


def test_a_drawing_is_saved_over_itself_only(tmp_path: Path) -> None:
    def drawing(words: str):
        svg = f"<svg><desc>{words}</desc></svg>"
        return drawing_of(Picture(svg=svg, alt=words, width_px=1.0, height_px=1.0))

    place = tmp_path / "chairs.svg"
    drawing("one").save(place)
    drawing("two").save(place)
    assert place.read_bytes() == drawing("two").svg.encode()
    drawing("three").save(tmp_path / "other.svg")
    assert place.exists(), "a drawing is not taken away by the next"
    put(place, MINE)
    with pytest.raises(InputError, match=r"Move it away, or save it under another name\."):
        drawing("one").save(place)
    assert place.read_bytes() == MINE


# --- the same command again ------------------------------------------------------------------------------


def test_what_was_changed_since_is_kept_and_what_was_not_is_made_anew(chairgap, tmp_path: Path) -> None:
    put(tmp_path / "key.csv", KEY)
    put(tmp_path / "sheets" / "s1.csv", SHEET)
    for _ in range(2):
        assert chairgap("key", "check", "key.csv", "--output", "out")[0] == 1
        assert chairgap("key", "export", "key.csv", "--output", "out")[0] == 1
        assert chairgap("key", "mark", "key.csv", "sheets", "--output", "sheets")[0] == 1
    written = {path.name for path in (tmp_path / "out").iterdir()}
    assert written == {
        *("key_check.csv", "solutions.md", "key_annotated.xlsx", "key_corrected.csv"),
        *("questions.csv", "questions_qti21.zip", ".chairgap.json"),
    }
    put(tmp_path / "key.csv", KEY.replace("9.99", "1.74"))
    assert chairgap("key", "check", "key.csv", "--output", "out")[0] == 0
    now = {path.name for path in (tmp_path / "out").iterdir()}
    assert written - now == {"key_corrected.csv"}, "of an earlier key; files of other commands are kept"
    put(tmp_path / "out" / "solutions.md", MINE)
    before = state(tmp_path / "out")
    code, _, err = chairgap("key", "check", "key.csv", "--output", "out")
    assert code == 2 and f"out/solutions.md: {NOT_OURS}" in err
    assert state(tmp_path / "out") == before


@pytest.mark.parametrize("without_record", [False, True])
def test_a_study_is_written_over_unless_it_was_changed(chairgap, tmp_path: Path, without_record) -> None:
    """Without the hidden record, lost when a folder is handed on, its manifest says what was written."""
    words = ("molecule", "ClC1CCCCC1", "--effort", "quick", "--output", "out")
    assert chairgap(*words)[0] == 0
    if without_record:
        (tmp_path / "out" / ".chairgap.json").unlink()
    assert chairgap(*words)[0] == 0
    if without_record:
        (tmp_path / "out" / ".chairgap.json").unlink()
    gaps = tmp_path / "out" / "gaps.csv"
    put(gaps, gaps.read_bytes() + b"my note\n")
    before = state(tmp_path / "out")
    code, _, err = chairgap(*words)
    assert (code, err) == (2, f"Error: out/gaps.csv: {NOT_OURS}n{OTHER_FOLDER}\n")
    assert state(tmp_path / "out") == before


def test_two_molecules_of_like_names_have_folders_of_their_own(chairgap, tmp_path: Path) -> None:
    from chairgap.flip.study import folder_names

    assert folder_names(["a b", "A-b", "a/b", "", "?", "a-b-2"]) == [
        *("a-b", "A-b-2", "a-b-3", "molecule", "molecule-2", "a-b-2-2"),
    ]
