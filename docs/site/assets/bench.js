"use strict";
// The bench page: sheet, engine, build, fit, reading, tightening, record. Judges with judge.js; what that leaves it names.
(function () {
  const api = window.runningFits;
  const { element, button, replace } = api.elements;
  const { store, record, draw, pad, steps, building, summary, sheets, judge } = api;
  const root = document.getElementById("bench");
  if (!root || !api.loaded.shared) {
    return;
  }

  const shared = () => api.loaded.shared;
  /** What this window shows. @type {View} */
  let view = store.view();
  /** The sheet that is open. @type {Sheet | null} */
  let open = null;
  /** What another window did to the sheet, until it is seen. @type {{words: string, gone: boolean} | null} */
  let elsewhere = null;
  /** Why a sheet that was to be brought in was not. @type {string[]} */
  let refused = [];
  /** @type {any} */
  let found = null;
  /** @type {string | null} */
  let at = null;
  let [depth, asked, paper] = [0, false, ""];
  const shown = element("div", { class: "bench-view" });
  const said = element("p", { class: "bench-said-out", role: "status", "aria-live": "polite" });

  const engine = () => (open && api.loaded.engines[open.engine]) || null;
  const sheet = () => /** @type {Sheet} */ (open);
  /**  */
  const titles = () => store.sheets().map((/** @type {[string, Sheet]} */ [, s]) => s.title || "");
  const say = (/** @type {string} */ text) => {
    said.textContent = text;
  };
  const judged = () => (found = found || judge.check(record.exported(sheet()), engine(), shared()));
  const keepView = () => store.keepView(view);
  const folded = (/** @type {string} */ name) => {
    const fold = /** @type {HTMLDetailsElement | null} */ (shown.querySelector('[data-fold="' + name + '"]'));
    return Boolean(fold && fold.open);
  };

  /** Open a fold and go to its first field. @param {string} name */
  function unfold(name) {
    const fold = /** @type {HTMLDetailsElement | null} */ (shown.querySelector('[data-fold="' + name + '"]'));
    if (fold) {
      fold.open = true;
      const field = /** @type {HTMLElement | null} */ (fold.querySelector('[data-focus="tool/mpe"]') || fold.querySelector("input, select"));
      field && field.focus();
    }
  }

  /** Change the sheet: unless another window changed it meanwhile; then what it has now is shown first.
   * @param {(sheet: Sheet) => void} change */
  function edit(change) {
    const id = /** @type {string} */ (view.sheet);
    if (!depth && (elsewhere && elsewhere.gone || !store.isFresh(id))) {
      adopt("What you typed still stands: look at the sheet, then press again.");
      return;
    }
    depth += 1;
    try {
      change(sheet());
    } finally {
      depth -= 1;
    }
    if (!depth) {
      sheet().changed = new Date().toISOString();
      store.write(id, sheet());
      show();
    }
  }

  /** Take over what another window made of the sheet. @param {string} more */
  function adopt(more) {
    const newer = store.read(/** @type {string} */ (view.sheet));
    const count = (/** @type {Sheet} */ s) => s.readings.length + (s.torques || []).length;
    const words = newer ? "This sheet was changed in another window: it has " + count(newer) + " lines now, here it had " + count(sheet()) + ". "
      : "This sheet was cleared in another window; here it still stands. ";
    elsewhere = { words: words + more, gone: !newer };
    open = newer || open;
    say("");
    show();
  }

  store.listen((/** @type {any} */ id) => {
    if (id === view.sheet && !store.isFresh(id)) {
      adopt("");
    } else if (view.step === "engine") {
      show();
    }
  });
  window.addEventListener("pageshow", (event) => event.persisted && view.sheet && !store.isFresh(view.sheet) && adopt(""));

  // sheets

  /** @param {string} name @param {() => void} done */
  function load(name, done) {
    if (api.loaded.engines[name] || !shared().engines.some((/** @type {any} */ e) => e.engine === name)) {
      done();
      return;
    }
    const failed = () => say("The data of this engine did not load: without network only engines that were opened before are here.");
    document.head.append(element("script", { src: "bench/" + name + ".js", on: { load: done, error: failed } }));
  }

  /** Open a sheet that is kept, or one that is not yet. @param {string} id @param {string} name @param {() => void} done */
  function take(id, name, done) {
    load(name, () => {
      const kept = store.read(id);
      const own = api.loaded.engines[kept ? kept.engine : name];
      if (!own) {
        say("This version of the data does not have that engine.");
        return;
      }
      /** @type {Sheet} */
      const made = kept || record.fresh(own, titles());
      if (!made.readings.length && !Object.keys(made.build).length) {
        made.build = record.fresh(own, []).build;
      }
      open = made;
      elsewhere = null;
      view.sheet = id;
      view.engine = own.engine;
      done();
    });
  }

  /** Choose an engine: its sheet that was changed last, else a new one. @param {string} name */
  function chooseEngine(name) {
    const isOpen = open && open.engine === name;
    const [last] = store.sheets().filter((/** @type {[string, Sheet]} */ [, s]) => s.engine === name);
    const id = isOpen ? /** @type {string} */ (view.sheet) : last ? last[0] : store.newName(name);
    take(id, name, () => show({ step: "build", now: isOpen ? view.now : null, tighten: isOpen ? view.tighten : null }));
  }

  /** A further sheet, kept at once. @param {Sheet} made */
  function add(made) {
    const id = store.newName(made.engine);
    store.write(id, { ...made, changed: new Date().toISOString() });
    take(id, made.engine, () => show({ step: made.readings.length ? "record" : "build", now: null, tighten: null }));
  }

  /** @param {string} text @param {string} name @param {string} type */
  function save(text, name, type) {
    try {
      const address = URL.createObjectURL(new Blob([text], { type }));
      element("a", { href: address, download: name }).click();
      window.setTimeout(() => URL.revokeObjectURL(address), 10000);
      say("Saved as " + name + ".");
    } catch {
      say("This browser does not save files: copy the text below.");
    }
  }

  function clear() {
    const { engine: name } = sheet();
    store.remove(/** @type {string} */ (view.sheet));
    asked = false;
    take(store.newName(name), name, () => show({ now: null, tighten: null, step: "build" }));
    say("The sheet is cleared.");
  }

  // the steps

  /** @type {App} */
  const app = {
    root, view: () => view, sheet, engine: () => /** @type {Engine} */ (engine()), build: () => api.build.parsed(sheet().build), judged, edit, show, say, keepView, folded, open: unfold,
  };
  const reading = api.reading.reading(app);
  const wrench = api.wrench.wrench(app);

  const STEPS = { engine: "Engine", build: "Build", fit: "Fit", read: "Read", tighten: "Tighten", record: "Record" };

  /** @param {string} step */
  function go(step) {
    reading.leave();
    wrench.leave();
    [asked, refused] = [false, []];
    say("");
    show({ step });
  }

  function tabs() {
    const is = /** @type {Record<string, any>} */ ({ engine: true, build: engine(), fit: engine(), read: engine() && view.now, tighten: engine(), record: engine() });
    return element("nav", { class: "bench-tabs", "aria-label": "Steps" }, Object.entries(STEPS).map(([step, label]) =>
      button(label, () => go(step), {
        key: "step/" + step, class: "bench-tab", disabled: !is[step], "aria-current": step === view.step ? "step" : null,
      })));
  }

  function engineStep() {
    const refuse = (/** @type {string[]} */ faults) => {
      refused = faults;
      show();
    };
    const acts = { open: (/** @type {string} */ id) => take(id, (store.read(id) || { engine: "" }).engine, () => show({ step: "record", now: null, tighten: null })),
      load, add: (/** @type {Sheet} */ made) => (refused = [], add(made)), refuse, save, folded };
    const why = refused.length ? element("div", { class: "bench-stop", role: "alert" }, element("p", {}, "Not brought in:"),
      element("ul", {}, refused.map((f) => element("li", {}, f)))) : null;
    return [element("h2", {}, "Which engine?"), why, ...sheets.step(view.sheet, acts), ...steps.engines({ engine: open && open.engine }, chooseEngine)];
  }

  const buildActs = {
    setBuild: (/** @type {Build} */ values) => edit((s) => {
      s.build = values;
    }),
    setStage: (/** @type {string} */ stage) => edit((s) => {
      s.stage = stage;
    }),
    done: () => go("fit"), folded, say,
  };

  function body() {
    if (view.step === "engine" || !engine()) {
      return engineStep();
    }
    const each = /** @type {Record<string, () => any>} */ ({
      build: () => building.step(engine(), sheet().build, sheet().stage, buildActs),
      fit: () => steps.fitList(engine(), sheet(), view.now, reading.take),
      read: reading.step, tighten: wrench.step, record: () => null,
    });
    return (each[view.step] || engineStep)();
  }

  function recordStep() {
    const acts = {
      keepWords: (/** @type {any} */ more) => edit((s) => Object.assign(s, more)), takeBack: reading.takeBack, say, asked, folded, save, clear,
      ask: (/** @type {boolean} */ to) => {
        asked = to;
        show();
      },
      another: () => add(record.fresh(engine(), titles())),
      following: sheet().stage === "assembled" ? null : () => add(record.following(sheet(), titles())),
      print: (/** @type {string} */ name) => {
        paper = name;
        show();
        window.print();
      },
    };
    return summary.record(engine(), sheet(), record.exported(sheet()), judged(), acts);
  }

  window.addEventListener("afterprint", () => {
    paper = "";
    show();
  });

  // the whole

  const TROUBLE = /** @type {Record<string, string>} */ ({ denied: "This browser keeps nothing: save the sheet before you leave the page.",
    full: "The storage of this browser is full: what you enter now stands on this page alone. Save the sheet, and clear sheets that are done with." });

  function notices() {
    const trouble = store.trouble();
    const seen = () => {
      if (elsewhere && elsewhere.gone) {
        store.write(/** @type {string} */ (view.sheet), sheet());
      }
      elsewhere = null;
      show();
    };
    return [
      trouble ? element("p", { class: "bench-stop" }, TROUBLE[trouble]) : null,
      elsewhere ? element("div", { class: "bench-stop", role: "alert" }, element("p", {}, elsewhere.words), element("div", { class: "bench-buttons" },
        button(elsewhere.gone ? "Keep it" : "I see", seen, { key: "elsewhere", class: "bench-plain" }),
        elsewhere.gone ? button("Clear it here too", clear, { key: "elsewhere/clear", class: "bench-plain" }) : null)) : null,
    ];
  }

  /** Show the page, with what changed of the view. @param {Partial<View>} [more] */
  function show(more = {}) {
    const before = place();
    view = { ...view, ...more };
    if (depth) {
      return;
    }
    keepView();
    if (place() !== before) {
      tried(() => window.history.pushState({ bench: view }, ""));
    }
    found = null;
    const content = body();
    const step = content ? element("div", { class: "bench-step" }, content) : null;
    const kind = content ? "bench-record bench-off" : "bench-step bench-record";
    const whole = engine() ? element("div", { class: kind }, recordStep()) : null;
    shown.dataset.paper = paper || "record";
    replace(shown, [tabs(), ...notices(), step, whole, ...(paper && engine() ? summary.others(engine(), sheet(), judged()) : [])]);
    if (at !== null && at !== view.step) {
      arrive();
    }
    at = view.step;
  }

  /** @param {() => void} act */
  function tried(act) {
    try {
      act();
    } catch {
      // a page in a folder may not be allowed to
    }
  }

  /** What the Back button goes through: steps, fits, places, joints. */
  const place = () => JSON.stringify([view.step, view.sheet, view.now && [view.now.item, view.now.position, view.now.said], view.tighten && view.tighten.joint]);

  window.addEventListener("popstate", ({ state }) => {
    const kept = state && state.bench;
    if (!kept) {
      return;
    }
    reading.leave();
    wrench.leave();
    say("");
    const shownAgain = () => {
      view = { ...view, step: kept.step, tighten: kept.tighten, now: kept.now && { ...kept.now, typed: view.now ? view.now.typed : "" } };
      show();
    };
    kept.sheet && kept.sheet !== view.sheet ? take(kept.sheet, kept.engine || "", shownAgain) : shownAgain();
  });

  /** At a new step the reader stands at its heading. */
  function arrive() {
    const head = /** @type {HTMLElement | null} */ (shown.querySelector(".bench-step h2"));
    if (head) {
      head.setAttribute("tabindex", "-1");
      head.focus({ preventScroll: true });
      root && root.scrollIntoView();
    }
  }

  /** The step that takes numbers, while one is open. */
  const typing = () => (!engine() ? null : view.step === "read" && view.now ? reading : view.step === "tighten" && view.tighten && view.tighten.joint ? wrench : null);

  const within = (/** @type {any} */ target, /** @type {string} */ selector) => Boolean(target.closest && target.closest(selector));

  /** Keys of the bench stay at the bench: no shortcut of the page around it may catch them. @param {KeyboardEvent} event */
  function onKey(event) {
    const target = /** @type {HTMLElement} */ (event.target);
    const ours = target === document.body || (root && root.contains(target));
    if (!ours || event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    event.stopPropagation();
    const key = pad.keyed(event);
    const into = typing();
    if (!into || !key || within(target, "input, select, textarea") || (key === "next" && within(target, "button, a, summary"))) {
      return;
    }
    event.preventDefault();
    if (key === "next") {
      into.next();
      return;
    }
    into.press(key);
    const field = /** @type {HTMLElement | null} */ (shown.querySelector(".bench-typed"));
    field && field.focus({ preventScroll: true });
  }

  /** A number that is pasted goes into the pad, wherever the focus is but in another field. @param {ClipboardEvent} event */
  function onPaste(event) {
    const into = typing();
    const other = within(event.target, "input, select, textarea") && !within(event.target, ".bench-typed");
    const text = event.clipboardData ? event.clipboardData.getData("text") : "";
    if (into && !other && text.trim()) {
      event.preventDefault();
      into.paste(text);
    }
  }

  /** An engine that the address names (`bench.html#amc-242`) is chosen once, so that a reload keeps what came after. */
  function named() {
    const name = decodeURIComponent(window.location.hash.slice(1));
    if (!shared().engines.some((/** @type {any} */ e) => e.engine === name)) {
      return "";
    }
    tried(() => window.history.replaceState(window.history.state, "", window.location.href.split("#")[0]));
    return name === (open && open.engine) ? "" : name;
  }

  function start() {
    tried(() => window.history.replaceState({ bench: view }, ""));
    const wanted = named();
    wanted ? chooseEngine(wanted) : show();
  }

  root.replaceChildren(draw.patterns(), shown, said);
  document.addEventListener("keydown", onKey);
  document.addEventListener("paste", onPaste);
  if (view.sheet && view.engine) {
    take(view.sheet, view.engine, start);
  } else {
    start();
  }
})();
