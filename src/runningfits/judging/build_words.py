"""The build of a sheet in words."""

from collections.abc import Iterator, Mapping

from ..build import UNKNOWN, Size
from ..engine_models import MODEL
from .cases import Bench
from .naming import place_words


def build_words(bench: Bench) -> list[str]:
    """What the sheet says of its engine, a line each: the model, fitted parts, repair sizes, further documents."""
    return [*_model(bench), *_fitted(bench), *_sizes(bench), *_documents(bench)]


def _model(bench: Bench) -> Iterator[str]:
    family = bench.data.family(bench.engine)
    model = bench.build.model or family.only_model
    if model and model != UNKNOWN:
        yield family.label(MODEL, model)


def _fitted(bench: Bench) -> Iterator[str]:
    family = bench.data.family(bench.engine)
    for question, given in bench.build.fitted.items():
        for place, word in given.items():
            label = "not known which" if word == UNKNOWN else family.label(question, word)
            yield f"{question.replace('-', ' ')}{_at(place, given, bench)}: {label}"


def _sizes(bench: Bench) -> Iterator[str]:
    for part, given in bench.build.size.items():
        for place, size in given.items():
            text = size.text if isinstance(size, Size) else "size not known"
            yield f"{bench.data.repair_words(part)}{_at(place, given, bench)}: {text}"


def _at(place: str, given: Mapping[str, object], bench: Bench) -> str:
    """Which places an answer is for."""
    if place != "all":
        return f" {place_words(place, bench.data)}"
    return ", the others" if len(given) > 1 else ""


def _documents(bench: Bench) -> Iterator[str]:
    sources, family = bench.data.keyed("sources"), bench.data.family(bench.engine)
    model = bench.build.model or family.only_model
    for source in sorted(bench.build.documents):
        if source in sources:
            other = model in family.models and model not in family.covered(source)
            yield f"judged by {sources[source]['title']} too{', although it is for other models' if other else ''}"
