"use strict";
// Reads scripts of data and jobs from standard input, and writes what `answers` makes of the jobs.
const vm = require("node:vm");

exports.run = (answers, loaded = { shared: null, engines: {} }) => {
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
    process.stdout.write(JSON.stringify(answers(jobs, loaded)));
  });
};
