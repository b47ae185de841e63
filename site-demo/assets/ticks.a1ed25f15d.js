/* Ticks of one procedure and revision, kept on this device; and where the work was left. */
(function () {
  "use strict";
  var bench = window.benchleaf, block = document.getElementById("at--ledger");
  if (!bench || !block) return;
  var data = JSON.parse(block.textContent);
  var units = data.units;
  var key = "ticks/" + data.key;
  var stored = bench.keep.works();
  var times = {};
  var undo = [];
  var listeners = [];

  function readHash() {
    var match = /(?:^#|&)done=([0-9a-v.]+)/.exec(location.hash);
    if (!match) return;
    match[1].split(".").forEach(function (index) {
      var unit = units[parseInt(index, 32)];
      if (unit) times[unit.id] = 0;
    });
  }
  try { times = JSON.parse(bench.keep.read(key) || "{}") || {}; } catch (broken) { times = {}; }
  if (!stored) readHash();

  function save() {
    if (bench.keep.write(key, JSON.stringify(times))) return;
    stored = false;
    var done = units.map(function (unit, index) { return unit.id in times ? index.toString(32) : ""; }).filter(Boolean);
    try { history.replaceState(null, "", done.length ? "#done=" + done.join(".") : "#at--main"); } catch (refused) { /* paper is the record */ }
  }
  function parts(id) { return units.filter(function (unit) { return unit.of === id; }); }
  function mark(id, on) { if (on) times[id] = Date.now(); else delete times[id]; }

  function set(id, on) {
    undo.push(JSON.stringify(times));
    var unit = units.find(function (candidate) { return candidate.id === id; });
    mark(id, on);
    parts(id).forEach(function (part) { mark(part.id, on); });
    if (unit && unit.of) {
      var all = parts(unit.of).every(function (part) { return part.id in times; });
      if (all !== unit.of in times) mark(unit.of, all);
    }
    save();
    remember();
    draw();
  }
  function steps() { return units.filter(function (unit) { return !unit.of; }); }
  function last() {
    return steps().filter(function (unit) { return unit.id in times; })
      .reduce(function (a, b) { return !a || times[b.id] >= times[a.id] ? b : a; }, null);
  }
  function next() {
    var all = steps(), at = last(), from = at ? all.indexOf(at) + 1 : 0;
    var open = function (unit) { return !(unit.id in times); };
    return all.slice(from).find(open) || all.find(open) || null;
  }
  function remember() {
    var to = next() || last();
    if (!to) return;
    bench.lastJob(data.shop, JSON.stringify({ procedure: data.procedure, title: data.title, step: to.id, number: to.n, heading: to.t, time: Date.now() }));
  }
  function clock(time) {
    if (!time) return "";
    return new Date(time).toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit" });
  }
  function draw() {
    var to = next();
    document.querySelectorAll("[data-tick], [data-part]").forEach(function (box) {
      box.checked = (box.getAttribute("data-tick") || box.getAttribute("data-part")) in times;
    });
    document.querySelectorAll(".card").forEach(function (card) {
      var id = card.getAttribute("data-step");
      card.classList.toggle("is-done", id in times);
      card.classList.toggle("is-next", !!to && to.id === id && Object.keys(times).length > 0);
      card.querySelector("[data-when]").textContent = clock(times[id]);
    });
    listeners.forEach(function (listener) { listener(); });
  }

  document.addEventListener("change", function (event) {
    var box = event.target, id = box.getAttribute && (box.getAttribute("data-tick") || box.getAttribute("data-part"));
    if (!id) return;
    if (bench.locked) { box.checked = !box.checked; return; }
    if (!box.checked && !bench.sure(id)) { box.checked = true; return; }
    set(id, box.checked);
  });

  /* A tick is given freely and taken back only at the second touch of the same box. */
  var armed = null;
  bench.say = function (text) {
    var line = document.querySelector("#at--loose [data-fill='status']");
    if (line) line.textContent = text;
    document.querySelectorAll("[data-when].asks").forEach(function (note) { note.classList.remove("asks"); });
  };
  bench.sure = function (id) {
    if (armed === id) { armed = null; bench.say(""); return true; }
    armed = id;
    bench.say(data.words.again);
    var box = document.querySelector("[data-tick='" + id + "'], [data-part='" + id + "']");
    var note = box && box.closest(".card").querySelector("[data-when]");
    if (note) { note.textContent = data.words.again; note.classList.add("asks"); }
    return false;
  };

  bench.ticks = {
    data: data,
    has: function (id) { return id in times; },
    at: function (id) { return times[id]; },
    set: set,
    next: next,
    stored: function () { return stored; },
    clear: function () { undo.push(JSON.stringify(times)); times = {}; save(); draw(); },
    undo: function () { if (!undo.length) return; times = JSON.parse(undo.pop()); save(); draw(); },
    watch: function (listener) { listeners.push(listener); listener(); },
    clock: clock
  };

  /* Tools and parts that were laid out. */
  document.querySelectorAll("[data-kit]").forEach(function (box) {
    var name = "kit/" + data.key + "/" + box.getAttribute("data-kit");
    box.checked = bench.keep.read(name) === "1";
    box.addEventListener("change", function () { bench.keep.write(name, box.checked ? "1" : null); });
  });

  function fill(link, unit) {
    link.textContent = unit.n + "  " + unit.t;
    link.href = "#" + unit.id;
  }
  var panel = document.getElementById("at--resume"), at = last(), to = next();
  if (panel && at && to) {
    fill(panel.querySelector("[data-fill='last']"), at);
    fill(panel.querySelector("[data-fill='next']"), to);
    if (times[at.id]) panel.querySelector("[data-fill='ago']").textContent = bench.ago(times[at.id]);
    panel.querySelector("[data-fill='store']").textContent = data.words.device;
    panel.hidden = false;
  }
  draw();
})();
