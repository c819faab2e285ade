"""Drawings to scale: an SVG canvas, the marks, and one module for each view."""
