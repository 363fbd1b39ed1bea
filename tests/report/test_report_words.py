"""Words that people read: reason codes, and sources by author and year."""

import pytest
from made_outcome import outcome, result

from chairgap.compare.reasons import CODES, REASON_WORDS
from chairgap.records import Reason
from chairgap.report.detail_tables import CONFORMERS
from chairgap.report.digest import by_energy
from chairgap.report.words import code_words, form_words, source_words
from chairgap.tables.shipped import read_estimate_table, read_sources
from chairgap.units import fixed, signed

TABLE = read_estimate_table("chairgap")


@pytest.mark.parametrize("code", CODES)
def test_a_code_in_words_keeps_the_hyphens_of_field_terms(code: str) -> None:
    words = code_words(Reason(code=code, evidence=""))
    assert words == REASON_WORDS[code]
    for term in ("syn-diaxial", "non-additivity", "twist-boat"):
        assert (term in words) is (term in code)
    assert "-" not in words.replace("syn-diaxial", "").replace("non-add", "").replace("twist-boat", "")


@pytest.mark.parametrize(
    ("value", "decimals", "words"),
    [
        (0.25, 1, "0.3"),
        (0.45, 1, "0.5"),
        (-0.95, 1, "-1.0"),  # 0.949999999999999956 in binary
        (1.005, 2, "1.01"),
        (0.9489, 1, "0.9"),
        (2.449999, 1, "2.4"),
        (-0.0004, 2, "0.00"),
        (-0.0, 2, "0.00"),
    ],
)
def test_half_of_the_last_decimal_is_rounded_away_from_zero(value: float, decimals: int, words: str) -> None:
    """By hand; '0.25' beside '0.2' and '0.45' beside '0.5' read as two rules."""
    assert fixed(value, decimals) == words


def test_a_sign_is_written_but_on_zero_and_a_missing_number_is_said_so() -> None:
    values = (1.234, -0.004, 0.0, -1.0, None)
    assert [signed(value) for value in values] == ["+1.23", "0.00", "0.00", "-1.00", "none"]
    assert fixed(None, 2) == ""


def test_a_ring_form_is_set_as_iupac_has_it_for_people_and_plain_in_csv() -> None:
    first, *_ = by_energy(result().conformers)
    assert form_words(first) == "chair \u2074C\u2081"
    assert ",4C1," in CONFORMERS.csv_text(outcome(result()))


def test_sources_are_shown_by_author_and_year() -> None:
    assert source_words("booth_everett_1980", TABLE) == "Booth & Everett 1980"
    both = "allinger_miller_1961; beckett_pitzer_spitzer_1947"
    assert source_words(both, TABLE) == "Allinger & Miller 1961; Beckett, Pitzer & Spitzer 1947"
    assert source_words("my_notes", TABLE) == "my_notes" and source_words("", TABLE) == ""


def test_every_source_of_a_shipped_table_is_shown_by_its_short_form() -> None:
    shown = {source_words(row.source, TABLE) for row in (*TABLE.a_values, *TABLE.interactions)}
    assert shown and shown <= {source.short for source in read_sources().values()}
    assert not any("_" in words for words in shown)
