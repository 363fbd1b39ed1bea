"""Tables of results as pandas frames with typed columns.

The only module that needs pandas, which is imported when a frame is asked for.
"""

from typing import TYPE_CHECKING, Any

from chairgap.records import Outcome
from chairgap.report.columns import Kind
from chairgap.report.study_tables import STUDY_TABLES

if TYPE_CHECKING:
    import pandas as pd

_TYPES: dict[Kind, Any] = {
    "text": "object",
    "number": "float64",
    "whole number": "Int64",
    "yes or no": "boolean",
}


def frame_of(name: str, outcome: Outcome) -> "pd.DataFrame":
    """The table of this name of a study: floats, nullable whole numbers, nullable booleans and text."""
    import pandas as pd

    table = STUDY_TABLES[name]
    frame = pd.DataFrame(table.cells(outcome), columns=list(table.headers), dtype=object)
    return frame.astype({column.header: _TYPES[column.kind] for column in table.columns})
