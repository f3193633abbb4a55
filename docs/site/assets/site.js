"use strict";
// The switch between light and dark, fields that search the site, fields that narrow a list, the site without network.
// The search is loaded when one of its fields is first used, what works without network after the page.
(function () {
  var root = document.documentElement;
  var base = root.dataset.base.replace(/\/?$/, "/");
  var SCRIPTS = ["assets/minisearch.js", "assets/search.js", "search-documents.js"];
  var loading = null;

  function kept(name, value) {
    try {
      if (value !== undefined) {
        localStorage.setItem("running-fits/" + name, value);
      }
      return localStorage.getItem("running-fits/" + name) || "";
    } catch (_) {
      return "";
    }
  }

  function script(address) {
    return new Promise(function (done, failed) {
      var element = document.createElement("script");
      element.src = base + address;
      element.onload = done;
      element.onerror = failed;
      document.head.append(element);
    });
  }

  function load() {
    loading = loading || SCRIPTS.reduce(function (before, address) {
      return before.then(function () { return script(address); });
    }, Promise.resolve()).then(function () { return window.RunningFitsSearch; });
    return loading;
  }

  function made(name, words, kind) {
    var found = document.createElement(name);
    found.textContent = words || "";
    if (kind) {
      found.className = kind;
    }
    return found;
  }

  function link(address, words) {
    var found = made("a", words);
    found.href = base + address;
    return found;
  }

  function several(number, one) {
    return number + " " + one + (number === 1 ? "" : "s");
  }

  // One answer as a list's line.
  function shown(search, answer) {
    var found = document.createElement("li");
    var engine = search.data.engines[answer.engine];
    var item = search.data.items[answer.item];
    var document_ = search.data.documents[answer.document];
    if (answer.kind === "line") {
      var line = search.line(answer.engine, answer.item);
      found.append(link("engines/" + engine.page + "#" + item.anchor, engine.name + ": " + item.name.toLowerCase()));
      found.append(made("span", line.range + (line.limit ? (line.range ? "; " : "") + "limit " + line.limit : ""), "rf-range"));
      found.append(made("span", line.cite + (line.more ? "; " + several(line.more, "more row") : ""), "rf-small"));
    } else if (answer.kind === "engine") {
      found.append(link("engines/" + engine.page, engine.name));
      found.append(made("span", [engine.words, several(engine.rows, "row")].filter(Boolean).join("; "), "rf-small"));
    } else if (answer.kind === "item") {
      var many = "in " + several(search.having[answer.item], "engine");
      found.append(item.page ? link("quantities/" + item.page, item.name) : made("b", item.name));
      found.append(made("span", many + (item.page ? "" : "; type the engine too"), "rf-small"));
    } else {
      found.append(link("sources/" + document_.page, document_.name));
      found.append(made("span", document_.title || "document", "rf-small"));
    }
    return found;
  }

  // What is said when not all that was asked is there.
  function miss(search, found) {
    var data = search.data;
    if (found.missing) {
      var engine = data.engines[found.missing.engine];
      var sought = search.sought(found.missing.engine, found.missing.item);
      return engine.name + " has no row for " + data.items[found.missing.item].name.toLowerCase() +
        (sought ? ": " + sought : "") + ". It has " + several(engine.rows, "row") + " for other fits and joints.";
    }
    if (!found.unmet.length) {
      return "";
    }
    return "Nothing here is called “" + found.unmet.join(" ") + "”. Looked for among the names of " + several(data.engines.length, "engine") +
      " and their models, " + several(data.items.length, "fit") + " and joints, and " + several(data.documents.length, "document") + ".";
  }

  function answer(field, panel, most) {
    var query = field.value;
    document.body.classList.toggle("rf-typing", query.trim() !== "");
    if (!query.trim()) {
      panel.hidden = true;
      return;
    }
    load().then(function (search) {
      if (field.value !== query) {
        return;
      }
      var found = search.ready().find(query, kept("engine"));
      var list = document.createElement("ol");
      found.answers.slice(0, most).forEach(function (one) { list.append(shown(search.of, one)); });
      var said = miss(search.of, found);
      panel.replaceChildren(made("output", said || (found.answers.length ? "" : "Type an engine, a fit or a document.")), list);
      panel.hidden = false;
    }, function () {
      panel.replaceChildren(made("output", "The search could not be loaded. The lists of engines and fits are whole without it."));
      panel.hidden = false;
    });
  }

  function searching(field) {
    var panel = made("div", "", "rf-answers");
    var most = field.closest(".rf-top") ? 8 : 30;
    panel.hidden = true;
    panel.setAttribute("aria-live", "polite");
    field.form.append(panel);
    field.addEventListener("focus", load);
    field.addEventListener("input", function () { answer(field, panel, most); });
    field.form.addEventListener("keydown", function (event) {
      if (event.key === "Escape") {
        panel.hidden = true;
      }
    });
    field.form.addEventListener("submit", function (event) {
      var first = panel.querySelector("a[href]");
      if (!panel.hidden && first && field.hasAttribute("data-goes")) {
        event.preventDefault();
        window.location.href = first.href;
      }
    });
    if (!field.closest(".rf-top")) {
      field.value = field.value || new URLSearchParams(window.location.search).get("q") || "";
      answer(field, panel, most);
    }
  }

  // Narrowing a list on the page: each of its elements may have words of its own in data-words.
  function narrow(field, said) {
    var query = field.value;
    var all = Array.prototype.slice.call(document.querySelectorAll(field.getAttribute("data-find")));
    if (!query.trim()) {
      all.forEach(function (element) { element.hidden = false; });
      said.textContent = "";
      groups();
      return Promise.resolve([]);
    }
    return load().then(function (search) {
      if (field.value !== query) {
        return [];
      }
      var trade = {};
      search.data.items.forEach(function (item) { trade[item.anchor] = item.name + "; " + item.words; });
      var ids = search.narrowed(all.map(function (element) {
        return { words: worded(element), trade: trade[itemOf(element)] || "" };
      }), query);
      all.forEach(function (element, n) { element.hidden = ids.indexOf(n) < 0; });
      groups();
      said.replaceChildren(ids.length ? several(ids.length, "line") + " of " + all.length : none(field, query, all.length));
      return all.filter(function (element) { return !element.hidden; });
    });
  }

  // The fit or joint of a line of an engine's table, by the id of its row or of its first stage.
  function itemOf(element) {
    var stage = element.querySelector("li[id]");
    return stage ? "joint-" + stage.id.split("/")[0] : "fit-" + element.id.split("/")[0];
  }

  // The words of a line: its own, else those of its first two cells.
  function worded(element) {
    return element.getAttribute("data-words") || Array.prototype.slice.call(element.cells, 0, 2).map(function (cell) {
      return cell.textContent;
    }).join(" ");
  }

  function groups() {
    document.querySelectorAll("[data-group]").forEach(function (group) {
      group.hidden = !group.querySelector("[data-words]:not([hidden]), tbody tr:not([hidden])");
    });
  }

  function none(field, query, number) {
    var found = document.createElement("span");
    var here = field.getAttribute("data-here");
    found.append("None of the " + several(number, "line") + " here is called “" + query.trim() + "”. " + (here ? here + " " : ""));
    found.append(link("search.html?q=" + encodeURIComponent(((field.getAttribute("data-of") || "") + " " + query).trim()), "Search everything for it"));
    return found;
  }

  function narrowing(field) {
    var said = document.getElementById(field.getAttribute("aria-describedby"));
    field.addEventListener("focus", load);
    field.addEventListener("input", function () { narrow(field, said); });
    field.form.addEventListener("submit", function (event) {
      event.preventDefault();
      narrow(field, said).then(function (left) {
        var first = left.length && field.hasAttribute("data-goes") ? left[0].querySelector("a[href]") : null;
        if (first) {
          window.location.href = first.href;
        }
      });
    });
    if (field.value) {
      narrow(field, said);
    }
  }

  // "Wrong number?" at a line: the repository's form with the id of the row, else what the page says of wrong numbers.
  function wrong(row) {
    var mark = row.id || (row.querySelector("li[id]") || {}).id;
    var id = encodeURIComponent(document.getElementById("content").dataset.engine + "/" + mark);
    var found = made("a", "Wrong number?", "rf-wrong");
    found.href = root.dataset.repository ? root.dataset.repository + "/issues/new?template=wrong-number.yml&row=" + id : "#wrong";
    row.cells[row.cells.length - 1].append(" ", found);
  }

  function scheme(button) {
    function dark() {
      return root.dataset.scheme ? root.dataset.scheme === "dark" : window.matchMedia("(prefers-color-scheme: dark)").matches;
    }
    function say() { button.textContent = dark() ? "Light" : "Dark"; }
    button.hidden = false;
    button.addEventListener("click", function () {
      root.dataset.scheme = dark() ? "light" : "dark";
      kept("scheme", root.dataset.scheme);
      say();
    });
    say();
  }

  // What keeps the site for a shop without network, with what this page has loaded; a newer version waits until it is asked for.
  function keeping() {
    var workers = navigator.serviceWorker;
    var fresh = !workers.controller;
    workers.register(base + "sw.js").then(function (registration) {
      function waiting() {
        if (registration.waiting && workers.controller) {
          newer(registration.waiting);
        }
      }
      waiting();
      registration.addEventListener("updatefound", function () {
        registration.installing.addEventListener("statechange", waiting);
      });
      return workers.ready;
    }).then(function (registration) {
      var loaded = performance.getEntriesByType("resource").map(function (one) { return one.name; });
      var engine = kept("engine") ? [new URL(base + "engines/" + kept("engine"), location.href).href] : [];
      registration.active.postMessage({ keep: loaded.concat(location.href, engine) });
    }).catch(function () { });
    workers.addEventListener("controllerchange", function () {
      if (!fresh) {
        location.reload();
      }
      fresh = false;
    });
  }

  function newer(worker) {
    if (document.querySelector(".rf-newer")) {
      return;
    }
    var bar = made("p", "A newer version of this site is on this device. ", "rf-newer");
    var use = made("button", "Use it now");
    use.type = "button";
    use.addEventListener("click", function () { worker.postMessage({ now: true }); });
    bar.append(use);
    document.getElementById("content").prepend(bar);
  }

  if (navigator.serviceWorker && location.protocol !== "file:") {
    window.addEventListener("load", function () { setTimeout(keeping, 1500); });
  }

  document.querySelectorAll(".rf-scheme").forEach(scheme);
  if (document.getElementById("content").dataset.engine) {
    kept("engine", document.getElementById("content").dataset.engine + ".html");
  }
  window.runningFitsSite = { base: base, kept: kept, several: several };
  window.addEventListener("load", function () { document.querySelectorAll(".rf-lines tbody tr").forEach(wrong); });
  document.querySelectorAll("input[data-search]").forEach(searching);
  document.querySelectorAll("input[data-find]").forEach(narrowing);
})();
