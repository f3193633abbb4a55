"use strict";
// The build that is chosen on an engine's page, which the links to the bench bear. Comes after site.js.
(function () {
  var site = window.runningFitsSite;
  var base = site.base;
  var kept = site.kept;
  var several = site.several;

  // The build of an engine's page: what is chosen stands in the address and on the device; lines of others go.
  function building(form) {
    var engine = form.dataset.engine;
    var has = JSON.parse(form.dataset.has);
    var selects = Array.prototype.slice.call(form.querySelectorAll("select"));
    var said = form.querySelector("output");

    function remembered() {
      var asked = new URLSearchParams(window.location.search);
      var before = {};
      try {
        before = JSON.parse(kept("build/" + engine)) || {};
      } catch (_) { }
      var inAddress = selects.some(function (one) { return asked.has(one.name); });
      selects.forEach(function (one) {
        one.value = (inAddress ? asked.get(one.name) : before[one.name]) || "";
        one.value = one.selectedIndex < 0 ? "" : one.value;
      });
    }

    function answers() {
      var found = {};
      selects.forEach(function (one) {
        if (one.value) {
          found[one.name] = one.value;
        }
      });
      return Object.assign({}, found, has[found.model] || {});
    }

    // What was chosen; what the model always has follows from it.
    function own() {
      var chosen = {};
      selects.forEach(function (one) {
        if (!one.disabled && one.value) {
          chosen[one.name] = one.value;
        }
      });
      return chosen;
    }

    function keep() {
      var chosen = own();
      var asked = new URLSearchParams(window.location.search);
      selects.forEach(function (one) {
        if (chosen[one.name]) {
          asked.set(one.name, chosen[one.name]);
        } else {
          asked.delete(one.name);
        }
      });
      var query = asked.toString();
      kept("build/" + engine, JSON.stringify(chosen));
      window.history.replaceState(null, "", window.location.pathname + (query ? "?" + query : "") + window.location.hash);
    }

    function apply() {
      var found = answers();
      selects.forEach(function (one) {
        var given = (has[found.model] || {})[one.name];
        one.disabled = Boolean(given);
        one.value = given || one.value;
      });
      var gone = 0;
      var number = form.elements.model && form.elements.model.selectedIndex;
      document.querySelectorAll("[data-models], [data-parts]").forEach(function (element) {
        var other = !holds(element, found, number);
        element.classList.toggle("rf-other", other);
        gone += other && element.tagName === "TR" ? 1 : 0;
      });
      document.querySelectorAll("[data-print]").forEach(function (one) {
        one.hidden = !found.model;
        one.href = base + "prints/" + engine + "-" + found.model + "-" + one.dataset.print + ".html";
      });
      toBench(engine, own());
      said.textContent = gone ? several(gone, "line") + " of other engines of this family left out." : "";
      return found;
    }

    form.hidden = false;
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    form.addEventListener("change", function (event) {
      if (event.target.name === "model") {
        selects.forEach(function (one) {
          one.value = one.disabled ? "" : one.value;
        });
      }
      apply();
      keep();
    });
    remembered();
    apply();
    keep();
  }

  // The links to the bench, but for its own, bear the engine that was chosen last with its model and parts.
  function toBench(engine, build) {
    var asked = new URLSearchParams(build).toString();
    document.querySelectorAll(".rf-bar a, .rf-links a, .rf-menu nav a, .rf-doors a").forEach(function (one) {
      if (/\/bench\.html$/.test(one.pathname)) {
        one.href = base + "bench.html#" + engine + (asked ? "?" + asked : "");
      }
    });
  }

  function toBenchOfLast() {
    var engine = kept("engine").replace(/\.html$/, "");
    try {
      engine && toBench(engine, JSON.parse(kept("build/" + engine)) || {});
    } catch (_) {
      toBench(engine, {});
    }
  }

  // On a fit's page the line of the engine that was chosen last stands on top.
  function ownLine() {
    var link = kept("engine") && document.querySelector('#content td > a[href^="../engines/' + kept("engine") + '#fit-"]');
    if (!link) {
      return;
    }
    var table = link.closest("table").cloneNode(false);
    var heads = link.closest("table").tHead;
    var row = table.appendChild(document.createElement("tbody")).appendChild(link.closest("tr").cloneNode(true));
    row.removeAttribute("id");
    heads && table.prepend(heads.cloneNode(true));
    table.classList.add("rf-own");
    document.querySelector(".rf-jumps").before(table);
  }

  function holds(element, found, number) {
    var models = element.dataset.models;
    var parts = element.dataset.parts;
    if (models && number && models.split(" ").indexOf(String(number)) < 0) {
      return false;
    }
    return (parts ? parts.split(" ") : []).every(function (one) {
      var question = one.split(":")[0];
      return !found[question] || one.slice(question.length + 1).split("|").indexOf(found[question]) >= 0;
    });
  }

  if (!document.getElementById("bench")) {
    toBenchOfLast();
  }
  if (document.querySelector('.rf-jumps > a[href="#every-range"]')) {
    ownLine();
  }
  document.querySelectorAll(".rf-build").forEach(building);
})();
