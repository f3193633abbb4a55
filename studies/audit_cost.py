"""Cost study: the whole audit (form, keys, rules) and the same schema checks in frictionless, on a grown dataset.

Run as `python studies/audit_cost.py`; both are timed in one run, at about 5,000 and 10,000 rows.
"""

import shutil
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import runningfits as rf
from runningfits import tables
from runningfits.places import folder
from runningfits.tidy import tidy

ROUNDS = 3


def grown(base: Path, wanted: int) -> tuple[Path, int]:
    """A dataset with about so many rows: engines copied under other names, and how many rows it has."""
    data = shutil.copytree(folder("data"), base / f"data-{wanted}")
    engines = tables.rows(data / "engines.csv")
    rows = sum(rf.audit(data).rows.values())
    text = (data / "engines.csv").read_text(encoding="utf-8").splitlines()
    copy = 0
    while rows < wanted:
        engine = engines[copy % len(engines)]["engine"]
        name = f"{engine}-copy-{copy}"
        shutil.copytree(data / "engines" / engine, data / "engines" / name)
        line = next(t for t in text if t.startswith(f"{engine},"))
        text.append(line.replace(engine, name, 1))
        rows += sum(len(tables.rows(p)) for p in (data / "engines" / name).glob("*.csv"))
        copy += 1
    (data / "engines.csv").write_text("\n".join(text) + "\n", encoding="utf-8")
    tidy(data)
    return data, rows


def best(work: Callable[[], object]) -> float:
    """Least of a few times, in seconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the times and the ratios."""
    from frictionless import Package

    with tempfile.TemporaryDirectory() as base:
        data, n = grown(Path(base), 5000)
        larger, m = grown(Path(base), 10000)
        first = best(lambda: rf.audit(data))
        second = best(lambda: rf.audit(larger))
        start = time.perf_counter()
        Package(str(data / "datapackage.json")).validate()
        outside = time.perf_counter() - start
    print(f"{n} rows: audit {first:.2f} s, frictionless alone {outside:.2f} s, ratio {first / outside:.2f}")
    print(f"{m} rows: audit {second:.2f} s; {m / n:.2f} times the rows take {second / first:.2f} times as long")


if __name__ == "__main__":
    main()
