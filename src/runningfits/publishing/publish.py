"""The published form, written whole to a new folder; twice the same bytes."""

import hashlib
import json
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from .. import changes
from ..auditing.rule_pages import pages
from ..auditing.run import audit
from ..dataset import Dataset
from ..files import folder_beside
from ..places import folder
from ..unusable import UnusableError
from . import documents, written
from .about import about
from .database import sqlite_file
from .joined import Table, joined
from .typed import typed


def publish(source: Path, target: Path, last: Path | None = None) -> list[str]:
    """Write the published form of a data folder to a folder that is not there yet; names of the files written.

    It stands there twice: under `v1`, which the next release takes over, and under the version of the data for good.
    `last` is the data folder of the last release, against which the change list is made; without it, the rows are
    counted as added and not listed. Raises UnusableError when the data are not clean or the target is there, OSError
    when it cannot be written; then nothing is left behind.
    """
    if target.exists():
        raise UnusableError(f"{target}: is there already; expected a folder that is not")
    report = audit(source)
    if not report.clean:
        place = report.findings[0].place
        raise UnusableError(f"{source}: {place} has a finding; expected a dataset that the audit passes")
    base = folder_beside(target)
    try:
        _write(source, base / "v1", last)
        shutil.copytree(base / "v1", base / Dataset(source).version)
        base.chmod(0o755)
        base.rename(target)
    except BaseException:
        shutil.rmtree(base, ignore_errors=True)
        raise
    return sorted(p.relative_to(target).as_posix() for p in target.rglob("*") if p.is_file())


def _write(source: Path, base: Path, last: Path | None) -> None:
    data = Dataset(source)
    described = json.loads((source / "datapackage.json").read_text(encoding="utf-8"))
    made = described["created"]
    for name in ("engines", "csv", "parquet", "schema", "rules", "vectors"):
        (base / name).mkdir(parents=True)
    _documents(data, described, base, made)
    listed = joined(data)
    _tables(listed, about(described), base)
    _text(base / "datapackage.json", documents.text(package(described, listed, base)))
    for name, text in pages().items():
        _text(base / "rules" / name, text)
    for path in sorted(folder("schema").glob("*.json")):
        shutil.copyfile(path, base / "schema" / path.name)
    for path in sorted(folder("vectors").glob("*.json")):
        kept = json.loads(path.read_text(encoding="utf-8"))
        _text(base / "vectors" / path.name, documents.text(documents.envelope(data, made, "../schema/vectors") | kept))
    _text(base / "changes.json", documents.text(_changes(source, last, data, made)))
    sums = [f"{_sum(p)}  {p.relative_to(base).as_posix()}" for p in sorted(base.rglob("*")) if p.is_file()]
    _text(base / "SHA256SUMS", "\n".join(sums) + "\n")


def _tables(listed: list[Table], said: dict[str, str], base: Path) -> None:
    """CSV with text as printed; the other forms with numbers as numbers."""
    for table in listed:
        (base / "csv" / f"{table.name}.csv").write_bytes(written.csv_bytes(table))
    reckoned = [typed(t) for t in listed]
    for table in reckoned:
        (base / "parquet" / f"{table.name}.parquet").write_bytes(written.parquet_bytes(table, said))
    sqlite_file(reckoned, base / "runningfits.sqlite", said)
    when = datetime.fromisoformat(said["generated_at"]).astimezone(UTC).replace(tzinfo=None)
    (base / "runningfits.xlsx").write_bytes(written.xlsx_bytes(reckoned, said, when))


def _documents(data: Dataset, described: dict[str, Any], base: Path, made: str) -> None:
    _text(base / "index.json", documents.text(documents.index(data, made)))
    for name in data.engines:
        _text(base / "engines" / f"{name}.json", documents.text(documents.engine(data, name, made)))
    for name in ("quantities", "sources"):
        _text(base / f"{name}.json", documents.text(documents.table(data, name, made)))
    _text(base / "sources.bib", documents.bibtex(data))
    _text(base / "sources.csl.json", documents.text(documents.csl(data)))
    _text(base / "dataset.jsonld", documents.text(documents.metadata(data, described, made)))


def package(described: dict[str, Any], listed: list[Table], base: Path) -> dict[str, Any]:
    """Data Package descriptor of the joined tables, with size and checksum of each file."""
    return described | {"resources": [_resource(t, base) for t in listed]}


def _resource(table: Table, base: Path) -> dict[str, Any]:
    path = base / "csv" / f"{table.name}.csv"
    return {
        "name": table.name,
        "type": "table",
        "title": table.title,
        "description": table.description,
        "path": f"csv/{table.name}.csv",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": path.stat().st_size,
        "hash": f"sha256:{_sum(path)}",
        "schema": {"fields": [c.field for c in table.columns], "primaryKey": list(table.key)},
    }


def _changes(source: Path, last: Path | None, data: Dataset, made: str) -> dict[str, Any]:
    after = changes.read(source)
    before = changes.read(last) if last else changes.Version("0.0.0", {}, {}, {})
    found = changes.changes(before, after)
    told = changes.as_dict(found, before.number, after.number)
    return documents.envelope(data, made, "schema/published-changes") | told | ({} if last else {"changes": []})


def _text(path: Path, content: str) -> None:
    path.write_text(content, encoding="utf-8", newline="\n")


def _sum(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
