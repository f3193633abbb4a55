"use strict";
// Places of an engine: numbers, spans, named places. Mirrors positions.py and Dataset.is_at.
(function () {
  const node = typeof module === "object" && module.exports;

  /** Place numbers of a position such as 1-4 or 1,2,4,5; empty for a named one. @param {string} text */
  function numbers(text) {
    if (!/^\d+(-\d+)?(,\d+(-\d+)?)*$/.test(text)) {
      return [];
    }
    return text.split(",").flatMap((/** @type {any} */ part) => {
      const [first, last = first] = part.split("-").map(Number);
      return Array.from({ length: last - first + 1 }, (_, n) => first + n);
    });
  }

  /** Number and name of a bench position: 3, top-ring or 3/top-ring; null for anything else. @param {string} text */
  function split(text) {
    const match = /^(?:(\d{1,4})(?:\/(?=.))?)?([a-z][a-z-]*)?$/.exec(text);
    const joined = match && match[1] && match[2];
    if (!match || !text || (match[1] && Number(match[1]) < 1) || (joined && !text.includes("/"))) {
      return null;
    }
    return { number: match[1] ? Number(match[1]) : null, name: match[2] || null };
  }

  /** Place numbers that a row's position stands for, given how many there are; null where unknown.
   * @param {string} text @param {number | null} count */
  function places(text, count) {
    const found = numbers(text);
    if (found.length) {
      return found;
    }
    if (!count) {
      return text === "front" ? [1] : null;
    }
    const middle = count % 2 ? (count + 1) / 2 : null;
    const inner = Array.from({ length: Math.max(count - 2, 0) }, (_, n) => n + 2).filter((n) => n !== middle);
    const half = (count + 1) / 2;
    /** @type {Record<string, number[] | null>} */
    const known = {
      front: [1],
      rear: [count],
      "outer-ends": [1, count],
      centre: middle ? [middle] : null,
      intermediate: inner,
      "front-intermediate": inner.filter((n) => n < half),
      "rear-intermediate": inner.filter((n) => n > half),
    };
    return Object.hasOwn(known, text) ? known[text] : null;
  }

  /** Whether a row's position holds at a place such as 3, rear or 3/top-ring, with so many places.
   * @param {string} position @param {string} place @param {number | null} count @param {Shared} shared */
  function holds(position, place, count, shared) {
    const { number, name } = split(place) || { number: null, name: null };
    const groups = name && Object.hasOwn(shared.positions, name) ? shared.positions[name].within : [];
    if (["all", name, ...groups].includes(position)) {
      return true;
    }
    const found = places(position, count) || [];
    const wanted = (number ? [number] : places(name || "", count)) || [];
    return wanted.length > 0 && found.length > 0 && wanted.every((/** @type {any} */ n) => found.includes(n));
  }

  const made = { numbers, split, places, holds };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.places = made;
  }
})();
