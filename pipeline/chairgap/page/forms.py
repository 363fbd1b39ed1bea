"""How a page holds the sections of its molecules, chosen by how many there are."""

from typing import Literal

# open: sections stand in the page and are read without JavaScript. lazy: they lie packed in the page until
# they are opened. counts: there are none, and the table holds the largest disagreements alone.
Form = Literal["open", "lazy", "counts"]

MOST_OPEN = 40
MOST_WITH_SECTIONS = 1000
MOST_ROWS_IN_COUNTS = 1000


def form_of(molecules: int) -> Form:
    """The form of the page of so many treated molecules."""
    if molecules <= MOST_OPEN:
        return "open"
    return "lazy" if molecules <= MOST_WITH_SECTIONS else "counts"
