"""A continuum breaks internal hydrogen bonds even where the solvent does not compete for them.

The cause is explained in `chairgap.minimise.solvated`. The reason is given for every medium of the molecule
(its own and those of the series) with a dielectric constant above 1 and below APOLAR_BELOW, when

* one chair has more X-H...Y contacts between groups than the other, counting for each chair the most that a
  conformer within REACH of its best one has (the continuum may have hidden it by so much), and
* the gap in that medium lies NOTEWORTHY or more from that in the gas phase, towards the chair without the
  contact; where the gas phase was not computed, this is not asked.
"""

from collections.abc import Iterator

from chairgap.compare.reasons.case import NOTEWORTHY_KCAL_MOL, Case
from chairgap.records import ChairLetter, Reason
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from chairgap.units import signed

APOLAR = "hydrogen-bond-in-apolar-solvent"
APOLAR_BELOW = 5.0
# The largest shift against a hydrogen-bonded chair that was met in tetrachloromethane is 1.4 kcal/mol.
REACH_KCAL_MOL = 2.0


def apolar_reasons(case: Case) -> Iterator[Reason]:
    """One reason that names all media concerned, with the shift from the gas phase where that is known."""
    more = _bonds(case, "A") - _bonds(case, "B")
    if not more:
        return
    gaps = _gaps(case)
    gas = next((gap for _, dielectric, gap in gaps if dielectric == 1.0), None)
    words = []
    for name, dielectric, gap in gaps:
        if not 1.0 < dielectric < APOLAR_BELOW:
            continue
        if gas is None:
            words.append(name)
        elif (gas - gap if more > 0 else gap - gas) >= NOTEWORTHY_KCAL_MOL:
            words.append(f"{name} ({signed(gap - gas)} kcal/mol from the gas phase)")
    if words:
        bound = case.chairs[0 if more > 0 else 1].name
        yield Reason(
            code=APOLAR,
            evidence=(
                f"chair {bound} can have more hydrogen bonds between its groups than the other, and the "
                f"continuum weakens them too much: do not trust the gap in {', '.join(words)}"
            ),
        )


def _bonds(case: Case, letter: ChairLetter) -> int:
    held = [item for item in case.conformers if (item.degeneracy_a if letter == "A" else item.degeneracy_b)]
    floor = min((item.minimum.energy_kcal_mol for item in held), default=0.0)
    return max(
        (
            len(hydrogen_bonds(case.topology, item.minimum.positions))
            for item in held
            if item.minimum.energy_kcal_mol <= floor + REACH_KCAL_MOL
        ),
        default=0,
    )


def _gaps(case: Case) -> list[tuple[str, float, float]]:
    """Medium, dielectric constant and Gibbs gap of the molecule's own medium and of the series."""
    found = {case.medium.name: (case.medium.dielectric, case.gaps.gibbs_kcal_mol)}
    found |= {point.medium: (point.dielectric, point.gibbs_kcal_mol) for point in case.media}
    return [(name, eps, gap) for name, (eps, gap) in found.items() if gap is not None]
