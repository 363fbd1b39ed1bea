"""Tables of results as pandas frames with typed columns."""

import pandas as pd
import pyarrow as pa

from chairgap.report.columns import schema_of


def typed(frame: pd.DataFrame) -> pd.DataFrame:
    """The same table with floats, nullable whole numbers, nullable booleans and text as types of its columns,
    as Parquet has them."""
    types = {field.name: _pandas_type(field.type) for field in schema_of(frame)}
    return frame.astype(types)


def _pandas_type(arrow: pa.DataType) -> str:
    if pa.types.is_floating(arrow):
        return "float64"
    if pa.types.is_integer(arrow):
        return "Int64"
    return "boolean" if pa.types.is_boolean(arrow) else "object"
