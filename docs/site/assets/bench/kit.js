"use strict";
// The instrument for what is read: its class by the size, the bore gauge with the micrometer that it was set on.
(function () {
  const api = window.runningFits;
  const { record, steps, measured } = api;

  /** @param {App} app @param {() => Now} now */
  function kit(app, now) {
    const quantity = () => api.loaded.shared.quantities[now().item];

    /** Class of instrument for a part, by the size of what is measured. @param {string} part */
    function kindFor(part) {
      const kind = steps.toolFor(part, quantity());
      const size = measured.sizeOf(part, now().item, app.engine(), app.build(), now().position);
      return measured.classOf(kind, ["gap", "strip"].includes(part) ? null : size);
    }

    const usual = (/** @type {string} */ kind) => record.usual(app.sheet(), kind, now().unit);

    /** The bore gauge that is set on the micrometer of the shaft, else on one of the bore's size. @param {string} part @param {string} kind */
    function boreGauge(part, kind) {
      const size = measured.sizeOf(part, now().item, app.engine(), app.build(), now().position);
      const setting = usual(quantity().inner.length ? kindFor("shaft") : measured.classOf("outside-micrometer", size)).id;
      const own = app.sheet().instruments.find((t) => t.instrument === kind && t.unit === now().unit && (t.set_on || setting) === setting);
      return Object.assign(own || record.instrument(app.sheet(), kind, now().unit), { set_on: setting });
    }

    const toolFor = (/** @type {string} */ part) => {
      const kind = kindFor(part);
      return kind === "bore-gauge" ? boreGauge(part, kind) : usual(kind);
    };

    return { kindFor, usual, toolFor };
  }

  api.kit = { kit };
})();
