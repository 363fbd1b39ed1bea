"""How far a pair may be off for its basis set, its method and conformers left out (make_pair_table.py)."""

import math
from collections import defaultdict

BASIS = "def2-TZVP"
FEWEST_VALUES = 3

Row = dict


def kcal(value: float) -> str:
    """Three decimals, no minus zero."""
    text = f"{value:.3f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def root_mean_square(values: list[float]) -> float:
    return math.sqrt(sum(value**2 for value in values) / len(values))


def relation_spread(relation: str, found: dict[str, list[float]]) -> float:
    """Root mean square of the relation's values; with fewer than three the larger of that and the root mean
    square over all relations."""
    own, every = found.get(relation, []), [value for values in found.values() for value in values]
    if len(own) >= FEWEST_VALUES:
        return root_mean_square(own)
    return max(root_mean_square(own) if own else 0.0, root_mean_square(every))


def differences(rows: list[Row], better: str, worse: str) -> dict[str, list[float]]:
    """better - worse of the rows that have both, by relation, kcal/mol."""
    found: dict[str, list[float]] = defaultdict(list)
    for row in rows:
        if row["relation"] != "single" and row[better] and row[worse]:
            found[row["relation"]].append(float(row[better]) - float(row[worse]))
    return found


def by_relation(pairs: list[Row], spreads: list[Row]) -> list[Row]:
    """How far pairs of each relation may be off for their basis set and their method, kcal/mol: root mean
    squares of limit - def2-TZVP, SCS-MP2 - MP2 and CCSD(T) - MP2 (def2-SVP)."""
    found = {
        "basis": differences(spreads, "mp2_limit_kcal_mol", "mp2_tzvp_kcal_mol"),
        "scs_mp2": differences(pairs, "scs_mp2_kcal_mol", "value_kcal_mol"),
        "ccsd_t": differences(spreads, "ccsd_t_svp_kcal_mol", "mp2_svp_kcal_mol"),
    }
    rows = []
    for relation in sorted(found["scs_mp2"]):
        row: Row = {"method": f"MP2/{BASIS}", "relation": relation}
        for name, values in found.items():
            row[f"{name}_kcal_mol"] = kcal(relation_spread(relation, values))
            row[f"{name}_values"] = len(values.get(relation, []))
        rows.append(row)
    return rows


def add_method_spread(pairs: list[Row], relations: list[Row]) -> None:
    """How far each pair may be off, kcal/mol:

    (3) method = the largest of |SCS-MP2 - MP2| of the pair itself and of the relation's root mean squares of
        SCS-MP2 - MP2 and of CCSD(T) - MP2
    (4) spread^2 = basis^2 + method^2 + left out^2, with the basis of the relation and the pair's own left out
    """
    of = {row["relation"]: row for row in relations}
    for row in pairs:
        kind = of[row["relation"]]
        own = abs(float(row["scs_mp2_kcal_mol"]) - float(row["value_kcal_mol"]))
        method = max(own, float(kind["scs_mp2_kcal_mol"]), float(kind["ccsd_t_kcal_mol"]))
        parts = (float(kind["basis_kcal_mol"]), method, float(row["left_out_kcal_mol"]))
        row["method_spread_kcal_mol"] = kcal(math.hypot(*parts))
