"use strict";
// What the dataset lets expect of each reading of a sheet. Mirrors expected.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds] = ["exact", "rows", "build"].map(part);
  const { bounds } = part("bounds");
  const { apart } = part("repeats");
  const { claimed } = part("sized");

  const OTHER_PART = "the other part";

  /** @param {any} raw @param {Shared} shared */
  const factor = (raw, shared) => exact.parse(shared.units[raw.unit].factor);
  /** @param {any} raw @param {Shared} shared */
  const si = (raw, shared) => exact.toNumber(exact.multiply(exact.parse(raw.value), factor(raw, shared)));

  /** What the dataset lets expect of each reading of the sheet: numbers in SI, null where open or unknown.
   * @param {any} sheet @param {any} cases @param {Engine} engine @param {Shared} shared @param {any} means */
  function expectations(sheet, cases, engine, shared, means) {
    const entered = cases.filter((/** @type {any} */ c) => !c.derived);
    const build = builds.parsed(sheet.build);
    const found = entered.flatMap((/** @type {any} */ one) => {
      const readings = [...one.parts.values()].flat();
      const [repeats, size] = [apart(readings, means), claimed(one, build, engine, shared)];
      const own = readings.filter(({ index }) => sheet.readings[index].item === one.item);
      return own.map((reading) => ({
        ...expectation(reading, one, sheet, shared, means.tools), beside: median(beside(reading, one, entered)),
        oddUnit: oddUnit(sheet.readings[reading.index], sheet), repeats: repeats.get(reading.index),
        size,
      }));
    });
    return found.sort((/** @type {any} */ a, /** @type {Bounds} */ b) => a.index - b.index);
  }

  /** What else was read of the same in SI: other places of the item, other readings of the place, bore less shaft.
   * @param {any} _ @param {any} one @param {any} entered */
  function beside({ index, part }, one, entered) {
    /** @param {any} c */
    const said = (c) => JSON.stringify(c.said);
    const same = entered.filter((/** @type {any} */ c) => c.item === one.item && said(c) === said(one));
    const others = same.flatMap((/** @type {any} */ c) => c.parts.get(part) || []).filter((/** @type {any} */ r) => r.index !== index);
    const [bores, shafts] = ["bore", "shaft"].map((own) => (one.parts.get(own) || []).map((/** @type {any} */ r) => r.value));
    const direct = ["gap", "strip"].includes(part) && bores.length && shafts.length;
    const fit = direct ? [exact.subtract(exact.mean(bores), exact.mean(shafts))] : [];
    return [...others.map((/** @type {any} */ r) => r.value), ...fit].map(exact.toNumber);
  }

  /** Whether all other readings of the instrument bear another unit. @param {any} raw @param {any} sheet */
  function oddUnit(raw, sheet) {
    const own = sheet.readings.filter((/** @type {any} */ r) => r.instrument === raw.instrument);
    return own.length > 1 && own.filter((/** @type {any} */ r) => r.unit === raw.unit).length === 1;
  }

  /** @param {any} all */
  function median(all) {
    const [sorted, half] = [[...all].sort((a, b) => a - b), Math.floor(all.length / 2)];
    return !all.length ? null : all.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  }

  /** @param {any} _ @param {any} one @param {any} sheet @param {Shared} shared @param {any} tools */
  function expectation({ index }, one, sheet, shared, tools) {
    const raw = sheet.readings[index];
    const tool = tools.get(raw.instrument);
    const row = ownRow(raw.part, one);
    const own = limits(row, shared);
    const other = row ? null : partner(raw.part, one, sheet, shared);
    if (other) {
      Object.assign(own, { low: other, high: other, wearLow: other, wearHigh: other });
    }
    const whole = limits(one.choice.rows[0] || null, shared);
    const words = row ? shared.quantities[row.cells.quantity].label.toLowerCase() + " (" + row.cite.text + ")" : "";
    return {
      index, raw, says: one.said, part: raw.part, kind: tool.kind, setOn: tool.setOn || "", si: si(raw, shared),
      factor: exact.toNumber(factor(raw, shared)), digits: (raw.value.split(".")[1] || "").length,
      named: toolWords(raw.instrument, shared), setWords: toolWords(tool.setOn || "", shared),
      step: exact.toNumber(exact.multiply(exact.step(raw.value), factor(raw, shared))),
      resolution: tool.resolution, mpe: tool.mpe, basis: other ? OTHER_PART : words,
      ...span(raw.instrument, sheet, shared), ...spanOfBase(tool, tools, sheet, shared),
      width: whole.low === null || whole.high === null ? null : whole.high - whole.low, fitLow: whole.low, ...own,
    };
  }

  /** An instrument of a sheet for people: its class's label and its number, or the name that the sheet gives it.
   * @param {any} tool @param {Shared} shared */
  function toolWords(tool, shared) {
    const [, name, number] = /^(.*)-([0-9]+)$/.exec(tool) || [];
    return Object.hasOwn(shared.instruments, name) ? shared.instruments[name].label + ", no. " + number : tool;
  }

  /** What an instrument was set on, and what that one measures.
   * @param {any} _ @param {any} tools @param {any} sheet @param {Shared} shared */
  function spanOfBase({ setOn }, tools, sheet, shared) {
    const { spanFrom = null, spanTo = null } = setOn ? span(setOn, sheet, shared) : {};
    return { setKind: setOn ? tools.get(setOn).kind : "", setFrom: spanFrom, setTo: spanTo };
  }

  /** What an instrument measures, in SI: its own range where the sheet gives it, else its class's.
   * @param {string} name @param {any} sheet @param {Shared} shared */
  function span(name, sheet, shared) {
    const tool = sheet.instruments.find((/** @type {any} */ t) => t.id === name);
    const known = shared.instruments[tool.instrument];
    /** @param {any} own @param {string} text */
    const end = (own, text) => {
      const [value, unit] = tool[own] ? [tool[own], tool.unit] : [text, known.unit];
      return value ? si({ value, unit }, shared) : null;
    };
    return { spanFrom: end("range_from", known.span_from), spanTo: end("range_to", known.span_to) };
  }

  /** Mean of the readings of the other part of a fit, in SI; null without any.
   * @param {any} part @param {any} one @param {any} sheet @param {Shared} shared */
  function partner(part, one, sheet, shared) {
    const read = one.parts.get(/** @type {Record<string, string>} */ ({ bore: "shaft", shaft: "bore" })[part]) || [];
    const all = read.map((/** @type {any} */ r) => si(sheet.readings[r.index], shared));
    return all.length ? all.reduce((/** @type {any} */ a, /** @type {Bounds} */ b) => a + b, 0) / all.length : null;
  }

  /** Row that bounds the part that was measured. @param {any} part @param {any} one */
  function ownRow(part, one) {
    const fit = ["gap", "strip"].includes(part) || !(one.quantity.inner.length || one.quantity.of.length);
    const choice = fit ? one.choice : one.sizes[part];
    return (choice && choice.rows[0]) || null;
  }

  /** @param {Row} row @param {Shared} shared */
  function limits(row, shared) {
    if (!row) {
      return { low: null, high: null, wearLow: null, wearHigh: null, wearsUp: true };
    }
    const found = bounds(row, shared);
    /** @param {any} end */
    const number = (end) => (end === null ? null : exact.toNumber(end.loose));
    const ends = { low: number(found.low), high: number(found.high) };
    const nominal = rows.value(row, "nominal");
    if (ends.low === null && ends.high === null && nominal !== null) {
      const unit = exact.parse(shared.units[rows.cell(row, "unit")].factor);
      ends.low = ends.high = exact.toNumber(exact.multiply(exact.parse(nominal), unit));
    }
    return { ...ends, wearLow: number(found.wearLow), wearHigh: number(found.wearHigh), wearsUp: found.wearsUp };
  }

  const made = { expectations, toolWords, OTHER_PART };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.expected = made;
  }
})();
