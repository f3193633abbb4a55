"""Cost study: `runningfits judge` on millions of readings beside other engines, and its kernel beside whole arrays.

`python studies/plant_cost.py --write docs/plant.md` writes the table between the marks of that page; `--rows` readings
are timed, and `--most` measure the memory. Each engine runs in a process of its own on one
core, in turn, in one run; times are of the processor, so that a busy machine does not count.
"""

import argparse
import json
import math
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import plant_engines
import pyarrow as pa
import pyarrow.dataset as ds
import pyarrow.parquet as pq

import runningfits as rf
from runningfits.plant.block import BLOCK, judged
from runningfits.plant.kinds import kinds
from runningfits.plant.ruled import OPEN, Ruled, arrays

CHUNK, GROUP = 1_000_000, 500_000
MACHINES, WEEKS = [f"bench-{n}" for n in range(1, 25)], [f"2026-{n:02}" for n in range(1, 53)]
TOOLS = {"clearance": "dial-indicator", "end-play": "dial-indicator"}
FAMILIES, KINDS = 60, 5_000
EXACT = 1e-12
SAMPLE = 200_000
ENDS = ("low", "high", "worn_low", "worn_high")
BEGIN, END = "<!-- cost: begin -->", "<!-- cost: end -->"

Key = dict[str, str]


def keys(data: rf.Dataset) -> list[Key]:
    """Kinds of readings of lengths: every place of what pages print a new range for, in the page's own unit."""
    found: dict[tuple[str, ...], Key] = {}
    for engine in sorted(data.engines)[:FAMILIES]:
        model = next(iter(data.family(engine).models), "")
        for row in data.rows(engine):
            quantity = data.quantities.get(row.item)
            if not quantity or quantity["dimension"] != "length" or quantity["kind"] not in ("size", *TOOLS):
                continue
            tool = TOOLS.get(quantity["kind"], quantity["instrument"])
            for place in range(1, (data.count(engine, row.item, model or None) or 1) + 1):
                key = (engine, model, row.item, str(place), row["unit"], tool)
                found[key] = dict(zip(plant_engines.KEYS, key, strict=True))
    return list(found.values())


def settled(known: list[Key], data: rf.Dataset) -> tuple[list[Key], Ruled]:
    """Kinds that one row judges by a new range, so that each engine can do them, with what they are judged by."""
    found = [(key, lines[0]) for key, lines in zip(known, kinds(known, data), strict=True) if _plain(lines)]
    found = found[:KINDS]
    return [key for key, _ in found], arrays([line._replace(doubt=-1) for _, line in found])


def _plain(lines: tuple[Ruled, ...]) -> bool:
    (first, *more) = lines
    ends = first.limits
    known = not more and first.fixed == OPEN and not first.open_end and not first.bound and not first.asked
    return known and bool(ends[10]) and ends[0:8:2] == ends[1:8:2] and not ends[13]


def limits(known: list[Key], ruled: Ruled) -> pa.Table:
    """What the kinds are judged by, as a table in the unit of the readings."""
    cells = {name: pa.array([k[name] for k in known]) for name in plant_engines.KEYS}
    ends = {"low": 0, "high": 2, "worn_low": 4, "worn_high": 6}
    cells |= {name: pa.array(ruled.limits[at]) for name, at in ends.items()}
    cells |= {"limited": pa.array(ruled.limits[11]), "wears_up": pa.array(ruled.limits[12])}
    cells |= {"farthest": pa.array(ruled.farthest), "constant": pa.array(ruled.constant)}
    cells |= {"slope": pa.array(ruled.slope), "row": pa.array(ruled.row), "cite": pa.array(ruled.cite)}
    return pa.table(cells)


def write_readings(path: Path, count: int, known: list[Key], table: pa.Table) -> None:
    """Invented readings about the new range, written a million at a time."""
    rng = np.random.default_rng(20261126)
    low, high = (table[c].to_numpy() for c in ("low", "high"))
    low, high = np.where(np.isfinite(low), low, 0.5 * high), np.where(np.isfinite(high), high, 1.5 * low)
    fixed = {name: _coded([k[name] for k in known]) for name in plant_engines.KEYS}
    writer = None
    for begin in range(0, count, CHUNK):
        size = min(CHUNK, count - begin)
        at = rng.integers(0, len(known), size)
        value = np.round(low[at] + (high - low)[at] * rng.normal(0.6, 0.4, size), 5)
        cells = {n: pa.DictionaryArray.from_arrays(codes[at], words) for n, (codes, words) in fixed.items()}
        cells["stage"] = pa.DictionaryArray.from_arrays(np.zeros(size, np.int32), pa.array(["found"]))
        cells["value"] = pa.array(np.maximum(value, 1e-5))
        for name, words in (("machine", MACHINES), ("week", WEEKS)):
            cells[name] = pa.DictionaryArray.from_arrays(
                rng.integers(0, len(words), size).astype(np.int32), pa.array(words)
            )
        part = pa.table(cells)
        writer = writer or pq.ParquetWriter(path, part.schema, use_dictionary=[n for n in cells if n != "value"])
        writer.write_table(part, row_group_size=GROUP)
    assert writer
    writer.close()


def _coded(words: list[str]) -> tuple[Any, pa.Array]:
    listed = sorted(set(words))
    return np.array([listed.index(w) for w in words], np.int32), pa.array(listed)


def cost(engine: str, readings: Path, table: Path, out: Path) -> dict[str, float]:
    """What an engine cost in a process of its own."""
    command = [
        sys.executable,
        str(Path(__file__).with_name("plant_engines.py")),
        engine,
        str(readings),
        str(table),
        str(out),
    ]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    return dict(json.loads(done.stdout.splitlines()[-1]))


def errors(out: Path, exact: pa.Table, verdicts: list[str]) -> tuple[float, int]:
    """Largest error of the probabilities of a file's first rows, and how many verdicts are others than `verdicts`.

    The first engine fills these. What proves nothing has no probability and counts among the other verdicts.
    """
    names = ["verdict", "probability", "probability_within_limit", "row"]
    found = ds.dataset(out).head(SAMPLE, columns=names)
    pairs = [(found[n].to_numpy(), exact[n].to_numpy()) for n in names[1:3]]
    assert found["row"].to_pylist() == exact["row"].to_pylist()
    own = found["verdict"].to_pylist()
    verdicts.extend([] if verdicts else own)
    off = sum(a != b for a, b in zip(own, verdicts, strict=True))
    return max(float(np.nanmax(np.abs(a - b))) for a, b in pairs), off


def exact_shares(readings: Path, table: pa.Table) -> pa.Table:
    """Probabilities of the first rows from distances in extended precision and the standard library's erfc."""
    first = ds.dataset(readings).head(SAMPLE)
    number = {tuple(k[n] for n in plant_engines.KEYS): at for at, k in enumerate(table.to_pylist())}
    at = np.array([number[key] for key in zip(*(first[n].to_pylist() for n in plant_engines.KEYS), strict=True)])
    v = first["value"].to_numpy().astype(np.longdouble)
    cells = {n: table[n].to_numpy()[at].astype(np.longdouble) for n in ("constant", "slope", *ENDS)}
    u = np.sqrt(cells["constant"] + (cells["slope"] * v) ** 2)
    erfc = np.frompyfunc(math.erfc, 1, 1)
    low, high, worn_low, worn_high = (
        0.5 * erfc(((v - cells[n]) / u / np.sqrt(np.longdouble(2))).astype(float)).astype(float) for n in ENDS
    )
    rows = pa.array(np.array(table["row"].to_pylist(), dtype=object)[at])
    return pa.table({"probability": high - low, "probability_within_limit": worn_high - worn_low, "row": rows})


def kernel(table: pa.Table, ruled: Ruled, count: int, rounds: int) -> float:
    """How many times longer the same verdicts and probabilities take on whole arrays of numpy and scipy."""
    rng = np.random.default_rng(7)
    at = rng.integers(0, len(table), count)
    low, high = (np.nan_to_num(table[c].to_numpy(), posinf=0, neginf=0) for c in ("low", "high"))
    value = np.maximum(np.round(low[at] + (high - low)[at] * rng.normal(0.6, 0.4, count), 5), 1e-5)
    cells = {n: table[n].to_numpy() for n in table.column_names if n not in (*plant_engines.KEYS, "row", "cite")}
    ratios = []
    for _ in range(rounds):
        began = time.process_time()
        _blocks(ruled, at, value)
        own, began = time.process_time() - began, time.process_time()
        _whole(cells, at, value)
        ratios.append((time.process_time() - began) / own)
    return statistics.median(ratios)


def _blocks(ruled: Ruled, at: Any, value: Any) -> list[Any]:
    once = np.ones(BLOCK, np.int64)
    cuts = [slice(n, n + BLOCK) for n in range(0, len(at), BLOCK)]
    return [judged(ruled, at[c], once[: len(at[c])], value[c], None, True)[:3] for c in cuts]


def _whole(cells: dict[str, Any], at: Any, value: Any) -> tuple[Any, Any]:
    told = {n: c[at] for n, c in cells.items()}
    u = np.sqrt(told["constant"] + (told["slope"] * value) ** 2)
    shares = plant_engines.plain_shares(value, u, told.__getitem__)
    return plant_engines.verdict_codes(np, value, u, told.__getitem__), shares


def told(rounds: int, rows: int, most: int, folder: Path) -> list[str]:
    """Lines of the page: the engines, the kernel, the memory."""
    data = rf.load()
    known, ruled = settled(keys(data), data)
    table, small, big = limits(known, ruled), folder / "small.parquet", folder / "big.parquet"
    pq.write_table(table, folder / "limits.parquet")
    write_readings(small, rows, known, table)
    exact = exact_shares(small, table)
    runs: dict[str, list[dict[str, float]]] = {e: [] for e in plant_engines.ENGINES}
    off: dict[str, tuple[float, int]] = {}
    verdicts: list[str] = []
    for _ in range(rounds):
        for engine, costs in runs.items():
            out = folder / "verdicts.parquet"
            costs.append(cost(engine, small, folder / "limits.parquet", out))
            if engine not in off:
                off[engine] = errors(out, exact, verdicts)
            out.unlink()
    ratio = kernel(table, ruled, min(rows, 4_000_000), rounds + 2)
    peaks = {rows: max(c["peak"] for c in runs["Running Fits"])}
    if most > rows:
        write_readings(big, most, known, table)
        peaks[most] = cost("Running Fits", big, folder / "limits.parquet", folder / "verdicts.parquet")["peak"]
    return list(lines(len(known), rows, runs, off, ratio, peaks))


def _beside(costs: list[dict[str, float]], own: list[float]) -> list[float]:
    return [c["cpu"] / o for c, o in zip(costs, own, strict=True)]


def lines(
    kinds_told: int,
    rows: int,
    runs: dict[str, list[dict[str, float]]],
    off: dict[str, tuple[float, int]],
    ratio: float,
    peaks: dict[int, float],
) -> Iterator[str]:
    """The page's lines."""
    own = [c["cpu"] for c in runs["Running Fits"]]
    yield f"{rows / 1e6:g} million readings of {kinds_told:,} kinds, Parquet to Parquet on one core, {len(own)} rounds."
    yield ""
    heads = "processor time beside Running Fits", "peak memory, MB", "largest error of a probability", "other verdicts"
    yield f"| engine | {' | '.join(heads)} |"
    yield "| --- | --- | --- | --- | --- |"
    times = {e: statistics.median(_beside(costs, own)) for e, costs in runs.items()}
    for engine, costs in runs.items():
        peak, (error, others) = max(c["peak"] for c in costs), off[engine]
        yield f"| {engine} | {times[engine]:.2f} | {peak:,.0f} | {error:.0e} | {others} of {SAMPLE:,} |"
    yield ""
    yield "Other verdicts: readings that Running Fits alone holds back, of another repair size perhaps, or not free."
    best = min(times[e] for e in runs if e != "Running Fits" and off[e][0] < EXACT)
    yield ""
    yield f"The best of those whose probabilities err below {EXACT:.0e} takes {best:.2f} times as long (1 or more)."
    yield f"The kernel alone is {ratio:.1f} times as quick as whole arrays of numpy and scipy (at least 1.8)."
    sizes = " and ".join(f"{p:,.0f} MB at {n / 1e6:g} million readings" for n, p in peaks.items())
    yield f"Its peak above the imports is {sizes} (at most 200)."


def main() -> None:
    """Measure, and write the table into a page."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rows", type=int, default=10_000_000)
    options.add_argument("--most", type=int, default=0)
    options.add_argument("--rounds", type=int, default=3)
    options.add_argument("--write", type=Path)
    options.add_argument("--folder", type=Path)
    given = options.parse_args()
    with tempfile.TemporaryDirectory(dir=given.folder) as folder:
        text = "\n".join(told(given.rounds, given.rows, given.most, Path(folder)))
    print(text)
    if given.write:
        page = given.write.read_text(encoding="utf-8")
        head, _, rest = page.partition(BEGIN)
        tail = rest.partition(END)[2]
        given.write.write_text(f"{head}{BEGIN}\n{text}\n{END}{tail}", encoding="utf-8")


if __name__ == "__main__":
    main()
