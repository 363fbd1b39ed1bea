"""Outcomes for tests of the page: molecules through the whole pipeline, and as many of them as are wanted."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from chairgap.errors import Place
from chairgap.flip.found import FoundFlips
from chairgap.page.flips import FlipsOfPage
from chairgap.page.forms import Form
from chairgap.records import Outcome, Refusal, Result, Settings, Study
from chairgap.study_output.pieces import OutputOptions, Pieces, pieces_of
from chairgap.study_output.write import write_outcome
from pipeline_helpers import TABLES, treated

# One whose sizes disagree, one whose chairs are equal, and two with polar groups.
SPOKEN = ("1 up C(CH3)3", "1 up CH3, 2 up CH3", "1 up Cl, 2 down Cl", "1 up CH3, 3 down OH")
ODD_NAME = '<script>alert("1")</script> & <b>bold</b>'


@cache
def results() -> tuple[Result, ...]:
    return tuple(treated(groups_by_face) for groups_by_face in SPOKEN)


def outcome_of(*chosen: Result, title: str = "Made for tests of the page") -> Outcome:
    return Outcome(
        study=Study(
            settings=Settings(title=title, output="reports/made"),
            tables=TABLES,
            requests=(),
            text="",
            file="made.toml",
        ),
        results=chosen,
        refused=(
            Refusal(
                name=ODD_NAME,
                message="There is no saturated ring of six carbons. Give a cyclohexane.",
                place=Place(file="made.toml", line=20, field="molecule[3].smiles"),
            ),
        ),
        failed=(Refusal(name="hard one", message="No start converged.", place=Place()),),
    )


def named(result: Result, name: str) -> Result:
    return replace(result, molecule=replace(result.molecule, name=name))


def repeated(count: int) -> Outcome:
    """So many molecules: the few in turn, each under a name of its own."""
    few = results()
    return outcome_of(*(named(few[n % len(few)], f"molecule no. {n + 1}") for n in range(count)))


def no_flips(form: Form) -> FlipsOfPage:
    """A folder in which no flip was found."""
    return FlipsOfPage(FoundFlips(flips={}, faults=()), form)


def written(outcome: Outcome, folder: Path) -> Path:
    """The page of an outcome, written with all files of its study."""
    write_outcome(outcome, folder, wall_seconds=1.0)
    return folder / "page.html"


def written_large(count: int, folder: Path) -> Path:
    """The page of so many molecules. The few are drawn once each; only the names in their rows differ."""
    outcome, wanted = repeated(count), OutputOptions(parquet=False, molecules=count)
    few = [pieces_of(replace(outcome_of(one), refused=(), failed=()), wanted) for one in results()]

    def copy(number: int) -> Pieces:
        piece = few[number % len(few)]
        (entry,) = piece.page
        named_row = replace(entry.row, name=outcome.results[number].molecule.name)
        return replace(piece, page=(replace(entry, row=named_row),))

    write_outcome(outcome, folder, wall_seconds=1.0, pieces=map(copy, range(count)))
    return folder / "page.html"
