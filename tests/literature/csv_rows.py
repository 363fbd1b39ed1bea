"""The shipped tables as plain rows of text, so that a test of their numbers depends on no reader."""

import csv
import math
from pathlib import Path

DATA = Path(__file__).parents[2] / "data"
GAS_CONSTANT_KCAL_MOL_K = 1.987204e-3
ASSUMED_TEMPERATURE_K = 298.15


def rows(table: str) -> list[dict[str, str]]:
    with (DATA / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def a_value(group: str, medium: str | None = None) -> float:
    """The A-value of a group in a medium, or its default (first) row, kcal/mol."""
    return float(a_value_row(group, medium)["value_kcal_mol"])


def a_value_row(group: str, medium: str | None = None) -> dict[str, str]:
    found = [row for row in rows("a_values") if row["group"] == group and medium in (None, row["medium"])]
    return found[0]


def pair_row(kind: str, group_1: str, group_2: str, medium: str = "") -> dict[str, str]:
    wanted = (kind, {group_1, group_2}, medium)
    (found,) = (
        row
        for row in rows("interactions")
        if (row["kind"], {row["group_1"], row["group_2"]}, row["medium"]) == wanted
    )
    return found


def equilibrium(key: str) -> dict[str, str]:
    (found,) = (row for row in rows("equilibria") if row["key"] == key)
    return found


def from_percent(percent: float, temperature_k: float = ASSUMED_TEMPERATURE_K) -> float:
    """G(other chair) - G(this chair), kcal/mol, of this chair's percent: RT ln x/(1 - x)."""
    share = percent / 100.0
    return GAS_CONSTANT_KCAL_MOL_K * temperature_k * math.log(share / (1.0 - share))
