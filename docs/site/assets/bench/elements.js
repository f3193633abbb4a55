"use strict";
// Elements made without markup: every word goes in as text, so that no text of the data can become an element.
(function () {
  const SVG = "http://www.w3.org/2000/svg";

  /** An element with attributes, `on` listeners and children; a child is a node or text, empty ones are left out.
   * @param {string} tag @param {Attributes} [attributes] @param {any[]} children */
  function element(tag, attributes = {}, ...children) {
    return filled(document.createElement(tag), attributes, children);
  }

  /** @param {string} tag @param {Attributes} [attributes] @param {any[]} children */
  const drawn = (tag, attributes = {}, ...children) =>
    filled(document.createElementNS(SVG, tag), attributes, children);

  /** @param {any} node @param {any} acts @param {any[]} children */
  function filled(node, { on = {}, ...attributes }, children) {
    for (const [name, value] of Object.entries(attributes)) {
      if (value !== null && value !== undefined && value !== false) {
        node.setAttribute(name, value === true ? "" : String(value));
      }
    }
    Object.entries(on).forEach(([name, listener]) => node.addEventListener(name, listener));
    children.flat(Infinity).forEach((child) => {
      if (child !== null && child !== undefined && child !== "") {
        node.append(child);
      }
    });
    return node;
  }

  /** A real button; `key` keeps the focus on it when the page is drawn again.
   * @param {any} words @param {() => void} press @param {Attributes} [attributes] */
  function button(words, press, attributes = {}) {
    return element("button", { type: "button", "data-focus": attributes.key || null, ...without(attributes, "key"),
      on: { click: press } }, words);
  }

  /** @param {Attributes} all @param {string} name @returns {Attributes} */
  function without(all, name) {
    const { [name]: _, ...rest } = all;
    return rest;
  }

  /** Buttons of which one is chosen; a choice is a value, its words, and longer words for who cannot see them.
   * @param {string} label @param {any[]} choices @param {any} chosen @param {(value: any) => void} choose @param {string} [key] */
  function chips(label, choices, chosen, choose, key = label) {
    const made = choices.map(([value, words, longer = null]) =>
      button(words, () => choose(value), {
        key: key + "/" + value, class: "bench-chip", "aria-pressed": String(value === chosen), "aria-label": longer,
      })
    );
    return element("div", { class: "bench-chips", role: "group", "aria-label": label }, made);
  }

  /** A link out of the page, or the words alone where there is no web address. @param {string} address @param {any} words */
  const link = (address, words) =>
    address ? element("a", { href: address, rel: "noreferrer" }, words) : element("span", {}, words);

  let last = 0;

  /** A field with its label. @param {string} label @param {any} input */
  function field(label, input) {
    last += 1;
    const id = "bench-field-" + last;
    input.id = id;
    return element("div", { class: "bench-field" }, element("label", { for: id }, label), input);
  }

  /** Put new children in place and keep the focus where it was. @param {any} node @param {any[]} children */
  function replace(node, children) {
    const active = document.activeElement;
    const key = active && node.contains(active) && active.getAttribute("data-focus");
    node.replaceChildren(...children.filter(Boolean));
    if (key) {
      const again = [...node.querySelectorAll("[data-focus]")].find((e) => e.getAttribute("data-focus") === key);
      if (again) {
        again.focus({ preventScroll: true });
      }
    }
  }

  window.runningFits.elements = { element, drawn, button, chips, link, field, replace };
})();
