"use strict";
// What the browser keeps: each sheet under a name of its own, so that two windows never write over each other's; and
// in each window which sheet is open and what is being typed. What storage does not take stays in the page, and is said.
(function () {
  const api = window.runningFits;
  const [SHEET, VIEW, BEFORE] = ["running-fits/sheet/", "running-fits/bench", "running-fits-bench"];

  /** What this window last saw of each sheet: the text, or null where there was none.
   * @type {Map<string, string | null>} */
  const seen = new Map();
  /** Sheets that storage did not take. @type {Map<string, string>} */
  const here = new Map();

  /** @param {() => T} act @param {T} otherwise @returns {T} @template T */
  function tried(act, otherwise) {
    try {
      return act();
    } catch {
      return otherwise;
    }
  }

  /** @param {string} name @returns {string | null} */
  const stored = (name) => tried(() => window.localStorage.getItem(name), null);

  /** @param {string} id @returns {string | null} */
  const textOf = (id) => (here.has(id) ? here.get(id) || null : stored(SHEET + id));

  /** @param {string | null} text @returns {any} */
  const parsed = (text) => (text ? tried(() => JSON.parse(text), null) : null);

  /** @param {any} s @returns {boolean} */
  const isWhole = (s) => Boolean(s && typeof s.engine === "string" && s.build && Array.isArray(s.instruments) && Array.isArray(s.readings));

  /** The sheet of a name as it is kept now; null where there is none.
   * @param {string} id @returns {Sheet | null} */
  function read(id) {
    const text = textOf(id);
    const found = parsed(text);
    seen.set(id, text);
    return isWhole(found) ? found : null;
  }

  /** Keep a sheet.
   * @param {string} id @param {Sheet} sheet */
  function write(id, sheet) {
    const text = JSON.stringify(sheet);
    const taken = tried(() => (window.localStorage.setItem(SHEET + id, text), true), false);
    taken ? here.delete(id) : here.set(id, text);
    seen.set(id, text);
  }

  /** Whether no other window has changed a sheet since this one saw it.
   * @param {string} id @returns {boolean} */
  const isFresh = (id) => here.has(id) || tried(() => window.localStorage.getItem(SHEET + id) === (seen.get(id) ?? null), true);

  /** @param {string} id */
  function remove(id) {
    here.delete(id);
    tried(() => window.localStorage.removeItem(SHEET + id), undefined);
    seen.set(id, null);
  }

  /** Names of all sheets. @returns {string[]} */
  function names() {
    const all = tried(() => Object.keys(window.localStorage), []);
    return [...new Set([...all.filter((n) => n.startsWith(SHEET)).map((n) => n.slice(SHEET.length)), ...here.keys()])];
  }

  /** Sheets by name, the one changed last first. @returns {[string, Sheet][]} */
  function sheets() {
    const all = names().map((id) => /** @type {[string, Sheet]} */ ([id, parsed(textOf(id))])).filter(([, s]) => isWhole(s));
    return all.sort(([, a], [, b]) => (b.changed || "").localeCompare(a.changed || ""));
  }

  /** What is kept under a sheet's name and is no sheet: its text, by name. @returns {[string, string][]} */
  const damaged = () => names().map((id) => /** @type {[string, string]} */ ([id, textOf(id) || ""])).filter(([, t]) => !isWhole(parsed(t)));

  /** Whether what is kept under a name is no sheet. @param {string} id @returns {boolean} */
  const isDamaged = (id) => Boolean(textOf(id)) && !isWhole(parsed(textOf(id)));

  /** Whether storage did not take a sheet: it stands on this page alone. @param {string} id @returns {boolean} */
  const isHere = (id) => here.has(id);

  /** A name that no sheet has. @param {string} engine @returns {string} */
  function newName(engine) {
    const taken = new Set(names());
    let number = 1;
    while (taken.has(engine + "-" + number)) {
      number += 1;
    }
    return engine + "-" + number;
  }

  /** Why storage does not keep: "denied", "full", or nothing. @returns {"" | "denied" | "full"} */
  function trouble() {
    const open = tried(() => (window.localStorage.setItem(VIEW + "/try", "1"), window.localStorage.removeItem(VIEW + "/try"), true), false);
    if (here.size && open) {
      return "full";
    }
    return open ? "" : tried(() => window.localStorage.length > 0, false) ? "full" : "denied";
  }

  /** What this window shows; in a new window what the last one showed. @returns {View} */
  function view() {
    takeOver();
    const own = parsed(tried(() => window.sessionStorage.getItem(VIEW), null));
    const found = own || parsed(stored(VIEW));
    return { sheet: null, step: "engine", now: null, ...(found && typeof found === "object" ? found : {}) };
  }

  /** @param {View} shown */
  function keepView(shown) {
    const text = JSON.stringify(shown);
    tried(() => window.sessionStorage.setItem(VIEW, text), undefined);
    tried(() => window.localStorage.setItem(VIEW, text), undefined);
  }

  /** Sheets as they were kept before each had a name: one an engine. */
  function takeOver() {
    const before = parsed(stored(BEFORE));
    for (const [engine, sheet] of Object.entries((before && before.sheets) || {})) {
      const whole = { ...sheet, engine };
      if (isWhole(whole)) {
        write(newName(engine), whole);
      }
    }
    if (before && !here.size) {
      tried(() => window.localStorage.removeItem(BEFORE), undefined);
    }
  }

  /** Hear of sheets that another window changed. @param {(id: string) => void} heard */
  function listen(heard) {
    window.addEventListener("storage", (event) => {
      if (event.key && event.key.startsWith(SHEET)) {
        heard(event.key.slice(SHEET.length));
      }
    });
  }

  api.store = { read, write, remove, isFresh, sheets, damaged, isDamaged, isHere, newName, trouble, view, keepView, listen };
})();
