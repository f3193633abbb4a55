"use strict";
// From readings to values with their uncertainty. Mirrors grid.py, values.py and uncertainty.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  const STEEL = 11.5;
  const DIFFERENCES = ["cross-difference", "end-difference", "neighbour-difference", "spread"];

  /** Repeated readings by place and direction, in order. */
  function cells(readings) {
    const found = new Map();
    for (const r of readings) {
      const key = JSON.stringify([r.place, r.direction]);
      if (!found.has(key)) {
        found.set(key, { by: [r.place, r.direction], values: [] });
      }
      found.get(key).values.push(r.value);
    }
    return [...found.values()];
  }

  const means = (grid) => grid.map((c) => exact.mean(c.values));

  function span(values) {
    return values.length > 1 ? exact.subtract(exact.largest(values), exact.smallest(values)) : null;
  }

  /** Largest difference between readings that agree in place (0) or direction (1); null without two of them. */
  function largestSpan(grid, by) {
    const groups = new Map();
    for (const c of grid) {
      groups.set(c.by[by], [...(groups.get(c.by[by]) || []), exact.mean(c.values)]);
    }
    const spans = [...groups.values()].map(span).filter((s) => s !== null);
    return spans.length ? exact.largest(spans) : null;
  }

  /** Largest difference between the means of two neighbouring places, in the order of the sheet; null with one. */
  function neighbours(grid) {
    const names = [...new Set(grid.map((c) => c.by[0]))];
    const found = names.map((name) => exact.mean(grid.filter((c) => c.by[0] === name).map((c) => exact.mean(c.values))));
    const apart = found.slice(1).map((value, n) => exact.absolute(exact.subtract(value, found[n])));
    return apart.length ? exact.largest(apart) : null;
  }

  const top = (grid) => exact.largest(means(grid));
  const bottom = (grid) => exact.smallest(means(grid));
  const middle = (grid) => exact.mean(means(grid));

  const SINGLE = {
    "cross-difference": (grid) => largestSpan(grid, 0),
    "dial-total": top,
    "end-difference": (grid) => largestSpan(grid, 1),
    "half-dial": (grid) => exact.divide(top(grid), exact.whole(2)),
    largest: top,
    mean: middle,
    "mean-then-largest": middle,
    "neighbour-difference": neighbours,
    smallest: bottom,
    spread: (grid) => span(means(grid)),
    "total-travel": top,
    "widest-gap": top,
    "widest-strip": bottom,
  };

  const PAIRED = {
    "largest-bore-minus-largest-shaft": ["largest", "largest"],
    "largest-bore-minus-smallest-shaft": ["largest", "smallest"],
    "mean-bore-minus-mean-shaft": ["mean", "mean"],
    "smallest-bore-minus-largest-shaft": ["smallest", "largest"],
    "smallest-bore-minus-mean-shaft": ["smallest", "mean"],
  };

  /** Method for readings of one part where the row's own is for a pair, or where none is given. */
  function singleMethod(method, part, side) {
    if (part === "strip") {
      return "widest-strip";
    }
    return Object.hasOwn(SINGLE, method) ? method : { upper: "largest", lower: "smallest", both: "mean" }[side];
  }

  /** Method for a bore and a shaft where the row's own is for one part, or where none is given. */
  function pairMethod(method) {
    return Object.hasOwn(PAIRED, method) ? method : "mean-bore-minus-mean-shaft";
  }

  /** Instruments of a sheet by id in SI, with the limits of their class where the sheet gives none. */
  function instruments(sheet, shared) {
    return new Map(sheet.instruments.map((tool) => [tool.id, instrument(tool, shared)]));
  }

  function instrument(tool, shared) {
    const known = shared.instruments[tool.instrument];
    const si = (text, unit) => exact.toNumber(exact.multiply(exact.parse(text), exact.parse(shared.units[unit].factor)));
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

  /** A reading of the sheet in SI, its instrument's known correction added. */
  function reading(raw, index, shared, tool = {}) {
    const factor = exact.parse(shared.units[raw.unit].factor);
    const shift = tool.correction
      ? exact.multiply(exact.parse(tool.correction), exact.parse(shared.units[tool.unit].factor)) : exact.whole(0);
    const moved = (text) => exact.add(exact.multiply(exact.parse(text), factor), shift);
    const low = moved(raw.value);
    const high = raw.to === undefined ? low : moved(raw.to);
    return {
      index,
      part: raw.part,
      place: raw.place || "",
      direction: raw.direction || "",
      value: exact.mean([low, high]),
      half: exact.divide(exact.subtract(high, low), exact.whole(2)),
      instrument: raw.instrument,
    };
  }

  const rectangular = (half) => half / Math.sqrt(3);
  const resolved = (step) => step / Math.sqrt(12);
  const component = (key, standard) => ({ key, standard, sign: 1 });

  /** Value of one part's readings by a method, or null where the method needs more readings. */
  function partValue(readings, method, tools, kelvin, thermal) {
    if (method === "half-dial") {
      const whole = partValue(readings, "dial-total", tools, kelvin, thermal);
      return whole && halved(whole);
    }
    const grid = cells(readings);
    const value = SINGLE[method](grid);
    if (value === null) {
      return null;
    }
    const size = exact.toNumber(exact.absolute(value));
    const parts = components(readings, grid, method, tools, size);
    if (thermal && !DIFFERENCES.includes(method)) {
      const growth = size * STEEL * 1e-6 * kelvin;
      parts.push(component("temperature of the " + readings[0].part, rectangular(growth)));
    }
    return { value, components: parts, way: readings[0].part, method, readings: readings.map((r) => r.index) };
  }

  /** Half of the dial's swing, with half of its uncertainty (JCGM 100:2008, 5.1.2). */
  function halved(whole) {
    const components = whole.components.map((c) => ({ ...c, standard: c.standard / 2 }));
    return { ...whole, value: exact.divide(whole.value, exact.whole(2)), components, method: "half-dial" };
  }

  /** Limits of the instrument and of what it was set on, steps, repeats, zero shift. */
  function components(readings, grid, method, tools, size) {
    const part = readings[0].part;
    const difference = DIFFERENCES.includes(method);
    const averaged = method.startsWith("mean") ? 1 / Math.sqrt(grid.length) : 1;
    const factor = difference ? Math.sqrt(2) : averaged;
    const found = scatter(readings, grid, part, factor);
    for (const id of new Set(readings.map((r) => r.instrument))) {
      const tool = tools.get(id);
      found.push(component("step of " + tool.id + " on the " + part, resolved(tool.resolution) * factor));
      if (!difference) {
        found.push(...scale(tool, part, size, tools));
      }
    }
    return found;
  }

  function scatter(readings, grid, part, factor) {
    const found = [];
    const repeats = Math.min(...grid.map((c) => c.values.length));
    const { deviation, freedom } = pooled(grid.map((c) => c.values));
    if (freedom) {
      found.push(component("repeats on the " + part, (deviation / Math.sqrt(repeats)) * factor));
    }
    const width = exact.toNumber(exact.largest(readings.map((r) => r.half)));
    if (width) {
      found.push(component("marks on the " + part, rectangular(width) * factor));
    }
    return found;
  }

  /** Errors of the scale: one cause for one instrument on one kind of part. */
  function scale(tool, part, size, tools) {
    const limit = tool.percent ? (tool.percent / 100) * size : tool.mpe;
    const found = [component("limit of " + tool.id + " on the " + part, rectangular(limit)), ...zero(tool)];
    if (tool.setOn) {
      const base = tools.get(tool.setOn);
      found.push(component("limit of " + base.id + " on the shaft", rectangular(base.mpe)), ...zero(base));
    }
    return found;
  }

  const zero = (tool) => (tool.zeroShift ? [component("zero of " + tool.id, rectangular(tool.zeroShift))] : []);

  /** Pooled standard deviation of repeats and its degrees of freedom (JCGM 100:2008, 4.2.4). */
  function pooled(groups) {
    let [squares, freedom] = [0, 0];
    for (const group of groups) {
      const centre = exact.mean(group);
      const off = group.map((x) => exact.subtract(x, centre));
      squares += exact.toNumber(off.map((x) => exact.multiply(x, x)).reduce(exact.add, exact.ZERO));
      freedom += group.length - 1;
    }
    return freedom ? { deviation: Math.sqrt(squares / freedom), freedom } : { deviation: 0, freedom: 0 };
  }

  /** Bore minus shaft; causes that both share cancel (JCGM 100:2008, 5.2.2). */
  function difference(bore, shaft, method) {
    const taken = shaft.components.map((c) => ({ ...c, sign: -c.sign }));
    return {
      value: exact.subtract(bore.value, shaft.value),
      components: [...bore.components, ...taken],
      way: "bore minus shaft",
      method,
      readings: [...bore.readings, ...shaft.readings],
    };
  }

  /** Combined standard uncertainty: signed sum within a cause, root sum of squares over causes. */
  function combined(parts) {
    const sums = new Map();
    for (const c of parts) {
      sums.set(c.key, (sums.get(c.key) || 0) + c.sign * c.standard);
    }
    return Math.sqrt([...sums.values()].reduce((sum, u) => sum + u * u, 0));
  }

  const values = {
    SINGLE, PAIRED, cells, singleMethod, pairMethod, instruments, reading, partValue, difference, combined,
    rectangular, resolved,
  };

  if (node) {
    module.exports = values;
  } else {
    window.runningFits.values = values;
  }
})();
