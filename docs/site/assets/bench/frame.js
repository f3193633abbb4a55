"use strict";
// The frame of the steps: their tabs, folds, where the reader stands at a new one, and the data of an engine.
(function () {
  const api = window.runningFits;
  const { element, button } = api.elements;

  const STEPS = { engine: "Engine", build: "Build", fit: "Fit", read: "Read", tighten: "Tighten", record: "Record" };

  /** @param {string} at @param {(step: string) => boolean} isOpen @param {(step: string) => void} go */
  const tabs = (at, isOpen, go) => element("nav", { class: "bench-tabs", "aria-label": "Steps" }, Object.entries(STEPS).map(([step, label]) =>
    button(label, () => go(step), { key: "step/" + step, class: "bench-tab", disabled: !isOpen(step), "aria-current": step === at ? "step" : null })));

  /** @param {HTMLElement} shown @param {string} name @returns {HTMLDetailsElement | null} */
  const fold = (shown, name) => shown.querySelector('[data-fold="' + name + '"]');

  /** Whether a fold is open. @param {HTMLElement} shown @param {string} name */
  const folded = (shown, name) => Boolean((fold(shown, name) || { open: false }).open);

  /** Open a fold and go to its first field. @param {HTMLElement} shown @param {string} name */
  function unfold(shown, name) {
    const own = fold(shown, name);
    if (own) {
      own.open = true;
      const field = /** @type {HTMLElement | null} */ (own.querySelector('[data-focus="tool/mpe"]') || own.querySelector("input, select"));
      field && field.focus();
    }
  }

  /** At a new step the reader stands at its heading. @param {HTMLElement} root @param {HTMLElement} shown */
  function arrive(root, shown) {
    const head = /** @type {HTMLElement | null} */ (shown.querySelector(".bench-step h2"));
    if (head) {
      head.setAttribute("tabindex", "-1");
      head.focus({ preventScroll: true });
      root.scrollIntoView();
    }
  }

  /** Load the data of an engine once. @param {string} name @param {() => void} done @param {(words: string) => void} say */
  function load(name, done, say) {
    const { engines, shared } = api.loaded;
    if (engines[name] || !shared.engines.some((e) => e.engine === name)) {
      done();
      return;
    }
    const failed = () => say("The data of this engine did not load: without network only engines that were opened before are here.");
    document.head.append(element("script", { src: "bench/" + name + ".js", on: { load: done, error: failed } }));
  }

  /** Fields in which something is typed that is not entered yet; the pad's own keeps itself. @param {HTMLElement} shown */
  const fields = (shown) => /** @type {HTMLInputElement[]} */ ([...shown.querySelectorAll('input[type="text"][data-focus], input[type="date"][data-focus], textarea[data-focus]:not([readonly])')])
    .filter((field) => field.value !== field.defaultValue && !field.classList.contains("bench-typed"));

  /** Draw again without losing what is being typed. @param {HTMLElement} shown @param {() => void} draw */
  function keepingTyped(shown, draw) {
    const typed = fields(shown).map((field) => [field.dataset.focus, field.value]);
    draw();
    typed.forEach(([key, value]) => {
      const field = /** @type {HTMLInputElement | null} */ (shown.querySelector('[data-focus="' + key + '"]'));
      field && (field.value = value || "");
    });
  }

  /** Enter what is typed, as leaving its field does: the page may not come back. @param {HTMLElement} shown */
  const enterTyped = (shown) => fields(shown).forEach((field) => field.dispatchEvent(new Event("change")));

  /** Before the page goes: what is typed is entered, and what it alone has is asked for. @param {HTMLElement} shown @param {() => boolean} loses */
  function leaving(shown, loses) {
    document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && enterTyped(shown));
    window.addEventListener("pagehide", () => enterTyped(shown));
    window.addEventListener("beforeunload", (event) => loses() && event.preventDefault());
  }

  /** What is being typed, where it is of the same part of the same fit. @param {Now} to @param {Now | null} from @returns {string} */
  function typedAt(to, from) {
    const of = (/** @type {Now} */ now) => JSON.stringify([now.item, now.position, now.said, now.part]);
    return from && of(from) === of(to) ? from.typed : "";
  }

  api.frame = { tabs, folded, unfold, arrive, load, keepingTyped, enterTyped, leaving, typedAt };
})();
