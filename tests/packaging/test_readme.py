"""What the documents show is what the program does: commands, files, screens and numbers."""

import re
import shlex
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from refresh_readme import in_full, in_short, refreshed

from chairgap.cli import app as cli
from chairgap.molecule.substituents import row_names
from chairgap.study.reading import study_from_text
from chairgap.tables.shipped import read_estimate_table, read_scorecard

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DATA_README = (ROOT / "data" / "README.md").read_text(encoding="utf-8")
ROOMS = ROOT / "pipeline" / "chairgap"
DOCUMENTS = {
    file.relative_to(ROOT).as_posix(): file.read_text(encoding="utf-8")
    for folder, pattern in (
        *((ROOT, "*.md"), (ROOT / "configs", "*.md"), (ROOT / "data", "*.md"), (ROOT / "reports", "*.md")),
        *((ROOMS, "**/*.md"), (ROOT / "tests" / "benchmarks", "*.md")),
    )
    for file in sorted(folder.glob(pattern))
}
MOST_WORDS = {"README.md": 1900, "DEVELOPERS.md": 2200}


def blocks(language: str, text: str = README) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)


def outside_blocks(text: str) -> str:
    return re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE)


def typed_commands() -> list[str]:
    """Every `chairgap ...` of the documents: in shell blocks, before a screen, and in the running text."""
    lines = []
    for name, text in DOCUMENTS.items():
        if name != "reports/CHANGELOG.md":  # of older versions
            lines += [line for block in blocks("sh", text) for line in block.splitlines()]
            lines += [block.splitlines()[0].removeprefix("$ ") for block in blocks("console", text)]
            lines += re.findall(r"`(chairgap \w[^`]*)`", outside_blocks(text))
    commands = [
        line for line in lines if line.startswith("chairgap ") and "&&" not in line and "$(" not in line
    ]
    return list(dict.fromkeys(commands))


def screens() -> list[str]:
    """The screens of all documents but the first, of the demo, which is looked at in test_wheel.py."""
    return [block for text in DOCUMENTS.values() for block in blocks("console", text) if "demo" not in block]


def test_the_two_commands_install_and_run_in_one_line_each() -> None:
    demo, tests = (block.strip() for block in blocks("sh")[:2])
    assert "\n" not in demo + tests
    assert demo.endswith("&& .venv/bin/pip install --quiet . && .venv/bin/chairgap demo reports/first-look")
    assert tests.endswith("&& .venv/bin/pip install --quiet -e '.[dev]' && .venv/bin/python -m pytest")
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert {".venv/", "reports/*", "!reports/sample/", "!reports/CHANGELOG.md"} <= set(ignored)
    assert (ROOT / ".ci" / "run").read_text(encoding="utf-8").endswith("-m pytest\n")


@pytest.mark.parametrize("line", typed_commands())
def test_command_is_understood(line: str) -> None:
    _, name, *words = shlex.split(line, comments=True)
    command = cli.command_of(name)
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


# The map of a flip takes a quarter of a minute; its numbers are also those of test_cli_flip.py.
@pytest.mark.parametrize(
    "screen",
    [
        pytest.param(screen, marks=[pytest.mark.long] if screen.split()[2] == "flip" else [])
        for screen in screens()
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


@pytest.mark.parametrize("name", DOCUMENTS)
def test_links_and_paths_lead_somewhere(name: str) -> None:
    prose = outside_blocks(DOCUMENTS[name])
    links = [link for link in re.findall(r"\]\(([^)]+)\)", prose) if not link.startswith("http")]
    assert not [link for link in links if not (ROOT / name).parent.joinpath(link).exists()]
    # Files and folders between backticks: seen from the root, the rooms, or the document's folder.
    paths = re.findall(r"`([\w/.]+(?:\.py|\.js|/))`", prose) if name != "reports/CHANGELOG.md" else []
    homes = (ROOT, ROOMS, (ROOT / name).parent)
    assert not [path for path in paths if not any((home / path).exists() for home in homes)]


@pytest.mark.parametrize("name", MOST_WORDS)
def test_document_stays_short(name: str) -> None:
    assert len(DOCUMENTS[name].split()) <= MOST_WORDS[name]


def test_the_house_in_the_document_is_the_house_of_the_code() -> None:
    """Every room stands in the table once, in the order of the layers of pyproject.toml."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]
    layers = contracts["contracts"][0]["layers"]
    floors = [[room.strip().removeprefix("chairgap.") for room in layer.split("|")] for layer in layers[1:]]
    table = DOCUMENTS["DEVELOPERS.md"].split("| what it does |")[1].split("\n\n")[0]
    listed = [
        room.removesuffix(".py").rstrip("/").replace("/", ".")
        for line in table.splitlines()[2:]
        for room in re.findall(r"`([\w/.]+)`", line.split("|")[1])
    ]
    assert sorted(listed) == sorted(room for floor in floors for room in floor)
    floor_of = {room: number for number, floor in enumerate(floors) for room in floor}
    numbers = [floor_of[room] for room in listed]
    assert numbers == sorted(numbers)


@pytest.mark.parametrize(("readme", "made"), [(README, in_short), (DATA_README, in_full)])
def test_how_far_to_trust_it_is_made_from_the_scorecard(readme: str, made: Callable[..., str]) -> None:
    fresh = refreshed(readme, made(read_scorecard()))
    assert fresh == readme, "run: python tests/packaging/refresh_readme.py"


def test_wrong_signs_are_counted_named_and_marked() -> None:
    """By the shipped rows themselves, not by the code that makes both sections."""
    for model in ("MMFF94", "UFF", "MMFF94 in water"):
        known = [row for row in read_scorecard() if row.model == model and row.gibbs_kcal_mol is not None]
        wrong = [row.group for row in known if (row.gibbs_kcal_mol or 0.0) * row.a_value_kcal_mol < 0.0]
        errors = [abs((row.gibbs_kcal_mol or 0.0) - row.a_value_kcal_mol) for row in known]
        short = f"{model} {sum(errors) / len(errors):.2f} ({len(known)}, {len(wrong)})"
        assert short in README
        assert f"- {model}: {len(wrong)} of {len(known)}: {', '.join(wrong)}." in DATA_README
        assert model != "MMFF94" or f"has the wrong sign for {', '.join(wrong)}." in README
    (row,) = (line for line in DATA_README.splitlines() if line.startswith("| Cl |"))
    assert re.search(r"-0\.\d\d !", row)
