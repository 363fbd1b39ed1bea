"""How to cite: only what a study used, with full references; BibTeX from the same citations."""

import re
from dataclasses import replace

import pytest
from made_outcome import outcome, polar_result, result

from chairgap.records import Medium, Outcome
from chairgap.report.citations import bibtex_text, cited_of, source_keys, used_values
from chairgap.tables.shipped import find_medium, read_sources
from pipeline_helpers import TABLES, treated
from texts_written import report_of

SOURCES = read_sources()


def with_settings(made: Outcome, **changes: object) -> Outcome:
    return replace(made, study=replace(made.study, settings=replace(made.study.settings, **changes)))


def keys_of(made: Outcome) -> tuple[str, ...]:
    return source_keys(cited_of(made), made.study.settings)


def entry(key: str) -> str:
    return bibtex_text([key], SOURCES).split("\n\n")[1]


def test_only_the_methods_of_the_study_are_named() -> None:
    """Of one group with MMFF94 in the gas phase: no solvent model, no quantum method, no MP2."""
    assert keys_of(outcome(result())) == (
        "booth_everett_1980",
        "halgren_1996",
        "tosco_2014",
        "eastman_2017",
        "ribeiro_2011",
        "cremer_pople_1975",
        "jcbn_1981",
    )
    mp2 = {"bannwarth_2019", "moller_plesset_1934", "weigend_haser_1997", "weigend_ahlrichs_2005", "sun_2020"}
    assert mp2 <= set(keys_of(outcome(polar_result())))  # one pair by MP2


@pytest.mark.parametrize(
    ("changes", "more", "none"),
    [
        ({"force_field": "MMFF94s"}, {"halgren_1996", "halgren_1999"}, {"rappe_1992"}),
        ({"force_field": "UFF"}, {"rappe_1992"}, {"halgren_1996", "tosco_2014"}),
        ({"quantum_method": "GFN2-xTB"}, {"bannwarth_2019"}, {"moller_plesset_1934"}),
    ],
)
def test_each_method_has_its_reference(changes: dict[str, object], more: set[str], none: set[str]) -> None:
    keys = set(keys_of(with_settings(outcome(result()), **changes)))
    assert more <= keys and not none & keys


def test_a_solvent_has_the_references_of_its_model() -> None:
    water: Medium = find_medium("water")
    for changes in ({"medium": water}, {"medium_series": (water,)}):
        assert {"onufriev_2004", "hawkins_1996"} <= set(keys_of(with_settings(outcome(result()), **changes)))


def test_every_method_is_in_the_table_of_sources_with_a_doi_or_from_memory() -> None:
    for made in (outcome(polar_result()), with_settings(outcome(result()), force_field="UFF")):
        for key in keys_of(made):
            assert SOURCES[key].doi or "from memory" in SOURCES[key].how_seen


def test_the_values_are_those_of_the_table_as_published() -> None:
    """cis-1,3-dimethyl: the whole syn-diaxial pair is 3.70 by data/interactions.csv, from one value."""
    made = outcome(treated("1 up CH3, 3 up CH3"))
    made = replace(made, study=replace(made.study, tables=TABLES))
    values = {value.name: (value.words, value.source) for value in used_values(made)}
    assert values == {
        "A-value of CH3": ("+1.74 (1.70 to 1.82)", "Booth & Everett 1980"),
        "syn-diaxial CH3/CH3, the whole pair": ("+3.70", "Allinger & Miller 1961"),
    }


def test_the_block_stands_once_with_its_legend_and_says_nothing_of_papers_not_seen() -> None:
    made = outcome(treated("1 up CH3, 2 down CH3"))
    made = replace(made, study=replace(made.study, tables=TABLES))
    text = report_of(made)
    block = text.partition("## How to cite, and sources\n")[2]
    assert "vicinal gauche CH\u2083/CH\u2083, beyond the single groups" in block
    assert "Beckett, Pitzer &amp; Spitzer 1947\u2020 |" in block  # 0.87, from memory
    assert "10.1039/P29800000255." in block and "DOI 10.1021/jp205508z\u2020" in block
    assert block.rstrip().endswith("\u2020 from memory, not checked against the paper.")
    assert "not seen" not in text and "How seen" not in text


def test_an_entry_of_bibtex_has_the_fields_of_its_citation() -> None:
    assert (
        entry("jensen_1969")
        == (
            "@article{jensen_1969,\n  author = {Jensen, F. R. and Bushweller, C. H. and Beck, B. H.},\n"
            "  journal = {J. Am. Chem. Soc.},\n  year = {1969},\n  volume = {91},\n  pages = {344}\n}\n"
        ).rstrip("\n")
        + "\n"
    )
    assert "pages = {255}" in entry("booth_everett_1980") and "volume" not in entry("booth_everett_1980")
    assert "volume = {61}" in entry("freitas_2005") and "pages" not in entry("freitas_2005")
    assert "author = {Eastman, P. and others}" in entry("eastman_2017")
    assert "note = {DOI from memory}" in entry("ribeiro_2011")
    assert entry("eliel_1965").startswith("@misc{") and "year = {1965}" in entry("eliel_1965")


def test_an_initial_is_not_taken_for_the_journal() -> None:
    """'Angyal, S. J. Angew. Chem.' and 'Bondi, A. J. Phys. Chem.' read alike."""
    assert "author = {Angyal, S. J.}" in entry("angyal_1969")
    assert "author = {Bondi, A.}" in entry("bondi_1964")


def test_all_of_bibtex_is_sound() -> None:
    text = bibtex_text(SOURCES, SOURCES)
    assert text.isascii()
    entries = re.findall(r"(?m)^@(software|article|misc)\{(\w+),$", text)
    assert [key for _, key in entries] == ["chairgap", *SOURCES]
    for one in text.split("\n\n"):
        assert one.count("{") == one.count("}")
        assert not re.search(r"(?<!\\)[&%#]", re.sub(r"doi = .*", "", one))
    journals = sum(bool(source.journal) for source in SOURCES.values())
    # jcbn_1981 has a title and no authors, so that it stays whole.
    assert sum(kind == "article" for kind, _ in entries) == journals - 1


def test_a_source_of_a_users_own_table_is_left_out_of_bibtex_and_named_in_the_report() -> None:
    assert bibtex_text(["lecture 4"], SOURCES).count("@") == 1
