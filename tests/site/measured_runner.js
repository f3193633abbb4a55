"use strict";
// Answers jobs for tests/site/test_measured.py: what there is to measure for builds, as the page tells it.
const path = require("node:path");
const { run } = require("./jobs.js");

const assets = path.resolve(__dirname, "../../docs/site/assets");
const loaded = { shared: null, engines: {} };
const names = ["exact", "rows", "places", "build", "lines", "closeness", "resolving", "asking", "open_questions", "choosing"];
const api = Object.fromEntries(names.map((name) => [name, require(path.join(assets, "judge", name + ".js"))]));
global.window = { runningFits: { ...api, loaded } };
require(path.join(assets, "bench", "measured.js"));

run((jobs, { engines }) => jobs.map(({ engine, build }) =>
  global.window.runningFits.measured.measured(engines[engine], build).map(({ item, places, said, choice }) => ({
    item, places, said, rows: choice.rows.map((r) => r.id),
  }))), loaded);
