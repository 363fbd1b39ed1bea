"""Which slips make a wrong claim, the likeliest first. Pure.

Slips collide: the same wrong answer can come of several. The first is the one that is named; the others stand
below it. The order is that of teaching practice, common practice and no source: signs, units and the wrong
quantity before a term left out, a term left out before a wrong row.
"""

from collections.abc import Iterator
from dataclasses import replace

from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.slips_labels import label_slips
from chairgap.answer_key.rules.slips_numbers import number_slips
from chairgap.answer_key.rules.sources import printed_rows
from chairgap.answer_key.rules.variants import groups_of, values_that_matter
from chairgap.records import Answer, Diagnosis

_ORDER = (
    *("kcal-kj", "k-inverted", "sign-reversed", "ratio-for-percent", "percent-for-k", "fraction-for-percent"),
    *("other-chair", "log10-for-ln", "celsius", "r-in-wrong-unit", "gauche-dropped", "gauche-twice"),
    *("gauche-sign", "sum-for-difference", "syn-dropped", "syn-added-twice", "group-forgotten"),
    *("half-a-value", "double-a-value", "flat-drawing-misread", "wrong-row", "one-minus-1-over-k"),
    *("k-as-percent", "r-mistyped"),
)
_OF_VALUES = ("gap", "term", "K", "percent")


def diagnosed(case: Case, right: Answer, book: str = "", *, anywhere: bool = False) -> tuple[Diagnosis, ...]:
    """Every known slip that reproduces the claim with the values of the key, or of the book that it seems to
    go by; with `anywhere`, where there is none, also with those of any other published table."""
    if case.claim.quantity not in _OF_VALUES:
        return label_slips(case, right)
    own = list(number_slips(case))
    of_book = [] if not book else list(_with_values(case, book))
    found = [*of_book, *own] if book else own
    if not found and anywhere:
        other = [
            slips
            for name in case.remembered("others", lambda: _others(case))
            if (slips := list(_with_values(case, name)))
        ]
        # A wrong row of some book is what a number is most easily by chance.
        sure = [slips for slips in other if any(slip.slip != "wrong-row" for slip in slips)]
        found = next(iter(sure or other), [])
    distinct = {diagnosis.slip: diagnosis for diagnosis in reversed(found)}
    return tuple(sorted(distinct.values(), key=lambda diagnosis: _rank(diagnosis.slip)))


def _rank(slip: str) -> int:
    return _ORDER.index(slip) if slip in _ORDER else len(_ORDER)


def _with_values(case: Case, name: str) -> Iterator[Diagnosis]:
    moved = case.under(table=name)
    words = printed_rows(moved.table, case.tables.short_sources, groups_of(case))
    for diagnosis in number_slips(moved):
        yield replace(diagnosis, words=f"{diagnosis.words} With {words}." if words else diagnosis.words)


def _others(case: Case) -> list[str]:
    """The other tables, one for each set of values that matter."""
    tables, groups = case.tables, groups_of(case)
    named = (name for name in tables.named if name != case.conventions.table)
    published = (
        name for name, table in tables.published.items() if printed_rows(table, tables.short_sources, groups)
    )
    alike: dict[tuple[object, ...], str] = {}
    for name in (*named, *published):
        alike.setdefault(values_that_matter(case, name), name)
    return list(alike.values())
