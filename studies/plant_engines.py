"""The job of `runningfits judge` in other engines, as one who has the limits as a table would write it.

Each reads readings and limits from Parquet, joins them by the same six words, and writes every column of the readings
with verdict, both probabilities, row and citation, compressed alike. `plant_cost.py` runs each in a process of its own:
`python studies/plant_engines.py ENGINE READINGS LIMITS VERDICTS`.
"""

import json
import os
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

KEYS = ["engine", "model", "item", "position", "unit", "instrument"]
ADDED = ["verdict", "probability", "probability_within_limit", "row", "cite"]
WORDS = ["new", "worn", "serviceable", "past-new", "loose", "tight", "cannot-tell"]
K = 1.96
# Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.17: error below 7.5e-8
P, B = 0.2316419, (0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429)


def running_fits() -> Callable[[str, str, str], None]:
    from runningfits.plant import batches, table_files

    def run(readings: str, _: str, out: str) -> None:
        with table_files.opened(Path(readings)) as (columns, source):
            for _batch in table_files.write(Path(out), columns, batches.batches(source, None, "guarded", columns)):
                pass

    return run


def verdict_codes(np: Any, v: Any, u: Any, of: Callable[[str], Any]) -> Any:
    """Verdicts by the rules of docs/judging.md for rows that print a new range, on whole arrays."""
    least, most = v - K * u, v + K * u
    low, high, worn_low, worn_high = (of(c) for c in ("low", "high", "worn_low", "worn_high"))
    up = of("wears_up")
    below, above = most < worn_low, least > worn_high
    inside = (least >= worn_low) & (most <= worn_high)
    out = np.where(up, above, below)
    far = np.where(up, v - worn_high, worn_low - v) > of("farthest")
    tests = [
        np.where(up, below, above),
        out & (of("limited") | far),
        out,
        inside & (least >= low) & (most <= high),
        inside & ((most < low) | (least > high)),
        inside,
    ]
    return np.select(tests, [5, 4, 3, 0, 1, 2], 6)


def plain_shares(v: Any, u: Any, of: Callable[[str], Any]) -> tuple[Any, Any]:
    from scipy.special import ndtr

    new = ndtr((of("high") - v) / u) - ndtr((of("low") - v) / u)
    return new, ndtr((of("worn_high") - v) / u) - ndtr((of("worn_low") - v) / u)


def numpy_scipy() -> Callable[[str, str, str], None]:
    import numpy as np
    import pyarrow as pa
    import pyarrow.parquet as pq
    import scipy.special  # noqa: F401

    def run(readings: str, limits: str, out: str) -> None:
        table = pq.read_table(readings, read_dictionary=KEYS, use_threads=False).unify_dictionaries()
        of_limits = pq.read_table(limits)
        code, known, span = np.zeros(len(table), np.int64), np.zeros(len(of_limits), np.int64), 1
        for name in KEYS:
            column = table[name].combine_chunks()
            words = {w: n for n, w in enumerate(column.dictionary.to_pylist())}
            code += span * column.indices.to_numpy()
            known += span * np.array([words.get(w, -(10**9)) for w in of_limits[name].to_pylist()])
            span *= len(words)
        order = np.argsort(known)
        at = order[np.searchsorted(known, code, sorter=order)]
        cells = {n: of_limits[n].to_numpy()[at] for n in of_limits.column_names if n not in (*KEYS, "row", "cite")}
        v = table["value"].to_numpy()
        u = np.sqrt(cells["constant"] + (cells["slope"] * v) ** 2)
        shares = plain_shares(v, u, cells.__getitem__)
        verdict = verdict_codes(np, v, u, cells.__getitem__)
        texts = [pa.DictionaryArray.from_arrays(verdict.astype(np.int32), pa.array(WORDS))]
        texts += [
            pa.DictionaryArray.from_arrays(at.astype(np.int32), of_limits[n].combine_chunks()) for n in ("row", "cite")
        ]
        for name, column in zip(ADDED, [texts[0], *shares, *texts[1:]], strict=True):
            table = table.append_column(name, pa.array(column) if name.startswith("prob") else column)
        numbers = ("value", "probability", "probability_within_limit")
        pq.write_table(table, out, use_dictionary=[n for n in table.column_names if n not in numbers])

    return run


def pandas() -> Callable[[str, str, str], None]:
    import numpy as np
    import pandas as pd
    import scipy.special  # noqa: F401

    def run(readings: str, limits: str, out: str) -> None:
        frame, known = pd.read_parquet(readings), pd.read_parquet(limits)
        for name in KEYS:
            kind = pd.CategoricalDtype(known[name].unique())
            frame[name], known[name] = frame[name].astype(kind), known[name].astype(kind)
        own = list(frame.columns)
        known["row"], known["cite"] = known["row"].astype("category"), known["cite"].astype("category")
        frame = frame.merge(known, on=KEYS, how="left")
        v = frame["value"].to_numpy()
        u = np.sqrt(frame["constant"].to_numpy() + (frame["slope"].to_numpy() * v) ** 2)
        of = {c: frame[c].to_numpy() for c in known.columns if c not in (*KEYS, "row", "cite")}
        frame["verdict"] = pd.Categorical.from_codes(verdict_codes(np, v, u, of.__getitem__), WORDS)
        frame["probability"], frame["probability_within_limit"] = plain_shares(v, u, of.__getitem__)
        frame[[*own, *ADDED]].to_parquet(out, compression="snappy", index=False)

    return run


def polars() -> Callable[[str, str, str], None]:
    os.environ["POLARS_MAX_THREADS"] = "1"
    import polars as pl

    def share(end: str) -> Any:
        return 0.5 * ((pl.col("value") - pl.col(end)) / pl.col("u") / 2**0.5).erfc()

    def run(readings: str, limits: str, out: str) -> None:
        v, u, up = pl.col("value"), pl.col("u"), pl.col("wears_up")
        least, most = v - K * u, v + K * u
        low, high, worn_low, worn_high = (pl.col(c) for c in ("low", "high", "worn_low", "worn_high"))
        below, above = most < worn_low, least > worn_high
        inside = (least >= worn_low) & (most <= worn_high)
        beyond = pl.when(up).then(above).otherwise(below)
        far = pl.when(up).then(v - worn_high).otherwise(worn_low - v) > pl.col("farthest")
        verdict = (
            pl.when(pl.when(up).then(below).otherwise(above))
            .then(pl.lit("tight"))
            .when(beyond & (pl.col("limited") | far))
            .then(pl.lit("loose"))
            .when(beyond)
            .then(pl.lit("past-new"))
            .when(inside & (least >= low) & (most <= high))
            .then(pl.lit("new"))
            .when(inside & ((most < low) | (least > high)))
            .then(pl.lit("worn"))
            .when(inside)
            .then(pl.lit("serviceable"))
            .otherwise(pl.lit("cannot-tell"))
        )
        frame = pl.scan_parquet(readings)
        own = frame.collect_schema().names()
        known = pl.scan_parquet(limits).with_columns(pl.col(KEYS).cast(pl.Categorical))
        (
            frame.join(known, on=KEYS, how="left", maintain_order="left")
            .with_columns(u=(pl.col("constant") + (pl.col("slope") * v) ** 2).sqrt())
            .with_columns(
                verdict=verdict,
                probability=share("high") - share("low"),
                probability_within_limit=share("worn_high") - share("worn_low"),
            )
            .select([*own, *ADDED])
            .sink_parquet(out, compression="snappy")
        )

    return run


def duckdb() -> Callable[[str, str, str], None]:
    import duckdb as db

    def share(end: str) -> str:
        z = f"(({end} - v) / u)"
        t = f"(1 / (1 + {P} * abs({z})))"
        sums = f"{t} * ({B[0]} + {t} * ({B[1]} + {t} * ({B[2]} + {t} * ({B[3]} + {t} * {B[4]}))))"
        tail = f"exp(-{z} * {z} / 2) / sqrt(2 * pi()) * {sums}"
        return f"CASE WHEN {z} >= 0 THEN 1 - {tail} ELSE {tail} END"

    def run(readings: str, limits: str, out: str) -> None:
        con = db.connect(config={"threads": 1, "memory_limit": "8GB"})
        con.execute("SET preserve_insertion_order = true")
        own = [c[0] for c in con.sql(f"DESCRIBE SELECT * FROM '{readings}'").fetchall()]
        con.execute(f"""
            COPY (
              WITH joined AS (
                SELECT r.*, k.* EXCLUDE ({", ".join(KEYS)}), r.value AS v,
                       sqrt(k.constant + (k.slope * r.value) ** 2) AS u
                FROM '{readings}' r LEFT JOIN '{limits}' k USING ({", ".join(KEYS)})
              ), ended AS (SELECT *, v - {K} * u AS least, v + {K} * u AS most FROM joined)
              SELECT {", ".join(own)},
                CASE WHEN CASE WHEN wears_up THEN most < worn_low ELSE least > worn_high END THEN 'tight'
                     WHEN CASE WHEN wears_up THEN least > worn_high ELSE most < worn_low END THEN
                       CASE WHEN limited OR CASE WHEN wears_up THEN v - worn_high ELSE worn_low - v END > farthest
                       THEN 'loose' ELSE 'past-new' END
                     WHEN least >= worn_low AND most <= worn_high THEN
                       CASE WHEN least >= low AND most <= high THEN 'new'
                            WHEN most < low OR least > high THEN 'worn' ELSE 'serviceable' END
                     ELSE 'cannot-tell' END AS verdict,
                {share("high")} - {share("low")} AS probability,
                {share("worn_high")} - {share("worn_low")} AS probability_within_limit, "row", cite
              FROM ended
            ) TO '{out}' (FORMAT parquet, COMPRESSION snappy)""")

    return run


ENGINES = {
    "Running Fits": running_fits,
    "numpy and scipy": numpy_scipy,
    "pandas": pandas,
    "polars": polars,
    "DuckDB": duckdb,
}


def memory(name: str) -> float:
    """Megabytes of this process by the system's own count."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith(name))


def main() -> None:
    """Run one engine on one core and print what it cost."""
    engine, readings, limits, out = sys.argv[1:5]
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    run = ENGINES[engine]()
    imported, began = memory("VmRSS:"), time.perf_counter()
    before = resource.getrusage(resource.RUSAGE_SELF)
    run(readings, limits, out)
    after = resource.getrusage(resource.RUSAGE_SELF)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    print(json.dumps({"cpu": cpu, "wall": time.perf_counter() - began, "peak": memory("VmHWM:") - imported}))


if __name__ == "__main__":
    main()
