"use strict";
// Answers jobs for tests/site/test_measured.py: what there is to measure for builds, as the page tells it.
const path = require("node:path");
const vm = require("node:vm");

const assets = path.resolve(__dirname, "../../docs/site/assets");
const loaded = { shared: null, engines: {} };
const names = ["exact", "rows", "places", "build", "lines", "resolving", "asking", "choosing"];
const api = Object.fromEntries(names.map((name) => [name, require(path.join(assets, "judge", name + ".js"))]));
global.window = { runningFits: { ...api, loaded } };
require(path.join(assets, "bench", "measured.js"));

let input = "";
process.stdin.setEncoding("utf8");
process.stdin.on("data", (chunk) => {
  input += chunk;
});
process.stdin.on("end", () => {
  const { scripts, jobs } = JSON.parse(input);
  const runningFits = {
    shared: (value) => {
      loaded.shared = value;
    },
    engine: (value) => {
      loaded.engines[value.engine] = value;
    },
  };
  scripts.forEach((text) => vm.runInNewContext(text, { runningFits }));
  const { measured } = global.window.runningFits;
  const answers = jobs.map(({ engine, build }) =>
    measured.measured(loaded.engines[engine], build).map(({ item, places, said, choice }) => ({
      item, places, said, rows: choice.rows.map((r) => r.id),
    })));
  process.stdout.write(JSON.stringify(answers));
});
