"""matching.csv: which question of a version stands against which, and why they are equally hard."""

from collections.abc import Iterator
from dataclasses import dataclass

from chairgap.handout.choosing import VERSIONS, Asked, Chosen, Match
from chairgap.handout.kinds import KINDS
from chairgap.handout.levels import level_of
from chairgap.handout.matching import GAP_WITHIN_KCAL_MOL, Difficulty
from chairgap.handout.pitfalls import in_words
from chairgap.handout.posed import Posed
from chairgap.records import Outcome
from chairgap.report.columns import Table, number, text, whole


@dataclass(frozen=True, kw_only=True)
class ChosenQuestions:
    """What was chosen by which seed from the outcome of a study."""

    chosen: Chosen
    outcome: Outcome
    seed: int


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A question of the version in this place; same is the version that asks the same molecule in another
    writing, or ''."""

    source: ChosenQuestions
    match: Match
    index: int
    place: int
    same: str

    @property
    def asked(self) -> Asked:
        return self.match.asked[self.place]

    @property
    def difficulty(self) -> Difficulty:
        return self.asked.candidate.difficulty

    @property
    def posed(self) -> list[Posed]:
        return [one.posed for one in self.asked.everything]

    @property
    def difficulties(self) -> list[Difficulty]:
        return [one.candidate.difficulty for one in self.asked.everything]

    @property
    def first(self) -> Difficulty:
        return self.match.asked[0].candidate.difficulty

    @property
    def question(self) -> int:
        return self.source.chosen.orders[self.place].index(self.index) + 1


def _rows(source: ChosenQuestions) -> Iterator[_Row]:
    """The questions of a match stand below each other."""
    for index, match in enumerate(source.chosen.matches):
        for place, asked in enumerate(match.asked):
            others = [other.candidate is asked.candidate for other in match.asked[:place]]
            same = VERSIONS[others.index(True)] if any(others) else ""
            yield _Row(source=source, match=match, index=index, place=place, same=same)


MATCHES: Table[ChosenQuestions, _Row] = Table(
    rows=_rows,
    columns=(
        whole("match", lambda row: row.index + 1),
        text("version", lambda row: VERSIONS[row.place]),
        whole("question", lambda row: row.question),
        text("kind", lambda row: row.match.kind),
        text("level", lambda row: level_of(KINDS[row.match.kind], row.difficulties)),
        text("molecule", lambda row: " | ".join(one.result.molecule.name for one in row.posed)),
        text("groups_by_face", lambda row: " | ".join(one.molecule.groups_by_face for one in row.posed)),
        text("writing", lambda row: row.asked.posed.writing or "as in the study"),
        text("same_molecule_as_version", lambda row: row.same),
        whole("groups", lambda row: row.difficulty.groups),
        text("pitfalls", lambda row: in_words(row.difficulty.pitfalls)),
        number("estimated_gap_size", "kcal_mol", lambda row: row.difficulty.size_kcal_mol),
        number(
            "estimated_gap_size_minus_that_of_version_1",
            "kcal_mol",
            lambda row: row.difficulty.size_kcal_mol - row.first.size_kcal_mol,
        ),
        text("equally_hard_because", lambda row: _because(row.same, row.place)),
        text(
            "read_before_marking",
            lambda row: " ".join((*row.asked.candidate.doubts, *row.asked.candidate.remarks)),
        ),
        whole("seed", lambda row: row.source.seed),
        whole("versions", lambda row: len(row.source.chosen.orders)),
        text("a_value_table", lambda row: row.source.outcome.table.name),
        number("temperature", "k", lambda row: row.source.outcome.study.settings.temperature_k),
    ),
)


def _because(same: str, number: int) -> str:
    if number == 0:
        return ""
    if same:
        return f"the molecule of version {same} in another writing"
    return f"as many groups, the same pitfalls, sizes within {GAP_WITHIN_KCAL_MOL:.2f} kcal/mol"
