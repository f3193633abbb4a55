"""The torque card: what it must bear, and what must not stand on it."""

import re

from runningfits.auditing.form import schema
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.shown import REUSE
from runningfits.site import prints


def test_every_word_about_reuse_is_told() -> None:
    (field,) = [f for f in schema(folder("schema"), "torques")["fields"] if f["name"] == "reuse"]
    assert set(field["constraints"]["enum"]) == set(REUSE)


def test_a_passed_over_step_is_not_on_the_card(data: Dataset) -> None:
    over = {c["over"] for c in data.table("choices")}
    rows = data.all_rows("continental-avds-1790", "torques")
    card = prints.card(data, "continental-avds-1790")
    passed = {r["page"] for r in rows if r.id in over} - {r["page"] for r in rows if r.id not in over}
    assert passed
    assert [p for p in passed if p in card] == []


def test_what_is_only_for_measuring_makes_no_card(data: Dataset) -> None:
    assert {r["purpose"] for r in data.all_rows("hercules-d298er", "torques")} == {"measuring"}
    assert [p for p in prints.pages(data) if "hercules-d298er-card" in p] == []


def test_single_use_fasteners_and_notes_are_told(data: Dataset) -> None:
    told = re.sub(r"<[^>]*>", " ", prints.card(data, "john-deere-6105-6125"))
    assert "new fasteners" in told
    notes = [r["note"] for r in prints.final(data, "deutz-912") if r["note"]]
    assert any("left-hand thread" in n for n in notes)
    assert "left-hand thread" in prints.card(data, "deutz-912")
