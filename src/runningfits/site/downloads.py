"""The page of downloads: what there is, and examples that tests run."""

from pathlib import Path

from ..dataset import Dataset
from .html import CAUTION, link, page, table, text

FORMS = (
    ("v1/index.json", "the engines, with counts and the address of each document", "tools that look one engine up"),
    ("v1/engines/", "a JSON document an engine: ranges, steps, orders, citations, misprints", "tools, phones"),
    ("v1/quantities.json", "what each fit, part or form is, and how it is measured", "tools"),
    ("v1/sources.json", "the documents; also as BibTeX and CSL-JSON", "tools, papers"),
    ("v1/csv/", "every table, the engines joined", "any language, spreadsheets"),
    ("v1/parquet/", "the same tables with numbers as numbers, text as printed beside", "data frames"),
    ("v1/runningfits.sqlite", "the same as a database with keys and, in the views cited_…, citations", "SQL"),
    ("v1/runningfits.xlsx", "the same as a workbook, a sheet each", "spreadsheets"),
    ("v1/datapackage.json", "the Data Package descriptor: columns, keys, size and checksum of each file", "validators"),
    ("v1/schema/", "JSON Schemas of the documents, Table Schemas of the source tables", "validators, code generators"),
    ("v1/vectors/", "readings with the verdict that any other program must give too", "other implementations"),
    ("v1/rules/", "a page a rule", "contributors"),
    ("v1/changes.json", "rows added, changed, withdrawn, renamed since the last release", "whoever keeps a copy"),
    ("v1/dataset.jsonld", "schema.org metadata", "catalogues"),
    ("v1/SHA256SUMS", "a checksum a file", "whoever keeps a copy"),
)
"""What is published: address, what it is, for whom."""

FILES = {"v1/sources.json": ("v1/sources.bib", "v1/sources.csl.json")}

EXAMPLES = (
    ("Python, standard library", "range.py", "python", "python range.py"),
    ("Python, a data frame across engines", "across.py", "python", "python across.py"),
    ("R", "range.R", "r", "Rscript range.R"),
    ("SQL", "range.sql", "sql", "sqlite3 v1/runningfits.sqlite < range.sql"),
    ("JavaScript", "range.mjs", "javascript", "node range.mjs"),
)
"""Title, file, language, and command of each example, run beside the folder `v1`."""

TERMS = """\
Addresses under `v1/` stay as they are; what breaks them would be `v2/`. The same files stand under the version of
the data, such as `1.0.0/`: cite these, they do not change; whoever serves a new release keeps the folders of the
earlier ones. Every document names its schema (`$schema`), and bears `schema_version` (its
first number rises when a column goes or changes its meaning), `data_version` and `generated_at`, the date of the
data. Numbers in JSON and CSV are **text, exactly as printed**, trailing zeros and all: read them as decimals, never
as floats, if you show them. In Parquet, SQLite and XLSX the column (`lower`) is a number in the printed unit,
misprints too, and the text as printed stands beside it (`lower_text`); words that SQL reserves have another name
there (`limit` is `wear_limit`). Each of these files tells its versions, licence and caution: the table `about`,
Parquet's metadata, the workbook's first sheet. The columns that end in `_si` are derived, in SI units, a registered
misprint corrected.
For which models, parts and repair size a row holds stands in `which`, `applies` and `size`, and in words in
`speaks_of`; an empty `applies` means what `covers` says of the document, and `doubt` what no page says of that. A
row's id is `engine/quantity/position[/what tells it apart]@source:page`; one that changes is in `renamed.csv`. A
changed number is news and raises the second number of the version: see [changes](changes.md). The data are CC0-1.0;
citing the row's own page is what helps your reader."""


def pages(data: Dataset, examples: Path) -> dict[str, str]:
    """The page; `examples` is the folder with the example files and what they print."""
    rows = [[_links(address), text(what), text(whom)] for address, what, whom in FORMS]
    body = [
        f"Version {data.version} of the data, whole or in part. The site's own folder has them all, so a copy of the "
        "site on a stick has them too.",
        table(("Address", "What it is", "For"), rows),
        TERMS,
        "In Python, `pip install` of the package gives the same rows as objects, and the bench: "
        "[the library](api/index.md).",
        CAUTION,
        "## Examples",
        "Each answers a question a user has, run in the folder that has `v1`.",
    ]
    for example in EXAMPLES:
        body += _example(examples, *example)
    return {"downloads.md": page("Downloads", body)}


def _links(address: str) -> str:
    """Links to files; a folder is named, since not every server lists one."""
    files = [a for a in (address, *FILES.get(address, ())) if not a.endswith("/")]
    return "<br>".join(link(a, f"<code>{text(a)}</code>") for a in files) or f"<code>{text(address)}</code>"


def _example(folder: Path, title: str, file: str, language: str, command: str) -> list[str]:
    code = (folder / file).read_text(encoding="utf-8").rstrip()
    printed = (folder / f"{file}.out").read_text(encoding="utf-8").rstrip()
    return [f"### {title}", f"```{language}\n{code}\n```", f"```text\n$ {command}\n{printed}\n```"]
