"use strict";
// What stands above every step: that the browser keeps nothing, that another window changed the sheet.
(function () {
  const api = window.runningFits;
  const { element, button } = api.elements;

  const TROUBLE = /** @type {Record<string, string>} */ ({ denied: "This browser keeps nothing: save the sheet before you leave the page.",
    full: "The storage of this browser is full: what you enter now stands on this page alone. Save the sheet, and clear sheets that are done with." });

  /** @param {string} trouble @param {{words: string, gone: boolean} | null} elsewhere @param {{seen: () => void, clear: () => void}} acts */
  function notices(trouble, elsewhere, { seen, clear }) {
    return [
      trouble ? element("p", { class: "bench-stop" }, TROUBLE[trouble]) : null,
      elsewhere ? element("div", { class: "bench-stop", role: "alert" }, element("p", {}, elsewhere.words), element("div", { class: "bench-buttons" },
        button(elsewhere.gone ? "Keep it" : "I see", seen, { key: "elsewhere", class: "bench-plain" }),
        elsewhere.gone ? button("Clear it here too", clear, { key: "elsewhere/clear", class: "bench-plain" }) : null)) : null,
    ];
  }

  /** Hand a text over as a file. @param {string} text @param {string} name @param {string} type @param {(words: string) => void} say */
  function save(text, name, type, say) {
    try {
      const address = URL.createObjectURL(new Blob([text], { type }));
      element("a", { href: address, download: name }).click();
      window.setTimeout(() => URL.revokeObjectURL(address), 10000);
      say("Saved as " + name + ".");
    } catch {
      say("This browser does not save files: copy the text below.");
    }
  }

  api.noticing = { notices, save };
})();
