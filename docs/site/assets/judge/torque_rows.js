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

  /** Steps that are true for a build. @param {any} engine @param {any} shared @param {any} build @returns {Row[]} */
  const admitted = (engine, shared, build) => engine.torques.filter((/** @type {Row} */ row) =>
    resolving.admits(row, build, hereOf(engine, shared, row.cells.quantity, row.cells.position)));

  /** Steps that are true for a build, less those that choices.csv passes over for another of them.
   * @param {any} engine @param {any} shared @param {any} build @returns {Row[]} */
  const tightened = (engine, shared, build) => resolving.decided(admitted(engine, shared, build), engine).kept;

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

  /** A step of a page: joint, purpose, kind of fastener and thread, and the number of the step.
   * @param {Row} row @param {string} word @returns {Numbered} */
  const counted = ({ cells }, word) => ({
    kind: JSON.stringify([cells.quantity, cells.purpose || "", word === NONE ? "" : word, cells.thread || ""]), thread: cells.thread || "",
    step: Number(cells.step),
  });

  /** @param {Numbered} one @returns {string} */
  const keyOf = ({ kind, step }) => kind + step;

  /** Those of a list by a name, each once. @param {[string, Numbered][]} named @returns {Numbered[][]} */
  function together(named) {
    const found = new Map();
    named.forEach(([name, one]) => found.set(name, (found.get(name) || new Map()).set(keyOf(one), one)));
    return [...found.values()].map((own) => [...own.values()]);
  }

  /** Whether at most one kind begins at 1. @param {Numbered[]} page */
  const isOne = (page) => page.filter(({ step }) => step === 1).length <= 1;

  /** Steps of several kinds of fastener that one page counts through, the keys of each such count; where more than one
   * kind begins at 1 each has a count of its own, unless those of one thread alone share one.
   * @param {any} engine @param {any} shared @param {any} build @param {Set<string>} [joints] @returns {Set<string>[]} */
  function numberings(engine, shared, build, joints) {
    const rows = admitted(engine, shared, build).filter((row) => !joints || joints.has(row.cells.quantity));
    const pageOf = (/** @type {Row} */ { cells }) => [cells.quantity, cells.purpose || "", cells.source, cells.position].join("|");
    const pages = together(rows.flatMap((row) => (row.cells.which || "").split(" ")
      .map((word) => /** @type {[string, Numbered]} */ ([pageOf(row), counted(row, word)]))));
    const counts = pages.flatMap((page) => (isOne(page) ? [page] : together(page.map((one) => [one.thread, one]))));
    return counts.filter((count) => isOne(count) && new Set(count.map(({ kind }) => kind)).size > 1).map((count) => new Set(count.map(keyOf)));
  }

  /** The key of a line in counts. @param {any} line */
  const lineKey = ({ said, choice }) => keyOf(counted(choosing.linesOf(choice).flat()[0], said.which || ""));

  /** Lines with those of each count in its order, at the places that they had. @param {any[]} all @param {Set<string>[]} counts */
  function inCounts(all, counts) {
    for (const count of counts) {
      const spots = all.flatMap((one, n) => (count.has(lineKey(one)) ? [n] : []));
      const sorted = spots.map((n) => all[n]).sort((a, b) => Number(a.said.step) - Number(b.said.step));
      spots.forEach((n, at) => {
        all[n] = sorted[at];
      });
    }
    return all;
  }

  /** Lines of a build, one for each step that a sheet can tell from the others; of those joints alone where they are given.
   * Kinds of fastener whose steps one page counts through stand in that count.
   * @param {any} engine @param {any} shared @param {any} build @param {Set<string>} [joints] */
  function lines(engine, shared, build, joints) {
    const found = new Map();
    const there = tightened(engine, shared, build).filter((row) => !joints || joints.has(row.cells.quantity));
    there.flatMap((row) => (row.cells.which || "").split(" ").map((word) => line(row, word, engine, shared, build)))
      .filter(({ choice }) => choosing.linesOf(choice).flat().length).forEach((one) => {
        const key = JSON.stringify([one.joint, one.position, ...SAID.map((c) => one.said[c] || "")]);
        found.has(key) || found.set(key, one);
      });
    return inCounts([...found.values()], numberings(engine, shared, build, joints));
  }

  /** The key in counts of a step of a fastener. @param {Kind} kind @param {number} step */
  const stepKey = ({ joint, purpose, which, thread }, step) =>
    keyOf({ kind: JSON.stringify([joint, purpose, which, thread]), thread, step });

  const made = { hereOf, choose, lines, numberings, lineKey, stepKey };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.torque_rows = made;
  }
})();
