"""matching.csv: which question of a version stands against which, and why they are equally hard."""

import pandas as pd

from chairgap.handout.choosing import LETTERS, Chosen
from chairgap.handout.matching import GAP_WITHIN_KCAL_MOL
from chairgap.handout.pitfalls import in_words
from chairgap.records import Outcome
from chairgap.report.cells import Row, frame_of

HEADERS = (
    "match",
    "version",
    "question",
    "molecule",
    "groups_by_face",
    "writing",
    "same_molecule_as_version",
    "groups",
    "pitfalls",
    "estimated_gap_size_kcal_mol",
    "estimated_gap_size_minus_that_of_version_A_kcal_mol",
    "equally_hard_because",
    "read_before_marking",
    "seed",
    "versions",
    "a_value_table",
    "temperature_k",
)


def matching_frame(chosen: Chosen, outcome: Outcome, seed: int) -> pd.DataFrame:
    """One row for each question; the questions of a match stand below each other."""
    rows: list[Row] = []
    for index, match in enumerate(chosen.matches):
        first = match.asked[0].candidate
        for number, (asked, order) in enumerate(zip(match.asked, chosen.orders, strict=True)):
            hard = asked.candidate.difficulty
            others = [other.candidate is asked.candidate for other in match.asked[:number]]
            same = LETTERS[others.index(True)] if any(others) else ""
            rows.append(
                {
                    "match": index + 1,
                    "version": LETTERS[number],
                    "question": order.index(index) + 1,
                    "molecule": asked.posed.result.molecule.name,
                    "groups_by_face": asked.posed.molecule.groups_by_face,
                    "writing": asked.posed.writing or "as in the study",
                    "same_molecule_as_version": same,
                    "groups": hard.groups,
                    "pitfalls": in_words(hard.pitfalls),
                    "estimated_gap_size_kcal_mol": hard.size_kcal_mol,
                    "estimated_gap_size_minus_that_of_version_A_kcal_mol": (
                        hard.size_kcal_mol - first.difficulty.size_kcal_mol
                    ),
                    "equally_hard_because": _because(same, number),
                    "read_before_marking": " ".join((*asked.candidate.doubts, *asked.candidate.remarks)),
                    "seed": seed,
                    "versions": len(chosen.orders),
                    "a_value_table": outcome.table.name,
                    "temperature_k": outcome.study.settings.temperature_k,
                }
            )
    return frame_of(rows, HEADERS)


def _because(same: str, number: int) -> str:
    if number == 0:
        return ""
    if same:
        return f"the molecule of version {same} in another writing"
    return f"as many groups, the same pitfalls, sizes within {GAP_WITHIN_KCAL_MOL:.2f} kcal/mol"
