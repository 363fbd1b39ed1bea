"""`chairgap handout` as a user meets it."""

import sqlite3
from pathlib import Path

import pytest

STUDY = """
title = "Set 2"
[search]
effort = "quick"
[output]
folder = "out"
[[molecule]]
name = "chlorocyclohexane"
smiles = 'ClC1CCCCC1'
[[molecule]]
name = "fluorocyclohexane"
smiles = 'FC1CCCCC1'
[[molecule]]
name = "benzene"
smiles = 'c1ccccc1'
"""


@pytest.fixture
def study(tmp_path: Path) -> Path:
    (tmp_path / "set.toml").write_text(STUDY)
    return tmp_path


def records(folder: Path) -> list[tuple[object, ...]]:
    with sqlite3.connect(folder / "computed.sqlite") as database:
        return database.execute("SELECT key, state, seconds FROM record ORDER BY key").fetchall()


def test_handout_runs_the_study_once_and_goes_on_from_it(chairgap, study) -> None:
    code, out, err = chairgap("handout", "set.toml", "--no-pdf")
    assert code == 0, err  # a sheet was made; benzene is refused, which is said
    assert "Not asked about: benzene, since it was refused" in err
    home = study / "out" / "handout"
    assert "Written to out: gaps.csv" in out
    assert "Written to out/handout: matching.csv" in out
    assert "A person decides a grade." in out
    assert {path.name for path in home.iterdir()} == {
        *(
            f"{kind}_{version}.{end}"
            for kind in ("questions", "key")
            for version in "12"
            for end in ("html", "md")
        ),
        *("matching.csv", "handout.json", "drawings", "key_drawings", ".chairgap.json"),
    }
    before = records(study / "out")
    assert len(before) == 2
    sheets = {path.name: path.read_bytes() for path in home.iterdir() if path.is_file()}
    code, _, _ = chairgap("handout", "set.toml", "--no-pdf")
    assert code == 0
    assert records(study / "out") == before
    assert sheets == {path.name: path.read_bytes() for path in home.iterdir() if path.is_file()}
    code, _, err = chairgap("handout", "set.toml", "--no-pdf", "--questions", "3")
    assert code == 2
    assert "3 questions are more than the molecules that can be asked about, which are 2." in err
    (home / "key_1.md").write_text("my own notes")
    code, _, err = chairgap("handout", "set.toml", "--no-pdf", "--seed", "2")
    assert code == 2
    assert "key_1.md: This file is not as chairgap left it" in err
    code, _, _ = chairgap(
        "handout", "set.toml", "--no-pdf", "--seed", "2", "--output", "other", "--versions", "1"
    )
    assert code == 0
    assert not (study / "other" / "questions_2.html").exists()


def test_nothing_is_computed_for_a_handout_that_cannot_be_written(chairgap, study) -> None:
    (study / "mine").mkdir()
    (study / "mine" / "key_1.pdf").write_text("mine")
    code, _, err = chairgap("handout", "set.toml", "--output", "mine")
    assert code == 2
    assert "mine/key_1.pdf: This file is not as chairgap left it and is not overwritten." in err
    (study / "file").write_text("mine")
    code, _, err = chairgap("handout", "set.toml", "--output", "file/handout")
    assert code == 2, err
    assert "file/handout: The folder cannot be written to (not a directory)." in err
    assert not (study / "out").exists()


def test_odd_options_are_reported(chairgap, study) -> None:
    code, _, err = chairgap("handout", "set.toml", "--paper", "leter")
    assert code == 2
    assert err == (
        "Error: command line, field '--paper': There is no paper 'leter'. Did you mean 'Letter'? "
        "Write A4 or Letter.\n"
    )
    code, _, err = chairgap("handout", "set.toml", "--kinds", "flip,newmann")
    assert code == 2
    assert err == (
        "Error: command line, field '--kinds': There is no kind of question 'newmann'. Did you mean 'newman'?"
        " There are four-part, both-chairs, stable-chair, gap, percent, ranking, mistake, newman, flip, "
        "configuration, preference.\n"
    )
    code, _, err = chairgap("handout", "set.toml", "--level", "eazy")
    assert code == 2
    assert err == (
        "Error: command line, field '--level': There is no level 'eazy'. Did you mean 'easy'? There are easy,"
        " medium, hard.\n"
    )
    code, _, _ = chairgap("handout", "set.toml", "--versions", "9")
    assert code == 2
    assert not (study / "out").exists()


def test_kinds_are_chosen_and_those_without_molecules_are_named(chairgap, study) -> None:
    chosen = ("--kinds", "flip, gap", "--kinds", "ranking", "--level", "easy", "--no-pdf", "--versions", "1")
    code, out, err = chairgap("handout", "set.toml", *chosen)
    assert code == 0, err
    assert "Kind left out: ranking: it has no 3 isomers with the same groups." in err
    assert "Written to out/handout: matching.csv, questions_1.html" in out
    key = (study / "out" / "handout" / "key_1.md").read_text()
    assert "Product of a ring flip" in key and "Level: easy (1 group)" in key
    code, _, err = chairgap("handout", "set.toml", "--kinds", "preference", "--no-pdf", "--output", "other")
    assert code == 2
    assert (
        "The study serves none of these kinds (preference: it has no 2 isomers with the same groups)." in err
    )
    assert not (study / "other").exists()
