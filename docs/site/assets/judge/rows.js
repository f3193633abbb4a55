"use strict";
// Which row of the dataset speaks of a place, and what it allows: positions, choice, bounds. Mirrors positions.py,
// rows.py, choose.py and bounds.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  /** Place numbers of a position such as 1-4 or 1,2,4,5; empty for a named one. */
  function numbers(text) {
    if (!/^\d+(-\d+)?(,\d+(-\d+)?)*$/.test(text)) {
      return [];
    }
    return text.split(",").flatMap((part) => {
      const [first, last = first] = part.split("-").map(Number);
      return Array.from({ length: last - first + 1 }, (_, n) => first + n);
    });
  }

  /** Number and name of a bench position: 3, top-ring or 3/top-ring; null for anything else. */
  function split(text) {
    const match = /^(?:(\d{1,4})(?:\/(?=.))?)?([a-z][a-z-]*)?$/.exec(text);
    const joined = match && match[1] && match[2];
    if (!match || !text || (match[1] && Number(match[1]) < 1) || (joined && !text.includes("/"))) {
      return null;
    }
    return { number: match[1] ? Number(match[1]) : null, name: match[2] || null };
  }

  /** Place numbers that a row's position stands for, given how many there are; null where unknown. */
  function places(text, count) {
    const found = numbers(text);
    if (found.length) {
      return found;
    }
    if (!count) {
      return text === "front" ? [1] : null;
    }
    const middle = count % 2 ? (count + 1) / 2 : null;
    const inner = Array.from({ length: Math.max(count - 2, 0) }, (_, n) => n + 2).filter((n) => n !== middle);
    const half = (count + 1) / 2;
    const known = {
      front: [1],
      rear: [count],
      "outer-ends": [1, count],
      centre: middle && [middle],
      intermediate: inner,
      "front-intermediate": inner.filter((n) => n < half),
      "rear-intermediate": inner.filter((n) => n > half),
    };
    return Object.hasOwn(known, text) ? known[text] : null;
  }

  /** How many places an item has in an engine, or null. */
  function count(item, engine, shared) {
    const counted = (shared.quantities[item] || {}).count;
    return (counted && engine.counts[counted]) || null;
  }

  /** Whether a row speaks of a place such as 3, rear or 3/top-ring. */
  function applies(row, position, engine, shared) {
    const { number, name } = split(position);
    const groups = name && shared.positions[name] ? shared.positions[name].within : [];
    if (["all", name, ...groups].includes(cell(row, "position"))) {
      return true;
    }
    const most = count(row.cells.quantity, engine, shared);
    const found = places(cell(row, "position"), most) || [];
    const wanted = (number ? [number] : places(name || "", most)) || [];
    return wanted.length > 0 && found.length > 0 && wanted.every((n) => found.includes(n));
  }

  const cell = (row, column) => row.cells[column] || "";

  /** The number to judge by, as text, a registered misprint corrected; null where there is none. */
  function value(row, column) {
    const text = Object.hasOwn(row.corrected, column) ? row.corrected[column] : cell(row, column);
    return text || null;
  }

  /** Lower and upper end as text, from a nominal and its tolerance where the page prints those. */
  function range(row) {
    const [nominal, tolerance] = [value(row, "nominal"), value(row, "tolerance")];
    if (nominal !== null && tolerance !== null) {
      return [exact.joined(nominal, tolerance, -1), exact.joined(nominal, tolerance, 1)];
    }
    return [value(row, "lower"), value(row, "upper")];
  }

  /** The wear limit as a value of the quantity; an amount of wear is counted from the end that wears. */
  function limit(row, side) {
    const found = value(row, "limit");
    if (found === null || cell(row, "limit_as") !== "wear") {
      return found;
    }
    const end = range(row)[side === "lower" ? 0 : 1];
    const base = end === null ? value(row, "nominal") : end;
    return base === null ? null : exact.joined(base, found, side === "lower" ? -1 : 1);
  }

  /** New range and what is allowed with wear, exact, in SI; null on an open side. */
  function bounds(row, shared) {
    const factor = exact.parse(shared.units[cell(row, "unit")].factor);
    const si = (text) => (text === null ? null : exact.multiply(exact.parse(text), factor));
    let side = shared.quantities[row.cells.quantity].limit_side;
    const [low, high] = range(row).map(si);
    const worn = si(limit(row, side));
    if (side === "both" && worn !== null) {
      side = low !== null && !exact.less(low, worn) ? "lower" : "upper";
    }
    let [wearLow, wearHigh] = [low, high];
    if (worn !== null && side === "lower") {
      wearLow = low === null ? worn : exact.smallest([low, worn]);
    }
    if (worn !== null && side === "upper") {
      wearHigh = high === null ? worn : exact.largest([high, worn]);
    }
    const fresh = low !== null || high !== null;
    return { low, high, wearLow, wearHigh, wearsUp: side !== "lower", fresh, judged: fresh || worn !== null };
  }

  /** The four limits as numbers: open sides infinite, no new range NaN. */
  function floats(found) {
    const number = (end, missing) => (end === null ? missing : exact.toNumber(end));
    return {
      low: found.fresh ? number(found.low, -Infinity) : NaN,
      high: found.fresh ? number(found.high, Infinity) : NaN,
      wearLow: number(found.wearLow, -Infinity),
      wearHigh: number(found.wearHigh, Infinity),
    };
  }

  /** The row of an item at a position, of a class and variant, or the candidates that remain. */
  function choose(engine, shared, item, position, variant = "", kind = "new") {
    let rows = engine.rows.filter((r) => r.cells.quantity === item && applies(r, position, engine, shared));
    rows = rows.filter((r) => cell(r, "class") === kind);
    const exactly = rows.filter((r) => cell(r, "variant") === variant);
    rows = closest(exactly.length || variant ? exactly : rows, position);
    const { kept, passed } = decided(rows, engine);
    const found = distinct(kept);
    return found.length === 1
      ? { row: found[0], candidates: [], passedOver: passed }
      : { row: null, candidates: found, passedOver: passed };
  }

  /** Rows that speak most closely of the place: a named or numbered place before all. */
  function closest(rows, position) {
    const { number, name } = split(position);
    const rank = (row) => {
      const place = cell(row, "position");
      if (place === "all") {
        return 1e6;
      }
      return place === name || place === String(number) ? 0 : 1 + numbers(place).length;
    };
    const best = Math.min(...rows.map(rank));
    return rows.filter((r) => rank(r) === best);
  }

  /** Rows less those that a line of choices.csv passes over for another of them, and those. */
  function decided(rows, engine) {
    const ids = new Set(rows.map((r) => r.id));
    const over = new Set(engine.choices.filter(([row, o]) => ids.has(row) && ids.has(o)).map((c) => c[1]));
    return { kept: rows.filter((r) => !over.has(r.id)), passed: rows.filter((r) => over.has(r.id)) };
  }

  /** One row for each set of numbers and conditions; of equal ones the row that was read twice. */
  function distinct(rows) {
    const found = new Map();
    const twice = rows.filter((r) => cell(r, "reading") === "twice");
    for (const row of [...twice, ...rows.filter((r) => !twice.includes(r))]) {
      const key = JSON.stringify(alike(row));
      if (!found.has(key)) {
        found.set(key, row);
      }
    }
    return [...found.values()];
  }

  function alike(row) {
    const ends = [...range(row), value(row, "limit"), value(row, "nominal")];
    const words = ["unit", "limit_as", "variant", "at", "state", "method"].map((c) => cell(row, c));
    return [...ends.map((t) => (t === null ? null : exact.text(exact.parse(t)))), ...words];
  }

  const rows = { split, places, numbers, count, cell, value, range, limit, bounds, floats, choose, distinct };

  if (node) {
    module.exports = rows;
  } else {
    window.runningFits.rows = rows;
  }
})();
