"""Members of an engine family, what its documents cover, and the questions about what is fitted."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .rows import Row

OTHER = "other"
"""An answer to every question: a part that no row names."""

MODEL = "model"
"""The question which member of the family stands on the bench."""


@dataclass(frozen=True)
class Model:
    """A member of a family: its id, its name, the parts that it always has, its counts by column."""

    model: str
    label: str
    has: frozenset[str]
    cells: dict[str, str]

    @property
    def names(self) -> tuple[str, ...]:
        """What it is called: its name, and its other ones."""
        return (self.label, *filter(None, self.cells.get("also_known_as", "").split("; ")))

    def count(self, column: str) -> int | None:
        """How many cylinders, crankpins or mains it has, or None where no page that was read says so."""
        text = self.cells.get(column, "")
        return int(text) if text else None


@dataclass(frozen=True)
class Cover:
    """Which models a document is for, and how that is known (`printed`, `title` or `inferred`)."""

    source: str
    models: frozenset[str]
    named_by: str
    note: str


@dataclass(frozen=True)
class Speaks:
    """What a row speaks of: models, answers by question, and whether its own cell names the models."""

    models: frozenset[str]
    parts: Mapping[str, frozenset[str]]
    names_model: bool


class Family:
    """Models, covers and parts of one engine family, from the rows of its three small tables."""

    def __init__(
        self,
        models: Iterable[dict[str, str]],
        covers: Iterable[dict[str, str]],
        parts: Iterable[dict[str, str]],
    ) -> None:
        """Take the rows of `models.csv`, `covers.csv` and `parts.csv`."""
        self.models = {r["model"]: Model(r["model"], r["label"], frozenset(r["has"].split()), r) for r in models}
        self.covers = {
            r["source"]: Cover(r["source"], frozenset(r["applies"].split()), r["named_by"], r["note"]) for r in covers
        }
        listed = list(parts)
        self.labels = {r["part"]: r["label"] for r in listed if r["part"] != OTHER}
        self.question = {r["part"]: r["question"] for r in listed if r["part"] != OTHER}
        self._answers: dict[str, list[str]] = {}
        self._speaks: dict[tuple[str, str], Speaks] = {}
        self._other = {r["question"]: r["label"] for r in listed if r["part"] == OTHER}
        for r in listed:
            self._answers.setdefault(r["question"], []).append(r["part"])

    @property
    def questions(self) -> dict[str, tuple[str, ...]]:
        """Answers to each question; a question with one part has `other` too."""
        return {q: (*a, OTHER) if len(a) == 1 and a != [OTHER] else tuple(a) for q, a in self._answers.items()}

    @property
    def only_model(self) -> str:
        """The model of a family of one, else an empty text."""
        return next(iter(self.models)) if len(self.models) == 1 else ""

    def label(self, question: str, word: str) -> str:
        """An answer in trade words."""
        if question == MODEL:
            return self.models[word].label if word in self.models else word
        if word == OTHER:
            return self._other.get(question, "another")
        return self.labels.get(word, word)

    def words(self, applies: str) -> str:
        """What a row's `applies` names, in trade words."""
        known = {**{m.model: m.label for m in self.models.values()}, **self.labels}
        return ", ".join(known.get(w, w) for w in applies.split())

    def speaks(self, row: Row) -> Speaks:
        """Models and parts that a row speaks of."""
        key = row.cells.get("applies", ""), row["source"]
        if key not in self._speaks:
            self._speaks[key] = self._spoken(*key)
        return self._speaks[key]

    def _spoken(self, applies: str, source: str) -> Speaks:
        """What a row says by its `applies` and its document."""
        words = applies.split()
        named = frozenset(w for w in words if w in self.models)
        parts: dict[str, frozenset[str]] = {}
        for w in words:
            if w in self.question:
                parts[self.question[w]] = parts.get(self.question[w], frozenset()) | {w}
        return Speaks(named or self.covered(source), parts, bool(named))

    def covered(self, source: str) -> frozenset[str]:
        """Models that a document is for; all where covers.csv is silent."""
        cover = self.covers.get(source)
        return cover.models if cover and cover.models else frozenset(self.models)

    def answers(self, model: str) -> dict[str, str]:
        """Questions that a model answers by what it always has."""
        found = self.models.get(model)
        return {self.question[p]: p for p in sorted(found.has) if p in self.question} if found else {}

    def count(self, column: str, models: Iterable[str] = ()) -> int | None:
        """How many of a thing the models have: the number where they agree, else the most; None where unknown."""
        asked = [self.models[m] for m in models if m in self.models] or list(self.models.values())
        known = [n for m in asked if (n := m.count(column)) is not None]
        return max(known) if known else None

    def doubt(self, row: Row) -> str:
        """What is not printed about whom a row is for, in words; empty where the page or title names the engine."""
        return self.unsure(row["source"])

    def unsure(self, source: str) -> str:
        """What no page of a document says about whom it is for, in words; empty where a page or title does."""
        cover = self.covers.get(source)
        if cover is None or cover.named_by != "inferred":
            return ""
        if cover.note.startswith("cannot be decided"):
            models = ", ".join(self.models[m].label for m in sorted(cover.models) if m in self.models)
            return f"the pages do not tell for which of {models}"
        return f"the pages name no engine; {cover.note}" if cover.note else "the pages name no engine"
