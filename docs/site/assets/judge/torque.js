"use strict";
// Tightening: the printed step of each line of a sheet, and whether it was followed. Mirrors torque.py and tightened.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, places, rows, values, resolving] = ["exact", "places", "rows", "values", "resolving"].map(part);
  const { hereOf, choose } = part("torque_rows");
  const { fasteners, placesOf, states } = part("fasteners");

  // A class A wrench and the widest limit of ISO 6789, as shares; degrees about a single angle; a share beyond one end.
  const [SETTING, WRENCH, ANGLE, OPEN] = [0.04, 0.06, 5, 0.25];
  const ORDER = ["B206", "B208", "B211"];
  const LUBRICATED = /** @type {Record<string, string>} */ ({ oiled: "oiled", compound: "with compound", sealant: "with sealant" });
  const [BELOW, ABOVE] = [1 - 1e-12, 1 + 1e-12];

  const number = (/** @type {string} */ text) => exact.toNumber(exact.parse(text));
  const si = (/** @type {any} */ value, /** @type {string} */ unit, /** @type {any} */ shared) =>
    exact.multiply(value, exact.parse(shared.units[unit].factor));
  const dimension = (/** @type {string} */ unit, /** @type {any} */ shared) => shared.units[unit].dimension;

  // the printed step

  /** Range of a step in SI: as printed with half a printed digit, a single torque or angle with what counts as it;
   * loosening is 0, unless the page prints a torque for it. @param {Row} row @param {any} shared @returns {(number | null)[]} */
  function ends(row, shared) {
    const { unit, action } = row.cells;
    if (!unit) {
      return action === "loosen" ? [0, 0] : [null, null];
    }
    const [low, high] = rows.range(row);
    const nominal = rows.value(row, "nominal");
    if (low === null && high === null && nominal !== null) {
      const [middle, factor] = [number(nominal), number(shared.units[unit].factor)];
      const half = Math.max(setting(middle, unit, shared), exact.toNumber(rows.step(row, "nominal")) / 2);
      return [(middle - half) * factor, (middle + half) * factor];
    }
    const half = (/** @type {string} */ own) => exact.divide(rows.step(row, row.cells[own] ? own : "nominal"), exact.whole(2));
    return [
      low === null ? null : exact.toNumber(si(exact.subtract(exact.parse(low), half("lower")), unit, shared)),
      high === null ? null : exact.toNumber(si(exact.add(exact.parse(high), half("upper")), unit, shared)),
    ];
  }

  /** Half-width of what counts as a single printed number, in its unit. @param {number} nominal @param {string} unit @param {any} shared */
  function setting(nominal, unit, shared) {
    const kind = dimension(unit, shared);
    const [own, degree] = [unit, "deg"].map((u) => exact.parse(shared.units[u].factor));
    return kind === "torque" ? nominal * SETTING : kind === "angle" ? ANGLE / exact.toNumber(exact.divide(own, degree)) : 0;
  }

  /** Every torque line of a sheet with the step that the dataset prints for it. @param {TorqueBench} bench @returns {TorqueStep[]} */
  function steps(bench) {
    const found = (bench.sheet.torques || []).map((/** @type {any} */ raw, /** @type {number} */ index) => stepOf(raw, index, bench));
    return found.map((/** @type {TorqueStep} */ s) => ({ ...s, state: stateOf(s, found) }));
  }

  /** @param {any} raw @param {number} index @param {TorqueBench} bench @returns {TorqueStep} */
  function stepOf(raw, index, bench) {
    const { sheet, engine, shared, build } = bench;
    const said = Object.fromEntries(["which", "purpose", "thread"].filter((k) => raw[k] !== undefined).map((k) => [k, raw[k]]));
    const choice = choose(engine, shared, build, raw.joint, raw.position, { ...said, step: String(raw.step) });
    const tool = sheet.instruments.find((/** @type {any} */ t) => t.id === raw.instrument);
    const shift = dimension(raw.unit, shared) === "torque" ? values.correction(tool, sheet.instruments, shared) : exact.ZERO;
    const end = (/** @type {string} */ own) => (tool[own] ? exact.toNumber(si(exact.parse(tool[own]), tool.unit, shared)) : null);
    const [row, ...also] = choice.rows;
    return {
      index, raw, choice, row: row || null, tool: bench.tools.get(raw.instrument),
      si: exact.toNumber(exact.add(si(exact.parse(raw.value), raw.unit, shared), shift)),
      ends: choice.rows.map((/** @type {any} */ r) => ends(r, shared)), toolFrom: end("range_from"), toolTo: end("range_to"),
      done: raw.order === undefined ? index + 1 : raw.order, fasteners: fasteners(raw, choice, bench),
      state: raw.thread_state || "", states: row ? states(row, also, bench) : [], turn: turnOf(raw, bench),
    };
  }

  /** State of the threads of a line, or where it says none of the last line before it of the same fasteners.
   * @param {TorqueStep} step @param {TorqueStep[]} all @returns {string} */
  function stateOf(step, all) {
    const name = (/** @type {Fastener} */ f) => JSON.stringify(f);
    const has = (/** @type {TorqueStep} */ s) => {
      const own = new Set(s.fasteners.map(name));
      return step.fasteners.every((f) => own.has(name(f)));
    };
    const same = all.filter((s) => s.state && s.done <= step.done && has(s)).sort((a, b) => a.done - b.done || a.index - b.index);
    return step.state || (same.length ? same[same.length - 1].state : "");
  }

  /** Turn of a line's places in the printed order: where the order has one column, its rows number the places.
   * @param {any} raw @param {TorqueBench} bench @returns {number | null} */
  function turnOf(raw, bench) {
    const { engine, shared, build } = bench;
    const here = hereOf(engine, shared, raw.joint, raw.position);
    const there = engine.sequences.filter((/** @type {Row} */ r) => r.cells.joint === raw.joint && resolving.admits(r, build, here));
    const group = (/** @type {Row} */ { cells }) => JSON.stringify([cells.column || "", cells.source, cells.page, cells.applies || ""]);
    const own = placesOf(raw.joint, raw.position, bench);
    const holds = (/** @type {Row} */ { cells }) => own.every((/** @type {string} */ p) => places.numbers(cells.row).map(String).includes(p));
    const turn = there.find(holds);
    return new Set(there.map(group)).size === 1 && turn ? Number(turn.cells.order) : null;
  }

  // the verdict

  /** Each torque line with its verdict. @param {TorqueStep[]} all @param {Finding[]} found @param {any} shared @returns {TorqueLine[]} */
  function followed(all, found, shared) {
    const own = found.filter((f) => f.torque !== undefined);
    const spoiled = new Set(own.filter((f) => f.severity === "error" && !ORDER.includes(f.code)).map((f) => f.torque));
    const order = new Set(own.filter((f) => ORDER.includes(f.code)).map((f) => f.torque));
    return all.map((s) => lineOf(s, verdict(s, spoiled, order, shared)));
  }

  /** @param {TorqueStep} step @param {Set<number | undefined>} spoiled @param {Set<number | undefined>} order @param {any} shared @returns {string} */
  function verdict(step, spoiled, order, shared) {
    if (spoiled.has(step.index)) {
      return "bad-entry";
    }
    if (!step.row) {
      return step.choice.asked.length ? "which-row" : "no-range";
    }
    const found = new Set(step.choice.rows.map((row, n) => ofRow(step, row, step.ends[n], shared)));
    const told = found.size === 1 ? [...found][0] : "cannot-tell";
    if (told === "followed" && order.has(step.index)) {
      return "out-of-order";
    }
    return told === "followed" && stateAsked(step) ? "cannot-tell" : told;
  }

  /** Question about the threads that keeps a step from being followed; empty where none does. @param {TorqueStep} step @returns {string} */
  function stateAsked({ row, state, states: own }) {
    if (!row || row.cells.action === "loosen") {
      return "";
    }
    const printed = own.map((s) => s.replaceAll("-", " ")).sort();
    if (printed.length && (!state || printed.length > 1)) {
      return "The printed value is for " + printed.join(" and ") + " threads: how were they, oiled or dry?";
    }
    const open = row.cells.action === "tighten" && !printed.length && Object.hasOwn(LUBRICATED, state);
    return open ? "The threads were " + LUBRICATED[state] + ", and the page does not say for which its value is: oiled or dry?" : "";
  }

  /** Verdict by one printed step. @param {TorqueStep} step @param {Row} row @param {(number | null)[]} range @param {any} shared */
  function ofRow(step, row, [low, high], shared) {
    const set = dimension(step.raw.unit, shared);
    if (row.cells.action !== "loosen" && dimension(row.cells.unit, shared) !== set) {
      return "bad-entry";
    }
    const share = shareOf(step, shared);
    const guard = step.si * share;
    if (low !== null && step.si + guard < low * BELOW) {
      return "low";
    }
    if (high !== null && step.si - guard > high * ABOVE) {
      return "high";
    }
    let [least, most] = proven(row, low, high, share, set === "torque" ? WRENCH : 0);
    least = least === null && most !== null && row.cells.upper ? most * (1 - OPEN) : least;
    most = most === null && least !== null && row.cells.lower ? least * (1 + OPEN) : most;
    const inside = (least === null || step.si >= least * BELOW) && (most === null || step.si <= most * ABOVE);
    return inside ? "followed" : "cannot-tell";
  }

  /** Limit of the tool as a share of what was set; 0 where an angle was turned, whose own tolerance counts, or a fastener
   * loosened. @param {TorqueStep} step @param {any} shared @returns {number} */
  const shareOf = ({ si: set, raw, tool }, shared) =>
    (!set || dimension(raw.unit, shared) === "angle" ? 0 : tool.percent / 100 || tool.mpe / set);

  /** Settings in SI that a tool of such a limit proves to lie between two ends: a single printed number by setting it
   * within the widest limit, a range narrower than the limits of such a wrench in its middle half.
   * @param {Row} row @param {number | null} low @param {number | null} high @param {number} share @param {number} widest @returns {(number | null)[]} */
  function proven(row, low, high, share, widest) {
    if (row.cells.nominal && !row.cells.tolerance && share <= widest) {
      return [low, high];
    }
    const least = low === null ? null : share < 1 ? low / (1 - share) : Infinity;
    const most = high === null ? null : high / (1 + share);
    if (share > widest || low === null || high === null || least === null || most === null) {
      return [least, most];
    }
    const [middle, quarter] = [(low + high) / 2, (high - low) / 4];
    return [Math.min(least, middle - quarter), Math.max(most, middle + quarter)];
  }

  // a line of the answer

  /** @param {TorqueStep} step @param {string} told @returns {TorqueLine} */
  function lineOf(step, told) {
    const { raw, row, tool, choice } = step;
    const asked = told === "cannot-tell" ? stateAsked(step) : "";
    const words = [...new Set([...step.states, "dry", "oiled"])].sort();
    const answers = words.map((word) => ({ word, label: word.replaceAll("-", " "), lines: [] }));
    const threads = asked ? [{ question: "thread_state", words: asked, detail: true, answers }] : [];
    return {
      index: step.index, joint: raw.joint, position: raw.position, step: raw.step, value: raw.value, unit: raw.unit, verdict: told,
      percent: tool.percent || null, row, range: row ? printed(row) : null, others: choice.rows.slice(1),
      why: choice.why || (told === "cannot-tell" ? farFromOneEnd(step) : "") || null, questions: [...choice.asked, ...threads],
    };
  }

  /** Why a setting far beyond the only printed end is undecided; empty where it is not. @param {TorqueStep} step @returns {string} */
  function farFromOneEnd({ si: set, ends: [[low, high] = [null, null]] }) {
    if ((low === null) === (high === null)) {
      return "";
    }
    const [end, name] = low !== null ? [low, "maximum"] : [/** @type {number} */ (high), "minimum"];
    const far = Math.abs(set - end) > OPEN * end && set > end === (low !== null);
    return far ? "no " + name + " is printed, and it lies more than a quarter beyond what is" : "";
  }

  /** A step's range as it is judged by. @param {Row} row */
  function printed(row) {
    const numbers = ["lower", "upper", "nominal", "tolerance"].map((c) => [c, rows.value(row, c)]);
    return {
      id: row.id, action: row.cells.action, unit: row.cells.unit || "", ...Object.fromEntries(numbers),
      thread_state: row.cells.thread_state || null, reuse: row.cells.reuse || null,
    };
  }

  const made = { steps, followed, ends };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.torque = made;
  }
})();
