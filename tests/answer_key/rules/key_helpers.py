"""Claims in few words, and the facts of a molecule built once per process."""

from dataclasses import replace
from functools import cache

from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.check import check_claim
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.sources import key_tables
from chairgap.errors import Place
from chairgap.records import Answer, Cell, Claim, Conventions, Facts, Finding, Quantity
from chairgap.tables.shipped import TableReader

_READER = TableReader()
TABLES = key_tables(
    {name: _READER.estimate_table(name) for name in ("chairgap", "textbook")},
    _READER.whole_table("chairgap"),
    _READER.published_values,
    _READER.equilibria,
)
_DESK = FactsLookup(TABLES.named["chairgap"], place=Place(file="test key"), equilibria=TABLES.equilibria)


@cache
def facts(text: str) -> Facts:
    return _DESK.facts_of(text)


def claim(
    molecule: str,
    quantity: Quantity,
    claimed: str,
    carbons: tuple[int, ...] = (),
    chair: str = "",
    *,
    unit: str = "",
    group: str = "",
    tolerance: float | None = None,
    **conventions: object,
) -> Claim:
    return Claim(
        item="1",
        molecules=tuple(text.strip() for text in molecule.split(" | ")),
        quantity=quantity,
        carbons=carbons,
        group=group,
        chair=chair,
        claimed=claimed,
        unit=unit,
        tolerance=tolerance,
        points=None,
        conventions=Conventions(**conventions),  # type: ignore[arg-type]
        cell=Cell(sheet="Key", column="F", row=2),
    )


def checked(made: Claim) -> Finding:
    return check_claim(Case(claim=made, molecules=tuple(map(facts, made.molecules)), tables=TABLES))


def answered(made: Claim) -> Answer:
    return answer(Case(claim=made, molecules=tuple(map(facts, made.molecules)), tables=TABLES))


def right_claim(made: Claim) -> Claim:
    """The claim with the answer in place of what it claims."""
    return replace(made, claimed=answered(made).text)
