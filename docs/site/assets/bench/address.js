"use strict";
// The page's address: what it names (`bench.html#amc-242?model=4-0l`) is taken once, so that a reload keeps what came after;
// and what the Back button goes through.
(function () {
  const api = window.runningFits;
  const [engine, asked = ""] = decoded(window.location.hash.slice(1)).split("?");
  const answers = Object.fromEntries(new URLSearchParams(asked));

  /** @param {string} text */
  function decoded(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return "";
    }
  }

  /** @param {() => void} act */
  function tried(act) {
    try {
      act();
    } catch {
      // a page in a folder, or without storage, may not be allowed to
    }
  }

  /** What was chosen of an engine before the bench was opened, by question. @param {string} name @returns {Record<string, string>} */
  const build = (name) => (name === engine ? answers : {});

  /** Where this window stands. @param {any} state */
  const mark = (state) => tried(() => window.history.replaceState(state, "", window.location.href.split("#")[0]));

  /** A step forward. @param {any} state */
  const push = (state) => tried(() => window.history.pushState(state, ""));

  /** The engine on the bench is the one chosen, for the other pages too. @param {string} name */
  const keep = (name) => tried(() => window.localStorage.setItem("running-fits/engine", name + ".html"));

  api.address = { engine, build, mark, push, keep };
})();
