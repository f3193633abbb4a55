"use strict";
// A result as values and words. Mirrors scale.py and as_values.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds, values, decide, able] = ["exact", "rows", "build", "values", "decide", "able"].map(part);

  /** Unit, factor and step in which numbers of one result are shown. */
  function scaleOf(row, shared) {
    const columns = ["lower", "upper", "nominal", "tolerance", "limit"];
    const printed = columns.map((c) => rows.cell(row, c)).filter(Boolean);
    const step = exact.smallest((printed.length ? printed : ["0"]).map(exact.step));
    const unit = rows.cell(row, "unit");
    return { unit, factor: exact.parse(shared.units[unit].factor), step };
  }

  function plainScale(value, sheet, shared) {
    const raw = sheet.readings[value.readings[0]];
    return { unit: raw.unit, factor: exact.parse(shared.units[raw.unit].factor), step: exact.step(raw.value) };
  }

  const shownIn = (scale, si) =>
    exact.rounded(exact.divide(si, scale.factor), exact.divide(scale.step, exact.whole(10)));

  /** An uncertainty as text, rounded up to two digits. */
  function up(scale, si) {
    if (!(si > 0)) {
      return "0";
    }
    const value = exact.divide(exact.fromNumber(si), scale.factor);
    const place = Math.floor(Math.log10(exact.toNumber(value))) - 1;
    const power = exact.whole(10n ** BigInt(Math.abs(place)));
    const unit = place < 0 ? exact.divide(exact.whole(1), power) : power;
    return exact.rounded(exact.multiply(exact.whole(exact.ceiling(exact.divide(value, unit))), unit), unit);
  }

  /** A probability as text; no model is as sure as 1 or 0. */
  function share(chance) {
    if (chance === null || chance === undefined) {
      return null;
    }
    return chance > 0.9995 ? ">0.999" : chance < 0.0005 ? "<0.001" : chance.toFixed(3);
  }

  function numbersOf(lead, scale, sheet, shared) {
    const empty = { value: null, unit: null, uncertainty: null, as_read: null, method: null, way: null };
    if (!lead.value || lead.ways > 1) {
      return { ...empty, readings: [], components: [] };
    }
    const { value, components } = lead.value;
    const expanded = decide.COVERAGE_FACTOR * values.combined(components);
    const causes = components.filter((c) => c.standard);
    return {
      value: shownIn(scale, value),
      unit: scale.unit,
      uncertainty: up(scale, expanded),
      as_read: asRead(lead.value, expanded, scale, sheet, shared),
      method: lead.value.method,
      way: lead.value.way,
      readings: lead.value.readings,
      components: causes.map((c) => ({ cause: c.key, standard: up(scale, c.standard), sign: c.sign })),
    };
  }

  /** The value in the unit of its first reading, where that is not the row's. */
  function asRead(found, expanded, scale, sheet, shared) {
    const unit = sheet.readings[found.readings[0]].unit;
    if (unit === scale.unit) {
      return null;
    }
    const factor = exact.parse(shared.units[unit].factor);
    const other = { unit, factor, step: exact.divide(exact.multiply(scale.step, scale.factor), factor) };
    return { value: shownIn(other, found.value), unit, uncertainty: up(other, expanded) };
  }

  function marginsOf(lead, scale) {
    if (!lead.value || !lead.bounds || lead.ways > 1) {
      return {};
    }
    const gaps = decide.margins(lead.value.value, lead.bounds, Boolean(rows.cell(lead.row, "limit")));
    return Object.fromEntries(Object.entries(gaps).map(([k, v]) => [k, v === null ? null : shownIn(scale, v)]));
  }

  /** A row's range as it is judged by, in the printed unit. */
  function rangeOf(row, { engine, shared }) {
    const [lower, upper] = rows.range(row);
    const limit = rows.limit(row, shared.quantities[row.cells.quantity].limit_side);
    const misprints = Object.keys(row.corrected).map((column) => ({
      column, printed: row.misprints[column].printed, corrected: row.corrected[column], why: row.misprints[column].why,
    }));
    const state = rows.cell(row, "state");
    return {
      id: row.id, lower, upper, limit, nominal: rows.value(row, "nominal"), unit: rows.cell(row, "unit"),
      applies: builds.family(engine).words(rows.cell(row, "applies")) || null, state: shared.states[state] || state || null,
      reading: rows.cell(row, "reading"), misprints, marks: row.marks, also: row.also.map(cited),
      note: rows.cell(row, "note") || null,
    };
  }

  const cited = ({ source, page, address, text }) => ({ source, page, address, text });

  /** A result with its row, other rows that must hold too, and the questions that are open. */
  function result(found, bench) {
    const { one, lead, asked, settled } = found;
    const { sheet, shared } = bench;
    const open = asked.length > 0 && !settled;
    const sure = !open && found.verdict !== "bad-entry";
    const scale = lead.row ? scaleOf(lead.row, shared) : lead.value && plainScale(lead.value, sheet, shared);
    const others = open ? [] : found.tried.trials.filter((t) => t !== lead && t.row);
    return {
      item: one.item,
      label: one.quantity.label,
      position: one.position,
      says: one.said,
      derived: one.derived,
      two_ways: lead.ways > 1,
      ...numbersOf(lead, scale, sheet, shared),
      verdict: found.verdict,
      probability: sure ? share(lead.probability) : null,
      probability_within_limit: sure ? share(lead.withinLimit) : null,
      margins: open ? {} : marginsOf(lead, scale),
      range: open || !lead.row ? null : rangeOf(lead.row, bench),
      row: open ? null : lead.row,
      others: others.map((t) => ({ ...rangeOf(t.row, bench), row: t.row, verdict: t.verdict })),
      questions: asked,
      settled,
      why: one.choice.why || null,
      passed_over: one.choice.passedOver,
      needs: needs(found, shared),
      order: one.quantity.order,
      caution: one.quantity.caution,
    };
  }

  function needs({ lead, verdict, tried: all }, shared) {
    if (verdict !== "cannot-tell" || !lead.bounds) {
      return null;
    }
    if (!lead.value) {
      return "the readings do not give it: a clearance needs bore and shaft, a form needs two places or directions";
    }
    if (new Set(all.trials.map((t) => t.verdict)).size > 1) {
      return "the pages differ, and it lies between them: inside by one, not by the other";
    }
    return able.needed(lead.value, lead.bounds, shared);
  }

  const made = { result, share, up };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.shown = made;
  }
})();
