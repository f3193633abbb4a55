"use strict";
// Answers queries for tests/site/test_searching.py: what the site's search finds, by names and addresses.
const path = require("node:path");

const assets = path.resolve(__dirname, "../../docs/site/assets");
global.MiniSearch = require(path.join(assets, "minisearch.js"));
global.RunningFitsSearch = require(path.join(assets, "search.js"));

const told = (search, answer) => {
  const named = (list, n) => (n === undefined ? "" : search.data[list][n].name);
  const line = answer.kind === "line" ? search.line(answer.engine, answer.item) : {};
  return {
    kind: answer.kind, engine: named("engines", answer.engine), item: named("items", answer.item),
    document: named("documents", answer.document), ...line,
  };
};

let input = "";
process.stdin.setEncoding("utf8");
process.stdin.on("data", (chunk) => {
  input += chunk;
});
process.stdin.on("end", () => {
  const { script, jobs } = JSON.parse(input);
  new Function(script)();
  const search = global.RunningFitsSearch.ready();
  process.stdout.write(JSON.stringify(jobs.map(({ query, chosen }) => {
    const found = search.find(query, chosen || "");
    const missing = found.missing && {
      engine: search.data.engines[found.missing.engine].name, item: search.data.items[found.missing.item].name,
      sought: search.sought(found.missing.engine, found.missing.item),
    };
    return { answers: found.answers.map((a) => told(search, a)), unmet: found.unmet, missing };
  })));
});
