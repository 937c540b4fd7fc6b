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
    "readings.css",
    "turn-to.css",
    "press.css",
    "in-use.css",
    "maps.css",
    "record.css",
    "print.css",
)
JS = (
    "htmx.min.js",
    "page.js",
    "steps.js",
    "verdict.js",
    "rows.js",
    "fit.js",
    "sizes.js",
    "readings.js",
    "press.js",
    "maps.js",
)
