"""Results in a notebook: tables, look, drawings, errors."""

import base64
import runpy
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pandas as pd
import pytest

from chairgap import (
    ChairgapError,
    EngineError,
    InputError,
    StudyError,
    StudyResult,
    compare_chairs,
    read_study,
    run_study,
)
from chairgap.notebook import asking
from chairgap.report.gaps_table import GAPS
from chairgap.text import typeset
from report.made_outcome import outcome, polar_result, result, symmetric_result

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture(scope="module")
def fluoro():
    return compare_chairs("1 up F", name="<b>fluoro</b>", effort="quick", temperature_k=250)


@pytest.fixture
def made() -> StudyResult:
    return StudyResult(_outcome=outcome(result(), polar_result(), symmetric_result()))


class Reader(HTMLParser):
    """Text, and the tags that were opened."""

    def __init__(self, text: str):
        super().__init__()
        self.tags: list[str] = []
        self.words: list[str] = []
        self.images: list[dict[str, str | None]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs) -> None:
        self.tags.append(tag)
        if tag == "img":
            self.images.append(dict(attrs))

    def handle_data(self, data) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


# --- one molecule ----------------------------------------------------------------------------------------


def test_molecule_has_its_numbers_under_the_settings_asked_for(fluoro) -> None:
    assert (fluoro.name, fluoro.smiles, fluoro.groups) == ("<b>fluoro</b>", "FC1CCCCC1", "1 up F")
    assert fluoro.settings.temperature_k == 250.0
    assert fluoro.estimate.gap_kcal_mol == 0.28  # the A-value of F in data/a_values.csv
    assert (fluoro.headline.chair, fluoro.anchored.gap_kcal_mol) == ("A", 0.28)  # measured, one group
    assert fluoro.anchored_parts["part"].tolist() == ["measured A-value"]
    assert fluoro.gaps.gibbs_kcal_mol == fluoro.to_frame().filter(regex="^gibbs_gap_B").iloc[0, 0]
    assert [chair.name for chair in fluoro.chairs] == ["1e", "1a"]
    assert "1e" in repr(fluoro) or "undecided" in repr(fluoro)
    assert "250.00 K" in repr(fluoro)


def test_frames_have_the_columns_of_the_files_and_types(fluoro) -> None:
    frame = fluoro.to_frame()
    assert tuple(frame.columns) == GAPS.headers
    assert frame.shape[0] == 1
    assert frame["temperature_k"].dtype == "float64"
    assert frame["conformers"].dtype == "Int64"
    assert frame["estimate_complete"].dtype == "boolean"
    assert len(fluoro.conformers) == frame["conformers"].iloc[0]
    assert fluoro.ledger["groups"].tolist() == ["F"]
    assert set(fluoro.split["part"]) >= {"single group"}
    assert len(fluoro.temperatures) == 5
    assert pd.concat([frame, frame]).shape[0] == 2


def test_molecule_as_html_shows_everything_and_escapes(fluoro) -> None:
    read = Reader(fluoro._repr_html_())
    assert "<b>fluoro</b>" in read.text  # as text
    for words in (
        "Chair 1e (A) by 0.28 +- 0.14 kcal/mol, 64 % (hand sum 0.28, MMFF94 -0.2",
        "Gibbs energies at 250.00 K, G(1a) - G(1e)",
        "Chair B (1a): axial 1 up F; equatorial none",
        "Estimate G(B) - G(A) +0.28 (0.15 to 0.42) kcal/mol",
        "Measured for F: G(axial) - G(equatorial) = +0.28 kcal/mol",
        "MMFF94, gas phase, 250.00 K",
        "positive means that chair A is preferred",
        "Gibbs energy, quasi-harmonic, at 250.00 K, G(B) - G(A)",
        "F axial on C1: A-value of F 0.28",
    ):
        assert typeset(words) in read.text, words
    # The first pictures of the page: both chairs, the flat drawing, and the projections of each chair.
    chairs, flat, *newman = [image["alt"] or "" for image in read.images]
    assert "F on carbon 1 axial" in chairs and flat and len(newman) == 2
    for image in read.images:
        svg = base64.b64decode((image["src"] or "").removeprefix("data:image/svg+xml;base64,"))
        assert ElementTree.fromstring(svg).tag.endswith("svg")


def test_drawings_are_svg_with_words(fluoro, tmp_path: Path) -> None:
    chairs, flat = fluoro.draw(), fluoro.draw("molecule")
    assert chairs._repr_svg_() != flat._repr_svg_()
    assert "axial" in repr(chairs)
    saved = chairs.save(tmp_path / "new" / "chairs.svg")
    assert ElementTree.fromstring(saved.read_text()).tag.endswith("svg")
    with pytest.raises(InputError, match=r"There is no drawing 'chair'\. Did you mean 'chairs'\?"):
        fluoro.draw("chair")


# --- a study ---------------------------------------------------------------------------------------------


def test_study_is_a_sequence_with_names(made) -> None:
    assert len(made) == 3
    assert made.names == tuple(item.name for item in made)
    assert made[0].name == made["methylcyclohexane"].name == "methylcyclohexane"
    assert made[-1].name == made.names[-1]
    with pytest.raises(IndexError):
        made[3]
    with pytest.raises(InputError, match=r"called 'methylcyclohexan'\. Did you mean 'methylcyclohexane'"):
        made["methylcyclohexan"]
    assert [item.name for item in (*made.refused, *made.failed)] == ["=benzene", "hard one"]


def test_study_as_frame_and_html(made) -> None:
    frame = made.to_frame()
    assert tuple(frame.columns) == GAPS.headers
    assert frame["status"].tolist() == ["done", "done", "done", "refused", "failed"]
    assert len(made.conformers) == 5
    assert len(made.ledger) == 3
    read = Reader(made._repr_html_())
    assert read.tags.count("tr") == 4
    assert "fluoro | <b>odd</b> *name*" in read.text
    assert "refused: =benzene: There is no saturated ring" in read.text
    assert "x MMFF94: opposite chair" in read.text and "charged groups" in read.text
    assert "script" not in read.tags
    assert repr(made) == "<Made for tests: 3 molecules, 2 refused or failed>"


def test_studies_longer_than_a_screen_say_so() -> None:
    many = StudyResult(_outcome=outcome(*(result(str(number)) for number in range(103))))
    text = many._repr_html_()
    assert Reader(text).tags.count("tr") == 101
    assert "3 more are not shown; to_frame() has all." in text


def test_run_study_without_a_folder_writes_nothing(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "one.toml").write_text(
        'title = "One"\n[search]\neffort = "quick"\n[[molecule]]\nname = "F"\nsmiles = "FC1CCCCC1"\n'
    )
    study = read_study(Path("one.toml"))
    ran = run_study(study)
    assert ran.names == ("F",)
    assert [path.name for path in tmp_path.iterdir()] == ["one.toml"]
    kept = run_study("one.toml", output="out")
    assert (tmp_path / "out" / "gaps.csv").is_file()
    assert kept[0].gaps == ran[0].gaps
    with pytest.raises(InputError, match="name one with output"):
        run_study(study, workers=2)


# --- what is asked wrongly -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("molecules", "settings", "words"),
    [
        ("1 up CH3", {"temprature_k": 300}, r"field 'temprature_k'.*Did you mean 'temperature_k'"),
        ("1 up CH3", {"force_field": "MMF94"}, r"field 'force_field'.*Did you mean 'MMFF94'"),
        ("1 up CH3", {"temperature_k": "warm"}, r"field 'temperature_k': It cannot be \"warm\""),
        ("1 up CH3", {"temperature_k": float("nan")}, r"field 'temperature_k': It cannot be nan"),
        ("1 up CH3", {"seed": {}}, r"field 'seed': It cannot be a dict"),
        ("1 up CH3", {"table": "nix.csv"}, r"field 'table': There is no A-value table"),
        ("1 up CH3", {"medium": "watr"}, r"field 'medium'.*water"),
        ("1 up CH3", {"stereo": "both"}, r"field 'stereo'"),
        ("1 up CH4", {}, r"field 'molecules': 1 up CH4: Group 'CH4' is not in table"),
        ("c1ccccc1", {}, r"field 'molecules': .*aromatic"),
        ([], {}, "There is no molecule"),
        (3, {}, "There is no molecule"),
        ([3], {}, r"field 'molecules\[1\]': A molecule is a text"),
        (["1 up F", "1 up F"], {}, "'1 up F' is there twice"),
    ],
)
def test_what_is_wrong_is_reported_with_its_keyword(molecules, settings, words) -> None:
    with pytest.raises(ChairgapError, match=words) as raised:
        compare_chairs(molecules, **settings)
    assert "command line" not in str(raised.value)


def test_all_that_is_wrong_is_reported_at_once() -> None:
    with pytest.raises(StudyError) as raised:
        compare_chairs("1 up CH3", force_field="MMF94", effort="much", seed=-1)
    assert len(raised.value.problems) == 3


def test_one_text_with_several_isomers_asks_for_a_list(monkeypatch) -> None:
    monkeypatch.setattr(asking, "run_here", lambda study, **_: outcome(result("cis"), result("trans")))
    with pytest.raises(InputError, match=r"There are 2 stereoisomers of 'CC1CCCCC1O'"):
        compare_chairs("CC1CCCCC1O", stereo="all")


def test_a_molecule_that_fails_is_an_error(monkeypatch) -> None:
    lost = asking.replace(outcome(result()), results=())
    monkeypatch.setattr(asking, "run_here", lambda study, **_: lost)
    with pytest.raises(StudyError, match="hard one: No start converged") as raised:
        compare_chairs("1 up CH3")
    assert isinstance(raised.value.problems[0], EngineError)


# --- the example that ships ------------------------------------------------------------------------------


def test_the_example_runs(tmp_path: Path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    runpy.run_path(str(CONFIGS / "demo_notebook.py"), run_name="__main__")
    told = capsys.readouterr().out
    assert "<trans-1,2-dimethylcyclohexane: preferred 1e 2e (A), anchored gap G(B) - G(A) " in told
    # 2 x 1.70 - 0.90 to 2 x 1.82 - 0.74
    assert "estimate +2.61 (2.50 to 2.90)" in told
    assert "Did you mean 'MMFF94'?" in told
    assert (tmp_path / "trans.svg").is_file()


def test_the_completed_sum_stands_beside_the_hand_sum() -> None:
    """trans-1,4-dichloride: 2 x 0.53 as taught, and -1.327 for the pair (MP2, gas phase)."""
    found = compare_chairs("1 up Cl, 4 down Cl", pairs="completed", effort="quick", temperature_series_k=[])
    assert found.completed is not None
    assert (found.estimate.gap_kcal_mol, found.completed.gap_kcal_mol) == (
        pytest.approx(1.06),
        pytest.approx(1.06 - 1.327),
    )
    assert found.ledger["origin"].tolist() == ["published", "published", "computed, MP2/def2-TZVP"]
    shown = found._repr_html_()
    assert typeset("+1.06 (0.86 to 1.28); completed -0.27") in shown
    assert "subtotal: pairs, computed, MP2/def2-TZVP" in shown
