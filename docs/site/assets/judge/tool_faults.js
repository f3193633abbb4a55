"use strict";
// Faults of instruments: numbers that none of a class has, what one was set on, what it cannot measure. Mirrors
// tool_faults.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const exact = part("exact");
  const { measuredSize } = part("temperature");

  /** @param {string} place @param {any} found @param {any} expected */
  const fault = (place, found, expected) => ({ place, found, expected });
  /** @param {any} value */
  const quoted = (value) => JSON.stringify(value);

  /** What a table has under a name of its own. @param {any} table @param {any} name */
  const listed = (table, name) => (Object.hasOwn(table, name) ? table[name] : undefined);

  const IN_UNIT = ["resolution", "mpe", "correction", "zero_shift", "range_from", "range_to"];

  const [BEST, WORST, FINEST, COARSEST, CORRECTED, OFF] = [20, 10, 100, 20, 3, 30];
  /** @param {any} a @param {any} of */
  const portion = (a, of) => exact.multiply(a, exact.fraction(1n, BigInt(of)));
  /** @param {any} a @param {any} by */
  const fold = (a, by) => exact.multiply(a, exact.whole(by));

  /** Limit, step, correction and zero of an instrument that no instrument of its class has: a slip of digits or unit.
   * @param {any} tool @param {any} known @param {any} at @param {any} sheet @param {Shared} shared */
  function ofNumbers(tool, known, at, sheet, shared) {
    const own = exact.parse(shared.units[tool.unit || known.unit].factor);
    /** @param {string} text */
    const si = (text) => exact.multiply(exact.parse(text || "0"), exact.parse(shared.units[known.unit].factor));
    const [limit, step] = [si(known.mpe || known.usual), si(known.resolution || known.mpe || known.usual)];
    const off = fold(limit.n === 0n ? step : limit, OFF);
    const bounds = [
      ["mpe", own, portion(limit, BEST), fold(limit, WORST), "a limit"],
      ["resolution", own, portion(step, FINEST), fold(step, COARSEST), "a step"],
      ["zero_shift", own, exact.ZERO, off, "a shift"],
    ];
    const [ofLimit, ofStep, ofZero] = bounds.map(([field, factor, least, most, words]) =>
      (most.n === 0n ? [] : beyond(tool, field, factor, [least, most], words, tool.unit || known.unit, at)));
    const corrected = [ofCorrection, ofShareOfCorrection].flatMap((of) => of(tool, known, at, sheet, shared));
    return [...ofLimit, ...ofStep, ...corrected, ...ofZero];
  }

  /** A fault where a number of an instrument lies beyond two ends.
   * @param {any} tool @param {string} field @param {any} factor @param {any} _ @param {string} words @param {string} unit @param {any} at */
  function beyond(tool, field, factor, [least, most], words, unit, at) {
    const value = tool[field] && exact.multiply(exact.absolute(exact.parse(tool[field])), factor);
    /** @param {any} end */
    const shown = (end) => rough(exact.toNumber(end) / exact.toNumber(factor));
    const low = least.n === 0n ? "of at most " : "from " + shown(least) + " to ";
    const expected = words + " of such instruments, " + low + shown(most) + " " + unit;
    const fine = !value || !(exact.less(value, least) || exact.less(most, value));
    return fine ? [] : [fault(at + "." + field, quoted(tool[field]), expected)];
  }

  /** A known correction, alone or with those of what the instrument was set on, that none of its class has.
   * @param {any} tool @param {any} known @param {any} at @param {any} sheet @param {Shared} shared */
  function ofCorrection(tool, known, at, sheet, shared) {
    const limit = siOf(known.mpe || known.usual || known.resolution || "0", known.unit, shared);
    const most = exact.multiply(exact.parse(known.corrected), limit);
    const alone = { ...sheet, instruments: [] };
    if (![sheet, alone].some((of) => exact.less(most, exact.absolute(correctedBy(tool, of, shared))))) {
      return [];
    }
    const unit = tool.unit || known.unit;
    const field = tool.correction ? "correction" : "set_on";
    const shown = rough(exact.toNumber(most) / exact.toNumber(exact.parse(shared.units[unit].factor)));
    const expected = most.n === 0n
      ? "no correction of such instruments, nor of what they are set on: a " + known.label + " has none"
      : "a correction of such instruments, of at most " + shown + " " + unit + ", alone and with that of what it was set on";
    return [fault(at + "." + field, quoted(tool[field]), expected)];
  }

  /** @param {string} text @param {string} unit @param {Shared} shared */
  const siOf = (text, unit, shared) => exact.multiply(exact.parse(text), exact.parse(shared.units[unit].factor));

  /** Known correction of an instrument in SI units, with those of all that it was set on.
   * @param {any} tool @param {any} sheet @param {Shared} shared */
  function correctedBy(tool, sheet, shared) {
    let [total, next] = [exact.ZERO, tool];
    for (const seen = new Set(); next && !seen.has(next.id); next = sheet.instruments.find((/** @type {any} */ t) => t.id === (next.set_on || ""))) {
      seen.add(next.id);
      const told = next.correction && Object.hasOwn(shared.units, next.unit || "");
      total = told ? exact.add(total, siOf(next.correction, next.unit, shared)) : total;
    }
    return total;
  }

  /** A known correction that is too large a share of the least that was read or set with an instrument.
   * @param {any} tool @param {any} known @param {any} at @param {any} sheet @param {Shared} shared */
  function ofShareOfCorrection(tool, known, at, sheet, shared) {
    const unit = tool.unit || known.unit;
    const read = readWith(tool.id, shared.units[unit].dimension, sheet, shared);
    const percent = fold(percentOf(known), CORRECTED);
    if (percent.n === 0n || !read.length) {
      return [];
    }
    const most = portion(exact.multiply(percent, exact.smallest(read)), 100);
    if (!exact.less(most, exact.absolute(correctedBy(tool, sheet, shared)))) {
      return [];
    }
    const field = tool.correction ? "correction" : "set_on";
    const shown = rough(exact.toNumber(most) / exact.toNumber(exact.parse(shared.units[unit].factor)));
    const expected = "a correction of such instruments, of at most " + rough(exact.toNumber(percent)) + " % of the least "
      + "that was read or set with it: " + shown + " " + unit + " with that of what it was set on";
    return [fault(at + "." + field, quoted(tool[field]), expected)];
  }

  /** @param {any} known */
  const percentOf = (known) => exact.parse(known.mpe_percent || known.usual_percent || "0");

  /** A limit in percent that no instrument of its class has, or of a class that has none in percent.
   * @param {any} tool @param {any} known @param {any} at */
  function ofPercent(tool, known, at) {
    const percent = percentOf(known);
    if (percent.n === 0n && tool.mpe_percent) {
      const expected = "the limit of such instruments in " + known.unit + ", as mpe";
      return [fault(at + ".mpe_percent", quoted(tool.mpe_percent), expected)];
    }
    return beyond(tool, "mpe_percent", exact.whole(1), [portion(percent, BEST), fold(percent, WORST)], "a limit", "%", at);
  }

  /** A limit in its unit, of an instrument whose class has one in percent, too good for what was read with it.
   * @param {any} tool @param {any} known @param {any} at @param {any} sheet @param {Shared} shared */
  function ofShare(tool, known, at, sheet, shared) {
    const unit = tool.unit || known.unit;
    const largest = largestRead(tool.id, shared.units[unit].dimension, sheet, shared);
    const best = portion(exact.multiply(percentOf(known), largest), 100 * BEST);
    const least = exact.divide(best, exact.parse(shared.units[unit].factor));
    const words = "a limit of such instruments, at least " + rough(exact.toNumber(least)) + " " + unit;
    const fine = !tool.mpe || !exact.less(exact.parse(tool.mpe), least);
    return fine ? [] : [fault(at + ".mpe", quoted(tool.mpe), words + " at what was read with it")];
  }

  /** The largest that was read with an instrument, in SI units; 0 where nothing was.
   * @param {any} id @param {any} dimension @param {any} sheet @param {Shared} shared */
  const largestRead = (id, dimension, sheet, shared) => exact.largest([exact.ZERO, ...readWith(id, dimension, sheet, shared)]);

  /** How large each thing is that was read or set with an instrument, in SI units; a loosening is none.
   * @param {any} id @param {any} dimension @param {any} sheet @param {Shared} shared */
  function readWith(id, dimension, sheet, shared) {
    const all = [...sheet.readings, ...(sheet.torques || [])];
    const own = all.filter((r) => r.instrument === id && (shared.units[r.unit] || {}).dimension === dimension);
    return own.map((r) => exact.absolute(siOf(r.value, r.unit, shared))).filter((size) => size.n !== 0n);
  }

  /** Faults of what an instrument was set on: none of the sheet, nothing to set on, itself in the end.
   * @param {any} tool @param {any} known @param {any} at @param {any} sheet @param {Shared} shared */
  function ofSetting(tool, known, at, sheet, shared) {
    const base = sheet.instruments.find((/** @type {any} */ t) => t.id === tool.set_on);
    if (!tool.set_on) {
      return [];
    }
    if (!base || base === tool) {
      return [fault(at, quoted(tool.set_on), "another instrument of this sheet")];
    }
    const own = listed(shared.instruments, base.instrument);
    /** @param {any} _ */
    const dimension = ({ unit }) => shared.units[unit].dimension;
    if (own && (own.sets !== "yes" || dimension(own) !== dimension(known))) {
      return [fault(at, quoted(base.id) + " (" + own.label + ")", "what a " + known.label + " can be set on")];
    }
    if (!known.measures) {
      return [fault(at, quoted(base.id), "nothing: a " + known.label + " is a standard itself")];
    }
    const round = inACircle(tool, sheet);
    return round ? [fault(at, quoted(base.id), "an instrument that was not set on this one in turn")] : [];
  }

  /** @param {any} tool @param {any} sheet */
  function inACircle(tool, sheet) {
    const seen = new Set();
    let next = tool;
    while (next && !seen.has(next.id)) {
      seen.add(next.id);
      next = sheet.instruments.find((/** @type {any} */ t) => t.id === (next.set_on || ""));
    }
    return Boolean(next);
  }

  /** Faults of a reading that its instrument cannot give, or of a part that its quantity does not have.
   * @param {any} raw @param {any} at @param {any} sheet @param {Shared} shared */
  function ofMeasuring(raw, at, sheet, shared) {
    const own = shared.quantities[measuredSize(raw, shared) || raw.item];
    const [usual, tool] = [shared.instruments[own.instrument], sheet.instruments.find((/** @type {any} */ t) => t.id === raw.instrument)];
    const known = tool && listed(shared.instruments, tool.instrument);
    const [other, words] = [/** @type {Record<string, string>} */ ({ bore: "shaft", shaft: "bore" })[raw.part] || "", usual.measures.split(" ")];
    if (own.kind !== "clearance" && words.includes(other) && !words.includes(raw.part)) {
      return [fault(at + ".part", quoted(raw.part), quoted(other) + ": " + own.label.toLowerCase() + " is measured as that")];
    }
    const thing = own.dimension === "length" ? raw.part : own.dimension;
    const wrong = known && !measures(known, thing, own, usual);
    const found = quoted(raw.instrument) + " (" + (known || {}).label + ")";
    return wrong ? [fault(at + ".instrument", found, "an instrument that measures a " + thing)] : [];
  }

  /** Whether an instrument can give a reading of a thing: by what it measures, or as the usual one of a quantity.
   * @param {any} known @param {any} thing @param {any} quantity @param {any} usual */
  function measures(known, thing, quantity, usual) {
    const words = known.measures.split(" ");
    if (quantity.dimension === "count" || words.includes(thing)) {
      return true;
    }
    if (quantity.kind === "clearance" || quantity.dimension !== "length") {
      return false;
    }
    return known.kind === usual.kind || (words.includes("height") && usual.measures.split(" ").includes("height"));
  }

  /** Two digits of a number, without an exponent. @param {any} x */
  const rough = (x) => String(Number(Number(x.toPrecision(2)).toFixed(7)));

  /** @param {any} tool @param {any} n @param {any} sheet @param {Shared} shared */
  function ofTool(tool, n, sheet, shared) {
    const at = "instruments[" + n + "]";
    const again = sheet.instruments.findIndex((/** @type {any} */ t) => t.id === tool.id) < n;
    const found = again ? [fault(at + ".id", quoted(tool.id) + " again", "each instrument once")] : [];
    const known = listed(shared.instruments, tool.instrument);
    if (!known) {
      return [...found, fault(at + ".instrument", quoted(tool.instrument), "a class of the dataset")];
    }
    if (!tool.unit && IN_UNIT.some((k) => tool[k])) {
      found.push(fault(at, "no unit for " + tool.id, "the unit of resolution, limit and shift"));
    } else {
      const wrong = ofUnit(tool.unit || known.unit, shared.units[known.unit].dimension, at + ".unit", shared);
      found.push(...(wrong.length ? wrong : [...ofNumbers(tool, known, at, sheet, shared), ...ofShare(tool, known, at, sheet, shared)]));
    }
    return [...found, ...ofPercent(tool, known, at), ...ofSetting(tool, known, at + ".set_on", sheet, shared)];
  }

  /** @param {string} unit @param {any} dimension @param {string} place @param {Shared} shared */
  function ofUnit(unit, dimension, place, shared) {
    const known = Object.hasOwn(shared.units, unit) && shared.units[unit].dimension === dimension;
    return known ? [] : [fault(place, quoted(unit), "a unit of " + dimension)];
  }

  const made = { fault, quoted, listed, ofUnit, ofTool, ofMeasuring };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.tool_faults = made;
  }
})();
