"""A sheet resolved once: what was measured where, and the rows that are true for it."""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from ..build import STAGES, Build, parsed
from ..dataset import Dataset
from ..sheets.placed import Sheet
from . import grid, values
from .case import SAYS, Case, case
from .deriving import derive
from .fits import apart, fits, joined
from .instruments import corrections, instruments
from .scatter import scatters
from .shape import misshapen
from .strips import tapering
from .temperature import Temperatures, temperatures
from .thin import thin
from .unlimited import unlimited
from .values import Means
from .walled import walled


@dataclass(frozen=True)
class Bench:
    """A sheet with everything that follows from it alone: build, stage, instruments, temperatures, cases.

    `unjudged` are forms and sizes that the dataset has for a part on the sheet and that are not judged, with why; at
    the last stage also sizes whose readings show no largest or smallest; and forms that no page limits. `misshapen` are
    the readings of parts that are out of form by limits of two forms together, though neither is measured.
    """

    sheet: Sheet
    data: Dataset
    engine: str
    build: Build
    stage: str
    means: Means
    cases: tuple[Case, ...]
    unjudged: tuple[tuple[Case, str], ...] = ()
    misshapen: frozenset[int] = frozenset()

    @property
    def decision(self) -> str:
        """`guarded` or `simple`."""
        return str(self.sheet.values.get("decision", "guarded"))


def bench(sheet: Sheet, data: Dataset) -> Bench:
    """The sheet resolved; a derived case stands after those that were entered."""
    given, engine = sheet.values, sheet.values["engine"]
    build = parsed(given.get("build", {}), data.units)
    warmth, tools = temperatures(given, data), instruments(given, data)
    groups = _groups(given, data, warmth)
    kinds = {name: tool.kind for name, tool in tools.items()}
    scatter = scatters(kinds, [list(r) for *_, parts in groups for r in parts.values()], data)
    entered = [case(data, engine, build, *g) for g in groups]
    derived, unjudged = derive(entered, data, engine, build)
    made, missing = fits(entered, data, engine, build)
    whole = joined(entered, made, data, engine, build)
    stage, means = given.get("stage", STAGES[0]), Means(tools, scatter, warmth)
    guarded = given.get("decision", "guarded") == "guarded"
    return Bench(
        sheet=sheet,
        data=data,
        engine=engine,
        build=build,
        stage=stage,
        means=means,
        cases=(*whole, *derived, *apart(whole, made)),
        unjudged=(
            *unjudged,
            *missing,
            *walled(entered, made, data, engine, build, given["readings"]),
            *(thin(entered, data) if stage != STAGES[0] else ()),
            *unlimited(entered, data, engine, build, means, given["readings"]),
            *tapering(entered, data, means, given["readings"]),
        ),
        misshapen=misshapen(entered, data, engine, build, means, guarded),
    )


_Group = tuple[str, str, dict[str, str], dict[str, tuple[grid.Reading, ...]]]


def _groups(given: dict[str, Any], data: Dataset, warmth: Temperatures) -> list[_Group]:
    """Readings of one item and place that say the same of their row, by part."""
    shifts = corrections(given, data)
    kinds = {t["id"]: data.keyed("instruments")[t["instrument"]]["kind"] for t in given["instruments"]}
    ends = {t["id"]: values.most_measured(t, data) for t in given["instruments"]}
    groups: defaultdict[tuple[str, ...], defaultdict[str, list[grid.Reading]]] = defaultdict(lambda: defaultdict(list))
    for index, raw in enumerate(given["readings"]):
        key, tool = (raw["item"], raw["position"], *(raw.get(s, "") for s in SAYS)), raw["instrument"]
        made = values.reading(raw, index, data, warmth, kinds[tool], shifts[tool], ends[tool])
        groups[key][raw["part"]].append(made)
    return [
        (key[0], key[1], {s: w for s, w in zip(SAYS, key[2:], strict=True) if w}, {p: tuple(r) for p, r in g.items()})
        for key, g in groups.items()
    ]
