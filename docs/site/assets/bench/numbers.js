"use strict";
// What is typed, pasted or keyed as a number: decimal comma, fractions of an inch, a unit behind it.
(function () {
  const LONGEST = 16;
  const NUMBER = /^-?[0-9]+(\.[0-9]+)?$/;
  const FRACTION = /^(-?)(?:([0-9]+)[ -])?([0-9]+)\/(2|4|8|16|32|64|128)$/;
  const UNITS = /** @type {Record<string, string>} */ ({ '"': "in", "”": "in", inch: "in", ins: "in", "lb-ft": "lbf.ft", "ft-lb": "lbf.ft",
    "ft.lb": "lbf.ft", "lb-in": "lbf.in", "in-lb": "lbf.in", Nm: "N.m", "N m": "N.m", "°": "deg", "µm": "um" });

  /** What is typed after a key: digits, one point, a sign in front, a fraction with its whole number before a blank.
   * @param {string} typed @param {string} key @returns {string} */
  function pressed(typed, key) {
    if (key === "back") {
      return typed.slice(0, -1);
    }
    if (key === "-") {
      return typed.startsWith("-") ? typed.slice(1) : "-" + typed;
    }
    const bare = typed.replace("-", "");
    const fraction = /[ /]/.test(bare);
    if (typed.length >= LONGEST || (key === "." && (bare.includes(".") || fraction))) {
      return typed;
    }
    if (key === "/" || key === " ") {
      const fits = key === "/" ? /^([0-9]+ )?[0-9]+$/ : /^[0-9]+$/;
      return fits.test(bare) ? typed + key : typed;
    }
    return key === "." && bare === "" ? typed + "0." : typed + key;
  }

  /** What a field holds of a text: a comma as a point; a minus in front where a sign makes sense, else only between a whole
   * number and its fraction. What is no sign of a number stays in sight: 4.5O26 is asked for, never read as 4.526.
   * @param {string} text @param {boolean} [signed] @returns {string} */
  function cleaned(text, signed = true) {
    const plain = text.replace(/,/g, ".").slice(0, LONGEST);
    const rest = plain.replace(/^-/, "");
    return (signed && plain.startsWith("-") ? "-" : "") + (/^[0-9]+-[0-9/]*$/.test(rest) ? rest : rest.replace(/-/g, ""));
  }

  /** What is typed as a plain number, a fraction as its exact decimal, or null while it is none.
   * @param {string} typed @returns {string | null} */
  function number(typed) {
    const text = typed.trim().replace(/^(-?)\./, "$10.").replace(/\.$/, "");
    const parts = FRACTION.exec(text);
    return parts ? decimal(parts) : NUMBER.test(text) ? text : null;
  }

  /** @param {RegExpExecArray} parts @returns {string} */
  function decimal([, sign, whole, top, below]) {
    const places = Math.log2(Number(below));
    const scaled = (BigInt(whole || 0) * BigInt(below) + BigInt(top)) * 5n ** BigInt(places);
    const digits = String(scaled).padStart(places + 1, "0");
    const tail = digits.slice(-places).replace(/0+$/, "");
    return sign + digits.slice(0, -places) + (tail ? "." + tail : "");
  }

  /** Readings in a pasted text, each as it would be typed with its unit (empty where none stands there), or null for
   * what is no list of numbers. A comma between two digits is a decimal comma; readings stand on lines of their own or
   * apart by a semicolon or a tab.
   * @param {string} text @returns {{typed: string, unit: string}[] | null} */
  function pasted(text) {
    const parts = text.split(/[\n\r\t;]+/).map((part) => part.trim()).filter(Boolean);
    const found = parts.map((part) => {
      const [, given = "", unit = ""] = /^([-+0-9., /]+?)\s*([a-zA-Z°µ"”].*)?$/.exec(part) || [];
      const typed = given.replace(/^\+/, "").replace(",", ".");
      return { typed, unit: UNITS[unit] || unit };
    });
    return found.length && found.every((one) => number(one.typed) !== null) ? found : null;
  }

  /** What is typed for a unit, which may stand behind it, as a plain number, or null: a fraction is one of an inch.
   * @param {string} typed @param {string} unit @returns {string | null} */
  function entered(typed, unit) {
    const [one = null, more] = pasted(typed) || [];
    const fits = one && !more && ["", unit].includes(one.unit) && (unit === "in" || !one.typed.includes("/"));
    return fits ? number(one.typed) : null;
  }

  const numbers = { pressed, cleaned, number, entered, pasted, LONGEST };

  if (typeof module === "object" && module.exports) {
    module.exports = numbers;
  } else {
    window.runningFits.numbers = numbers;
  }
})();
