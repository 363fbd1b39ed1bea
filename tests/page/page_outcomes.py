"""Outcomes for tests of the page: molecules through the whole pipeline, and as many of them as are wanted."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from chairgap.errors import Place
from chairgap.output.write import write_outcome
from chairgap.records import Outcome, Refusal, Result, Settings, Study
from pipeline_helpers import TABLE, treated

# One whose sizes disagree, one whose chairs are equal, and two with polar groups.
SPOKEN = ("1 up C(CH3)3", "1 up CH3, 2 up CH3", "1 up Cl, 2 down Cl", "1 up CH3, 3 down OH")
ODD_NAME = '<script>alert("1")</script> & <b>bold</b>'


@cache
def results() -> tuple[Result, ...]:
    return tuple(treated(spoken) for spoken in SPOKEN)


def outcome_of(*chosen: Result, title: str = "Made for tests of the page") -> Outcome:
    return Outcome(
        study=Study(
            settings=Settings(title=title, output="reports/made"), requests=(), text="", file="made.toml"
        ),
        table=TABLE,
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


def written(outcome: Outcome, folder: Path) -> Path:
    """The page of an outcome, written with all files of its study."""
    paths, _ = write_outcome(outcome, folder, wall_seconds=1.0)
    (page,) = (path for path in paths if path.name == "page.html")
    return page
