// What every page of a case does: sends the token and the digest of the text that it shows, keeps what is being
// typed while the step is exchanged below it, and says so where the server does not answer.
(function () {
  "use strict";

  function valueOf(selector) {
    var found = document.querySelector(selector);
    return found === null ? null : found.value;
  }

  document.addEventListener("htmx:configRequest", function (event) {
    if (event.detail.verb === "get") { return; }
    var token = valueOf('input[name="token"]');
    if (token !== null) { event.detail.headers["X-Hoopwright-Token"] = token; }
    var digest = valueOf("#digest");
    var form = event.detail.elt.closest("#changed");
    if (digest !== null && form === null) { event.detail.parameters.set("digest", digest); }
  });

  // A fault, and a file that was changed meanwhile, are answers to be shown like any other.
  document.addEventListener("htmx:beforeSwap", function (event) {
    var status = event.detail.xhr.status;
    if ((status === 409 || status === 422) && event.detail.xhr.responseText.indexOf('id="step"') >= 0) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });

  // The answer to one field may come while the next is being typed in. A field that is taken away by it loses the
  // focus, which must not send what stands half typed in it: until the exchange is over, nothing is sent.
  var typing = null;
  document.addEventListener("htmx:beforeSwap", function (event) {
    var field = document.activeElement, end = field === null ? null : field.selectionEnd;
    if (event.detail.shouldSwap) { document.documentElement.dataset.exchanging = "yes"; }
    if (field !== null && field.classList.contains("in-place")) { field = document.querySelector(".field.in-hand input[name=value]"); }
    var changed = field !== null && field.id && "defaultValue" in field && field.value !== field.defaultValue;
    typing = changed ? { id: field.id, value: field.value, end: end } : null;
  });
  document.addEventListener("htmx:afterSwap", function () {
    if (typing === null) { return; }
    var field = document.getElementById(typing.id);
    if (field !== null && field.value !== typing.value) {
      field.value = typing.value;
      field.focus();
      if (typing.end !== null && typing.end !== undefined && field.setSelectionRange) { field.setSelectionRange(typing.end, typing.end); }
    }
    typing = null;
  });

  // A line about what was not written stays until something is written; one about a look at the server, until the
  // server answers.
  function say(words, verb) {
    var step = document.getElementById("step");
    if (step === null) { return; }
    var line = document.getElementById("not-answered");
    if (line === null) {
      line = document.createElement("p");
      line.id = "not-answered";
      line.className = "fault";
      line.setAttribute("role", "alert");
      step.parentNode.insertBefore(line, step);
    }
    line.textContent = words;
    if (verb !== "get" || !line.dataset.verb) { line.dataset.verb = verb; }
  }
  document.addEventListener("htmx:sendError", function (event) {
    say("The server does not answer. Nothing was written. Start hoopwright page again, then load this page.", event.detail.requestConfig.verb);
  });
  document.addEventListener("htmx:responseError", function (event) {
    var words = event.detail.xhr.responseText;
    say(words.length < 200 && words.indexOf("<") < 0 ? words : "The server could not do that. Load this page again.", event.detail.requestConfig.verb);
  });
  // At rest, what another page or an editor changed is looked for now and then, and when this page is come back to:
  // no verdict, no size to cut to and no stop line stays that is of sizes that are no more.
  var LOOKS = 4000; // ms between two
  function look() {
    var verdict = document.getElementById("verdict");
    if (document.hidden || verdict === null || !verdict.dataset.look || document.documentElement.dataset.exchanging) { return; }
    fetch(verdict.dataset.look, { credentials: "same-origin" }).then(function (answer) {
      if (answer.status !== 200 || !verdict.isConnected) { return; }
      window.htmx.ajax("GET", verdict.dataset.look, { target: "#verdict", swap: "outerHTML" });
    }, function () { /* the server rests: the next form says so */ });
  }
  window.setInterval(look, LOOKS);
  document.addEventListener("visibilitychange", look);
  window.addEventListener("pageshow", function (event) { if (event.persisted) { look(); } });

  document.addEventListener("htmx:afterRequest", function (event) {
    delete document.documentElement.dataset.exchanging;
    var line = document.getElementById("not-answered");
    if (line === null || !event.detail.successful) { return; }
    if (line.dataset.verb === "get" || event.detail.requestConfig.verb !== "get") { line.remove(); }
  });
}());
