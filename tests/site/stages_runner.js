"use strict";
// Answers jobs for tests/site/test_stages.py: stages of the joints of builds, and how what was set lies to what is printed.
const path = require("node:path");
const { run } = require("./jobs.js");

const assets = path.resolve(__dirname, "../../docs/site/assets");
const stages = require(path.join(assets, "bench", "stages.js"));
const build = require(path.join(assets, "judge", "build.js"));
const { absurd } = require(path.join(assets, "bench", "absurd.js"));

const listed = (job) => job.stages.map(({ joint, position, step, said, choice }) =>
  ({ joint, position, said: { ...said, step: String(step) }, rows: choice.rows.map((r) => r.id) }));

const answers = {
  stages: ({ engine, build: values }, { engines, shared }) => stages.jobs(engines[engine], shared, build.parsed(values)).flatMap(listed),
  compared: ({ engine, row, value, unit }, { engines, shared }) =>
    stages.compared(engines[engine].torques.find((r) => r.id === row), value, unit, shared),
  order: ({ engine, joint, position }, { engines, shared }) => stages.order({ joint, position, said: {} }, engines[engine], shared, build.parsed({})),
  counted: ({ engine, joint }, { engines, shared }) => {
    const all = stages.jobs(engines[engine], shared, build.parsed({})).filter((job) => job.joint === joint);
    return all.map((job) => [job.said.which || "", stages.countedWith(job, all, engines[engine], shared, build.parsed({})).map((o) => o.said.which || "")]);
  },
  absurd: ({ engine, reading }, { engines, shared }) => absurd(reading, engines[engine], shared),
};

run((jobs, loaded) => jobs.map((job) => answers[job.kind](job, loaded)), { shared: null, engines: {} });
