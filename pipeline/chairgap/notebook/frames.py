"""Tables of results as pandas frames with typed columns.

The only module that needs pandas, which is imported when a frame is asked for.
"""

from typing import TYPE_CHECKING, Any

from chairgap.report.columns import Kind, Row, Source, Table

if TYPE_CHECKING:
    import pandas as pd

_TYPES: dict[Kind, Any] = {
    "text": "object",
    "number": "float64",
    "whole number": "Int64",
    "yes or no": "boolean",
}


def frame_of(table: Table[Source, Row], source: Source) -> "pd.DataFrame":
    """A table of output: floats, nullable whole numbers, nullable booleans and text."""
    import pandas as pd

    frame = pd.DataFrame(table.cells(source), columns=list(table.headers), dtype=object)
    return frame.astype({column.header: _TYPES[column.kind] for column in table.columns})
