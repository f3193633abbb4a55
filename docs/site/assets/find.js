"use strict";
// Narrows a list to what is typed. A field bears data-find, the selector of the elements to narrow; each of those has
// its words in data-words. Without script the whole list is there.
(function () {
  function plain(text) {
    return text.toLowerCase().replace(/[^a-z0-9.]+/g, " ").trim();
  }

  function fits(element, wanted) {
    var words = plain(element.getAttribute("data-words"));
    var joined = words.replace(/ /g, "");
    return wanted.every(function (word) {
      return words.indexOf(word) >= 0 || joined.indexOf(word) >= 0;
    });
  }

  function narrow(field, said) {
    var wanted = plain(field.value).split(" ").filter(Boolean);
    var all = Array.prototype.slice.call(document.querySelectorAll(field.getAttribute("data-find")));
    var shown = all.filter(function (element) {
      element.hidden = !fits(element, wanted);
      return !element.hidden;
    });
    document.querySelectorAll("[data-group]").forEach(function (group) {
      group.hidden = !group.querySelector("[data-words]:not([hidden])");
    });
    document.body.classList.toggle("rf-typing", wanted.length > 0);
    var count = shown.length ? shown.length + " of " + all.length : "none of " + all.length + ": not read yet";
    said.textContent = wanted.length ? count : "";
    return shown;
  }

  function first(shown) {
    var link = shown.length ? shown[0].querySelector("a[href]") : null;
    if (link) {
      window.location.href = link.href;
    }
  }

  document.querySelectorAll("input[data-find]").forEach(function (field) {
    var said = document.getElementById(field.getAttribute("aria-describedby"));
    var goes = field.hasAttribute("data-goes");
    field.form.addEventListener("submit", function (event) {
      event.preventDefault();
      var shown = narrow(field, said);
      if (goes) {
        first(shown);
      }
    });
    field.addEventListener("input", function () {
      narrow(field, said);
    });
    if (field.value) {
      narrow(field, said);
    }
  });
})();
