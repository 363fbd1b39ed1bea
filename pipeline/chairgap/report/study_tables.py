"""The tables of a study, by the name of their file, in the order in which they are listed to people."""

from typing import Any

from chairgap.records import Outcome
from chairgap.report.columns import Column, Table
from chairgap.report.detail_tables import CONFORMERS, CONTACTS, LEDGER, POSITIONS
from chairgap.report.difference_tables import ANCHORED, SOLVENTS, SPLIT, TEMPERATURES
from chairgap.report.gaps_table import GAPS
from chairgap.report.measured import PUBLISHED

STUDY_TABLES: dict[str, Table[Outcome, Any]] = {
    "gaps": GAPS,
    "conformers": CONFORMERS,
    "ledger": LEDGER,
    "anchored": ANCHORED,
    "published": PUBLISHED,
    "positions": POSITIONS,
    "contacts": CONTACTS,
    "split": SPLIT,
    "temperatures": TEMPERATURES,
    "solvents": SOLVENTS,
}
_COMPARED = (
    "anchored_gap_B_minus_A",
    "estimate_gap_B_minus_A",
    "gibbs_gap_B_minus_A",
    "gibbs_gap_minus_estimate_gap",
)
_FIRST = {name: place for place, name in enumerate((*_COMPARED, "potential_gap_B_minus_A"))}


def labelled() -> tuple[Column[Any], ...]:
    """The columns of gaps.csv that stand on the page as well: the anchored gap, those that are compared,
    the others."""
    shown = (column for column in STUDY_TABLES["gaps"].columns if column.label)
    return tuple(sorted(shown, key=lambda column: _FIRST.get(column.name, len(_FIRST))))


def label_of(column: Column[Any], outcome: Outcome) -> str:
    """The label, with the temperature of the study where it has one."""
    return column.label.format(temperature=f"{outcome.study.settings.temperature_k:.2f} K")
