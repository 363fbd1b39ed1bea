"""What the outputs need beyond the records: best conformers, populations, engine agreement, notes."""

import math
from dataclasses import dataclass
from typing import Literal

from chairgap.compare.populations import ensemble_kcal_mol, shares
from chairgap.records import ChairLetter, Conformer, Outcome, Refusal, Result, RingCarbon
from chairgap.units import fixed

ENGINES_AGREE_KCAL_MOL = 1e-6
ENGINES_AGREE_KCAL_MOL_ANGSTROM = 1e-5


@dataclass(frozen=True, kw_only=True)
class EngineAgreement:
    """The largest differences between the engines over a molecule's conformers; None when never compared.

    agree is 'yes' only when every conformer was compared and lies within both limits.
    """

    energy_difference_kcal_mol: float | None
    gradient_difference_kcal_mol_angstrom: float | None
    agree: Literal["yes", "no", "not checked"]
    note: str


def engine_agreement(conformers: tuple[Conformer, ...]) -> EngineAgreement:
    """Sum up the engine checks of all conformers of one molecule."""
    checks = [conformer.check for conformer in conformers]
    energies = [c.energy_difference_kcal_mol for c in checks if c.energy_difference_kcal_mol is not None]
    gradients = [
        c.gradient_difference_kcal_mol_angstrom
        for c in checks
        if c.gradient_difference_kcal_mol_angstrom is not None
    ]
    # A difference that is not a number is a disagreement, so each limit is asked for and never its opposite.
    within = all(value <= ENGINES_AGREE_KCAL_MOL for value in energies) and all(
        value <= ENGINES_AGREE_KCAL_MOL_ANGSTROM for value in gradients
    )
    all_checked = bool(checks) and len(energies) == len(gradients) == len(checks)
    return EngineAgreement(
        energy_difference_kcal_mol=_largest(energies),
        gradient_difference_kcal_mol_angstrom=_largest(gradients),
        agree="no" if not within else "yes" if all_checked else "not checked",
        note="; ".join(dict.fromkeys(check.note for check in checks if check.note)),
    )


def _largest(values: list[float]) -> float | None:
    """The largest value; not-a-number wins over every number."""
    if not values:
        return None
    return math.nan if any(math.isnan(value) for value in values) else max(values)


def lowest(conformers: tuple[Conformer, ...]) -> Conformer | None:
    """The conformer of lowest potential energy."""
    return min(conformers, key=lambda c: c.minimum.energy_kcal_mol, default=None)


def lowest_in_chair(conformers: tuple[Conformer, ...], letter: ChairLetter) -> Conformer | None:
    """The conformer of lowest potential energy with a copy in this chair.

    Its own `chair` may be the other letter: then this chair holds its copy by symmetry.
    """
    return lowest(tuple(c for c in conformers if (c.degeneracy_a if letter == "A" else c.degeneracy_b) > 0))


def by_energy(conformers: tuple[Conformer, ...]) -> list[Conformer]:
    """Conformers by rising potential energy; equal ones keep their order."""
    return sorted(conformers, key=lambda conformer: conformer.minimum.energy_kcal_mol)


def fractions(conformers: tuple[Conformer, ...], temperature_k: float) -> dict[int, float]:
    """Population of each conformer (all its copies), by conformer number; the fractions add up to 1."""
    if not conformers:
        return {}
    # (1) G of a conformer with all its copies: G_i - RT ln copies_i
    gibbs = [ensemble_kcal_mol([c.gibbs_kcal_mol], [c.degeneracy], temperature_k) for c in conformers]
    numbers = [conformer.number for conformer in conformers]
    return dict(zip(numbers, shares(gibbs, temperature_k), strict=True))


def notes(result: Result) -> tuple[str, ...]:
    """The notes of the earlier stages for the reader."""
    check = engine_agreement(result.conformers)
    every_note = (*result.molecule.notes, unfinished_search(result), check.note)
    return tuple(dict.fromkeys(note for note in every_note if note))


def unfinished_search(result: Result) -> str:
    """What a search says whose budget ended while it still found minima; '' for one that came to its end."""
    search = result.search
    if not search.new_in_last_round:
        return ""
    return (
        f"the search was not at its end: its last round still found {search.new_in_last_round} new minima, "
        f"and the last quarter of its starts moved the chairs by {fixed(result.late_shift_kcal_mol, 2)} "
        "kcal/mol, which is part of the uncertainty; raise the search effort"
    )


def carbon_by_locant(result: Result) -> list[RingCarbon]:
    """Ring carbons 1 to 6 in this order."""
    return sorted(result.molecule.topology.carbons, key=lambda carbon: carbon.locant)


def untreated(outcome: Outcome) -> list[tuple[Literal["refused", "failed"], Refusal]]:
    """Refused molecules, then failed ones, with the word for each."""
    lost: list[tuple[Literal["refused", "failed"], Refusal]] = []
    lost.extend(("refused", refusal) for refusal in outcome.refused)
    lost.extend(("failed", refusal) for refusal in outcome.failed)
    return lost
