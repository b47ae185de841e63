/* Search over one index that the page loads: prefixes, folded letters, one slip of the finger. */
(function () {
  "use strict";
  var index = window.benchleafIndex, field = document.getElementById("at--ask"), list = document.getElementById("at--hits");
  if (!index || !field) return;
  var title = document.getElementById("at--hits-title"), everything = document.getElementById("at--everything");
  var terms = Object.keys(index.terms).sort();

  function fold(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase().replace(/ß/g, "ss").replace(/[øØ]/g, "o").replace(/æ/g, "ae");
  }
  function words(text) { return fold(text).split(/[^\p{L}\p{N}.]+/u).map(function (word) { return word.replace(/^\.+|\.+$/g, ""); }).filter(Boolean); }

  /* Whether one letter put in, left out, changed or swapped with its neighbour makes b of a. */
  function near(a, b) {
    if (Math.abs(a.length - b.length) > 1) return false;
    var i = 0, end = Math.min(a.length, b.length);
    while (i < end && a[i] === b[i]) i += 1;
    if (a.length === b.length) {
      return a.slice(i + 1) === b.slice(i + 1) || (a[i] === b[i + 1] && a[i + 1] === b[i] && a.slice(i + 2) === b.slice(i + 2));
    }
    return a.length > b.length ? a.slice(i + 1) === b.slice(i) : a.slice(i) === b.slice(i + 1);
  }
  function slipped(word, term) {
    if (near(word, term)) return true;
    return word.length > 4 && term.length > word.length && (near(word, term.slice(0, word.length)) || near(word, term.slice(0, word.length + 1)));
  }
  function gather(score, term, factor) {
    index.terms[term].split(" ").forEach(function (posting) {
      var cut = posting.indexOf(":"), id = parseInt(posting.slice(0, cut), 36), weight = parseInt(posting.slice(cut + 1), 36);
      score[id] = Math.max(score[id] || 0, weight * factor);
    });
  }
  function scores(word) {
    var score = {}, found = false;
    terms.forEach(function (term) {
      if (term.indexOf(word) !== 0) return;
      found = true;
      gather(score, term, term === word ? 3 : 2);
    });
    if (!found && word.length > 2) terms.forEach(function (term) { if (slipped(word, term)) gather(score, term, 1); });
    return score;
  }
  function find(query) {
    var all = null;
    words(query).forEach(function (word) {
      var one = scores(word);
      if (!all) { all = one; return; }
      Object.keys(all).forEach(function (id) { if (id in one) all[id] += one[id]; else delete all[id]; });
    });
    return Object.keys(all || {}).map(Number).sort(function (a, b) { return all[b] - all[a] || a - b; });
  }
  function draw() {
    var query = field.value, hits = words(query).length ? find(query) : [];
    list.textContent = "";
    everything.hidden = words(query).length > 0;
    title.textContent = !words(query).length ? "" : hits.length ? list.getAttribute("data-some").replace("{n}", hits.length) : list.getAttribute("data-none");
    hits.slice(0, 200).forEach(function (id) {
      var entry = index.entries[id], item = document.createElement("li"), link = document.createElement("a");
      link.href = entry[0];
      link.textContent = entry[1];
      item.appendChild(link);
      if (entry[2]) {
        var note = document.createElement("p");
        note.className = "small soft";
        note.textContent = entry[2];
        item.appendChild(note);
      }
      list.appendChild(item);
    });
  }
  field.addEventListener("input", draw);
  var asked = /[?#&]q=([^&]*)/.exec(location.search + location.hash);
  if (asked) { try { field.value = decodeURIComponent(asked[1].replace(/\+/g, " ")); } catch (broken) { /* an odd address */ } }
  title.textContent = "";
  draw();
})();
