"""The list of literature sources: text to records."""

import re
from typing import Annotated

from pydantic import AfterValidator, Field, ValidationInfo

from chairgap.records import Source
from chairgap.tables.rows import Filled, Problems, Reading, Row, once, read_table
from chairgap.text import as_written, did_you_mean
from chairgap.validation import wrong

DOI_KNOWN = ("seen", "from memory")
_DOI = re.compile(r"10\.\d{4,9}/\S+")


def _doi(doi: str) -> str:
    if doi and not _DOI.fullmatch(doi):
        raise wrong(f"'{doi}' is no DOI.")
    return doi


def _in_citation(journal: str, info: ValidationInfo) -> str:
    if journal and f"{journal} " not in info.data.get("citation", f"{journal} "):
        raise wrong(f"'{journal}' is not in the citation.")
    return journal


def _known_with_doi(known: str, info: ValidationInfo) -> str:
    if info.data.get("doi") and known not in DOI_KNOWN:
        raise wrong(f"It cannot be {as_written(known)}.{did_you_mean(known, DOI_KNOWN)}")
    return known


class _Source(Row):
    key: Annotated[Filled, AfterValidator(once)] = Field(description="the short key the tables use")
    short: Filled = Field(description="the source in a few words, such as Booth & Everett 1980")
    citation: Filled = Field(description="the full citation")
    journal: Annotated[str, AfterValidator(_in_citation)] = Field(
        default="", description="the journal as it stands in the citation, or leave the cell empty"
    )
    doi: Annotated[str, AfterValidator(_doi)] = Field(
        description="the DOI without https://doi.org/, such as 10.1039/P29800000255, or leave the cell empty"
    )
    doi_known: Annotated[str, AfterValidator(_known_with_doi)] = Field(
        description="'seen' or 'from memory', or leave the cell empty without a DOI"
    )
    how_seen: Filled = Field(description="how much of the source was seen")


def parse_sources(text: str, file: str) -> tuple[tuple[Source, ...], Problems]:
    """Sources in file order and everything wrong with the list."""
    return read_table(_Source, Source, text, Reading(file=file, source_keys=()))
