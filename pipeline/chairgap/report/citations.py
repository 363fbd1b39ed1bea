"""How to cite a study: the tabulated values it used, the methods of its numbers, full references, BibTeX.

Only what a study used is named. How much of a source was seen is a matter of the tables (`data/sources.csv`,
`chairgap tables --sources`); here what is from memory has a sign with its legend. BibTeX is made from the one
citation that stands in the table: one that does not read 'Author, A.; Author, B. Journal Year, Volume, Page.'
becomes an entry with the whole citation as its note. Rejected: authors, journal and year once more as columns
of the table, which would have to agree with the citation.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import version

from chairgap.records import (
    AValueRow,
    EstimateTable,
    InteractionRow,
    LedgerTerm,
    Outcome,
    Result,
    Settings,
    Source,
)
from chairgap.records.types import CorrectionForm
from chairgap.report.blocks import Block, Own, Part, bullets, paragraph, table
from chairgap.report.words import MEMORY_LEGEND, MEMORY_SIGN, citation, short_cited, with_range

BIBTEX = "references.bib"
TITLE = "How to cite, and sources"
# What each method of a study is to be cited by.
_FORCE_FIELDS = {
    "MMFF94": ("halgren_1996", "tosco_2014"),
    "MMFF94s": ("halgren_1996", "halgren_1999", "tosco_2014"),
    "UFF": ("rappe_1992",),
}
_ALWAYS = ("ribeiro_2011", "cremer_pople_1975", "jcbn_1981")
_CHECKED = ("eastman_2017",)
_SOLVENT = ("onufriev_2004", "hawkins_1996", "sigalov_2006", "bondi_1964")
_GFN2 = ("bannwarth_2019",)
_MP2 = ("moller_plesset_1934", "weigend_haser_1997", "weigend_ahlrichs_2005", "sun_2020")
_METHODS = {
    **dict.fromkeys(("halgren_1996", "halgren_1999", "tosco_2014"), "force field MMFF94"),
    "rappe_1992": "force field UFF",
    "eastman_2017": "second computation of the energies",
    "ribeiro_2011": "quasi-harmonic Gibbs energies",
    "cremer_pople_1975": "ring puckering",
    "jcbn_1981": "names of ring shapes",
    **dict.fromkeys(_SOLVENT, "solvent"),
    "bannwarth_2019": "GFN2-xTB",
    "moller_plesset_1934": "MP2",
    "weigend_haser_1997": "MP2",
    "weigend_ahlrichs_2005": "basis sets of MP2",
    "sun_2020": "PySCF, which computed MP2",
}
_FORMS: dict[CorrectionForm, str] = {"replacing": "the whole pair", "excess": "beyond the single groups"}
_AUTHOR = r"[A-Za-z' -]+(?:, (?:[A-Z]\.[- ]?)+)?"
_AUTHORS = re.compile(rf"(?:{_AUTHOR}; )*{_AUTHOR}(?P<others>et al\..*)?")
_YEAR = re.compile(r"\b(?:1[89]|20)\d\d\b")
_PLACE = re.compile(r"(?P<year>\d{4})(?:, (?P<volume>\d+))?(?:, (?P<pages>e?\d+))?(?: \((?P<note>.+)\))?\.")
_IN_BIBTEX = str.maketrans({"&": r"\&", "%": r"\%", "_": r"\_", "#": r"\#"})


@dataclass(frozen=True, kw_only=True)
class UsedValue:
    """A tabulated value that a hand sum took: what it is, value with range, medium, source."""

    name: str
    words: str
    medium: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Cited:
    """What some molecules have to be cited by, each once: the sources of their estimates, those of what is
    published of them, the tabulated values; whether any was treated, compared with the second engine, has a
    part of MP2."""

    estimates: tuple[str, ...] = ()
    equilibria: tuple[str, ...] = ()
    values: tuple[UsedValue, ...] = ()
    treated: bool = False
    checked: bool = False
    mp2: bool = False

    def __add__(self, other: "Cited") -> "Cited":
        return Cited(
            estimates=tuple(dict.fromkeys((*self.estimates, *other.estimates))),
            equilibria=tuple(dict.fromkeys((*self.equilibria, *other.equilibria))),
            values=tuple(dict.fromkeys((*self.values, *other.values))),
            treated=self.treated or other.treated,
            checked=self.checked or other.checked,
            mp2=self.mp2 or other.mp2,
        )


def cited_of(outcome: Outcome) -> Cited:
    """What the results of an outcome have to be cited by."""
    settings, results = outcome.study.settings, outcome.results
    return Cited(
        estimates=_keys(term.source for result in results for term in result.estimate.terms),
        equilibria=_keys(item.published.equilibrium.source for result in results for item in result.measured),
        values=used_values(outcome),
        treated=bool(results),
        checked=any(map(_was_checked, results)),
        mp2=any(_has_mp2(result, settings) for result in results),
    )


def _keys(sources: Iterable[str]) -> tuple[str, ...]:
    found = (key for keys in sources for key in re.split(r"[;,\s]+", keys))
    return tuple(dict.fromkeys(filter(None, found)))


def source_keys(cited: Cited, settings: Settings) -> tuple[str, ...]:
    """The sources of the values, then of the methods, each once."""
    methods = _methods(cited, settings) if cited.treated else ()
    return tuple(dict.fromkeys((*value_keys(cited), *methods)))


def value_keys(cited: Cited) -> tuple[str, ...]:
    """The sources of the estimates, then of published equilibria, each once."""
    return tuple(dict.fromkeys((*cited.estimates, *cited.equilibria)))


def _methods(cited: Cited, settings: Settings) -> Iterator[str]:
    yield from _FORCE_FIELDS[settings.force_field]
    if cited.checked:
        yield from _CHECKED
    yield from _ALWAYS
    if any(not medium.is_gas for medium in (settings.medium, *settings.medium_series)):
        yield from _SOLVENT
    if cited.mp2 or settings.quantum_method == "GFN2-xTB":  # the geometries of MP2 are those of GFN2-xTB
        yield from _GFN2
    if cited.mp2:
        yield from _MP2


def _was_checked(result: Result) -> bool:
    return any(item.check.energy_difference_kcal_mol is not None for item in result.conformers)


def _has_mp2(result: Result, settings: Settings) -> bool:
    origins = [part.origin for part in result.anchored.parts]
    origins += [pair.source for pair in result.completed.pairs] if result.completed else []
    return any(origin.startswith("MP2") for origin in origins)


def used_values(outcome: Outcome) -> tuple[UsedValue, ...]:
    """The tabulated values behind the hand sums of a study, each once."""
    terms = (term for result in outcome.results for term in result.estimate.terms)
    return tuple(
        dict.fromkeys(_used(term, outcome.table) for term in terms if term.value_kcal_mol is not None)
    )


def _used(term: LedgerTerm, a_values: EstimateTable) -> UsedValue:
    groups = "/".join(sorted(term.groups))
    row = _row_of(term, a_values)
    taken = row or term  # the row has the value as published, a term may have two group/H contacts less
    form = f", {_FORMS[row.form]}" if isinstance(row, InteractionRow) else ""
    return UsedValue(
        name=f"A-value of {groups}" if term.kind == "A-value" else f"{term.kind} {groups}{form}",
        words=with_range(taken.value_kcal_mol, taken.low_kcal_mol, taken.high_kcal_mol),
        medium=term.medium or "not stated",
        source=short_cited(term.source, a_values, row.known if row else ""),
    )


def _row_of(term: LedgerTerm, a_values: EstimateTable) -> AValueRow | InteractionRow | None:
    """The row of the table a term was taken from; None for a value that no row has by itself."""
    if term.kind == "A-value":
        singles = (
            row for row in a_values.a_values if row.group == term.groups[0] and row.source == term.source
        )
        return next(singles, None)
    pairs = (
        row
        for row in a_values.interactions
        if row.kind == term.kind and {row.group_1, row.group_2} == set(term.groups)
    )
    return next(pairs, None)


def cite_part(keys: Sequence[str], sources: Mapping[str, Source], values: Sequence[UsedValue]) -> Part:
    """How to cite, as a part of the report and of the page: the program, the values, the references."""
    references = [_reference(key, sources) for key in keys]
    if not references:
        return Part(key="sources", title=TITLE, blocks=())
    rows = [(value.name, value.words, value.medium, value.source) for value in values]
    cite = Own(
        f"Cite chairgap {version('chairgap')} for the comparison, and for the numbers the papers that they "
        f"rest on: `{BIBTEX}` has all of them."
    )
    blocks: list[Block] = [paragraph(cite)]
    blocks += [table(("Tabulated value", "kcal/mol (range)", "Medium", "Source"), rows)] if rows else []
    blocks += bullets(references)
    signed_ones = MEMORY_SIGN in "".join((*references, *(value.source for value in values)))
    blocks += [paragraph(MEMORY_LEGEND)] if signed_ones else []
    return Part(key="sources", title=TITLE, blocks=tuple(blocks))


def _reference(key: str, sources: Mapping[str, Source]) -> str:
    method = _METHODS.get(key)
    return f"{citation(key, sources)}{f' For: {method}.' if method else ''}"


def bibtex_text(keys: Iterable[str], sources: Mapping[str, Source]) -> str:
    """The references as BibTeX, plain ASCII; keys that only a user's own table has are left out."""
    program = {"author": "chairgap contributors", "title": "chairgap", "version": version("chairgap")}
    entries = [_entry("software", "chairgap", program)]
    entries += [_of_source(sources[key]) for key in keys if key in sources]
    return "\n".join(entries)


def _of_source(source: Source) -> str:
    authors, _, place = source.citation.partition(f"{source.journal} " if source.journal else "\n")
    by, where = _AUTHORS.fullmatch(authors.strip()), _PLACE.fullmatch(place)
    if by is None or where is None:
        year = _YEAR.search(source.citation)
        fields = {"year": year.group() if year else ""}
        return _entry("misc", source.key, fields | _note_and_doi(source, source.citation.rstrip(".")))
    names = re.sub(r"\s*et al\..*", "; others", authors.strip()).replace("; ", " and ")
    fields = {"author": names, "journal": source.journal}
    numbers = where.groupdict(default="")
    if not numbers["pages"] and "page" not in numbers["note"]:  # a journal that counts by years, not volumes
        numbers["volume"], numbers["pages"] = "", numbers["volume"]
    fields |= {name: numbers[name] for name in ("year", "volume", "pages")}
    return _entry("article", source.key, fields | _note_and_doi(source, numbers["note"]))


def _note_and_doi(source: Source, note: str) -> dict[str, str]:
    known = "DOI from memory" if source.doi and source.doi_known == "from memory" else ""
    return {"note": "; ".join(filter(None, (note, known))), "doi": source.doi}


def _entry(kind: str, key: str, fields: Mapping[str, str]) -> str:
    lines = [
        f"  {name} = {{{words if name == 'doi' else words.translate(_IN_BIBTEX)}}}"
        for name, words in fields.items()
        if words
    ]
    return f"@{kind}{{{key},\n" + ",\n".join(lines) + "\n}\n"
