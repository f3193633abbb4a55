"""Tables of readings and verdicts as files: Parquet, CSV and Arrow in, Parquet and CSV out, never whole in memory."""

import csv
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pyarrow as pa
import pyarrow.csv as pc
import pyarrow.parquet as pq

from ..files import unfinished
from ..unusable import UnusableError
from .batches import AT_ONCE, schema
from .reading_columns import WORDS

IN = (".parquet", ".csv", ".arrow", ".feather")
OUT = (".parquet", ".csv")
"""How names of files end that can be read and written."""

TOGETHER = 2
"""Batches of a row group: what a file says of each group stays in memory to its end."""

_BUFFER = 1 << 20

Opened = tuple[pa.Schema, Iterator[pa.RecordBatch]]


@contextmanager
def opened(path: Path) -> Iterator[Opened]:
    """Columns and batches of a table; raises UnusableError for a file that is none, also while it is read."""
    suffix = path.suffix.lower()
    if suffix not in IN:
        raise UnusableError(f'{path}: a table of readings is {", ".join(IN)}, not "{path.suffix}"')
    if not path.is_file():
        raise UnusableError(f"{path}: no such file; expected a table of readings")
    read: dict[str, Callable[[Path], Opened]] = {".parquet": _parquet, ".csv": _csv}
    try:
        yield read.get(suffix, _arrow)(path)
    except pa.ArrowException as error:
        raise UnusableError(f"{path}: {_plain(error)}; expected a table as {suffix}") from error


def _plain(error: Exception) -> str:
    return " ".join(str(error).split())[:300].rstrip(".")


def _parquet(path: Path) -> Opened:
    """Batches of a Parquet file, columns of words by their dictionaries."""
    names = pq.read_schema(path).names
    file = pq.ParquetFile(path, read_dictionary=[n for n in WORDS if n in names], buffer_size=_BUFFER, pre_buffer=False)
    return file.schema_arrow, file.iter_batches(batch_size=AT_ONCE)


def _arrow(path: Path) -> Opened:
    """Batches of an Arrow file or stream."""
    try:
        file = pa.ipc.open_file(pa.memory_map(str(path)))
        whole = (file.get_batch(n) for n in range(file.num_record_batches))
    except pa.ArrowInvalid:
        file = pa.ipc.open_stream(str(path))
        whole = iter(file)
    return file.schema, (b.slice(n, AT_ONCE) for b in whole for n in range(0, b.num_rows, AT_ONCE))


def _csv(path: Path) -> Opened:
    """Batches of a CSV file, every cell as text: what is a number is told by its column's name."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            names = next(csv.reader(file), [])
    except UnicodeDecodeError as error:
        raise UnusableError(f"{path}: byte 0x{error.object[error.start]:02x}, expected UTF-8 text") from error
    if not names:
        raise UnusableError(f"{path}: an empty file, expected a table of readings")
    reader = pc.open_csv(
        path,
        pc.ReadOptions(use_threads=False),
        pc.ParseOptions(newlines_in_values=True),
        pc.ConvertOptions(column_types=dict.fromkeys(names, pa.string()), strings_can_be_null=True, null_values=[""]),
    )
    return reader.schema, iter(reader)


def write(path: Path, readings: pa.Schema, batches: Iterable[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
    """Batches as they come, once each is written; the file gets its name when the last one is."""
    made = _parquet_writer if path.suffix.lower() == ".parquet" else _csv_writer
    with unfinished(path) as beside, made(beside, schema(readings)) as put:
        for batch in batches:
            put(batch)
            yield batch


@contextmanager
def _parquet_writer(path: Path, made: pa.Schema) -> Iterator[Callable[[pa.RecordBatch], None]]:
    """What writes batches, some to a row group: words by dictionaries, without the least and the largest of them."""
    words = [f.name for f in made if pa.types.is_dictionary(f.type) or f.type in _TEXTS]
    rest = [f.name for f in made if f.name not in words]
    waiting: list[pa.RecordBatch] = []

    def put(batch: pa.RecordBatch) -> None:
        waiting.append(batch)
        if len(waiting) == TOGETHER:
            flush()

    def flush() -> None:
        if waiting:
            out.write_table(pa.Table.from_batches(waiting))
        waiting.clear()

    with pq.ParquetWriter(path, made, use_dictionary=words, write_statistics=rest) as out:
        yield put
        flush()


_TEXTS = (pa.string(), pa.large_string(), pa.string_view())


@contextmanager
def _csv_writer(path: Path, made: pa.Schema) -> Iterator[Callable[[pa.RecordBatch], None]]:
    """What writes a batch as lines, its words spelled out."""
    plain = pa.schema([f.with_type(f.type.value_type) if pa.types.is_dictionary(f.type) else f for f in made])

    def put(batch: pa.RecordBatch) -> None:
        out.write_batch(batch.cast(plain))

    with pc.CSVWriter(str(path), plain, write_options=pc.WriteOptions(quoting_style="needed")) as out:
        yield put
