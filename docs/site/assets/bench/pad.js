"use strict";
// The number pad: one reading at a time, with gloves on, on a keyboard or pasted.
(function () {
  const api = window.runningFits;
  const { element, button, chips } = api.elements;
  const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "back"];
  const NAMES = /** @type {Record<string, string>} */ ({ ".": "decimal point", back: "delete the last digit", "/": "fraction bar",
    " ": "blank between the whole number and the fraction" });
  const SHOWN = /** @type {Record<string, string>} */ ({ back: "⌫", " ": "␣" });

  /** The key of a keyboard's event, or null. @param {KeyboardEvent} event @returns {string | null} */
  function keyed(event) {
    const known = /** @type {Record<string, string>} */ ({ Backspace: "back", ",": ".", ".": ".", "-": "-", "/": "/", Enter: "next" });
    return /^[0-9]$/.test(event.key) ? event.key : known[event.key] || null;
  }

  /** The field that is typed into: a real one, so that a long press pastes; phones keep their own keyboard away.
   * @param {PadSetup} setup */
  function display({ what, typed, low, write, next }) {
    const input = element("input", {
      class: "bench-typed", type: "text", inputmode: "none", autocomplete: "off", autocorrect: "off", spellcheck: "false",
      enterkeyhint: "next", "aria-label": what, "data-focus": "pad/typed", value: typed,
      on: {
        input: (/** @type {any} */ event) => write(event.target),
        keydown: (/** @type {KeyboardEvent} */ event) => {
          if (event.key === "Enter") {
            event.preventDefault();
            next();
          }
        },
      },
    });
    input.value = typed;
    return element("div", { class: "bench-entry" }, low === null ? null : element("span", { class: "bench-low" }, low + " to"), input);
  }

  /** The pad: `press` takes a key, `next` the reading; the units and whether a sign, a fraction or a second end make sense.
   * @param {PadSetup} setup */
  function pad(setup) {
    const { what, units, unit, setUnit, signed, fractions, between, setBetween, press, next, after } = setup;
    const key = (/** @type {string} */ name) =>
      button(SHOWN[name] || name, () => press(name), {
        key: "pad/" + name, class: "bench-key", "data-key": name, "aria-label": NAMES[name] || null,
      });
    const more = [
      ...(signed ? [button("−", () => press("-"), { key: "pad/-", class: "bench-key", "data-key": "-", "aria-label": "minus" })] : []),
      ...(fractions ? [key("/"), key(" ")] : []),
    ];
    if (between !== null && setBetween) {
      more.push(button(between ? "one value" : "lies between two", () => setBetween(!between), {
        key: "pad/between", class: "bench-key bench-words", "aria-pressed": String(between),
      }));
    }
    const go = button("Next", next, { key: "pad/next", class: "bench-key bench-next", "data-key": "next" });
    return element("div", { class: "bench-pad" }, element("p", { class: "bench-what" }, what),
      element("div", { class: "bench-display" }, display(setup), chips("Unit", units.map((u) => [u, u]), unit, setUnit)),
      element("div", { class: "bench-keys" }, KEYS.map(key)),
      element("div", { class: "bench-more" }, more, go), after || null
    );
  }

  api.pad = { pad, keyed };
})();
