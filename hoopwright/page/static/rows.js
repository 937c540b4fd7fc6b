/* The table rows × stages by hand and by keyboard: arrows go from cell to cell, Enter opens the row at the cell's
   stage, Escape closes it. On a phone one row stands open at a time. What stands below a row comes from the
   server, when the button of the row is sent the event "open". */
(function () {
  "use strict";

  var PHONE = "(max-width: 699.9px)";

  function head(row) {
    return row.querySelector(".row-head");
  }

  function below(row) {
    return document.getElementById("open-" + row.dataset.row);
  }

  function close(row) {
    head(row).setAttribute("aria-expanded", "false");
    below(row).hidden = true;
  }

  function open(row, stage) {
    var button = head(row);
    if (window.matchMedia(PHONE).matches) {
      document.querySelectorAll(".row").forEach(function (other) {
        if (other !== row) { close(other); }
      });
    }
    button.setAttribute("aria-expanded", "true");
    button.setAttribute("hx-vals", JSON.stringify(stage ? { stage: stage } : {}));
    below(row).hidden = false;
    button.dispatchEvent(new CustomEvent("open", { bubbles: false }));
  }

  function isOpenAt(row, stage) {
    var shown = below(row).querySelector(".open");
    var isOpen = head(row).getAttribute("aria-expanded") === "true";
    return isOpen && (!stage || (shown !== null && shown.dataset.stage === stage));
  }

  function turn(row, stage) {
    if (isOpenAt(row, stage)) { close(row); } else { open(row, stage); }
  }

  /* The places of a row that the arrows visit: its head, then its cells. */
  function places(row) {
    return [head(row)].concat(Array.from(row.querySelectorAll("td")));
  }

  function step(row, place, down, along) {
    var rows = Array.from(document.querySelectorAll(".row"));
    var to = rows[rows.indexOf(row) + down];
    var found = to && places(to)[place + along];
    if (found) { found.focus(); }
  }

  var ARROWS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

  document.addEventListener("click", function (event) {
    var row = event.target.closest(".row");
    var link = event.target.closest(".nearest a");
    if (link) {
      var button = head(document.getElementById("row-" + link.dataset.row));
      button.scrollIntoView({ block: "center" });
      button.focus();
      event.preventDefault();
      return;
    }
    if (!row) { return; }
    var cell = event.target.closest("td");
    if (event.target.closest(".row-head")) { turn(row, ""); }
    else if (cell) { cell.focus(); turn(row, cell.dataset.stage); }
  });

  document.addEventListener("keydown", function (event) {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    var opened = event.target.closest(".opened");
    var row = event.target.closest(".row") || (opened && opened.previousElementSibling);
    if (!row) { return; }
    if (event.key === "Escape" && isOpenAt(row, "")) {
      close(row);
      if (opened) { head(row).focus(); }
      event.preventDefault();
      return;
    }
    var place = places(row).indexOf(event.target);
    if (opened || place < 0) { return; }
    if (ARROWS[event.key]) {
      step(row, place, ARROWS[event.key][0], ARROWS[event.key][1]);
      event.preventDefault();
    } else if (event.key === "Enter" && event.target.matches("td")) {
      turn(row, event.target.dataset.stage);
      event.preventDefault();
    }
  });
})();
