// Fields and the drawing of Sizes: steps, signs, the keyboard, and a dimension opened where it stands.
// Everything works without it: every field is a form, every dimension a link to its field.
(function () {
  "use strict";
  document.documentElement.classList.add("has-script");
  var QUANTITY = /^\s*([+\-−]?(?:\d+\.?\d*|\.\d+))\s*(.*)$/;
  var next = "";

  function decimals(text) {
    var point = text.indexOf(".");
    return point < 0 ? 0 : text.length - point - 1;
  }

  // The value moved by some steps of the gauge; null where it is no plain number in the unit of the step.
  function moved(input, by) {
    var found = QUANTITY.exec(input.value || "0");
    if (!found || !input.dataset.step) return null;
    var unit = found[2].trim();
    if (unit && unit !== input.dataset.unit) return null;
    var step = input.dataset.step, number = found[1].replace("−", "-");
    var value = Number(number) + by * Number(step);
    var text = value.toFixed(Math.max(decimals(number), decimals(step)));
    return Number(text) === 0 ? text.replace("-", "") + (unit && " " + unit) : text + (unit && " " + unit);
  }

  function step(input, by) {
    var text = moved(input, by);
    if (text !== null) { input.value = text; tell(input); }
  }

  function tell(input) { input.dispatchEvent(new Event("input", { bubbles: true })); }

  // Enter, a key of its own, or leaving the field: sent once for every value.
  function send(input) {
    if (document.documentElement.dataset.exchanging) return; // page.js
    var form = input.form;
    if (!form || form.classList.contains("together") || form.dataset.sent === input.value) return;
    if (input.tagName !== "SELECT" && input.value === input.defaultValue) return;
    form.dataset.sent = input.value;
    form.requestSubmit();
  }

  function valueOf(field) { return field && field.querySelector("[name=value]:not([type=hidden])"); }

  function following(field) {
    var all = Array.prototype.slice.call(document.querySelectorAll(".field"));
    for (var k = all.indexOf(field) + 1; k > 0 && k < all.length; k++) {
      var input = valueOf(all[k]);
      if (input && input.getClientRects().length) return all[k].id; // not what is folded away
    }
    return field.id;
  }

  // ---- the drawing ----------------------------------------------------------------------------

  function inHand(path) {
    document.querySelectorAll(".in-hand").forEach(function (e) { e.classList.remove("in-hand"); });
    document.querySelectorAll("a.size").forEach(function (link) {
      if (link.dataset.path === path) link.parentNode.classList.add("in-hand");
    });
    document.querySelectorAll(".field").forEach(function (field) {
      if (field.dataset.path === path) field.classList.add("in-hand");
    });
  }

  function closed() {
    document.querySelectorAll(".in-place").forEach(function (e) {
      e.className = ""; // taking it away makes it lose the focus, which closes it again
      e.remove();
    });
  }

  // The field of a dimension where it stands: the same value twice, sent by the field of the list.
  function openInPlace(link, field) {
    var input = valueOf(field), drawing = document.getElementById("drawing");
    closed();
    if (!input || input.tagName !== "INPUT" || !drawing) return false;
    var at = link.querySelector(".hit").getBoundingClientRect(), frame = drawing.getBoundingClientRect();
    if (!at.width) return false;
    var place = document.createElement("input");
    place.type = "text";
    place.className = "in-place";
    place.inputMode = input.inputMode;
    place.value = input.value;
    place.defaultValue = input.defaultValue;
    place.setAttribute("aria-label", link.getAttribute("aria-label"));
    Object.assign(place.dataset, input.dataset);
    var middle = at.left - frame.left + at.width / 2;
    place.style.left = Math.min(Math.max(middle, 70), frame.width - 70) + "px";
    place.style.top = at.top - frame.top + 20 + "px";
    place.addEventListener("input", function () { input.value = place.value; });
    place.addEventListener("blur", function () {
      if (place.className) { send(input); closed(); }
    });
    drawing.appendChild(place);
    place.focus();
    place.select();
    return true;
  }

  function open(link) {
    var field = document.getElementById(link.getAttribute("href").slice(1));
    if (!field) return false;
    inHand(link.dataset.path);
    if (window.innerWidth >= 700 && openInPlace(link, field)) return true;
    var list = field.parentNode;
    if (list.closest("#dimensions")) list.insertBefore(field, list.firstChild); // last touched first
    var input = valueOf(field) || field.querySelector("a");
    if (input) input.focus();
    return true;
  }

  // ---- what happens -----------------------------------------------------------------------------

  document.addEventListener("click", function (event) {
    var link = event.target.closest("a.size");
    if (link && !event.ctrlKey && !event.metaKey && open(link)) { event.preventDefault(); return; }
    var button = event.target.closest(".stepper, button.sign");
    if (!button) return;
    var input = valueOf(button.closest(".field"));
    if (button.classList.contains("stepper")) step(input, Number(button.dataset.by));
    else {
      var text = input.value.trim();
      input.value = /^[-−]/.test(text) ? text.slice(1) : "-" + text.replace(/^\+/, "");
      tell(input);
    }
    button.dataset.moved = "yes";
  });

  // A stepper may be pressed many times: the value is sent when the finger has gone elsewhere.
  document.addEventListener("focusout", function (event) {
    var button = event.target.closest(".stepper, button.sign");
    if (!button || !button.dataset.moved) return;
    var field = button.closest(".field");
    if (!field.contains(event.relatedTarget)) send(valueOf(field));
  });

  document.addEventListener("change", function (event) {
    if (event.target.matches(".field [name=value]")) send(event.target);
  });

  document.addEventListener("focusin", function (event) {
    var field = event.target.closest(".field");
    if (field) inHand(field.dataset.path);
  });

  document.addEventListener("keydown", function (event) {
    var input = event.target;
    if (!input.matches(".field input[name=value], .in-place")) return;
    if ((event.key === "ArrowUp" || event.key === "ArrowDown") && input.dataset.step) {
      step(input, (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 10 : 1));
      event.preventDefault();
    } else if (event.key === "Escape") {
      input.value = input.defaultValue;
      tell(input);
      if (input.classList.contains("in-place")) { closed(); focusOf(inHandLink()); }
      event.preventDefault();
    } else if (event.key === "Enter") {
      event.preventDefault();
      var field = input.classList.contains("in-place") ? document.querySelector(".field.in-hand") : input.closest(".field");
      next = following(field);
      if (input.form && input.form.classList.contains("together")) {
        if (input.form.contains(document.getElementById(next)) && next !== field.id) goOn();
        else input.form.requestSubmit();
        return;
      }
      var before = valueOf(field).form.dataset.sent;
      send(valueOf(field));
      if (valueOf(field).form.dataset.sent === before) goOn();
    }
  });

  function inHandLink() {
    return Array.prototype.find.call(document.querySelectorAll(".in-hand > a.size"), function (link) {
      return link.getBoundingClientRect().width;
    });
  }

  function focusOf(element) { if (element) element.focus(); }

  function goOn() {
    var input = valueOf(document.getElementById(next));
    next = "";
    if (input) { input.focus(); if (input.select) input.select(); }
  }

  document.addEventListener("htmx:afterSettle", function () {
    var at = document.activeElement;
    if (at && at.matches("input, textarea") && at.value !== at.defaultValue) next = ""; // typed in meanwhile
    if (next) goOn();
  });
})();
