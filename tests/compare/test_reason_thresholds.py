"""Each reason just inside its criterion, and just outside."""

from dataclasses import replace

import numpy as np
import pytest

from chairgap.compare.reasons import NOTEWORTHY_KCAL_MOL, Case, find_reasons
from chairgap.records import Estimate, Gaps, PartKind, Relation, Split, SplitPart
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from pipeline_helpers import molecule, treated

BASE = treated("1 up CH3")
GAPS = Gaps(
    potential_kcal_mol=1.0,
    ensemble_kcal_mol=1.0,
    gibbs_kcal_mol=1.0,
    enthalpy_kcal_mol=1.0,
    entropy_cal_mol_k=0.0,
    harmonic_gibbs_kcal_mol=1.0,
    to_non_chair_kcal_mol=5.0,
    population_a=0.85,
    population_b=0.15,
    population_non_chair=0.0,
    equilibrium_constant=None,
    equal_by_symmetry=False,
)
ESTIMATE = replace(BASE.estimate, gap_kcal_mol=3.0, low_kcal_mol=2.9, high_kcal_mol=3.1)


NO_PARTS = Split(parts=())


def evidence(
    gaps: Gaps,
    estimate: Estimate = ESTIMATE,
    split: Split = NO_PARTS,
    there: tuple[float, float] | None = None,
) -> dict[str, str]:
    """Words by code; `there` is the temperature of the A-values and the Gibbs gap at it."""
    case = Case(
        topology=BASE.molecule.topology,
        chairs=BASE.chairs,
        conformers=BASE.conformers,
        estimate=estimate,
        gaps=gaps,
        split=split,
        temperature_k=298.15,
        table_temperature_k=there[0] if there else None,
        gibbs_at_table_kcal_mol=there[1] if there else None,
    )
    return {reason.code: reason.evidence for reason in find_reasons(case)}


def test_nothing_to_say() -> None:
    assert evidence(GAPS) == {}


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_rotamer_entropy(sign: float, beyond: float, earned: bool) -> None:
    moved = 1.0 + sign * (NOTEWORTHY_KCAL_MOL + beyond)
    found = evidence(replace(GAPS, ensemble_kcal_mol=moved, gibbs_kcal_mol=moved, enthalpy_kcal_mol=moved))
    assert ("rotamer-entropy" in found) is earned and "vibrations" not in found
    if earned:
        assert "ensemble minus potential gap" in found["rotamer-entropy"]
        assert f"{moved - 1.0:+.2f}" in found["rotamer-entropy"]


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_vibrations(sign: float, beyond: float, earned: bool) -> None:
    moved = 1.0 + sign * (NOTEWORTHY_KCAL_MOL + beyond)
    found = evidence(replace(GAPS, gibbs_kcal_mol=moved, enthalpy_kcal_mol=moved))
    assert set(found) == ({"vibrations"} if earned else set())
    assert not earned or f"Gibbs minus ensemble gap {moved - 1.0:+.2f}" in found["vibrations"]


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_enthalpy_against_free_energy(sign: float, beyond: float, earned: bool) -> None:
    enthalpy = 1.0 - sign * (NOTEWORTHY_KCAL_MOL + beyond)
    found = evidence(replace(GAPS, enthalpy_kcal_mol=enthalpy))
    assert set(found) == ({"entropy-term"} if earned else set())
    if earned:
        words = found["entropy-term"]
        assert f"dH {enthalpy:+.2f}" in words and f"-T dS {1.0 - enthalpy:+.2f}" in words


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_temperature(sign: float, beyond: float, earned: bool) -> None:
    gap_there = 1.0 + sign * (NOTEWORTHY_KCAL_MOL + beyond)
    found = evidence(GAPS, there=(193.0, gap_there))
    assert set(found) == ({"temperature"} if earned else set())
    if earned:
        words = found["temperature"]
        assert (
            "193 K" in words and f"{gap_there:+.2f} there" in words and "+1.00 kcal/mol at 298.15 K" in words
        )


def part(kind: PartKind, relation: Relation, computed: float, tabulated: float | None) -> SplitPart:
    named = kind in ("single group", "pair")
    return SplitPart(
        kind=kind,
        relation=relation,
        carbons=(1,) if named else (),
        groups=("CH3",) if named else (),
        computed_kcal_mol=computed,
        tabulated_kcal_mol=tabulated,
    )


PARTS: tuple[tuple[str, PartKind, Relation, float | None], ...] = (
    ("model-error-of-single-groups", "single group", "", 0.9),
    ("geminal-non-additivity", "pair", "geminal", None),
    ("vicinal-gauche", "pair", "1,2", 0.9),
    ("vicinal-gauche", "pair", "1,2", None),
    ("syn-diaxial-excess", "pair", "1,3", -0.9),
    ("1,4-pairs", "pair", "1,4", None),
    ("non-additivity", "non-additivity", "", None),
)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
@pytest.mark.parametrize(("code", "kind", "relation", "tabulated"), PARTS)
def test_parts_of_one_kind_are_added_up(
    code: str,
    kind: PartKind,
    relation: Relation,
    tabulated: float | None,
    sign: float,
    beyond: float,
    earned: bool,
) -> None:
    """Two parts of half the limit each; either alone would earn nothing."""
    half = sign * 0.5 * (NOTEWORTHY_KCAL_MOL + beyond)
    one = part(kind, relation, half + (tabulated or 0.0), tabulated)
    assert evidence(GAPS, split=Split(parts=(one,))) == {}
    found = evidence(GAPS, split=Split(parts=(one, one)))
    assert set(found) == ({code} if earned else set())
    assert not earned or f"{2.0 * half:+.2f} kcal/mol" in found[code]


def test_a_group_without_a_value_is_no_error_of_the_model() -> None:
    assert evidence(GAPS, split=Split(parts=(part("single group", "", 5.0, None),))) == {}


def test_parts_of_opposite_sign_cancel() -> None:
    parts = (part("pair", "1,3", 1.0, None), part("pair", "1,3", -0.9, None))
    assert evidence(GAPS, split=Split(parts=parts)) == {}


def test_reasons_that_carry_a_part_stand_by_falling_size() -> None:
    parts = (
        part("single group", "", 0.3, 0.0),
        part("pair", "geminal", -0.5, None),
        part("pair", "1,4", 0.4, None),
        part("rotamers", "", 0.9, None),
        part("vibrations", "", -0.6, None),
    )
    moved = replace(
        GAPS, ensemble_kcal_mol=2.0, gibbs_kcal_mol=3.0, enthalpy_kcal_mol=4.0, to_non_chair_kcal_mol=-1.0
    )
    found = evidence(moved, split=Split(parts=parts))
    assert list(found) == [
        "twist-boat-intrudes",
        "rotamer-entropy",
        "vibrations",
        "geminal-non-additivity",
        "1,4-pairs",
        "model-error-of-single-groups",
        "entropy-term",
        "within-error",
    ]


@pytest.mark.parametrize(
    ("lead", "share", "earned"),
    [(0.001, 0.0499, False), (-0.001, 0.0, True), (5.0, 0.05, True), (None, 0.0, False)],
)
def test_twist_boat_intrudes(lead: float | None, share: float, earned: bool) -> None:
    found = evidence(replace(GAPS, to_non_chair_kcal_mol=lead, population_non_chair=share))
    assert ("twist-boat-intrudes" in found) is earned


@pytest.mark.parametrize(
    ("gap", "earned"), [(2.9, True), (3.1, True), (2.8999, False), (3.1001, False), (None, False)]
)
def test_within_error(gap: float | None, earned: bool) -> None:
    # All gaps move together, so that this reason alone is at stake.
    moved = replace(
        GAPS,
        potential_kcal_mol=gap,
        ensemble_kcal_mol=gap,
        gibbs_kcal_mol=gap,
        enthalpy_kcal_mol=gap,
    )
    assert ("within-error" in evidence(moved)) is earned


def test_within_error_needs_a_complete_estimate() -> None:
    moved = replace(GAPS, potential_kcal_mol=3.0, ensemble_kcal_mol=3.0, gibbs_kcal_mol=3.0)
    assert "within-error" in evidence(moved)
    found = evidence(moved, replace(ESTIMATE, missing=("vicinal gauche Cl/Cl",)))
    assert "within-error" not in found
    assert "vicinal gauche Cl/Cl" in found["missing-table-value"]


def test_equal_chairs_are_reported_once_and_never_within_error() -> None:
    moved = replace(
        GAPS,
        potential_kcal_mol=0.0,
        ensemble_kcal_mol=0.0,
        gibbs_kcal_mol=0.0,
        equal_by_symmetry=True,
    )
    assert set(evidence(moved, replace(ESTIMATE, low_kcal_mol=-1.0))) == {"equal-by-symmetry"}


@pytest.mark.parametrize(
    ("distance", "angle_deg", "bonds"),
    [(2.49, 101.0, 1), (2.51, 101.0, 0), (2.49, 99.0, 0), (1.8, 180.0, 1)],
)
def test_hydrogen_bond_criterion(distance: float, angle_deg: float, bonds: int) -> None:
    """Two hydroxyls: everything far away but O-H and the other O, which are put where the case wants them."""
    topology = molecule("1 up OH, 4 up OH").topology
    one, two = (ligand.atom for _, ligand in topology.groups)
    hydrogens = {
        oxygen: next(int(b) for a, b in topology.bonds if a == oxygen and topology.symbols[b] == "H")
        for oxygen in (one, two)
    }
    positions = 100.0 * np.arange(3 * len(topology.symbols), dtype=float).reshape(-1, 3) ** 1.1
    positions[hydrogens[one]] = 0.0
    positions[one] = [0.97, 0.0, 0.0]
    turn = np.radians(angle_deg)
    positions[two] = distance * np.array([np.cos(turn), np.sin(turn), 0.0])
    found = hydrogen_bonds(topology, positions)
    assert len(found) == bonds
    if bonds:
        assert found[0] == pytest.approx((distance, angle_deg))


def test_a_group_makes_no_hydrogen_bond_with_itself() -> None:
    topology = molecule("1 up CO2H").topology  # O=C-O-H, 2.3 angstrom from H to the other O
    (best, *_) = treated("1 up CO2H").conformers
    assert hydrogen_bonds(topology, best.minimum.positions) == ()
