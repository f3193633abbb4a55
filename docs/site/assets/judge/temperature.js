"use strict";
// Temperatures of a sheet, and the correction of a reading to 20 degrees Celsius. Mirrors temperature.py and degrees.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @type {any} */
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  const STEEL = exact.parse("11.5");
  const UNKNOWN_KELVIN = 10;
  const TWENTY = exact.whole(20);
  const SIZED = ["bore", "shaft"];

  /** Temperature of a text such as `21`, `21 C`, `21 °C`, `21 degC`, `70 F` or `294 K` in degrees Celsius. @param {string} text */
  function celsius(text) {
    const [, number, kelvins, scale = "C"] = /** @type {RegExpExecArray} */ (/^(-?\d+(?:\.\d+)?) ?(?:(K)|(?:deg|°)?([CFcf]))?$/.exec(text.trim()));
    const value = exact.parse(number);
    if (kelvins) {
      return exact.subtract(value, exact.parse("273.15"));
    }
    return "Ff".includes(scale) ? exact.multiply(exact.subtract(value, exact.whole(32)), exact.parse("5/9")) : value;
  }

  /** A difference of temperature of a text such as `1 K` or `2 degF` in kelvin. @param {string} text @param {Shared} shared */
  function kelvin(text, shared) {
    const [number, unit] = text.split(" ");
    const factor = Object.hasOwn(shared.units, unit) ? shared.units[unit].factor : "1";
    return exact.multiply(exact.parse(number), exact.parse(factor));
  }

  /** Temperatures of a sheet. Instruments of a room that it does not name lie between 20 °C and the parts.
   * @param {any} sheet @param {Shared} shared */
  function temperatures(sheet, shared) {
    const part = celsius(sheet.part_temperature || "20 degC");
    const half = exact.whole(2);
    const unnamed = {
      room: exact.divide(exact.add(part, TWENTY), half),
      roomHalf: exact.divide(exact.absolute(exact.subtract(part, TWENTY)), half),
    };
    const named = sheet.room_temperature && { room: celsius(sheet.room_temperature), roomHalf: exact.ZERO };
    return {
      part, ...(named || unnamed), spread: kelvin(sheet.temperature_spread || "1 K", shared),
      partKnown: sheet.part_temperature !== undefined, materials: sheet.materials || {},
    };
  }

  /** Whether the sheet gives how warm the part of a reading was. @param {any} raw @param {any} warmth */
  const known = (raw, warmth) => warmth.partKnown || raw.temperature !== undefined;

  /** The size that a reading of a bore or shaft measures, empty for a gap or strip. @param {any} raw @param {Shared} shared */
  function measuredSize(raw, shared) {
    const quantity = shared.quantities[raw.item];
    if (!SIZED.includes(raw.part)) {
      return "";
    }
    const sides = raw.part === "bore" ? quantity.outer : quantity.inner;
    return sides.length ? sides[0] : raw.item;
  }

  /** Material of the part that was read: the reading's, the sheet's for that size, the usual one, else empty.
   * @param {any} raw @param {Shared} shared @param {any} named */
  function material(raw, shared, named) {
    const size = measuredSize(raw, shared);
    return raw.material || (Object.hasOwn(named, size) && named[size]) || (size ? shared.quantities[size].material : "");
  }

  /** Expansion of the part that was read, 1e-6 per kelvin; that of steel where nobody knows the material.
   * @param {any} raw @param {Shared} shared @param {any} warmth */
  function expansion(raw, shared, warmth) {
    const name = material(raw, shared, warmth.materials);
    return name ? exact.parse(shared.materials[name].expansion) : STEEL;
  }

  /** Factor that takes a reading to 20 degC: 1 + a_s (T_s - 20) - a (T - 20) (JCGM 100:2008, H.1.2).
   * @param {any} raw @param {Shared} shared @param {any} warmth */
  function correction(raw, shared, warmth) {
    if (!SIZED.includes(raw.part)) {
      return exact.whole(1);
    }
    const part = raw.temperature ? celsius(raw.temperature) : warmth.part;
    /** @param {any} a @param {any} at */
    const off = (a, at) => exact.multiply(a, exact.subtract(at, TWENTY));
    const apart = exact.subtract(off(STEEL, warmth.room), off(expansion(raw, shared, warmth), part));
    return exact.add(exact.whole(1), exact.divide(apart, exact.whole(1000000)));
  }

  const made = { STEEL, UNKNOWN_KELVIN, celsius, kelvin, temperatures, known, measuredSize, expansion, correction };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.temperature = made;
  }
})();
