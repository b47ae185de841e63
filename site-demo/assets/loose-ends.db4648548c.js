/* What is open on the vehicle at this moment, from the ticks and the ledger; the hand-over sheet; glove mode. */
(function () {
  "use strict";
  var bench = window.benchleaf;
  if (!bench || !bench.ticks) return;
  var ticks = bench.ticks, data = ticks.data, words = data.words;
  var box = document.getElementById("at--loose"), root = document.documentElement;

  /* Every move takes so many of an item from one state to the next; what has not reached an end is open. */
  function open() {
    var counts = {};
    Object.keys(data.items).forEach(function (id) {
      var item = data.items[id];
      counts[id] = {};
      counts[id][item.start] = item.count;
    });
    data.units.forEach(function (unit) {
      if (!ticks.has(unit.id)) return;
      unit.moves.forEach(function (move) {
        var at = counts[move[0]], from = move[1], to = move[2];
        if (!at) return;
        var n = Math.min(move[3], Object.keys(at).reduce(function (sum, state) { return sum + at[state]; }, 0));
        var taken = Math.min(n, at[from] || 0);
        at[from] = (at[from] || 0) - taken;
        Object.keys(at).forEach(function (state) {
          var more = Math.min(n - taken, at[state]);
          if (more > 0 && state !== to) { at[state] -= more; taken += more; }
        });
        at[to] = (at[to] || 0) + taken;
      });
    });
    var list = [];
    Object.keys(data.items).forEach(function (id) {
      var item = data.items[id];
      Object.keys(counts[id]).forEach(function (state) {
        var n = counts[id][state];
        if (n > 0 && item.ends.indexOf(state) < 0) list.push({ item: item, state: state, n: n });
      });
    });
    return list;
  }
  function line(entry) {
    var many = entry.item.count > 1 ? " ×" + entry.n : "";
    return entry.item.name + many + ": " + (words.states[entry.item.kind + "/" + entry.state] || entry.state);
  }
  function element(name, text) {
    var made = document.createElement(name);
    if (text) made.textContent = text;
    return made;
  }
  function grouped(list, into, heading) {
    into.textContent = "";
    words.kinds.forEach(function (kind) {
      var ofKind = list.filter(function (entry) { return entry.item.kind === kind[0]; });
      if (!ofKind.length) return;
      into.appendChild(element(heading, kind[1]));
      var all = into.appendChild(element("ul"));
      ofKind.forEach(function (entry) { all.appendChild(element("li", line(entry))); });
    });
  }
  function part(name) { return box.querySelector("[data-fill='" + name + "']"); }

  function draw() {
    var known = ticks.stored() || data.units.some(function (unit) { return ticks.has(unit.id); });
    var list = open();
    part("count").textContent = !known ? words.unknown : list.length ? words.items.replace("{n}", list.length) : words.nothing;
    var gist = part("gist");
    gist.textContent = "";
    list.slice(0, 8).forEach(function (entry) { gist.appendChild(element("span", line(entry))); });
    if (list.length > 8) gist.appendChild(element("span", "+ " + (list.length - 8)));
    grouped(list, part("open"), "h3");
    if (!known) part("open").appendChild(element("p", words.unknown_long));
    var stop = part("stop");
    stop.textContent = "";
    words.kinds.forEach(function (kind) {
      if (kind[2] && list.some(function (entry) { return entry.item.kind === kind[0]; })) stop.appendChild(element("li", kind[2]));
    });
    stop.appendChild(element("li", words.always));
  }

  function handover() {
    var sheet = document.querySelector("[data-fill='handover']");
    grouped(open(), sheet, "h3");
    if (!sheet.childNodes.length) sheet.appendChild(element("p", ticks.stored() ? words.nothing : words.unknown_long));
    var done = data.units.filter(function (unit) { return !unit.of && ticks.has(unit.id); });
    var last = done.reduce(function (a, b) { return !a || ticks.at(b.id) >= ticks.at(a.id) ? b : a; }, null);
    var next = ticks.next();
    if (last) sheet.appendChild(element("p", words.last + " " + last.n + " " + last.t + " " + ticks.clock(ticks.at(last.id))));
    if (next) sheet.appendChild(element("p", words.next + " " + next.n + " " + next.t));
    sheet.appendChild(element("p", words.printed + " " + new Date().toLocaleString(root.lang)));
    sheet.appendChild(element("h3", words.stop));
    sheet.appendChild(part("stop").cloneNode(true));
    root.classList.add("prints-handover");
    window.print();
    root.classList.remove("prints-handover");
  }
  var sureToClear = false;
  box.addEventListener("click", function (event) {
    var act = event.target.closest("[data-act]");
    act = act && act.getAttribute("data-act");
    if (act === "handover") handover();
    if (act === "clear") {
      if (sureToClear) { ticks.clear(); bench.say(""); } else bench.say(words.clear_again);
      sureToClear = !sureToClear;
    }
  });
  ticks.watch(draw);

  /* Glove mode: the whole card is the target, the bar at the bottom locks, undoes and goes on. */
  var bar = document.querySelector(".workbar"), lock = bar.querySelector("[data-act='lock']");
  function glove() { return root.hasAttribute("data-glove"); }
  bar.addEventListener("click", function (event) {
    var button = event.target.closest("[data-act]"), act = button && button.getAttribute("data-act");
    if (act === "lock") {
      bench.locked = !bench.locked;
      root.toggleAttribute("data-locked", bench.locked);
      lock.setAttribute("aria-pressed", String(bench.locked));
    }
    if (act === "undo" && !bench.locked) ticks.undo();
    if (act === "next") {
      var to = ticks.next(), card = to && document.getElementById(to.id);
      if (card) { card.scrollIntoView(); card.querySelector("[data-tick]").focus({ preventScroll: true }); }
    }
  });
  document.addEventListener("bench-fit", function () {
    if (!glove() && bench.locked) lock.click();
  });
  document.addEventListener("click", function (event) {
    if (!glove() || bench.locked || event.target.closest("a, input, button, summary, label")) return;
    var card = event.target.closest(".card");
    if (!card) return;
    var id = card.getAttribute("data-step"), on = !ticks.has(id);
    if (on || bench.sure(id)) ticks.set(id, on);
  });
})();
