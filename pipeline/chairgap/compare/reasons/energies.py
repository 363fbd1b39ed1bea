"""Criteria that look at energies: the parts of the split, kinds of gap, temperature, ranges."""

import math
from collections.abc import Iterable, Iterator

from chairgap.compare.reasons.case import NOTEWORTHY_KCAL_MOL, Case
from chairgap.records import PartKind, Reason, SplitPart
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, signed

_PAIR_CODES = (
    ("geminal", "geminal-non-additivity"),
    ("1,2", "vicinal-gauche"),
    ("1,3", "syn-diaxial-excess"),
    ("1,4", "1,4-pairs"),
)


def energy_reasons(case: Case) -> Iterator[Reason]:
    """Those that account for a part of the difference, with its size."""
    if case.gaps.equal_by_symmetry:
        return
    gaps, parts, at = case.gaps, case.split.parts, f"{case.temperature_k:.2f} K"
    singles = [part for part in parts if part.kind == "single group" and part.tabulated_kcal_mol is not None]
    yield from _part(
        "model-error-of-single-groups",
        singles,
        f"Gibbs gap of each group alone at {at}, computed minus A-value",
    )
    for relation, code in _PAIR_CODES:
        pairs = [part for part in parts if part.kind == "pair" and part.relation == relation]
        yield from _part(
            code, pairs, f"potential energy of {relation} pairs, computed minus tabulated correction"
        )
    rest = [part for part in parts if part.kind == "non-additivity"]
    yield from _part("non-additivity", rest, "potential energy that no pair of groups explains")
    ensemble = ("ensemble", gaps.ensemble_kcal_mol)
    yield from _between(
        "rotamer-entropy", ensemble, ("potential", gaps.potential_kcal_mol), _size(parts, "rotamers"), at
    )
    yield from _between(
        "vibrations", ("Gibbs", gaps.gibbs_kcal_mol), ensemble, _size(parts, "vibrations"), at
    )


def late_energy_reasons(case: Case) -> Iterator[Reason]:
    """Those that say how the numbers are to be read."""
    if not case.gaps.equal_by_symmetry:
        yield from _mixing(case)
        yield from _enthalpy(case)
        yield from _temperature(case)
        yield from _within(case)


def _part(code: str, parts: Iterable[SplitPart], what: str) -> Iterator[Reason]:
    counted = [part for part in parts if part.computed_kcal_mol or part.tabulated_kcal_mol]
    size = sum(part.difference_kcal_mol for part in counted)
    if abs(size) < NOTEWORTHY_KCAL_MOL:
        return
    words = "; ".join(_words(part) for part in counted if part.groups)
    yield Reason(
        code=code,
        evidence=f"{what} {signed(size)} kcal/mol" + (f" ({words})" if words else ""),
        size_kcal_mol=size,
    )


def _words(part: SplitPart) -> str:
    names = "/".join(part.groups)
    table = "none" if part.tabulated_kcal_mol is None else signed(part.tabulated_kcal_mol)
    return f"{names} on C{' C'.join(map(str, part.carbons))} {signed(part.computed_kcal_mol)}, table {table}"


def _size(parts: Iterable[SplitPart], kind: PartKind) -> float | None:
    """What this kind adds to the difference, beyond what the single groups have of it."""
    return next((part.difference_kcal_mol for part in parts if part.kind == kind), None)


def _between(
    code: str,
    ours: tuple[str, float | None],
    base: tuple[str, float | None],
    size_kcal_mol: float | None,
    at: str,
) -> Iterator[Reason]:
    (name, value), (other, start) = ours, base
    if value is None or start is None or abs(value - start) < NOTEWORTHY_KCAL_MOL:
        return
    beyond = "" if not size_kcal_mol else f", {signed(size_kcal_mol)} of it beyond the single groups"
    yield Reason(
        code=code,
        evidence=f"{name} minus {other} gap {signed(value - start)} kcal/mol at {at}{beyond}",
        size_kcal_mol=size_kcal_mol,
    )


def _mixing(case: Case) -> Iterator[Reason]:
    best = case.both_best()
    if best is None:
        return
    degeneracy_a, degeneracy_b = best[0].degeneracy_a, best[1].degeneracy_b
    # (1) RT ln(g_A / g_B), g the degeneracies, is what these alone add to G(B) - G(A)
    size = GAS_CONSTANT_KCAL_PER_MOL_K * case.temperature_k * math.log(degeneracy_a / degeneracy_b)
    if abs(size) >= NOTEWORTHY_KCAL_MOL:
        yield Reason(
            code="degeneracy",
            evidence=(
                f"the best conformer of chair A has degeneracy {degeneracy_a}, of chair B {degeneracy_b} "
                f"(mirror images and equal rotamers): {signed(size)} kcal/mol in the gap at "
                f"{case.temperature_k:.2f} K"
            ),
        )


def _enthalpy(case: Case) -> Iterator[Reason]:
    gibbs, enthalpy = case.gaps.gibbs_kcal_mol, case.gaps.enthalpy_kcal_mol
    if gibbs is None or enthalpy is None or abs(gibbs - enthalpy) < NOTEWORTHY_KCAL_MOL:
        return
    yield Reason(
        code="entropy-term",
        evidence=f"dH {signed(enthalpy)}, -T dS {signed(gibbs - enthalpy)}, dG {signed(gibbs)} kcal/mol at "
        f"{case.temperature_k:.2f} K",
    )


def _temperature(case: Case) -> Iterator[Reason]:
    there, here, at = case.gibbs_at_table_kcal_mol, case.gaps.gibbs_kcal_mol, case.table_temperature_k
    if there is None or here is None or at is None or abs(here - there) < NOTEWORTHY_KCAL_MOL:
        return
    yield Reason(
        code="temperature",
        evidence=f"A-values of {at:.0f} K; computed Gibbs gap {signed(there)} there, {signed(here)} kcal/mol "
        f"at {case.temperature_k:.2f} K",
    )


def _within(case: Case) -> Iterator[Reason]:
    estimate, gibbs = case.estimate, case.gaps.gibbs_kcal_mol
    low, high = estimate.low_kcal_mol, estimate.high_kcal_mol
    if not estimate.complete or gibbs is None or low is None or high is None:
        return
    if low <= gibbs <= high:
        yield Reason(
            code="within-error",
            evidence=(
                f"Gibbs gap {signed(gibbs)} at {case.temperature_k:.2f} K, estimate's range {signed(low)} to "
                f"{signed(high)} kcal/mol"
            ),
        )
