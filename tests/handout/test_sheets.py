"""What stands on a question sheet and what must not; what stands in a key."""

import csv
import io
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from handout_helpers import TABLE, handout, made, outcome_of, reason, texts, usual_outcome

from chairgap.compare.verdict import percent_a
from chairgap.estimate.ledger import estimate_gap
from chairgap.handout.wording import may_be_shown
from chairgap.report.names import name_words
from chairgap.text import typeset
from pipeline_helpers import molecule

QUESTIONS = ("questions_1.html", "questions_2.html", "questions_1.md", "questions_2.md")
KEYS = ("key_1.html", "key_2.html", "key_1.md", "key_2.md")


@pytest.fixture(scope="module")
def written() -> dict[str, str]:
    return texts(usual_outcome(), questions=5)


def alts(text: str) -> list[str]:
    """The words that stand for drawings, in HTML and in Markdown."""
    return re.findall(r'aria-label="([^"]*)"', text) + re.findall(r"!\[([^\]]*)\]", text)


def groups_by_face_of(written: dict[str, str], version: str) -> dict[int, str]:
    rows = csv.DictReader(io.StringIO(written["matching.csv"]))
    return {int(row["question"]): row["groups_by_face"] for row in rows if row["version"] == version}


def test_files_of_a_handout(written) -> None:
    drawings = {f"drawings/questions_{v}_{n}.svg" for v in "12" for n in range(1, 6)}
    answers = {f"key_drawings/key_{v}_{n}.svg" for v in "12" for n in range(1, 6)}
    frames = {"drawings/chair_frames.svg", "drawings/chair_frames_other.svg"}  # which is left is by chance
    assert frames & set(written)
    assert set(written) - frames == {
        *(*QUESTIONS, *KEYS, "matching.csv", "handout.json"),
        *drawings,
        *answers,
    }


def test_keys_name_the_molecule_as_their_sheet_draws_it() -> None:
    """The other version has the mirror image, or other numbers."""
    files = texts(outcome_of(made("1 up OH, 3 down CH3", "some name")), questions=1)
    names = {version: groups_by_face_of(files, version)[1] for version in "12"}
    assert names["1"] != names["2"]
    for version, groups in names.items():
        words = name_words(molecule(groups).naming)
        assert "-3-methylcyclohexan-1-ol (trans)" in words
        for kind in ("md", "html"):
            assert words in files[f"key_{version}.{kind}"]
            assert "Systematic name" not in files[f"questions_{version}.{kind}"]


# --- no answer among the questions -----------------------------------------------------------------------


def test_drawings_and_their_words_give_no_answer_away(written) -> None:
    for name in QUESTIONS:
        assert alts(written[name])
        for words in alts(written[name]):
            assert not re.search(r"axial|equatorial|chair [AB]\b|prefer|kcal", words), words
    for name, text in written.items():
        if name.startswith("drawings/"):
            # A colour may end in 6e.
            drawn = re.sub(r"\"#[0-9a-f]{6}\"", "", text)
            assert not re.search(r"axial|equatorial|>[ae]<|[1-6][ae]\b", drawn), name


def test_drawings_within_pages_give_no_answer_away(written) -> None:
    for name in ("questions_1.html", "questions_2.html"):
        drawings = re.findall(r"<svg.*?</svg>", written[name], flags=re.DOTALL)
        assert len(drawings) == 10
        assert not any(re.search(r"axial|equatorial|>[ae]<", drawing) for drawing in drawings)


def test_questions_name_no_chair_by_its_answer_and_no_estimate(written) -> None:
    for version in "12":
        rows = csv.DictReader(io.StringIO(written["matching.csv"]))
        sizes = [float(row["estimated_gap_size_kcal_mol"]) for row in rows if row["version"] == version]
        asked = [written[f"questions_{version}.{end}"] for end in ("html", "md")]
        table = {f"{float(n):.2f}" for n in re.findall(r">(\d\.\d\d)<", asked[0])}
        for text in asked:
            assert not re.search(
                r"\b[1-6][ae]( [1-6][ae])*\b", re.sub(r"<style>.*?</style>", "", text, flags=re.S)
            )
            assert "key" not in re.sub(r"<style>.*?</style>", "", text, flags=re.S).casefold()
            for size in sizes:
                if (
                    f"{size:.2f}" not in table
                ):  # the A-value of one group is the answer and stands in the table
                    assert f"{size:.2f}" not in text
            assert "MMFF94" not in text


def test_names_that_tell_are_not_shown() -> None:
    assert all(map(may_be_shown, ("menthol", "cis-1,3-dimethylcyclohexane", "problem 4", "1-ethyl-4-nitro")))
    telling = ("diaxial case", "1e 4a", "Equatorial OH", "twist-boat", "most stable", "5.4 kcal", "ax-Me")
    assert not any(map(may_be_shown, telling))
    hidden = texts(outcome_of(made("1 up CH3", "axial trap")), versions=1)
    assert "axial trap" not in hidden["questions_1.html"] + hidden["questions_1.md"]
    assert "axial trap" in hidden["key_1.html"]


def test_names_are_shown_for_all_or_none_of_a_match() -> None:
    different = texts(outcome_of(made("1 up CH3", "one name"), made("1 up C2H5", "other name")), questions=1)
    shown = different["questions_1.html"] + different["questions_2.html"]
    assert "one name" in shown and "other name" in shown
    twins = texts(outcome_of(made("1 up OH, 3 down CH3", "some name")), questions=1)
    assert "some name" not in twins["questions_1.html"] + twins["questions_2.html"]


# --- the key ---------------------------------------------------------------------------------------------


def test_key_has_positions_terms_gap_and_percent() -> None:
    # cis-1,3-dimethylcyclohexane: 1.74 + 1.74 + 1.96 = 5.44 kcal/mol (Allinger and Miller 1961 for the pair)
    written = texts(outcome_of(made("1 up CH3, 3 up CH3", "cis-1,3")), versions=1)
    for name in ("key_1.html", "key_1.md"):
        text = " ".join(written[name].split())
        for words in (
            "dG = G(chair 1) - G(chair 2) = 5.44 - 0.00 = +5.44 kcal/mol",
            "over the ranges of the table +5.40 to +5.52",
            "Preferred: chair 2 (CH3 on carbon 1 equatorial, CH3 on carbon 3 equatorial)",
            "K = 9,720, 99.99 % for chair 2, the chair with the CH3 on carbon 1 equatorial",
            "A-value of CH3 1.74",
            "Computation prefers: chair 2",
            "MMFF94, gas phase: Gibbs energy, quasi-harmonic, at 298.15 K, G(chair 1) - G(chair 2) = +5.54",
            "A person decides a grade.",
        ):
            assert typeset(words) in text, words


@pytest.mark.parametrize("name", ["questions_1.html", "questions_1.md", "key_1.html", "key_1.md"])
def test_sheets_have_true_letters_but_names_stay_as_given(name: str) -> None:
    groups = "1 up CH3, 4 up C(CH3)3"
    asked = outcome_of(made(groups, "CH3 on 1", sign="disagrees", reasons=(reason("vibrations"),)))
    written = re.sub(
        r"<svg.*?</svg>|<style.*?</style>|!\[.*?\]\(", "", texts(asked, versions=1)[name], flags=re.DOTALL
    )
    assert "CH3 on 1" in written
    rest = written.replace("CH3 on 1", "")
    assert "\u0394G" in rest and "CH\u2083" in rest and "C(CH\u2083)\u2083" in rest and " \u2212 " in rest
    for plain in ("dG", "CH3", " - G", "+-"):
        assert plain not in rest, plain


def test_dg_has_the_direction_that_the_sheet_gives_it() -> None:
    """cis-4-tert-butylcyclohexanol: dG of OH is negative, that of tert-butyl positive; the seed chooses."""
    keys = [texts(outcome_of(made("1 up OH, 4 up C(CH3)3")), versions=1, seed=n) for n in range(6)]
    negative = [key for key in keys if "0.70 \u2212 4.90 = \u22124.20 kcal/mol" in key["key_1.md"]]
    positive = [key for key in keys if "4.90 \u2212 0.70 = +4.20 kcal/mol" in key["key_1.md"]]
    assert len(negative) + len(positive) == 6 and negative and positive
    text = negative[0]["key_1.md"]
    assert "over the ranges of the table \u22124.88 to \u22123.46" in text  # 0.52 - 5.40 and 1.04 - 4.50
    # percent from dG by hand: 100 / (1 + exp(4.20 / 0.5925)) = 0.08
    assert percent_a(-4.20, 298.15) == pytest.approx(0.08, abs=0.005)
    assert "0.08 %" in text
    # computed, in the same direction: the estimate and 0.10 more, turned
    assert "= \u22124.30 kcal/mol" in text
    assert "\u22124.50 to \u22124.10" in text
    assert "G(chair with the OH on carbon 1 axial)" in negative[0]["questions_1.md"]
    assert "G(chair with the C(CH\u2083)\u2083 on carbon 4 axial)" in positive[0]["questions_1.md"]


def test_groups_without_a_name_are_explained() -> None:
    written = texts(outcome_of(made("1 up *CCO, 4 up *CCO", equal=True)), versions=1)
    assert "*CCO on carbon 1 (up)" in written["questions_1.html"]
    assert "A group written with * is a SMILES" in written["questions_1.html"]


def test_geminal_groups_are_reported_by_their_faces() -> None:
    written = texts(outcome_of(made("1 up CH3, 1 down CH3", equal=True)), versions=1)
    assert "G(chair with the upper CH\u2083 on carbon 1 axial)" in written["questions_1.html"]
    assert "neither: the two chairs are the same or mirror images" in written["key_1.html"]


def test_doubts_stand_before_the_answer() -> None:
    doubtful = made("1 up OH, 4 down CH3", sign="disagrees", preferred="B", reasons=(reason("vibrations"),))
    written = texts(outcome_of(doubtful), versions=1)
    for name in ("key_1.html", "key_1.md"):
        text = written[name]
        warned = text.index("Do not mark (d) before you have read this")
        assert warned < text.index("The computation prefers the other chair") < text.index("(a)", warned)
        assert "vibrations: invented vibrations" in text
    assert "Do not mark" not in written["questions_1.html"]


def test_reasons_of_a_twin_say_whose_numbering_they_have() -> None:
    doubtful = made("1 up OH, 3 down CH3", size="disagrees", reasons=(reason("vibrations"),))
    written = texts(outcome_of(doubtful), versions=2)
    assert "carbons as in" not in written["key_1.html"]
    assert "carbons as in &#39;1 up OH, 3 down CH\u2083&#39;" in written["key_2.html"]


def test_key_tells_what_was_left_out() -> None:
    written = texts(outcome_of(made("1 up CH3"), made("1 up Br, 2 down Br", "odd one")), versions=1)
    assert (
        "Not asked about: odd one, since the table has no value for vicinal gauche Br/Br"
        in written["key_1.html"]
    )
    assert "odd one" not in written["questions_1.html"]


# --- seeds, matching, Markdown, markup -------------------------------------------------------------------


def test_same_seed_same_bytes_and_another_seed_another_sheet() -> None:
    one, again = (handout(usual_outcome(), seed=7, questions=4).contents for _ in range(2))
    assert one == again
    sheets = {handout(usual_outcome(), seed=seed, questions=4).contents["matching.csv"] for seed in range(6)}
    assert len(sheets) == 6


def test_matching_table_tells_why_questions_are_equal(written) -> None:
    rows = list(csv.DictReader(io.StringIO(written["matching.csv"])))
    assert len(rows) == 10
    for one, other in zip(rows[::2], rows[1::2], strict=True):
        assert (one["match"], one["version"], other["version"]) == (other["match"], "1", "2")
        assert (one["groups"], one["pitfalls"]) == (other["groups"], other["pitfalls"])
        apart = float(other["estimated_gap_size_kcal_mol"]) - float(one["estimated_gap_size_kcal_mol"])
        told = float(other["estimated_gap_size_minus_that_of_version_1_kcal_mol"])
        assert told == pytest.approx(apart, abs=1e-9)
        if other["same_molecule_as_version"]:
            assert (other["molecule"], apart) == (one["molecule"], 0.0)
            assert other["writing"] in ("mirror image, renumbered", "renumbered")
            assert other["groups_by_face"] != one["groups_by_face"]
        else:
            assert other["molecule"] != one["molecule"]
    assert {row["seed"] for row in rows} == {"1"}


def test_markdown_shows_every_drawing_that_is_there(written) -> None:
    shown: set[str] = set()
    for name in (name for name in written if name.endswith(".md")):
        links = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", written[name])
        assert all(link in written for link in links)
        assert all(link.startswith("drawings/") for link in links) or name.startswith("key")
        shown |= set(links)
    assert shown == {name for name in written if name.endswith(".svg")}
    for name in shown:
        assert ElementTree.fromstring(written[name]).tag.endswith("svg")


def test_pages_hold_everything_and_ask_for_nothing(written) -> None:
    for name in (name for name in written if name.endswith(".html")):
        text = written[name]
        assert "<script" not in text
        assert not re.search(r"(src|href)=|url\(|@import", text)
        assert text.count("<article") == 5
        assert '<html lang="en">' in text


def test_names_are_text_and_never_markup() -> None:
    odd = '<script>alert(1)</script> & "x" | *y* {{ 7*7 }}'
    results = (made("1 up CH3", odd), made("1 up C2H5", "plain"))
    written = texts(outcome_of(*results, title=f"T {odd}"), questions=1)
    for name, text in written.items():
        if name.endswith(".html"):
            assert "<script" not in text
            assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
            assert "{{ 7*7 }}" in text
        if name.endswith(".md"):
            assert "<script" not in text


def test_large_print_has_18_pt_and_larger_drawings() -> None:
    usual, large = (
        texts(outcome_of(made("1 up CH3")), versions=1, large_print=big)["questions_1.html"]
        for big in (False, True)
    )
    assert ":root { font-size: 18.0pt;" in large
    assert ":root { font-size: 10.5pt;" in usual
    widths = [sum(map(int, re.findall(r'<figure style="width: (\d+)px"', page))) for page in (usual, large)]
    assert widths[1] > 1.5 * widths[0]


def test_paper_is_the_one_asked_for() -> None:
    for paper in ("A4", "Letter"):
        assert f"size: {paper};" in texts(outcome_of(made("1 up CH3")), versions=1, paper=paper)["key_1.html"]


def test_sums_come_out_in_the_decimals_that_are_shown() -> None:
    """cis-3-isopropylcyclohexanol and the like: half an A-value of 2.21 is 1.105."""
    table = replace(TABLE, interactions=(replace(TABLE.interactions[0], group_2="CH(CH3)2"),))
    molecule_made = made("1 up CH3, 3 up CH(CH3)2")
    estimate = estimate_gap(molecule_made.chairs, table)
    asked = outcome_of(replace(molecule_made, estimate=estimate))
    tables = replace(asked.study.tables, estimate=table)
    asked = replace(asked, study=replace(asked.study, tables=tables))
    written = texts(asked, versions=1)
    # 3.70 - 0.87 - 1.105 = 1.725 on top of 1.74 + 2.21: 5.675 by hand
    assert "| 1.725 |" in written["questions_1.md"]
    assert "5.675 \u2212 0.00 = +5.675 kcal/mol" in written["key_1.md"]
