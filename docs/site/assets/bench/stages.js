"use strict";
// Tightening: the printed steps of each joint for a build, the printed order of its fasteners, and how what was set
// lies to what is printed. Mirrors sheets/measuring.py and, without the wrench, judging/tightened.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("../judge/" + name + ".js") : window.runningFits[name]);
  const [resolving, places, exact] = ["resolving", "places", "exact"].map(part);
  const { hereOf, lines, numberings, lineKey } = part("torque_rows");
  const { ends } = part("torque");

  const SAID = ["which", "thread", "purpose"];

  /** Joints of a build with their stages, in the order of the dataset; the steps of one place, kind and purpose stand together.
   * @param {any} engine @param {any} shared @param {any} build @returns {Job[]} */
  function jobs(engine, shared, build) {
    const found = new Map();
    for (const { joint, position, said: { step, ...said }, choice } of lines(engine, shared, build)) {
      const key = jobKey({ joint, position, said });
      const own = found.get(key) || { key, joint, position, said, stages: [] };
      own.stages.push({ joint, position, step: Number(step), said, choice });
      own.stages.sort((/** @type {any} */ a, /** @type {any} */ b) => a.step - b.step);
      found.set(key, own);
    }
    return [...found.values()];
  }

  /** @param {any} one @returns {string} */
  const jobKey = ({ joint, position, said }) => [joint, position, ...SAID.map((c) => said[c] || "")].join("/");

  /** Whether a line of a sheet belongs to a job. @param {any} line @param {Job} job */
  const ofJob = (line, job) => line.joint === job.joint && resolving.meets(line.position, job.position, null) &&
    SAID.every((c) => (line[c] || "") === (job.said[c] || ""));

  /** The jobs with which a page counts the steps of a job in one. @param {Job} job @param {Job[]} all @param {any} engine @param {any} shared @param {any} build */
  function countedWith(job, all, engine, shared, build) {
    const isIn = (/** @type {Job} */ one, /** @type {Set<string>} */ count) => one.stages.some((s) => count.has(lineKey(s)));
    const counts = numberings(engine, shared, build, new Set([job.joint])).filter((/** @type {Set<string>} */ count) => isIn(job, count));
    return all.filter((one) => one.key !== job.key && counts.some((/** @type {Set<string>} */ count) => isIn(one, count)));
  }

  /** How many places a joint has in the model that is built; 0 where no page says so. @param {Job} job @param {any} engine @param {any} shared @param {any} build */
  function count(job, engine, shared, build) {
    const here = hereOf(engine, shared, job.joint, job.position);
    const { count: column } = shared.joints[job.joint];
    const model = Object.hasOwn(engine.models, build.model) ? build.model : here.family.onlyModel;
    return (model && column && here.family.count(column, [model])) || 0;
  }

  // the printed order

  /** Places that a row of the order names. @param {any} row @returns {string[]} */
  const numbered = (row) => places.numbers(row.cells.row || "").map(String);

  /** The printed order of a joint's fasteners: turns, each with its places and their column; `each` where a place is one
   * fastener, so that a sheet can name it. @param {Job} job @param {any} engine @param {any} shared @param {any} build @returns {Order | null} */
  function order(job, engine, shared, build) {
    const here = hereOf(engine, shared, job.joint, job.position);
    const all = engine.sequences.filter((/** @type {any} */ r) => r.cells.joint === job.joint && resolving.admits(r, build, here));
    const some = places.numbers(job.position).map(String);
    if (!all.length || !(job.position === "all" || all.every((/** @type {any} */ r) => numbered(r).every((n) => some.includes(n))))) {
      return null;
    }
    const group = (/** @type {any} */ r) => [r.cells.source, r.cells.page, r.cells.applies || ""].join();
    const own = all.filter((/** @type {any} */ r) => group(r) === group(all[0]));
    const sorted = own.sort((/** @type {any} */ a, /** @type {any} */ b) => Number(a.cells.order) - Number(b.cells.order));
    const columns = new Set(all.map((/** @type {any} */ r) => r.cells.column + " " + group(r)));
    const turns = sorted.map((/** @type {any} */ { cells }) => ({ places: numbered({ cells }), column: cells.column || "" }));
    return { turns, each: columns.size === 1, cite: all[0].cite };
  }

  // what was set

  /** How what was set lies to a printed step: inside, below, above, or of another kind than the page prints.
   * @param {any} row @param {string} value @param {string} unit @param {any} shared @returns {"inside" | "below" | "above" | "other"} */
  function compared(row, value, unit, shared) {
    const printed = row.cells.unit;
    if (row.cells.action !== "loosen" && printed && shared.units[printed].dimension !== shared.units[unit].dimension) {
      return "other";
    }
    const [low, high] = ends(row, shared);
    const set = exact.toNumber(exact.multiply(exact.parse(value), exact.parse(shared.units[unit].factor)));
    return low !== null && set < low * (1 - 1e-12) ? "below" : high !== null && set > high * (1 + 1e-12) ? "above" : "inside";
  }

  const made = { jobs, ofJob, countedWith, count, order, compared };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.stages = made;
  }
})();
