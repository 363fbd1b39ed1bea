"""PDF by a browser: pages and text, looked at with a general library for PDF files."""

import io
import os
from pathlib import Path

import pytest
from handout_helpers import made, outcome_of, texts
from pypdf import PdfReader

from chairgap.handout import browser
from chairgap.handout.browser import NoPdf, find_browser, pdf_of
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
