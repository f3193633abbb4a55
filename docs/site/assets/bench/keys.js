"use strict";
// Keys and what is pasted, wherever the focus is, go into the step that takes numbers.
(function () {
  const api = window.runningFits;
  const { pad } = api;

  /** Listen for a page; `typing` gives the step that takes numbers, while one is open.
   * @param {HTMLElement} root @param {HTMLElement} shown @param {() => any} typing */
  function listen(root, shown, typing) {
    const within = (/** @type {any} */ target, /** @type {string} */ selector) => Boolean(target.closest && target.closest(selector));

    /** Keys of the bench stay at the bench: no shortcut of the page around it may catch them. @param {KeyboardEvent} event */
    function onKey(event) {
      const target = /** @type {HTMLElement} */ (event.target);
      const ours = target === document.body || (root.contains(target));
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

    document.addEventListener("keydown", onKey);
    document.addEventListener("paste", onPaste);
  }

  api.keys = { listen };
})();
