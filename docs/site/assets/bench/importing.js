"use strict";
// A bench sheet that comes in as text: read as the command reads it, refused with every reason.
(function () {
  const api = window.runningFits;
  const { judge } = api;
  const LARGEST = 5_000_000;
  const LONGEST = 200;
  const short = (/** @type {string} */ text) => (text.length > LONGEST ? text.slice(0, LONGEST) + " …" : text);
  const fault = (/** @type {string} */ place, /** @type {string} */ found, /** @type {string} */ expected) => place + ": " + short(found) + ", expected " + expected;
  const quoted = (/** @type {unknown} */ word) => JSON.stringify(word) ?? String(word);
  const tooLarge = { text: "", sheet: null, faults: [fault("the file", "more than 5 MB", "a bench sheet")] };

  /** The text of a file that was chosen, or why it has none. @param {File} file @returns {Promise<{text: string, faults: string[]}>} */
  async function textOf(file) {
    if (file.size > LARGEST) {
      return tooLarge;
    }
    try {
      return { text: new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer()), faults: [] };
    } catch (error) {
      const isRead = error instanceof TypeError;
      return { text: "", faults: [fault("the file", isRead ? "bytes that are no UTF-8" : "nothing that can be read", "a bench sheet as JSON in UTF-8")] };
    }
  }

  /** The sheet in a text, or why there is none. @param {string} text @returns {{sheet: any, faults: string[]}} */
  function parsed(text) {
    if (text.length > LARGEST) {
      return tooLarge;
    }
    let [sheet, halves] = [/** @type {any} */ (null), false];
    const noted = (/** @type {string} */ _, /** @type {any} */ value) => ((halves = halves || (typeof value === "string" && /\p{Surrogate}/u.test(value))), value);
    try {
      sheet = JSON.parse(text.replace(/^\uFEFF/, ""), noted);
    } catch (error) {
      return { sheet, faults: [fault("the file", /** @type {Error} */ (error).message, "a bench sheet as JSON")] };
    }
    if (halves) {
      return { sheet: null, faults: [fault("the file", "half a character", "whole characters")] };
    }
    const twice = firstTwice(text);
    if (twice) {
      return { sheet: null, faults: [fault(twice, "the key again", "each key once")] };
    }
    const isSheet = sheet && typeof sheet === "object" && !Array.isArray(sheet);
    const known = isSheet && api.loaded.shared.engines.some((/** @type {any} */ e) => e.engine === sheet.engine);
    const lists = isSheet && ["instruments", "readings"].filter((name) => !Array.isArray(sheet[name]));
    const faults = !isSheet ? [fault("the file", "no bench sheet", "an object with engine, instruments and readings")]
      : [...(known ? [] : [fault("engine", quoted(sheet.engine), "an engine of the dataset, version " + api.loaded.shared.version)]),
        ...(lists || []).map((/** @type {any} */ name) => fault(name, quoted(sheet[name]) || "nothing", "a list"))];
    return { sheet, faults };
  }

  /** The first key that stands twice in an object of a text that is JSON, or nothing. @param {string} text @returns {string} */
  function firstTwice(text) {
    /** @type {(Set<string> | null)[]} */
    const at = [];
    const marks = text.matchAll(/"(?:[^"\\]|\\.)*"|[[\]{}]/g);
    for (const { 0: mark, index } of marks) {
      const own = at[at.length - 1];
      if (mark === "{" || mark === "[") {
        at.push(mark === "{" ? new Set() : null);
      } else if (mark === "}" || mark === "]") {
        at.pop();
      } else if (own && /^\s*:/.test(text.slice(index + mark.length, index + mark.length + 200))) {
        const key = JSON.parse(mark);
        if (own.has(key)) {
          return key;
        }
        own.add(key);
      }
    }
    return "";
  }

  /** Why a sheet cannot be used, its engine loaded; nothing where it can. @param {any} sheet @param {any} engine @returns {string[]} */
  function faults(sheet, engine) {
    const odd = ofLines(sheet);
    return odd.length ? odd : [...ofDays(sheet), ...judge.check(sheet, engine, api.loaded.shared).faults.map((/** @type {any} */ f) => fault(f.place, f.found, f.expected))];
  }

  /** Days that no calendar has. @param {any} sheet @returns {string[]} */
  function ofDays(sheet) {
    const days = [["date", sheet.date], ...sheet.instruments.map((/** @type {any} */ t, /** @type {number} */ n) => ["instruments[" + n + "].checked_on", t.checked_on])];
    const isDay = (/** @type {string} */ day) => /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/.test(day) && Number.isFinite(Date.parse(day)) && new Date(day).toISOString().startsWith(day);
    return days.filter(([, day]) => typeof day === "string" && day && !isDay(day)).map(([at, day]) => fault(at, quoted(day), "a day such as 2026-11-26"));
  }

  /** Lines that are none, before anything reads their fields. @param {any} sheet @returns {string[]} */
  function ofLines(sheet) {
    const tables = ["instruments", "readings", "torques", "parts"].filter((name) => Array.isArray(sheet[name]));
    const isLine = (/** @type {any} */ line) => line && typeof line === "object" && !Array.isArray(line);
    return tables.flatMap((name) => sheet[name].map((/** @type {any} */ line, /** @type {number} */ n) =>
      (isLine(line) ? "" : fault(name + "[" + n + "]", quoted(line), "an object"))).filter(Boolean));
  }

  /** A sheet as the bench keeps it: lines of a blank one that were not filled in are no readings. @param {any} sheet @returns {Sheet} */
  function taken(sheet) {
    const filled = (/** @type {any[]} */ lines) => lines.filter((line) => line.value !== "" || line.to);
    return { title: "", stage: "found", decision: "guarded", ...sheet, build: sheet.build || {}, readings: filled(sheet.readings), torques: filled(sheet.torques || []) };
  }

  api.importing = { textOf, parsed, faults, taken };
})();
