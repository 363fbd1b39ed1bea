"""All that the criteria look at, for one molecule."""

from dataclasses import dataclass

from chairgap.records import (
    GAS_PHASE,
    Chair,
    ChairLetter,
    Conformer,
    Estimate,
    Gaps,
    Medium,
    SolventPoint,
    Split,
    Topology,
)

NOTEWORTHY_KCAL_MOL = 0.2


@dataclass(frozen=True, kw_only=True)
class Case:
    """One molecule with its estimate, its gaps and the split of their difference.

    table_temperature_k and gibbs_at_table_kcal_mol: the temperature of the A-values that count (None when
    none is known), and the computed Gibbs gap there. medium is that of the conformers, media are those of the
    series.
    """

    topology: Topology
    chairs: tuple[Chair, Chair]
    conformers: tuple[Conformer, ...]
    estimate: Estimate
    gaps: Gaps
    split: Split
    temperature_k: float
    table_temperature_k: float | None
    gibbs_at_table_kcal_mol: float | None
    medium: Medium = GAS_PHASE
    media: tuple[SolventPoint, ...] = ()

    def best(self, letter: ChairLetter) -> Conformer | None:
        """The conformer of lowest potential energy with a copy in this chair."""
        held = [
            item for item in self.conformers if (item.degeneracy_a if letter == "A" else item.degeneracy_b)
        ]
        return min(held, key=lambda item: item.minimum.energy_kcal_mol, default=None)

    def both_best(self) -> tuple[Conformer, Conformer] | None:
        """The best of chair A and of chair B, when each chair has one."""
        one, other = self.best("A"), self.best("B")
        return None if one is None or other is None else (one, other)
