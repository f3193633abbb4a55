"use strict";
// Verdicts on a bench sheet in the browser: the same answers as `runningfits check`, proved by the same test vectors.
// What it cannot judge it names. Mirrors judge.py, decide.py, able.py, scale.py, words.py and present.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./judge/" + name + ".js") : window.runningFits[name]);
  const [exact, rows, values, slips, faults] = ["exact", "rows", "values", "slips", "faults"].map(part);

  const COVERAGE_FACTOR = 2;

  /** Verdict of a value with its expanded uncertainty (0 for simple acceptance): ISO 14253-1. On a limit is inside. */
  function decide(value, uncertainty, ends, wearsUp) {
    const [least, most] = [value - uncertainty, value + uncertainty];
    const [above, below] = [least > ends.wearHigh, most < ends.wearLow];
    if (wearsUp ? below : above) {
      return "tight";
    }
    if (wearsUp ? above : below) {
      return "loose";
    }
    if (!(least >= ends.wearLow && most <= ends.wearHigh)) {
      return "cannot-tell";
    }
    if (least >= ends.low && most <= ends.high) {
      return "new";
    }
    return most < ends.low || least > ends.high || Number.isNaN(ends.low) ? "worn" : "cannot-tell";
  }

  /** Probability that the true value lies between two limits; null without any (JCGM 106:2012, 7.2 to 7.4). */
  function probability(value, standard, low, high) {
    if (Number.isNaN(low) || Number.isNaN(high)) {
      return null;
    }
    if (!(standard > 0)) {
      return value >= low && value <= high ? 1 : 0;
    }
    return exact.normal((high - value) / standard) - exact.normal((low - value) / standard);
  }

  /** Distance of an exact value to each limit, positive inside. */
  function margins(value, found, limited) {
    const gap = (a, b) => (a === null || b === null ? null : exact.subtract(a, b));
    const worn = found.wearsUp ? found.wearHigh : found.wearLow;
    return {
      lower: gap(value, found.low),
      upper: gap(found.high, value),
      limit: limited ? (found.wearsUp ? gap(worn, value) : gap(value, worn)) : null,
    };
  }

  // which readings belong together

  function items(sheet, shared) {
    const groups = new Map();
    sheet.readings.forEach((raw, index) => {
      const by = [raw.item, raw.position, raw.variant || "", raw.class || "new"];
      const name = JSON.stringify(by);
      if (!groups.has(name)) {
        const [item, position, variant, kind] = by;
        groups.set(name, { item, position, variant, kind, readings: [], derived: false });
      }
      groups.get(name).readings.push(values.reading(raw, index, shared));
    });
    return [...groups.values()];
  }

  /** Sizes and forms that the same readings give, where the engine has a row for them. */
  function derived(found, engine, shared) {
    const at = (name, position) => JSON.stringify([name, position]);
    const asked = new Set(found.map((i) => at(i.item, i.position)));
    const there = new Set(engine.rows.map((r) => r.cells.quantity));
    const more = new Map();
    for (const item of found) {
      for (const [name, own] of parts(item.item, shared)) {
        const readings = item.readings.filter((r) => r.part === own);
        const place = at(name, item.position);
        const wanted = readings.length && there.has(name) && !asked.has(place) && !more.has(place);
        if (wanted && !byDial(name, item.position, engine, shared)) {
          more.set(place, { ...item, item: name, readings, derived: true });
        }
      }
    }
    return [...more.values()];
  }

  /** Whether the row of a form counts the swing of a dial, which diameters do not give. */
  function byDial(name, position, engine, shared) {
    const { row } = rows.choose(engine, shared, name, position);
    return row !== null && ["dial-total", "half-dial"].includes(rows.cell(row, "method"));
  }

  /** Items that an item's readings give, each with the part whose readings count. */
  function parts(item, shared) {
    const quantity = shared.quantities[item];
    let sizes = [...quantity.outer.map((n) => [n, "bore"]), ...quantity.inner.map((n) => [n, "shaft"])];
    if (quantity.kind === "size") {
      sizes = [[item, quantity.limit_side === "upper" ? "bore" : "shaft"]];
    }
    const forms = Object.keys(shared.quantities).flatMap((name) =>
      sizes.filter(([size]) => shared.quantities[name].of.includes(size)).map(([, own]) => [name, own])
    );
    return [...sizes.filter(([name]) => name !== item), ...forms];
  }

  /** Values of an item by each way of measuring. */
  function valuesOf(item, row, tools, kelvin, shared) {
    const quantity = shared.quantities[item.item];
    const method = (row && rows.cell(row, "method")) || quantity.method;
    const thermal = quantity.dimension === "length";
    const by = (own) => item.readings.filter((r) => r.part === own);
    const one = (own, way, warm) => values.partValue(by(own), way, tools, kelvin, warm);
    const found = [];
    if (quantity.inner.length && by("bore").length && by("shaft").length) {
      const pair = values.pairMethod(method);
      const [bore, shaft] = ["bore", "shaft"].map((own, n) => one(own, values.PAIRED[pair][n], thermal));
      found.push(bore && shaft && values.difference(bore, shaft, pair));
    }
    for (const own of quantity.inner.length ? ["gap", "strip"] : ["bore", "shaft", "gap", "strip"]) {
      if (by(own).length) {
        const way = values.singleMethod(method, own, quantity.limit_side);
        found.push(one(own, way, thermal && (own === "bore" || own === "shaft")));
      }
    }
    return found.filter(Boolean);
  }

  function judged(item, engine, shared, tools, sheet, spoiled) {
    let chosen = rows.choose(engine, shared, item.item, item.position, item.variant, item.kind);
    if (!chosen.row && item.derived) {
      chosen = rows.choose(engine, shared, item.item, item.position);
    }
    const ways = valuesOf(item, chosen.row || chosen.candidates[0] || null, tools, spread(sheet, shared), shared);
    const found = { ...item, ...chosen, value: ways[0] || null, ways: ways.length, verdict: "" };
    found.bounds = chosen.row ? rows.bounds(chosen.row, shared) : null;
    found.verdict = undecidable(found, item.readings.some((r) => spoiled.has(r.index)));
    return found.verdict ? found : { ...found, ...verdict(found, sheet.decision || "guarded") };
  }

  function undecidable(found, spoiled) {
    if (spoiled) {
      return "bad-entry";
    }
    if (found.candidates.length) {
      return "which-row";
    }
    if (!found.bounds || !found.bounds.judged) {
      return "no-range";
    }
    if (found.ways > 1) {
      return "two-ways";
    }
    return found.value ? "" : "cannot-tell";
  }

  function verdict(found, decision) {
    const value = exact.toNumber(found.value.value);
    const standard = values.combined(found.value.components);
    const ends = rows.floats(found.bounds);
    const guard = decision === "guarded" ? COVERAGE_FACTOR * standard : 0;
    return {
      verdict: decide(value, guard, ends, found.bounds.wearsUp),
      probability: probability(value, standard, ends.low, ends.high),
      withinLimit: probability(value, standard, ends.wearLow, ends.wearHigh),
    };
  }

  /** By how many kelvin part and instrument may differ: 1 where the sheet does not say. */
  function spread(sheet, shared) {
    const [number, unit] = (sheet.temperature_spread || "1 K").split(" ");
    return exact.toNumber(exact.multiply(exact.parse(number), exact.parse(shared.units[unit].factor)));
  }

  // words and numbers of a result

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

  function numbersOf(found, scale, sheet, shared) {
    const empty = { value: null, unit: null, uncertainty: null, as_read: null, method: null, way: null };
    if (!found.value || found.ways > 1) {
      return { ...empty, readings: [], components: [] };
    }
    const { value, components } = found.value;
    const expanded = COVERAGE_FACTOR * values.combined(components);
    const causes = components.filter((c) => c.standard);
    return {
      value: shownIn(scale, value),
      unit: scale.unit,
      uncertainty: up(scale, expanded),
      as_read: asRead(found.value, expanded, scale, sheet, shared),
      method: found.value.method,
      way: found.value.way,
      readings: found.value.readings,
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

  function marginsOf(found, scale) {
    if (!found.value || !found.bounds || found.ways > 1) {
      return {};
    }
    const gaps = margins(found.value.value, found.bounds, Boolean(rows.cell(found.row, "limit")));
    return Object.fromEntries(Object.entries(gaps).map(([k, v]) => [k, v === null ? null : shownIn(scale, v)]));
  }

  /** A row's range as it is judged by, in the printed unit. */
  function rangeOf(row, shared) {
    const [lower, upper] = rows.range(row);
    const limit = rows.limit(row, shared.quantities[row.cells.quantity].limit_side);
    const misprints = Object.keys(row.corrected).map((column) => ({
      column, printed: rows.cell(row, column), corrected: row.corrected[column], why: row.misprints[column],
    }));
    const words = { state: rows.cell(row, "state") || null, reading: rows.cell(row, "reading") };
    const nominal = rows.value(row, "nominal");
    return { id: row.id, lower, upper, limit, nominal, unit: rows.cell(row, "unit"), ...words, misprints };
  }

  function result(found, sheet, shared) {
    const quantity = shared.quantities[found.item];
    const row = found.row || found.candidates[0] || null;
    const scale = row ? scaleOf(row, shared) : found.value && plainScale(found.value, sheet, shared);
    return {
      item: found.item,
      label: quantity.label,
      position: found.position,
      variant: found.variant,
      class: found.kind,
      derived: found.derived,
      two_ways: found.ways > 1,
      ...numbersOf(found, scale, sheet, shared),
      verdict: found.verdict,
      probability: share(found.probability),
      probability_within_limit: share(found.withinLimit),
      margins: marginsOf(found, scale),
      range: found.row ? rangeOf(found.row, shared) : null,
      row: found.row,
      candidates: found.candidates,
      passed_over: found.passedOver,
      needs: needs(found, shared),
      order: quantity.order,
      caution: quantity.caution,
    };
  }

  // which instrument could tell

  const FAMILIES = {
    "bore minus shaft": ["outside-micrometer", "caliper"],
    bore: ["outside-micrometer", "caliper"],
    shaft: ["outside-micrometer", "caliper"],
    gap: ["dial-indicator", "caliper"],
    strip: ["outside-micrometer", "caliper"],
  };

  function needs(found, shared) {
    if (found.verdict !== "cannot-tell" || !found.bounds) {
      return null;
    }
    if (!found.value) {
      return "the readings do not give it: a clearance needs bore and shaft, a form needs two places or directions";
    }
    return able(found.value, found.bounds, shared);
  }

  /** What could decide a value that lies within its uncertainty of a boundary, in a sentence. */
  function able(value, found, shared) {
    const at = exact.toNumber(value.value);
    const ends = [found.low, found.high, found.wearLow, found.wearHigh].filter((e) => e !== null);
    const room = Math.min(...ends.map((e) => Math.abs(at - exact.toNumber(e))));
    const paired = ["bore minus shaft", "bore", "strip"].includes(value.way);
    const twice = paired ? Math.SQRT2 : 1;
    const most = Math.min(room, COVERAGE_FACTOR * values.combined(value.components) * 0.9);
    const known = publishedLimits(value.way, shared).map((c) => ({ ...c, expanded: c.expanded * twice }));
    const fit = known.filter((c) => c.expanded < most);
    if (fit.length) {
      const more = (a, b) => b.expanded > a.expanded || (b.expanded === a.expanded && b.name > a.name);
      const last = fit.reduce((a, b) => (more(a, b) ? b : a));
      const article = "aeiou".includes(last.name[0]) ? "an " : "a ";
      return article + last.name + (paired ? " and a bore gauge set on it" : "") + " could tell";
    }
    if (expandedOf(1e-6, 1e-6) * twice < room) {
      const tool = value.way === "gap" ? "a dial indicator" : "a micrometer";
      const gauge = paired ? " and a bore gauge set on it" : "";
      return tool + " reading to 0.001 mm, checked on gauge blocks," + gauge + " could tell";
    }
    return "it lies on the boundary: no usual instrument can tell; decide as if it were out, or select other parts";
  }

  const expandedOf = (limit, step) =>
    COVERAGE_FACTOR * Math.hypot(values.rectangular(limit), values.resolved(step));

  function publishedLimits(way, shared) {
    const families = FAMILIES[way] || ["dial-indicator"];
    const names = Object.keys(shared.instruments).filter((n) => families.some((f) => n.startsWith(f)));
    return names.filter((n) => shared.instruments[n].mpe).map((n) => {
      const kind = shared.instruments[n];
      const factor = exact.toNumber(exact.parse(shared.units[kind.unit].factor));
      const expanded = expandedOf(Number(kind.mpe) * factor, Number(kind.resolution || 0) * factor);
      return { name: kind.label.split(",")[0], expanded };
    });
  }

  // the whole

  const TEMPERATURES = ["part_temperature", "room_temperature"];

  /** What of a sheet would change a verdict here and is not worked out here: then nothing is judged. */
  function refused(sheet) {
    const warm = TEMPERATURES.some((k) => sheet[k]) || sheet.readings.some((r) => r.temperature || r.material);
    const found = warm ? ["corrections for temperature and material"] : [];
    return sheet.guides ? [...found, "rules of thumb"] : found;
  }

  /** Verdicts on a sheet; `refused` and `faults` say why there are none, `left` what is not judged here. */
  function check(raw, engine, shared) {
    const sheet = faults.filled(raw);
    const found = { faults: faults.faults(sheet, engine, shared), refused: [], left: [], results: [], findings: [] };
    if (found.faults.length) {
      return found;
    }
    found.left = sheet.torques && sheet.torques.length ? ["tightening"] : [];
    found.refused = refused(sheet);
    return found.refused.length ? found : { ...found, ...all(sheet, engine, shared) };
  }

  function all(sheet, engine, shared) {
    const tools = values.instruments(sheet, shared);
    const findings = slips.findings(sheet, engine, shared, tools);
    const spoiled = new Set(findings.filter((f) => f.severity === "error").map((f) => f.reading));
    const asked = items(sheet, shared);
    const every = [...asked, ...derived(asked, engine, shared)];
    const found = every.map((i) => judged(i, engine, shared, tools, sheet, spoiled));
    const kept = found.filter((j) => j.value || !j.derived);
    return { results: kept.map((j) => result(j, sheet, shared)), findings };
  }

  const judge = { check, decide, probability, margins, share, up, neverNegative: faults.neverNegative };

  if (node) {
    module.exports = judge;
  } else {
    window.runningFits.judge = judge;
  }
})();
