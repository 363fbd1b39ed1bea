"""Errors carried forward, each worked by hand.

RT = 0.59248 kcal/mol at 298.15 K (R = 1.98720 cal/(mol K), CODATA). A-value of CH3 1.74, CH3/CH3 gauche 0.87
kcal/mol (the shipped table). trans-1,2-dimethyl: 2 x 1.74 - 0.87 = 2.61.
"""

from pathlib import Path

import pytest

from chairgap.answer_key.files.students import mark_folder

HEADER = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
TRANS = '"1 up CH3, 2 down CH3"'
SHEET = "item,quantity,carbon,chair,claimed\n"


def outcomes(folder: Path, key: str, sheet: str) -> list[str]:
    (folder / "key.csv").write_text(HEADER + key)
    (folder / "sheets").mkdir()
    (folder / "sheets" / "s1.csv").write_text(SHEET + sheet)
    marked = mark_folder(folder / "key.csv", folder / "sheets")
    assert not marked.problems
    return [item.outcome for item in marked.marks]


@pytest.mark.parametrize(
    ("gauche", "gap", "outcome"),
    [
        ("0.5", "2.98", "carried"),  # 3.48 - 0.50
        ("0.5", "3.98", "wrong"),  # added instead of taken off
        ("0.87", "2.98", "wrong"),  # the own term is right, so nothing is carried
    ],
)
def test_gap_from_an_own_term(gauche: str, gap: str, outcome: str, tmp_path: Path) -> None:
    key = f"1,{TRANS},term,1-2,1e 2e,0.87,kcal/mol,0.01,1,\n1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n"
    assert outcomes(tmp_path, key, f"1,term,1-2,1e 2e,{gauche}\n1,gap,,,{gap}\n")[1] == outcome


@pytest.mark.parametrize("gap", ["2.13", "2.37"])
def test_an_own_a_value_is_carried_for_one_group_or_for_both(gap: str, tmp_path: Path) -> None:
    """A-value 1.50: 2 x 1.50 - 0.87 = 2.13; the table's for the other group: 1.50 + 1.74 - 0.87 = 2.37."""
    key = f"1,{TRANS},term,1,1a 2a,1.74,kcal/mol,0.01,1,\n1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n"
    assert outcomes(tmp_path, key, f"1,term,1,1a 2a,1.5\n1,gap,,,{gap}\n") == ["wrong", "carried"]


@pytest.mark.parametrize(
    ("of", "percent", "outcome"),
    [
        # gap 3.48: K = exp(3.48 / 0.59248) = 355.6, 99.72 % and 0.28 %
        ("stable", "99.7", "carried"),
        ("A", "99.7", "carried"),
        ("B", "0.3", "carried"),
        ("B", "99.7", "wrong"),
    ],
)
def test_percent_from_the_own_gap_is_of_the_chair_asked_for(
    of: str, percent: str, outcome: str, tmp_path: Path
) -> None:
    right = "1.2" if of == "B" else "98.8"
    key = f"1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n1,{TRANS},percent,,,{right},%,0.1,1,percent_of={of}\n"
    found = outcomes(tmp_path, key, f"1,gap,,,3.48\n1,percent,,,{percent}\n")
    # Under percent_of=B the stable chair's own share is no other convention: it holds the wrong gap.
    assert found == ["wrong", outcome]


def test_own_numbers_count_wherever_they_stand_in_the_key(tmp_path: Path) -> None:
    key = f"1,{TRANS},K,,,82,,1,1,\n1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n"
    assert outcomes(tmp_path, key, "1,K,,,355\n1,gap,,,3.48\n") == ["carried", "wrong"]


def test_a_size_without_sign_carries_no_chair(tmp_path: Path) -> None:
    key = (
        f"1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,direction=other-stable\n1,{TRANS},stable chair,,,1e 2e,,,1,\n"
    )
    assert outcomes(tmp_path, key, "1,gap,,,-3.48\n1,stable chair,,,1a 2a\n") == ["wrong", "wrong"]


@pytest.mark.parametrize(("chair", "outcome"), [("1a 2a", "carried"), ("1e 2e", "right"), ("equal", "wrong")])
def test_chair_from_the_sign_in_the_direction_of_the_key(chair: str, outcome: str, tmp_path: Path) -> None:
    """G(A) - G(B) = -2.61; from +3.48 (gauche dropped, sign lost) chair B, 1a 2a, is the stable one."""
    key = f"1,{TRANS},gap,,,-2.61,kcal/mol,0.02,1,direction=A-B\n1,{TRANS},stable chair,,,1e 2e,,,1,\n"
    assert outcomes(tmp_path, key, f"1,gap,,,3.48\n1,stable chair,,,{chair}\n") == ["wrong", outcome]


def test_an_own_gap_of_nothing_carries_equal(tmp_path: Path) -> None:
    key = (
        f"1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,direction=other-stable\n1,{TRANS},stable chair,,,1e 2e,,,1,\n"
    )
    assert outcomes(tmp_path, key, "1,gap,,,0\n1,stable chair,,,equal\n") == ["wrong", "carried"]


def test_another_molecule_carries_nothing(tmp_path: Path) -> None:
    key = f"1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n2,1 up CH3,K,,,18.85,,1,1,\n"
    assert outcomes(tmp_path, key, "1,gap,,,3.48\n2,K,,,355\n") == ["wrong", "wrong"]


@pytest.mark.parametrize(
    ("given", "outcome"), [("10.9 kJ/mol", "right"), ("11 kJ/mol", "right"), ("13 kJ/mol", "wrong")]
)
def test_the_unit_in_the_cell_counts_and_the_tolerance_goes_with_it(
    given: str, outcome: str, tmp_path: Path
) -> None:
    """2.61 kcal/mol = 10.92 kJ/mol (4.184); 0.05 kcal/mol = 0.21 kJ/mol."""
    key = f"1,{TRANS},gap,,,2.61,kcal/mol,0.05,1,\n"
    assert outcomes(tmp_path, key, f"1,gap,,,{given}\n") == [outcome]


def test_a_huge_own_gap_in_the_cold_ends_in_no_crash(tmp_path: Path) -> None:
    key = f"1,{TRANS},gap,,,2.61,kcal/mol,0.02,1,\n1,{TRANS},K,,,3.212e9,,,1,temperature_k=60\n"
    assert outcomes(tmp_path, key, "1,gap,,,99\n1,K,,,5\n") == ["wrong", "wrong"]


@pytest.mark.parametrize(("kelvin", "outcome"), [("298.15", "carried"), ("350", "wrong")])
def test_percent_from_the_own_k_of_the_same_temperature(kelvin: str, outcome: str, tmp_path: Path) -> None:
    """From K = 10: 100 x 10 / 11 = 90.9 %. exp(2.61 / RT) = 81.9 at 298.15 K and 42.6 at 350 K."""
    right = {"298.15": "81.9", "350": "42.6"}[kelvin]
    key = f"1,{TRANS},K,,,{right},,1,1,temperature_k={kelvin}\n1,{TRANS},percent,,,98.8,%,0.1,1,\n"
    assert outcomes(tmp_path, key, "1,K,,,10\n1,percent,,,90.9\n") == ["wrong", outcome]
