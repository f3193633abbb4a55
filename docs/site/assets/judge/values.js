"use strict";
// From readings to values with their uncertainty. Mirrors values.py and causes.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, coverage, uncertainty] = ["exact", "coverage", "uncertainty"].map(part);
  const [grid, temperature, scattering] = ["grid", "temperature", "scatter"].map(part);
  const { component, limits, resolved, leftBySteps, grown } = uncertainty;

  const FEELER = "feeler-gauge";
  const IN_WHOLE_STEPS = 1 / 4;
  /** @param {string} method */
  const isMean = (method) => method.startsWith("mean");
  /** @param {string} method @returns {boolean} */
  const isDifference = (method) => grid.DIFFERENCES.includes(method);

  /** Instruments of a sheet by id in SI, with the limits of their class where the sheet gives none.
   * @param {Sheet} sheet @param {Shared} shared @returns {Map<string, SiTool>} */
  function instruments(sheet, shared) {
    return new Map(sheet.instruments.map((tool) => [tool.id, instrument(tool, shared)]));
  }

  /** @param {Tool} tool @param {Shared} shared @returns {SiTool} */
  function instrument(tool, shared) {
    const known = shared.instruments[tool.instrument];
    /** @param {string} text @param {string} unit @returns {number} */
    const si = (text, unit) => exact.toNumber(exact.multiply(exact.parse(text), exact.parse(shared.units[unit].factor)));
    /** @param {string} name */
    const own = (name) => {
      if (tool[name]) {
        return si(tool[name], tool.unit || known.unit);
      }
      const text = known[name] || (name === "mpe" ? known.usual : "");
      return text ? si(text, known.unit) : 0;
    };
    const percent = tool.mpe_percent || (tool.mpe ? "" : known.mpe_percent || known.usual_percent);
    return {
      id: tool.id,
      kind: tool.instrument,
      resolution: own("resolution"),
      mpe: percent && !tool.mpe ? 0 : own("mpe"),
      percent: Number(percent || 0),
      setOn: tool.set_on || null,
      zeroShift: Math.abs(own("zero_shift")),
    };
  }

  /** Known correction of an instrument in SI, with those of all that it was set on.
   * @param {Tool} tool @param {Tool[]} listed @param {Shared} shared @returns {Fraction} */
  function correction(tool, listed, shared) {
    const own = tool.correction
      ? exact.multiply(exact.parse(tool.correction), exact.parse(shared.units[/** @type {string} */ (tool.unit)].factor)) : exact.ZERO;
    const base = listed.find((t) => t.id === tool.set_on);
    return base ? exact.add(own, correction(base, listed, shared)) : own;
  }

  /** A reading of the sheet in SI, its instrument's known correction added, at 20 degrees Celsius.
   * @param {Reading} raw @param {number} index @param {Shared} shared @param {Warmth} warmth @param {Tool[]} listed @returns {SiReading} */
  function reading(raw, index, shared, warmth, listed) {
    const tool = /** @type {Tool} */ (listed.find((t) => t.id === raw.instrument));
    const factor = exact.parse(shared.units[raw.unit].factor);
    const shift = correction(tool, listed, shared);
    /** @param {string} text */
    const moved = (text) => exact.add(exact.multiply(exact.parse(text), factor), shift);
    const low = moved(raw.value);
    const high = raw.to === undefined ? low : moved(raw.to);
    const warmed = temperature.correction(raw, shared, warmth);
    return {
      index,
      part: raw.part,
      place: raw.place || "",
      direction: raw.direction || "",
      value: exact.multiply(exact.mean([low, high]), warmed),
      shift: exact.multiply(shift, warmed),
      half: exact.divide(exact.subtract(high, low), exact.whole(2)),
      instrument: raw.instrument,
      expansion: temperature.expansion(raw, shared, warmth),
      temperatureKnown: temperature.known(raw, warmth),
      leastOnly: isBound(raw, tool, shared) || reachesEnd(exact.subtract(high, shift), tool, shared),
    };
  }

  /** Whether a leaf goes and the next one, that does not, is not named. @param {Reading} raw @param {Tool} tool @param {Shared} shared */
  const isBound = (raw, tool, shared) =>
    shared.instruments[tool.instrument].kind === FEELER && raw.part === "gap" && raw.to === undefined;

  /** Whether a strip reads all that it measures, or the leaf that does not go is thicker than any of its set.
   * @param {Fraction} high @param {Tool} tool @param {Shared} shared */
  function reachesEnd(high, { instrument, range_to: most, unit }, shared) {
    if (most === undefined) {
      return false;
    }
    const { kind } = shared.instruments[instrument];
    const end = exact.multiply(exact.parse(most), exact.parse(shared.units[/** @type {string} */ (unit)].factor));
    return kind === "strip" ? !exact.less(high, end) : kind === FEELER && exact.less(end, high);
  }

  /** Value of one part's readings by a method, or null where the method needs more readings.
   * @param {SiReading[]} readings @param {string} method @param {Means} means @param {boolean} thermal @returns {Value | null} */
  function partValue(readings, method, means, thermal) {
    if (method === "half-dial") {
      const total = partValue(readings, "dial-total", means, thermal);
      return total && halved(total);
    }
    const cells = grid.cells(readings);
    const counted = grid.SINGLE[method](cells);
    if (counted === null) {
      return null;
    }
    const size = exact.toNumber(exact.absolute(counted));
    const { components, lift } = chance(readings, cells, method, means);
    components.push(...scale(readings, method, means.tools, size));
    if (thermal && !isDifference(method)) {
      components.push(...warmthOf(readings, size, means.warmth));
    }
    return whole({
      read: counted, components, way: readings[0].part, method, lifts: lift ? [lift] : [],
      readings: [...new Set(readings.map((r) => r.index))], leastOnly: readings.some((r) => r.leastOnly),
      positive: isDifference(method), marks: exact.toNumber(exact.largest(readings.map((r) => r.half))),
    });
  }

  /** A value with what follows from its components and lifts: bias, coverage factor, expanded uncertainty, interval.
   * @param {Counted} found @returns {Value} */
  function whole(found) {
    const { components, lifts } = found;
    const factor = coverage.factor(uncertainty.effectiveFreedom(components));
    const combined = uncertainty.combined(components);
    /** @param {number[]} all */
    const sum = (all) => all.reduce((a, b) => a + b, 0);
    const [up, down] = [sum(lifts.filter((x) => x > 0)), -sum(lifts.filter((x) => x < 0))];
    const ends = coverage.halfWidths(combined, uncertainty.reach(components), up, down);
    const [reached, below] = ends.map((/** @type {number} */ x) => (x * factor) / coverage.NORMAL);
    const [most, least] = found.positive ? [exact.toNumber(found.read), 0] : [Infinity, -Infinity];
    const above = Math.min(reached, most);
    const off = Math.max((above - below) / 2, least);
    const [expanded, bias] = [below + off, exact.fromNumber(off)];
    const value = exact.subtract(found.read, bias);
    const at = exact.toNumber(value);
    return {
      ...found, value, bias, factor, combined, expanded, standard: expanded / coverage.NORMAL, at,
      least: Math.max(at - expanded, least), most: found.leastOnly ? Infinity : at + expanded,
    };
  }

  /** Half of the dial's swing, with half of its uncertainty (JCGM 100:2008, 5.1.2). @param {Value} found */
  function halved(found) {
    /** @param {number} x */
    const half = (x) => x / 2;
    const components = found.components.map((c) => ({ ...c, standard: half(c.standard), reach: c.reach === null ? null : half(c.reach) }));
    const read = exact.divide(found.read, exact.whole(2));
    const marks = found.marks / 2;
    return whole({ ...found, read, components, method: "half-dial", lifts: found.lifts.map(half), marks });
  }

  /** @template T @param {T[]} all @param {(one: T) => number} of */
  const first = (all, of) => all.reduce((a, b) => (of(b) > of(a) ? b : a));
  /** @param {Fraction[]} all */
  const distinct = (all) => new Set(all.map((x) => x.n + "/" + x.d)).size;

  /**
   * Repeats, and steps or marks, of what is counted, and by how much they lift it where all places are alike. Readings
   * that all show the same share the error of the step.
   * @param {SiReading[]} readings @param {Cell[]} cells @param {string} method @param {Means} means
   * @returns {{components: Component[], lift: number}}
   */
  function chance(readings, cells, method, { tools, scatter }) {
    const { part: own } = readings[0];
    const alike = distinct(readings.map((r) => r.value)) === 1;
    const widest = first(readings.map((r) => /** @type {Scatter} */ (scatter.get(r.instrument))), (s) => s.deviation);
    const marks = exact.toNumber(exact.largest(readings.map((r) => r.half)));
    const between = 2 * marks || Math.max(...readings.map((r) => /** @type {SiTool} */ (tools.get(r.instrument)).resolution));
    const count = Math.min(...cells.map((c) => c.values.length));
    const [repeated, step] = ofPlace(widest, between, count);
    const names = ["repeats", marks ? "marks" : "step of the instrument"].map((name) => name + " on the " + own);
    if (isMean(method)) {
      const found = [repeated / Math.sqrt(cells.length), step / Math.sqrt(distinct(grid.means(cells)))];
      return { components: [component(names[0], found[0], 1, widest.freedom), component(names[1], found[1])], lift: 0 };
    }
    const [order, lowered] = grid.order(method, cells);
    const [hand, steps] = [repeated * lowered, alike ? step : step * lowered];
    const inSteps = isDifference(method) ? (lowered * between * IN_WHOLE_STEPS) / count ** 2 : 0;
    const lift = order.lift * (alike ? hand : Math.hypot(hand, steps)) + inSteps;
    const components = [
      component(names[0], hand * order.alone, 1, widest.freedom, hand * order.reach),
      component(names[1], steps * order.alone, 1, Infinity, alike ? null : steps * order.reach, alike),
    ];
    return { components, lift: grid.LEAST.includes(method) ? -lift : lift };
  }

  /**
   * Standard deviations that hand and step give the mean of so many readings of one place. Repeats in steps show both
   * at once; a place that was read once by a hand that no repeat shows has the hand of its class and the whole step.
   * @param {Scatter} hand @param {number} step @param {number} count @returns {number[]}
   */
  function ofPlace(hand, step, count) {
    if (count === 1 && !hand.repeats) {
      return [hand.deviation, resolved(step)];
    }
    const shown = scattering.shown(hand, step);
    return [shown / Math.sqrt(count), leftBySteps(shown, step)];
  }

  /**
   * Limits of the instruments, of what they were set on, and zero shifts. They drop out of a difference of readings of
   * one instrument; of a mean each has its share, of a largest or smallest the widest counts.
   * @param {SiReading[]} readings @param {string} method @param {Map<string, SiTool>} tools @param {number} size
   * @returns {Component[]}
   */
  function scale(readings, method, tools, size) {
    /** @param {string} id */
    const share = (id) => readings.filter((r) => r.instrument === id).length / readings.length;
    let used = [...new Set(readings.map((r) => r.instrument))].sort().map((id) => /** @type {SiTool} */ (tools.get(id)));
    if (isDifference(method) && used.length === 1) {
      return [];
    }
    if (!isMean(method) && !isDifference(method)) {
      used = [first(used, (t) => limit(t, size))];
    }
    return used.flatMap((t) => ofTool(t, readings[0].part, size, isMean(method) ? share(t.id) : 1, tools));
  }

  /** @param {SiTool} tool @param {number} size */
  const limit = (tool, size) => (tool.percent ? (tool.percent / 100) * size : tool.mpe);

  /** How far an instrument may be off at a size with its zero, and with what it was set on.
   * @param {string} id @param {Map<string, SiTool>} tools @param {number} size */
  function limitOf(id, tools, size) {
    const own = /** @type {SiTool} */ (tools.get(id));
    const base = own.setOn && tools.get(own.setOn);
    return limit(own, size) + own.zeroShift + (base ? base.mpe + base.zeroShift : 0);
  }

  /** Errors of the scale: one cause for one instrument on one kind of part.
   * @param {SiTool} tool @param {string} own @param {number} size @param {number} share @param {Map<string, SiTool>} tools */
  function ofTool(tool, own, size, share, tools) {
    /** @param {SiTool} t */
    const zero = (t) => (t.zeroShift ? [limits("zero of " + t.id, t.zeroShift * share)] : []);
    /** @param {SiTool} t @param {string} on */
    const ends = (t, on) => [limits("limit of " + t.id + " on the " + on, limit(t, size) * share), ...zero(t)];
    return [...ends(tool, own), ...settings(tool, tools).flatMap((base) => ends(base, "shaft"))];
  }

  /** What an instrument was set on, what that was set on, and so on. @param {SiTool} tool @param {Map<string, SiTool>} tools @returns {SiTool[]} */
  function settings(tool, tools) {
    const base = tool.setOn && tools.get(tool.setOn);
    return base ? [base, ...settings(base, tools)] : [];
  }

  /** What temperatures add: part and instrument apart, a temperature that nobody gave, instruments of another.
   * @param {SiReading[]} readings @param {number} size @param {Warmth} warmth @returns {Component[]} */
  function warmthOf(readings, size, { spread, roomHalf }) {
    /** @param {SiReading} r @returns {number} */
    const off = (r) => exact.toNumber(exact.absolute(exact.subtract(r.expansion, temperature.STEEL)));
    const most = exact.toNumber(exact.largest(readings.map((r) => r.expansion)));
    const found = [limits("temperature of the " + readings[0].part, grown(size, most, exact.toNumber(spread)))];
    const unlike = exact.toNumber(exact.subtract(temperature.STEEL, first(readings, off).expansion));
    if (!readings.every((r) => r.temperatureKnown)) {
      const wide = grown(size, Math.abs(unlike), temperature.UNKNOWN_KELVIN);
      found.push(limits("temperature that was not given", wide, unlike >= 0 ? 1 : -1));
    }
    const room = exact.toNumber(roomHalf);
    const tools = grown(size, exact.toNumber(temperature.STEEL), room);
    return room ? [...found, limits("temperature of the instruments", tools)] : found;
  }

  /** Bore minus shaft; causes that both share cancel (JCGM 100:2008, 5.2.2).
   * @param {Value} bore @param {Value} shaft @param {string} method */
  function difference(bore, shaft, method) {
    const taken = shaft.components.map((c) => ({ ...c, sign: -c.sign }));
    return whole({
      read: exact.subtract(bore.read, shaft.read), components: [...bore.components, ...taken], way: "bore minus shaft",
      method, readings: [...bore.readings, ...shaft.readings], lifts: [...bore.lifts, ...shaft.lifts.map((x) => -x)],
      leastOnly: false, positive: false, marks: bore.marks + shaft.marks,
    });
  }

  const values = { instruments, correction, reading, partValue, difference, limitOf };

  if (node) {
    module.exports = values;
  } else {
    window.runningFits.values = values;
  }
})();
