"""Pages to print: the blank bench sheet, and one page of torques for the wall, on A4 and Letter."""

from collections.abc import Iterable

from markupsafe import Markup

from ..build import Build
from ..cautions import CAUTIONS
from ..choosing import true_for
from ..dataset import Dataset
from ..engine_models import MODEL
from ..faces import blank_page
from ..faces.report import document
from ..rows import Row
from ..sheets import blank, measuring
from . import card_joints
from .html import engine_name, finder, link, page, table, text

SIZES = {"a4": "A4", "letter": "letter"}
ROOM = {"A4": (192, 274), "letter": (197, 256)}
"""What margins leave of a sheet of paper for a card, in mm."""

CARD = """
body { max-width: none; padding: .6rem }
body > svg { position: absolute }
h1 { font-size: min(1.6em, 34pt) } h1 small { font-weight: 400; font-size: .55em }
.card { border: 2px solid var(--ink); padding: .5em .8em; display: flex; flex-direction: column; max-width: 100% }
.joints { columns: COLUMNS; column-gap: 1.2em; column-rule: 1px solid var(--line); flex: 1; min-height: 0 }
.joint { break-inside: avoid; border-bottom: 1px solid var(--line); padding: .18em 0 }
.joint h3 { font-size: 1em } .critical h3::before { content: "\\25A0\\00A0" }
.joint p, .joint ol { margin: 0 }
.joint .torque { font-weight: 700; font-size: 1.05em }
.joint ol { padding-left: 1.3em } .joint ol .small { display: block; font-weight: 400; font-size: .78em }
.small { font-size: .82em } .card > .small { font-size: min(.82em, 12pt) }
body { font-size: FONTpt }
@media print { body { padding: 0; line-height: 1.25 } .card { margin: 0 } }
@page { margin: 9mm }
"""

FILL = """
(function () {
  var body = document.body, joints = document.querySelector(".joints"), best = null;
  function fits() {
    var all = Array.prototype.slice.call(joints.children);
    var whole = all.every(function (one) { return one.getClientRects().length === 1; });
    return whole && joints.scrollHeight <= joints.clientHeight + 1 && joints.scrollWidth <= joints.clientWidth + 1;
  }
  function set(columns, size) {
    joints.style.columns = columns;
    body.style.fontSize = size + "pt";
  }
  body.classList.add("filled");
  [1, 2, 3].forEach(function (columns) {
    var low = best ? 2 * best[1] : 11, high = 73;
    while (high - low > 1) {
      var middle = (low + high) >> 1;
      set(columns, middle / 2);
      if (fits()) { low = middle; best = [columns, middle / 2]; } else { high = middle; }
    }
  });
  if (best) {
    set(best[0], best[1]);
  } else {
    body.classList.remove("filled");
    body.style.fontSize = joints.style.columns = "";
  }
})();
"""
"""Type as large as the page holds; without script the size that is reckoned from the lines."""


def pages(data: Dataset) -> dict[str, str]:
    """HTML of the prints of each engine by site path: one of each for the family, or for each model that differs."""
    found = {}
    for engine in sorted(data.engines):
        for model, build in builds(data, engine).items():
            todo = blank.work(data, engine, build)
            sheet = blank_page.page(blank.blank(data, engine, build, todo=todo), data, todo)
            steps = final(data, engine, build)
            for name, size in SIZES.items():
                found[f"prints/{address(engine, model, 'sheet', name)}"] = _sized(sheet, size)
                if steps:
                    found[f"prints/{address(engine, model, 'card', name)}"] = _sized(card(data, engine, build), size)
    return found | {"prints.md": listed(data)}


def listed(data: Dataset) -> str:
    """The page with all prints, a line a family, or a line a model where models differ."""
    rows, marks = [], []
    for engine in sorted(data.engines):
        for n, model in enumerate(builds(data, engine)):
            name = data.family(engine).label(MODEL, model) if model else ""
            family = link(f"engines/{engine}.html", text(engine_name(data.engines[engine])))
            rows.append([family, text(name), "<br>".join(_lines(data, engine, model, ""))])
            marks.append(f' id="{text(engine)}"' if n == 0 else "")
    told = "Blank bench sheets and torque cards to print, of one model where models differ, on A4 and Letter."
    field = finder("Find an engine", "tbody tr", "for example: perkins 4.108")
    return page("Prints", [told, field, table(("Engine", "Model", "Prints"), rows, marks)])


def builds(data: Dataset, engine: str) -> dict[str, Build]:
    """Builds that have prints of their own: by model where models differ, else by an empty text the family's one."""
    models = data.family(engine).models
    if len(models) < 2 or len({_differs(data, engine, m) for m in models}) == 1:
        return {"": Build()}
    return {m: Build(m) for m in models}


def _differs(data: Dataset, engine: str, model: str) -> tuple[object, ...]:
    """What a model's prints depend on: its counts, the parts that it always has, the rows that are for it."""
    found = data.family(engine).models[model]
    counts = tuple(found.count(c) for c in ("cylinders", "crankpins", "mains"))
    rows = true_for(data.rows(engine), data, Build(model), sizes=False)
    return counts, found.has, tuple(r.id for r in rows)


def address(engine: str, model: str, kind: str, size: str) -> str:
    """File name of a print."""
    return "-".join(filter(None, (engine, model, kind, size))) + ".html"


KINDS = {"sheet": "Bench sheet", "card": "Torque card"}


def links(data: Dataset, engine: str) -> list[str]:
    """Links to the prints of a family whose models do not differ; none where each has its own."""
    found = _kinds(data, engine, "", "../")
    return [link(a, f"{KINDS[k]}, {s.title()}") for k, sizes in found.items() for s, a in sizes.items()]


def _lines(data: Dataset, engine: str, model: str, base: str) -> Iterable[str]:
    """Links to the prints of a build, a line a kind; `base` leads to the site's root."""
    for kind, sizes in _kinds(data, engine, model, base).items():
        yield f"{KINDS[kind]}: {', '.join(link(a, s.title()) for s, a in sizes.items())}"


def _kinds(data: Dataset, engine: str, model: str, base: str) -> dict[str, dict[str, str]]:
    """Addresses of prints of a model by kind and size of paper."""
    build = builds(data, engine).get(model)
    if build is None:
        return {}
    kinds = [k for k in KINDS if k == "sheet" or final(data, engine, build)]
    return {k: {s: f"{base}prints/{address(engine, model, k, s)}" for s in SIZES} for k in kinds}


def _sized(made: str, size: str) -> str:
    width, height = ROOM[size]
    short = "@media print { .blank { zoom: .94 } }" if size == "letter" else ""
    room = f"{short} .filled .card {{ width: {width}mm; height: {height}mm; line-height: 1.25 }}"
    return made.replace("</style>", f"@page {{ size: {size} }}\n{room}\n</style>", 1)


def final(data: Dataset, engine: str, build: Build | None = None) -> list[Row]:
    """Steps for a card: those to tighten for running, that are true for a build."""
    return [r for r in measuring.tightened(data, engine, build) if not r["purpose"]]


def card(data: Dataset, engine: str, build: Build | None = None) -> str:
    """One page of an engine's torques: by joint, stages in order, thread state and page; critical joints first."""
    build = build or Build()
    blocks = card_joints.blocks(data, final(data, engine, build), model=not build.model)
    columns, font = _density(sum(lines for _, lines in blocks))
    body = "".join(made for made, _ in blocks)
    cautions = " ".join(CAUTIONS)
    name = named(data, engine, build)
    head = f"<h1>{text(name)} <small>tightening torques</small></h1>"
    foot = (
        f'<p class="small">■ critical joint. Threads as stated; no factor turns a dry value into an oiled one. Replace '
        f"single-use fasteners. A joint that is missing was not read. * a registered misprint. {text(cautions)} "
        f"Running Fits, data {text(data.version)}.</p>"
    )
    css = CARD.replace("COLUMNS", str(columns)).replace("FONT", f"{font:g}")
    made = document(
        f"{name}: torques",
        Markup(f'<section class="card">{head}<div class="joints">{body}</div>{foot}</section><script>{FILL}</script>'),
    )
    return made.replace("</style>", f"{css}</style>", 1)


def _density(lines: int) -> tuple[int, float]:
    """Columns and size of type that keep so many lines on one page."""
    for most, columns, font in ((19, 1, 15.0), (38, 2, 14.0), (58, 2, 12.0), (96, 2, 10.5), (125, 3, 9.5)):
        if lines <= most:
            return columns, font
    return 3, 7.0


def named(data: Dataset, engine: str, build: Build) -> str:
    """Maker and model of a build, or maker and family where it names none."""
    line, family = data.engines[engine], data.family(engine)
    model = build.model or family.only_model
    return f"{line['maker']} {family.label(MODEL, model)}" if model else engine_name(line)
