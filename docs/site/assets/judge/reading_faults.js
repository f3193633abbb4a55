"use strict";
// Faults of a reading: numbers that no part can have, temperatures that no shop has. Mirrors reading_faults.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const exact = part("exact");
  const { celsius, kelvin, measuredSize } = part("temperature");
  const { fault, quoted } = part("tool_faults");

  const [COLDEST, HOTTEST, FARTHEST_APART] = [-40, 100, 50].map(exact.whole);

  const WARM_SHOP = exact.whole(40);

  /** Temperatures that no shop has, or that may be of either scale, a spread beyond reason. @param {any} sheet @param {Shared} shared */
  function ofTemperatures(sheet, shared) {
    const own = ["part_temperature", "room_temperature"].map((name) => [name, sheet[name]]);
    const read = sheet.readings.map((/** @type {any} */ raw, /** @type {any} */ n) => ["readings[" + n + "].temperature", raw.temperature]);
    /** @param {string} text */
    const odd = (text) => exact.less(celsius(text), COLDEST) || exact.less(HOTTEST, celsius(text));
    /** @param {string} text */
    const bare = (text) => /[0-9]$/.test(text.trim()) && exact.less(WARM_SHOP, celsius(text));
    const warm = [...own, ...read].filter(([, text]) => text !== undefined).every(([, text]) => mayBeOtherScale(text));
    /** @param {any} at @param {string} text */
    const asked = (at, text) => mayBeOtherScale(text) && (at === "room_temperature" || warm);
    /** @param {any} at @param {string} text */
    const words = (at, text) => (odd(text) ? "a temperature from -40 degC to 100 degC"
      : bare(text) ? "its unit: " + text.trim() + " C or " + text.trim() + " F" : whichScale(at, text));
    const found = [...own, ...read].filter(([at, text]) => text !== undefined && (odd(text) || bare(text) || asked(at, text)))
      .map(([at, text]) => fault(at, quoted(text), words(at, text)));
    const spread = kelvin(sheet.temperature_spread || "0 K", shared);
    const far = exact.less(spread, exact.ZERO) || exact.less(FARTHEST_APART, spread);
    const expected = "a difference from 0 K to 50 K";
    return far ? [...found, fault("temperature_spread", quoted(sheet.temperature_spread), expected)] : found;
  }

  const ROOM_APART = exact.whole(30);

  /** Faults of temperatures of bores and shafts that are far from that of the instruments. @param {any} sheet */
  function ofRoom({ room_temperature: room, part_temperature: part, readings }) {
    const twenty = exact.whole(20);
    const everywhere = part === undefined ? "20 degC" : part;
    const half = exact.divide(exact.add(celsius(everywhere), twenty), exact.whole(2));
    const middle = room === undefined ? half : celsius(room);
    const told = room === undefined ? "taken to be half way from the parts to 20 C: say room_temperature" : "at " + room;
    const found = new Map();
    readings.forEach((/** @type {any} */ { part: side, temperature }, /** @type {number} */ n) => {
      const off = exact.absolute(exact.subtract(celsius(temperature || everywhere), middle));
      if (["bore", "shaft"].includes(side) && exact.less(ROOM_APART, off)) {
        const said = part === undefined ? ["room_temperature", room] : ["part_temperature", part];
        const [at, text] = temperature ? ["readings[" + n + "].temperature", temperature] : said;
        found.set(at, text);
      }
    });
    return [...found].map(([at, text]) =>
      fault(at, quoted(text), "at most 30 K between parts and instruments, which were " + told));
  }

  const ORDINARY = [-10, 45].map(exact.whole);
  /** @param {any} degrees */
  const isOrdinary = (degrees) => !exact.less(degrees, ORDINARY[0]) && !exact.less(ORDINARY[1], degrees);

  /** Whether a temperature may be in the other scale: no shop is so warm or cold. One in kelvin is meant as it is.
   * @param {string} text */
  const mayBeOtherScale = (text) => !text.trim().endsWith("K") && !isOrdinary(celsius(text));

  /** What to write for the other scale, and for a temperature that is meant as it stands. @param {any} at @param {string} text */
  function whichScale(at, text) {
    const number = text.replace(/[^0-9.,+-]/g, "");
    const [own, other] = /[Ff]$/.test(text.trim()) ? ["F", "C"] : ["C", "F"];
    const [here, there] = [own, other].map((scale) => celsius(number + " " + scale));
    /** @param {any} degrees @param {any} scale */
    const inScale = (degrees, scale) => {
      const plain = exact.toNumber(degrees);
      return Math.round(scale === "C" ? plain : plain * 1.8 + 32) + " °" + scale;
    };
    const slip = isOrdinary(there) ? number + " " + other + ", which is " + inScale(there, own) + ", or " : "";
    const kept = (exact.toNumber(here) + 273.15).toFixed(2) + " K if it was " + number + " °" + own + " ("
      + inScale(here, other) + ") indeed";
    return slip + kept + (at === "room_temperature" ? "" : ", or that of the room too if only the parts were so");
  }

  const FIT_APART = exact.whole(30);

  /** The fault of a reading whose part was far warmer or colder than the other part of its fit.
   * @param {any} raw @param {any} at @param {any} sheet @param {Shared} shared */
  function ofFit(raw, at, sheet, shared) {
    /** @param {any} other */
    const told = (other) => other.temperature || sheet.part_temperature;
    /** @param {string} text */
    const off = (text) => exact.absolute(exact.subtract(celsius(text), celsius(raw.temperature)));
    /** @param {any} other */
    const isFar = (other) => told(other) && isMate(raw, other, shared) && exact.less(FIT_APART, off(told(other)));
    const other = raw.temperature && sheet.readings.find(isFar);
    const words = other && "at most 30 K from the " + other.part + " of its fit, which was at " + told(other);
    return other ? [fault(at + ".temperature", quoted(raw.temperature), words)] : [];
  }

  /** @param {any} one @param {any} other @param {Shared} shared */
  function isMate(one, other, shared) {
    if (one.position !== other.position || !Object.hasOwn(shared.quantities, other.item)) {
      return false;
    }
    const [a, b] = [one, other].map((raw) => measuredSize(raw, shared));
    return Object.values(shared.quantities).some(({ outer, inner }) =>
      (outer.includes(a) && inner.includes(b)) || (inner.includes(a) && outer.includes(b)));
  }

  const SHORTEST = 4;

  /** The fault of a direction that is a known one but for a letter; other words are taken, and prove nothing.
   * @param {any} raw @param {string} at @param {Shared} shared @returns {any[]} */
  function ofDirection({ direction: told = "" }, at, { directions }) {
    const known = told.length < SHORTEST || Object.hasOwn(directions, told) ? [] : Object.keys(directions).sort();
    const near = known.find((word) => word.length >= SHORTEST && isOneOff(told, word));
    return near ? [fault(at + ".direction", quoted(told), "a direction of the list, perhaps " + near)] : [];
  }

  /** Whether two words differ by a letter that is more, less or another, or by two letters that changed places.
   * @param {string} one @param {string} other */
  function isOneOff(one, other) {
    const same = [...one].findIndex((letter, n) => letter !== other[n]);
    const [a, b] = [one, other].map((word) => (same < 0 ? word.slice(one.length) : word.slice(same)));
    const swapped = a.slice(0, 2) === b[1] + b[0] && a.slice(2) === b.slice(2);
    return a.slice(1) === b || a === b.slice(1) || a.slice(1) === b.slice(1) || swapped;
  }

  const PLAY = ["gap", "end-play", "backlash", "clearance", "lash"];

  /** Whether a direct reading of that kind cannot be negative; a protrusion or a form can. @param {any} kind @param {any} part */
  const neverNegative = (kind, part) => part === "strip" || (part === "gap" && PLAY.includes(kind));

  const AMOUNTS = ["form", "size", "spring", "force", "torque", "mass"];
  const SWINGS = ["cross-difference", "end-difference", "neighbour-difference", "spread"];

  /** Whether a reading may be one of several of which a form is the difference, on both sides of a dial's zero.
   * @param {any} raw @param {any} _ @param {any} sheet */
  function swings(raw, { kind, method }, sheet) {
    const same = sheet.readings.filter((/** @type {any} */ r) => ["item", "position", "part"].every((k) => r[k] === raw[k]));
    return kind === "form" && SWINGS.includes(method) && same.length > 1;
  }

  /** @param {any} raw @param {any} at @param {any} quantity @param {any} sheet */
  function ofValue(raw, at, quantity, sheet) {
    const value = exact.parse(raw.value);
    const found = [];
    if (neverNegative(quantity.kind, raw.part) && value.n < 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a gap or play of 0 or more"));
    } else if (["bore", "shaft"].includes(raw.part) && value.n <= 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a size above 0"));
    } else if (AMOUNTS.includes(quantity.kind) && value.n < 0n && !swings(raw, quantity, sheet)) {
      const words = "0 or more: " + quantity.label.toLowerCase() + " is an amount without a sign";
      found.push(fault(at + ".value", quoted(raw.value), words));
    }
    if (raw.to !== undefined && !exact.less(value, exact.parse(raw.to))) {
      found.push(fault(at + ".to", quoted(raw.to), "more than the value"));
    }
    return found;
  }

  const made = { ofTemperatures, ofRoom, ofFit, ofDirection, ofValue, neverNegative };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.reading_faults = made;
  }
})();
