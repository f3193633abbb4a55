"use strict";
// Tightening steps of an engine, chosen as any other row is, and the lines that a build has. Mirrors the torque lines
// of sheets/measuring.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [choosing, resolving] = ["choosing", "resolving"].map(part);
  const { NONE } = part("asking");

  const SAID = ["which", "purpose", "thread", "step"];
  const TOLD_APART = ["which", "thread"];

  /** A thing made once for each object. @template {object} K, V @param {(of: K) => V} make @returns {(of: K) => V} */
  function once(make) {
    const known = new WeakMap();
    return (of) => {
      known.has(of) || known.set(of, make(of));
      return known.get(of);
    };
  }

  /** An engine whose rows are its tightening steps. */
  const stepsOf = once((/** @type {any} */ engine) => ({ ...engine, rows: engine.torques }));

  /** What the choosing of rows needs to know of joints. */
  const ofJoints = once((/** @type {any} */ shared) => ({ ...shared, quantities: shared.joints }));

  /** A joint at a position. @param {any} engine @param {any} shared @param {string} joint @param {string} position */
  const hereOf = (engine, shared, joint, position) => resolving.hereOf(engine, ofJoints(shared), joint, position);

  /** Steps that are true for a joint at a position. @param {any} engine @param {any} shared @param {any} build
   * @param {string} joint @param {string} position @param {Record<string, string>} said @returns {Choice} */
  const choose = (engine, shared, build, joint, position, said) =>
    choosing.choose(stepsOf(engine), ofJoints(shared), build, joint, position, said);

  /** Steps that are true for a build, less those that choices.csv passes over for another of them.
   * @param {any} engine @param {any} shared @param {any} build @returns {Row[]} */
  function tightened(engine, shared, build) {
    const all = engine.torques.filter((/** @type {Row} */ row) =>
      resolving.admits(row, build, hereOf(engine, shared, row.cells.quantity, row.cells.position)));
    return resolving.decided(all, engine).kept;
  }

  /** The line that a row asks for; where others there name a detail that it does not, it says none of them.
   * @param {Row} row @param {string} word @param {any} engine @param {any} shared @param {any} build */
  function line(row, word, engine, shared, build) {
    const { quantity: joint, position } = row.cells;
    const own = [...SAID.map((c) => [c, row.cells[c]]).filter(([c]) => c !== "which"), ["which", word]];
    /** @type {Record<string, string>} */
    let said = Object.fromEntries(own.filter(([, v]) => v));
    for (;;) {
      const choice = choose(engine, shared, build, joint, position, said);
      const [asked] = choice.asked;
      if (!asked || !asked.detail || !TOLD_APART.includes(asked.question) || said[asked.question]) {
        return { joint, position, said, choice };
      }
      said = { ...said, [asked.question]: NONE };
    }
  }

  /** Lines of a build, one for each step that a sheet can tell from the others; of those joints alone where they are given.
   * @param {any} engine @param {any} shared @param {any} build @param {Set<string>} [joints] */
  function lines(engine, shared, build, joints) {
    const found = new Map();
    const there = tightened(engine, shared, build).filter((row) => !joints || joints.has(row.cells.quantity));
    there.flatMap((row) => (row.cells.which || "").split(" ").map((word) => line(row, word, engine, shared, build)))
      .filter(({ choice }) => choosing.linesOf(choice).flat().length).forEach((one) => {
        const key = JSON.stringify([one.joint, one.position, ...SAID.map((c) => one.said[c] || "")]);
        found.has(key) || found.set(key, one);
      });
    return [...found.values()];
  }

  const made = { hereOf, choose, lines };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.torque_rows = made;
  }
})();
