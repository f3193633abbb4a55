"""Closed lists that the words of a bench sheet are of, each word with the names that people give it."""

import re
from collections.abc import Callable, Collection, Mapping
from functools import cached_property

from ..build import STAGES, UNKNOWN
from ..choosing import NONE
from ..dataset import Dataset
from ..engine_models import MODEL, OTHER
from ..near import Words, key
from ..rows import document_words

Names = dict[str, tuple[str, ...]]
"""Words with their names."""

NO_WORD: Names = {NONE: ("none of these",)}

LISTS = {
    "class": "instruments",
    "quantity": "quantities",
    "joint": "joints",
    "material": "materials",
    "state": "states",
    "method": "methods",
    "purpose": "purposes",
    "repair": "repairs",
}
"""Tables of the dataset by the kind of list that their words are."""

GIVEN: dict[str, Names] = {
    "stage": dict.fromkeys(STAGES, ()),
    "decision": {"guarded": (), "simple": ()},
    "part": {"bore": (), "shaft": (), "gap": (), "strip": ()},
    "range": {c: (f"{c} range",) for c in ("new", "desired", "repair", "selective")},
    "thread": {"as-received": ("as received",)} | dict.fromkeys(("dry", "oiled", "compound", "sealant"), ()),
}
"""Closed lists that stand in the schema of the sheet."""

SPELLED = {
    "in": ("in.", '"', "″", "''", "inch", "inches"),
    "mm": ("mm.", "millimeter", "millimeters", "millimetres"),
    "thou": ("thous", "mil", "mils"),
    "N.m": ("N m", "N·m", "Nm", "newton meter", "newton metres"),
    "lbf.ft": ("lb-ft", "ft-lb", "ft-lbs", "ft.lbf", "lbs-ft", "foot pound", "pound foot", "foot pounds"),
    "lbf.in": ("lb-in", "in-lb", "in-lbs", "in.lbf", "lbs-in", "inch pound", "pound inch", "inch pounds"),
    "deg": ("°", "degrees"),
    "arcmin": ("min", "′", "minute", "minutes", "minutes of arc"),
    "um": ("µm", "μm", "micron", "microns"),
}
"""Units as people write them, besides their names and labels."""


class Vocabulary:
    """The closed lists that a sheet's words are of, for one engine where it is known."""

    def __init__(self, data: Dataset, engine: str) -> None:
        """Take the lists of a dataset; models, parts and documents are the engine's."""
        self.data = data
        self.engine = engine
        self.family = data.family(engine) if engine in data.engines else None

    def words(self, kind: str) -> Words | None:
        """The closed list of a kind such as `quantity` or `answer piston`; None where there is none."""
        if kind not in self._lists:
            self._lists[kind] = self._made(kind)
        return self._lists[kind]

    @cached_property
    def _lists(self) -> dict[str, Words | None]:
        return {}

    def _made(self, kind: str) -> Words | None:
        names = self._of_schema(kind) or self._of_data(kind) or (self._of_family(kind) if self.family else None)
        return Words(names, self.data.synonyms if kind in LISTS else ()) if names else None

    def _of_schema(self, kind: str) -> Names | None:
        return GIVEN.get(kind)

    def _of_data(self, kind: str) -> Names | None:
        data = self.data
        if kind in LISTS:
            none = NO_WORD if kind in ("state", "method") else {}
            return {w: (r["label"],) for w, r in data.keyed(LISTS[kind]).items()} | none
        made: dict[str, Callable[[], Names]] = {
            "named place": lambda: self._positions("place"),
            "which": lambda: self._positions("place") | self._positions("which") | NO_WORD,
            "unit": lambda: {u.unit: (u.unit, u.label, *SPELLED.get(u.unit, ())) for u in data.units.values()},
            "engine": lambda: {e: data.engine_names(e) for e in ([self.engine] if self.family else data.engines)},
            "guide": lambda: self._documents({g["source"] for g in data.table("guides")}),
        }
        return made[kind]() if kind in made else None

    def _documents(self, sources: Collection[str]) -> Names:
        known = self.data.keyed("sources")
        return {s: _document(known[s]) for s in known if s in sources}

    def _positions(self, kind: str) -> Names:
        return {w: (r["label"],) for w, r in self.data.keyed("positions").items() if r["kind"] == kind}

    def which_of(self, thing: str, text: str) -> str:
        """What was expected instead of a text that tells one of several, of a quantity or joint of the engine."""
        rows = [r for t in ("sizes", "clearances", "torques") for r in self.data.all_rows(self.engine, t)]
        told = {w for r in rows if r.item == thing for w in (r["which"], *r["position"].split("/"))}
        every = self._positions("place") | self._positions("which")
        own = {w: names for w, names in every.items() if w in told - {"all"}}
        nothing = "nothing: the engine's pages name none of it apart; what is fitted stands in the build"
        return Words(own).expected(text) if own else nothing

    def _of_family(self, kind: str) -> Names | None:
        family = self.family
        assert family
        if kind == MODEL:
            models = family.models.values()
            return {m.model: m.names for m in models} | {UNKNOWN: (UNKNOWN,)}
        if kind == "question":
            return {q: (q.replace("-", " "),) for q in family.questions}
        if kind == "document":
            return self._documents(family.covers)
        if kind == "screw":
            return dict.fromkeys(threads(self.data, self.engine), ()) | NO_WORD
        question = kind.removeprefix("answer ")
        answers = dict.fromkeys((*family.questions.get(question, ()), OTHER, UNKNOWN))
        return {a: (family.label(question, a), a.replace("-", " ")) for a in answers} if len(answers) > 2 else None


def threads(data: Dataset, engine: str) -> list[str]:
    """Threads that an engine's pages print, as they do, and behind them the others of the dataset's tables."""
    printed = sorted({r["thread"] for r in data.all_rows(engine, "torques") if r["thread"]})
    return [*printed, *(t for t in known_threads(data) if key(t) not in set(map(key, printed)))]


def known_threads(data: Dataset) -> list[str]:
    """Threads of the tables that are no engine's."""
    return sorted({r["thread"] for table in ("threads", "general_torques") for r in data.table(table)})


def _document(source: Mapping[str, str]) -> tuple[str, ...]:
    return (document_words(source["number"], source["title"]), source["title"], *_listed(source["number"]))


def unit_word(text: str, units: Words) -> str | None:
    """The unit that a text names, also by its sign such as `"`; None where it names none."""
    return next((u for u, names in SPELLED.items() if text.strip() in names), None) or units.meant(text)


def tool_words(tool: str, data: Dataset) -> str:
    """An instrument of a sheet for people: its class's label and its number, or the name that the sheet gives it."""
    name, _, number = tool.rpartition("-")
    classes = data.keyed("instruments")
    return f"{classes[name]['label']}, no. {number}" if name in classes and number.isdigit() else tool


def _listed(text: str) -> list[str]:
    """Names of a cell that lists them."""
    return [n for part in re.split("[;,]", text) if (n := part.strip())]
