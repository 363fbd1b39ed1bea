"""Why estimate and computation differ: a closed list of codes, each given only when its criterion holds.

NOTEWORTHY is 0.2 kcal/mol. 'Part' means a part of the split (`chairgap.compare.split`); 'best' is the
conformer of lowest potential energy. The criteria and limits are our own unless a source is named beside
them.

| code | criterion |
|---|---|
| twist-boat-intrudes | the best non-chair lies below the best chair, or non-chairs hold 5 % or more |
| chair-missing | a chair has no minimum on this surface |
| charged-groups | a group carries a net charge: gas-phase energy against A-values in solution |
| equal-by-symmetry | a feasible operation turns one chair into the other |
| missing-table-value | the ledger lacks a published value that does not cancel |
| internal-hydrogen-bond | the best conformer of one chair has more X-H...Y contacts between groups |
| solvent-or-dipole | the dipoles of the best conformers of the two chairs differ by 1 D or more |
| flat-group-rotation | a flat group is turned by 30 degrees or more between the best conformers |
| single-group-error | the parts of the single groups add up to NOTEWORTHY or more |
| geminal-non-additivity | the parts of pairs on one carbon add up to NOTEWORTHY or more |
| vicinal-gauche | the parts of 1,2 pairs add up to NOTEWORTHY or more |
| syn-diaxial-excess | the parts of 1,3 pairs add up to NOTEWORTHY or more |
| across-the-ring | the parts of 1,4 pairs add up to NOTEWORTHY or more |
| non-additivity | what no pair explains is NOTEWORTHY or more |
| rotamer-entropy | ensemble and potential gaps differ by NOTEWORTHY or more |
| vibrations | Gibbs and ensemble gaps differ by NOTEWORTHY or more |
| mixing-or-symmetry | RT ln of the ratio of the copies of the best conformers is NOTEWORTHY or more |
| enthalpy-against-free-energy | T dS is NOTEWORTHY or more |
| temperature | the computed gap is NOTEWORTHY or more away from that at the A-values' own temperature |
| within-error | the computed gap lies within the estimate's range |

The order is that of the table, but for the codes from single-group-error to vibrations, which carry a part of
the difference: they stand by falling size, so that the first of them is the main one.
"""

from chairgap.compare.reasons.case import NOTEWORTHY_KCAL_MOL, Case, net_charge
from chairgap.compare.reasons.energies import energy_reasons, late_energy_reasons
from chairgap.compare.reasons.structure import CHARGED, early_structure_reasons, structure_reasons
from chairgap.records import Reason

__all__ = ["CHARGED", "CODES", "NOTEWORTHY_KCAL_MOL", "Case", "find_reasons", "net_charge"]

CODES = (
    "twist-boat-intrudes",
    "chair-missing",
    "charged-groups",
    "equal-by-symmetry",
    "missing-table-value",
    "internal-hydrogen-bond",
    "solvent-or-dipole",
    "flat-group-rotation",
    "single-group-error",
    "geminal-non-additivity",
    "vicinal-gauche",
    "syn-diaxial-excess",
    "across-the-ring",
    "non-additivity",
    "rotamer-entropy",
    "vibrations",
    "mixing-or-symmetry",
    "enthalpy-against-free-energy",
    "temperature",
    "within-error",
)


def find_reasons(case: Case) -> tuple[Reason, ...]:
    """Reasons with their numbers, in the order the head of this module describes."""
    sized = sorted(energy_reasons(case), key=lambda reason: -abs(reason.size_kcal_mol or 0.0))
    return (
        *early_structure_reasons(case),
        *structure_reasons(case),
        *sized,
        *late_energy_reasons(case),
    )
