"use strict";
// Results in words, as on the terminal.
(function () {
  const api = window.runningFits;

  const PASSED = ["new", "worn", "serviceable"];
  const MISSING = /** @type {Record<string, string>} */ ({ lower: "no minimum", upper: "no maximum" });

  /** Verdict in words; of what passed, with the end that no page prints. @param {any} _ */
  function verdict({ verdict: said, not_printed: missing = [] }) {
    const open = PASSED.includes(said) && missing.length === 1 ? " (" + MISSING[missing[0]] + " is printed)" : "";
    return api.loaded.shared.words[said] + open;
  }

  /** Whether a verdict is out at a stage, open, or neither. @param {{verdict: string}} result @param {string} [stage] */
  function kind(result, stage) {
    const out = ["loose", "tight", "bad-entry", "low", "high", "out-of-order", ...(stage === "found" ? [] : ["past-new"])];
    if (out.includes(result.verdict)) {
      return "out";
    }
    return [...PASSED, "agrees", "followed"].includes(result.verdict) ? "in" : "open";
  }

  /** @param {any} r */
  const measured = (r) => r.value + " ± " + r.uncertainty + " " + r.unit;
  /** @param {any} r */
  const least = (r) => r.value + " " + r.unit;

  /** Value with its uncertainty, or what it is at least; also in the unit of the readings where that is another.
   * @param {Result} result */
  function value(result) {
    if (result.value === null) {
      return "";
    }
    const [told, before] = result.least_only ? [least, "at least "] : [measured, ""];
    return before + told(result) + (result.as_read ? " (" + told(result.as_read) + ")" : "");
  }

  /** New range and limit, with their repair size; an asterisk marks a registered misprint. @param {any} found @returns {string} */
  function range(found) {
    if (!found) {
      return "";
    }
    const { lower, upper, limit, nominal, unit, size } = found;
    const ends = lower && upper ? lower + " to " + upper : lower ? "at least " + lower : upper ? "at most " + upper : "";
    const words = [ends || nominal, limit && "limit " + limit].filter(Boolean).join("; ");
    return words ? words + " " + unit + (found.misprints.length ? "*" : "") + (size ? " for " + size : "") : "";
  }

  /** Which bore a cylinder will be when it is honed, and its verdict then; empty for others. @param {any} _ @returns {string} */
  function honed({ honed: then }) {
    return then ? "the verdict is for the bore as it stands; when " + then.allowance + " " + then.unit + " are honed off: "
      + measured(then) + ", " + api.loaded.shared.words[then.verdict] : "";
  }

  /** How many of the places were measured, where not all were; else empty. @param {any} found @returns {string} */
  function counted({ results, missing }) {
    const read = new Set(results.filter((/** @type {any} */ r) => !r.derived).map((/** @type {any} */ r) => r.item + " " + r.position)).size;
    return read && missing.length
      ? read + " of " + (read + missing.length) + " places measured: nothing is known of the others." : "";
  }

  /** @param {string} position */
  const named = (position) => (api.loaded.shared.positions[position] || { label: position }).label;

  /** A place in words: 3, rear, or top ring of 3. @param {string} position */
  function place(position) {
    const found = api.places.split(position);
    if (!found) {
      return position;
    }
    const { number, name } = found;
    return [number, name && named(name)].filter(Boolean).join(", ");
  }

  /** Places in a few words: 1 to 7; front, rear. @param {any} positions */
  function placesIn(positions) {
    const runs = [];
    for (const position of positions) {
      const last = runs[runs.length - 1];
      const next = last && last.every((p) => /^[0-9]+$/.test(p)) && position === String(Number(last[last.length - 1]) + 1);
      if (next) {
        last.push(position);
      } else {
        runs.push([position]);
      }
    }
    /** @param {any} run */
    const told = (run) => (run.length > 2 ? run[0] + " to " + run[run.length - 1] : run.map(place).join(", "));
    return runs.map(told).join(", ");
  }

  /** What a line of a sheet says of its row, in words. @param {Record<string, string>} all @returns {string[]} */
  function saying(all) {
    const { asking, loaded } = api;
    return Object.entries(all).map(([column, word]) =>
      (column === "class" ? word + " range" : asking.detailLabel(word, column, loaded.shared)));
  }

  /** A result in one sentence. @param {Result} result */
  function sentence(result) {
    const told = [value(result), range(result.range) && "range " + range(result.range), verdict(result)];
    const where = [result.label, place(result.position), ...saying(result.says)].join(", ");
    return where + ": " + told.filter(Boolean).join("; ");
  }

  const PARTS = /** @type {Record<string, string>} */ ({ gap: "the gap itself", strip: "a strip" });

  /** A part of a fit: the name of its size where it has one. @param {string} name @param {Quantity} quantity */
  function part(name, quantity) {
    if (quantity.kind === "size") {
      return quantity.label;
    }
    const own = { bore: quantity.outer, shaft: quantity.inner }[name] || [];
    const sizes = own.length || PARTS[name] ? own : quantity.of;
    return sizes.length ? api.loaded.shared.quantities[sizes[0]].label : PARTS[name] || name;
  }

  /** A reading in words. @param {any} raw */
  function reading(raw) {
    const where = [raw.place, raw.direction].filter(Boolean).join(", ");
    return raw.value + (raw.to ? " to " + raw.to : "") + " " + raw.unit + (where ? " (" + where + ")" : "");
  }

  api.words = { verdict, kind, value, range, honed, counted, place, placesIn, said: saying, sentence, part, reading };
})();
