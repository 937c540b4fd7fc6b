// The entry of Readings: what is typed is looked at by the server before it is sent, Enter takes it and goes on, and
// what is typed ahead while it is taken lands in the next field. Everything works without it.
(function () {
  "use strict";
  var PAUSE = 200, timer = null, sent = null;

  function entry() { return document.getElementById("entry"); }
  function field() { return document.querySelector("#entry .reading"); }

  function label() {
    var typing = document.getElementById("typing"), says = document.getElementById("typed-as");
    if (!typing || !says) return;
    says.textContent = typing.dataset.takes ? typing.dataset.takes + ", next" : "Take it, next";
  }

  // The land as it would be with what stands in the field: its doubts and its face, from the server.
  function look() {
    var form = entry(), input = field();
    timer = null;
    if (!form || !input || sent || document.documentElement.dataset.exchanging) return;
    var looked = input.value, address = form.dataset.look + "&typed=" + encodeURIComponent(looked);
    window.htmx.ajax("GET", address, { source: document.getElementById("typing"), target: "#typing", swap: "outerHTML", select: "#typing" })
      .then(function () {
        var now = field();
        label();
        if (now === input && now.value !== looked && !sent) later();
      });
  }
  function later() { window.clearTimeout(timer); timer = window.setTimeout(look, PAUSE); }

  document.addEventListener("input", function (event) {
    if (event.target === field()) later();
  });
  document.addEventListener("click", function (event) {
    var key = event.target.closest(".entry-sign"), input = field();
    if (!key || !input) return;
    var text = input.value.trim();
    input.value = /^[-\u2212]/.test(text) ? text.slice(1) : "-" + text.replace(/^\+/, "");
    input.focus();
    later();
  });
  document.addEventListener("keydown", function (event) {
    var input = field(), back = document.querySelector("a.entry-back");
    if (event.target !== input || input === null) return;
    if (event.key === "Backspace" && input.value === "" && back) { event.preventDefault(); back.click(); }
    if (event.key === "Escape") { input.value = input.defaultValue; later(); }
  });

  // One at a time: Enter behind what is typed ahead waits until the reading before it is taken.
  document.addEventListener("submit", function (event) {
    if (event.target.id !== "entry" || !sent) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    sent.again = true;
  }, true);
  document.addEventListener("htmx:beforeRequest", function (event) {
    if (event.detail.elt.id !== "entry") return;
    var input = field();
    window.clearTimeout(timer);
    sent = { id: input.id, value: input.value, ahead: "", again: false };
    input.value = "";
    input.defaultValue = "";
  });
  document.addEventListener("htmx:beforeSwap", function (event) {
    var input = field();
    if (sent && input && event.detail.target.id === "step") sent.ahead = input.value;
  });
  document.addEventListener("htmx:afterRequest", function (event) {
    if (!sent || event.detail.requestConfig.elt.id !== "entry") return;
    var input = field(), was = sent;
    sent = null;
    if (!input) return;
    if (input.id === was.id && (event.detail.failed || !input.value)) input.value = was.value;
    else if (input.id !== was.id && was.ahead) { input.value = was.ahead; later(); }
    input.focus();
    if (was.again && input.value === was.ahead && input.id !== was.id) entry().requestSubmit();
  });

  // How a gauge is read is kept by this browser, for the next time that one of its name is used.
  function store(act) { try { return act(window.localStorage); } catch (_) { return null; } }
  var plan = document.getElementById("plan");
  if (plan && plan.dataset.gauge) {
    var at = new URLSearchParams(window.location.search), name = plan.dataset.gauge;
    var dial = at.get("dial " + name), ring = at.get("ring " + name) || "";
    if (dial !== null) {
      store(function (kept) {
        if (!dial) kept.removeItem("way " + name);
        else if (plan.dataset.way === "dial") kept.setItem("way " + name, JSON.stringify([dial, ring]));
      });
    } else {
      var kept = store(function (all) { return JSON.parse(all.getItem("way " + name) || "null"); });
      if (Array.isArray(kept) && kept[0] && kept[1]) {
        at.set("dial " + name, kept[0]);
        at.set("ring " + name, kept[1]);
        window.location.replace(window.location.pathname + "?" + at.toString());
      }
    }
  }
}());
