"""Lines and columns fitted to a width: what is broken, what stays together, who gets the room."""

import io

import pytest
from rich.console import Console
from rich.text import Text

from chairgap.cli.fitting import Column, Fitted, Line, longest_word, shared, wrapped


def shown(renderable: Fitted | Line, width: int) -> list[str]:
    out = io.StringIO()
    Console(file=out, width=width).print(renderable)
    return out.getvalue().splitlines()


def test_names_break_behind_hyphens_and_only_there() -> None:
    assert wrapped("cis-1,4-di-tert-butylcyclohexane", 20) == ["cis-1,4-di-tert-", "butylcyclohexane"]
    assert wrapped("cis-1,4-di-tert-butylcyclohexane", 16) == ["cis-1,4-di-tert-", "butylcyclohexane"]
    assert wrapped("trans-1,2-dichlorocyclohexane", 19) == ["trans-1,2-", "dichlorocyclohexane"]


def test_an_a_value_and_a_locant_stay_with_their_word() -> None:
    assert wrapped("the A-value", 8) == ["the", "A-value"]
    assert wrapped("the 4-methyl group", 10) == ["the", "4-methyl", "group"]


def test_a_number_stays_with_its_unit_a_range_with_its_ends_and_a_mark_with_its_word() -> None:
    for text, width in (("gap of 2.37 kcal/mol", 12), ("at 298.15 K now", 7), ("share of 98 % now", 8)):
        kept = next(words for words in ("2.37 kcal/mol", "298.15 K", "98 %") if words in text)
        assert any(kept in line for line in wrapped(text, max(width, len(kept))))
    assert "(94 to 96)" in wrapped("95 (94 to 96)", 10)
    assert wrapped("? undecided", 11) == ["? undecided"]


def test_a_word_longer_than_the_line_is_cut_and_no_letter_is_lost() -> None:
    smiles = "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O"
    lines = wrapped(f"SMILES {smiles} here", 12)
    assert max(map(len, lines)) <= 12
    assert "".join(lines).replace("SMILES", "").replace("here", "").strip() == smiles


def test_what_goes_on_is_indented() -> None:
    assert shown(Line(words="one two three four", indent=2), 10) == ["one two", "  three", "  four"]


def test_columns_that_fit_get_what_they_need() -> None:
    assert shared([[[6], [9]], [[3]]], [6, 3], 40) == [9, 3]


def test_room_goes_where_it_saves_most_lines() -> None:
    """Three numbers of two pieces each against one long remark: the numbers come first."""
    numbers, remark = [[6, 6]] * 3, [[4, 4, 4, 4, 4]]
    assert shared([numbers, remark], [6, 4], 18) == [12, 4]
    assert shared([numbers, remark], [6, 4], 24) == [12, 12]


def test_without_room_for_the_longest_words_the_widest_column_gives_way() -> None:
    assert shared([[[20]], [[5]]], [20, 5], 15) == [10, 5]
    assert shared([[[20]], [[15]]], [20, 15], 27, whole=[0]) == [20, 7]


def table() -> Fitted:
    rows = (
        ("cis-1,4-di-tert-butylcyclohexane", "+1.74 \u00b1 0.10", "x MMFF94 differs"),
        ("methylcyclohexane", "\u22120.73 \u00b1 0.49", "? undecided"),
    )
    columns = (Column(head="Molecule"), Column(head="Gap", right=True), Column(head="Verdict"))
    return Fitted(title="A title", columns=columns, rows=tuple(tuple(map(Text, row)) for row in rows))


@pytest.mark.parametrize("width", [46, 60, 80])
def test_a_table_keeps_its_words_whole_wherever_it_says_that_it_fits(width: int) -> None:
    assert table().fits(width)
    lines = shown(table(), width)
    assert max(map(len, lines)) <= width
    words = {word for line in lines for word in line.split()}
    assert {"differs", "undecided", "methylcyclohexane", "MMFF94"} <= words
    assert any(word.endswith("butylcyclohexane") for word in words)


def test_a_table_says_when_it_does_not_fit() -> None:
    assert not table().fits(30)
    assert longest_word("C" * 60) == 24  # what no column has to hold whole


def test_wide_letters_count_twice() -> None:
    assert wrapped("\u96f2" * 6, 4) == ["\u96f2\u96f2"] * 3
