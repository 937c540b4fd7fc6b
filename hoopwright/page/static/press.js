// Step Press: a reading above the stop line is red while it is typed; Enter in the travel leads to the gauge; what
// stands at the press is exchanged where the plan or the log behind it has changed. All works without it.
(function () {
  "use strict";

  function number(text) {
    var found = /^\s*(\d+\.?\d*|\.\d+)\s*$/.exec(text || "");
    return found === null ? null : Number(found[1]);
  }

  function between(points, at, k) {
    var before = points[0];
    for (var i = 0; i < points.length; i++) {
      var point = points[i];
      if (point[0] >= at) {
        var span = point[0] - before[0];
        return span > 0 ? before[k] + (point[k] - before[k]) * (at - before[0]) / span : point[k];
      }
      before = point;
    }
    return before[k];
  }

  // The greatest reading that is not above the stop line, as the server has it.
  function limit(line, at) {
    var stop = between(line.points, at, 1), likely = between(line.points, at, 2), step = line.division;
    var below = Math.floor(stop / step + 1e-9) * step;
    return below + 1e-9 * step < likely ? stop + 0.5 * step : below;
  }

  function judge(form) {
    var line = JSON.parse(form.dataset.line), says = document.getElementById("press-live");
    var gauge = form.querySelector(".press-gauge"), travel = number(form.querySelector(".press-travel").value);
    var read = number(gauge.value), at = travel === null ? null : limit(line, travel);
    var over = at !== null && read !== null && read > at + 1e-9 * line.division;
    gauge.closest(".press-field").classList.toggle("press-field-over", over);
    var words = "";
    if (over) {
      var shown = Math.floor(between(line.points, travel, 1) / line.division + 1e-9) * line.division;
      words = "Stop. Take the pressure off. The stop line at this travel is " + Number(shown.toFixed(4)) + " " + line.unit + ". Then enter it.";
    }
    if (says.textContent !== words) { says.textContent = words; }
  }

  document.addEventListener("input", function (event) {
    var form = event.target.closest("#press-entry");
    if (form !== null) { judge(form); }
  });

  document.addEventListener("keydown", function (event) {
    if (event.key !== "Enter" || !event.target.matches(".press-travel")) { return; }
    event.preventDefault();
    var gauge = event.target.form.querySelector(".press-gauge");
    gauge.focus();
    gauge.select();
  });

  // After a form of the desk, and where the field under a hand was exchanged, the next field has the focus; a stop
  // has it before all.
  var goOn = false;
  document.addEventListener("htmx:beforeRequest", function (event) {
    if (event.detail.elt.tagName === "FORM" && event.detail.elt.closest("#desk") !== null) { goOn = true; }
  });
  document.addEventListener("htmx:beforeSwap", function (event) {
    var at = document.activeElement;
    if (event.detail.target.id === "step" && at !== null && at.closest("#press-entry") !== null) { goOn = true; }
  });
  document.addEventListener("htmx:afterSettle", function (event) {
    var stop = document.getElementById("press-stop"), gauge = document.querySelector(".press-gauge");
    var form = document.getElementById("press-entry");
    if (form !== null) { judge(form); }
    if (!goOn || event.detail.target.id !== "step" && event.detail.elt.id !== "step") { return; }
    goOn = false;
    if (stop !== null) {
      stop.focus();
      stop.scrollIntoView();
    } else if (gauge !== null && document.querySelector(".press-fold[open] #press-sheet") === null) {
      var fault = document.querySelector(".press-entry [aria-invalid]");
      (fault || gauge).focus({ preventScroll: true });
    }
  });

  // The answers tell of what they are made; where the desk is made of something else, it is asked for again.
  document.addEventListener("htmx:afterSwap", function () {
    var desk = document.getElementById("desk"), answers = document.getElementById("answers");
    if (desk === null || answers === null || !answers.dataset.desk || desk.dataset.desk === answers.dataset.desk) { return; }
    window.htmx.ajax("GET", window.location.href, { target: "#step", select: "#step", swap: "outerHTML" });
  });
})();
