"""Whole keys as an instructor has them, with planted mistakes: found, diagnosed, false alarms.

`python tests/answer_key/files/test_trial_keys.py` prints the table. The first key is a trial of 30 claims
with 10 mistakes; the other four are of other books and other forms. Every number is worked by hand from
A-values and corrections of the book named; the kind of mistake stands beside each planted claim.
"""

import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from chairgap.answer_key.files.checking import CheckedKey, check_file

HEADER = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions"
ME, T12, C12 = "1 up CH3", '"1 up CH3, 2 down CH3"', '"1 up CH3, 2 up CH3"'
C13, T13, C14, T14 = (
    '"1 up CH3, 3 up CH3"',
    '"1 up CH3, 3 down CH3"',
    '"1 up CH3, 4 up CH3"',
    '"1 up CH3, 4 down CH3"',
)
TBU_ME = '"1 up C(CH3)3, 4 up CH3"'  # cis: one of the two is axial
ME_OH = '"1 up CH3, 2 down OH"'
MENTHOL = "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O"

# (row of the key, the slip planted in it or '' for a right claim)
Planted = list[tuple[str, str]]

# Values of the shipped table: CH3 1.74, tBu 4.90, OH 0.70, gauche 0.87, CH3/CH3 syn-diaxial 3.7.
TRIAL: Planted = [
    (f"1,{ME},term,1,1a,7.6,kJ/mol,,,", ""),
    ("2,1 up C(CH3)3,term,1,1a,22.8,kJ/mol,,,", ""),
    ("3,1 up Cl,term,1,1a,2.0,kJ/mol,,,", ""),
    ("4,1 up OH,term,1,1a,0.87,kcal/mol,,,", ""),
    ("5,1 up Br,term,1,1a,0.6,kcal/mol,,,", ""),
    (f"6,{ME},K,,,19,,,,", ""),
    (f"7,{ME},percent,,,~95,%,,,", ""),
    (f"8,{T12},stable chair,,,ee,,,,", ""),
    (f"9,{C12},stable chair,,,same energy,,,,", ""),
    (f"10,{C14},stable chair,,,neither,,,,", ""),
    (f"11,{T12},relation,1-2,,trans,,,,", ""),
    (f"12,{T12},position,2,1e 2e,equatorial,,,,", ""),
    (f"13,{C13},gap,,,5.44,kcal/mol,,,", ""),
    (f"14,{C13},diaxial count,,aa,4,,,,", ""),
    (f"15,{T12},flip,,ee,aa,,,,", ""),
    (f"16,{C13},chirality,,,meso,,,,", ""),
    (f"17,{T14},gap,,,14.6,kJ/mol,,,", ""),
    (f"18,{MENTHOL},stable chair,,,all equatorial,,,,", ""),
    (f"19,{T13},stable chair,,,both,,,,", ""),
    (f"20,{TBU_ME},stable chair,,,C(CH3)3 equatorial,,,,", ""),
    # 10 planted
    (f"21,{T12},gap,,,3.48,kcal/mol,,,", "gauche-dropped"),
    (f"22,{TBU_ME},gap,,,6.64,kcal/mol,,,", "sum-for-difference"),
    (f"23,{ME},K,,,0.053,,,,", "k-inverted"),
    (f"24,{ME},percent,,,5,%,,,", "other-chair"),
    (f"25,{T12},face,2,1a 2a,up,,,,", "face-changed-on-flip"),
    (f"26,{T12},position,1,1e 2e,axial,,,,", "axial-for-up"),
    (f"27,{ME},gap,,,0.87,kcal/mol,,,", "half-a-value"),
    (f"28,{ME},percent,,,19,%,,,", "ratio-for-percent"),
    (f"29,{T13},stable chair,,,1e 3e,,,,", "flat-drawing-misread"),
    (f"30,{T14},gap,,,14.56,kcal/mol,,,", "kcal-kj"),
]

# McMurry in kJ/mol, nothing declared: CH3 7.6, C2H5 8.0, iPr 9.2, tBu 22.8, OH 4.2, Cl 2.0, gauche 3.8.
BOOK_IN_KJ: Planted = [
    (f"1,{ME},gap,,,7.6,kJ/mol,,,", ""),
    ("2,1 up C2H5,gap,,,8.0,kJ/mol,,,", ""),
    ("3,1 up CH(CH3)2,gap,,,9.2,kJ/mol,,,", ""),
    (f"4,{T12},gap,,,11.4,kJ/mol,,,", ""),  # 15.2 - 3.8
    (f"5,{T14},gap,,,15.2,kJ/mol,,,", ""),
    (f"6,{TBU_ME},gap,,,15.2,kJ/mol,,,direction=other-stable", ""),
    (f"7,{ME},K,,,21.5,,,,", ""),  # exp(7600 / (8.314 x 298.15))
    (f"8,{ME},percent,,,95.5,%,,,", ""),
    ('9,"1 up OH, 4 down CH3",gap,,,11.8,kJ/mol,,,', ""),
    ('10,"1 up Cl, 4 down CH3",gap,,,9.6,kJ/mol,,,', ""),
    (f"11,{T12},gap,,,15.2,kJ/mol,,,", "gauche-dropped"),
    (f"12,{T12},gap,,,7.6,kJ/mol,,,", "gauche-twice"),
    (f"13,{TBU_ME},gap,,,30.4,kJ/mol,,,", "sum-for-difference"),
    ("14,1 up CH(CH3)2,gap,,,22.8,kJ/mol,,,", "wrong-row"),
    (f"15,{ME},gap,,,3.8,kJ/mol,,,", "half-a-value"),
    (f"16,{T14},gap,,,7.6,kJ/mol,,,", "group-forgotten"),
]

# Wade, declared: CH3 1.7 or 1.8, OH 1.0, Br 0.6, tBu 5.4, gauche 0.9.
WADE: Planted = [
    ("*,,conventions,,,,,,,table=Wade; temperature_k=298", ""),
    ("1,1 up Br,gap,,,0.6,kcal/mol,,,", ""),
    ("2,1 up OH,gap,,,1.0,kcal/mol,,,", ""),
    ("3,1 up C(CH3)3,gap,,,5.4,kcal/mol,,,", ""),
    (f"4,{T12},gap,,,2.5,kcal/mol,,,", ""),  # 3.4 - 0.9
    (f"5,{T12},gap,,,2.7,kcal/mol,,,", ""),  # 3.6 - 0.9
    ('6,"1 up C(CH3)3, 4 up OH",gap,,,4.4,kcal/mol,,,direction=other-stable', ""),
    ("7,1 up OH,K,,,5.4,,,,", ""),  # exp(1.0 / 0.5922)
    ("8,1 up OH,percent,,,80-85,%,,,", ""),
    ("9,1 up C(CH3)3,percent,,,>99.9,%,,,", ""),
    ("10,1 up OH,percent,,,84:16,%,,,", ""),
    ("11,1 up OH,K,,,48.8,,,,", "log10-for-ln"),  # 10^(1.0 / 0.5922)
    ("12,1 up C(CH3)3,gap,,,2.7,kcal/mol,,,", "half-a-value"),
    ('13,"1 up C(CH3)3, 4 up OH",gap,,,6.4,kcal/mol,,,direction=other-stable', "sum-for-difference"),
    ("14,1 up OH,gap,,,4.184,kcal/mol,,,", "kcal-kj"),
    ('15,"1 up CH3, 4 down OH",gap,,,1.0,kcal/mol,,,', "group-forgotten"),
    ("16,1 up OH,percent,,,16,%,,,", "other-chair"),
]

# A wide sheet of molecules as SMILES and names, labels and numbers side by side.
WIDE_HEADER = "item,molecule,R/S 1,R/S 2,relation 1-2,stable chair,gap (kcal/mol)"
WIDE: list[tuple[str, tuple[str, ...]]] = [
    # (1R,2R)-trans-1,2-dimethyl; both letters by hand, from memory of the compound
    ("1,C[C@@H]1CCCC[C@H]1C,R,R,trans,diequatorial,2.61", ("", "", "", "", "")),
    ("2,C[C@@H]1CCCC[C@@H]1C,,,cis,equal,0", ("", "", "")),
    ("3,C[C@@H]1CCCC[C@H]1C,S,R,cis,aa,2.61", ("mirror-image", "", "cis-trans-from-ae", "sign-reversed", "")),
    ("4,C[C@@H]1CCCC[C@@H]1C,,,cis,ee,2.61", ("", "flat-drawing-misread", "flat-drawing-misread")),
    ("5,C[C@@H]1CCCC[C@H]1C,,,trans,ee,4.35", ("", "", "gauche-sign")),
]

# Own values inline, counts, K and percent, words.
INLINE: Planted = [
    ("*,,conventions,,,,,,,A(CH3)=7.3 kJ/mol; A(CH(CH3)2)=9.3 kJ/mol; gauche=3.8 kJ/mol", ""),
    (f"1,{ME},gap,,,7.3,kJ/mol,,,", ""),
    (f"2,{T14},gap,,,14.6,kJ/mol,,,", ""),
    (f"3,{T12},gap,,,10.8,kJ/mol,,,", ""),
    (f"4,{ME},K,,,19.0,,,,", ""),
    (f"5,{ME},percent,,,95:5,%,,,", ""),
    (f"6,{ME},percent,,,5 % axial,,,,", ""),
    (f"7,{ME},gauche count,,1a,2,,,,", ""),
    (f"8,{T12},gauche count,,ee,1,,,,", ""),
    (f"9,{T12},gap,,,18.4,kJ/mol,,,", "gauche-sign"),
    # 25 for 298.15: ln K = (7.3 / 4.184) / (0.0019872 x 25) = 35.12
    (f"10,{ME},K,,,1.79e15,,,,", "celsius"),
    (f"11,{T14},gap,,,3.49,kJ/mol,,,", "kcal-kj"),
    (f"12,{ME},diaxial count,,1a,1,,,,", "diaxial-once"),
    (f"13,{T12},gauche count,,aa,5,,,,", "anti-counted"),
    ('14,"1 up CH(CH3)2, 4 down CH3",gap,,,7.3,kJ/mol,,,', "group-forgotten"),
]


@dataclass(frozen=True, kw_only=True)
class Tally:
    planted: int
    found: int
    diagnosed: int
    main: int
    false_alarms: int
    claims: int


def checked(folder: Path, header: str, rows: list[str]) -> CheckedKey:
    path = folder / "key.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return check_file(path)


def tally(folder: Path, header: str, rows: list[str], slips: list[str]) -> Tally:
    """slips: one for each claim in the order of the key, '' where it is right."""
    done = checked(folder, header, rows)
    assert not done.problems, [str(problem) for problem in done.problems]
    pairs = list(zip(done.report.findings, slips, strict=True))
    wrong = [(finding, slip) for finding, slip in pairs if slip]
    caught = [(finding, slip) for finding, slip in wrong if finding.verdict == "ERROR"]
    return Tally(
        planted=len(wrong),
        found=len(caught),
        diagnosed=sum(slip in {diagnosis.slip for diagnosis in found.diagnoses} for found, slip in caught),
        main=sum(bool(found.diagnoses) and found.diagnoses[0].slip == slip for found, slip in caught),
        false_alarms=sum(finding.verdict in ("ERROR", "REVIEW") for finding, slip in pairs if not slip),
        claims=len(pairs),
    )


def of_rows(folder: Path, planted: Planted) -> Tally:
    slips = [slip for row, slip in planted if not row.startswith("*")]
    return tally(folder, HEADER, [row for row, _ in planted], slips)


def of_wide(folder: Path) -> Tally:
    return tally(folder, WIDE_HEADER, [row for row, _ in WIDE], [slip for _, slips in WIDE for slip in slips])


KEYS = {
    "trial of 30 claims": lambda folder: of_rows(folder, TRIAL),
    "a book in kJ/mol, undeclared": lambda folder: of_rows(folder, BOOK_IN_KJ),
    "Wade, declared": lambda folder: of_rows(folder, WADE),
    "wide sheet, SMILES": of_wide,
    "own values inline": lambda folder: of_rows(folder, INLINE),
}


@pytest.mark.parametrize("name", KEYS)
def test_every_planted_mistake_is_found_and_named_without_a_false_alarm(name: str, tmp_path: Path) -> None:
    found = KEYS[name](tmp_path)
    assert found.false_alarms == 0
    assert found.found == found.planted
    assert found.diagnosed >= 0.9 * found.planted


# --- right keys of other books and conventions -------------------------------------------------------------

# Values as the books print them; see data/published_values.csv for how each is known.
BOOKS = {
    "McMurry": (
        "kcal/mol",
        {"CH3": "1.8", "C2H5": "1.9", "CH(CH3)2": "2.2", "C(CH3)3": "5.4", "OH": "1.0", "Cl": "0.5"},
    ),
    "Wade": (
        "kJ/mol",
        {"CH3": "7.6", "C2H5": "7.9", "CH(CH3)2": "8.8", "C(CH3)3": "23", "OH": "4.1", "Br": "2.5"},
    ),
    "Klein": (
        "kJ/mol",
        {"CH3": "7.6", "C2H5": "8.0", "CH(CH3)2": "9.2", "C(CH3)3": "22.8", "OH": "4.2", "Cl": "2.0"},
    ),
    "Clayden": ("kJ/mol", {"CH3": "7.3", "C2H5": "7.5", "CH(CH3)2": "9.3", "C6H5": "11.7", "OCH3": "2.5"}),
    "Vollhardt": (
        "kcal/mol",
        {"CH3": "1.70", "C2H5": "1.75", "C(CH3)3": "5", "OH": "0.94", "Br": "0.55", "NH2": "1.4"},
    ),
}


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize("declared", [False, True])
def test_a_books_values_are_never_called_wrong(book: str, declared: bool, tmp_path: Path) -> None:
    unit, values = BOOKS[book]
    rows = [f"*,,conventions,,,,,,,table={book}"] if declared else []
    for number, (group, value) in enumerate(values.items()):
        rows.append(f"{number},1 up {group},term,1,1a,{value},{unit},,,")
        rows.append(f"{number},1 up {group},gap,,,{value},{unit},,,")
        if group != "CH3":
            both = float(value) + float(values["CH3"])
            digits = min(len(text.partition(".")[2]) for text in (value, values["CH3"]))
            rows.append(f'{number},"1 up CH3, 4 down {group}",gap,,,{both:.{digits}f},{unit},,,')
    done = checked(tmp_path, HEADER, rows)
    assert not done.problems
    assert {finding.verdict for finding in done.report.findings} == {"RIGHT"}


OTHER_CONVENTIONS = [
    # 2 x 1.74 - 0.9 and two decimals in kJ/mol: 2.61 x 4.184
    f"1,{T12},gap,,,2.58,kcal/mol,,,",
    f"2,{T12},gap,,,10.92,kJ/mol,,,",
    f"3,{T12},gap,,,10.92,,,,",
    # the contact of two groups once, or for both
    f"4,{C13},diaxial count,,1a 3a,3,,,,",
    f"5,{C13},diaxial count,,1a 3a,4,,,,",
    f"6,{C13},diaxial count,,1a 3a,1,,,,",
    f"7,{ME},K,,,18.86,,,,",
    f"8,{ME},K,,,1.9 x 10^1,,,,",
    '9,1 up C(CH3)3,K,,,"9,200",,,,',  # 5.4 kcal/mol; a comma that parts thousands
    f"10,{ME},percent,,,>90,%,,,",
    f"11,{ME},percent,,,95-96,%,,,",
    f"12,{ME},percent,,1a,5,%,,,",
    f"13,{C14},percent,,,50:50,,,,",
    f"14,{C12},gap,,,0,kcal/mol,,,",
    f"15,{ME_OH},stable chair,,,diequatorial,,,,",
    f"16,{T12},gap,,,2.70,kcal/mol,,,",
    '17,"1 up F, 2 down F",gap,,,0.10,kcal/mol,,,',  # G(ee) above: published with the other sign below
]


def test_keys_of_other_conventions_have_no_error(tmp_path: Path) -> None:
    done = checked(tmp_path, HEADER, OTHER_CONVENTIONS)
    assert not done.problems
    wrong = [
        f"{finding.claim.item}: {finding.words}"
        for finding in done.report.findings
        if finding.verdict == "ERROR"
    ]
    assert not wrong


def test_a_published_equilibrium_is_right_whatever_the_sum_says(tmp_path: Path) -> None:
    """trans-1,2-dichloro in dimethyl sulfoxide, E(ee) - E(aa) = -0.80 (Freitas 2005): B - A is +0.80."""
    (finding,) = checked(tmp_path, HEADER, ['1,"1 up Cl, 2 down Cl",gap,,,0.80,,,,']).report.findings
    assert finding.verdict == "RIGHT" and "dimethyl sulfoxide" in finding.words


WORDS_FOR_EQUAL = (
    "equal",
    "same",
    "same energy",
    "neither",
    "both",
    "50:50",
    "Equal in energy",
    "no preference",
)


@pytest.mark.parametrize("word", WORDS_FOR_EQUAL)
def test_words_for_equal_chairs(word: str, tmp_path: Path) -> None:
    rows = [f"1,{C12},stable chair,,,{word},,,,", f"2,{T12},stable chair,,,{word},,,,"]
    findings = checked(tmp_path, HEADER, rows).report.findings
    assert [finding.verdict for finding in findings] == ["RIGHT", "ERROR"]


@pytest.mark.parametrize("word", ["xyzzy", "the left one", "1", "axial-ish"])
def test_an_unknown_word_cannot_be_read_and_is_never_wrong(word: str, tmp_path: Path) -> None:
    done = checked(tmp_path, HEADER, [f"0,{ME},gap,,,1.74,,,,", f"1,{C12},stable chair,,,{word},,,,"])
    assert [finding.verdict for finding in done.report.findings] == ["RIGHT"]
    assert "cannot be read" in done.problems[0].message


def test_iupac_numbers_are_right_beside_the_molecules_own_and_said(tmp_path: Path) -> None:
    """2-methylcyclohexanol written with CH3 on C1: IUPAC gives C1 to OH. cis; OH on
    C1 is axial in the chair with CH3 equatorial."""
    rows = [
        '1,"1 up CH3, 2 up OH",position,1,1a 2e,axial,,,,',
        '2,"1 up CH3, 2 up OH",stable chair,,,1a 2e,,,,',  # OH axial, CH3 equatorial
    ]
    findings = checked(tmp_path, HEADER, rows).report.findings
    assert [finding.verdict for finding in findings] == ["RIGHT", "RIGHT"]
    assert "IUPAC numbering: C1 has OH" in findings[1].words


if __name__ == "__main__":
    lines = [f"{'key':32} claims planted found diagnosed first false alarms"]
    for key_name, made in KEYS.items():
        with tempfile.TemporaryDirectory() as name:
            row = made(Path(name))
        lines.append(
            f"{key_name:32} {row.claims:6} {row.planted:7} {row.found:5} {row.diagnosed:9} {row.main:5} "
            f"{row.false_alarms:12}"
        )
    sys.stdout.write("\n".join(lines) + "\n")
