"""An SVG as pixels."""

from __future__ import annotations

from cli.extras import extra

PRINT_DPI = 200


def png(svg: str, dpi: int = PRINT_DPI) -> bytes:
    """PNG on white; raises `BadInput` where the renderer is not installed."""
    return bytes(extra("resvg_py").svg_to_bytes(svg_string=svg, background="white", dpi=dpi))
