"use strict";
// Questions whose answer separates the rows of what is read, answered at the reading: for every place or this one.
(function () {
  const api = window.runningFits;
  const { chips } = api.elements;
  const { words, verdict, measured } = api;

  /** @param {App} app @param {() => Now} now @param {() => [Reading, number][]} mine */
  function answering(app, now, mine) {
    let onlyHere = false;

    /** An answer to an open question: of a reading, or of the engine, here or at every place. @param {any} asked @param {string} word */
    function answer(asked, word) {
      app.edit((sheet) => {
        if (asked.detail) {
          const about = { ...now().said, [asked.question]: word };
          mine().forEach(([r]) => Object.assign(r, about));
          app.show({ now: { ...now(), said: about } });
          return;
        }
        const [number] = now().position.split("/");
        const alone = onlyHere && /^[0-9]+$/.test(number) && asked.question !== api.build.MODEL;
        sheet.build = api.building.answered(sheet.build, asked.question, word, alone ? number : "all", api.build.family(app.engine()));
      });
    }

    /** Whether answers are for the place that is read alone; asked where the engine has several. @param {any[]} asked */
    function scope(asked) {
      const several = placesHere().length > 1 && asked.some((a) => !a.detail && a.question !== api.build.MODEL);
      const choose = (/** @type {string} */ chosen) => {
        onlyHere = chosen === "here";
        app.show();
      };
      const all = [["all", "at every place"], ["here", "at " + words.place(now().position) + " only"]];
      return several ? chips("The answer holds", all, onlyHere ? "here" : "all", choose) : null;
    }

    /** Questions with their answers; with a reading, each answer bears its verdict. @param {Result | null} result @param {Asked[]} asked */
    function questions(result, asked) {
      const open = result ? result.questions : asked;
      return open.length ? [scope(open), ...verdict.questions(open, answer, Boolean(result))] : [];
    }

    /** Places of the item that is read, by the build. @returns {string[]} */
    function placesHere() {
      const { item, position, said } = now();
      const own = measured.measured(app.engine(), app.sheet().build).filter((/** @type {any} */ g) => g.item === item);
      const same = own.filter((/** @type {any} */ g) => JSON.stringify(g.said) === JSON.stringify(said));
      const found = [.../** @type {Set<string>} */ (new Set((same.length ? same : own).flatMap((/** @type {any} */ g) => g.places)))];
      return found.includes(position) ? found : [...found, position];
    }

    return { questions, placesHere };
  }

  api.answering = { answering };
})();
