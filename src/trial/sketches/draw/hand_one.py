"""Drawing tools shared by the sketches: curves, masks, and the marks of several media.

A picture is a float array (height, width, 3), 0 to 1. Pigment is laid by multiplying, as on paper.
"""
import math
import numpy as np
import skia
from PIL import Image
from scipy import ndimage as ndi


def noise(shape, scale, rng):
    """Smooth noise, mean 0, deviation 1, with lumps about `scale` pixels wide."""
    h, w = shape
    s = max(1.0, scale / 3.0)
    small = rng.standard_normal((int(h / s) + 4, int(w / s) + 4))
    small = ndi.gaussian_filter(small, 1.2 if scale > 1.5 else scale * 0.4)
    if s > 1.0:
        im = Image.fromarray(small.astype(np.float32))
        big = np.asarray(im.resize((w, h), Image.BICUBIC, box=(1, 1, 1 + w / s, 1 + h / s)), float)
    else:
        big = small[:h, :w]
    return (big - big.mean()) / (big.std() + 1e-9)


def hexc(s):
    s = s.lstrip("#")
    return np.array([int(s[i:i + 2], 16) / 255 for i in (0, 2, 4)])


def _catmull(p, closed):
    p = np.asarray(p, float)
    n = len(p)
    if n < 3 and not closed:
        return p
    out = []
    for i in range(n if closed else n - 1):
        if closed:
            a, b, c, d = p[(i - 1) % n], p[i], p[(i + 1) % n], p[(i + 2) % n]
        else:
            a, b, c, d = p[max(i - 1, 0)], p[i], p[i + 1], p[min(i + 2, n - 1)]
        k = max(4, int(np.hypot(*(c - b)) / 4))
        t = np.linspace(0, 1, k, endpoint=False)[:, None]
        out.append(0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3))
    if not closed:
        out.append(p[-1:])
    return np.concatenate(out)


def curve(pts, closed=False):
    """Smooth curve through the points; a point with a third item is a corner."""
    corners = [i for i, q in enumerate(pts) if len(q) > 2]
    p = [tuple(q[:2]) for q in pts]
    if not corners:
        return _catmull(p, closed)
    if closed:
        k = corners[0]
        p = p[k:] + p[:k] + [p[k]]
        corners = [c - k for c in corners] + [len(p) - 1]
    else:
        corners = sorted(set([0] + corners + [len(p) - 1]))
    parts = [_catmull(p[a:b + 1], False) for a, b in zip(corners, corners[1:])]
    return np.concatenate([q[:-1] for q in parts[:-1]] + [parts[-1]])


def resample(c, step=3.0):
    seg = np.hypot(*np.diff(c, axis=0).T)
    s = np.concatenate([[0], np.cumsum(seg)])
    n = max(2, int(s[-1] / step) + 1)
    t = np.linspace(0, s[-1], n)
    return np.stack([np.interp(t, s, c[:, 0]), np.interp(t, s, c[:, 1])], 1)


def ellipse(cx, cy, rx, ry, turn=0.0, n=10):
    a = np.linspace(0, 2 * math.pi, n, endpoint=False)
    x, y = rx * np.cos(a), ry * np.sin(a)
    t = math.radians(turn)
    return [(cx + u * math.cos(t) - v * math.sin(t), cy + u * math.sin(t) + v * math.cos(t)) for u, v in zip(x, y)]


def between(a, b, t):
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)


def smoothstep(a, b, x):
    t = np.clip((x - a) / (b - a), 0, 1)
    return t * t * (3 - 2 * t)


def bounds(mask, margin=0):
    """Slices of the box that holds every non-zero pixel, or None."""
    r, c = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
    if len(r) == 0:
        return None
    h, w = mask.shape
    return (slice(max(0, r[0] - margin), min(h, r[-1] + 1 + margin)), slice(max(0, c[0] - margin), min(w, c[-1] + 1 + margin)))


class Sheet:
    def __init__(self, w, h, paper, seed, tooth=2.4, depth=0.5):
        self.w, self.h = w, h
        self.rng = np.random.default_rng(seed)
        self.paper = hexc(paper)
        tone = noise((h, w), 260, self.rng)[..., None] * 0.004
        self.ground = np.clip(self.paper + tone, 0, 1)
        self.img = self.ground.copy()
        g = 0.55 * noise((h, w), tooth, self.rng) + 0.35 * noise((h, w), tooth * 2.1, self.rng) + 0.25 * noise((h, w), tooth / 2, self.rng)
        g = (g - g.mean()) / g.std()
        self.grain = np.maximum(0.12, 0.5 + depth * ndi.gaussian_filter(g, 0.4))  # about 0 to 1, the tooth of the paper

    # curves -----------------------------------------------------------------------------
    def shake(self, c, amp=1.2, length=60):
        c = resample(np.asarray(c, float))
        n = len(c)
        k = int(n + 8 * length / 3)
        off = ndi.gaussian_filter1d(self.rng.standard_normal((k, 2)), length / 6, axis=0)
        off = off / (off.std() + 1e-9) * amp
        return c + off[4:4 + n]

    # masks ------------------------------------------------------------------------------
    def _canvas(self):
        arr = np.zeros((self.h, self.w, 4), np.uint8)
        surf = skia.Surface(arr)
        return arr, surf.getCanvas(), surf

    def area(self, pts, closed=True, shake=0.0, raw=False):
        """Filled mask of the closed curve through the points."""
        c = np.asarray(pts, float) if raw else curve(pts, closed)
        if shake:
            c = self.shake(c, shake, 70)
        arr, cv, surf = self._canvas()
        b = skia.PathBuilder() if hasattr(skia, "PathBuilder") else None
        path = skia.Path()
        path.addPoly([skia.Point(float(x), float(y)) for x, y in c], True)
        cv.drawPath(path, skia.Paint(AntiAlias=True, Color=skia.ColorWHITE))
        surf.flushAndSubmit()
        return arr[..., 0].astype(float) / 255

    def trace(self, lines, merge=None):
        """Mask of many strokes: each (points, widths, pressures)."""
        arr, cv, surf = self._canvas()
        paint = skia.Paint(AntiAlias=True, StrokeCap=skia.Paint.kRound_Cap, Style=skia.Paint.kStroke_Style)
        paint.setBlendMode(skia.BlendMode.kLighten)
        for c, wd, pr in lines:
            for i in range(len(c) - 1):
                v = int(255 * min(1.0, max(0.0, float(pr[i]))))
                if v == 0:
                    continue
                paint.setColor(skia.Color(v, v, v))
                paint.setStrokeWidth(max(0.3, float(wd[i])))
                cv.drawLine(float(c[i, 0]), float(c[i, 1]), float(c[i + 1, 0]), float(c[i + 1, 1]), paint)
        surf.flushAndSubmit()
        return arr[..., 0].astype(float) / 255

    def pull(self, pts, width, closed=False, amp=1.0, taper=(0.35, 0.35), vary=0.22, pressure=1.0,
             pvary=0.0, over=0.0, length=60, raw=False):
        """One stroke of the hand, as `trace` wants it."""
        c = np.asarray(pts, float) if raw else curve(pts, closed)
        if closed and not raw:
            # A hand closes a shape by running a little past its beginning.
            k = min(len(c) - 1, int(2 + over))
            c = np.concatenate([c, c[:k + 1]])
        c = self.shake(c, amp, length)
        if over and not closed and len(c) > 4:
            d0, d1 = c[0] - c[2], c[-1] - c[-3]
            c = np.concatenate([[c[0] + d0 / (np.hypot(*d0) + 1e-9) * over], c, [c[-1] + d1 / (np.hypot(*d1) + 1e-9) * over]])
            c = resample(c)
        n = len(c)
        t = np.linspace(0, 1, n)
        total = n * 3.0
        ta = min(0.45, 28 / total)
        w = np.ones(n)
        w *= taper[0] + (1 - taper[0]) * smoothstep(0, ta, t)
        w *= taper[1] + (1 - taper[1]) * smoothstep(0, ta, 1 - t)
        wv = ndi.gaussian_filter1d(self.rng.standard_normal(n + 60), 10)[30:30 + n]
        w *= 1 + vary * wv / 0.17 * 0.6
        pv = ndi.gaussian_filter1d(self.rng.standard_normal(n + 60), 12)[30:30 + n] / 0.15
        p = np.clip(pressure * (1 + pvary * pv), 0, 1)
        return c, np.clip(w, 0.15, 2.5) * width, p

    # pigment ----------------------------------------------------------------------------
    def lay(self, density, colour):
        """Multiply by a transparent pigment."""
        col = np.clip(hexc(colour) if isinstance(colour, str) else colour, 0.004, 1)
        b = bounds(density)
        if b:
            self.img[b] *= np.exp(np.log(col)[None, None] * density[b][..., None])

    def cover(self, alpha, colour):
        col = hexc(colour) if isinstance(colour, str) else colour
        b = bounds(alpha)
        if b:
            m = alpha[b][..., None]
            self.img[b] = self.img[b] * (1 - m) + col * m

    def knock(self, mask):
        """Bring bare paper back (what lies behind is simply not drawn)."""
        m = mask[..., None]
        self.img = self.img * (1 - m) + self.ground * m

    def save(self, path, quality=88, soft=0.5, speck=0.006):
        a = self.img
        if soft:
            a = ndi.gaussian_filter(a, (soft, soft, 0))
        a = a + self.rng.normal(0, speck, a.shape[:2])[..., None] + 0.002 * noise(a.shape[:2], 3, self.rng)[..., None]
        im = Image.fromarray((np.clip(a, 0, 1) * 255 + 0.5).astype(np.uint8))
        if path.lower().endswith("png"):
            im.save(path, optimize=True)
        else:
            im.save(path, quality=quality, optimize=True)

    # hatching ---------------------------------------------------------------------------
    def hatch_lines(self, mask, angle, gap, jitter=0.35, bow=4.0, over=3.0):
        """Parallel strokes inside a mask; ends overshoot or fall short."""
        t = math.radians(angle)
        d, nrm = np.array([math.cos(t), math.sin(t)]), np.array([-math.sin(t), math.cos(t)])
        ys, xs = np.nonzero(mask > 0.5)
        if len(xs) == 0:
            return []
        s = xs * nrm[0] + ys * nrm[1]
        u = xs * d[0] + ys * d[1]
        out = []
        pos = s.min() + gap * 0.4
        while pos < s.max():
            off = pos + self.rng.normal(0, jitter * gap * 0.5)
            uu = np.arange(u.min() - 2, u.max() + 2, 1.5)
            tilt = self.rng.normal(0, 0.025)
            mid = uu.mean()
            line = uu[:, None] * d + (off + (uu - mid) * tilt)[:, None] * nrm
            ix = np.clip(line[:, 0].round().astype(int), 0, self.w - 1)
            iy = np.clip(line[:, 1].round().astype(int), 0, self.h - 1)
            inside = mask[iy, ix] > 0.5
            edges = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]])))
            for a, b in zip(edges[::2], edges[1::2]):
                if b - a < 3:
                    continue
                a0 = uu[a] - self.rng.normal(0, over)
                b0 = uu[b - 1] + self.rng.normal(0, over)
                if b0 - a0 < 3:
                    continue
                v = np.linspace(a0, b0, max(3, int((b0 - a0) / 3)))
                k = self.rng.normal(0, 0.4) * bow * np.sin(np.linspace(0, math.pi, len(v))) * min(1, (b0 - a0) / 120)
                out.append(v[:, None] * d + (off + (v - mid) * tilt + k)[:, None] * nrm)
            pos += gap * (1 + self.rng.normal(0, jitter * 0.5))
        return out


def bend(img, knots, tilt=None, keep=None):
    """Let the figure lean and the head tilt: a smooth sideways shift by row.

    knots: (row, shift to the right) pairs. tilt: (x, y, degrees clockwise, row wholly tilted, row not tilted, half width).
    keep: (x from, x to), the shift fades out from the first to the second (a pole stays straight).
    """
    h, w = img.shape[:2]
    Y, X = np.mgrid[0:h, 0:w].astype(float)
    rows, shifts = zip(*knots)
    dx = ndi.gaussian_filter1d(np.interp(np.arange(h), rows, shifts), 30, mode="nearest")[:, None]
    k = 1 - smoothstep(keep[0], keep[1], X) if keep and keep[1] > keep[0] else (smoothstep(keep[1], keep[0], X) if keep else 1.0)
    sx, sy = X - dx * k, Y.copy()
    if tilt:
        cx, cy, deg, full, none, half = tilt
        t = math.radians(deg) * (1 - smoothstep(full, none, Y)) * (1 - smoothstep(half * 0.8, half * 1.25, np.abs(X - cx)))
        ux, uy = sx - cx, sy - cy
        sx, sy = cx + ux * np.cos(t) + uy * np.sin(t), cy - ux * np.sin(t) + uy * np.cos(t)
    return np.stack([ndi.map_coordinates(img[..., c], [sy, sx], order=2, mode="nearest") for c in range(img.shape[2])], 2)
