"""The list of literature sources: text to records."""

import re

from chairgap.errors import InputError
from chairgap.records import Source
from chairgap.tables.csv_text import Columns, one_of, read_records, required_text

DOI_KNOWN = ("seen", "from memory")
_DOI = re.compile(r"10\.\d{4,9}/\S+")
_HELP = {
    "key": "the short key the tables use",
    "short": "the source in a few words, such as Booth & Everett 1980",
    "citation": "the full citation",
    "doi": "the DOI without https://doi.org/, empty when not known",
    "doi_known": "'seen' or 'from memory', empty without a DOI",
    "how_seen": "how much of the source was seen",
}
COLUMNS = Columns(required=tuple(_HELP), optional=(), help_by_name=_HELP)


def parse_sources(text: str, file: str) -> tuple[dict[str, Source], list[InputError]]:
    """Sources by key, in file order, and everything wrong with the list."""
    records, problems = read_records(text, file, COLUMNS)
    sources: dict[str, Source] = {}
    for record in records:
        key = required_text(record, "key", COLUMNS, problems)
        short = required_text(record, "short", COLUMNS, problems)
        citation = required_text(record, "citation", COLUMNS, problems)
        how_seen = required_text(record, "how_seen", COLUMNS, problems)
        doi, doi_known = record.text("doi"), record.text("doi_known")
        if doi and not _DOI.fullmatch(doi):
            message = f"'{doi}' is no DOI; write it as 10.1039/P29800000255, or leave the cell empty."
            problems.append(record.problem("doi", message, _HELP["doi"]))
        if doi:
            one_of(record, "doi_known", DOI_KNOWN, problems)
        if key in sources:
            problems.append(
                record.problem("key", f"The key '{key}' is there twice; give each source its own.")
            )
        sources[key] = Source(
            key=key, short=short, citation=citation, doi=doi, doi_known=doi_known, how_seen=how_seen
        )
    return sources, problems
