"""The torque card: what it must bear, and what must not stand on it."""

import re

from runningfits.auditing.form import schema
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.shown import REUSE
from runningfits.site import card_joints, prints


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
    assert {r["purpose"] for r in data.all_rows("yamaha-f30-f40", "torques")} == {"measuring"}
    assert prints.final(data, "yamaha-f30-f40") == []
    assert prints.final(data, "cummins-b-series", Build("6bt")) != []
    assert {r["purpose"] for r in prints.final(data, "cummins-b-series", Build("6bt"))} == {""}


def test_models_that_differ_have_prints_of_their_own(data: Dataset) -> None:
    assert list(prints.builds(data, "cummins-b-series")) == ["4b", "4bt", "6b", "6bt", "dodge-5-9-diesel"]
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


def test_the_clerk_s_notes_are_not_on_a_card_and_the_mechanic_s_are(data: Dataset) -> None:
    card = prints.card(data, "cummins-b-series", Build("6bt"))
    assert "inner page" not in card and "lost in the scan" not in card
    assert "two capscrews alternately" in card and "order only drawn" in card
    kept = {
        "also printed 8.4 kgf.m; torque on a peg spanner": ["torque on a peg spanner"],
        "printed wet, engine oil on the nut thread": ["printed wet, engine oil on the nut thread"],
        "final tightening is on a page not read": ["final tightening is on a page not read"],
        "tolerance sign lost in the scan; printed also as 1/4 turn": ["tolerance sign lost in the scan"],
    }
    assert {note: card_joints.worked(note) for note in kept} == kept


def test_no_note_about_the_work_is_taken_for_the_clerk_s(data: Dataset) -> None:
    """Nothing that oils, loosens, replaces, checks, turns over or leaves open is dropped from any engine's card."""
    notes = {r["note"] for e in data.engines for r in data.all_rows(e, "torques")}
    dropped = {c for n in notes for c in n.split("; ") if c and c not in card_joints.worked(n)}
    assert len(dropped) > 30
    work = re.compile(r"oil|dry|left-hand|new|loosen|final|tighten|replace|check|not read|disagree|only|never")
    assert [c for c in dropped if work.search(c)] == []


def test_stages_of_several_kinds_of_bolts_stand_in_the_order_of_the_work(data: Dataset) -> None:
    """A head whose long bolts have stages of their own between those of all bolts is one joint, from 1 to 5."""
    card = prints.card(data, "cummins-b-series", Build("6bt"))
    heads = re.findall(r"<h3>Cylinder head[^<]*</h3><ol[^>]*>(.*?)</ol>", card)
    (head,) = [re.findall(r'<li value="(\d)">(.*?)</li>', h) for h in heads]
    assert [n for n, _ in head] == ["1", "2", "3", "4", "5"]
    assert "long bolts" in head[2][1] and "long bolts" not in head[0][1]
    assert "checked again" in head[1][1], "what belongs to a stage stands beside it"


def test_kinds_of_bolts_with_counts_of_their_own_stay_apart(data: Dataset) -> None:
    """Steps that would stand twice in one count are not mixed."""
    for engine in data.engines:
        for steps in card_joints.together(prints.final(data, engine)):
            if len({r["which"] for r in steps}) > 1:
                assert [r["step"] for r in steps] == [str(n + 1) for n in range(len(steps))], engine


def test_a_number_that_nobody_knows_is_said_to_be_so(data: Dataset) -> None:
    card = prints.card(data, "cummins-b-series", Build("6bt"))
    unknown = [s for s in re.findall(r"<li[^>]*>(.*?)</li>", card) if "?" in s]
    assert len(unknown) == 2
    assert [
        s for s in unknown if "go by the maker&#39;s book" not in s and "go by the maker&#x27;s book" not in s
    ] == []


def test_what_several_documents_print_alike_stands_once_with_every_page(data: Dataset) -> None:
    card = prints.card(data, "kohler-command-ch18-745", Build("ch740"))
    alike = re.findall(r"<h3>Intake manifold</h3>.*?<p class=\"small\">(.*?)</p>", card)
    assert len(alike) == 2, "oiled on one page, not said on two others"
    assert any("CH18-745, p. 1.9" in pages and "CH18-750, p. 1.9" in pages for pages in alike)
