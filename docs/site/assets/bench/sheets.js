"use strict";
// The sheets that are kept on this device, bringing one in, and the site without network.
(function () {
  const api = window.runningFits;
  const { element, button, field } = api.elements;
  const { store, importing } = api;

  /** When a sheet was last changed, in words. @param {Sheet} sheet */
  const when = ({ changed }) => (changed ? "changed " + new Date(changed).toLocaleString([], { dateStyle: "medium", timeStyle: "short" }) : "");

  /** @param {number} n @param {string} one */
  const several = (n, one) => n + " " + one + (n === 1 ? "" : "s");

  /** @param {Sheet} sheet */
  function about(sheet) {
    const line = api.loaded.shared.engines.find((/** @type {any} */ e) => e.engine === sheet.engine);
    const tightened = (sheet.torques || []).length;
    return [line ? line.name : "an engine that this version does not have", several(sheet.readings.length, "reading"),
      tightened ? several(tightened, "tightening line") : "", api.building.stageWords(sheet.stage), when(sheet)].filter(Boolean).join("; ");
  }

  /** @param {string | null} open @param {any} acts */
  function kept(open, acts) {
    const row = (/** @type {[string, Sheet]} */ [id, sheet]) => {
      const node = button("", () => acts.open(id), { key: "sheet/" + id, class: "bench-row", "aria-pressed": String(id === open) });
      node.append(element("strong", {}, sheet.title || "Sheet without a name"), element("span", { class: "bench-small" }, about(sheet)));
      return node;
    };
    const all = store.sheets();
    const lost = (/** @type {[string, string]} */ [id, text]) => element("div", { class: "bench-stop" },
      element("p", {}, "A sheet that is kept here cannot be read."),
      button("Save what is there as a file", () => acts.save(text, id + ".txt", "text/plain"), { key: "damaged/" + id, class: "bench-plain" }));
    return [...store.damaged().map(lost),
      all.length ? element("section", { class: "bench-kept" }, element("h3", {}, "Sheets on this device"), element("div", { class: "bench-list" }, all.map(row))) : null];
  }

  /** A file that is chosen, or text that is pasted. @param {any} acts */
  function bringing(acts) {
    const input = element("input", {
      type: "file", accept: ".json,application/json", "data-focus": "import/file",
      on: { change: async (/** @type {any} */ event) => {
        const [file] = event.target.files;
        if (file) {
          const { text, faults } = await importing.textOf(file);
          faults.length ? acts.refuse(faults) : bring(text, acts);
        }
      } },
    });
    const area = element("textarea", { rows: 4, "data-focus": "import/text", spellcheck: "false" });
    return element("details", { class: "bench-fold", "data-fold": "import", open: acts.folded("import") },
      element("summary", { "data-focus": "import" }, "Bring in a bench sheet"),
      element("p", { class: "bench-small" }, "As this page or `runningfits sheet` writes it: JSON. It becomes a sheet of its own; nothing here is written over.".replaceAll("`", "")),
      element("div", { class: "bench-fields" }, field("A file", input), field("or its text", area)),
      button("Bring in the text", () => bring(area.value, acts), { key: "import/take", class: "bench-plain" }));
  }

  /** @param {string} text @param {any} acts */
  function bring(text, acts) {
    const { sheet, faults } = importing.parsed(text);
    if (faults.length) {
      acts.refuse(faults);
      return;
    }
    acts.load(sheet.engine, () => {
      const found = importing.faults(sheet, api.loaded.engines[sheet.engine]);
      found.length ? acts.refuse(found) : acts.add(importing.taken(sheet));
    });
  }

  /** What the service worker keeps; nothing where there is none, such as in a folder. */
  function offline() {
    const worker = navigator.serviceWorker && navigator.serviceWorker.controller;
    if (window.location.protocol === "file:") {
      return element("p", { class: "bench-small" }, "This copy of the site stands in a folder: it needs no network.");
    }
    if (!worker) {
      return null;
    }
    const said = element("span", { class: "bench-small", role: "status", "data-offline": "" }, "");
    const ask = (/** @type {any} */ message) => new Promise((done) => {
      const channel = new MessageChannel();
      channel.port1.onmessage = ({ data }) => {
        said.textContent = data.said;
        data.end && done(data);
      };
      worker.postMessage(message, [channel.port2]);
    });
    const node = button("Keep the whole site on this device", () => ask({ keep: "whole" }), { key: "offline/whole", class: "bench-plain" });
    ask({ ask: "size" });
    return element("section", { class: "bench-offline" }, element("h3", {}, "Without network"),
      element("p", { class: "bench-small" }, "The bench, the search, the pages that you have seen and the engines that you have opened work without network."),
      element("div", { class: "bench-buttons" }, node, said));
  }

  /** @param {string | null} open @param {any} acts */
  const step = (open, acts) => [...kept(open, acts), bringing(acts), offline()];

  api.sheets = { step };
})();
