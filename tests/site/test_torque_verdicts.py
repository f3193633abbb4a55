"""The bench page judges tightening as the command does: on sheets made by chance of steps of the dataset."""

import random
from fractions import Fraction
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.rows import Row
from runningfits.sheets.faults import SheetError
from runningfits.sheets.measuring import Line, torque_lines

from .test_judge import alike, answers

SEED, SHEETS = 20261127, 400
WRENCHES = [
    {"id": "wrench-1", "instrument": "torque-wrench", "mpe_percent": "4", "unit": "N.m"},
    {"id": "wrench-2", "instrument": "torque-wrench", "mpe_percent": "15", "unit": "lbf.ft"},
    {"id": "wrench-3", "instrument": "torque-wrench", "mpe": "2", "unit": "N.m", "correction": "1"},
    {"id": "wrench-4", "instrument": "torque-wrench", "range_from": "20", "range_to": "100", "unit": "N.m"},
    {"id": "mic-1", "instrument": "outside-micrometer"},
]
SLIPS = (*[1] * 20, 10, Fraction(1, 10), 12, Fraction("1.3558"), 1 / Fraction("1.3558"))
STATES = ("dry", "oiled", "compound", "sealant", "as-received")

Json = dict[str, Any]


class Chance:
    """Sheets of torque lines by chance: whole stages or some of them, values near their ends, now and then a slip."""

    def __init__(self, data: Dataset) -> None:
        self.data, self.random = data, random.Random(SEED)
        self.engines = [e for e in data.engines if data.all_rows(e, "torques")]
        self.ordered = [e for e in self.engines if data.all_rows(e, "sequences")]

    def sheet(self) -> Json:
        chance = self.random
        engine = chance.choice(self.ordered if chance.random() < 0.4 else self.engines)
        build = self.build(engine)
        lines = torque_lines(self.data, engine, parsed(build, self.data.units))
        there = sorted({n.item for n in lines})
        joints = {*chance.sample(there, min(2, len(there))), *self.turned(engine)}
        torques = [t for n in lines if n.item in joints for t in self.lines(n)][:30]
        if chance.random() < 0.3:
            chance.shuffle(torques)
        for line in torques if chance.random() < 0.2 else []:
            line["order"] = chance.randint(1, 8)
        stage = chance.choice(("found", "assembled", "assembled"))
        head: Json = {"engine": engine, "build": build, "stage": stage, "instruments": WRENCHES}
        return head | {"readings": [], "torques": torques}

    def build(self, engine: str) -> Json:
        """A model and some answers by chance, some for one place alone."""
        family, chance = self.data.family(engine), self.random
        fitted = {}
        for question, words in family.questions.items():
            if chance.random() < 0.5:
                word = chance.choice([*words, "other", "unknown"])
                fitted[question] = {"all": word, "2": chance.choice(words)} if chance.random() < 0.2 else word
        model = {"model": chance.choice([*family.models, "unknown"])} if chance.random() < 0.7 else {}
        return model | ({"fitted": fitted} if fitted else {})

    def turned(self, engine: str) -> dict[str, list[str]]:
        """Joints whose order is printed, with the fasteners in it."""
        found: dict[str, list[str]] = {}
        for row in self.data.all_rows(engine, "sequences"):
            found.setdefault(row.item, []).append(row["row"])
        return found

    def lines(self, line: Line) -> list[Json]:
        """A line of the sheet for a printed one, at one place or at some, now and then none or two."""
        chance, row = self.random, self.random.choice(line.rows)
        said = {k: v for k, v in line.said.items() if k != "step" and chance.random() < 0.9}
        turns = self.turned(row.engine).get(line.item, [])
        some = chance.sample(turns, min(3, len(turns))) if chance.random() < 0.5 else []
        whole = chance.choice((line.place, line.place, line.place, "all", "1", "2", "1-2"))
        found = []
        for position in some or [whole] * chance.choice((0, 1, 1, 1, 1, 1, 1, 2)):
            one = {"joint": line.item, "position": position, "step": int(line.said["step"]), **said, **self.set(row)}
            one |= {"thread_state": chance.choice(STATES)} if chance.random() < 0.3 else {}
            one |= {"cycle": chance.choice((1, 2, 3))} if chance.random() < 0.2 else {}
            found.append(one)
        return found

    def set(self, row: Row) -> Json:
        """What was set for a row."""
        chance, data = self.random, self.data
        if row["action"] == "loosen" or not row["unit"]:
            return {"value": chance.choice(("0", "0", "30")), "unit": "N.m", "instrument": "wrench-1"}
        ends = [Fraction(v) for v in (*row.range(), row.value("nominal")) if v is not None]
        about = chance.choice([*ends, sum(ends) / len(ends)]) if ends else Fraction(100)
        value = about * chance.choice(SLIPS) * Fraction(chance.randint(92, 108), 100)
        dimension = data.units[row["unit"]].dimension
        units = [u.unit for u in data.units.values() if u.dimension == dimension]
        unit = row["unit"] if chance.random() < 0.8 else chance.choice(units)
        shown = value * data.units[row["unit"]].factor / data.units[unit].factor
        tool = "mic-1" if dimension == "length" else chance.choice(WRENCHES[:4])["id"]
        return {"value": f"{float(shown):.{chance.choice((0, 1, 3, 4))}f}", "unit": unit, "instrument": tool}


@pytest.fixture(scope="module")
def sheets(data: Dataset) -> list[Json]:
    chance = Chance(data)
    return [s for s in (chance.sheet() for _ in range(SHEETS)) if s["torques"]]


@pytest.fixture(scope="module")
def told(data: Dataset, sheets: list[Json]) -> list[Json]:
    return answers(data, [{"kind": "sheet", "given": {"sheet": s}} for s in sheets])


def wanted(sheet: Json, data: Dataset) -> Json:
    """What the command says of a sheet, as far as the page says it too."""
    try:
        found = rf.check(sheet, data).as_dict()
    except SheetError as error:
        return {"faults": sorted({f.place.partition(".value")[0] for f in error.faults})}
    return {
        "torques": [line(t) for t in found["torques"]],
        "findings": sorted([f["code"], f["severity"], f["column"], f["message"], f["help"]] for f in found["findings"]),
    }


def line(t: Json) -> Json:
    questions = [
        {"question": q["question"], "words": q["words"], "answers": [[a["word"], a["label"]] for a in q["answers"]]}
        for q in t["questions"]
    ]
    kept = {k: t[k] for k in ("joint", "position", "step", "value", "unit", "verdict", "why")}
    row = {k: v for k, v in t["range"].items() if k != "misprints"} if t["range"] else None
    return kept | {"range": row, "others": [r["id"] for r in t["others"]], "questions": questions}


def shown(found: Json) -> Json:
    """What the page says of a sheet, in the same form."""
    if found["faults"]:
        return {"faults": sorted({f["place"].partition(".value")[0] for f in found["faults"]})}
    return {
        "torques": [line(t) for t in found["torques"]],
        "findings": sorted([f["code"], f["severity"], f["place"], f["message"], f["help"]] for f in found["findings"]),
    }


def test_tightening_is_judged_as_by_the_command(data: Dataset, sheets: list[Json], told: list[Json]) -> None:
    apart = []
    verdicts, codes = set(), set()
    for sheet, found in zip(sheets, told, strict=True):
        want, seen = wanted(sheet, data), shown(found)
        if not alike(seen, want):
            apart.append((sheet, seen, want))
        verdicts |= {t["verdict"] for t in want.get("torques", ())}
        codes |= {f[0] for f in want.get("findings", ())}
    assert not apart, apart[0]
    assert verdicts >= {"followed", "low", "high", "cannot-tell", "out-of-order", "bad-entry", "no-range", "which-row"}
    assert codes >= {f"B2{n:02}" for n in range(1, 13)}
