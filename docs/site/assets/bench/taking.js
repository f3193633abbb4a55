"use strict";
// Taking readings: what is typed or pasted, what is not taken and why.
(function () {
  const api = window.runningFits;
  const { element, button } = api.elements;
  const { record, words, judge, numbers } = api;
  const shared = () => api.loaded.shared;

  /** @param {App} app @param {{quantity: () => any, units: () => string[], chooseUnit: (unit: string) => void,
   * slipsHere: (found: any) => any[], current: (found: any) => any}} at */
  function taking(app, { quantity, units, chooseUnit, slipsHere, current }) {
    /** What was typed or pasted and not taken: why, and what could be done. @type {any} */
    let caught = null;

    const now = () => /** @type {Now} */ (app.view().now);
    const set = (/** @type {Partial<Now>} */ more) => app.show({ now: { ...now(), ...more } });

    const signed = () => now().part === "gap" && !judge.neverNegative(quantity().kind, "gap");
    const fractions = () => now().unit === "in";

    /** @param {string} key */
    function press(key) {
      if ((key === "-" && !signed()) || ("/ ".includes(key) && !fractions())) {
        return;
      }
      type(numbers.pressed(now().typed, key));
    }

    /** @param {string} typed */
    function type(typed) {
      app.view().now = { ...now(), typed };
      app.keepView();
      app.say("");
      const input = /** @type {HTMLInputElement | null} */ (app.root.querySelector(".bench-typed"));
      if (input && input.value !== typed) {
        input.value = typed;
      }
    }

    /** What is typed into the field. @param {HTMLInputElement} input */
    const write = (input) => type(numbers.cleaned(input.value, signed()));

    /** A reading of a value, as the sheet has it. @param {string} value @param {string} unit @returns {Reading} */
    function made(value, unit) {
      const { item, said, part, position, place, direction, instrument, low } = now();
      return { item, position, part, place, direction, ...(low === null ? { value } : { value: low, to: value }), unit, instrument, ...said };
    }

    function next() {
      const value = numbers.entered(now().typed, now().unit);
      if (value === null) {
        app.say(now().typed.trim() ? now().typed + " is no number" + (fractions() ? ": type it as 0.0625, 0,0625 or 1/16." : " in " + now().unit + ": type it as 0.0625 or 0,0625.") : "Type the reading first.");
      } else if (now().between && now().low === null) {
        set({ low: value, typed: "" });
      } else {
        attempt([made(value, now().unit)]);
      }
    }

    /** Take readings, unless the sheet could not be used with them. @param {Reading[]} all */
    function attempt(all) {
      app.edit((sheet) => {
        const tried = record.exported({ ...sheet, readings: [...sheet.readings, ...all] });
        const found = judge.check(tried, app.engine(), shared());
        const unfit = found.faults.map((/** @type {any} */ f) => f.found + ", expected " + f.expected);
        const faults = unfit.length ? unfit : all.map((one) => api.absurd.absurd(one, app.engine(), shared())).filter(Boolean);
        if (faults.length) {
          caught = { lines: faults.map((/** @type {string} */ f) => "Not taken: " + f) };
          app.say("");
          app.show();
          return;
        }
        sheet.readings.push(...all);
        caught = null;
        const result = current(found);
        app.say(slipsHere(found).length ? "" : result ? words.sentence(result) : "Taken.", true);
        set({ typed: "", low: null });
      });
      toStop();
    }

    /** What was caught comes into sight; as an alert it is also read out. */
    function toStop() {
      const box = app.root.querySelector(".bench-stop[role]");
      if (box) {
        box.scrollIntoView({ block: "nearest" });
      }
    }

    /** @param {number} index @param {string} [words] */
    function takeBack(index, words = "Taken back.") {
      app.edit((sheet) => {
        sheet.readings.splice(index, 1);
        caught = null;
        app.say(words);
        set({});
      });
    }

    /** A number that is pasted is typed; several are asked for. @param {string} text @returns {boolean} */
    function paste(text) {
      const found = numbers.pasted(text);
      const known = found && found.every((/** @type {any} */ p) => (!p.unit || units().includes(p.unit)) && numbers.entered(p.typed, p.unit || now().unit) !== null);
      if (!found || !known) {
        caught = { lines: ["Not taken: " + JSON.stringify(text.slice(0, 60)) + ", expected a number, or one on each line, in " + units().join(" or ")] };
        app.show();
      } else if (found.length === 1) {
        if (found[0].unit && found[0].unit !== now().unit) {
          chooseUnit(found[0].unit);
        }
        type(found[0].typed);
      } else {
        caught = { lines: ["Take these " + found.length + " readings here? " + found.map((/** @type {any} */ p) => p.typed + (p.unit && " " + p.unit)).join("; ")], pasted: found };
        app.show();
      }
      toStop();
      return true;
    }

    const takePasted = (/** @type {any[]} */ all) => {
      app.view().now = { ...now(), low: null };
      attempt(all.map((p) => made(numbers.number(p.typed) || "", p.unit || now().unit)));
    };

    /** What was not taken, until it is seen. */
    function stop() {
      if (!caught) {
        return null;
      }
      const leave = () => {
        caught = null;
        app.show();
      };
      const { pasted } = caught;
      return element("div", { class: "bench-stop", role: "alert" },
        caught.lines.map((/** @type {string} */ l) => element("p", {}, l)), element("div", { class: "bench-buttons" },
          pasted ? button("Take them", () => takePasted(pasted), { key: "paste/take", class: "bench-plain" }) : null,
          button(pasted ? "Leave them" : "I see", leave, { key: "leave", class: "bench-plain" })));
    }

    const catch_ = (/** @type {any} */ what) => {
      caught = what;
    };

    return { caught: catch_, stop, press, write, next, paste, takeBack, signed, fractions };
  }

  api.taking = { taking };
})();
