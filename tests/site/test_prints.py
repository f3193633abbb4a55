"""The torque card: what it must bear, and what must not stand on it."""

import re

from runningfits.auditing.form import schema
from runningfits.build import Build
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
    assert prints.final(data, "hercules-d298er") == []
    assert prints.final(data, "cummins-b-series", Build("6bt")) != []
    assert {r["purpose"] for r in prints.final(data, "cummins-b-series", Build("6bt"))} == {""}


def test_models_that_differ_have_prints_of_their_own(data: Dataset) -> None:
    assert list(prints.builds(data, "cummins-b-series")) == ["4b", "4bt", "6b", "6bt"]
    assert list(prints.builds(data, "shibaura-n843")) == [""]
    assert 'href="prints/cummins-b-series-6bt-sheet-a4.html"' in prints.listed(data)
    assert prints.links(data, "cummins-b-series") == []
    assert [k for k in prints.links(data, "shibaura-n843") if "shibaura-n843-sheet-letter.html" in k]


def test_a_model_s_card_has_no_step_of_another(data: Dataset) -> None:
    """Every step of a card is true for its model, and none that is true for it is left out."""
    for engine in data.engines:
        for model, build in prints.builds(data, engine).items():
            family = data.family(engine)
            steps = prints.final(data, engine, build)
            if model:
                assert [r.id for r in steps if model not in family.speaks(r).models] == []
    four = {r["page"] for r in prints.final(data, "detroit-53-inline", Build("4-53"))}
    three = {r["page"] for r in prints.final(data, "detroit-53-inline", Build("3-53"))}
    assert four and three


def test_a_card_is_headed_by_its_model(data: Dataset) -> None:
    assert "<h1>Cummins 6BT 5.9 " in prints.card(data, "cummins-b-series", Build("6bt"))
    assert "<h1>Cummins B3.9 and B5.9 " in prints.card(data, "cummins-b-series")


def test_what_no_page_says_stands_on_the_card(data: Dataset) -> None:
    told = prints.card(data, "cummins-b-series", Build("6bt"))
    assert "the pages do not tell for which of 4B 3.9, 4BT 3.9, 6B 5.9, 6BT 5.9" in told


def test_single_use_fasteners_and_notes_are_told(data: Dataset) -> None:
    told = re.sub(r"<[^>]*>", " ", prints.card(data, "john-deere-6105-6125"))
    assert "new fasteners" in told
    notes = [r["note"] for r in prints.final(data, "deutz-912") if r["note"]]
    assert any("left-hand thread" in n for n in notes)
    assert "left-hand thread" in prints.card(data, "deutz-912")
