"use strict";
// The number pad: one reading at a time, with gloves on.
(function () {
  const api = window.runningFits;
  const { element, button, chips } = api.elements;
  const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "back"];
  const NAMES = { ".": "decimal point", back: "delete the last digit" };
  const SHOWN = { back: "⌫" };
  const LONGEST = 12;

  /** What is typed after a key: digits, one point, a sign in front. */
  function pressed(typed, key) {
    if (key === "back") {
      return typed.slice(0, -1);
    }
    if (key === "-") {
      return typed.startsWith("-") ? typed.slice(1) : "-" + typed;
    }
    if (typed.length >= LONGEST || (key === "." && typed.includes("."))) {
      return typed;
    }
    const bare = typed.replace("-", "");
    return key === "." && bare === "" ? typed + "0." : typed + key;
  }

  /** What is typed as a plain number, or null while it is none. */
  function number(typed) {
    const text = typed.endsWith(".") ? typed.slice(0, -1) : typed;
    return api.exact.NUMBER.test(text) ? text : null;
  }

  /** The key of a keyboard's event, or null. */
  function keyed(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) {
      return null;
    }
    const known = { Backspace: "back", ",": ".", ".": ".", "-": "-", Enter: "next" };
    return /^[0-9]$/.test(event.key) ? event.key : known[event.key] || null;
  }

  /** The pad: `press` takes a key, `next` the reading; the units and whether a sign or a second end make sense. */
  function pad({ what, shown, units, unit, setUnit, signed, between, setBetween, press, next }) {
    const key = (name) =>
      button(SHOWN[name] || name, () => press(name), {
        key: "pad/" + name, class: "bench-key", "data-key": name, "aria-label": NAMES[name] || null,
      });
    const more = [];
    if (signed) {
      const named = { key: "pad/-", class: "bench-key", "data-key": "-", "aria-label": "minus" };
      more.push(button("−", () => press("-"), named));
    }
    if (between !== null) {
      more.push(button(between ? "one value" : "lies between two", () => setBetween(!between), {
        key: "pad/between", class: "bench-key bench-words", "aria-pressed": String(between),
      }));
    }
    const go = button("Next", next, { key: "pad/next", class: "bench-key bench-next", "data-key": "next" });
    const display = element("output", { class: "bench-typed", "aria-live": "off" }, shown);
    return element("div", { class: "bench-pad" }, element("p", { class: "bench-what" }, what),
      element("div", { class: "bench-display" }, display, chips("Unit", units.map((u) => [u, u]), unit, setUnit)),
      element("div", { class: "bench-keys" }, KEYS.map(key)),
      element("div", { class: "bench-more" }, more, go)
    );
  }

  api.pad = { pad, pressed, number, keyed };
})();
