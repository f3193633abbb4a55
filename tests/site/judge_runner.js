"use strict";
// Answers jobs for tests/site/test_judge.py: reads them from standard input as JSON, writes the answers as JSON.
// The data come as the scripts that the page loads.
const path = require("node:path");
const vm = require("node:vm");

const assets = path.resolve(__dirname, "../../docs/site/assets");
const part = (name) => require(path.join(assets, "judge", name + ".js"));
const [exact, rows, builds, values] = ["exact", "rows", "build", "values"].map(part);
const [choosing, slips, decide, shown] = ["choosing", "slips", "decide", "shown"].map(part);
const judge = require(path.join(assets, "judge.js"));

function decided(given, shared) {
  const cells = { ...given.range, quantity: given.quantity, unit: given.unit };
  const bounds = rows.bounds({ cells, corrected: {} }, shared);
  if (!bounds.judged) {
    return { verdict: "no-range" };
  }
  const factor = exact.parse(shared.units[given.unit].factor);
  const value = exact.multiply(exact.parse(given.value), factor);
  const half = exact.toNumber(exact.multiply(exact.parse(given.uncertainty), factor));
  const [ends, x] = [rows.floats(bounds), exact.toNumber(value)];
  const gaps = decide.margins(value, bounds, Boolean(given.range.limit));
  const told = Object.entries(gaps).map(([k, v]) => [k, v === null ? null : exact.text(exact.divide(v, factor))]);
  return {
    verdict: decide.decide(x, given.decision === "guarded" ? half : 0, ends, bounds.wearsUp),
    probability: decide.probability(x, half / 2, ends.low, ends.high),
    probability_within_limit: decide.probability(x, half / 2, ends.wearLow, ends.wearHigh),
    margins: Object.fromEntries(told),
  };
}

function grid(readings) {
  return values.cells(
    readings.map((r) => ({ place: r.place || "", direction: r.direction || "", value: exact.parse(r.value) }))
  );
}

function counted(given) {
  if (given.bore) {
    const method = values.pairMethod(given.method);
    const [bore, shaft] = ["bore", "shaft"].map((p, n) => values.SINGLE[values.PAIRED[method][n]](grid(given[p])));
    return { method, value: exact.text(exact.subtract(bore, shaft)) };
  }
  const method = values.singleMethod(given.method, given.part, given.limit_side);
  const value = values.SINGLE[method](grid(given.readings));
  return { method, value: value && exact.text(value) };
}

function estimated(given, shared) {
  const tools = values.instruments(given, shared);
  const readings = given.readings.map((r, n) => values.reading(r, n, shared));
  const kelvin = Number(given.temperature_spread.split(" ")[0]);
  const part = (name, method) => {
    const own = readings.filter((r) => r.part === name);
    return values.partValue(own, method, tools, kelvin, name === "bore" || name === "shaft");
  };
  const pair = values.PAIRED[given.method];
  const found = pair
    ? values.difference(part("bore", pair[0]), part("shaft", pair[1]), given.method)
    : part(readings[0].part, given.method);
  const factor = exact.parse(shared.units[given.unit].factor);
  const si = exact.toNumber(factor);
  const causes = found.components.filter((c) => c.standard);
  const standard = values.combined(found.components) / si;
  return {
    value: exact.text(exact.divide(found.value, factor)),
    components: causes.map((c) => ({ cause: c.key, standard: c.standard / si, sign: c.sign })),
    standard,
    uncertainty: 2 * standard,
  };
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
  return { ...found, results };
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
  sheet: judged,
  choose: chosen,
  codes: () => slips.CODES,
  normal: (given) => given.map(exact.normal),
  numbers: (given) => given.map((text) => exact.toNumber(exact.parse(text))),
  up: (given) => given.map((x) => shown.up({ factor: exact.whole(1) }, x)),
  rounded: (given) => given.map(([text, places]) => exact.fixed(exact.parse(text), places)),
};

let input = "";
process.stdin.setEncoding("utf8");
process.stdin.on("data", (chunk) => {
  input += chunk;
});
process.stdin.on("end", () => {
  const { scripts, jobs } = JSON.parse(input);
  const loaded = { shared: null, engines: {} };
  const runningFits = {
    shared: (value) => {
      loaded.shared = value;
    },
    engine: (value) => {
      loaded.engines[value.engine] = value;
    },
  };
  scripts.forEach((text) => vm.runInNewContext(text, { runningFits }));
  const answers = jobs.map(({ kind, given }) => RUN[kind](given, loaded.shared, loaded.engines));
  process.stdout.write(JSON.stringify(answers));
});
