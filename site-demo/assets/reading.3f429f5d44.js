/* How the page fits its reader: text size, light, second unit, glove mode; and which stage is in view. */
(function () {
  "use strict";
  var root = document.documentElement;
  var bench = (window.benchleaf = window.benchleaf || {});
  root.classList.add("scripted");

  bench.keep = {
    read: function (key) {
      try { return window.localStorage.getItem("benchleaf/" + key); } catch (refused) { return null; }
    },
    write: function (key, value) {
      try {
        if (value === null) window.localStorage.removeItem("benchleaf/" + key);
        else window.localStorage.setItem("benchleaf/" + key, value);
        return true;
      } catch (refused) { return false; }
    },
    works: function () {
      if (!bench.keep.write("probe", "1")) return false;
      var kept = bench.keep.read("probe") === "1";
      bench.keep.write("probe", null);
      return kept;
    }
  };

  function show(name, value) {
    if (value) root.setAttribute("data-" + name, value); else root.removeAttribute("data-" + name);
    document.querySelectorAll("[data-set='" + name + "'], [data-toggle='" + name + "']").forEach(function (button) {
      button.setAttribute("aria-pressed", String((value || "1") === button.getAttribute("data-to")));
    });
    document.dispatchEvent(new CustomEvent("bench-fit", { detail: name }));
  }
  ["size", "light", "second", "glove"].forEach(function (name) {
    show(name, bench.keep.read("fit/" + name));
  });

  document.addEventListener("click", function (event) {
    var button = event.target.closest("[data-set], [data-toggle], [data-act='print']");
    if (!button) return;
    if (button.getAttribute("data-act") === "print") { window.print(); return; }
    var name = button.getAttribute("data-set") || button.getAttribute("data-toggle");
    var value = button.getAttribute("data-to");
    if (button.hasAttribute("data-toggle") && root.getAttribute("data-" + name) === value) value = null;
    show(name, value);
    bench.keep.write("fit/" + name, value);
  });
  document.addEventListener("keydown", function (event) {
    var open = document.querySelector(".fit[open]");
    if (event.key === "Escape" && open) { open.open = false; open.querySelector("summary").focus(); }
  });

  /* Nothing stays folded on paper. */
  window.addEventListener("beforeprint", function () {
    document.querySelectorAll("details:not([open])").forEach(function (fold) {
      fold.setAttribute("data-was-shut", ""); fold.open = true;
    });
  });
  window.addEventListener("afterprint", function () {
    document.querySelectorAll("details[data-was-shut]").forEach(function (fold) {
      fold.removeAttribute("data-was-shut"); fold.open = false;
    });
  });

  var edges = document.querySelectorAll(".edges a");
  if (edges.length && "IntersectionObserver" in window) {
    var seen = {};
    var watch = new IntersectionObserver(function (entries) {
      entries.forEach(function (entry) { seen[entry.target.id] = entry.isIntersecting; });
      var current = null;
      edges.forEach(function (edge) {
        edge.removeAttribute("aria-current");
        if (!current && seen[edge.hash.slice(1)]) current = edge;
      });
      if (current) current.setAttribute("aria-current", "true");
    }, { rootMargin: "-15% 0px -70% 0px" });
    edges.forEach(function (edge) {
      var target = document.getElementById(edge.hash.slice(1));
      if (target) watch.observe(target);
    });
  }

  bench.ago = function (time) {
    var minutes = Math.round((time - Date.now()) / 60000);
    var unit = "minute", count = minutes;
    if (Math.abs(minutes) >= 2880) { unit = "day"; count = Math.round(minutes / 1440); }
    else if (Math.abs(minutes) >= 120) { unit = "hour"; count = Math.round(minutes / 60); }
    try { return new Intl.RelativeTimeFormat(root.lang, { numeric: "auto" }).format(count, unit); }
    catch (missing) { return new Date(time).toLocaleString(); }
  };

  /* The job that was last worked on, for the front page: storage where pages share it, a cookie where they do not. */
  bench.lastJob = function (shop, job) {
    var name = "benchleaf-" + shop;
    if (job) {
      bench.keep.write(shop + "/last", job);
      try { document.cookie = name + "=" + encodeURIComponent(job) + "; max-age=2592000; path=/; SameSite=Lax"; } catch (refused) { /* none */ }
      return job;
    }
    var kept = bench.keep.read(shop + "/last");
    if (kept) return kept;
    var found = document.cookie.split("; ").find(function (pair) { return pair.indexOf(name + "=") === 0; });
    return found ? decodeURIComponent(found.slice(name.length + 1)) : null;
  };
  var front = document.querySelector(".resume[data-shop]");
  if (front) {
    try {
      var job = JSON.parse(bench.lastJob(front.getAttribute("data-shop")) || "null");
      if (job && /^[a-z0-9-]+$/.test(job.procedure) && /^[a-z0-9-]*$/.test(job.step)) {
        var link = front.querySelector("[data-fill='job']");
        link.href = "procedures/" + job.procedure + "/index.html#" + job.step;
        link.textContent = job.title + " · " + job.number + " " + job.heading;
        front.querySelector("[data-fill='ago']").textContent = bench.ago(job.time);
        front.hidden = false;
      }
    } catch (unreadable) { /* an older page wrote it: nothing to resume */ }
  }
})();
