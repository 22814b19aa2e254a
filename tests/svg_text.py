"""Where the words of a drawing stand: what a reader would see clipped or written over."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass

import numpy as np

from woodcalc.figures.drawing import Drawing

_SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Words:
    """A line of type: what it says, and its corners on the page (px)."""

    text: str
    left: float
    top: float
    right: float
    foot: float


def words(svg):
    """Every line of type in an SVG picture, with the box that its letters fill."""
    out = []
    for element in ET.fromstring(svg).iter(f"{_SVG}text"):
        size, x, y = (float(element.get(name)) for name in ("font-size", "x", "y"))
        page = Drawing()
        page.type = size
        width = page.width(element.text or "", bold=element.get("font-weight") == "bold")
        left = x - {"start": 0, "middle": width / 2, "end": width}[element.get("text-anchor")]
        corners = np.array([(left, y - 0.72 * size), (left + width, y + 0.02 * size)])  # capitals and figures
        if turn := element.get("transform"):
            angle, cx, cy = (float(v) for v in turn.removeprefix("rotate(").removesuffix(")").split())
            c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
            corners = (corners - [cx, cy]) @ np.array([[c, s], [-s, c]]) + [cx, cy]
        (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
        out.append(Words(element.text or "", x0, y0, x1, y1))
    return out


def off_page(svg):
    """Lines of type that leave the page."""
    root = ET.fromstring(svg)
    width, height = float(root.get("width")), float(root.get("height"))
    return [w.text for w in words(svg) if w.left < 0 or w.top < 0 or w.right > width or w.foot > height]


def written_over(svg):
    """Pairs of lines of type that share room on the page."""
    all_words = [w for w in words(svg) if w.text.strip()]
    return [
        (a.text, b.text)
        for i, a in enumerate(all_words)
        for b in all_words[i + 1 :]
        if min(a.right, b.right) - max(a.left, b.left) > 1 and min(a.foot, b.foot) - max(a.top, b.top) > 1
    ]
