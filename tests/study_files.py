"""What a study writes, by name: kept here and not read off the program, so that a lost file is seen."""

_TABLES = (
    "gaps.csv",
    "conformers.csv",
    "ledger.csv",
    "anchored.csv",
    "positions.csv",
    "contacts.csv",
    "split.csv",
    "temperatures.csv",
    "published.csv",
    "solvents.csv",
)
# The same study gives the same bytes in each.
SAME_BYTES = (*_TABLES, "conformers.sdf", "report.md", "references.bib", "page.html")

STUDY_FILES = frozenset((*SAME_BYTES, "manifest.json", "computed.sqlite", ".chairgap.json"))
