"""JSON Schemas of the published documents: every document is valid, spoilt ones are not; in Python and in Node."""

import copy
import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from runningfits.publishing import schemas

from ..site.tools import needed

Document = dict[str, Any]

CHANGE = {"kind": "added", "table": "sizes", "row": "a/b/all@c:1", "old": {}, "new": {"lower": "1"}, "why": ""}

SPOILT: dict[str, tuple[str, Callable[[Document], object]]] = {
    "no version": ("index", lambda d: d.pop("data_version")),
    "a version that is none": ("index", lambda d: d.update(schema_version="1.0.0")),
    "an unknown key": ("index", lambda d: d["engines"][0].update(colour="red")),
    "a count below zero": ("index", lambda d: d["engines"][0]["counts"].update(ranges=-1)),
    "a number that is no text": ("engine", lambda d: d["ranges"][0].update(lower=19.003)),
    "a number with a sign too many": ("engine", lambda d: d["ranges"][0].update(lower="+19.003")),
    "no id": ("engine", lambda d: d["ranges"][0].pop("id")),
    "an id without a page": ("engine", lambda d: d["ranges"][0].update(id="cummins-ntc-400/block-height/all")),
    "an unknown class": ("engine", lambda d: d["ranges"][0].update({"class": "worn"})),
    "a torque among the ranges": ("engine", lambda d: d["ranges"].append(d["torques"][0])),
    "a citation without an address": ("engine", lambda d: d["torques"][0]["cite"].pop("address")),
    "a row without its words": ("engine", lambda d: d["ranges"][0].pop("speaks_of")),
    "a repair size that is no number": ("engine", lambda d: d["ranges"][0].update(size="undersize")),
    "a model without a name": ("engine", lambda d: d["models"][0].update(label=None)),
    "a document of no kind of naming": ("engine", lambda d: d["covers"][0].update(named_by="guess")),
    "an empty note": ("quantities", lambda d: d["quantities"][0].update(caution="")),
    "an unknown kind of document": ("sources", lambda d: d["sources"][0].update(kind="forum")),
    "an unknown kind of change": ("changes", lambda d: d["changes"].append({**CHANGE, "kind": "moved"})),
}


def load(path: Path) -> Document:
    found: Document = json.loads(path.read_text(encoding="utf-8"))
    return found


def documents(v1: Path) -> Iterator[tuple[str, Path]]:
    """Name of the schema and path of each document."""
    for name in ("index", "quantities", "sources", "changes"):
        yield name, v1 / f"{name}.json"
    yield from (("engine", path) for path in sorted((v1 / "engines").iterdir()))


def spoilt(v1: Path, case: str) -> tuple[str, Document]:
    name, change = SPOILT[case]
    path = v1 / "engines" / "cummins-ntc-400.json" if name == "engine" else v1 / f"{name}.json"
    document = copy.deepcopy(load(path))
    change(document)
    return name, document


def validator(v1: Path, name: str) -> Draft202012Validator:
    return Draft202012Validator(load(v1 / "schema" / f"published-{name}.json"))


def test_the_schemas_are_those_that_the_tables_give(root: Path) -> None:
    made = schemas.published()
    assert {p.name for p in (root / "schema").glob("published-*.json")} == set(made)
    for name, found in made.items():
        Draft202012Validator.check_schema(found)
        assert load(root / "schema" / name) == found, "run: python -m runningfits.publishing.schemas schema"


def test_every_document_is_valid(v1: Path) -> None:
    checks = {n: validator(v1, n) for n in ("index", "engine", "quantities", "sources", "changes")}
    faults = [(p.name, e.json_path, e.message) for n, p in documents(v1) for e in checks[n].iter_errors(load(p))]
    assert faults == []


@pytest.mark.parametrize("case", SPOILT)
def test_a_spoilt_document_is_refused(v1: Path, case: str) -> None:
    name, document = spoilt(v1, case)
    assert not validator(v1, name).is_valid(document)


def test_ids_are_unique(v1: Path) -> None:
    ids = [r["id"] for n, p in documents(v1) if n == "engine" for t in ("ranges", "torques", "sequences")
           for r in load(p)[t]]  # fmt: skip
    assert len(ids) == len(set(ids)) > 2000


def described(schema: Any) -> Iterator[Any]:
    if isinstance(schema, dict):
        for value in schema.get("properties", {}).values():
            yield value
        for value in schema.values():
            yield from described(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from described(value)


def test_every_document_leads_to_its_schema(v1: Path) -> None:
    """The address is relative, so it holds at every copy; the schema's own id is its name there."""
    for path in (*(p for _, p in documents(v1)), *(v1 / "vectors").iterdir()):
        form = (path.parent / load(path)["$schema"]).resolve()
        assert load(form)["$id"] == form.name
        assert Draft202012Validator(load(form)).is_valid(load(path)), path.name


def test_every_json_schema_has_its_name_as_id(root: Path) -> None:
    forms = [p for p in (root / "schema").iterdir() if "json-schema.org" in load(p)["$schema"]]
    assert len(forms) >= 10
    assert [p.name for p in forms] == [load(p)["$id"] for p in forms]


def test_every_property_is_described() -> None:
    found = [p for s in schemas.published().values() for p in described(s)]
    assert len(found) > 100
    assert [p for p in found if not (p.get("description") or p.get("title"))] == []


NODE = """
const Ajv = require("ajv/dist/2020");
const { readFileSync } = require("node:fs");
const read = (path) => JSON.parse(readFileSync(path, "utf-8"));
const ajv = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true });
const checks = {};
for (const [name, path] of read(process.argv[2])) {
  checks[name] ??= ajv.compile(read(`${process.argv[3]}/published-${name}.json`));
  console.log(checks[name](read(path)) ? "valid" : "refused");
}
"""


def test_a_validator_in_node_says_the_same(v1: Path, tmp_path: Path) -> None:
    node = shutil.which("node")
    needed("node", node is not None)
    found = subprocess.run([str(node), "-e", "require('ajv/dist/2020')"], capture_output=True, check=False)
    needed("ajv (npm)", found.returncode == 0)
    good = [(n, str(p)) for n, p in documents(v1)]
    bad = []
    for n, case in enumerate(SPOILT):
        name, document = spoilt(v1, case)
        (tmp_path / f"{n}.json").write_text(json.dumps(document), encoding="utf-8")
        bad.append((name, str(tmp_path / f"{n}.json")))
    (tmp_path / "list.json").write_text(json.dumps(good + bad), encoding="utf-8")
    (tmp_path / "check.cjs").write_text(NODE, encoding="utf-8")
    command = [str(node), str(tmp_path / "check.cjs"), str(tmp_path / "list.json"), str(v1 / "schema")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == ["valid"] * len(good) + ["refused"] * len(bad)
