"use strict";
// The step of tightening at work: what is typed, taken, stopped and taken back.
(function () {
  const api = window.runningFits;
  const { element, button } = api.elements;
  const { record, tool: tools, numbers, tightening } = api;
  /** @type {Tightening} */
  const EMPTY = { joint: null, cycle: 1, place: "", typed: "", unit: "", threads: "", instrument: "" };
  const MOST = 20;
  /** How many times what is printed no wrench was ever set to. */

  /** @param {App} app */
  function wrench(app) {
    /** A line that lies outside what is printed, until the builder says what to do. @type {{line: any, words: string, more: boolean} | null} */
    let held = null;

    /** The unit in which the pad takes a number now. */
    let shownUnit = "N.m";

    /** @returns {Tightening} */
    const at = () => ({ ...EMPTY, ...app.view().tighten });
    /** @param {Partial<Tightening>} more */
    function set(more) {
      held = null;
      app.show({ tighten: { ...at(), ...more } });
    }

    /** @param {string} typed */
    function type(typed) {
      app.view().tighten = { ...at(), typed };
      app.keepView();
      app.say("");
      const input = /** @type {HTMLInputElement | null} */ (app.root.querySelector(".bench-typed"));
      if (input && input.value !== typed) {
        input.value = typed;
      }
    }

    /** @param {string} key */
    const press = (key) => ("-/ ".includes(key) ? undefined : type(numbers.pressed(at().typed, key)));

    /** The instrument that is set, and what can be changed of it. @param {string} kind @param {string} unit */
    function tool(kind, unit) {
      const sheet = app.sheet();
      const known = sheet.instruments.find((t) => t.id === at().instrument);
      const own = known || record.usual(sheet, kind, unit);
      app.view().tighten = { ...at(), instrument: own.id };
      const change = (/** @type {any} */ { instrument, tool: more, open }) => (open ? app.open(open) : app.edit(() => {
        if (more) {
          Object.assign(own, more);
        } else if (instrument) {
          set({ instrument: instrument.startsWith("new/") ? record.instrument(sheet, instrument.slice(4), unit).id : instrument });
        }
      }));
      return element("div", {}, element("div", { class: "bench-folds" }, tools.fold(sheet, own.id, app.folded("tool"), change)),
        tools.question(own, record.named(own.id, sheet), change));
    }

    /** Take a line; what lies outside what is printed is asked for first. @param {any} line @param {Stage} stage @param {boolean} more */
    function take(line, stage, more) {
      const words = tightening.against(line, stage);
      if (words) {
        held = { line, words, more };
        app.say("");
        app.show();
        return;
      }
      put(line, more);
    }

    /** A line goes into the sheet; where more fasteners of the stage follow, what was set stays typed. @param {any} line @param {boolean} more */
    function put(line, more) {
      app.edit((sheet) => {
        const lines = sheet.torques || [];
        const order = Math.max(0, ...lines.map((l, n) => l.order || n + 1)) + 1;
        const said = Object.fromEntries(Object.entries({ ...line, instrument: at().instrument, order }).filter(([, v]) => v !== ""));
        sheet.torques = [...lines, said];
        app.say("Recorded: " + tightening.lineWords(said) + ".");
        set(more ? {} : { typed: "", unit: "" });
      });
    }

    /** What lies outside what is printed. @param {any} row */
    function stop(row) {
      if (!held) {
        return null;
      }
      const { line, words, more } = held;
      const again = () => set({ typed: "" });
      const ends = [row.cells.upper, row.cells.nominal, row.cells.lower].filter(Boolean).map(Number);
      const factor = (/** @type {string} */ unit) => api.exact.toNumber(api.exact.parse(api.loaded.shared.units[unit].factor));
      const absurd = ends.length > 0 && Number(line.value) * factor(line.unit) > MOST * Math.max(...ends) * factor(row.cells.unit);
      return element("div", { class: "bench-stop", role: "alert" }, element("p", {}, (absurd ? "Not taken: " : "") + words),
        element("div", { class: "bench-buttons" },
          button("Set it again", again, { key: "torque/again", class: "bench-plain" }),
          absurd ? null : button("It was set so: record it", () => put(line, more), { key: "torque/keep", class: "bench-plain" })));
    }

    /** @param {number} index */
    const takeBack = (index) => app.edit((sheet) => {
      (sheet.torques || []).splice(index, 1);
      app.say("Taken back.");
    });

    /** @param {any} asked @param {string} word */
    const answer = (asked, word) => app.edit((sheet) => {
      sheet.build = api.building.answered(sheet.build, asked.question, word, "all", api.build.family(app.engine()));
    });

    const write = (/** @type {HTMLInputElement} */ input) => type(numbers.cleaned(input.value, false));
    const typed = () => at().typed;
    const using = (/** @type {string} */ unit) => {
      shownUnit = unit;
    };
    const acts = { at: set, using, judged: app.judged, typed, say: app.say, take, stop, press, write, tool, takeBack, answer };
    const step = () => tightening.step(app.engine(), app.sheet(), app.build(), at(), acts);

    /** The next step is asked for by the button; a key does what it does. */
    const next = () => {
      const go = /** @type {HTMLButtonElement | null} */ (app.root.querySelector('[data-focus="pad/next"], [data-focus="stage/done"]'));
      go && go.click();
    };

    /** @param {string} text @returns {boolean} */
    function paste(text) {
      const [one = null, more] = numbers.pasted(text) || [];
      const units = api.loaded.shared.units;
      const fits = one && (!one.unit || (units[one.unit] && units[one.unit].dimension === units[shownUnit].dimension));
      if (one && !more && fits && !one.typed.startsWith("-")) {
        one.unit && set({ unit: one.unit });
        type(one.typed);
      } else {
        app.say("Not taken: expected one number, alone or in a unit such as " + shownUnit + ".");
      }
      return true;
    }

    const leave = () => {
      held = null;
    };

    return { step, press, next, paste, leave };
  }

  api.wrench = { wrench };
})();
