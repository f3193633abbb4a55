"use strict";
// Verdicts on a bench sheet in the browser: the same answers as `runningfits check`, proved by the same test vectors.
// What it cannot judge it names. Mirrors judge.py, decide.py, able.py, scale.py and as_values.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./judge/" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds, choosing, cases] = ["exact", "rows", "build", "choosing", "cases"].map(part);
  const [lines, values, slips, faults] = ["lines", "values", "slips", "faults"].map(part);

  const COVERAGE_FACTOR = 2;

  /** Verdict of a value with its expanded uncertainty (0 for simple acceptance): ISO 14253-1. On a limit is inside. */
  function decide(value, uncertainty, ends, wearsUp) {
    const [least, most] = [value - uncertainty, value + uncertainty];
    const [above, below] = [least > ends.wearHigh, most < ends.wearLow];
    if (wearsUp ? below : above) {
      return "tight";
    }
    if (wearsUp ? above : below) {
      return "loose";
    }
    if (!(least >= ends.wearLow && most <= ends.wearHigh)) {
      return "cannot-tell";
    }
    if (least >= ends.low && most <= ends.high) {
      return "new";
    }
    return most < ends.low || least > ends.high || Number.isNaN(ends.low) ? "worn" : "cannot-tell";
  }

  /** Probability that the true value lies between two limits; null without any (JCGM 106:2012, 7.2 to 7.4). */
  function probability(value, standard, low, high) {
    if (Number.isNaN(low) || Number.isNaN(high)) {
      return null;
    }
    if (!(standard > 0)) {
      return value >= low && value <= high ? 1 : 0;
    }
    return exact.normal((high - value) / standard) - exact.normal((low - value) / standard);
  }

  /** Distance of an exact value to each limit, positive inside. */
  function margins(value, found, limited) {
    const gap = (a, b) => (a === null || b === null ? null : exact.subtract(a, b));
    const worn = found.wearsUp ? found.wearHigh : found.wearLow;
    return {
      lower: gap(value, found.low),
      upper: gap(found.high, value),
      limit: limited ? (found.wearsUp ? gap(worn, value) : gap(value, worn)) : null,
    };
  }

  // rows tried on the readings of a case

  /** Values of a case by each way of measuring. */
  function valuesOf(one, row, { tools, kelvin }) {
    const { quantity } = one;
    const method = (row && rows.cell(row, "method")) || quantity.method;
    const thermal = quantity.dimension === "length";
    const of = (own, way, warm) => values.partValue(one.parts.get(own), way, tools, kelvin, warm);
    const found = [];
    if (quantity.inner.length && one.parts.has("bore") && one.parts.has("shaft")) {
      const pair = values.pairMethod(method);
      const [bore, shaft] = ["bore", "shaft"].map((own, n) => of(own, values.PAIRED[pair][n], thermal));
      found.push(bore && shaft && values.difference(bore, shaft, pair));
    }
    for (const own of quantity.inner.length ? ["gap", "strip"] : ["bore", "shaft", "gap", "strip"]) {
      if (one.parts.has(own)) {
        const way = values.singleMethod(method, own, quantity.limit_side);
        found.push(of(own, way, thermal && (own === "bore" || own === "shaft")));
      }
    }
    return found.filter(Boolean);
  }

  /** A row, or none, tried on the readings: its bounds, the value that decides, the verdict. */
  function trial(one, row, bench) {
    const ways = valuesOf(one, row, bench);
    const bounds = row ? rows.bounds(row, bench.shared) : null;
    const found = { row, bounds, value: ways[0] || null, ways: ways.length, verdict: "", probability: null, withinLimit: null };
    if (!bounds || !bounds.judged) {
      return { ...found, verdict: "no-range" };
    }
    if (ways.length !== 1) {
      return { ...found, verdict: ways.length ? "two-ways" : "cannot-tell" };
    }
    return { ...found, ...decided(found, bench.decision) };
  }

  function decided({ value, bounds }, decision) {
    const x = exact.toNumber(value.value);
    const standard = values.combined(value.components);
    const ends = rows.floats(bounds);
    const guard = decision === "guarded" ? COVERAGE_FACTOR * standard : 0;
    return {
      verdict: decide(x, guard, ends, bounds.wearsUp),
      probability: probability(x, standard, ends.low, ends.high),
      withinLimit: probability(x, standard, ends.wearLow, ends.wearHigh),
    };
  }

  /** Rows that all must hold, tried together; the one that the verdict is shown with leads. */
  function tried(one, line, bench) {
    const trials = (line.length ? line : [null]).map((row) => trial(one, row, bench));
    const verdict = together(trials);
    return { trials, verdict, lead: trials.find((t) => t.verdict === verdict) || trials[0] };
  }

  /**
   * Verdict of rows that all must hold: what all say, else `cannot-tell`. A row that prints a limit alone, or a nominal
   * alone, does not speak against a new range that another prints.
   */
  function together(trials) {
    const judging = trials.filter((t) => t.verdict !== "no-range");
    const speaking = judging.length ? judging : trials;
    const found = new Set(speaking.map((t) => t.verdict));
    if (found.size === 1) {
      return speaking[0].verdict;
    }
    const fresh = found.size === 2 && found.has("new") && found.has("worn");
    const limitsAlone = speaking.every((t) => t.verdict !== "worn" || (t.bounds && !t.bounds.fresh));
    return fresh && limitsAlone ? "new" : "cannot-tell";
  }

  /** The verdict on a case, and what each answer to an open question would give. */
  function judged(one, bench) {
    const done = new Map(choosing.linesOf(one.choice).map((l) => [lines.lineKey(l), tried(one, l, bench)]));
    const only = (found) => (new Set(found).size === 1 ? found[0] : "which-row");
    const answer = (word) => only(word.lines.map((l) => done.get(lines.lineKey(l)).verdict));
    const asked = one.choice.asked.map((a) => ({ ...a, answers: a.answers.map((w) => ({ ...w, verdict: answer(w) })) }));
    const [first] = done.values();
    const verdict = only([...done.values()].map((t) => t.verdict));
    const settled = asked.length > 0 && verdict === first.verdict;
    const spoiled = [...one.parts.values()].flat().some((r) => bench.spoiled.has(r.index));
    return { one, tried: first, lead: first.lead, asked, settled, verdict: spoiled ? "bad-entry" : verdict };
  }

  /** By how many kelvin part and instrument may differ: 1 where the sheet does not say. */
  function spread(sheet, shared) {
    const [number, unit] = (sheet.temperature_spread || "1 K").split(" ");
    return exact.toNumber(exact.multiply(exact.parse(number), exact.parse(shared.units[unit].factor)));
  }

  // words and numbers of a result

  /** Unit, factor and step in which numbers of one result are shown. */
  function scaleOf(row, shared) {
    const columns = ["lower", "upper", "nominal", "tolerance", "limit"];
    const printed = columns.map((c) => rows.cell(row, c)).filter(Boolean);
    const step = exact.smallest((printed.length ? printed : ["0"]).map(exact.step));
    const unit = rows.cell(row, "unit");
    return { unit, factor: exact.parse(shared.units[unit].factor), step };
  }

  function plainScale(value, sheet, shared) {
    const raw = sheet.readings[value.readings[0]];
    return { unit: raw.unit, factor: exact.parse(shared.units[raw.unit].factor), step: exact.step(raw.value) };
  }

  const shownIn = (scale, si) =>
    exact.rounded(exact.divide(si, scale.factor), exact.divide(scale.step, exact.whole(10)));

  /** An uncertainty as text, rounded up to two digits. */
  function up(scale, si) {
    if (!(si > 0)) {
      return "0";
    }
    const value = exact.divide(exact.fromNumber(si), scale.factor);
    const place = Math.floor(Math.log10(exact.toNumber(value))) - 1;
    const power = exact.whole(10n ** BigInt(Math.abs(place)));
    const unit = place < 0 ? exact.divide(exact.whole(1), power) : power;
    return exact.rounded(exact.multiply(exact.whole(exact.ceiling(exact.divide(value, unit))), unit), unit);
  }

  /** A probability as text; no model is as sure as 1 or 0. */
  function share(chance) {
    if (chance === null || chance === undefined) {
      return null;
    }
    return chance > 0.9995 ? ">0.999" : chance < 0.0005 ? "<0.001" : chance.toFixed(3);
  }

  function numbersOf(lead, scale, sheet, shared) {
    const empty = { value: null, unit: null, uncertainty: null, as_read: null, method: null, way: null };
    if (!lead.value || lead.ways > 1) {
      return { ...empty, readings: [], components: [] };
    }
    const { value, components } = lead.value;
    const expanded = COVERAGE_FACTOR * values.combined(components);
    const causes = components.filter((c) => c.standard);
    return {
      value: shownIn(scale, value),
      unit: scale.unit,
      uncertainty: up(scale, expanded),
      as_read: asRead(lead.value, expanded, scale, sheet, shared),
      method: lead.value.method,
      way: lead.value.way,
      readings: lead.value.readings,
      components: causes.map((c) => ({ cause: c.key, standard: up(scale, c.standard), sign: c.sign })),
    };
  }

  /** The value in the unit of its first reading, where that is not the row's. */
  function asRead(found, expanded, scale, sheet, shared) {
    const unit = sheet.readings[found.readings[0]].unit;
    if (unit === scale.unit) {
      return null;
    }
    const factor = exact.parse(shared.units[unit].factor);
    const other = { unit, factor, step: exact.divide(exact.multiply(scale.step, scale.factor), factor) };
    return { value: shownIn(other, found.value), unit, uncertainty: up(other, expanded) };
  }

  function marginsOf(lead, scale) {
    if (!lead.value || !lead.bounds || lead.ways > 1) {
      return {};
    }
    const gaps = margins(lead.value.value, lead.bounds, Boolean(rows.cell(lead.row, "limit")));
    return Object.fromEntries(Object.entries(gaps).map(([k, v]) => [k, v === null ? null : shownIn(scale, v)]));
  }

  /** A row's range as it is judged by, in the printed unit. */
  function rangeOf(row, { engine, shared }) {
    const [lower, upper] = rows.range(row);
    const limit = rows.limit(row, shared.quantities[row.cells.quantity].limit_side);
    const misprints = Object.keys(row.corrected).map((column) => ({
      column, printed: row.misprints[column].printed, corrected: row.corrected[column], why: row.misprints[column].why,
    }));
    const state = rows.cell(row, "state");
    return {
      id: row.id, lower, upper, limit, nominal: rows.value(row, "nominal"), unit: rows.cell(row, "unit"),
      applies: builds.family(engine).words(rows.cell(row, "applies")) || null, state: shared.states[state] || state || null,
      reading: rows.cell(row, "reading"), misprints, marks: row.marks, also: row.also.map(cited),
      note: rows.cell(row, "note") || null,
    };
  }

  const cited = ({ source, page, address, text }) => ({ source, page, address, text });

  /** A result with its row, other rows that must hold too, and the questions that are open. */
  function result(found, bench) {
    const { one, lead, asked, settled } = found;
    const { sheet, shared } = bench;
    const open = asked.length > 0 && !settled;
    const scale = lead.row ? scaleOf(lead.row, shared) : lead.value && plainScale(lead.value, sheet, shared);
    const others = open ? [] : found.tried.trials.filter((t) => t !== lead && t.row);
    return {
      item: one.item,
      label: one.quantity.label,
      position: one.position,
      says: one.said,
      derived: one.derived,
      two_ways: lead.ways > 1,
      ...numbersOf(lead, scale, sheet, shared),
      verdict: found.verdict,
      probability: open ? null : share(lead.probability),
      probability_within_limit: open ? null : share(lead.withinLimit),
      margins: open ? {} : marginsOf(lead, scale),
      range: open || !lead.row ? null : rangeOf(lead.row, bench),
      row: open ? null : lead.row,
      others: others.map((t) => ({ ...rangeOf(t.row, bench), row: t.row, verdict: t.verdict })),
      questions: asked,
      settled,
      why: one.choice.why || null,
      passed_over: one.choice.passedOver,
      needs: needs(found, shared),
      order: one.quantity.order,
      caution: one.quantity.caution,
    };
  }

  // which instrument could tell

  const FAMILIES = {
    "bore minus shaft": ["outside-micrometer", "caliper"],
    bore: ["outside-micrometer", "caliper"],
    shaft: ["outside-micrometer", "caliper"],
    gap: ["dial-indicator", "caliper"],
    strip: ["outside-micrometer", "caliper"],
  };

  function needs({ lead, verdict, tried: all }, shared) {
    if (verdict !== "cannot-tell" || !lead.bounds) {
      return null;
    }
    if (!lead.value) {
      return "the readings do not give it: a clearance needs bore and shaft, a form needs two places or directions";
    }
    if (new Set(all.trials.map((t) => t.verdict)).size > 1) {
      return "the pages differ, and it lies between them: inside by one, not by the other";
    }
    return able(lead.value, lead.bounds, shared);
  }

  /** What could decide a value that lies within its uncertainty of a boundary, in a sentence. */
  function able(value, found, shared) {
    const at = exact.toNumber(value.value);
    const ends = [found.low, found.high, found.wearLow, found.wearHigh].filter((e) => e !== null);
    const room = Math.min(...ends.map((e) => Math.abs(at - exact.toNumber(e))));
    const paired = ["bore minus shaft", "bore", "strip"].includes(value.way);
    const twice = paired ? Math.SQRT2 : 1;
    const most = Math.min(room, COVERAGE_FACTOR * values.combined(value.components) * 0.9);
    const known = publishedLimits(value.way, shared).map((c) => ({ ...c, expanded: c.expanded * twice }));
    const fit = known.filter((c) => c.expanded < most);
    if (fit.length) {
      const more = (a, b) => b.expanded > a.expanded || (b.expanded === a.expanded && b.name > a.name);
      const last = fit.reduce((a, b) => (more(a, b) ? b : a));
      const article = "aeiou".includes(last.name[0]) ? "an " : "a ";
      return article + last.name + (paired ? " and a bore gauge set on it" : "") + " could tell";
    }
    if (expandedOf(1e-6, 1e-6) * twice < room) {
      const tool = value.way === "gap" ? "a dial indicator" : "a micrometer";
      const gauge = paired ? " and a bore gauge set on it" : "";
      return tool + " reading to 0.001 mm, checked on gauge blocks," + gauge + " could tell";
    }
    return "it lies on the boundary: no usual instrument can tell; decide as if it were out, or select other parts";
  }

  const expandedOf = (limit, step) =>
    COVERAGE_FACTOR * Math.hypot(values.rectangular(limit), values.resolved(step));

  function publishedLimits(way, shared) {
    const families = FAMILIES[way] || ["dial-indicator"];
    const names = Object.keys(shared.instruments).filter((n) => families.some((f) => n.startsWith(f)));
    return names.filter((n) => shared.instruments[n].mpe).map((n) => {
      const kind = shared.instruments[n];
      const factor = exact.toNumber(exact.parse(shared.units[kind.unit].factor));
      const expanded = expandedOf(Number(kind.mpe) * factor, Number(kind.resolution || 0) * factor);
      return { name: kind.label.split(",")[0], expanded };
    });
  }

  // the whole

  const TEMPERATURES = ["part_temperature", "room_temperature"];

  /** What of a sheet would change a verdict here and is not worked out here: then nothing is judged. */
  function refused(sheet) {
    const warm = TEMPERATURES.some((k) => sheet[k]) || sheet.readings.some((r) => r.temperature || r.material);
    const found = warm ? ["corrections for temperature and material"] : [];
    return sheet.guides ? [...found, "rules of thumb"] : found;
  }

  /** Verdicts on a sheet; `refused` and `faults` say why there are none, `left` what is not judged here. */
  function check(raw, engine, shared) {
    const sheet = faults.filled(raw);
    const found = { faults: faults.faults(sheet, engine, shared), refused: [], left: [], results: [], findings: [] };
    if (found.faults.length) {
      return found;
    }
    found.left = sheet.torques && sheet.torques.length ? ["tightening"] : [];
    found.refused = refused(sheet);
    return found.refused.length ? found : { ...found, ...all(sheet, engine, shared) };
  }

  function all(sheet, engine, shared) {
    const tools = values.instruments(sheet, shared);
    const every = cases.cases(sheet, engine, shared);
    const findings = slips.findings(sheet, every, shared, tools);
    const spoiled = new Set(findings.filter((f) => f.severity === "error").map((f) => f.reading));
    const kelvin = spread(sheet, shared);
    const bench = { sheet, engine, shared, tools, spoiled, kelvin, decision: sheet.decision || "guarded" };
    const found = every.map((one) => judged(one, bench)).filter((j) => j.lead.value || !j.one.derived);
    return { results: found.map((j) => result(j, bench)), findings };
  }

  const judge = { check, decide, probability, margins, share, up, neverNegative: faults.neverNegative };

  if (node) {
    module.exports = judge;
  } else {
    window.runningFits.judge = judge;
  }
})();
