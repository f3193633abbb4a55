"""Engines, models and items as people name them on the command line, and how a shell completes them."""

from typing import TYPE_CHECKING, Any

import click
from click.types import StringParamType

from ..dataset import Dataset
from ..near import key
from ..places import folder
from ..shared_tables import NotInDatasetError
from .ending import reader_watched

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


def own_data(ctx: click.Context | None = None) -> Dataset:
    """The dataset that comes with the program: the same one throughout a command, so that each table is read once."""
    found: Dataset = (ctx or click.get_current_context()).meta.setdefault(__name__, Dataset(folder("data")))
    return found


def engine_meant(text: str, data: Dataset) -> str:
    """The engine family that a text names: an id, a name, or words of which one family alone has all.

    Raises NotInDatasetError where none or several are meant.
    """
    if text in data.engines:
        return text
    words = data.engine_words
    if (meant := words.meant(text)) is not None:
        return meant
    said = {e: " ".join((e, *n)).lower() for e, n in words.names.items()}
    found = [e for e, s in said.items() if text.strip() and all(w in s for w in text.lower().split())]
    found = found or [e for e, s in said.items() if key(text) and key(text) in key(s)]
    if len(found) == 1:
        return found[0]
    if not found:
        data.engine(text)
    shown = "; ".join(f"{e} ({words.label(e)})" for e in found[:5])
    more = f" and {len(found) - 5} more" if len(found) > 5 else ""
    raise NotInDatasetError(f'"{text}" may be {shown}{more}; say which')


class EngineName(StringParamType):
    """An engine family by id or name; what a name was taken for is told on standard error."""

    name = "engine"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The id; a name that is no family's, or that of several, ends the command."""
        data = own_data(ctx)
        try:
            found = engine_meant(value, data)
        except NotInDatasetError as error:
            if ctx and ctx.resilient_parsing:
                return str(value)
            click.echo(f"runningfits: {error}", err=True)
            raise click.exceptions.Exit(2) from error
        if found != value and not (ctx and ctx.resilient_parsing):
            with reader_watched():
                click.echo(f'"{value}" is taken as {data.engine_names(found)[0]} ({found})', err=True)
        return found

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        """Ids that begin with, or names that hold, what was typed."""
        data = own_data(ctx)
        return _items({e: data.engine_words.label(e) for e in data.engines}, incomplete)


class Completed(StringParamType):
    """A text of which a shell completes what the engine named before it knows: `model` or `item`."""

    name = "text"

    def __init__(self, kind: str) -> None:
        """Take the kind, and its name for help."""
        self.kind = self.name = kind

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The text as it is."""
        return str(value)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        """Models or items of the engine, all items where none is named yet."""
        data = own_data(ctx)
        engine = _engine(ctx, data)
        if self.kind == "model":
            models = data.family(engine).models.values() if engine in data.engines else ()
            return _items({m.model: m.label for m in models}, incomplete)
        labels = {k: r["label"] for table in (data.quantities, data.joints) for k, r in table.items()}
        if engine in data.engines:
            there = {r.item for r in data.rows(engine)}
            labels = {k: v for k, v in labels.items() if k in there}
        return _items(labels, incomplete)


def _engine(ctx: click.Context, data: Dataset) -> str:
    """The engine named so far; it stands among the arguments left while an option waits for its value."""
    try:
        return engine_meant(ctx.params.get("engine") or next(iter(ctx.args), ""), data)
    except NotInDatasetError:
        return ""


def _items(labels: dict[str, str], incomplete: str) -> "list[CompletionItem]":
    from click.shell_completion import CompletionItem

    begun = [CompletionItem(k, help=v) for k, v in labels.items() if k.startswith(incomplete.lower())]
    return begun or [CompletionItem(k, help=v) for k, v in labels.items() if key(incomplete) in key(v)]


ENGINE, MODEL, ITEM = EngineName(), Completed("model"), Completed("item")
