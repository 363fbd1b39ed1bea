"""Groups by what a semi-empirical method was found to be good for: elements and charge of their fragment.

GFN2-xTB is near the A-values for groups of C, H, N, O and halogens without net charge, and far from them for
other groups (P, S, Si, charged nitrogen); the scorecard gives the errors of both. The division is by element
and charge, as the fragment has them; no group is named.
"""

import re
from collections.abc import Iterable, Sequence
from statistics import fmean

from chairgap.records import ScorecardRow

COMMON_ELEMENTS = frozenset({"C", "H", "N", "O", "F", "Cl", "Br", "I"})
COMMON_WORDS = "C, H, N, O and halogens"

# An atom of a SMILES in brackets with what follows its symbol, or one of the organic subset.
_ATOM = re.compile(r"\[\d*(?P<bracket>[A-Z][a-z]?|[a-z]{1,2})(?P<rest>[^\]]*)\]|(?P<plain>Cl|Br|[A-Zbcnops])")


def elements_of(fragment: str) -> frozenset[str]:
    """Symbols of the elements of a SMILES, hydrogens that are not written left out."""
    found = (match["bracket"] or match["plain"] for match in _ATOM.finditer(fragment))
    return frozenset(symbol.capitalize() for symbol in found)


def net_charge(fragment: str) -> int:
    """Sum of the formal charges in a SMILES: those in brackets, +, -, ++, +2 and so on."""
    total = 0
    for signs, count in re.findall(r"\[[^\]]*?(\++|-+)(\d*)(?::\d+)?\]", fragment):
        size = int(count) if count else len(signs)
        total += size if signs[0] == "+" else -size
    return total


def is_common(fragment: str) -> bool:
    """Whether a group consists of C, H, N, O and halogens and has no net charge."""
    return elements_of(fragment) <= COMMON_ELEMENTS and net_charge(fragment) == 0


def errors_apart(rows: Sequence[ScorecardRow]) -> tuple[tuple[int, float | None], tuple[int, float | None]]:
    """(number of groups, mean |Gibbs gap - A-value| in kcal/mol) of one model's rows: of common groups, then
    of others; None for the mean of no group."""
    known = [row for row in rows if row.error_kcal_mol is not None]
    errors: dict[bool, list[float]] = {True: [], False: []}
    for row in known:
        errors[is_common(row.fragment)].append(abs(row.error_kcal_mol or 0.0))
    common, other = ((len(of), fmean(of) if of else None) for of in (errors[True], errors[False]))
    return common, other


def distrust_note(method: str, groups: Iterable[tuple[str, str]], scorecard: Sequence[ScorecardRow]) -> str:
    """What to say where a quantum method is used for groups that are not of its elements, with the errors of
    both kinds of groups from the scorecard; '' for other molecules. groups: (name, fragment)."""
    outside = sorted({name for name, fragment in groups if not is_common(fragment)})
    common, other = errors_apart([row for row in scorecard if row.model == method])
    if not outside or common[1] is None or other[1] is None:
        return ""
    return (
        f"{method} is not to be believed for {', '.join(outside)}: its mean absolute error against A-values "
        f"is {other[1]:.2f} kcal/mol for the {other[0]} groups of other elements than {COMMON_WORDS} or with "
        f"a charge, {common[1]:.2f} for the {common[0]} others."
    )
