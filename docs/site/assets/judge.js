"use strict";
// Verdicts on a bench sheet in the browser: the same answers as `runningfits check`, proved by the same test vectors.
// What it cannot judge it names. Mirrors judge.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./judge/" + name + ".js") : window.runningFits[name]);
  const [exact, rows, choosing, cases, lines] = ["exact", "rows", "choosing", "cases", "lines"].map(part);
  const [values, slips, faults, decide, shown] = ["values", "slips", "faults", "decide", "shown"].map(part);
  const { unmeasured } = part("unmeasured");

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
    const guard = decision === "guarded" ? decide.COVERAGE_FACTOR * standard : 0;
    return {
      verdict: decide.decide(x, guard, ends, bounds.wearsUp),
      probability: decide.probability(x, standard, ends.low, ends.high),
      withinLimit: decide.probability(x, standard, ends.wearLow, ends.wearHigh),
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
    const found = { faults: faults.faults(sheet, engine, shared), refused: [], left: [], results: [], findings: [], missing: [] };
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
    const missing = unmeasured(every, sheet, engine, shared);
    return { results: found.map((j) => shown.result(j, bench)), findings, missing };
  }

  const judge = { check, neverNegative: faults.neverNegative };

  if (node) {
    module.exports = judge;
  } else {
    window.runningFits.judge = judge;
  }
})();
