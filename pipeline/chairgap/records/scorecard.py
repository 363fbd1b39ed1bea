"""What an energy model gives for each tabulated group alone on the ring."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class ScorecardRow:
    """One group with one model. Gaps are E(axial) - E(equatorial), kcal/mol, positive = equatorial preferred,
    None where the model has none; `note` then says why. The A-value is a Gibbs energy with its range.
    """

    model: str
    group: str
    fragment: str
    temperature_k: float
    potential_kcal_mol: float | None
    ensemble_kcal_mol: float | None
    gibbs_kcal_mol: float | None
    a_value_kcal_mol: float
    a_value_low_kcal_mol: float
    a_value_high_kcal_mol: float
    note: str

    @property
    def error_kcal_mol(self) -> float | None:
        """Computed Gibbs gap minus A-value."""
        return None if self.gibbs_kcal_mol is None else self.gibbs_kcal_mol - self.a_value_kcal_mol

    @property
    def sign(self) -> str:
        """'right' or 'wrong' against the A-value; '' without a gap or where the A-value is zero."""
        if self.gibbs_kcal_mol is None or self.a_value_kcal_mol == 0.0:
            return ""
        return "right" if self.gibbs_kcal_mol * self.a_value_kcal_mol > 0.0 else "wrong"
