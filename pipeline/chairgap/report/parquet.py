"""Parquet files of the study's tables: the same numbers as in the CSV files, rounded alike.

pyarrow, which writes them, is an optional extra: import this module only where Parquet files are written.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from chairgap.report.columns import Cells, Kind, Table

_TYPES: dict[Kind, pa.DataType] = {
    "text": pa.string(),
    "number": pa.float64(),
    "whole number": pa.int64(),
    "yes or no": pa.bool_(),
}
# A row group is written when so many bytes, or so many pieces, wait for it: what waits is memory, and a small
# piece takes more than its bytes (200 pieces of all tables took 80 MB).
_MOST_BYTES, _MOST_PIECES = 4_000_000, 40


class ParquetFile:
    """A Parquet file that rows are appended to, in row groups of a size that reads well."""

    def __init__(self, path: Path, table: Table[Any, Any]):
        self._schema = pa.schema([(column.header, _TYPES[column.kind]) for column in table.columns])
        self._writer = pq.ParquetWriter(path, self._schema, compression="zstd")
        self._waiting: list[pa.Table] = []
        self._bytes = 0

    def append(self, rows: Sequence[Cells]) -> None:
        """Append rows of `Table.rounded`. Raises pyarrow.ArrowException when a cell is not of its column's
        type."""
        cells = list(zip(*rows, strict=True)) or [()] * len(self._schema)
        columns = [
            pa.array(column, type=field.type) for column, field in zip(cells, self._schema, strict=True)
        ]
        self._waiting.append(pa.table(columns, schema=self._schema))
        self._bytes += self._waiting[-1].nbytes
        if self._bytes >= _MOST_BYTES or len(self._waiting) >= _MOST_PIECES:
            self._write()

    def close(self) -> None:
        """Write what waits, and end the file."""
        self._write()
        self._writer.close()

    def _write(self) -> None:
        if self._waiting:
            self._writer.write_table(pa.concat_tables(self._waiting))
        self._waiting, self._bytes = [], 0
