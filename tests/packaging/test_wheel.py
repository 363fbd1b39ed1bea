"""The wheel holds everything the program needs, and what it installs runs from an empty folder."""

import csv
import os
import re
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest

from chairgap.minimise.compiled.building import NAME as LIBRARY
from chairgap.minimise.compiled.building import compiler
from study_files import STUDY_FILES

pytestmark = pytest.mark.packaging

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
PACKAGE = ROOT / "pipeline" / "chairgap"
HAS_COMPILER = compiler() is not None
DEMO_REFUSED = ROOT / "configs" / "demo_refused.toml"


def run(*command: str | Path, cwd: Path, expected: int = 0) -> str:
    """Run a command with no standard input and none of this process's Python settings; returns its output."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV_"))}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=clean | {"NO_COLOR": "1", "COLUMNS": "120"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == expected, f"{command} left with {done.returncode}\n{done.stdout}\n{done.stderr}"
    return done.stdout + done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout, built with the tools at hand (nothing is fetched)."""
    out = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", out, ROOT, cwd=out)
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of an empty environment with the wheel, and nothing else, installed.

    Its dependencies are lent by a path file. Path files inside the lent folder are not followed, so an
    editable installation of this checkout stays out of sight.
    """
    home = tmp_path_factory.mktemp("environment")
    venv.create(home, with_pip=False)
    paths = sysconfig.get_paths(scheme="venv", vars={"base": str(home), "platbase": str(home)})
    python = Path(paths["scripts"]) / ("python.exe" if os.name == "nt" else "python")
    run(
        sys.executable, "-m", "pip", "--python", python, "install", "--no-deps", "--no-index", wheel, cwd=home
    )
    lent = sysconfig.get_paths()["purelib"]
    Path(paths["purelib"], "lent.pth").write_text(f"{lent}\n", encoding="utf-8")
    return Path(paths["scripts"])


def test_wheel_holds_package_tables_studies_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if not name.split("/")[0].endswith(".dist-info")}
    code = {
        file.relative_to(PACKAGE.parent).as_posix()
        for file in PACKAGE.rglob("*")
        if file.is_file() and "__pycache__" not in file.parts and file.name != LIBRARY
    }
    compiled = {f"chairgap/minimise/compiled/{LIBRARY}"} if HAS_COMPILER else set()
    shipped = {
        f"chairgap/{file.relative_to(ROOT).as_posix()}"
        for folder in ("data", "configs")
        for file in (ROOT / folder).rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    assert {"chairgap/cli/app.py", "chairgap/search/explore.py"} <= code
    assert {"chairgap/data/a_values.csv", "chairgap/configs/demo.toml"} <= shipped
    assert {"chairgap/py.typed", "chairgap/handout/templates/questions.html"} <= code
    assert names == code | compiled | shipped
    assert wheel.name.endswith("-py3-none-any.whl") is not HAS_COMPILER


def test_without_a_compiler_the_wheel_is_pure_and_rdkit_minimises(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CC", "false")
    said = run(
        sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", tmp_path, ROOT, cwd=tmp_path
    )
    assert "The compiled force field is left out, RDKit minimises: false failed" in said
    (built,) = tmp_path.glob("*.whl")
    assert built.name.endswith("-py3-none-any.whl")
    with zipfile.ZipFile(built) as archive:
        assert not [name for name in archive.namelist() if name.endswith(LIBRARY)]
        archive.extractall(tmp_path / "library")
    home = f"import sys; sys.path.insert(0, {str(tmp_path / 'library')!r}); "
    asked = "import chairgap; found = chairgap.compare_chairs('1 up F', effort='quick'); "
    shown = "print(chairgap.__file__, found._outcome.results[0].conformers[0].check.note)"
    words = run(sys.executable, "-c", home + asked + shown, cwd=tmp_path)
    assert words.startswith(str(tmp_path)) and "minimised by RDKit, checked by OpenMM" in words


def test_wheel_metadata_is_what_pyproject_declares(wheel: Path) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    with zipfile.ZipFile(wheel) as archive:
        (metadata,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        (entries,) = (name for name in archive.namelist() if name.endswith(".dist-info/entry_points.txt"))
        told = Parser().parsestr(archive.read(metadata).decode())
        programs = archive.read(entries).decode()
    needed = [line for line in told.get_all("Requires-Dist", []) if "extra ==" not in line]
    assert (told["Name"], told["Version"]) == ("chairgap", project["version"])
    assert told["Requires-Python"] == project["requires-python"]
    assert told["Author"] == "chairgap contributors"
    fields = (*told.keys(), *told.get_all("Classifier", []))
    assert not [field for field in fields if "licen" in field.lower()], "the owner chooses a licence"
    assert {line.split("<")[0].split(">")[0] for line in needed} == {
        line.split("<")[0].split(">")[0] for line in project["dependencies"]
    }
    assert all("<" in line and ">=" in line for line in needed), "every dependency has both bounds"
    assert "chairgap = chairgap.cli.interrupts:run" in programs


def test_installed_program_runs_the_demo_from_an_empty_folder(installed: Path, tmp_path: Path) -> None:
    where = run(installed / "python", "-c", "import chairgap; print(chairgap.__file__)", cwd=tmp_path).strip()
    assert Path(where).is_relative_to(installed.parent), "the wheel itself must be what runs"
    shown = run(installed / "chairgap", "demo", cwd=tmp_path)
    results = tmp_path / "reports" / "demo"
    assert {file.name for file in results.iterdir()} == STUDY_FILES
    assert "Traceback" not in shown
    with (results / "gaps.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) >= 12
    assert {(row["status"], row["engines_agree"]) for row in rows} == {("done", "yes")}
    screen = re.findall(
        r"^```console\n(.*?)^```$", README.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE
    )[0]
    lines = iter([line.rstrip() for line in shown.splitlines()])
    for line in screen.splitlines()[1:]:
        assert line in lines, f"in the README, but not shown or not in this order: {line}"


@pytest.mark.long
def test_installed_program_shows_what_is_refused_and_treats_the_rest(installed: Path, tmp_path: Path) -> None:
    shown = run(installed / "chairgap", "study", DEMO_REFUSED, cwd=tmp_path, expected=1)
    with (tmp_path / "reports" / "demo_refused" / "gaps.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["name"]: row["status"] for row in csv.DictReader(file)}
    assert len(rows) == 5
    assert [name for name, status in rows.items() if status == "done"] == ["trans-2-methylcyclohexanol"]
    assert all(f"refused: {name}" in shown for name, status in rows.items() if status == "refused")


def test_installed_program_reads_its_own_tables(installed: Path, tmp_path: Path) -> None:
    assert "Table 'chairgap' is sound" in run(installed / "chairgap", "tables", "--check", cwd=tmp_path)
    assert "Table 'textbook' is sound" in run(
        installed / "python", "-m", "chairgap", "tables", "textbook", "--check", cwd=tmp_path
    )
    assert not list(tmp_path.iterdir())


@pytest.mark.long
def test_installed_package_has_its_pages_and_its_names(installed: Path, tmp_path: Path) -> None:
    asked = "import chairgap; found = chairgap.compare_chairs('1 up F', effort='quick'); "
    shown = run(installed / "python", "-c", f"{asked}print(found); found._repr_html_()", cwd=tmp_path)
    assert shown.startswith("<1 up F: preferred 1e (A), anchored gap G(B) - G(A) +0.28")
    study = 'title = "T"\n[search]\neffort = "quick"\n[[molecule]]\nname = "F"\nsmiles = "FC1CCCCC1"\n'
    (tmp_path / "one.toml").write_text(study, encoding="utf-8")
    run(installed / "chairgap", "handout", "one.toml", "--no-pdf", cwd=tmp_path)
    assert (tmp_path / "reports" / "one" / "handout" / "questions_2.html").is_file()
