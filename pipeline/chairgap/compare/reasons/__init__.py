"""Why estimate and computation differ: a closed list of codes, each given only when its criterion holds.

NOTEWORTHY is 0.2 kcal/mol. 'Part' means a part of the split (`chairgap.compare.split`); 'best' is the
conformer of lowest potential energy. The criteria and limits are our own unless a source is named beside
them. That of hydrogen-bond-in-apolar-solvent stands in full in `apolar`.

| code | criterion |
|---|---|
| twist-boat-intrudes | the best non-chair lies below the best chair, or non-chairs hold 5 % or more |
| chair-missing | a chair has no minimum on this surface |
| charged-groups | a group has a net charge: gas-phase energy against A-values in solution |
| equal-by-symmetry | a feasible operation turns one chair into the other |
| missing-table-value | the ledger lacks a published value that does not cancel |
| internal-hydrogen-bond | the best conformer of one chair has more X-H...Y contacts between groups |
| hydrogen-bond-in-apolar-solvent | an apolar continuum moves the gap away from a hydrogen-bonded chair |
| solvent-or-dipole | the dipoles of the best conformers of the two chairs differ by 1 D or more |
| flat-group-rotation | a flat group is turned by 30 degrees or more between the best conformers |
| model-error-of-single-groups | the parts of the single groups add up to NOTEWORTHY or more |
| geminal-non-additivity | the parts of pairs on one carbon add up to NOTEWORTHY or more |
| vicinal-gauche | the parts of 1,2 pairs add up to NOTEWORTHY or more |
| syn-diaxial-excess | the parts of 1,3 pairs add up to NOTEWORTHY or more |
| 1,4-pairs | the parts of 1,4 pairs add up to NOTEWORTHY or more |
| non-additivity | what no pair explains is NOTEWORTHY or more |
| rotamer-entropy | ensemble and potential gaps differ by NOTEWORTHY or more |
| vibrations | Gibbs and ensemble gaps differ by NOTEWORTHY or more |
| degeneracy | RT ln of the ratio of the degeneracies of the best conformers is NOTEWORTHY or more |
| entropy-term | T dS is NOTEWORTHY or more |
| temperature | the computed gap is NOTEWORTHY or more away from that at the A-values' own temperature |
| within-error | the computed gap lies within the estimate's range |

The order is that of the table, except that the codes from model-error-of-single-groups to vibrations, which
each account for a part of the difference, come by falling size: the first of them is the main one.
"""

from chairgap.compare.reasons.apolar import APOLAR
from chairgap.compare.reasons.case import NOTEWORTHY_KCAL_MOL, Case
from chairgap.compare.reasons.energies import energy_reasons, late_energy_reasons
from chairgap.compare.reasons.structure import (
    CHARGED,
    DIPOLE,
    MISSING,
    early_structure_reasons,
    structure_reasons,
)
from chairgap.records import Reason

__all__ = [
    "APOLAR",
    "CHARGED",
    "CODES",
    "DIPOLE",
    "MISSING",
    "NOTEWORTHY_KCAL_MOL",
    "REASON_WORDS",
    "Case",
    "find_reasons",
]

# The codes in their order, and each in words.
REASON_WORDS = {
    "twist-boat-intrudes": "twist-boat intrudes",
    "chair-missing": "no minimum for a chair",
    CHARGED: "charged groups",
    "equal-by-symmetry": "equal by symmetry",
    MISSING: "value missing from the table",
    "internal-hydrogen-bond": "internal hydrogen bond",
    APOLAR: "hydrogen bond in an apolar solvent",
    DIPOLE: "solvent or dipole",
    "flat-group-rotation": "rotation of a flat group",
    "model-error-of-single-groups": "model error of single groups",
    "geminal-non-additivity": "geminal non-additivity",
    "vicinal-gauche": "vicinal gauche",
    "syn-diaxial-excess": "syn-diaxial excess",
    "1,4-pairs": "1,4 pairs",
    "non-additivity": "non-additivity",
    "rotamer-entropy": "rotamer entropy",
    "vibrations": "vibrations",
    "degeneracy": "degeneracy",
    "entropy-term": "entropy term",
    "temperature": "temperature",
    "within-error": "within error",
}
CODES = tuple(REASON_WORDS)


def find_reasons(case: Case) -> tuple[Reason, ...]:
    """Reasons with their numbers, in the order the head of this module describes."""
    sized = sorted(energy_reasons(case), key=lambda reason: -abs(reason.size_kcal_mol or 0.0))
    return (
        *early_structure_reasons(case),
        *structure_reasons(case),
        *sized,
        *late_energy_reasons(case),
    )
