"""Names of the style sheets and scripts in static/ that every page loads, in their order."""

from __future__ import annotations

CSS = (
    "tokens.css",
    "layout.css",
    "verdict.css",
    "rows.css",
    "fields.css",
    "drawing.css",
    "fit.css",
    "routes.css",
    "record.css",
    "print.css",
)
JS = ("htmx.min.js", "page.js", "steps.js", "verdict.js", "rows.js", "fit.js", "sizes.js")
