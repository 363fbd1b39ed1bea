"""PDF by a browser: pages and text, looked at with a general library for PDF files."""

import io
import os
import re
import unicodedata
from pathlib import Path

import pytest
from handout_helpers import all_kinds_outcome, made, outcome_of, texts
from pypdf import PdfReader

from chairgap.handout import browser
from chairgap.handout.browser import NoPdf, find_browser, pdf_of
from chairgap.handout.kinds import KINDS
from chairgap.handout.make import HandoutOptions, make_handout
from machine import missing

MM = 72.0 / 25.4
# Widths and heights of ISO 216 A4 and ANSI A (common practice, no source).
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


@pytest.fixture(scope="module")
def found() -> str:
    try:
        return find_browser()
    except NoPdf as error:
        missing("a browser", str(error))


@pytest.mark.parametrize("paper", PAPERS)
def test_each_question_is_a_page(found, paper) -> None:
    outcome = outcome_of(made("1 up OH, 4 up CH3"), made("1 up CH3, 3 up CH3"), title="Set <b>7</b>")
    page = texts(outcome, versions=1, paper=paper)["questions_1.html"]
    pages = PdfReader(io.BytesIO(pdf_of(page, found))).pages
    assert len(pages) == 3
    told = [" ".join(one.extract_text().split()) for one in pages]
    assert "Set <b>7</b>" in told[0] and "A-value" in told[0]
    for number in (1, 2):
        assert f"Question {number}" in told[number]
        assert "(a)" in told[number] and "(d)" in told[number]  # not split
        assert f"page {number + 1} of 3" in told[number]
    width, height = (float(side) / MM for side in pages[0].mediabox[2:])
    assert (width, height) == pytest.approx(PAPERS[paper], abs=0.5)


@pytest.mark.parametrize(
    ("paper", "large"),
    [
        ("Letter", False),  # the lower page
        pytest.param("A4", False, marks=pytest.mark.long),
        pytest.param("A4", True, marks=pytest.mark.long),
        pytest.param("Letter", True, marks=pytest.mark.long),
    ],
)
def test_questions_of_all_kinds_fit_on_their_pages(found, paper, large) -> None:
    """At most two questions a page; none goes on on another page but in large print, where the drawings that
    belong together stay on one page."""
    page = texts(all_kinds_outcome(), kinds=tuple(KINDS), seed=5, versions=1, paper=paper, large_print=large)
    html = page["questions_1.html"]
    pages = [_text(one) for one in PdfReader(io.BytesIO(pdf_of(html, found))).pages]
    asked = [[int(number) for number in re.findall(r"Question (\d+)", told)] for told in pages]
    assert [number for numbers in asked for number in numbers] == list(range(1, len(KINDS) + 1))
    assert max(map(len, asked)) == (1 if large else 2)
    for told in pages:
        drawn = re.sub(r"(Group|Isomer) (Chair 1 Chair 2|Before the flip After the flip)", "", told)
        for one, other in (("Chair 1", "Chair 2"), ("Before the flip", "After the flip")):
            captions = [len(re.findall(f"{words}(?![:a-z]| is)", drawn)) for words in (one, other)]
            assert captions[0] == captions[1], told
        assert len({f"Isomer {letter}" in told for letter in "XY"}) == 1
    if not large:
        assert not asked[0] and all(asked[1:])  # a question ends on the page it begins on


def _text(page) -> str:
    """The words of a page, each ligature as its letters."""
    return " ".join(unicodedata.normalize("NFKC", page.extract_text()).split())


def test_metadata_of_questions_tells_no_answer(found) -> None:
    outcome = outcome_of(made("1 up CH3", "axial trap"))
    reader = PdfReader(io.BytesIO(pdf_of(texts(outcome, versions=1)["questions_1.html"], found)))
    told = " ".join(str(value) for value in (reader.metadata or {}).values())
    assert reader.metadata is not None and reader.metadata.title == "Set 1: question sheet, version 1"
    assert "axial" not in told
    assert not reader.attachments


def test_without_a_browser_everything_else_is_made(monkeypatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    made_up = make_handout(outcome_of(made("1 up CH3")), HandoutOptions(versions=1))
    assert not any(name.endswith(".pdf") for name in made_up.contents)
    (remark,) = made_up.remarks
    assert remark.startswith("No Chromium browser was found on the PATH, so no PDF was made.")


@pytest.mark.skipif(os.name == "nt", reason="the stand-in is a shell script")
@pytest.mark.parametrize(
    ("script", "words"),
    [
        ("exit 3", "left with exit code 3"),
        ("exit 0", "made no PDF"),
        ("exec sleep 5", "took longer than 0 s"),
    ],
)
def test_a_browser_that_fails_costs_only_the_pdf(monkeypatch, tmp_path: Path, script, words) -> None:
    stand_in = tmp_path / "chromium"
    stand_in.write_text(f"#!/bin/sh\n{script}\n")
    stand_in.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setattr(browser, "TIME_LIMIT_S", 0.2)
    made_up = make_handout(outcome_of(made("1 up CH3")), HandoutOptions(versions=1))
    assert words in made_up.remarks[0]
    assert {"questions_1.html", "key_1.md"} <= set(made_up.contents)
    assert not any(name.endswith(".pdf") for name in made_up.contents)
