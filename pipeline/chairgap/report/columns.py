"""The tables as typed columns, for Parquet: the numbers are those of the CSV files, rounded alike."""

import math
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq

from chairgap.report.cells import Cell, decimals_of, number_text

_YES_NO = {
    "estimate_complete",
    "chairs_equal_by_symmetry",
    "search_exhaustive",
    "published_value",
}
_WHOLE_NUMBERS = {
    "conformer",
    "conformers",
    "degeneracy_in_chair_A",
    "degeneracy_in_chair_B",
    "degeneracy_non_chair",
    "rotational_symmetry_number",
    "mirror_images",
    "ring_carbon",
    "carbon_1",
    "carbon_2",
    "angles_from_conformer",
    "hydrogen_bonds_best_of_A",
    "hydrogen_bonds_best_of_B",
    "search_ring_starts",
    "search_lattice_states",
    "search_starts_minimised",
    "search_minima_found",
    "search_rounds",
    "search_new_minima_in_last_round",
    "search_dropped_stereo_changed",
    "search_dropped_unconverged",
    "search_saddles_left",
}
_ROW_GROUP = 20_000
_NUMBERS_WITHOUT_UNIT = {"dielectric_constant", "equilibrium_constant_A_over_B"}


def schema_of(frame: pd.DataFrame) -> pa.Schema:
    """The type of each column, by its header: text where it is none of the others."""
    return pa.schema([(str(header), _type_of(str(header))) for header in frame.columns])


def _type_of(header: str) -> pa.DataType:
    if header in _YES_NO:
        return pa.bool_()
    if header in _WHOLE_NUMBERS:
        return pa.int64()
    if header in _NUMBERS_WITHOUT_UNIT or decimals_of(header) is not None:
        return pa.float64()
    return pa.string()


def arrow_bytes(frame: pd.DataFrame) -> bytes:
    """A frame as an Arrow stream. Raises pyarrow.ArrowException when a cell is not of its column's type."""
    schema = schema_of(frame)
    columns = [
        pa.array([_as_written(header, cell) for cell in frame[header]], type=schema.field(header).type)
        for header in schema.names
    ]
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, schema) as stream:
        stream.write_table(pa.table(columns, schema=schema))
    content: bytes = sink.getvalue().to_pybytes()
    return content


def _as_written(header: str, cell: Cell) -> Cell:
    if isinstance(cell, float):
        return None if math.isnan(cell) else float(number_text(header, cell))
    return cell


class ParquetFile:
    """A Parquet file that Arrow streams are appended to, in row groups of a size that reads well."""

    def __init__(self, path: Path, schema: pa.Schema):
        self._writer = pq.ParquetWriter(path, schema, compression="zstd")
        self._waiting: list[pa.Table] = []

    def append(self, content: bytes) -> None:
        """Append what `arrow_bytes` gave."""
        with pa.ipc.open_stream(content) as stream:
            self._waiting.append(stream.read_all())
        if sum(table.num_rows for table in self._waiting) >= _ROW_GROUP:
            self._write()

    def close(self) -> None:
        """Write what waits, and end the file."""
        self._write()
        self._writer.close()

    def _write(self) -> None:
        if self._waiting:
            self._writer.write_table(pa.concat_tables(self._waiting))
        self._waiting = []
