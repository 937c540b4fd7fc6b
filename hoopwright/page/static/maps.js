// The maps of the step In use: what lies under a cross that arrows and the pointer move over a grid of values.
// The values come once, and only those of the case as it stands. Between the points of a grid they run along
// straight lines; what is not judged has no number.
(function () {
  "use strict";

  var MINUS = "\u2212", NO_BREAK = "\u00a0", GRIP_ENDS = 99, LEAP = 5, SNAP = 1e-6, SLACK = 12;  // px beside a map that count as its edge

  function number(value, decimals) {
    var text = value.toFixed(decimals);
    if (Number(text) === 0) { text = text.replace("-", ""); }
    return text.replace("-", MINUS);
  }

  // Which step of a rising grid a value lies in, and its share of the way; the ends hold what lies beyond.
  function between(grid, value) {
    var last = grid.length - 1, k = 0;
    if (last < 1 || value <= grid[0]) { return { k: 0, share: 0 }; }
    if (value >= grid[last]) { return { k: last - 1, share: 1 }; }
    while (k < last - 1 && grid[k + 1] <= value) { k += 1; }
    return { k: k, share: grid[k + 1] > grid[k] ? (value - grid[k]) / (grid[k + 1] - grid[k]) : 0 };
  }

  // A value that lies hardly beyond an end is at it; any other stays as it is.
  function held(value, low, high, slack) {
    if (value < low && value >= low - slack) { return low; }
    return value > high && value <= high + slack ? high : value;
  }

  function mix(a, b, share) { return a + share * (b - a); }

  // ---- the section: two bodies, levels through their walls, lines along z ----

  function Section(doc, part) {
    var moment = doc.moments.filter(function (one) { return one.id === part; })[0];
    this.levels = doc.levels;
    this.bodies = doc.bodies.map(function (grid, k) {
      var values = moment.bodies[k];
      return { name: grid.body, z: grid.z_mm, bore: grid.bore_mm, outside: grid.outside_mm, stress: values.stress_MPa, limit: values.limit_MPa };
    });
    this.bodies.sort(function (a, b) { return a.bore[0] - b.bore[0]; });  // from the inside outwards
  }

  Section.prototype.ends = function () {
    return [Math.min.apply(null, this.bodies.map(function (b) { return b.z[0]; })), Math.max.apply(null, this.bodies.map(function (b) { return b.z[b.z.length - 1]; }))];
  };

  Section.prototype.radius = function (body, line, level) {
    return mix(body.bore[line], body.outside[line], this.levels[level]);
  };

  // A point of the grid in numbers.
  Section.prototype.atPoint = function (point) {
    var body = this.bodies[point.body], limit = body.limit[point.line];
    return {
      body: body.name, z: body.z[point.line], r: this.radius(body, point.line, point.level),
      value: limit === null ? null : body.stress[point.level][point.line], limit: limit
    };
  };

  // Any place, in the nearest body; straight lines between the points. null beyond the ends of both.
  Section.prototype.at = function (z, r) {
    var best = null, self = this;
    this.bodies.forEach(function (body, k) {
      var last = body.z.length - 1;
      if (z < body.z[0] - SNAP || z > body.z[last] + SNAP) { return; }
      var along = between(body.z, z);
      var bore = mix(body.bore[along.k], body.bore[along.k + 1], along.share), outside = mix(body.outside[along.k], body.outside[along.k + 1], along.share);
      var away = Math.max(bore - r, r - outside, 0);
      if (best === null || away < best.away) { best = { away: away, body: k, along: along, bore: bore, outside: outside }; }
    });
    if (best === null) { return null; }
    var body = this.bodies[best.body], k = best.along.k, share = best.along.share;
    var inside = Math.min(Math.max(r, best.bore), best.outside);
    var level = between(self.levels, (inside - best.bore) / (best.outside - best.bore));
    function line(number_) { return mix(body.stress[level.k][number_], body.stress[level.k + 1][number_], level.share); }
    var limits = [body.limit[k], body.limit[k + 1]], judged = limits[0] !== null && limits[1] !== null;
    return {
      body: body.name, z: z, r: inside,
      value: judged ? mix(line(k), line(k + 1), share) : null,
      limit: judged ? mix(limits[0], limits[1], share) : null,
      point: { body: best.body, line: share < 0.5 ? k : k + 1, level: level.share < 0.5 ? level.k : level.k + 1 }
    };
  };

  // The point of a body that is nearest its limit in this section; the first point where none is judged.
  Section.prototype.peak = function (name) {
    var found = null, self = this;
    this.bodies.forEach(function (body, b) {
      if (body.name !== name) { return; }
      found = { body: b, line: 0, level: 0, share: -1 };
      body.limit.forEach(function (limit, line) {
        if (limit === null) { return; }
        self.levels.forEach(function (_, level) {
          var share = body.stress[level][line] / Math.max(limit, 1e-9);
          if (share > found.share) { found = { body: b, line: line, level: level, share: share }; }
        });
      });
    });
    return { body: found.body, line: found.line, level: found.level };
  };

  Section.prototype.home = function () { return this.peak("shell"); };
  Section.prototype.end = function () { return this.peak("sleeve"); };

  // One step: along over the lines, across through the walls and from one body to the other.
  Section.prototype.step = function (point, along, across) {
    var body = this.bodies[point.body];
    var line = Math.min(Math.max(point.line + along, 0), body.z.length - 1), level = point.level + across, b = point.body;
    var top = this.levels.length - 1;
    if (level > top || level < 0) {
      var other = this.bodies[b + (level > top ? 1 : -1)], z = body.z[line];
      if (other === undefined || z < other.z[0] - SNAP || z > other.z[other.z.length - 1] + SNAP) {
        return { body: b, line: line, level: Math.min(Math.max(level, 0), top) };
      }
      var near = between(other.z, z);
      return { body: b + (level > top ? 1 : -1), line: near.share < 0.5 ? near.k : near.k + 1, level: level > top ? 0 : top };
    }
    return { body: b, line: line, level: level };
  };

  Section.prototype.says = function (at, units) {
    var place = at.body + ", z" + NO_BREAK + length(at.z, units, units.along) + ", r" + NO_BREAK + length(at.r, units, units.across) + ": ";
    if (at.value === null) { return place + "not judged, beside an edge of the clamp"; }
    var share = at.limit > 0 ? number(at.value / at.limit, 2) + " of its limit" : "no wall is left for it";
    return place + stress(at.value, units) + ", " + share;
  };

  function length(mm, units, decimals) { return number(mm * Number(units.perMm), Number(decimals)) + NO_BREAK + units.length; }
  function stress(mpa, units) { return number(mpa * Number(units.perMpa), Number(units.digits)) + NO_BREAK + units.stress; }

  // ---- the seat: pairs along z, angles round it ----

  function Seat(doc, part) {
    var found = doc.seat[part];
    this.part = part;
    this.z = found.z_mm;
    this.theta = found.theta_deg;
    this.value = found.pressure_MPa || found.share_of_grip;
    this.judged = found.judged;
    this.runs = found.runs;
    this.nearest = found.nearest;
  }

  Seat.prototype.ends = function () { return [this.z[0], this.z[this.z.length - 1]]; };

  Seat.prototype.atPoint = function (point) {
    return { z: this.z[point.line], theta: this.theta[point.angle], value: this.judged[point.line] ? this.value[point.line][point.angle] : null };
  };

  Seat.prototype.at = function (z, theta) {
    var last = this.z.length - 1, self = this;
    if (z < this.z[0] - SNAP || z > this.z[last] + SNAP || theta < 0 || theta > 360) { return null; }
    var along = between(this.z, z), k = along.k, count = this.theta.length;
    var step = 360 / count, turn = (theta - this.theta[0] + 360) % 360, a = Math.floor(turn / step) % count, share = turn / step - Math.floor(turn / step);
    var inRun = this.runs.some(function (run) { return k >= run[0] && k + 1 < run[1]; });
    var judged = inRun && this.judged[k] && this.judged[k + 1];
    function line(number_) { return mix(self.value[number_][a], self.value[number_][(a + 1) % count], share); }
    return {
      z: z, theta: theta, gap: !inRun, value: judged ? mix(line(k), line(k + 1), along.share) : null,
      point: { line: along.share < 0.5 ? k : k + 1, angle: share < 0.5 ? a : (a + 1) % count }
    };
  };

  // The point of the grid at what is nearest the limit: there the row judges it.
  Seat.prototype.home = function () {
    var near = between(this.z, this.nearest.z_mm), step = 360 / this.theta.length, count = this.theta.length;
    return {
      line: near.share < 0.5 ? near.k : near.k + 1,
      angle: (Math.round((this.nearest.theta_deg - this.theta[0]) / step) % count + count) % count
    };
  };
  Seat.prototype.end = Seat.prototype.home;

  Seat.prototype.step = function (point, along, across) {
    var count = this.theta.length;
    return { line: Math.min(Math.max(point.line + along, 0), this.z.length - 1), angle: (point.angle + across + count) % count };
  };

  Seat.prototype.says = function (at, units) {
    var place = "seat, z" + NO_BREAK + length(at.z, units, units.along) + ", " + number(at.theta, 0) + "°: ";
    if (at.gap) { return place + "no contact there"; }
    if (at.value === null) { return place + "not judged, beside an end or an edge of the clamp"; }
    if (this.part === "opening") { return place + stress(at.value, units) + (at.value < 0 ? ", open" : ""); }
    if (at.value >= GRIP_ENDS) { return place + "no grip is left"; }
    return place + number(at.value, 2) + " of what is held" + (at.value > 1 ? ", it slips" : "");
  };

  var KINDS = { section: Section, opening: Seat, slip: Seat };
  function made(kind, doc, part) { return new KINDS[kind](doc, part); }

  if (typeof module !== "undefined" && module.exports) { module.exports = { made: made, between: between }; }
  if (typeof document === "undefined") { return; }

  // ---- the page ----

  var documents = {}, places = {};  // by address; by map, moment and address: where the cross stood

  function Walk(frame, doc) {
    this.frame = frame;
    this.key = [frame.id, frame.dataset.part, frame.dataset.values].join(" ");
    this.map = made(frame.dataset.map, doc, frame.dataset.part);
    this.line = document.getElementById(frame.id + "-line");
    document.getElementById(frame.id + "-keys").hidden = false;
    this.listen();
    var stood = places[this.key];
    this.point = stood ? stood.point : this.map.home();
    this.show(stood ? stood.at : this.map.atPoint(this.point), false);
  }

  Walk.prototype.listen = function () {
    var self = this;
    var moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], PageDown: [-LEAP, 0], PageUp: [LEAP, 0] };
    this.frame.addEventListener("keydown", function (event) {
      if (event.altKey || event.ctrlKey || event.metaKey) { return; }
      var point = self.point, move = moves[event.key], far = event.shiftKey ? LEAP : 1;
      if (event.key === "Home") { point = self.map.home(); }
      else if (event.key === "End") { point = self.map.end(); }
      else if (move) {
        for (var k = 0; k < far; k += 1) { point = self.map.step(point, move[0], move[1]); }
      } else { return; }
      event.preventDefault();
      self.point = point;
      self.show(self.map.atPoint(point), true);
    });
    ["pointermove", "pointerdown"].forEach(function (name) {
      self.frame.addEventListener(name, function (event) { self.pointed(event); });
    });
  };

  // The picture that is shown of the three.
  Walk.prototype.picture = function () {
    return Array.prototype.filter.call(this.frame.querySelectorAll("svg.map"), function (one) { return one.getClientRects().length > 0; })[0];
  };

  Walk.prototype.pointed = function (event) {
    var svg = this.picture(), matrix = svg && svg.getScreenCTM();
    if (!matrix) { return; }
    var p = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse()), d = svg.dataset;
    var ends = this.map.ends(), perZ = Number(d.perZ), found;
    var z = held(Number(d.z) + (p.x - Number(d.left)) / perZ, ends[0], ends[1], SLACK / perZ);
    if (d.perR) {
      found = this.map.at(z, Number(d.r) - (p.y - Number(d.top)) / Number(d.perR));
    } else {
      found = this.map.at(z, held((Number(d.bottom) - p.y) / Number(d.perTheta), 0, 360, SLACK / Number(d.perTheta)));
    }
    if (found === null) { return; }
    this.point = found.point;
    this.show(found, false);
  };

  // aloud: said to a reader who cannot see it; not at every move of a pointer.
  Walk.prototype.show = function (at, aloud) {
    places[this.key] = { at: at, point: this.point };
    this.line.setAttribute("aria-live", aloud ? "polite" : "off");
    this.line.textContent = this.map.says(at, this.frame.dataset);
    Array.prototype.forEach.call(this.frame.querySelectorAll("svg.map"), function (svg) {
      var d = svg.dataset, x = Number(d.left) + (at.z - Number(d.z)) * Number(d.perZ);
      var y = d.perR ? Number(d.top) + (Number(d.r) - at.r) * Number(d.perR) : Number(d.bottom) - at.theta * Number(d.perTheta);
      var cross = svg.querySelector(".cross");
      function set(part, values) {
        cross.querySelectorAll('[data-part="' + part + '"]').forEach(function (element) {
          Object.keys(values).forEach(function (name) { element.setAttribute(name, values[name].toFixed(2)); });
        });
      }
      set("z", { x1: x, x2: x });
      set("across", { y1: y, y2: y });
      set("ring", { cx: x, cy: y });
      cross.setAttribute("visibility", "visible");
    });
  };

  function begin(frame) {
    if (frame.dataset.started) { return; }
    frame.dataset.started = "true";
    var address = frame.dataset.values;
    if (!documents[address]) {
      documents = {};  // of one case as it stands alone
      documents[address] = fetch(address, { credentials: "same-origin" }).then(function (answer) {
        if (!answer.ok) { throw new Error(String(answer.status)); }
        return answer.json();
      });
    }
    documents[address].then(function (doc) {
      if (frame.isConnected) { frame.walk = new Walk(frame, doc); frame.dataset.ready = "true"; }
    }).catch(function () {
      delete documents[address];
      document.getElementById(frame.id + "-line").textContent = "The values did not come. Load this page again.";
    });
  }

  function start() { document.querySelectorAll(".map-frame").forEach(begin); }

  document.addEventListener("DOMContentLoaded", start);
  document.addEventListener("htmx:afterSettle", start);
  if (document.readyState !== "loading") { start(); }
}());
