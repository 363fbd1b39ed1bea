"""The number of each criterion measured anew, and held against verdict and words of the reason.

Measured from conformers, degeneracies, charges and parts by other code than that of the reasons, on both
sides of each limit; where no two molecules lie close, one molecule does at two temperatures or in two media.
The numbers are what MMFF94 gives, found in a scan of some 570 molecules of one to three groups: they guard
against change and are no literature.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

import pytest
from reason_measures import (
    away_from_193_k,
    best,
    bond_length,
    bond_length_of_low_conformers,
    chairs_without_a_minimum,
    degeneracies_of_the_best,
    dipole_difference,
    ensemble_minus_potential,
    flat_turn,
    gibbs_gap_size,
    gibbs_minus_ensemble,
    inside_the_range,
    kcal,
    largest_net_charge,
    minus_t_ds,
    non_chair_share,
    part_sum,
    single_group_errors,
    values_missing,
)

from chairgap.compare import reasons
from chairgap.compare.reasons import CODES
from chairgap.records import GAS_PHASE, Medium, Reason, Result
from chairgap.tables.shipped import find_medium
from pipeline_helpers import treated

NOTEWORTHY = 0.2
TOLUENE = find_medium("toluene")


# --- the table -----------------------------------------------------------------------------------------

Sense = Literal["at least", "at most"]


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """How the size of a number is held against the limit; `within` is how far from it a near miss may lie."""

    code: str
    measure: Callable[[Result, float], float]
    sense: Sense = "at least"
    limit: float
    within: float
    signed: bool = False

    def holds(self, number: float) -> bool:
        size = number if self.signed else abs(number)
        return size >= self.limit if self.sense == "at least" else size <= self.limit


SHARE = Criterion(code="twist-boat-intrudes", measure=non_chair_share, limit=0.05, within=0.001)
MISSING_CHAIR = Criterion(code="chair-missing", measure=chairs_without_a_minimum, limit=1, within=1)
CHARGED = Criterion(code="charged-groups", measure=largest_net_charge, limit=1, within=1)
EQUAL = Criterion(code="equal-by-symmetry", measure=gibbs_gap_size, sense="at most", limit=0.0, within=0.005)
MISSING = Criterion(code="missing-table-value", measure=values_missing, limit=1, within=1)
LENGTH = Criterion(
    code="internal-hydrogen-bond", measure=bond_length, sense="at most", limit=2.5, within=0.04
)
APOLAR = Criterion(
    code="hydrogen-bond-in-apolar-solvent",
    measure=bond_length_of_low_conformers,
    sense="at most",
    limit=2.5,
    within=0.11,
)
DIPOLE = Criterion(code="solvent-or-dipole", measure=dipole_difference, limit=1.0, within=0.01)
TURN = Criterion(code="flat-group-rotation", measure=flat_turn, limit=30.0, within=2.0)
SINGLE = Criterion(
    code="model-error-of-single-groups", measure=single_group_errors, limit=NOTEWORTHY, within=0.005
)
GEMINAL = Criterion(
    code="geminal-non-additivity", measure=part_sum("pair", "geminal"), limit=NOTEWORTHY, within=0.02
)
VICINAL = Criterion(code="vicinal-gauche", measure=part_sum("pair", "1,2"), limit=NOTEWORTHY, within=0.01)
DIAXIAL = Criterion(
    code="syn-diaxial-excess", measure=part_sum("pair", "1,3"), limit=NOTEWORTHY, within=0.001
)
ACROSS = Criterion(code="1,4-pairs", measure=part_sum("pair", "1,4"), limit=NOTEWORTHY, within=0.025)
THREE = Criterion(code="non-additivity", measure=part_sum("non-additivity"), limit=NOTEWORTHY, within=0.001)
ROTAMERS = Criterion(code="rotamer-entropy", measure=ensemble_minus_potential, limit=NOTEWORTHY, within=0.002)
VIBRATIONS = Criterion(code="vibrations", measure=gibbs_minus_ensemble, limit=NOTEWORTHY, within=0.001)
ENTHALPY = Criterion(code="entropy-term", measure=minus_t_ds, limit=NOTEWORTHY, within=0.001)
TEMPERATURE = Criterion(code="temperature", measure=away_from_193_k, limit=NOTEWORTHY, within=0.002)
DEGENERACY = Criterion(code="degeneracy", measure=degeneracies_of_the_best, limit=NOTEWORTHY, within=0.001)
RANGE = Criterion(code="within-error", measure=inside_the_range, limit=0.0, within=0.01, signed=True)

Row = tuple[Criterion, str, float, Medium, float, bool]
ROOM = 298.15
ROWS: tuple[Row, ...] = (
    # criterion, molecule, temperature (K), medium, number, earned
    (SHARE, "1 up SH", 601.0, GAS_PHASE, 0.0503, True),
    (SHARE, "1 up SH", 600.0, GAS_PHASE, 0.0499, False),
    (SHARE, "1 up C(CH3)3, 2 down C(CH3)3", ROOM, GAS_PHASE, 0.6555, True),
    (MISSING_CHAIR, "1 up C(CH3)3, 3 up C(CH3)3", ROOM, GAS_PHASE, 1, True),
    (MISSING_CHAIR, "1 up C(CH3)3, 3 up CF3", ROOM, GAS_PHASE, 0, False),
    (CHARGED, "1 up NH3+", ROOM, GAS_PHASE, 1, True),
    (CHARGED, "1 up NO2", ROOM, GAS_PHASE, 0, False),
    (EQUAL, "1 up *[C@H](F)C, 2 up *[C@@H](F)C", ROOM, GAS_PHASE, 0.0, True),
    (EQUAL, "1 up Cl, 1 down C#CH", ROOM, GAS_PHASE, 0.0033, False),
    (MISSING, "1 up Cl, 2 down OH", ROOM, GAS_PHASE, 1, True),
    (MISSING, "1 up Cl, 2 up OH", ROOM, GAS_PHASE, 0, False),
    (LENGTH, "1 up CH3, 5 down NH2, 6 up F", ROOM, GAS_PHASE, 2.478, True),
    (LENGTH, "1 up CH3, 5 down NH2, 6 up F", ROOM, TOLUENE, 2.503, False),
    (LENGTH, "1 up *CF, 1 down Cl, 6 down NH2", ROOM, GAS_PHASE, 2.536, False),
    (APOLAR, "1 up NH2, 2 down F", ROOM, TOLUENE, 2.497, True),
    (APOLAR, "1 up OH, 2 down SH", ROOM, TOLUENE, 2.604, False),
    (DIPOLE, "1 up CO2H, 3 up *N=O", ROOM, GAS_PHASE, 1.0273, True),
    (DIPOLE, "1 up CN, 5 up *C(=O)N", ROOM, GAS_PHASE, -0.9943, False),
    (TURN, "1 up Cl, 1 down CF3, 5 down CO2H", ROOM, GAS_PHASE, 32.73, True),
    (TURN, "1 up CO2H, 5 up CF3", ROOM, GAS_PHASE, 28.37, False),
    (SINGLE, "1 up OCH3, 4 down OCH3", ROOM, GAS_PHASE, 0.2059, True),
    (SINGLE, "1 up C2H5", ROOM, GAS_PHASE, 0.1960, False),
    (GEMINAL, "1 up CH=CH2, 1 down I", ROOM, GAS_PHASE, 0.2219, True),
    (GEMINAL, "1 up I, 1 down C#CH", ROOM, GAS_PHASE, 0.1821, False),
    (VICINAL, "1 up CH3, 6 up *N=O", ROOM, GAS_PHASE, -0.2096, True),
    (VICINAL, "1 up I, 2 up *C(=O)N", ROOM, GAS_PHASE, -0.1937, False),
    (DIAXIAL, "1 up Br, 5 down SH", ROOM, GAS_PHASE, 0.2011, True),
    (DIAXIAL, "1 up CN, 3 down *CO", ROOM, GAS_PHASE, 0.1999, False),
    (ACROSS, "1 up Cl, 4 up C#CH, 6 down Cl", ROOM, GAS_PHASE, 0.2157, True),
    (ACROSS, "1 up CO2H, 4 down CO2H", ROOM, GAS_PHASE, -0.1791, False),
    (THREE, "1 up CF3, 2 up CF3, 4 up Br", ROOM, GAS_PHASE, -0.2059, True),
    (THREE, "1 up CH3, 4 down Cl, 6 up CO2H", ROOM, GAS_PHASE, 0.1994, False),
    (ROTAMERS, "1 up SCH3", 278.0, GAS_PHASE, 0.2003, True),
    (ROTAMERS, "1 up SCH3", 277.0, GAS_PHASE, 0.1995, False),
    (VIBRATIONS, "1 up SCH3", 295.0, GAS_PHASE, 0.2003, True),
    (VIBRATIONS, "1 up SCH3", 294.0, GAS_PHASE, 0.1998, False),
    (ENTHALPY, "1 up CN, 2 down CN", ROOM, GAS_PHASE, 0.2008, True),
    (ENTHALPY, "1 up F, 2 up NH2", ROOM, GAS_PHASE, -0.1991, False),
    (ENTHALPY, "1 up SiH3", 291.0, GAS_PHASE, 0.2009, True),
    (ENTHALPY, "1 up SiH3", 289.0, GAS_PHASE, 0.1991, False),
    (TEMPERATURE, "1 up SH", 581.0, GAS_PHASE, 0.2008, True),
    (TEMPERATURE, "1 up SH", 579.0, GAS_PHASE, 0.1994, False),
    (DEGENERACY, "1 up CH(CH3)2", 146.0, GAS_PHASE, 0.2011, True),
    (DEGENERACY, "1 up CH(CH3)2", 145.0, GAS_PHASE, 0.1997, False),
    (DEGENERACY, "1 up C(CH3)3", 145.5, GAS_PHASE, -0.2004, True),
    (RANGE, "1 up CH3, 3 down C6H5", ROOM, GAS_PHASE, 0.0038, True),
    (RANGE, "1 up C2H5, 3 down CH3", ROOM, GAS_PHASE, -0.0076, False),
)
# Gibbs energies of the same force field come from numerical Hessians; 0.0003 is below the last printed
# decimal and above their noise. Lengths and angles are given as rounded here.
TOLERANCE = {LENGTH: 0.001, APOLAR: 0.001, TURN: 0.05}


# Several seconds each, of molecules whose criterion another row shows too.
HEAVY = {
    "1 up Cl, 1 down CF3, 5 down CO2H",
    "1 up CO2H, 3 up *N=O",
    "1 up CN, 5 up *C(=O)N",
    "1 up CO2H, 4 down CO2H",
    "1 up CO2H, 5 up CF3",
    "1 up I, 2 up *C(=O)N",
    "1 up CH3, 4 down Cl, 6 up CO2H",
}


def spared(rows: Iterable[tuple[object, ...]]) -> list[object]:
    """The rows, those of heavy molecules with the long tests."""
    return [pytest.param(*row, marks=pytest.mark.long) if HEAVY & set(map(str, row)) else row for row in rows]


def reason(result: Result, code: str) -> Reason | None:
    return next((item for item in result.comparison.reasons if item.code == code), None)


@pytest.mark.parametrize(
    ("criterion", "groups_by_face", "temperature_k", "medium", "number", "earned"), spared(ROWS)
)
def test_reason_is_given_where_its_number_says_so(
    criterion: Criterion,
    groups_by_face: str,
    temperature_k: float,
    medium: Medium,
    number: float,
    earned: bool,
) -> None:
    result = treated(groups_by_face, temperature_k=temperature_k, medium=medium)
    measured = criterion.measure(result, temperature_k)
    assert measured == pytest.approx(number, abs=TOLERANCE.get(criterion, 3e-4))
    assert criterion.holds(measured) is earned
    assert (reason(result, criterion.code) is not None) is earned


def test_every_code_has_a_molecule_that_earns_it_and_one_that_only_just_does_not() -> None:
    for code in CODES:
        earned = [row for row in ROWS if row[0].code == code and row[5]]
        missed = [row for row in ROWS if row[0].code == code and not row[5]]
        assert earned and missed, code
        assert any(
            abs((number if criterion.signed else abs(number)) - criterion.limit) <= criterion.within
            for criterion, _, _, _, number, _ in missed
        ), code


def test_documented_list_is_the_list() -> None:
    listed = re.findall(r"^\| ([a-z0-9,-]+) \|", reasons.__doc__ or "", re.MULTILINE)
    assert [code for code in listed if code not in ("code", "---")] == list(CODES)


# --- the words -----------------------------------------------------------------------------------------


def dipoles_shown(_: float, result: Result) -> list[str]:
    return [f"{kcal(best(result, letter).dipole_debye):.1f} D" for letter in ("A", "B")]


def temperatures_shown(number: float, result: Result) -> list[str]:
    gibbs = kcal(result.gaps.gibbs_kcal_mol)
    return [f"{gibbs - number:+.2f} there", f"{gibbs:+.2f} kcal/mol", "193 K"]


# What the evidence must hold of the number; a gap in kcal/mol unless it stands here.
SHOWN: dict[Criterion, Callable[[float, Result], list[str]]] = {
    SHARE: lambda number, _: [f"non-chair share {100.0 * number:.0f} %"],
    MISSING_CHAIR: lambda _, result: [f"no minimum found for chair {result.chairs[1].name}"],
    CHARGED: lambda _, result: [ligand.group for _, ligand in result.molecule.topology.groups],
    EQUAL: lambda *_: ["gap 0"],
    MISSING: lambda _, result: list(result.estimate.missing),
    LENGTH: lambda number, _: [f"H...Y {number:.2f} angstrom"],
    APOLAR: lambda *_: ["do not trust the gap in toluene"],
    DIPOLE: dipoles_shown,
    TURN: lambda *_: [],  # two angles; see the test
    TEMPERATURE: temperatures_shown,
    RANGE: lambda _, result: [f"Gibbs gap {kcal(result.gaps.gibbs_kcal_mol):+.2f}"],
}


@pytest.mark.parametrize(
    ("criterion", "groups_by_face", "temperature_k", "medium", "number"),
    spared(row[:5] for row in ROWS if row[5]),
)
def test_evidence_holds_the_number(
    criterion: Criterion, groups_by_face: str, temperature_k: float, medium: Medium, number: float
) -> None:
    result = treated(groups_by_face, temperature_k=temperature_k, medium=medium)
    found = reason(result, criterion.code)
    assert found is not None
    measured = criterion.measure(result, temperature_k)
    wanted = SHOWN[criterion](measured, result) if criterion in SHOWN else [f"{measured:+.2f}"]
    assert all(words in found.evidence for words in wanted), (wanted, found.evidence)
    if criterion is TURN:
        one, other = map(float, re.findall(r"(\d+) and (\d+) degrees", found.evidence)[0])
        assert abs(one - other) == pytest.approx(number, abs=1.0)  # each rounded to a degree


def test_nothing_has_no_sign() -> None:
    """trans-1,2-difluorocyclohexane, whose computed gap is 0.00 at two decimals."""
    evidence = " ".join(item.evidence for item in treated("1 up F, 2 down F").comparison.reasons)
    assert "Gibbs gap 0.00 at" in evidence
    assert not re.search(r"[-+]0\.00\b", evidence)


# --- the order -----------------------------------------------------------------------------------------


SIZED = CODES[CODES.index("model-error-of-single-groups") : CODES.index("vibrations") + 1]


@pytest.mark.parametrize(
    ("groups_by_face", "temperature_k", "medium"), spared(sorted({row[1:4] for row in ROWS}, key=str))
)
def test_reasons_are_on_the_list_and_in_its_order(
    groups_by_face: str, temperature_k: float, medium: Medium
) -> None:
    found = treated(groups_by_face, temperature_k=temperature_k, medium=medium).comparison.reasons
    codes = [item.code for item in found]
    assert set(codes) <= set(CODES) and len(set(codes)) == len(codes)
    sizes = [abs(item.size_kcal_mol or 0.0) for item in found if item.code in SIZED]
    assert sizes == sorted(sizes, reverse=True)
    # The order of the table, all sized ones taken as one entry of it.
    places = [CODES.index(SIZED[0]) if code in SIZED else CODES.index(code) for code in codes]
    assert places == sorted(places)
