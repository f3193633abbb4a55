"use strict";
// Answers jobs for tests/site/test_judge.py: reads them from standard input as JSON, writes the answers as JSON.
// The data come as the scripts that the page loads.
const path = require("node:path");
const { run } = require("./jobs.js");

const assets = path.resolve(__dirname, "../../docs/site/assets");
const part = (name) => require(path.join(assets, "judge", name + ".js"));
const [exact, rows, builds, bounds] = ["exact", "rows", "build", "bounds"].map(part);
const [values, grid, coverage, scatter] = ["values", "grid", "coverage", "scatter"].map(part);
const [choosing, slips, decide, shown] = ["choosing", "slips", "decide", "shown"].map(part);
const { celsius, temperatures } = part("temperature");
const judge = require(path.join(assets, "judge.js"));

const factorOf = (unit, shared) => exact.parse(shared.units[unit].factor);

/** Bounds of printed ranges of one quantity that all must hold. */
function boundsOf({ quantity, unit, ranges }, shared) {
  const all = ranges.map((range) => bounds.bounds({ cells: { quantity, unit, ...range }, corrected: {} }, shared));
  return all.length > 1 ? bounds.together(all) : all[0];
}

function bounded(given, shared) {
  const found = boundsOf(given, shared);
  const factor = factorOf(given.unit, shared);
  const text = (end) => exact.text(exact.divide(end, factor));
  const shownEnd = (end) => end && { strict: text(end.strict), loose: text(end.loose) };
  const { low, high, limit, nominal, side, floor, openEnd } = found;
  return {
    low: shownEnd(low), high: shownEnd(high), limit: shownEnd(limit), nominal: shownEnd(nominal), side, floor,
    open_end: openEnd,
  };
}

function decided(given, shared) {
  const found = boundsOf(given, shared);
  if (!found.judged) {
    return { verdict: "no-range" };
  }
  const factor = factorOf(given.unit, shared);
  const value = exact.multiply(exact.parse(given.value), factor);
  const half = exact.toNumber(exact.multiply(exact.parse(given.uncertainty), factor));
  const x = exact.toNumber(value);
  const off = given.decision === "guarded" ? half : 0;
  const told = Object.entries(decide.margins(value, found))
    .map(([k, v]) => [k, v === null ? null : exact.text(exact.divide(v, factor))]);
  const { probability, withinLimit } = decide.probabilities(x, half / coverage.NORMAL, found);
  return {
    verdict: decide.decide(x - off, given.least_only ? Infinity : x + off, found),
    probability: given.least_only ? null : probability,
    probability_within_limit: given.least_only ? null : withinLimit,
    margins: Object.fromEntries(told),
  };
}

function cellsOf(readings) {
  return grid.cells(
    readings.map((r) => ({ place: r.place || "", direction: r.direction || "", value: exact.parse(r.value) }))
  );
}

function counted(given) {
  if (given.bore) {
    const method = grid.pairMethod(given.method);
    const [bore, shaft] = ["bore", "shaft"].map((p, n) => grid.SINGLE[grid.PAIRED[method][n]](cellsOf(given[p])));
    return { method, value: exact.text(exact.subtract(bore, shaft)) };
  }
  const method = grid.singleMethod(given.method, given.part, given.limit_side);
  const value = grid.SINGLE[method](cellsOf(given.readings));
  return { method, value: value && exact.text(value) };
}

/** Readings and what they were taken with, as a sheet's are. */
function measured(given, shared) {
  const warmth = temperatures(given, shared);
  const tools = values.instruments(given, shared);
  const readings = given.readings.map((r, n) => {
    return values.reading({ item: given.item, ...r }, n, shared, warmth, given.instruments);
  });
  const parts = [...new Set(readings.map((r) => r.part))].map((p) => readings.filter((r) => r.part === p));
  const kinds = new Map([...tools].map(([id, tool]) => [id, tool.kind]));
  return { readings, means: { tools, warmth, scatter: scatter.scatters(kinds, parts, shared) } };
}

function estimated(given, shared) {
  const { readings, means } = measured(given, shared);
  const part = (name, method) => {
    const own = readings.filter((r) => r.part === name);
    return values.partValue(own, method, means, name === "bore" || name === "shaft");
  };
  const pair = grid.PAIRED[given.method];
  const found = pair
    ? values.difference(part("bore", pair[0]), part("shaft", pair[1]), given.method)
    : part(readings[0].part, given.method);
  const factor = factorOf(given.unit, shared);
  const si = exact.toNumber(factor);
  const causes = found.components.filter((c) => c.standard);
  const inUnit = (x) => exact.toNumber(exact.divide(x, factor));
  return {
    value: inUnit(found.value),
    bias: inUnit(found.bias),
    components: causes.map((c) => ({ cause: c.key, standard: c.standard / si, sign: c.sign })),
    standard: found.combined / si,
    coverage_factor: found.factor,
    uncertainty: found.expanded / si,
    least_only: found.leastOnly,
  };
}

function scattered(given, shared) {
  const { means } = measured(given, shared);
  const si = exact.toNumber(factorOf(given.unit, shared));
  const freedom = (f) => (f === Infinity ? null : f);
  return Object.fromEntries([...means.scatter].map(([id, s]) =>
    [id, { deviation: s.deviation / si, freedom: freedom(s.freedom) }]));
}

/** A coverage factor, or the error of what is counted of several readings. */
function covered(given) {
  if (given.freedom !== undefined) {
    return { factor: coverage.factor(given.freedom === null ? Infinity : given.freedom) };
  }
  const { counted: method, count, groups } = given;
  return method === "largest" ? coverage.ofLargest(count) : coverage.ofSpread(count, groups);
}

const idsOf = (all) => all.map((r) => r.id);

/** Open questions with the ids of the rows that each answer leads to. */
const asked = (questions) => questions.map(({ question, words, answers }) => ({
  question, words,
  answers: answers.map(({ word, label, lines, verdict }) => ({ word, label, verdict, lines: lines.map(idsOf) })),
}));

function judged(given, shared, engines) {
  const engine = engines[given.sheet.engine];
  const found = judge.check(given.sheet, engine, shared);
  const results = found.results.map(({ row, others, questions, passed_over, ...r }) => ({
    ...r, row: row && row.id, others: others.map((o) => ({ ...o, row: o.row.id })), questions: asked(questions),
    passed_over: idsOf(passed_over),
  }));
  const torques = found.torques.map((t) => ({ ...t, others: t.others.map(({ id }) => ({ id })), questions: asked(t.questions) }));
  return { ...found, results, torques };
}

/** Rows that are true for a build at a place as they are judged by, or the questions that are open. */
function chosen(given, shared, engines) {
  const build = builds.parsed(given.build);
  const found = choosing.choose(engines[given.engine], shared, build, given.item, given.position, given.says);
  const ends = (row) => ({
    id: row.id, unit: row.cells.unit, lower: rows.range(row)[0], upper: rows.range(row)[1],
    nominal: rows.value(row, "nominal"), limit: rows.value(row, "limit"), marks: row.marks,
    also: row.also.map((c) => c.source + ":" + c.page),
  });
  return {
    rows: found.rows.map(ends), questions: asked(found.asked), passed_over: idsOf(found.passedOver), why: found.why || null,
  };
}

const RUN = {
  decide: decided,
  value: counted,
  uncertainty: estimated,
  bounds: bounded,
  scatter: scattered,
  coverage: covered,
  sheet: judged,
  torque: judged,
  choose: chosen,
  codes: () => slips.CODES,
  celsius: (given) => given.map((text) => exact.text(celsius(text))),
  erf: (given) => given.map(exact.erf),
  quantile: (given) => given.map(exact.quantile),
  normal: (given) => given.map(exact.normal),
  numbers: (given) => given.map((text) => exact.toNumber(exact.parse(text))),
  up: (given) => given.map((x) => shown.up({ factor: exact.whole(1) }, x)),
  rounded: (given) => given.map(([text, places]) => exact.fixed(exact.parse(text), places)),
};

run((jobs, { shared, engines }) => jobs.map(({ kind, given }) => RUN[kind](given, shared, engines)));
