#!/usr/bin/env python3
"""Draws the people of the Early Street from their vector sources, as a person would sketch them.

    python3 draw.py            draws every picture again
    python3 draw.py baker      draws one

Needs Python 3.10, Pillow and numpy. The sources in sources/ are plain SVG: paths (M L C Q Z, absolute),
ellipses, circles, rectangles and polygons, in groups without transforms, painted in the order they stand.
`fill`, `stroke` and `stroke-width` are inherited from the group.

Two manners:

- marker: each outline is moved by a smooth wobble, filled with marker strokes that run one way and miss the line
  here and there, then inked with strokes that swell, taper, overshoot corners, and are lifted or doubled in places.
- flat: the shapes as they stand, with soft edges, on one tint or cut out.

Everything the hand adds follows from the picture's name and each part's id: the same sources give the same
pictures, and a change to one part leaves the others alone.
"""
import math
import re
import sys
import xml.etree.ElementTree as ET
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

HERE = Path(__file__).resolve().parent
OVER = 3                # samples a pixel, each way
STEP = 1.5              # units between the points of a flattened outline
CURVE_POINTS = 24       # points along one Bezier curve
WOBBLE = 2.0            # how far the hand strays, in units
SLIP = 0.45             # how far one shape strays on its own
MISS = 1.3              # how far a fill strays from its line
STREAK_WIDTH = 15.0     # units across one marker stroke
STREAK_TONE = 3.0       # how much strokes differ, of 255
OVERLAP_TONE = 5.0      # how much darker two strokes are where they meet
CORNER = 0.75           # radians of turn at which the pen starts a new stroke
CORNER_REACH = 3        # points looked at on each side of a possible corner
OVERSHOOT = 2.2         # units a stroke runs on past its corner
GRAIN = 1.1             # grain of the paper, of 255
FINAL_BLUR = 0.4        # the scanner's softness, in pixels


@dataclass
class Manner:
    kind: str               # marker or flat
    ground: tuple | None    # the paper's colour; None: cut out
    shade: float = 0.0      # how much darker the paper's corners are, of 255
    size: float = 1.0       # pixels a unit
    grain: float = 1.0      # how much of the paper's grain shows


MANNERS = {
    "lamplighter": Manner("marker", (252, 252, 249), 3),
    "baker": Manner("flat", (201, 222, 226)),
    "milk-carter": Manner("flat", None),
    "newspaper-girl": Manner("marker", (253, 251, 246), 3),
    "street-sweeper": Manner("marker", (251, 252, 251), 3),
    "night-watch": Manner("marker", (233, 221, 196), 16),
    "tea-seller": Manner("marker", (252, 251, 247), 3, 0.7, 0),
    "baker-boy": Manner("flat", (222, 214, 232)),
    "flour-porter": Manner("marker", (250, 249, 245), 3, 0.65, 0),
    "bun-girl": Manner("flat", (209, 228, 214)),
    "signal-woman": Manner("marker", (251, 251, 250), 3, 0.7, 0),
    "stoker": Manner("flat", None),
    "ticket-clerk": Manner("marker", (238, 230, 212), 8, 0.7, 0),
    "sleepy-child": Manner("flat", (226, 224, 214)),
}


# ---------------------------------------------------------------- reading the sources

@dataclass
class Shape:
    name: str
    lines: list             # (points, closed)
    fill: tuple | None
    stroke: tuple | None
    width: float


def numbers(text):
    return [float(n) for n in re.findall(r"-?\d*\.?\d+(?:e-?\d+)?", text)]


def pairs(values):
    return list(zip(values[0::2], values[1::2]))


def colour(text):
    return None if text == "none" else tuple(int(text[i:i + 2], 16) for i in (1, 3, 5))


def bezier(knots):
    """A Bezier curve by de Casteljau, without its first point."""
    out = []
    for t in np.linspace(0, 1, CURVE_POINTS + 1)[1:]:
        level = knots
        while len(level) > 1:
            level = [((1 - t) * a[0] + t * b[0], (1 - t) * a[1] + t * b[1]) for a, b in zip(level, level[1:])]
        out.append(level[0])
    return out


def path_lines(d):
    lines, points, closed = [], [], False
    for command, arguments in re.findall(r"([MLCQZ])([^MLCQZ]*)", d):
        given = pairs(numbers(arguments))
        if command == "M":
            if points:
                lines.append((points, closed))
            points, closed = list(given), False
        elif command == "L":
            points += given
        elif command == "Z":
            closed = True
        else:
            size = 3 if command == "C" else 2
            for i in range(0, len(given), size):
                points += bezier([points[-1]] + given[i:i + size])
    return lines + [(points, closed)] if points else lines


def element_lines(element):
    tag, get = element.tag.split("}")[-1], lambda key: float(element.get(key, 0))
    if tag == "path":
        return path_lines(element.get("d"))
    if tag == "polygon":
        return [(pairs(numbers(element.get("points"))), True)]
    if tag == "rect":
        x, y, w, h = get("x"), get("y"), get("width"), get("height")
        return [([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], True)]
    if tag in ("ellipse", "circle"):
        rx, ry = (get("r"), get("r")) if tag == "circle" else (get("rx"), get("ry"))
        turns = np.linspace(0, 2 * math.pi, 60, endpoint=False) - 2
        return [([(get("cx") + rx * math.cos(t), get("cy") + ry * math.sin(t)) for t in turns], True)]
    return []


def shapes_of(element, given=("#000000", "none", "3")):
    """The shapes below an element, in painting order, with what they inherit."""
    style = tuple(element.get(key, old) for key, old in zip(("fill", "stroke", "stroke-width"), given))
    for child in element:
        fill, stroke, width = (child.get(key, old) for key, old in zip(("fill", "stroke", "stroke-width"), style))
        lines = [(evenly(points, closed), closed) for points, closed in element_lines(child)]
        if lines:
            yield Shape(child.get("id", ""), lines, colour(fill), colour(stroke), float(width))
        yield from shapes_of(child, style)


def evenly(points, closed):
    """The same line with its points STEP apart, as an array; a closed one does not repeat its first point."""
    p = np.array(points + points[:1] if closed else points, dtype=float)
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    count = max(3, round(along[-1] / STEP))
    at = np.linspace(0, along[-1], count + 1)
    if closed:
        at = at[:-1]
    return np.stack([np.interp(at, along, p[:, 0]), np.interp(at, along, p[:, 1])], axis=1)


# ---------------------------------------------------------------- the hand

def rng_for(*names):
    return np.random.default_rng(zlib.crc32("/".join(names).encode()))


def drift(rng, count, period, loop=False):
    """A smooth random walk around 0, about 1 large: one new value every `period` points."""
    knots = max(2, round(count / period))
    values = rng.normal(0, 0.7, knots + 1)
    if loop:
        values[-1] = values[0]
    at = np.linspace(0, knots, count, endpoint=not loop)
    low = np.minimum(at.astype(int), knots - 1)
    part = at - low
    soft = part * part * (3 - 2 * part)
    return (1 - soft) * values[low] + soft * values[low + 1]


class Wobble:
    """Where the hand puts a point: smooth over the sheet, so that touching parts stay together."""

    def __init__(self, name):
        rng = rng_for(name, "wobble")
        self.waves = [(rng.uniform(70, 300), *rng.uniform(0, 2 * math.pi, 3)) for _ in range(6)]

    def __call__(self, points, own):
        x, y = points[:, 0], points[:, 1]
        dx, dy = np.zeros(len(x)), np.zeros(len(x))
        for length, angle, first, second in self.waves:
            at = (x * math.cos(angle) + y * math.sin(angle)) * 2 * math.pi / length
            dx += np.sin(at + first)
            dy += np.sin(at + second)
        return points + np.stack([dx, dy], axis=1) * WOBBLE / 3 + own


# ---------------------------------------------------------------- fills

def mask_of(lines, size):
    mask = Image.new("L", size, 0)
    pen = ImageDraw.Draw(mask)
    for points in lines:
        if len(points) > 2:
            pen.polygon([tuple(p) for p in points * OVER], fill=255)
    return mask


def streaks(rng, box, angle):
    """A marker's strokes over a box: bands one way, darker where two meet."""
    left, top, right, bottom = box
    y, x = np.mgrid[top:bottom, left:right].astype(np.float32) / OVER
    along = x * math.cos(angle) + y * math.sin(angle)
    across = y * math.cos(angle) - x * math.sin(angle)
    sway = np.sin(along / 70 + rng.uniform(0, 6)) * 1.8 + np.sin(along / 23 + rng.uniform(0, 6)) * 0.5
    lane = (across + sway) / STREAK_WIDTH + rng.uniform(0, 1)
    number = np.floor(lane).astype(int)
    part = lane - number
    tone = rng.normal(0, STREAK_TONE, 1024)[number % 1024]
    tone += np.sin(along / 55 + (number % 7) * 2.1) * STREAK_TONE * 0.5
    meet = np.clip(1 - np.minimum(part, 1 - part) / 0.07, 0, 1)
    return tone - meet * OVERLAP_TONE


def missed(rng, points):
    """Where the fill's edge runs: off as a whole, and in and out along the way."""
    n = len(points)
    away = np.stack([drift(rng, n, 22, True), drift(rng, n, 22, True)], axis=1)
    reach = min(1.0, n * STEP / 130)       # small parts are filled with more care
    return points + (away + rng.normal(0, 0.5, 2)) * MISS * reach


def fill_marker(picture, rng, shape, lines, angle):
    mask = mask_of([missed(rng, points) for points in lines], picture.size)
    box = mask.getbbox()
    if not box:
        return
    tone = streaks(rng, box, angle + rng.normal(0, 0.05))
    layer = np.clip(np.array(shape.fill, dtype=np.float32) + tone[:, :, None], 0, 255).astype(np.uint8)
    picture.paste(Image.fromarray(layer), box[:2], mask.crop(box))


def fill_flat(picture, shape, lines):
    mask = mask_of(lines, picture.size)
    picture.paste(shape.fill + (255,), (0, 0), mask)


# ---------------------------------------------------------------- ink

def turns(points, closed):
    """How far the line turns at each point, looking a little way back and forth."""
    n, k = len(points), CORNER_REACH
    index = np.arange(n)
    before, after = (index - k) % n, (index + k) % n
    a = np.arctan2(*(points - points[before]).T[::-1])
    b = np.arctan2(*(points[after] - points).T[::-1])
    turn = np.abs((b - a + math.pi) % (2 * math.pi) - math.pi)
    if not closed:
        turn[:k] = turn[-k:] = 0
    return turn


def corners(points, closed):
    turn, found = turns(points, closed), []
    for i in np.argsort(-turn):
        gap = min((min(abs(i - j), len(points) - abs(i - j)) for j in found), default=len(points))
        if turn[i] > CORNER and gap > 2 * CORNER_REACH:
            found.append(int(i))
    return sorted(found)


def pen_strokes(points, closed):
    """The line as the strokes a pen makes of it: from corner to corner; a round one a little past its start."""
    at = corners(points, closed)
    n = len(points)
    if not closed:
        cuts = [0] + at + [n - 1]
        return [points[a:b + 1] for a, b in zip(cuts, cuts[1:])]
    if not at:
        return [np.concatenate([points, points[:min(8, n)]])]
    looped = np.concatenate([points, points])
    return [looped[a:b + 1] for a, b in zip(at, at[1:] + [at[0] + n])]


def run_on(points, by):
    """The stroke with its end drawn a little further."""
    if len(points) < 12:
        return points
    ahead = points[-1] - points[-4]
    ahead /= max(1e-6, math.hypot(*ahead))
    return np.concatenate([points, points[-1] + ahead * np.array([[by / 2], [by]])])


def press(rng, points, width):
    """The pen's width along a stroke: it swells, is heavier to the lower right, and thins to the ends."""
    n = len(points)
    way = np.gradient(points, axis=0) if n > 1 else np.zeros((n, 2))
    lean = (way[:, 1] - way[:, 0]) / np.maximum(1e-6, np.hypot(*way.T))
    swell = 1 + 0.17 * drift(rng, n, 26) + 0.10 * np.abs(lean)
    end = np.minimum(np.arange(n), np.arange(n)[::-1]) / 9
    return width * swell * (0.5 + 0.5 * np.clip(end, 0, 1))


def lifted(rng, widths):
    """The same widths with the pen lifted somewhere along a long stroke, now and then."""
    n = len(widths)
    if n > 70 and rng.random() < 0.55:
        at, half = rng.integers(20, n - 20), rng.uniform(2.0, 4.0)
        far = np.abs(np.arange(n) - at)
        widths = widths * np.clip((far - half) / 4, 0, 1)
    return widths


def stamp(pen, points, widths, tint):
    for (x0, y0), (x1, y1), w in zip(points * OVER, np.roll(points, -1, axis=0) * OVER, widths * OVER / 2):
        if w < 0.5:
            continue
        for t in (0.0, 0.5):
            x, y = x0 + (x1 - x0) * t, y0 + (y1 - y0) * t
            if t and math.hypot(x1 - x0, y1 - y0) > 3 * STEP * OVER:
                continue        # the roll's last step, from end to start
            pen.ellipse((x - w, y - w, x + w, y + w), fill=tint)


def ink(picture, rng, shape, lines):
    pen = ImageDraw.Draw(picture)
    for points, (_, closed) in zip(lines, shape.lines):
        for stroke in pen_strokes(points, closed):
            if len(stroke) < 2:
                continue
            stroke = run_on(stroke, OVERSHOOT * rng.uniform(0.2, 1))
            widths = press(rng, stroke, shape.width)
            stamp(pen, stroke, lifted(rng, widths) if shape.fill else widths, shape.stroke)
            if shape.fill and len(stroke) > 110 and rng.random() < 0.4:
                second_line(pen, rng, shape, stroke)


def second_line(pen, rng, shape, stroke):
    """The hand goes over part of a long line again, not quite where it was."""
    n = len(stroke)
    start = rng.integers(0, n // 2)
    part = stroke[start:start + rng.integers(n // 4, n // 2)]
    aside = np.stack([drift(rng, len(part), 30), drift(rng, len(part), 30)], axis=1) * 2.0
    stamp(pen, part + aside, press(rng, part, shape.width * 0.5), shape.stroke)


def line_flat(picture, shape):
    """A clean line of one width with round ends."""
    pen = ImageDraw.Draw(picture)
    for points, closed in shape.lines:
        loop = np.concatenate([points, points[:1]]) if closed else points
        stamp(pen, loop, np.full(len(loop), shape.width), shape.stroke + (255,))


# ---------------------------------------------------------------- the sheet

def sheet(name, manner, size):
    if manner.kind == "flat":
        return Image.new("RGBA", size, manner.ground + (255,) if manner.ground else (0, 0, 0, 0))
    return paper(rng_for(name, "paper"), manner, size)


def paper(rng, manner, size):
    """Paper: its tint, brighter towards the upper middle, darker towards the corners."""
    w, h = size
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    far = np.hypot((x / w - rng.uniform(0.45, 0.6)) * 1.3, (y / h - 0.42) * 1.1)
    dark = manner.shade * np.clip(far, 0, 1) ** 1.6
    tone = np.array(manner.ground, dtype=np.float32) - dark[:, :, None] * np.array([1.0, 1.05, 1.2], dtype=np.float32)
    return Image.fromarray(np.clip(tone + 0.5, 0, 255).astype(np.uint8))


def grained(rng, picture, much):
    """The paper's grain, through ink and marker too: fine, with a little of a coarser one."""
    w, h = picture.size
    fine = rng.normal(0, GRAIN, (h, w))
    coarse = Image.fromarray(rng.normal(0, 1.6, (h // 4 + 1, w // 4 + 1)).astype(np.float32))
    grain = fine + np.array(coarse.resize((w, h), Image.Resampling.BICUBIC)) * 0.6
    return Image.fromarray(np.clip(np.array(picture, dtype=np.float32) + much * grain[:, :, None], 0, 255).astype(np.uint8))


def paint_marker(picture, name, shapes):
    wobble, angle = Wobble(name), rng_for(name, "angle").uniform(-0.95, -0.6)
    for shape in shapes:
        rng = rng_for(name, shape.name)
        own = rng.normal(0, SLIP, 2)
        lines = [wobble(points, own) for points, _ in shape.lines]
        if shape.fill:
            fill_marker(picture, rng, shape, lines, angle)
        if shape.stroke:
            ink(picture, rng, shape, lines)


def paint_flat(picture, shapes):
    for shape in shapes:
        if shape.fill:
            fill_flat(picture, shape, [points for points, _ in shape.lines])
        if shape.stroke:
            line_flat(picture, shape)


def drawn(name):
    manner = MANNERS[name]
    root = ET.parse(HERE / "sources" / f"{name}.svg").getroot()
    width, height = (round(n) for n in numbers(root.get("viewBox"))[2:])
    size = (round(width * manner.size), round(height * manner.size))
    picture = sheet(name, manner, (width * OVER, height * OVER))
    if manner.kind == "flat":
        paint_flat(picture, shapes_of(root))
        small = picture.resize(size, Image.Resampling.BOX)
        return small if manner.ground is None else small.convert("RGB")
    paint_marker(picture, name, shapes_of(root))
    small = picture.resize(size, Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(FINAL_BLUR))
    return grained(rng_for(name, "grain"), small, manner.grain) if manner.grain else small


def main(names):
    for name in names or MANNERS:
        if name not in MANNERS:
            sys.exit(f"draw.py: nobody is called {name}; the people are {', '.join(MANNERS)}")
        drawn(name).save(HERE / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main(sys.argv[1:])
