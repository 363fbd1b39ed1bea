"""What the README shows is what the program does: commands, files, screens and numbers."""

import re
import shlex
import sys
from pathlib import Path

import pytest
import typer
from refresh_readme import BEGIN, END, refreshed

from chairgap.cli import app as cli
from chairgap.molecule.substituents import row_names
from chairgap.study.reading import study_from_text
from chairgap.tables.shipped import read_estimate_table, read_scorecard

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


def typed_commands() -> list[str]:
    """Every `chairgap ...` of the README: in shell blocks, before a screen, and in the running text."""
    lines = [line for block in blocks("sh") for line in block.splitlines()]
    lines += [block.splitlines()[0].removeprefix("$ ") for block in blocks("console")]
    lines += re.findall(r"`(chairgap \w[^`]*)`", README)
    return [line for line in lines if line.startswith("chairgap ")]


def rows_of_table(head: str) -> list[list[str]]:
    (body,) = re.findall(rf"^\| {re.escape(head)} \|.*\n\|[-|]+\|\n((?:\|.*\n)+)", README, re.MULTILINE)
    return [[cell.strip() for cell in line.strip("|\n").split("|")] for line in body.splitlines()]


def test_the_two_commands_install_and_run_in_one_line_each() -> None:
    demo, tests = (block.strip() for block in blocks("sh")[:2])
    assert "\n" not in demo + tests
    assert demo.endswith("&& .venv/bin/pip install --quiet . && .venv/bin/chairgap demo reports/first-look")
    assert tests.endswith("&& .venv/bin/pip install --quiet -e '.[dev]' && .venv/bin/python -m pytest")
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert {".venv/", "reports/*", "!reports/sample/"} <= set(ignored), "the clone stays clean"
    assert (ROOT / ".ci" / "run").read_text(encoding="utf-8").endswith("-m pytest\n")


@pytest.mark.parametrize("line", typed_commands())
def test_command_is_understood(line: str) -> None:
    program = typer.main.get_command(cli.app)
    _, name, *words = shlex.split(line, comments=True)
    command = program.commands[name]
    if words:  # in running text a command may stand by its name alone
        command.make_context(name, words)  # raises on a wrong option or argument


def test_commands_were_found() -> None:
    assert len(typed_commands()) >= 8


def test_study_is_sound(tmp_path: Path) -> None:
    (text,) = blocks("toml")
    (tmp_path / "more.csv").write_text("name,smiles\nmore,CC1CCCCC1\n", encoding="utf-8")
    study = study_from_text(text, tmp_path / "my_set.toml")
    assert len(study.requests) == 3
    assert not study.refused
    assert not study.notes


def test_own_table_is_sound(tmp_path: Path) -> None:
    (text,) = blocks("csv")
    (tmp_path / "course.csv").write_text(text, encoding="utf-8")
    table = read_estimate_table(str(tmp_path / "course.csv"))
    assert [row.group for row in table.a_values] == ["CH3", "OH", "OCH2C6H5"]
    assert "*OCc1ccccc1" in row_names(table)


# The first screen, of the demo, is looked at in test_wheel.py.
# The map of a flip takes a quarter of a minute; its numbers are also those of test_cli_flip.py.
@pytest.mark.parametrize(
    "screen",
    [
        pytest.param(screen, marks=[pytest.mark.long] if screen.split()[2] == "flip" else [])
        for screen in blocks("console")[1:]
    ],
    ids=lambda screen: screen.split()[2],
)
def test_screen_is_what_the_program_shows(
    screen: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    command, *quoted = screen.splitlines()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "120")
    monkeypatch.setattr(sys, "argv", shlex.split(command.removeprefix("$ ")))
    with pytest.raises(SystemExit):
        cli.main()
    shown = iter([line.rstrip() for line in capsys.readouterr().out.splitlines()])
    for line in quoted:
        assert line in shown, f"not shown, or not in this order: {line}"  # looks on from the last hit


def test_links_lead_somewhere() -> None:
    prose = re.sub(r"^```.*?^```$", "", README, flags=re.DOTALL | re.MULTILINE)
    links = re.findall(r"\]\(([^)]+)\)", prose)
    assert len(links) >= 4
    assert not [link for link in links if not (ROOT / link).exists()]


def test_how_far_to_trust_it_is_made_from_the_scorecard() -> None:
    assert BEGIN in README and END in README
    assert refreshed(README) == README, "run: python tests/packaging/refresh_readme.py"


def test_wrong_signs_are_told_and_marked() -> None:
    """By the shipped rows themselves, not by the code that makes the section."""
    for model in ("MMFF94", "UFF", "MMFF94 in water"):
        known = [row for row in read_scorecard() if row.model == model and row.gibbs_kcal_mol is not None]
        wrong = [row.group for row in known if (row.gibbs_kcal_mol or 0.0) * row.a_value_kcal_mol < 0.0]
        assert f"- {model}: {len(wrong)} of {len(known)}: {', '.join(wrong)}." in README
    (row,) = (line for line in README.splitlines() if line.startswith("| Cl |"))
    assert re.search(r"-0\.\d\d !", row)
