"""What a builder needs first of an engine, what of it the data have, and what was looked for in vain.

`python -m runningfits.needs > docs/coverage.md` writes the table of coverage, family by need.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from .dataset import Dataset
from .places import folder


@dataclass(frozen=True)
class Need:
    """A need of one family: its words, its rows, those of the two parts of a fit, when it was sought in vain."""

    need: str
    label: str
    rows: int
    parts: int
    sought_on: str
    note: str

    @property
    def met(self) -> bool:
        """Whether a page gives it: as such, or by the sizes of both parts."""
        return bool(self.rows or self.parts)

    @property
    def words(self) -> str:
        """What is to be said of it: the rows, or what was tried."""
        if self.rows:
            return f"{self.rows} row{'' if self.rows == 1 else 's'}"
        if self.parts:
            return f"by the sizes of both parts, {self.parts} rows"
        return f"looked for on {self.sought_on}, no page found" if self.sought_on else "not looked for"


def needs(data: Dataset, engine: str) -> list[Need]:
    """Each need of an engine, in the order of assembly; raises NotInDatasetError for an unknown engine."""
    have: dict[str, int] = {}
    for row in data.rows(engine):
        if not row.cells.get("purpose"):
            have[row.item] = have.get(row.item, 0) + 1
    sought = {r["need"]: r for r in data.sought(engine)}
    return [
        Need(
            need=r["need"],
            label=r["label"],
            rows=sum(have.get(i, 0) for i in r["items"].split()),
            parts=max(_parts(i, have, data) for i in r["items"].split()),
            sought_on=sought.get(r["need"], {}).get("sought_on", ""),
            note=sought.get(r["need"], {}).get("note", ""),
        )
        for r in sorted(data.table("needs"), key=lambda r: int(r["order"]))
    ]


def _parts(item: str, have: Mapping[str, int], data: Dataset) -> int:
    """How many rows the bore and the shaft of a fit have; 0 where one of the two has none."""
    fit = data.quantities.get(item, {})
    bore, shaft = (sum(have.get(i, 0) for i in fit.get(side, "").split()) for side in ("outer", "inner"))
    return bore + shaft if bore and shaft else 0


def missing(data: Dataset, engine: str) -> list[Need]:
    """The needs of an engine that no row meets."""
    return [n for n in needs(data, engine) if not n.met]


def page(data: Dataset) -> str:
    """The table of coverage in Markdown: how many rows each family has for each need."""
    return "\n".join(_lines(data)) + "\n"


def _lines(data: Dataset) -> Iterator[str]:
    found = {e: needs(data, e) for e in sorted(data.engines)}
    labels = [r["label"] for r in sorted(data.table("needs"), key=lambda r: int(r["order"]))]
    yield "# What a builder needs first, family by family"
    yield ""
    yield "How many rows each family has for each need; in brackets: no range of the fit, but the sizes of both parts."
    yield "A dash: looked for, no page found. A blank: not looked for."
    yield "Made from the data by `python -m runningfits.needs > docs/coverage.md`."
    yield ""
    yield f"| need | families with it, of {len(found)} | share | of these by both parts alone |"
    yield "| --- | --- | --- | --- |"
    for number, label in enumerate(labels):
        of = [n[number] for n in found.values()]
        have = sum(n.met for n in of)
        yield f"| {label} | {have} | {round(100 * have / len(found))} % | {sum(not n.rows for n in of if n.met)} |"
    yield ""
    yield f"| family | {' | '.join(labels)} |"
    yield f"| --- |{' --- |' * len(labels)}"
    for engine, each in found.items():
        named = data.engines[engine]
        cells = [_cell(n) for n in each]
        yield f"| {named['maker']} {named['designation']} | {' | '.join(cells)} |"


def _cell(need: Need) -> str:
    if need.met:
        return str(need.rows or f"({need.parts})")
    return "–" if need.sought_on else ""


if __name__ == "__main__":
    print(page(Dataset(folder("data"))), end="")
