"""A whole key: every claim checked, by which numbers of the ring its molecules go, by which book its numbers.
Pure.

A claim with carbons is judged by the molecule's own numbers. The name's numbers, or the mirror image that the
text means as well, are taken for all claims of a molecule together: where all are right by them; where they
answer what the own numbers cannot (the carbon carries only H), and make no more wrong; or where they make at
least two fewer wrong, since one fewer is what a single mistake in a key does by chance.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from chairgap.answer_key.rules.check import RANGE, check_claim
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.numbering import by_iupac, first_group, goes_by_numbers, other_readings
from chairgap.answer_key.rules.sources import KeyTables
from chairgap.errors import InputError
from chairgap.records import Claim, Facts, Finding

_FEWER_WRONG = 2


@dataclass(frozen=True, kw_only=True)
class KeyReport:
    """Findings in the order of the key, and the rows that could not be checked. book: the published table
    that the key seems to go by, '' without; renumbered: the molecules whose claims use IUPAC's numbers and
    not their own, or go by the mirror image that is meant as well."""

    findings: tuple[Finding, ...]
    problems: tuple[InputError, ...]
    book: str
    renumbered: Mapping[tuple[str, ...], Facts]

    def facts_for(self, claim: Claim, facts_of: Callable[[str], Facts]) -> tuple[Facts, ...]:
        """The facts that a claim of the key goes by. Raises what facts_of(text) does."""
        other = self.renumbered.get(claim.molecules) if goes_by_numbers(claim) else None
        return tuple(map(facts_of, claim.molecules)) if other is None else (other,)


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A claim with what was found of it: a finding, or why it cannot be checked. how: by which numbers or
    mirror image, where not by the molecule's own."""

    case: Case
    found: Finding | InputError
    how: str = ""

    @property
    def is_wrong(self) -> bool:
        return isinstance(self.found, InputError) or self.found.verdict == "ERROR"


def check_key(claims: Iterable[Claim], facts_of: Callable[[str], Facts], tables: KeyTables) -> KeyReport:
    """Check every claim; a row that cannot be checked is reported and the others go on. Which book the key
    goes by shows in its right claims; wrong ones are then diagnosed with the values of that book, too.

    facts_of(text) gives the facts of a molecule text, or raises InputError or MoleculeError with the reason.
    """
    found: list[_Row | InputError] = []
    for claim in claims:
        try:
            facts = tuple(facts_of(text) for text in claim.molecules)
        except InputError as error:
            found.append(error)
            continue
        found.append(_row(Case(claim=claim, molecules=facts, tables=tables)))
    renumbered = _read_otherwise([row for row in found if isinstance(row, _Row)])
    rows = [_by_other(row, renumbered) if isinstance(row, _Row) else row for row in found]
    book = book_of(row.found for row in rows if isinstance(row, _Row) and isinstance(row.found, Finding))
    said = [_said(row, book) if isinstance(row, _Row) else row for row in rows]
    return KeyReport(
        findings=tuple(one for one in said if isinstance(one, Finding)),
        problems=tuple(one for one in said if isinstance(one, InputError)),
        book=book,
        renumbered=renumbered,
    )


def book_of(findings: Iterable[Finding]) -> str:
    """The published table by which most claims are right that are not right by the key's own; '' without."""
    counted = Counter(finding.source for finding in findings if finding.source not in ("", RANGE))
    return min(counted, key=lambda name: (-counted[name], name), default="")


def _row(case: Case) -> _Row:
    try:
        return _Row(case=case, found=check_claim(case))
    except InputError as error:
        return _Row(case=case, found=error)


def _read_otherwise(rows: Sequence[_Row]) -> dict[tuple[str, ...], Facts]:
    """By what else the claims of a molecule go, where they do not go by it as it stands."""
    together: dict[tuple[str, ...], list[_Row]] = {}
    for row in rows:
        if goes_by_numbers(row.case.claim):
            together.setdefault(row.case.claim.molecules, []).append(row)
    found = {}
    for molecules, own in together.items():
        if not any(row.is_wrong for row in own):
            continue
        cases, fewest = [row.case for row in own], len(own)
        for other in other_readings(cases[0].facts):
            wrong = _wrong_if_better(_read_as(other, cases), own)
            if wrong is not None and (molecules not in found or wrong < fewest):
                found[molecules], fewest = other, wrong
    return found


def _read_as(other: Facts, cases: Iterable[Case]) -> list[_Row]:
    return [_row(replace(case, molecules=(other,))) for case in cases]


def _wrong_if_better(other: Sequence[_Row], own: Sequence[_Row]) -> int | None:
    """How many claims are wrong by another reading where it explains them better than the own numbers do;
    None where it does not. What neither can answer speaks for none of them."""
    unread, unread_by_own = _unread(other), _unread(own)
    if unread - unread_by_own:
        return None
    wrong, wrong_by_own = (
        sum(row.is_wrong for index, row in enumerate(rows) if index not in unread) for rows in (other, own)
    )
    fewer = wrong_by_own - wrong
    answers_more = bool(unread_by_own - unread)
    better = (fewer > 0 and not wrong) or fewer >= (0 if answers_more else _FEWER_WRONG)
    return wrong if better else None


def _unread(rows: Sequence[_Row]) -> set[int]:
    return {index for index, row in enumerate(rows) if isinstance(row.found, InputError)}


def _by_other(row: _Row, renumbered: Mapping[tuple[str, ...], Facts]) -> _Row:
    other = renumbered.get(row.case.claim.molecules)
    if other is None or not goes_by_numbers(row.case.claim):
        return row
    (again,) = _read_as(other, [row.case])
    return replace(again, how=_how(other, row.case.facts))


def _how(other: Facts, own: Facts) -> str:
    """By which numbers or mirror image a claim was judged, where not by the molecule's own."""
    how = []
    if other.numbered != own.numbered:
        sense = "; anticlockwise, with the faces as given" if other.anticlockwise else ""
        how.append(f"IUPAC numbering: {first_group(other)}{sense}.")
    if other.is_mirrored:
        how.append(f"Of the mirror image, which is meant as well: {other.groups_by_face}.")
    return " ".join(how)


def _said(row: _Row, book: str) -> Finding | InputError:
    """The finding with the slips of the book, and by which numbers it is."""
    finding = row.found
    if isinstance(finding, InputError):
        return finding
    if book and finding.verdict in ("ERROR", "REVIEW"):
        finding = check_claim(row.case, book)
    how = row.how or (_right_by_iupac(row.case) if finding.verdict == "ERROR" else "")
    return replace(finding, words=f"{finding.words} ({how})") if how else finding


def _right_by_iupac(case: Case) -> str:
    """Said of a claim that is wrong by the numbers that were used, and right by those of the name."""
    if not goes_by_numbers(case.claim) or (other := by_iupac(case.facts)) is None:
        return ""
    (again,) = _read_as(other, [case])
    right = "By IUPAC numbering, where {}, it would be right, but not all claims of the molecule are."
    return "" if again.is_wrong else right.format(first_group(other))
