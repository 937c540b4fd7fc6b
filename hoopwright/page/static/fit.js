// The slider of the step Fit: reads every margin from the curves of the case, which come once, and moves the
// figure, the table and the banner. hoopwright/page/readings.py reads them alike. It never says that anything
// holds: that word comes from a full check alone.
(function () {
  "use strict";

  var SAME = 1e-6, THOU = 25.4, MINUS = "\u2212", BAR = 80, FULL = 100;
  var WORDS = { clear: "read from a curve, away from its limit", undecided: "read from a curve, undecided, treat as failing", fails: "read from a curve, fails" };
  var LOOKS = { clear: "cell-holds", undecided: "cell-undecided", fails: "cell-fails" };
  var SIGNS = { clear: "", undecided: "?", fails: "×" };

  // ---- what the curves say ----

  // Which step of the grid an interference lies in, and the share of its lower end; null beyond the grid.
  function place(at, um) {
    var last = at.length - 1;
    if (um < at[0] - SAME || um > at[last] + SAME) { return null; }
    var k = 0;
    while (k < last - 1 && at[k + 1] <= um) { k += 1; }
    if (Math.abs(um - at[k]) < SAME) { return { a: k, b: k, share: 1 }; }
    if (Math.abs(um - at[k + 1]) < SAME) { return { a: k + 1, b: k + 1, share: 1 }; }
    return { a: k, b: k + 1, share: (at[k + 1] - um) / (at[k + 1] - at[k]) };
  }

  function reading(cell, where, tolerance) {
    if (where === null || (where.a !== where.b && cell.bends[where.a])) { return { margin: null, state: "needs a solve" }; }
    function between(side) { return where.share * cell[side][where.a] + (1 - where.share) * cell[side][where.b]; }
    var demand = between("demand"), capacity = between("capacity"), allowed = between("numerical_error");
    var margin = capacity <= 0 ? -1 : demand <= 0 ? Infinity : capacity / (cell.factor * demand) - 1;
    if (where.a !== where.b && margin < Infinity) { allowed += tolerance * Math.max(1, 1 + margin); }
    if (margin < -allowed || capacity <= 0) { return { margin: margin, state: "fails" }; }
    var doubt = cell.doubt[where.a] !== "" || cell.doubt[where.b] !== "";
    return { margin: margin, state: margin <= allowed || doubt ? "undecided" : "clear" };
  }

  // Every cell at an interference, what fails first, then the least margin.
  function readAll(curves, um) {
    var where = place(curves.interference_um, um);
    return curves.cells.map(function (cell) {
      var found = reading(cell, where, curves.tolerance);
      return { cell: cell, margin: found.margin, state: found.state };
    });
  }

  function nearest(readings) {
    return readings.filter(function (one) { return one.margin !== null; }).sort(function (a, b) {
      if ((a.state === "fails") !== (b.state === "fails")) { return a.state === "fails" ? -1 : 1; }
      return a.margin === b.margin ? 0 : a.margin - b.margin;
    });
  }

  function marginText(margin) {
    if (margin === Infinity) { return "no loss"; }
    if (margin >= 999.5) { return ">999"; }
    var text = margin.toFixed(margin >= 10 ? 0 : 2);
    return text.charAt(0) === "-" ? MINUS + text.slice(1) : "+" + text;
  }

  function number(um, system) { return system === "inch" ? (um / THOU).toFixed(2) : um.toFixed(1); }
  function withUnit(um, system) { return number(um, system) + "\u00a0" + (system === "inch" ? "thou" : "µm"); }

  // A size as typed, in µm; null where it is none. A bare number is in the unit beside the field.
  function typed(text, system) {
    var found = /^\s*([0-9]+(?:\.[0-9]*)?|\.[0-9]+)\s*(um|µm|μm|mm|in|inch|thou|)\s*$/i.exec(text);
    if (found === null) { return null; }
    var factors = { um: 1, "µm": 1, "μm": 1, mm: 1000, "in": 25400, inch: 25400, thou: THOU, "": system === "inch" ? THOU : 1 };
    return Number(found[1]) * factors[found[2].toLowerCase()];
  }

  var read = { place: place, reading: reading, readAll: readAll, nearest: nearest, marginText: marginText, typed: typed, number: number };
  if (typeof module !== "undefined" && module.exports) { module.exports = read; }
  if (typeof document === "undefined") { return; }

  // ---- the page ----

  function capital(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
  function setText(element, text) { if (element !== null && element.textContent !== text) { element.textContent = text; } }
  function byId(id) { return document.getElementById(id); }

  function Slider(sheet, curves) {
    this.sheet = sheet;
    this.curves = curves;
    this.system = sheet.dataset.system;
    this.own = curves.fit.likely_um;
    this.um = this.own;
    this.range = byId("fit-slider");
    this.field = byId("fit-field");
    this.figures = Array.prototype.map.call(sheet.querySelectorAll("svg.fit-figure"), figure);
    this.cells = curves.cells.map(cellElement);
    this.needsSolve = curves.needs_solve.map(cellElement);
    this.listen();
    this.show();
  }

  function cellElement(cell) {
    var element = byId("cell-" + cell.id + "-" + cell.stage.replace(/ /g, "-"));
    return element === null ? null : { element: element, classes: element.className, nodes: element.cloneNode(true).childNodes };
  }

  // The scales of a figure, which the server has drawn it by.
  function figure(svg) {
    var d = svg.dataset, prefix = svg.querySelector("title").id.replace(/-title$/, "");
    function part(name) { return byId(prefix + "-" + name); }
    var from = Number(d.from), perUm = (Number(d.right) - Number(d.left)) / (Number(d.to) - from);
    // A text of a group that is moved, beside its place, but inside the figure; by how much it is off its place.
    function beside(text, groupX, x) {
      var end = text.getAttribute("text-anchor") === "end", length = text.getComputedTextLength ? text.getComputedTextLength() : 0;
      var low = 4 - groupX + (end ? length : 0), high = Number(d.width) - 4 - groupX - (end ? 0 : length);
      var at = Math.min(Math.max(x, low), high);
      text.setAttribute("x", at.toFixed(2));
      return Math.abs(at - x);
    }
    // The same, or nothing where the figure ends too near: the text would lie under the thumb.
    function besideThumb(text, groupX, x) {
      text.setAttribute("visibility", beside(text, groupX, x) > 8 ? "hidden" : "visible");
    }
    return {
      part: part,
      beside: beside,
      besideThumb: besideThumb,
      top: Number(d.top),
      x: function (um) { return Number(d.left) + (um - from) * perUm; },
      y: function (margin) { return Math.max(Number(d.zero) - Math.max(margin, -1) * Number(d.perMargin), Number(d.top)); }
    };
  }

  Slider.prototype.listen = function () {
    var self = this, step = Number(this.sheet.dataset.step), leap = Number(this.sheet.dataset.leap);
    function to(um) { return function () { self.set(um()); }; }
    var middle = function () {
      var window_ = self.curves.window;
      return (window_.least.effective_interference_um + window_.greatest.effective_interference_um) / 2;
    };
    this.range.addEventListener("input", function () { self.set(Number(self.range.value), true); });
    this.range.addEventListener("keydown", function (event) {
      var moves = { ArrowLeft: -step, ArrowDown: -step, ArrowRight: step, ArrowUp: step, PageDown: -leap, PageUp: leap };
      var ends = self.curves.window.empty ? [self.range.min, self.range.max] : [self.curves.window.least.effective_interference_um, self.curves.window.greatest.effective_interference_um];
      if (event.altKey || event.ctrlKey || event.metaKey) { return; }
      if (event.key in moves) { self.set(self.um + moves[event.key]); }
      else if (event.key === "Home") { self.set(Number(ends[0])); }
      else if (event.key === "End") { self.set(Number(ends[1])); }
      else { return; }
      event.preventDefault();
    });
    byId("fit-less").addEventListener("click", to(function () { return self.um - step; }));
    byId("fit-more").addEventListener("click", to(function () { return self.um + step; }));
    byId("fit-own").addEventListener("click", to(function () { return self.own; }));
    if (byId("fit-middle") !== null) { byId("fit-middle").addEventListener("click", to(middle)); }
    this.field.addEventListener("keydown", function (event) {
      if (event.key === "Enter") { event.preventDefault(); self.take(); }
      else if (event.key === "Escape") { self.fault(""); self.show(); }
      else if (event.key === "ArrowUp") { event.preventDefault(); self.set(self.um + step * (event.shiftKey ? 10 : 1)); }
      else if (event.key === "ArrowDown") { event.preventDefault(); self.set(self.um - step * (event.shiftKey ? 10 : 1)); }
    });
    this.field.addEventListener("change", function () { self.take(); });
    ["fit-slider", "fit-field", "fit-less", "fit-more", "fit-own", "fit-middle"].forEach(function (id) {
      if (byId(id) !== null) { byId(id).disabled = false; }
    });
  };

  Slider.prototype.fault = function (text) { setText(byId("fit-fault"), text); };

  // Take what is typed in the field; what is no size, or lies beyond the curves, is said and changes nothing.
  Slider.prototype.take = function () {
    if (this.field.value === number(this.um, this.system)) { this.fault(""); return; }
    var um = typed(this.field.value, this.system), at = this.curves.interference_um;
    if (um === null) { this.fault("Not a size. Write e.g. " + withUnit(this.own, this.system) + "."); return; }
    if (um < at[0] - SAME || um > at[at.length - 1] + SAME) {
      this.fault("The curves go from " + number(at[0], this.system) + " to " + withUnit(at[at.length - 1], this.system) + ".");
      return;
    }
    this.set(um);
  };

  // rounded: to the division that is shown, as a thumb that is dragged lies anywhere.
  Slider.prototype.set = function (um, rounded) {
    var at = this.curves.interference_um;
    if (rounded) { um = this.system === "inch" ? Math.round(um / THOU * 100) / 100 * THOU : Math.round(um * 10) / 10; }
    if (Math.abs(um - this.own) < 0.05) { um = this.own; }
    this.um = Math.min(Math.max(um, at[0]), at[at.length - 1]);
    this.fault("");
    this.show();
  };

  Slider.prototype.isOwn = function () { return Math.abs(this.um - this.own) < SAME; };

  Slider.prototype.show = function () {
    var readings = readAll(this.curves, this.um), order = nearest(readings), self = this;
    var least = order.length ? order[0] : null;
    this.range.value = String(this.um);
    this.field.value = number(this.um, this.system);
    setText(byId("fit-other"), withUnit(this.um, this.system === "inch" ? "metric" : "inch"));
    this.range.setAttribute("aria-valuetext", withUnit(this.um, this.system) + ", " + withUnit(this.um, this.system === "inch" ? "metric" : "inch") +
      (least === null ? "" : "; least margin " + marginText(least.margin) + ", " + least.cell.title));
    this.figures.forEach(function (one) { self.move(one); });
    readings.forEach(function (one, k) { self.showCell(self.cells[k], one, one === least); });
    this.needsSolve.forEach(function (one) { self.showCell(one, { margin: null, state: "needs a solve" }, false); });
    this.left = readings.length - order.length + this.needsSolve.length;
    this.showNearest(order);
    this.showVerdict(least);
    setText(byId("fit-says"), this.says());
    var form = byId("fit-check");
    if (form !== null) {
      form.hidden = this.isOwn();
      byId("fit-value").value = this.um.toFixed(3) + " um";
    }
  };

  Slider.prototype.says = function () {
    if (this.isOwn()) { return "The margins below are those of the last full check."; }
    return "These margins are read from curves at " + withUnit(this.um, this.system) + "; the last full check was at " + number(this.own, this.system) + "." +
      (this.left === 0 ? "" : " " + this.left + (this.left === 1 ? " cell needs a solve and stands" : " cells need a solve and stand") + " as of that check.");
  };

  Slider.prototype.move = function (one) {
    var curves = this.curves, um = this.um, half = curves.fit.half_width_um, system = this.system;
    var where = place(curves.interference_um, um);
    var middle = one.x(um), reach = Math.max(one.x(um + half) - middle, 17) + 8;
    one.part("fit").setAttribute("transform", "translate(" + middle.toFixed(2) + " 0)");
    setText(one.part("low"), number(um - half, system));
    setText(one.part("high"), number(um + half, system));
    one.besideThumb(one.part("low"), middle, -reach);
    one.besideThumb(one.part("high"), middle, reach);
    ["least", "greatest"].forEach(function (end) {
      var group = one.part("at-" + end), named = curves.ends[end];
      if (group === null || named === null) { return; }
      var cell = curves.cells.filter(function (c) { return c.id === named.id && c.stage === named.stage; })[0];
      var found = reading(cell, where, curves.tolerance);
      var x = one.x(um + (end === "least" ? -half : half));
      group.setAttribute("transform", "translate(" + x.toFixed(2) + " 0)");
      group.setAttribute("visibility", found.margin === null ? "hidden" : "visible");
      if (found.margin === null) { return; }
      var y = one.y(found.margin);
      one.part("dot-" + end).setAttribute("cy", y.toFixed(2));
      one.part("drop-" + end).setAttribute("y1", y.toFixed(2));
      var isBeyond = y <= one.top;
      one.part("margin-" + end).setAttribute("y", (y + (isBeyond ? 18 : -7)).toFixed(2));
      setText(one.part("margin-" + end), marginText(found.margin));
      one.beside(one.part("margin-" + end), x, (end === "least") !== isBeyond ? -9 : 9);
    });
  };

  // A cell of the table: as the server has drawn it at the interference of the case, else as its curve has it.
  Slider.prototype.showCell = function (saved, found, governs) {
    if (saved === null) { return; }
    var element = saved.element, old = found.margin === null;
    if (element.dataset.moved && (old || this.isOwn())) {  // the number of the check, not of the last move
      element.className = saved.classes;
      element.replaceChildren.apply(element, Array.prototype.map.call(saved.nodes, function (node) { return node.cloneNode(true); }));
      delete element.dataset.moved;
    }
    if (this.isOwn()) { return; }
    element.dataset.moved = "true";
    var value = element.querySelector(".value"), word = element.querySelector(".word-old");
    element.classList.toggle("old", old);
    element.classList.toggle("governs", governs);
    setText(element.querySelector(".said"), ", " + (old ? "as of the last full check" : WORDS[found.state]) + (governs ? ", governs" : ""));
    if (old && word === null && value !== null) {
      word = document.createElement("span");
      word.className = "word-old";
      word.textContent = " old";
      value.appendChild(word);
    }
    if (old) { return; }
    if (word !== null) { word.remove(); }
    ["clear", "undecided", "fails"].forEach(function (state) { element.classList.toggle(LOOKS[state], state === found.state); });
    element.classList.toggle("bold", found.margin < 1);
    setText(element.querySelector(".number"), marginText(found.margin));
    this.showSign(value, SIGNS[found.state]);
    var bar = element.querySelector(".used"), used = found.margin <= -1 ? FULL : BAR / (1 + found.margin);
    if (bar !== null) { bar.setAttribute("width", Math.min(used, FULL).toFixed(2)); }
  };

  Slider.prototype.showSign = function (value, text) {
    if (value === null) { return; }
    var sign = value.querySelector(".sign");
    if (sign === null && text !== "") {
      sign = document.createElement("span");
      sign.className = "sign";
      sign.setAttribute("aria-hidden", "true");
      value.insertBefore(sign, value.firstChild);
    }
    if (sign !== null && text === "") { sign.remove(); } else { setText(sign, text); }
  };

  // The cells nearest to the limit, above the table.
  Slider.prototype.showNearest = function (order) {
    var list = document.querySelector("#rows .nearest ul");
    if (list === null) { return; }
    if (this.list === undefined) { this.list = list.cloneNode(true); }
    if (this.isOwn()) {
      if (list.dataset.moved) { list.replaceWith(this.list.cloneNode(true)); }
      return;
    }
    list.dataset.moved = "true";
    Array.prototype.forEach.call(list.children, function (item, k) {
      var one = order[k], link = item.querySelector("a");
      item.hidden = one === undefined;
      if (one === undefined || link === null) { return; }
      var row = byId("row-" + one.cell.id), parts = link.querySelectorAll("span");
      link.setAttribute("href", "#row-" + one.cell.id);
      if (row !== null) { setText(parts[0], row.querySelector(".balloon").textContent); }
      parts[0].classList.toggle("balloon-filled", k === 0);
      setText(link.querySelector(".nearest-margin"), SIGNS[one.state] + (SIGNS[one.state] ? " " : "") + marginText(one.margin));
      setText(parts[parts.length - 1], capital(one.cell.title) + ", " + one.cell.stage);
    });
  };

  // The banner: its own words at the interference of the case, else that nothing but a check says it holds.
  Slider.prototype.showVerdict = function (least) {
    var banner = byId("verdict");
    if (banner === null) { return; }
    if (this.isOwn()) {
      if (banner.dataset.moved) {
        setText(byId("said"), this.banner.dataset.word);
        var back = this.banner.cloneNode(true);
        banner.replaceWith(back);
        if (window.htmx) { window.htmx.process(back); }  // it may still ask for news
      }
      return;
    }
    setText(byId("said"), "Not checked");
    if (!banner.dataset.moved) { this.banner = banner.cloneNode(true); }
    var sign = byId("fit-hoop").content.firstElementChild.cloneNode(true);
    banner.dataset.moved = "true";
    banner.dataset.word = "Not checked";
    banner.className = "verdict verdict-old";
    var hoop = banner.querySelector("svg");
    if (hoop !== null) { hoop.replaceWith(sign); }
    setText(banner.querySelector(".verdict-word"), "Not checked");
    var says = banner.querySelector(".verdict-says"), line = document.createElement("p");
    line.textContent = this.says() + (least === null ? "" : " " + this.nearestText(least));
    Array.prototype.slice.call(says.children).forEach(function (child) {
      if (!child.classList.contains("verdict-word")) { child.remove(); }
    });
    says.appendChild(line);
    var number_ = banner.querySelector(".verdict-least b");
    if (number_ !== null) {
      setText(number_, least === null ? "" : marginText(least.margin));
      setText(banner.querySelector(".verdict-least span"), "least margin, by curve");
    }
  };

  Slider.prototype.nearestText = function (least) {
    var where = least.cell.title + ", " + least.cell.stage;
    if (least.state === "fails") { return capital(where) + ", fails there."; }
    if (least.state === "undecided") { return capital(where) + ", is too close to its limit to tell, or in doubt."; }
    return "Nearest to its limit: " + where + ".";
  };

  // ---- a sheet that has come ----

  var slider = null;

  function start() {
    var sheet = byId("fit");
    if (sheet === null || !sheet.dataset.curves || sheet.dataset.started) { return; }
    sheet.dataset.started = "true";
    fetch(sheet.dataset.curves, { credentials: "same-origin" }).then(function (answer) {
      if (!answer.ok) { throw new Error(String(answer.status)); }
      return answer.json();
    }).then(function (curves) {
      // curves of other sizes than the figure's would move it wrongly
      if (!sheet.isConnected || Math.abs(curves.fit.likely_um - Number(sheet.dataset.likely)) > SAME) { return; }
      slider = new Slider(sheet, curves);
    }).catch(function () {
      setText(byId("fit-fault"), "The curves did not come. Load this page again.");
    });
  }

  function again() {
    if (slider !== null && !slider.sheet.isConnected) { slider = null; }
    start();
    if (slider !== null && !slider.isOwn()) { slider.show(); }  // the banner may have been drawn anew
  }

  document.addEventListener("DOMContentLoaded", start);
  document.addEventListener("htmx:afterSettle", again);
  if (document.readyState !== "loading") { start(); }
}());
