"""Pages to print: the blank bench sheet, and one page of torques for the wall, on A4 and Letter."""

from collections.abc import Iterable

from ..dataset import Dataset
from ..faces import blank_page
from ..faces.report import document
from ..faces.words import CAUTIONS
from ..rows import Row
from ..sheets import blank
from ..shown import fastening, label
from .both_units import ranges, shown
from .html import engine_name, text
from .stages import joints

SIZES = {"a4": "A4", "letter": "letter"}

CARD = """
body { max-width: 46rem; padding: .6rem }
h1 { font-size: 1.6em } h1 small { font-weight: 400; font-size: .55em }
.card { display: block; border: 2px solid var(--ink); padding: .5em .8em }
.joints { columns: COLUMNS; column-gap: 1.2em; column-rule: 1px solid var(--line) }
.joint { break-inside: avoid; border-bottom: 1px solid var(--line); padding: .18em 0 }
.joint h3 { font-size: 1em } .critical h3::before { content: "\\25A0 " }
.joint p { margin: 0 } .joint .torque { font-weight: 700; font-size: 1.05em }
.small { font-size: .82em }
@media print { body { font-size: FONTpt; padding: 0; line-height: 1.25 } .card { width: auto; margin: 0 } }
@page { margin: 9mm }
"""


def pages(data: Dataset) -> dict[str, str]:
    """HTML of the prints of each engine by site path."""
    found = {}
    for engine in sorted(data.engines):
        sheet = blank_page.page(blank.blank(data, engine), data)
        for name, size in SIZES.items():
            found[f"prints/{engine}-sheet-{name}.html"] = _sized(sheet, size)
            if final(data, engine):
                found[f"prints/{engine}-card-{name}.html"] = _sized(card(data, engine), size)
    return found


def _sized(page: str, size: str) -> str:
    return page.replace("</style>", f"@page {{ size: {size} }}\n</style>", 1)


def final(data: Dataset, engine: str) -> list[Row]:
    """Steps for a card: those to tighten, less the ones that are only for measuring."""
    return [r for r in blank.tightened(data, engine) if r["purpose"] != "measuring"]


def card(data: Dataset, engine: str) -> str:
    """One page of an engine's torques: by joint, stages in order, thread state and page; critical joints first."""
    ordered = sorted(joints(final(data, engine)), key=lambda g: (data.joints[g[0][0]]["critical"] != "true", g[0]))
    columns, font = _density(sum(3 + len(_small(steps)) // 50 + len(steps) // 2 for _, steps in ordered))
    body = "".join(_joint(data, steps) for _, steps in ordered)
    cautions = " ".join(CAUTIONS)
    head = f"<h1>{text(engine_name(data.engines[engine]))} <small>tightening torques</small></h1>"
    foot = (
        f'<p class="small">■ critical joint. Threads as stated; no factor turns a dry value into an oiled one. Replace '
        f"single-use fasteners. A joint that is missing was not read. * a registered misprint. {text(cautions)} "
        f"Running Fits, data {text(data.version)}.</p>"
    )
    css = CARD.replace("COLUMNS", str(columns)).replace("FONT", f"{font:g}")
    page = document(
        f"{engine_name(data.engines[engine])}: torques",
        f'<section class="card">{head}<div class="joints">{body}</div>{foot}</section>',
    )
    return page.replace("</style>", f"{css}</style>", 1)


def _density(lines: int) -> tuple[int, float]:
    """Columns and size of type that keep so many lines on one page."""
    for most, columns, font in ((19, 1, 15.0), (38, 2, 14.0), (58, 2, 12.0), (96, 2, 10.5), (125, 3, 9.5)):
        if lines <= most:
            return columns, font
    return 3, 7.0


def _joint(data: Dataset, steps: list[Row]) -> str:
    first = steps[0]
    critical = data.joints[first.item]["critical"] == "true"
    where = (first["position"] if first["position"] != "all" else "", first["variant"])
    head = ", ".join(filter(None, (label(first, data), *where)))
    stages = "; then ".join(_stage(r, data) for r in steps)
    return (
        f'<div class="joint{" critical" if critical else ""}"><h3>{text(head)}</h3><p class="torque">{text(stages)}</p>'
        f'<p class="small">{text(_small(steps))}</p></div>'
    )


def _small(steps: Iterable[Row]) -> str:
    """What belongs to the value: state of the thread, reuse, notes, page; each told once."""
    told = [*(fastening(r) for r in steps), *(r["note"] for r in steps), *(r.cite.text for r in steps)]
    return "; ".join(dict.fromkeys(filter(None, told)))


def _stage(row: Row, data: Dataset) -> str:
    values, _ = ranges(row)
    action = {"tighten": "", "turn": "turn ", "stretch": "stretch by ", "loosen": "loosen"}[row["action"]]
    return shown(action + (f"{values[0]} ({values[1]})" if len(values) > 1 else "".join(values)))
