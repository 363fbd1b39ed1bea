"""What `compare_chairs` and `run_study` give: a molecule or a study, with tables, drawings and a look."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, get_args

from chairgap.drawings.chair_pair import key_pair
from chairgap.drawings.flat import flat_picture
from chairgap.errors import InputError, Place
from chairgap.notebook.drawing import Drawing, drawing_of
from chairgap.notebook.frames import frame_of
from chairgap.notebook.pages import molecule_html, study_html
from chairgap.records import (
    Anchored,
    Chair,
    Comparison,
    CompletedSum,
    Estimate,
    Gaps,
    Headline,
    MoleculeName,
    Outcome,
    Reason,
    Refusal,
    Result,
    Settings,
)
from chairgap.report.headline import anchored_words, headline_chair, short_standing
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.words import estimate_words
from chairgap.text import did_you_mean
from chairgap.units import signed

if TYPE_CHECKING:
    import pandas as pd

Drawn = Literal["chairs", "molecule"]


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class _Tables:
    """What a molecule and a study have in common: settings, and the tables of `chairgap study` as frames."""

    _outcome: Outcome

    @property
    def settings(self) -> Settings:
        """Temperature, model, table and search that the numbers belong to."""
        return self._outcome.study.settings

    @property
    def conformers(self) -> "pd.DataFrame":
        """One row for each conformer, by rising potential energy; the columns of conformers.csv."""
        return frame_of(STUDY_TABLES["conformers"], self._outcome)

    @property
    def ledger(self) -> "pd.DataFrame":
        """One row for each term of the estimate and of the completed sum; the columns of ledger.csv."""
        return frame_of(STUDY_TABLES["ledger"], self._outcome)

    @property
    def anchored_parts(self) -> "pd.DataFrame":
        """The parts of the anchored gap, which add up to it; the columns of anchored.csv."""
        return frame_of(STUDY_TABLES["anchored"], self._outcome)

    @property
    def published(self) -> "pd.DataFrame":
        """What is published of the molecules, beside their anchored gaps; the columns of published.csv."""
        return frame_of(STUDY_TABLES["published"], self._outcome)

    @property
    def split(self) -> "pd.DataFrame":
        """The difference computed - estimate in parts that add up; the columns of split.csv."""
        return frame_of(STUDY_TABLES["split"], self._outcome)

    @property
    def temperatures(self) -> "pd.DataFrame":
        """Gap, K and populations at each temperature of the series; the columns of temperatures.csv."""
        return frame_of(STUDY_TABLES["temperatures"], self._outcome)

    def to_frame(self) -> "pd.DataFrame":
        """One row for each molecule with the columns of gaps.csv; refused and failed ones come last."""
        return frame_of(STUDY_TABLES["gaps"], self._outcome)


class MoleculeResult(_Tables):
    """One molecule: estimate and computation side by side.

    Every gap is G(chair B) - G(chair A) in kcal/mol; positive means that chair A is preferred.
    """

    @property
    def _result(self) -> Result:
        return self._outcome.results[0]

    @property
    def name(self) -> str:
        """What the molecule is called."""
        return self._result.molecule.name

    @property
    def smiles(self) -> str:
        """Canonical isomeric SMILES."""
        return self._result.molecule.smiles

    @property
    def systematic_name(self) -> str:
        """The systematic name with CIP descriptors, with 'rel-' where the mirror image is meant as well; ''
        where none can be made, and `naming.systematic.why_none` says why."""
        naming = self.naming
        return naming.name if naming else ""

    @property
    def naming(self) -> MoleculeName | None:
        """The systematic name with its groups, locants, cis_trans and cip (in `systematic`), and the numbers
        that its carbons have here (`carbons`)."""
        return self._result.molecule.naming

    @property
    def groups(self) -> str:
        """The groups as a list of groups by face: '1 up CH3, 2 down OH'."""
        return self._result.molecule.groups_by_face

    @property
    def chairs(self) -> tuple[Chair, Chair]:
        """Chairs A and B with the position of every group."""
        return self._result.chairs

    @property
    def headline(self) -> Headline:
        """The answer: preferred chair by the anchored gap, its percent with low_ and high_percent, and how
        hand_sum and model stand to it."""
        return self._result.headline

    @property
    def anchored(self) -> Anchored:
        """Measured A-values with computed interactions: gap_kcal_mol, uncertainty_kcal_mol, parts, note."""
        return self._result.anchored

    @property
    def estimate(self) -> Estimate:
        """The hand estimate: gap_kcal_mol with low_ and high_kcal_mol, terms, missing."""
        return self._result.estimate

    @property
    def completed(self) -> CompletedSum | None:
        """The completed sum: gap_kcal_mol and range_kcal_mol, published terms, pairs, missing; None unless
        asked for with pairs='completed', or where a pair of it is declared."""
        return self._result.completed

    @property
    def gaps(self) -> Gaps:
        """The computed gaps: potential_, ensemble_, gibbs_kcal_mol and others, populations (fractions)."""
        return self._result.gaps

    @property
    def comparison(self) -> Comparison:
        """Verdicts on sign and size, the preferred chair, the difference computed - estimate in kcal/mol."""
        return self._result.comparison

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why estimate and computation differ, or cannot be compared."""
        return self._result.comparison.reasons

    def draw(self, what: Drawn = "chairs") -> Drawing:
        """Both chairs, every group a or e; or the flat molecule with wedges. Raises InputError for another
        word."""
        known = get_args(Drawn)
        if what not in known:
            message = f"There is no drawing '{what}'.{did_you_mean(what, known)} Write {' or '.join(known)}."
            raise InputError(message, place=Place(file="draw()", field="what"), value=what)
        if what == "chairs":
            return drawing_of(key_pair(self._result.chairs))
        return drawing_of(flat_picture(self._result.molecule))

    def __repr__(self) -> str:
        return (
            f"<{self.name}: preferred {headline_chair(self._result)}, anchored gap G(B) - G(A) "
            f"{anchored_words(self.anchored)} kcal/mol; estimate {estimate_words(self._result)}, Gibbs gap "
            f"{signed(self.gaps.gibbs_kcal_mol)} kcal/mol at {self.settings.temperature_k:.2f} K by "
            f"{self.settings.model}; "
            f"{short_standing(self._result, self.settings)}>"
        )

    def _repr_html_(self) -> str:
        return molecule_html(self._outcome)


class StudyResult(_Tables):
    """The molecules of a study in its order: a sequence, also looked up by name."""

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the molecules that were treated."""
        return tuple(result.molecule.name for result in self._outcome.results)

    @property
    def refused(self) -> tuple[Refusal, ...]:
        """Molecules that were not treated, each with name, message and place."""
        return self._outcome.refused

    @property
    def failed(self) -> tuple[Refusal, ...]:
        """Molecules that failed while they were computed."""
        return self._outcome.failed

    @property
    def notes(self) -> tuple[str, ...]:
        """Remarks on settings that are allowed but look like a slip, such as a temperature in Celsius."""
        return self._outcome.study.notes

    def __len__(self) -> int:
        return len(self._outcome.results)

    def __iter__(self) -> Iterator[MoleculeResult]:
        return map(self._one, self._outcome.results)

    def __getitem__(self, key: int | str) -> MoleculeResult:
        """By position, or by name. Raises InputError, with the nearest name, when there is none; IndexError
        behind the last."""
        if isinstance(key, str):
            names = self.names
            if key not in names:
                message = f"No molecule here is called '{key}'.{did_you_mean(key, names)} '.names' lists all."
                raise InputError(message, value=key)
            key = names.index(key)
        return self._one(self._outcome.results[key])

    def _one(self, result: Result) -> MoleculeResult:
        return MoleculeResult(_outcome=replace(self._outcome, results=(result,), refused=(), failed=()))

    def __repr__(self) -> str:
        lost = len(self.refused) + len(self.failed)
        return f"<{self.settings.title}: {len(self)} molecules, {lost} refused or failed>"

    def _repr_html_(self) -> str:
        return study_html(self._outcome)
