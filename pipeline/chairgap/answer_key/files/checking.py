"""A key checked from file to findings, and the files that report it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.read_key import KeySheet, read_key
from chairgap.answer_key.rules.sources import IN_KJ, KeyTables, book_named, key_tables
from chairgap.answer_key.rules.whole_key import KeyReport, check_key
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files.reading import is_file
from chairgap.records import Claim, Finding, KeyVerdict, Molecule, Result, Settings
from chairgap.report.columns import Cell, Column, Table, number, text
from chairgap.tables.shipped import SHIPPED_TABLES, TableReader, read_tables, table_files
from chairgap.text import escaped

SEVERITY: tuple[KeyVerdict, ...] = ("ERROR", "REVIEW", "CONVENTION", "RIGHT")


@dataclass(frozen=True, kw_only=True)
class CheckedKey:
    """A key with its findings and every row that could not be checked."""

    sheet: KeySheet
    report: KeyReport

    @property
    def problems(self) -> tuple[ChairgapError, ...]:
        return (*self.sheet.problems, *self.report.problems)

    def count(self, verdict: KeyVerdict) -> int:
        return sum(finding.verdict == verdict for finding in self.report.findings)


def check_file(path: Path, sheet: KeySheet | None = None, *, compute: bool = False) -> CheckedKey:
    """Check a key, which is read unless its sheet is given; with `compute` each molecule also runs through
    the force-field pipeline.

    Raises InputError or StudyError when the file or a table it names cannot be used.
    """
    sheet = sheet or read_key(path)
    tables = load_tables(sheet, path)
    treat = _treatment(path) if compute else None
    desk = facts_desk(tables, path, treat)
    return CheckedKey(sheet=sheet, report=check_key(sheet.claims, desk.facts_of, tables))


def facts_desk(
    tables: KeyTables, path: Path, treat: Callable[[Molecule], Result] | None = None
) -> FactsLookup:
    """The facts of the molecules of the key at `path`, with what is published of them."""
    place = Place(file=str(path))
    default = tables.named[SHIPPED_TABLES[0]]
    return FactsLookup(default, place=place, treat=treat, equilibria=tables.equilibria)


def _treatment(path: Path) -> Callable[[Molecule], Result]:
    """The whole pipeline with the default settings of a study; the tables are read once."""
    from chairgap.run import treat  # reads the engines: not when a key is only read

    settings = Settings(title=path.name, output="")
    return partial(treat, tables=read_tables(), settings=settings, memo={})


def load_tables(sheet: KeySheet, path: Path) -> KeyTables:
    """The shipped tables and every published value, books by their names, and the tables that the key names
    by a path seen from its own folder."""
    rows = {claim.conventions.table: claim.cell.row for claim in reversed(sheet.claims)}
    reader = TableReader()
    shipped = {name: reader.estimate_table(name) for name in SHIPPED_TABLES}
    found = key_tables(
        shipped, reader.whole_table(SHIPPED_TABLES[0]), reader.published_values, reader.equilibria
    )
    own = {}
    for name in (name for name in rows if name not in SHIPPED_TABLES):
        book = book_named(found.published, name)
        if book:
            own[name] = found.published[book]
            in_kj = found.published.get(f"{book.removesuffix(IN_KJ)}{IN_KJ}")
            if in_kj is not None:
                own[f"{name}{IN_KJ}"] = in_kj
            continue
        try:
            own[name] = reader.estimate_table(str(path.parent / name))
        except InputError as error:
            place = Place(file=str(path), row=rows[name], field="conventions")
            raise InputError(error.message, place=place, value=name) from None
    return replace(found, named={**found.named, **own})


def files_read(sheet: KeySheet, path: Path) -> tuple[Path, ...]:
    """The files that are read to check a key: its own, and those of the tables it names."""
    named = {claim.conventions.table for claim in sheet.claims}.difference(SHIPPED_TABLES)
    beside = (path.parent / name for name in sorted(named))
    return (path, *(file for table in beside if is_file(table) for file in table_files(str(table))))


def why(finding: Finding) -> str:
    """What is said of a claim, the likeliest slip that makes it, and below it the others."""
    return "\n".join(filter(None, (" ".join((finding.words, *main_slip(finding))), *other_slips(finding))))


def main_slip(finding: Finding) -> tuple[str, ...]:
    """The likeliest slip in words, where one is known."""
    return tuple(diagnosis.words for diagnosis in finding.diagnoses[:1])


def other_slips(finding: Finding) -> tuple[str, ...]:
    """The other slips that make the same claim, in words."""
    return tuple(f"Or: {diagnosis.words}" for diagnosis in finding.diagnoses[1:])


def carbons_words(claim: Claim) -> str:
    """Carbons and group of a claim: '1-2(CH3)'."""
    return "-".join(map(str, claim.carbons)) + (f"({claim.group})" if claim.group else "")


_FINDING: tuple[Column[Finding], ...] = (
    text("cell", lambda finding: str(finding.claim.cell)),
    text("item", lambda finding: finding.claim.item),
    text("molecule", lambda finding: " | ".join(finding.claim.molecules)),
    text("quantity", lambda finding: finding.claim.quantity),
    text("carbon", lambda finding: carbons_words(finding.claim)),
    text("chair", lambda finding: finding.claim.chair),
    text("claimed", lambda finding: finding.claim.claimed),
    text("unit", lambda finding: finding.claim.unit),
    text("verdict", lambda finding: finding.verdict),
    text("expected", lambda finding: finding.answer.text),
    text("words", lambda finding: finding.words),
    text("slips", lambda finding: "; ".join(diagnosis.slip for diagnosis in finding.diagnoses)),
    text("feedback", lambda finding: finding.feedback),
    text("sensitivity", lambda finding: " ".join(finding.sensitivity)),
    number("suggested_tolerance", "", lambda finding: finding.suggested_tolerance),
    text("notes", lambda finding: " ".join(finding.claim.notes)),
)
# What a row that was not checked says of itself.
_NOT_CHECKED: dict[str, Callable[[ChairgapError], str]] = {
    "cell": lambda error: error.place.file,
    "verdict": lambda error: "NOT CHECKED",
    "words": lambda error: error.message,
}


def _with_problems(column: Column[Any]) -> Column[Any]:
    def value(row: Finding | ChairgapError) -> Cell:
        if isinstance(row, Finding):
            return column.value(row)
        return _NOT_CHECKED[column.name](row) if column.name in _NOT_CHECKED else None

    return replace(column, value=value)


# A row for each claim in the order of the key, then the rows that were not checked.
KEY_CHECK: Table[CheckedKey, Any] = Table(
    rows=lambda checked: (*checked.report.findings, *checked.problems),
    columns=tuple(map(_with_problems, _FINDING)),
)


def solutions_text(checked: CheckedKey, title: str) -> str:
    """solutions.md: the worked solution of every claim that has an answer."""
    sign = "Gaps are Gibbs energies, G(chair B) - G(chair A) unless stated otherwise."
    head = f"# Worked solutions: {escaped(title)}\n\n{sign}\n\n"
    return head + "\n".join(finding.solution for finding in checked.report.findings)
