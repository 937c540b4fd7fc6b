/* Alt, Shift and an arrow lead to the step before or after. */
(function () {
  "use strict";
  var TURNS = { ArrowLeft: "prev", ArrowRight: "next" };
  document.addEventListener("keydown", function (event) {
    var link = event.altKey && event.shiftKey && document.querySelector("a[rel=" + (TURNS[event.key] || "none") + "]");
    if (link) { event.preventDefault(); link.click(); }
  });
})();
