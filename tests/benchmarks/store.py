"""Which store keeps results one by one, survives a kill, and can be looked at meanwhile? Three in one run.

    python tests/benchmarks/store.py [--records 5000]

Each keeps the same packed computations, one commit each, in a process that is then killed; what is there
afterwards is counted and read in order. SQLite in write-ahead mode is the store of `chairgap.batch.store`;
DuckDB has a table of the same columns; the third writes one Parquet file for each 200 records, as one would
without a database. Needs duckdb (pip install duckdb), which nothing else here uses.
"""

import argparse
import multiprocessing
import os
import random
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import pyarrow as pa
import pyarrow.parquet as pq

from chairgap.batch.codec import packed
from chairgap.batch.store import open_store, reading_store
from chairgap.errors import Place
from chairgap.model.treatment import computed_for_all
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import MoleculeRequest, Record, Settings
from chairgap.tables.shipped import read_estimate_table

GROUP = 200


def content() -> bytes:
    """The packed computation of one molecule of ordinary size."""
    request = MoleculeRequest(
        name="m", place=Place(), substituents=read_group_list("1 up CH3, 2 down OH, 4 up CH2CH3").groups
    )
    (molecule,) = build_molecules(
        request, read_estimate_table("chairgap"), force_field="MMFF94", atom_limit=100
    )
    return packed(computed_for_all(molecule, Settings(title="", output="")))


def varied(body: bytes, number: int) -> bytes:
    """Content of the same size that differs from record to record all over, as packed numbers do."""
    return random.Random(number).randbytes(len(body))


def sqlite_write(folder: Path, body: bytes, records: int) -> None:
    store = open_store(folder / "s.sqlite")
    for number in range(records):
        store.put(f"{number:064}", Record(state="done", content=varied(body, number), seconds=1.0, atoms=30))
    os._exit(9)  # as if killed: nothing is closed


def sqlite_read(folder: Path) -> int:
    store = open_store(folder / "s.sqlite")
    return len(store._all("SELECT key, content FROM record ORDER BY key"))


def duckdb_write(folder: Path, body: bytes, records: int) -> None:
    database = duckdb.connect(str(folder / "d.duckdb"))
    database.execute(
        "CREATE TABLE record (key TEXT PRIMARY KEY, state TEXT, content BLOB, message TEXT, seconds DOUBLE, "
        "atoms INTEGER)"
    )
    for number in range(records):
        database.execute(
            "INSERT INTO record VALUES (?, ?, ?, ?, ?, ?)",
            (f"{number:064}", "done", varied(body, number), "", 1.0, 30),
        )
    os._exit(9)


def duckdb_read(folder: Path) -> int:
    with duckdb.connect(str(folder / "d.duckdb")) as database:
        return len(database.execute("SELECT key, content FROM record ORDER BY key").fetchall())


def parquet_write(folder: Path, body: bytes, records: int) -> None:
    waiting: list[dict[str, object]] = []
    for number in range(records):
        waiting.append(
            {
                "key": f"{number:064}",
                "state": "done",
                "content": varied(body, number),
                "seconds": 1.0,
                "atoms": 30,
            }
        )
        if len(waiting) == GROUP:
            pq.write_table(pa.Table.from_pylist(waiting), folder / f"{number:08}.parquet", compression="none")
            waiting = []
    os._exit(9)


def parquet_read(folder: Path) -> int:
    return sum(pq.read_table(path).num_rows for path in sorted(folder.glob("*.parquet")))


def duckdb_is_readable(folder: Path) -> bool:
    try:
        duckdb.connect(str(folder / "d.duckdb"), read_only=True).close()
    except duckdb.Error:
        return False
    return True


STORES: dict[str, tuple[Callable[[Path, bytes, int], None], Callable[[Path], int]]] = {
    "SQLite, write-ahead": (sqlite_write, sqlite_read),
    "DuckDB": (duckdb_write, duckdb_read),
    "Parquet, 200 a file": (parquet_write, parquet_read),
}


def readable_meanwhile(name: str, folder: Path) -> str:
    if name == "Parquet, 200 a file":
        return "yes"
    if name == "DuckDB":
        return "yes" if duckdb_is_readable(folder) else "no"
    try:
        with reading_store(folder / "s.sqlite") as store:
            store.counts()
    except Exception:
        return "no"
    return "yes"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--records", type=int, default=5_000)
    records, body = parser.parse_args().records, content()
    print(f"{records} records of {len(body)} bytes, one commit each, then killed")
    print(f"{'store':22}{'put/s':>9}{'kept':>8}{'MB':>8}{'read/s':>9}  readable while another process writes")
    rates = {}
    for name, (write, read) in STORES.items():
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            process = multiprocessing.get_context("fork").Process(target=write, args=(folder, body, records))
            began = time.perf_counter()
            process.start()
            time.sleep(0.5)
            seen = readable_meanwhile(name, folder) if process.is_alive() else "ended too soon"
            process.join()
            rates[name] = records / (time.perf_counter() - began)
            size = sum(path.stat().st_size for path in folder.iterdir()) / 1e6
            began = time.perf_counter()
            kept = read(folder)
            read_rate = kept / (time.perf_counter() - began)
            print(f"{name:22}{rates[name]:9.0f}{kept:8}{size:8.1f}{read_rate:9.0f}  {seen}", flush=True)
    first, *others = rates.items()
    for name, rate in others:
        print(f"put: {first[0]} / {name} = {first[1] / rate:.2f}")


if __name__ == "__main__":
    main()
