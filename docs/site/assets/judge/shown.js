"use strict";
// A result as values and words. Mirrors scale.py and as_values.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds, bounds, decide, able] = ["exact", "rows", "build", "bounds", "decide", "able"].map(part);
  const { sizeOf } = part("resolving");
  const { allowsInterference, isCut } = part("sense");
  const { compare } = part("two_ways");

  /** Unit, factor and step in which numbers of one result are shown. @param {Row} row @param {Shared} shared @returns {Scale} */
  function scaleOf(row, shared) {
    const columns = ["lower", "upper", "nominal", "tolerance", "limit"];
    const printed = columns.map((c) => rows.cell(row, c)).filter(Boolean);
    const step = exact.smallest((printed.length ? printed : ["0"]).map(exact.step));
    const unit = rows.cell(row, "unit");
    return { unit, factor: exact.parse(shared.units[unit].factor), step };
  }

  /** @param {Value} value @param {Sheet} sheet @param {Shared} shared @returns {Scale} */
  function plainScale(value, sheet, shared) {
    const raw = sheet.readings[value.readings[0]];
    return { unit: raw.unit, factor: exact.parse(shared.units[raw.unit].factor), step: exact.step(raw.value) };
  }

  /** @param {Scale} scale @param {Fraction} si @returns {string} */
  const shownIn = (scale, si) =>
    exact.rounded(exact.divide(si, scale.factor), exact.divide(scale.step, exact.whole(10)));

  /** An uncertainty as text, rounded up to two digits. @param {Scale} scale @param {number} si @returns {string} */
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

  /** A probability as text; no model is as sure as 1 or 0. @param {number | null | undefined} chance */
  function share(chance) {
    if (chance === null || chance === undefined) {
      return null;
    }
    return chance > 0.9995 ? ">0.999" : chance < 0.0005 ? "<0.001" : chance.toFixed(3);
  }

  /** @param {Scale} scale @param {Fraction} si */
  const shows = (scale, si) => !exact.equal(exact.parse(shownIn(scale, si)), exact.ZERO);

  const EMPTY = {
    value: null, unit: null, uncertainty: null, coverage_factor: null, bias: null, least_only: false, as_read: null,
    method: null, way: null, readings: [], components: [],
  };

  /** @param {Value | null} value @param {Scale | null} scale @param {Sheet} sheet @param {Shared} shared */
  function numbersOf(value, scale, sheet, shared) {
    if (!value || !scale) {
      return EMPTY;
    }
    const causes = value.components.filter((c) => c.standard);
    return {
      value: shownIn(scale, value.value),
      unit: scale.unit,
      uncertainty: up(scale, value.expanded),
      coverage_factor: exact.fixed(exact.fromNumber(value.factor), 2),
      bias: shows(scale, value.bias) ? shownIn(scale, value.bias) : null,
      least_only: value.leastOnly,
      as_read: asRead(value, scale, sheet, shared),
      method: value.method,
      way: value.way,
      readings: value.readings,
      components: causes.map((c) => ({ cause: c.key, standard: up(scale, c.standard), sign: c.sign })),
    };
  }

  /** The value in the unit of its first reading, where that is not the row's.
   * @param {Value} found @param {Scale} scale @param {Sheet} sheet @param {Shared} shared */
  function asRead(found, scale, sheet, shared) {
    const unit = sheet.readings[found.readings[0]].unit;
    if (unit === scale.unit) {
      return null;
    }
    const factor = exact.parse(shared.units[unit].factor);
    const other = { unit, factor, step: exact.divide(exact.multiply(scale.step, scale.factor), factor) };
    return { value: shownIn(other, found.value), unit, uncertainty: up(other, found.expanded) };
  }

  /** @param {Trial} trial @param {Scale | null} scale @returns {Record<string, string | null>} */
  function marginsOf({ value, bounds: b }, scale) {
    /** @type {Record<string, Fraction | null>} */
    const gaps = value && b ? decide.margins(value.value, b) : {};
    return scale ? Object.fromEntries(Object.entries(gaps).map(([k, v]) => [k, v === null ? null : shownIn(scale, v)])) : {};
  }

  /** What another way of measuring says, and the likely causes of a disagreement.
   * @param {Value} deciding @param {Value} other @param {Scale} scale @param {Shared} shared */
  function agreementOf(deciding, other, scale, shared) {
    const found = compare(deciding, other, shared);
    return {
      way: other.way, value: shownIn(scale, other.value), uncertainty: up(scale, other.expanded),
      difference: shownIn(scale, exact.fromNumber(found.difference)), allowed: up(scale, found.expanded),
      unit: scale.unit, agrees: found.agrees, causes: found.causes,
    };
  }

  /** Ends of a play or of a running size, `lower` or `upper`, that no page prints, not even as a limit.
   * @param {Trial} trial @param {string} kind */
  function notPrinted({ bounds: b }, kind) {
    if (!b || !b.judged || b.nominal || !(bounds.RUNNING.includes(kind) || b.mates)) {
      return [];
    }
    return [["lower", b.wearLow], ["upper", b.wearHigh]].filter(([, end]) => end === null).map(([name]) => name);
  }

  /** A row's range as it is judged by, in the printed unit. @param {Row} row @param {Pick<ReadingBench, "engine" | "shared">} bench */
  function rangeOf(row, { engine, shared }) {
    const [lower, upper] = rows.range(row);
    const limit = rows.limit(row, shared.quantities[row.cells.quantity].limit_side);
    const misprints = Object.keys(row.corrected).map((column) => ({
      column, printed: row.misprints[column].printed, corrected: row.corrected[column], why: row.misprints[column].why,
    }));
    const state = rows.cell(row, "state");
    return {
      id: row.id, lower, upper, limit, nominal: rows.value(row, "nominal"), unit: rows.cell(row, "unit"),
      applies: builds.family(engine).words(rows.cell(row, "applies")) || null,
      size: rows.cell(row, "size") ? builds.sizeText(sizeOf(row)) : null, state: shared.states[state] || state || null,
      reading: rows.cell(row, "reading"), misprints, marks: row.marks, also: row.also.map(cited),
      note: rows.cell(row, "note") || null,
    };
  }

  /** @param {Cite} cite @returns {Cite} */
  const cited = ({ source, page, address, text }) => ({ source, page, address, text });

  /** A result with its row, other rows that must hold too, and the questions that are open. @param {WithHoned} found @param {ReadingBench} bench */
  function result(found, bench) {
    const { one, lead, joint, asked, settled } = found;
    const { sheet, shared } = bench;
    const open = asked.length > 0 && !settled;
    const sure = !open && found.verdict !== "bad-entry";
    const { value } = lead;
    const rowScale = lead.row && scaleOf(lead.row, shared);
    const scale = rowScale || (value && plainScale(value, sheet, shared));
    const others = open ? [] : found.tried.trials.flatMap((t) => (t !== lead && t.row ? [{ row: t.row, verdict: t.verdict }] : []));
    return {
      item: one.item,
      label: one.quantity.label,
      position: one.position,
      says: one.said,
      derived: one.derived,
      ...numbersOf(value, scale, sheet, shared),
      verdict: found.verdict,
      probability: sure ? share(joint.probability) : null,
      probability_within_limit: sure ? share(joint.withinLimit) : null,
      not_printed: open ? [] : notPrinted(joint, one.quantity.kind),
      interference: !open && joint.bounds !== null && allowsInterference(joint.bounds, one.quantity),
      margins: open ? {} : marginsOf(joint, rowScale),
      range: open || !lead.row ? null : rangeOf(lead.row, bench),
      row: open ? null : lead.row,
      others: others.map((t) => ({ ...rangeOf(t.row, bench), ...t })),
      questions: asked,
      settled,
      why: one.choice.why || null,
      passed_over: one.choice.passedOver,
      agreement: rowScale && value ? lead.others.map((o) => agreementOf(value, o, rowScale, shared)) : [],
      needs: needs(found, bench, rowScale),
      honed: honedOf(found, scale),
      order: one.quantity.order,
      caution: one.quantity.caution,
    };
  }

  /** A cylinder as it will be when it is honed, with the verdict that it then has; null where honing changes nothing. @param {WithHoned} found @param {Scale | null} scale */
  function honedOf({ honed, lead }, scale) {
    const value = honed && honed.value;
    return value && lead.value && scale && !exact.equal(value.read, lead.value.read) ? {
      allowance: shownIn(scale, exact.subtract(value.read, lead.value.read)), value: shownIn(scale, value.value),
      uncertainty: up(scale, value.expanded), unit: scale.unit, verdict: honed.verdict,
    } : null;
  }

  /** Why a play passes by no end that is printed alone, with what other pages print for the missing one.
   * @param {Value} value @param {Bounds} b @param {Scale} scale */
  function oneEnd({ least, most }, { floor, scant, ample }, scale) {
    /** @param {Fraction} end */
    const told = (end) => shownIn(scale, end) + " " + scale.unit + ": ask the maker";
    if (floor && scant && least < exact.toNumber(scant)) {
      return "no minimum is printed; by what other engines' pages print it is hardly less than " + told(scant);
    }
    if (ample && most > exact.toNumber(ample)) {
      return "no maximum is printed; by what other engines' pages print it is hardly more than " + told(ample);
    }
    return "";
  }

  const WAS_CUT = "no running wears such a part: it was cut beyond the printed range, and no page allows that it be used so";
  const WHICH_END = { lower: "least size", upper: "largest size" };

  /** What an undecided fit needs, or why a part is out for which no wear limit is printed, in a sentence.
   * @param {WithHoned} found @param {ReadingBench} bench @param {Scale | null} scale */
  function needs({ one, lead: { value }, joint: { bounds: b, doubt }, verdict }, { sheet, shared, means }, scale) {
    if (verdict === "loose" && b && b.limit === null && b.side !== "both") {
      return isCut(b, one.item) ? WAS_CUT : "no wear limit is printed, and it lies farther beyond the new range than any page of the data lets such a "
        + "part wear: not to be used as it is";
    }
    if (verdict !== "cannot-tell" || !b) {
      return null;
    }
    if (!value || doubt) {
      return shared.doubts[doubt || "nothing"];
    }
    if (value.leastOnly && value.way === "strip") {
      return "it is all that the instrument measures, so that it may be more: measure with another";
    }
    if (value.leastOnly) {
      return "a leaf that goes is the least that it can be: name the next leaf, the one that does not go";
    }
    const alone = scale && oneEnd(value, b, scale);
    if (alone) {
      return alone;
    }
    const inside = bounds.allows(b, value.least, value.most);
    if (inside && b.openEnd) {
      return "its " + WHICH_END[b.openEnd] + " is not printed: it is right only if the fit is";
    }
    const ends = b.nominal !== null && !b.fresh && [b.nominal.strict, b.nominal.loose].map(exact.toNumber);
    if (ends && (b.wearsUp ? value.most < ends[0] : value.least > ends[1])) {
      return "it lies beyond the one size that the page prints, where wear does not lead: it is right only if the fit is";
    }
    if (!inside && bounds.allowsOne(b, value.least, value.most)) {
      return "what is printed differs (two pages, or the two units of one), and it lies between: inside by one only";
    }
    const own = value.readings.map((n) => sheet.readings[n]);
    const used = own.map((raw) => means.tools.get(raw.instrument));
    return able.needed(value, b, shared, used, ["in", "thou"].includes(own[0].unit));
  }

  const made = { result, share, up };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.shown = made;
  }
})();
