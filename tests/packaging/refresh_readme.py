"""Puts the section made from data/scorecard.csv into the README: python tests/packaging/refresh_readme.py"""

from pathlib import Path

from chairgap.report.trust import trust_text
from chairgap.tables.shipped import read_scorecard

README = Path(__file__).resolve().parents[2] / "README.md"
BEGIN = "<!-- made by tests/packaging/refresh_readme.py from data/scorecard.csv -->"
END = "<!-- end of what is made -->"


def refreshed(readme: str) -> str:
    """The README's text with the section as the shipped scorecard gives it."""
    before, _, rest = readme.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{trust_text(read_scorecard())}\n\n{END}{after}"


if __name__ == "__main__":
    README.write_text(refreshed(README.read_text(encoding="utf-8")), encoding="utf-8")
