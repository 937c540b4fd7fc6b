/* The verdict is read out when its word changes, and only then: the banner is drawn anew while something is at
   work, the status line beside it is not. */
(function () {
  "use strict";
  document.addEventListener("htmx:afterSettle", function () {
    var banner = document.getElementById("verdict");
    var said = document.getElementById("said");
    if (banner && said && said.textContent !== banner.dataset.word) { said.textContent = banner.dataset.word; }
  });
})();
