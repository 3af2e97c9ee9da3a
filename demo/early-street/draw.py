#!/usr/bin/env python3
"""Draws the people of the Early Street from their vector sources, as a person would sketch them.

    python3 draw.py            draws every picture again
    python3 draw.py baker      draws one

Needs Python 3.10, Pillow and numpy. The same sources give the same pictures. Each source in sources/ is a
plain SVG: paths (M L C Q Z, absolute), ellipses, circles, rectangles and polygons, painted in the order they
stand. A shape without a fill is a pen line. What the hand adds (wobble, uneven ink, marker streaks, fills that
miss their line, paper) follows from the name of the picture.
"""
import math
import re
import sys
import xml.etree.ElementTree as ET
import zlib
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

HERE = Path(__file__).resolve().parent
OVER = 3                      # samples a pixel, each way
INK = (31, 29, 34)
STEP = 3.0                    # units between points of a flattened outline

# How each picture is drawn: manner, paper (None: cut out).
MANNERS = {
    "lamplighter": ("marker", (252, 252, 249)),
    "baker": ("flat", (214, 226, 232)),
    "milk-carter": ("flat", None),
    "newspaper-girl": ("marker", (252, 251, 247)),
    "street-sweeper": ("marker", (251, 252, 250)),
    "night-watch": ("marker", (233, 224, 205)),
}


class Hand:
    """The wobble of one drawing hand: smooth, repeatable, a few units at most."""

    def __init__(self, name, reach):
        self.rng = np.random.default_rng(zlib.crc32(name.encode()))
        self.waves = [(self.rng.uniform(60, 260), self.rng.uniform(0, 2 * math.pi), self.rng.uniform(0, 2 * math.pi))
                      for _ in range(6)]
        self.reach = reach

    def moved(self, points, own):
        """The points where the hand puts them; `own` is this shape's little slip of the hand."""
        out = []
        for x, y in points:
            dx = sum(math.sin((x * math.cos(a) + y * math.sin(a)) / w * 6.28 + p) for w, a, p in self.waves)
            dy = sum(math.cos((x * math.sin(a) - y * math.cos(a)) / w * 6.28 + p) for w, a, p in self.waves)
            out.append((x + self.reach * (dx / 3 + own[0]), y + self.reach * (dy / 3 + own[1])))
        return out


def numbers(text):
    return [float(n) for n in re.findall(r"-?\d*\.?\d+(?:e-?\d+)?", text)]


def flattened(d):
    """An SVG path as lists of points, each with whether it is closed."""
    lines, points, at, closed = [], [], (0.0, 0.0), False
    for command, arguments in re.findall(r"([MLCQZ])([^MLCQZ]*)", d):
        n = numbers(arguments)
        if command == "M":
            if points:
                lines.append((points, closed))
            points, closed = [(n[0], n[1])], False
            points += list(zip(n[2::2], n[3::2]))
        elif command == "L":
            points += list(zip(n[0::2], n[1::2]))
        elif command in "CQ":
            size = 6 if command == "C" else 4
            for i in range(0, len(n), size):
                knots = [points[-1]] + list(zip(n[i:i + size:2], n[i + 1:i + size:2]))
                points += curve(knots)
        else:
            closed = True
    if points:
        lines.append((points, closed))
    return lines


def curve(knots):
    """A Bezier curve by de Casteljau, without its first point."""
    out = []
    for t in np.linspace(0, 1, 17)[1:]:
        level = knots
        while len(level) > 1:
            level = [((1 - t) * a[0] + t * b[0], (1 - t) * a[1] + t * b[1]) for a, b in zip(level, level[1:])]
        out.append(level[0])
    return out


def shape_lines(element):
    tag, get = element.tag.split("}")[-1], lambda k, d=0.0: float(element.get(k, d))
    if tag == "path":
        return flattened(element.get("d", ""))
    if tag == "polygon":
        n = numbers(element.get("points", ""))
        return [(list(zip(n[0::2], n[1::2])), True)]
    if tag == "rect":
        x, y, w, h = get("x"), get("y"), get("width"), get("height")
        return [([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], True)]
    if tag in ("ellipse", "circle"):
        rx, ry = (get("r"), get("r")) if tag == "circle" else (get("rx"), get("ry"))
        turns = np.linspace(0, 2 * math.pi, 48, endpoint=False)
        return [([(get("cx") + rx * math.cos(t), get("cy") + ry * math.sin(t)) for t in turns], True)]
    return []


def even(points, closed):
    """The same line with a point every STEP units."""
    loop = points + [points[0]] if closed else points
    out = [loop[0]]
    for a, b in zip(loop, loop[1:]):
        length = math.dist(a, b)
        for i in range(1, max(1, round(length / STEP)) + 1):
            t = i / max(1, round(length / STEP))
            out.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t))
    return out


def colour(text):
    return tuple(int(text[i:i + 2], 16) for i in (1, 3, 5))


def streaks(rng, size, strength):
    """A marker's strokes: bands across one direction, each a little lighter or darker."""
    w, h = size
    angle = rng.uniform(0.6, 1.1)
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    across = (x * math.sin(angle) + y * math.cos(angle)) / (OVER * rng.uniform(7, 10))
    bands = rng.normal(0, 1, 4096)
    low = np.floor(across).astype(int) % 4096
    part = across - np.floor(across)
    soft = part * part * (3 - 2 * part)
    return ((1 - soft) * bands[low] + soft * bands[(low + 1) % 4096]) * strength


def mask_of(lines, size):
    mask = Image.new("L", size, 0)
    pen = ImageDraw.Draw(mask)
    for points, _ in lines:
        if len(points) > 2:
            pen.polygon([(x * OVER, y * OVER) for x, y in points], fill=255)
    return mask


def ink_line(picture, rng, points, width, tint, broken):
    """A pen's line: thicker and thinner along the way, lifted here and there."""
    pen = ImageDraw.Draw(picture)
    swell, lift = rng.uniform(0, 6.28), rng.uniform(0, 6.28)
    for i, (a, b) in enumerate(zip(points, points[1:])):
        press = 1 + 0.22 * math.sin(i / 9 + swell) + 0.16 * math.sin(i / 3.7 + lift)
        if broken and math.sin(i / 23 + lift) > 0.996:
            continue
        r = width * press * OVER / 2
        for t in (0.0, 0.5):
            x, y = (a[0] + (b[0] - a[0]) * t) * OVER, (a[1] + (b[1] - a[1]) * t) * OVER
            pen.ellipse((x - r, y - r, x + r, y + r), fill=tint + (255,))


def paint_shape(picture, hand, element, manner):
    rng = hand.rng
    slip = rng.normal(0, 0.35, 2)
    lines = [(even(points, closed), closed) for points, closed in shape_lines(element)]
    lines = [(hand.moved(points, slip), closed) for points, closed in lines]
    fill, stroke = element.get("fill", "none"), element.get("stroke", "none")
    if fill != "none":
        off = rng.normal(0, 0.8, 2) if manner == "marker" else (0, 0)
        mask = mask_of([([(x + off[0], y + off[1]) for x, y in points], c) for points, c in lines], picture.size)
        tone = np.array(colour(fill), dtype=np.float32)[None, None, :]
        if manner == "marker":
            tone = tone + streaks(rng, picture.size, 3.2)[:, :, None]
        layer = Image.fromarray(np.broadcast_to(np.clip(tone, 0, 255), picture.size[::-1] + (3,)).astype(np.uint8))
        picture.paste(layer, mask=mask)
        if picture.mode == "RGBA":
            picture.putalpha(Image.fromarray(np.maximum(np.array(picture.getchannel("A")), np.array(mask))))
    width = float(element.get("stroke-width", 3.2))
    for points, _ in lines:
        if stroke != "none":
            ink_line(picture, rng, points, width, colour(stroke), False)
        elif manner == "marker" and element.get("data-outline", "yes") == "yes":
            ink_line(picture, rng, points, 3.4, INK, True)


def paper(rng, size, tint):
    """Paper: its tint, a soft shade from side to side, a fine grain."""
    w, h = size
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    shade = (x / w - 0.5) * 2.5 + (y / h - 0.5) * 3.0
    grain = rng.normal(0, 0.9, (h, w))
    sheet = np.array(tint, dtype=np.float32)[None, None, :] - (shade + grain)[:, :, None]
    return Image.fromarray(np.clip(sheet, 0, 255).astype(np.uint8)).convert("RGBA")


def draw(name):
    manner, tint = MANNERS[name]
    root = ET.parse(HERE / "sources" / f"{name}.svg").getroot()
    _, _, width, height = numbers(root.get("viewBox"))
    size = (round(width * OVER), round(height * OVER))
    hand = Hand(name, 1.6 if manner == "marker" else 0.8)
    if tint is None:
        picture = Image.new("RGBA", size, (0, 0, 0, 0))
    elif manner == "flat":
        picture = Image.new("RGBA", size, tint + (255,))
    else:
        picture = paper(hand.rng, size, tint)
    for element in root.iter():
        paint_shape(picture, hand, element, manner)
    small = picture.resize((round(width), round(height)), Image.Resampling.BOX)
    if manner == "marker":
        small = small.filter(ImageFilter.GaussianBlur(0.5))
    small.convert("RGBA" if tint is None else "RGB").save(HERE / f"{name}.png", optimize=True)


if __name__ == "__main__":
    for each in sys.argv[1:] or MANNERS:
        if not (HERE / "sources" / f"{each}.svg").exists():
            sys.exit(f"draw.py: sources/{each}.svg is missing; the people are {', '.join(MANNERS)}")
        draw(each)
