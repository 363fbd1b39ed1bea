"""Puts what is made from data/scorecard.csv into both READMEs: python tests/packaging/refresh_readme.py"""

import csv
from collections.abc import Sequence
from pathlib import Path
from statistics import fmean

from chairgap.records import ScorecardRow
from chairgap.report.blocks import Own, Part, paragraph
from chairgap.report.markdown import part_lines
from chairgap.report.model_scores import groups_table, model_scores
from chairgap.report.trust import trust_part
from chairgap.tables.shipped import read_scorecard
from chairgap.text import in_ascii

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
DATA_README = ROOT / "data" / "README.md"
BEGIN = "<!-- made by tests/packaging/refresh_readme.py from data/scorecard.csv -->"
END = "<!-- end of what is made -->"
SHOWN_GROUPS = (
    *("CH3", "C2H5", "CH(CH3)2", "C(CH3)3", "C6H5", "CF3", "OH", "OCH3", "NH2", "NO2", "F", "Cl", "Br", "I"),
    *("CN", "C#CH", "CH=CH2", "N3", "CHO", "COCH3", "CO2CH3"),
)


def in_short(rows: Sequence[ScorecardRow]) -> str:
    """The paragraph of the README: each model's mean absolute error and how often its sign is wrong."""
    scores = model_scores(rows)
    every = len({row.group for row in rows})
    numbers = "; ".join(
        f"{score.model} {score.mean_absolute_error_kcal_mol:.2f} ({score.groups}, {len(score.wrong)})"
        for score in scores
    )
    (wrong,) = (score.wrong for score in scores if score.model == "MMFF94")
    (quantum,) = (score for score in scores if score.model == "GFN2-xTB")
    apart = (
        f"of C, H, N, O, halogens {quantum.of_common_elements_error_kcal_mol:.2f} "
        f"({quantum.of_common_elements}), others {quantum.of_others_error_kcal_mol:.2f} ({quantum.of_others})"
    )
    return (
        f"{against_equilibria()} Over the {every} tabulated groups, each alone on the ring, against "
        f"A-values (groups computed, wrong in sign): {numbers}, {apart}. "
        f"MMFF94 has the wrong sign for {', '.join(wrong)}."
    )


def against_equilibria() -> str:
    """The sentence of the README on published equilibria, from data/equilibria_scorecard.csv."""
    with (ROOT / "data" / "equilibria_scorecard.csv").open(encoding="utf-8", newline="") as file:
        counted = [row for row in csv.DictReader(file) if row["counted"] == "yes"]
    models = {
        "anchored, MP2/def2-TZVP pairs": "anchored gap",
        "hand sum": "hand sum",
        "MMFF94": "MMFF94",
        "GFN2-xTB": "GFN2-xTB",
    }
    shown = []
    for model, name in models.items():
        means = [
            f"{fmean(errors):.2f}"
            for medium in ("gas", "apolar")
            if (errors := [_error(row) for row in counted if _is(row, model, medium)])
        ]
        shown.append(f"{name} {', '.join(means)}")
    return (
        "Mean absolute error in kcal/mol against published gaps of rings with two groups (gas phase, apolar "
        f"solvents): {'; '.join(shown)}."
    )


def _is(row: dict[str, str], model: str, medium_class: str) -> bool:
    return row["model"].removesuffix(", incomplete") == model and row["medium_class"] == medium_class


def _error(row: dict[str, str]) -> float:
    return abs(float(row["model_minus_published_kcal_mol"] or "nan"))


def in_full(rows: Sequence[ScorecardRow]) -> str:
    """The section of data/README.md: what each model's errors are, which signs are wrong, and some groups."""
    plot = "![Computed Gibbs gaps against A-values, one panel for each model]"
    all_of_them = "[scorecard.csv](scorecard.csv)"
    more = (
        paragraph(Own(f"Some groups of many (`!` marks a wrong sign; all are in {all_of_them}):")),
        groups_table(rows, SHOWN_GROUPS),
        paragraph(Own(f"{plot}(../reports/sample/scorecard/scorecard.svg)")),
    )
    part = Part(key="trust", blocks=(*trust_part(rows).blocks, *more))
    return in_ascii("\n".join(part_lines(part, level=2)))


def refreshed(text: str, made: str) -> str:
    """The text of a README with what stands between the two marks replaced."""
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not (begin and end):
        raise ValueError(f"the lines {BEGIN} and {END} are missing")
    return f"{before}{BEGIN}\n\n{made}\n\n{END}{after}"


if __name__ == "__main__":
    scorecard = read_scorecard()
    for file, made in ((README, in_short(scorecard)), (DATA_README, in_full(scorecard))):
        file.write_text(refreshed(file.read_text(encoding="utf-8"), made), encoding="utf-8")
