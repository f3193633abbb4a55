"use strict";
// Faults of torque lines: an unknown joint, unit, tool or place, a tool that does not measure it. Mirrors the torque
// faults of sheet.py and tool_faults.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [builds, places] = ["build", "places"].map(part);
  const { fault, quoted } = part("tool_faults");

  /** @param {any} raw @param {string} at @param {any} sheet @param {any} engine @param {any} shared */
  function ofTorque(raw, at, sheet, engine, shared) {
    if (!Object.hasOwn(shared.joints, raw.joint)) {
      return [fault(at + ".joint", quoted(raw.joint), "a joint of the dataset")];
    }
    const known = Object.hasOwn(shared.units, raw.unit);
    const unit = known ? [] : [fault(at + ".unit", quoted(raw.unit), "one of " + Object.keys(shared.units))];
    const tool = sheet.instruments.find((/** @type {any} */ t) => t.id === raw.instrument);
    const tools = !tool ? [fault(at + ".instrument", quoted(raw.instrument), "an instrument of this sheet")]
      : known && Object.hasOwn(shared.instruments, tool.instrument) ? ofTool(raw, at, shared.instruments[tool.instrument], shared) : [];
    return [...unit, ...tools, ...ofWords(raw, at, shared), ...ofThread(raw, at, engine, shared), ...ofPlace(raw, at, sheet, engine, shared)];
  }

  /** A torque, an angle or a stretch that its instrument does not measure. @param {any} raw @param {string} at @param {any} known @param {any} shared */
  function ofTool(raw, at, known, shared) {
    const { dimension } = shared.units[raw.unit];
    const measures = known.measures.split(" ").filter(Boolean);
    const stretch = dimension === "length" && shared.units[known.unit].dimension === "length" && measures.length > 0;
    const article = "aeiou".includes(dimension[0]) ? "an " : "a ";
    return measures.includes(dimension) || stretch ? []
      : [fault(at + ".instrument", quoted(raw.instrument) + " (" + known.label + ")", "an instrument that measures " + article + dimension)];
  }

  /** Words that are in no closed list. @param {any} raw @param {string} at @param {any} shared */
  const ofWords = (raw, at, shared) => [["which", shared.positions], ["purpose", shared.purposes]]
    .filter(([c, listed]) => raw[c] !== undefined && raw[c] !== "none" && !Object.hasOwn(listed, raw[c]))
    .map(([c]) => fault(at + "." + c, quoted(raw[c]), "a word of the dataset"));

  /** A thread that neither the engine's pages nor the tables of threads have.
   * @param {any} raw @param {string} at @param {any} engine @param {any} shared */
  function ofThread({ thread = "none" }, at, engine, shared) {
    const printed = engine.torques.map((/** @type {Row} */ r) => r.cells.thread);
    const known = ["none", ...printed, ...shared.threads].includes(thread);
    return known ? [] : [fault(at + ".thread", quoted(thread), "a thread of the engine's pages, or one such as M10x1.5 or 3/8-16")];
  }

  /** Whether a text is a named place, or place numbers that run forward and come once. @param {string} text @param {any} shared */
  function isPlace(text, shared) {
    const found = places.numbers(text);
    const backwards = text.split(",").some((span) => {
      const [first, last = first] = span.split("-").map(Number);
      return first < 1 || last < first || last > 9999;
    });
    return Object.hasOwn(shared.positions, text) || text === "all" || (found.length > 0 && !backwards && new Set(found).size === found.length);
  }

  /** A place that the joint does not have, unless a page numbers its fasteners that far.
   * @param {any} raw @param {string} at @param {any} sheet @param {any} engine @param {any} shared */
  function ofPlace(raw, at, sheet, engine, shared) {
    if (!isPlace(raw.position, shared)) {
      return [fault(at + ".position", quoted(raw.position), "all, 3, 1-10 or a named place")];
    }
    const { count: column } = shared.joints[raw.joint];
    const { model } = sheet.build || {};
    const most = column ? builds.family(engine).count(column, model ? [model] : []) : null;
    const last = Math.max(0, ...places.numbers(raw.position));
    const own = (/** @type {Row} */ r) => r.cells.joint === raw.joint;
    const printed = [...engine.torques.filter(own).map((/** @type {Row} */ r) => r.cells.position),
      ...engine.sequences.filter(own).map((/** @type {Row} */ r) => r.cells.row)].flatMap(places.numbers);
    const far = most && last > most && last > Math.max(0, ...printed);
    return far ? [fault(at + ".position", "place " + last + " of " + most, "1 to " + most)] : [];
  }

  const made = { ofTorque };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.torque_faults = made;
  }
})();
