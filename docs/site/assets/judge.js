"use strict";
// Verdicts on a bench sheet in the browser: the same answers as `runningfits check`, proved by the same test vectors.
// What it cannot judge it names. Mirrors judge.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./judge/" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, choosing, cases, lines] = ["exact", "bounds", "choosing", "cases", "lines"].map(part);
  const [values, grid, slips, faults, decide, shown] = ["values", "grid", "slips", "faults", "decide", "shown"].map(part);
  const { unmeasured } = part("unmeasured");
  const { assumed } = part("assumed");
  const { temperatures } = part("temperature");
  const { scatters } = part("scatter");

  // rows tried on the readings of a case

  /** Values of a case by each way of measuring: bounds last, else the least uncertain first. */
  function valuesOf(one, row, { means }) {
    const { quantity, parts } = one;
    const method = cases.methodOf(one, row);
    const thermal = quantity.dimension === "length";
    const of = (own, way, warm) => values.partValue(parts.get(own), way, means, warm);
    const found = [];
    if (quantity.inner.length && parts.has("bore") && parts.has("shaft")) {
      const pair = grid.pairMethod(method);
      const [bore, shaft] = ["bore", "shaft"].map((own, n) => of(own, grid.PAIRED[pair][n], thermal));
      found.push(bore && shaft && values.difference(bore, shaft, pair));
    }
    for (const own of quantity.inner.length ? ["gap", "strip"] : ["bore", "shaft", "gap", "strip"]) {
      if (parts.has(own)) {
        const way = grid.singleMethod(method, own, quantity.limit_side);
        found.push(of(own, way, thermal && (own === "bore" || own === "shaft")));
      }
    }
    return found.filter(Boolean).sort((a, b) => a.leastOnly - b.leastOnly || a.standard - b.standard);
  }

  /** A row, or none, on the readings: its bounds and the value that decides, not decided yet. */
  function trial(one, row, bench) {
    const [value = null, ...others] = valuesOf(one, row, bench);
    const none = belowNothing(one, row);
    return { row, value, others, bounds: row ? bounds.bounds(row, bench.shared) : null, none };
  }

  /** A trial with its verdict and probabilities. */
  function decided(found, decision) {
    const { value, bounds: b } = found;
    const none = { probability: null, withinLimit: null };
    if (found.none) {
      return { ...found, ...none, verdict: "bad-entry" };
    }
    if (!b || !b.judged || !value) {
      return { ...found, ...none, verdict: b && b.judged ? "cannot-tell" : "no-range" };
    }
    if (isAbsurd(value, b)) {
      return { ...found, ...none, verdict: "bad-entry" };
    }
    const alone = [value.at, value.leastOnly ? Infinity : value.at];
    const [least, most] = decision === "guarded" ? [value.least, value.most] : alone;
    const shares = value.leastOnly ? none : decide.probabilities(value.at, value.standard, b);
    return { ...found, ...shares, verdict: decide.decide(least, most, b) };
  }

  /** Whether a form was read below zero where its readings are no two ends of a difference. */
  function belowNothing(one, row) {
    const counted = grid.DIFFERENCES.includes(cases.methodOf(one, row));
    return one.quantity.kind === "form" && !counted && [...one.parts.values()].flat().some((r) => r.value.n < 0n);
  }

  const [ABSURD, SMALLEST] = [100, 1e-4];

  /** Whether a value is a hundred times all that is printed for it: no reading at all. */
  function isAbsurd(value, b) {
    const ends = [b.low, b.high, b.limit, b.nominal].filter(Boolean).flatMap((e) => [e.strict, e.loose]);
    return Math.abs(value.at) > ABSURD * Math.max(SMALLEST, ...ends.map((e) => Math.abs(exact.toNumber(e))));
  }

  /** Rows that all must hold, each tried alone, and the trial of all as one, which gives the verdict. */
  function tried(one, line, bench) {
    const made = (line.length ? line : [null]).map((row) => trial(one, row, bench));
    const speaking = made.filter((t) => t.bounds && t.bounds.judged);
    const [first = made[0]] = speaking;
    const whole = speaking.length > 1 ? { ...first, bounds: bounds.together(speaking.map((t) => t.bounds)) } : first;
    const [trials, joint] = [made.map((t) => decided(t, bench.decision)), decided(whole, bench.decision)];
    return { trials, joint, verdict: joint.verdict, lead: trials.find((t) => t.verdict === joint.verdict) || trials[0] };
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
    return { one, tried: first, lead: first.lead, joint: first.joint, asked, settled, verdict };
  }

  const placed = (item, { index }) => item + " " + index;
  const readingsOf = ({ parts }) => [...parts.values()].flat();

  /** Verdicts; a running size that passed by the one printed end is undecided, unless a fit of the same readings passed. */
  function withOpenEnds(all) {
    const passed = all.filter((j) => decide.PASSED.includes(j.verdict));
    const proven = new Set(passed.flatMap(({ one }) => sizesOf(one).flatMap((n) => readingsOf(one).map((r) => placed(n, r)))));
    const undecided = (j) => passed.includes(j) && j.joint.bounds && j.joint.bounds.openEnd
      && !readingsOf(j.one).every((r) => proven.has(placed(j.one.item, r)));
    return all.map((j) => (undecided(j) ? { ...j, verdict: "cannot-tell", settled: false } : j));
  }

  /** Sizes whose fit a case is, where both were measured. */
  const sizesOf = ({ parts, quantity }) =>
    (parts.has("bore") && parts.has("shaft") ? [...quantity.outer, ...quantity.inner] : []);

  // the whole

  /** What of a sheet would change a verdict here and is not worked out here: then nothing is judged. */
  const refused = (sheet) => (sheet.guides ? ["rules of thumb"] : []);

  /** Verdicts on a sheet; `refused` and `faults` say why there are none, `left` what is not judged here. */
  function check(raw, engine, shared) {
    const sheet = faults.filled(raw);
    const none = { results: [], findings: [], missing: [], notJudged: [], assumed: [] };
    const found = { faults: faults.faults(sheet, engine, shared), refused: [], left: [], ...none };
    if (found.faults.length) {
      return found;
    }
    found.left = sheet.torques && sheet.torques.length ? ["tightening"] : [];
    found.refused = refused(sheet);
    return found.refused.length ? found : { ...found, ...all(sheet, engine, shared) };
  }

  function all(sheet, engine, shared) {
    const warmth = temperatures(sheet, shared);
    const tools = values.instruments(sheet, shared);
    const { all: every, entered, unjudged } = cases.cases(sheet, engine, shared, warmth);
    const kinds = new Map([...tools].map(([id, tool]) => [id, tool.kind]));
    const scatter = scatters(kinds, entered.flatMap((one) => [...one.parts.values()]), shared);
    const decision = sheet.decision || "guarded";
    const bench = { sheet, engine, shared, means: { tools, scatter, warmth }, decision };
    const found = withOpenEnds(every.map((one) => judged(one, bench)).filter((j) => j.lead.value || !j.one.derived));
    return {
      results: found.map((j) => shown.result(j, bench)), findings: slips.findings(sheet, every, shared, tools),
      missing: unmeasured(every, sheet, engine, shared), assumed: assumed(sheet, warmth, shared),
      notJudged: unjudged.map(({ one, why }) => ({ item: one.item, position: one.position, why })),
    };
  }

  const judge = { check, neverNegative: faults.neverNegative };

  if (node) {
    module.exports = judge;
  } else {
    window.runningFits.judge = judge;
  }
})();
