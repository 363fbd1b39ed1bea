"""Headers of wide sheets: one row a molecule, one column a quantity, such as 'gap (kJ/mol)', 'R/S 1',
'relation 1-2' or 'position 2 in chair 1a 2a'."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from chairgap.answer_key.files.sheets import QUANTITIES
from chairgap.answer_key.rules.words import plain
from chairgap.records import Quantity

# How a column may be headed besides the name of its quantity.
_HEADS: dict[str, Quantity] = {
    **{quantity.lower(): quantity for quantity in QUANTITIES},
    **{"delta g": "gap", "dg": "gap", "\u0394g": "gap", "energy difference": "gap", "gibbs gap": "gap"},
    **{"keq": "K", "equilibrium constant": "K", "%": "percent", "percentage": "percent"},
    **{"more stable chair": "stable chair", "preferred chair": "stable chair", "cis/trans": "relation"},
    **{"axial/equatorial": "position", "up/down": "face", "configuration": "R/S", "cip": "R/S"},
    **{"a-value": "term", "product of flip": "flip"},
}
_CELL = re.compile(
    r"(?P<head>.+?)(?:\s+(?:of\s+|at\s+)?(?P<carbon>C?[1-6](?:\([^()]*\))?(?:\s*-\s*C?[1-6])?))?"
    r"(?:\s*,?\s+(?:in\s+)?(?:chair\s+)?(?P<chair>A|B|stable|other|(?:[1-6][ae]\s*)+))?"
    r"(?:\s*[(\[,]\s*(?P<unit>kcal[^()]*|kJ[^()]*|%)\s*[)\]]?)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, kw_only=True)
class WideColumn:
    """What a column asks for, as the cells of a row of claims would say it; head: how it is headed."""

    head: str
    quantity: str
    carbon: str
    chair: str
    unit: str


def wide_column(head: str) -> WideColumn | None:
    """What a header cell asks for; None when it is no quantity."""
    match = _CELL.fullmatch(plain(head))
    quantity = _HEADS.get(match["head"].strip().lower()) if match else None
    if match is None or quantity is None:
        return None
    carbon, chair, unit = (plain(match[name] or "") for name in ("carbon", "chair", "unit"))
    return WideColumn(head=plain(head), quantity=quantity, carbon=carbon, chair=chair, unit=unit)


def wide_columns(cells: Mapping[int, str]) -> dict[int, WideColumn]:
    """The columns of quantities in a header by their index."""
    found = {index: wide_column(cell) for index, cell in cells.items()}
    return {index: column for index, column in found.items() if column is not None}
