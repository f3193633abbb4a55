"""The search: sixty builders' queries with the answer that each wants first, misses, and what it weighs."""

import csv
import gzip
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.needs import missing
from runningfits.shown import range_text
from runningfits.site import searching
from runningfits.site.both_units import shown
from runningfits.trade import trade_words

from .tools import node

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def script(data: Dataset) -> str:
    return searching.pages(data)[searching.SCRIPT]


def asked(script: str, *queries: str, chosen: str = "") -> list[dict[str, Any]]:
    told = json.dumps({"script": script, "jobs": [{"query": q, "chosen": chosen} for q in queries]})
    command = [node(), str(HERE / "search_runner.js")]
    done = subprocess.run(command, input=told, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def lead(answers: list[dict[str, Any]]) -> tuple[str, str, str]:
    """Kind, engine and thing of the first answer."""
    if not answers:
        return "none", "", ""
    first = answers[0]
    return first["kind"], first["engine"], first["item"] or first["document"]


def test_sixty_queries_of_builders_have_the_wanted_answer_first(script: str) -> None:
    with (HERE / "queries.csv").open(encoding="utf-8", newline="") as file:
        wanted = list(csv.DictReader(file))
    assert len(wanted) >= 60
    found = [lead(f["answers"]) for f in asked(script, *(w["query"] for w in wanted))]
    pairs = [(w["query"], first, (w["kind"], w["engine"], w["found"])) for w, first in zip(wanted, found, strict=True)]
    assert [p for p in pairs if p[1] != p[2]] == []


def test_an_answer_shows_the_range_with_its_page(script: str, data: Dataset) -> None:
    (found,) = asked(script, "ntc 400 main bearing clearance")
    first = found["answers"][0]
    (row,) = data.rows("cummins-ntc-400", "main-bearing-clearance")
    values, limit = (shown(t) for t in range_text(row, data))
    assert (first["range"], first["limit"], first["cite"]) == (values, limit, row.cite.text)


def test_a_stage_without_a_number_is_a_word_among_the_stages(script: str) -> None:
    (found,) = asked(script, "ntc400 rod bolt torque")
    assert "; then loosen; then 25 to 30" in found["answers"][0]["range"]


def test_a_fit_is_followed_by_its_lines_the_chosen_engine_first(script: str) -> None:
    (found,) = asked(script, "end float", chosen="cummins-ntc-400.html")
    kinds = [a["kind"] for a in found["answers"]]
    assert kinds[:2] == ["line", "item"] and kinds.count("line") > 5
    assert found["answers"][0]["engine"] == "Cummins NTC-400"
    assert all(a["range"] or a["limit"] for a in found["answers"] if a["kind"] == "line")


def test_what_an_engine_lacks_is_said_with_what_was_looked_for(script: str, data: Dataset) -> None:
    (need,) = [n for n in missing(data, "perkins-4-108") if n.need == "main-bearing-clearance"]
    (found,) = asked(script, "perkins 4108 main bearing clearance")
    assert found["missing"] == {
        "engine": "Perkins 4.108",
        "item": "Main bearing oil clearance",
        "sought": need.words,
    }
    assert "looked for on" in need.words


def test_what_nobody_calls_so_is_named(script: str) -> None:
    (found,) = asked(script, "zzqq ring gap")
    assert found["unmet"] == ["zzqq"]
    assert lead(found["answers"])[2] == "Ring end gap"


def test_the_documents_are_light(script: str) -> None:
    assert len(gzip.compress(script.encode())) <= 100_000


def test_every_synonym_stands_for_a_label_of_ours(data: Dataset) -> None:
    """A line of the table that no label bears finds nothing."""
    labels = [*(q["label"] for q in data.quantities.values()), *(j["label"] for j in data.joints.values())]
    idle = [(t, h) for t, h in data.synonyms if not any(trade_words(n, [(t, h)]) for n in labels)]
    assert idle == []
