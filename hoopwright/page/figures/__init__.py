"""Figures of the page: SVG with classes in place of colours, drawn at the width they are shown in."""
