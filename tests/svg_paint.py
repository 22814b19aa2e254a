"""A drawing painted as a browser would paint it, as far as `Drawing` writes SVG: what lies under its words."""

import re
import xml.etree.ElementTree as ET

import numpy as np
from PIL import Image, ImageColor, ImageDraw
from svg_text import words

_SVG = "{http://www.w3.org/2000/svg}"
_TOKEN = re.compile(r"[A-Za-z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?")
_ROUND = np.linspace(0, 2 * np.pi, 25)


def _outlines(d):
    """The pieces of a path: arrays (n, 2), and whether each is closed."""
    tokens, pieces, way, at = _TOKEN.findall(d), [], "", (0.0, 0.0)
    k = 0
    while k < len(tokens):
        if tokens[k].isalpha():
            way = tokens[k]
            k += 1
            if way in "zZ":
                pieces[-1][1] = True
            continue
        if way == "a":  # a whole round marker, from its left end
            r = float(tokens[k])
            pieces[-1][0].extend(zip(at[0] + r - r * np.cos(_ROUND), at[1] + r * np.sin(_ROUND), strict=True))
            k += 7
            continue
        x, y = float(tokens[k]), float(tokens[k + 1])
        k += 2
        at = (at[0] + x, at[1] + y) if way.islower() else (x, y)
        if way == "M":
            pieces.append([[at], False])
            way = "L"
        else:
            pieces[-1][0].append(at)
    return pieces


def luminance(rgb):
    """Relative luminance of colors (..., 3) in 0 to 255: WCAG 2.2 (W3C, 2023), its definition."""
    share = np.asarray(rgb, dtype=float) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return linear @ [0.2126, 0.7152, 0.0722]


def contrast(one, other):
    """Contrast ratio of two colors, 1 to 21: WCAG 2.2, its definition."""
    a, b = luminance(one) + 0.05, luminance(other) + 0.05
    return np.maximum(a, b) / np.minimum(a, b)


class _Sheet:
    """The page as painted so far."""

    def __init__(self, root):
        self.size = (int(root.get("width")), int(root.get("height")))
        self.image = Image.new("RGB", self.size, "white")
        self.clips, self.hatches = {}, {}

    def clip(self, element):
        mask = Image.new("L", self.size, 0)
        for points, _ in _outlines(element[0].get("d")):
            ImageDraw.Draw(mask).polygon([tuple(p) for p in points], fill=255)
        self.clips[f"url(#{element.get('id')})"] = mask

    def hatch(self, element):
        ground, line = element[0].get("fill"), element[1].get("stroke")
        x, y = np.meshgrid(np.arange(self.size[0]), np.arange(self.size[1]))
        stripe = abs((x + y) / np.sqrt(2) % 9 - 2) < 1
        tile = np.where(stripe[..., None], ImageColor.getrgb(line), ImageColor.getrgb(ground))
        self.hatches[f"url(#{element.get('id')})"] = Image.fromarray(tile.astype(np.uint8))

    def path(self, element):
        pieces = _outlines(element.get("d"))
        width = float(element.get("stroke-width", 0))
        corners = np.array([p for points, _ in pieces for p in points])
        low = np.clip(np.floor(corners.min(axis=0) - width - 1), 0, self.size).astype(int)
        high = np.clip(np.ceil(corners.max(axis=0) + width + 1), 0, self.size).astype(int)
        if (high <= low).any():
            return
        moved = [([(x - low[0], y - low[1]) for x, y in points], closed) for points, closed in pieces]
        opacity = float(element.get("opacity", 1))
        for name in ("fill", "stroke"):
            color = element.get(name, "none")
            if color == "none" or (name == "stroke" and not width):
                continue
            mask = Image.new("L", tuple(int(v) for v in high - low), 0)
            pen = ImageDraw.Draw(mask)
            for points, closed in moved:
                if name == "fill" and len(points) > 2:
                    pen.polygon(points, fill=255)
                elif name == "stroke" and len(points) > 1:
                    pen.line(points + points[:1] * closed, fill=255, width=max(1, round(width)))
            area = (*low.tolist(), *high.tolist())
            if clip := element.get("clip-path"):
                mask = Image.fromarray(np.minimum(np.asarray(mask), np.asarray(self.clips[clip].crop(area))))
            if opacity < 1:
                mask = mask.point(lambda v: round(v * opacity))
            paint = self.hatches[color].crop(area) if color in self.hatches else ImageColor.getrgb(color)
            self.image.paste(paint, area, mask)


def hard_to_read(svg, least=4.5, share=0.2):
    """Lines of type of which more than `share` lies on what it has less than `least` contrast to, with the median.

    A line of 2 px that runs behind a word, a sixth of its height, hides no letter. What is painted after a word is
    not looked at: a word stands on what was there before it.
    """
    root = ET.fromstring(svg)
    sheet, lines, out = _Sheet(root), iter(words(svg)), []
    for element in root:
        kind = element.tag.removeprefix(_SVG)
        if kind == "clipPath":
            sheet.clip(element)
        elif kind == "pattern":
            sheet.hatch(element)
        elif kind == "path":
            sheet.path(element)
        elif kind == "text":
            line = next(lines)
            if not line.text.strip():
                continue
            ink = ImageColor.getrgb(element.get("fill"))
            area = [round(v) for v in (line.left, line.top, line.right, line.foot)]
            under = np.asarray(sheet.image.crop(area)) if not element.get("stroke") else [[(255, 255, 255)]]
            found = contrast(under, ink)
            if (found < least).mean() > share:
                out.append((line.text, round(float(np.median(found)), 1)))
    return out
