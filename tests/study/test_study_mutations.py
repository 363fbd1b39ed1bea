"""Whatever is done to the text of a study, CSV or SDF, nothing but a ChairgapError comes out."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chairgap.errors import ChairgapError, StudyError
from chairgap.records import Study
from chairgap.study.reading import study_from_text

CONFIGS = Path(__file__).parents[2] / "configs"
DEMO = (CONFIGS / "demo.toml").read_text(encoding="utf-8")
PATTERNS = (CONFIGS / "patterns.toml").read_text(encoding="utf-8")
CSV = (CONFIGS / "demo_molecules.csv").read_text(encoding="utf-8")
SDF = """\
methane

made by hand
  1  0  0  0  0  0            999 V2000
    0.0000    0.0000    0.0000 C   0  0
M  END
> <name>
other

$$$$

no title
made by hand
  1  0  0  0  0  0            999 V2000
    0.0000    0.0000    0.0000 C   0  0
M  END
$$$$
"""
SCRAPS = [
    "[",
    "]",
    "[[",
    "]]",
    "[[molecule]]",
    "[[pattern]]",
    "groups = ['CH3', '*C(C)CC']",
    "carbons = [1, 2, 3]",
    "[search]",
    "=",
    "'",
    '"',
    '"""',
    ",",
    ";",
    "{",
    "}",
    "\\",
    "\n",
    "\r",
    "\t",
    "\0",
    "\x1b",
    "#",
    ".",
    "-1",
    "1e999",
    "nan",
    "true",
    "2026-11-25",
    "0x" + "f" * 50,
    "é",
    "\u2028",
    "name",
    "stereo = 'all'",
    "> <name>",
    "$$$$",
    "substituents",
    "molecules_csv = ['..']",
    "folder = '/'",
]


@st.composite
def mutated(draw: st.DrawFn, text: str) -> str:
    """The text after one to six cuts, doublings, moves and insertions of scraps."""
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, len(text)))
        end = draw(st.integers(start, min(len(text), start + 80)))
        kind = draw(st.sampled_from(("cut", "double", "move", "insert", "replace")))
        piece, rest = text[start:end], text[:start] + text[end:]
        if kind == "cut":
            text = rest
        elif kind == "double":
            text = text[:end] + piece + text[end:]
        elif kind == "move":
            to = draw(st.integers(0, len(rest)))
            text = rest[:to] + piece + rest[to:]
        else:
            scrap = draw(st.sampled_from(SCRAPS) | st.text(max_size=4))
            text = text[:start] + scrap + (text[start:] if kind == "insert" else text[end:])
    return text


def check(text: str, path: Path) -> None:
    try:
        study = study_from_text(text, path)
    except ChairgapError as error:
        problems = error.problems if isinstance(error, StudyError) else (error,)
        assert error.exit_code == 2
        assert problems
        for problem in problems:
            assert problem.place.file
            assert problem.message.endswith(".")
        return
    check_study(study)


def check_study(study: Study) -> None:
    """What every later stage may take for granted."""
    settings_ = study.settings
    assert 1.0 <= settings_.temperature_k <= 2000.0
    assert settings_.undecided_below_kcal_mol >= 0.0
    assert settings_.size_tolerance_kcal_mol >= 0.0
    assert settings_.search.most_starts >= 1
    assert settings_.title.strip()
    assert settings_.output.strip()
    assert study.requests
    names = [request.name for request in study.requests]
    assert len(set(names)) == len(names)
    for request in study.requests:
        given_forms = [request.smiles, request.substituents, request.molblock]
        assert sum(form is not None for form in given_forms) == 1
        assert request.name.strip()
        assert "\n" not in request.name
    for refusal in study.refused:
        assert refusal.name.strip()
        assert refusal.message


MUTATIONS = settings(max_examples=100, derandomize=True, deadline=None)
IN_A_FOLDER = settings(MUTATIONS, suppress_health_check=[HealthCheck.function_scoped_fixture])


@MUTATIONS
@given(text=mutated(DEMO))
def test_mutated_demo_study(text: str) -> None:
    check(text, CONFIGS / "demo.toml")


@pytest.mark.long
@MUTATIONS
@given(text=mutated(PATTERNS))
def test_mutated_study_of_patterns(text: str) -> None:
    check(text, CONFIGS / "patterns.toml")


@MUTATIONS
@given(text=st.text(max_size=60))
def test_any_text_as_a_study(text: str) -> None:
    check(text, CONFIGS / "demo.toml")


@IN_A_FOLDER
@given(text=mutated(CSV))
def test_mutated_csv(text: str, tmp_path: Path) -> None:
    (tmp_path / "more.csv").write_bytes(text.encode("utf-8", "surrogatepass"))
    check("title = 'a'\nmolecules_csv = ['more.csv']\n", tmp_path / "study.toml")


@pytest.mark.long
@IN_A_FOLDER
@given(text=mutated(SDF))
def test_mutated_sdf(text: str, tmp_path: Path) -> None:
    (tmp_path / "more.sdf").write_bytes(text.encode("utf-8", "surrogatepass"))
    check("title = 'a'\nmolecules_sdf = ['more.sdf']\n", tmp_path / "study.toml")
