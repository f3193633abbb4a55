"""Which engine of a family stands on the bench: the fields of its page, and what follows from the answer."""

import json
from collections.abc import Iterable

from ..asking import question_words
from ..dataset import Dataset
from ..engine_models import OTHER
from . import prints
from .html import text


def fields(data: Dataset, engine: str) -> str:
    """Fields for the model and the fitted parts of a family; empty where nothing is to be chosen."""
    family = data.family(engine)
    models = [(m.model, m.label) for m in family.models.values()] if len(family.models) > 1 else []
    asked = {q: [(a, family.label(q, a)) for a in (*answers, OTHER)] for q, answers in family.questions.items()}
    if not models and not asked:
        return ""
    chosen = _field("model", "Model", models) if models else ""
    chosen += "".join(_field(q, question_words(q, data), answers) for q, answers in asked.items())
    has = {m.model: family.answers(m.model) for m in family.models.values()}
    return (
        f'<form class="rf-build" data-engine="{text(engine)}" data-has="{text(json.dumps(has))}" hidden>'
        f'<fieldset><legend>Your engine</legend>{chosen}</fieldset><output aria-live="polite"></output></form>'
    )


def _field(name: str, label: str, answers: Iterable[tuple[str, str]]) -> str:
    options = "".join(f'<option value="{text(a)}">{text(words)}</option>' for a, words in answers)
    none = '<option value="">not chosen</option>'
    return f'<label>{text(label)}<select name="{text(name)}">{none}{options}</select></label>'


def doors(data: Dataset, engine: str) -> list[str]:
    """Links to the prints of the model that is chosen, which the page's script fills in."""
    if len(prints.builds(data, engine)) < 2:
        return []
    return [
        f'<a data-print="{kind}-{size}" hidden>{words}, {size.title()}</a>'
        for kind, words in prints.KINDS.items()
        for size in prints.SIZES
    ]
