"use strict";
// Finds engines, fits, joints and documents by the words that the trade has for them, on the device, with MiniSearch.
// An answer is an engine, a fit or a document, or a fit in an engine; the one that bears most of what was asked is first.
(function (root) {
  var SILENT = " a an and are at be by can do does for from get has have how i in is it me my of on or s t the to what whats which with ";
  var KINDS = { engine: 0, item: 1, line: 2, document: 3 };
  var MOST_LINES = 12;

  function split(text) {
    return String(text).toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "").match(/[a-z0-9]+/g) || [];
  }

  function stem(term) {
    return /^[a-z]{3,}[^s]s$/.test(term) ? term.slice(0, -1) : term;
  }

  // Parts of a number and parts joined: NTC-400 is also ntc400, OM661 also om and 661, 4.108 also 4108.
  function indexed(text) {
    var found = [];
    String(text).split(/[;,()]/).forEach(function (name) {
      var words = split(name);
      words.forEach(function (word, n) {
        found.push(word);
        var parts = word.match(/[a-z]+|[0-9]+/g);
        if (parts.length > 1) {
          found = found.concat(parts);
        }
        for (var last = n + 1; last < Math.min(words.length, n + 3); last += 1) {
          var joined = words.slice(n, last + 1).join("");
          if (/[0-9]/.test(joined) && joined.length <= 14) {
            found.push(joined);
          }
        }
      });
    });
    return found.filter(function (word, n) { return found.indexOf(word) === n; });
  }

  function asked(query) {
    var found = split(query).filter(function (word) { return SILENT.indexOf(" " + word + " ") < 0; }).map(stem);
    return found.filter(function (word, n) { return found.indexOf(word) === n; });
  }

  function slips(term) {
    return /[0-9]/.test(term) || term.length < 4 ? false : 0.21;
  }

  // A word with two letters exchanged, where so exchanged it is a word that is known.
  function righted(term, known) {
    if (known.has(term) || slips(term) === false) {
      return term;
    }
    var swapped = term.split("").slice(1).map(function (_, n) {
      return term.slice(0, n) + term[n + 1] + term[n] + term.slice(n + 2);
    });
    return swapped.filter(function (word) { return known.has(word); })[0] || term;
  }

  function index(entries, fields, boost, weight, known) {
    var found = new root.MiniSearch({
      fields: fields, tokenize: indexed,
      processTerm: function (term) {
        known.add(stem(term));
        return stem(term);
      },
      searchOptions: {
        tokenize: asked, processTerm: stem, boost: boost, fuzzy: slips, combineWith: "OR", bm25: { k: 1.2, b: 0.2, d: 0.5 },
        prefix: function (term) { return term.length > 1; },
        boostDocument: function (id) { return weight(id); }
      }
    });
    found.addAll(entries.map(function (entry, id) { return Object.assign({ id: id }, entry); }));
    return found;
  }

  // How well an asked word is met by a word of a hit: 1 by itself, less by its beginning, with a slip, in a title alone.
  function meets(term, word, fields) {
    var well = word === term ? 1 : word.indexOf(term) === 0 ? 0.9 : 0.7;
    return fields.every(function (field) { return field === "titles"; }) ? well / 2 : well;
  }

  function met(hit, terms) {
    var found = {};
    hit.queryTerms.forEach(function (term) {
      found[term] = Math.max.apply(null, Object.keys(hit.match).filter(function (word) {
        return word === term || word.indexOf(term) === 0 || slips(term) && close(term, word);
      }).map(function (word) { return meets(term, word, hit.match[word]); }).concat(0));
    });
    return { id: hit.id, score: hit.score, met: found, cover: sum(terms, found) };
  }

  // Whether one word may be a slip of another: about as long, and mostly of the same letters.
  function close(one, other) {
    var same = one.split("").filter(function (letter) { return other.indexOf(letter) >= 0; }).length;
    return Math.abs(one.length - other.length) <= 2 && same >= 0.6 * one.length;
  }

  function sum(terms, found) {
    return terms.reduce(function (total, term) { return total + (found[term] || 0); }, 0);
  }

  function hits(of, terms) {
    return of.search(terms.join(" ")).map(function (hit) { return met(hit, terms); });
  }

  function adds(one, other) {
    return Object.keys(one.met).some(function (term) { return one.met[term] > (other.met[term] || 0); });
  }

  function both(engine, item, terms) {
    var found = {};
    terms.forEach(function (term) { found[term] = Math.max(engine.met[term] || 0, item.met[term] || 0); });
    return sum(terms, found);
  }

  function by(answer, other) {
    return Math.round(100 * (other.cover - answer.cover)) || KINDS[answer.kind] - KINDS[other.kind] || other.score - answer.score;
  }

  function Search(data) {
    var having = data.items.map(function () { return 0; });
    var known = new Set();
    function evenly() { return 1; }
    this.data = data;
    this.lines = data.engines.map(function (engine) {
      var found = {};
      engine.lines.forEach(function (line) {
        found[line[0]] = line;
        having[line[0]] += 1;
      });
      return found;
    });
    this.having = having;
    this.known = known;
    this.engines = index(data.engines, ["name", "words", "titles"], { name: 3, words: 3, titles: 0.3 }, evenly, known);
    this.items = index(data.items, ["name", "words"], { name: 1.2, words: 1 }, function (id) {
      return (1 + Math.log(1 + having[id]) / 4) * data.items[id].weight;
    }, known);
    this.documents = index(data.documents, ["name", "title", "words"], { name: 2 }, evenly, known);
  }

  // Answers in order, what of the question nothing meets, and a fit that was asked of an engine which has no row for it.
  Search.prototype.find = function (query, chosen) {
    var self = this;
    var terms = asked(query).map(function (term) { return righted(term, self.known); });
    if (!terms.length) {
      return { terms: terms, answers: [], unmet: [], missing: null };
    }
    var engines = hits(this.engines, terms);
    var items = hits(this.items, terms);
    var documents = hits(this.documents, terms);
    var answers = [];
    engines.forEach(function (e) { answers.push({ kind: "engine", engine: e.id, cover: e.cover, score: e.score }); });
    items.forEach(function (i) { answers.push({ kind: "item", item: i.id, cover: i.cover, score: i.score }); });
    documents.forEach(function (d) { answers.push({ kind: "document", document: d.id, cover: d.cover, score: d.score }); });
    var pairs = [];
    engines.forEach(function (e) {
      items.forEach(function (i) {
        if (adds(e, i) && adds(i, e)) {
          pairs.push({ kind: "line", engine: e.id, item: i.id, cover: both(e, i, terms), score: e.score + i.score });
        }
      });
    });
    answers = answers.concat(pairs.filter(function (p) { return self.lines[p.engine][p.item]; })).sort(by);
    var best = answers.length ? answers[0].cover : 0;
    var lacking = pairs.filter(function (p) { return !self.lines[p.engine][p.item]; }).sort(by)[0];
    var missing = lacking && lacking.cover > best + 0.05 ? lacking : null;
    answers = answers.filter(function (a) { return a.cover > best - 0.35; });
    if (missing) {
      answers = [{ kind: "engine", engine: missing.engine }].concat(answers.filter(function (a) {
        return a.kind !== "engine" && (a.kind !== "line" || a.engine === missing.engine);
      }));
    }
    return {
      terms: terms,
      answers: this.withLines(answers, chosen),
      unmet: terms.filter(function (term) {
        return ![].concat(engines, items, documents).some(function (hit) { return hit.met[term]; });
      }),
      missing: missing
    };
  };

  // After a fit that leads the answers, its lines in engines: the chosen one first.
  Search.prototype.withLines = function (answers, chosen) {
    var self = this;
    var first = answers[0];
    if (!first || first.kind !== "item") {
      return answers;
    }
    var found = this.data.engines.map(function (_, e) { return { kind: "line", engine: e, item: first.item }; });
    found = found.filter(function (line) { return self.lines[line.engine][line.item]; });
    var mine = found.filter(function (line) { return self.data.engines[line.engine].page === chosen; });
    var others = found.filter(function (line) { return mine.indexOf(line) < 0; });
    return mine.concat(answers.slice(0, 6), others.slice(0, MOST_LINES), answers.slice(6));
  };

  // A line of a fit in an engine in words.
  Search.prototype.line = function (engine, item) {
    var line = this.lines[engine][item];
    return { range: line[1], limit: line[2], cite: this.data.documents[line[3]].name + ", " + line[4], more: line[5] };
  };

  // What is said of a fit that an engine lacks: whether it was looked for.
  Search.prototype.sought = function (engine, item) {
    var found = this.data.engines[engine].missing.filter(function (need) { return need[0].indexOf(item) >= 0; })[0];
    return found ? found[1] : "";
  };

  // Which of some entries (words) have every asked word.
  function narrowed(entries, query) {
    var terms = asked(query);
    var known = new Set();
    var of = index(entries, ["words", "trade"], {}, function () { return 1; }, known);
    terms = terms.map(function (term) { return righted(term, known); });
    var found = of.search(terms.join(" "), { combineWith: "AND" });
    return found.map(function (hit) { return hit.id; });
  }

  root.RunningFitsSearch = {
    asked: asked,
    narrowed: narrowed,
    data: null,
    documents: function (data) { this.data = data; },
    ready: function () { return this.of || (this.of = new Search(this.data)); }
  };
  if (typeof module !== "undefined") {
    module.exports = root.RunningFitsSearch;
  }
})(typeof window === "undefined" ? globalThis : window);
