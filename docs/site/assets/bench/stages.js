"use strict";
// Tightening: the printed steps of each joint for a build, the printed order of its fasteners, and how what was set
// lies to what is printed. Mirrors sheets/measuring.py and, without the wrench, judging/torque.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("../judge/" + name + ".js") : window.runningFits[name]);
  const [exact, rows, choosing, resolving, places] = ["exact", "rows", "choosing", "resolving", "places"].map(part);

  const NONE = "none";
  const SAID = ["which", "thread", "purpose"];
  const SETTING = exact.parse("4/100");
  const ANGLE = exact.whole(5);
  /** @type {WeakMap<any, Map<string, any>>} */
  const engines = new WeakMap();

  /** Whether two positions of a joint share a fastener, in a model. @param {string} one @param {string} other @param {number | null} count */
  function meets(one, other, count) {
    if (one === "all" || other === "all" || one === other) {
      return true;
    }
    const [there, asked] = [one, other].map((position) => places.places(position, count) || []);
    return asked.some((/** @type {number} */ n) => there.includes(n));
  }

  /** An engine whose rows are the tightening steps of a number and a purpose that share a fastener with a position: those
   * are chosen as any other row is, all of them at one place. Rows of every fastener stand behind those of some.
   * @param {any} engine @param {any} shared @param {any} build @param {any} row */
  function stageOf(engine, shared, build, { cells: { quantity: joint, position, step, purpose = "" } }) {
    const own = engines.get(engine) || new Map();
    engines.set(engine, own);
    const models = Object.hasOwn(engine.models, build.model) ? [build.model] : Object.keys(engine.models);
    const key = [joint, position, step, purpose, ...models].join(" ");
    if (!own.has(key)) {
      const here = resolving.hereOf(engine, asShared(shared), joint, position);
      const column = shared.joints[joint].count;
      const counts = models.map((m) => (column ? here.family.count(column, [m]) : null));
      const fits = (/** @type {any} */ r) => r.cells.quantity === joint && r.cells.step === step && (r.cells.purpose || "") === purpose &&
        counts.some((n) => meets(r.cells.position, position, n));
      const all = engine.torques.filter(fits);
      const plain = position === "all" && all.every((/** @type {any} */ r) => r.cells.position === "all");
      const placed = (/** @type {any} */ r) =>
        (plain || (r.cells.position === "all" && position !== "all") ? r : { ...r, cells: { ...r.cells, position: HERE } });
      own.set(key, { engine: { ...engine, rows: all.map(placed) }, place: plain ? "all" : HERE });
    }
    return own.get(key);
  }

  const HERE = "these";

  /** What the choosing of rows needs to know of joints. @param {any} shared */
  const asShared = (shared) => ({ ...shared, quantities: shared.joints });

  /** @param {any} row @param {string} word @param {any} engine @param {any} shared @param {any} build */
  function stage(row, word, engine, shared, build) {
    const { quantity: joint, position, step, purpose = "", thread = "" } = row.cells;
    /** @type {Record<string, string>} */
    let said = Object.fromEntries(Object.entries({ which: word, thread }).filter(([, v]) => v));
    const { engine: own, place } = stageOf(engine, shared, build, row);
    for (;;) {
      const choice = choosing.choose(own, asShared(shared), build, joint, place, said);
      const [asked] = choice.asked;
      if (!asked || !asked.detail || !["which", "thread"].includes(asked.question) || said[asked.question]) {
        return { joint, position, step: Number(step), said: purpose ? { ...said, purpose } : said, choice };
      }
      said = { ...said, [asked.question]: NONE };
    }
  }

  /** Steps that are true for a build, less those that choices.csv passes over for another of them.
   * @param {any} engine @param {any} shared @param {any} build @returns {any[]} */
  function tightened(engine, shared, build) {
    const here = (/** @type {any} */ row) => resolving.hereOf(engine, asShared(shared), row.cells.quantity, row.cells.position);
    const all = engine.torques.filter((/** @type {any} */ row) => resolving.admits(row, build, here(row)));
    const ids = new Set(all.map((/** @type {any} */ row) => row.id));
    const over = new Set(engine.choices.filter((/** @type {string[]} */ [own]) => ids.has(own)).map((/** @type {string[]} */ [, passed]) => passed));
    return all.filter((/** @type {any} */ row) => !over.has(row.id));
  }

  /** Joints of a build with their stages, in the order of the dataset; the steps of one place, kind and purpose stand together.
   * @param {any} engine @param {any} shared @param {any} build @returns {Job[]} */
  function jobs(engine, shared, build) {
    const found = new Map();
    for (const row of tightened(engine, shared, build)) {
      for (const word of (row.cells.which || "").split(" ")) {
        const one = stage(row, word, engine, shared, build);
        const key = jobKey(one);
        const own = found.get(key) || { key, joint: one.joint, position: one.position, said: one.said, stages: [] };
        const known = own.stages.some((/** @type {any} */ s) => s.step === one.step);
        if (!known && choosing.linesOf(one.choice).flat().length) {
          own.stages.push(one);
          own.stages.sort((/** @type {any} */ a, /** @type {any} */ b) => a.step - b.step);
        }
        found.set(key, own);
      }
    }
    return [...found.values()].filter((job) => job.stages.length);
  }

  /** @param {any} one @returns {string} */
  const jobKey = ({ joint, position, said }) => [joint, position, ...SAID.map((c) => said[c] || "")].join("/");

  /** Whether a line of a sheet belongs to a job. @param {any} line @param {Job} job */
  const ofJob = (line, job) => line.joint === job.joint && meets(line.position, job.position, null) &&
    SAID.every((c) => (line[c] || "") === (job.said[c] || ""));

  /** How many places a joint has in the model that is built; 0 where no page says so. @param {Job} job @param {any} engine @param {any} shared @param {any} build */
  function count(job, engine, shared, build) {
    const here = resolving.hereOf(engine, asShared(shared), job.joint, job.position);
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
    const here = resolving.hereOf(engine, asShared(shared), job.joint, job.position);
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

  const factor = (/** @type {string} */ unit, /** @type {any} */ shared) => exact.parse(shared.units[unit].factor);

  /** The ends of a printed step in SI: half a printed digit beyond, a single torque with 4 %, a single angle with 5 degrees.
   * @param {any} row @param {any} shared @returns {any[]} */
  function ends(row, shared) {
    const { unit, action } = row.cells;
    if (!unit) {
      return action === "loosen" ? [exact.ZERO, exact.ZERO] : [null, null];
    }
    const [low, high] = rows.range(row);
    const nominal = rows.value(row, "nominal");
    const half = (/** @type {string} */ column) => exact.divide(rows.step(row, column), exact.whole(2));
    const inSi = (/** @type {any} */ value) => exact.multiply(value, factor(unit, shared));
    if (low === null && high === null) {
      if (nominal === null) {
        return [null, null];
      }
      const by = exact.largest([setting(nominal, unit, shared), half("nominal")]);
      return [inSi(exact.subtract(exact.parse(nominal), by)), inSi(exact.add(exact.parse(nominal), by))];
    }
    const column = (/** @type {string} */ own) => half(row.cells[own] ? own : "nominal");
    return [
      low === null ? null : inSi(exact.subtract(exact.parse(low), column("lower"))),
      high === null ? null : inSi(exact.add(exact.parse(high), column("upper"))),
    ];
  }

  /** @param {string} nominal @param {string} unit @param {any} shared */
  function setting(nominal, unit, shared) {
    const { dimension } = shared.units[unit];
    if (dimension === "torque") {
      return exact.multiply(exact.parse(nominal), SETTING);
    }
    return dimension === "angle" ? exact.divide(exact.multiply(ANGLE, factor("deg", shared)), factor(unit, shared)) : exact.ZERO;
  }

  /** How what was set lies to a printed step: inside, below, above, or of another kind than the page prints.
   * @param {any} row @param {string} value @param {string} unit @param {any} shared @returns {"inside" | "below" | "above" | "other"} */
  function compared(row, value, unit, shared) {
    const printed = row.cells.unit;
    if (row.cells.action !== "loosen" && printed && shared.units[printed].dimension !== shared.units[unit].dimension) {
      return "other";
    }
    const [low, high] = ends(row, shared);
    const set = exact.multiply(exact.parse(value), factor(unit, shared));
    return low !== null && exact.less(set, low) ? "below" : high !== null && exact.less(high, set) ? "above" : "inside";
  }

  const made = { jobs, ofJob, count, order, compared };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.stages = made;
  }
})();
