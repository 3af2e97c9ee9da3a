"""Drawing by hand: curves that wobble, and five media laid on paper.

Points are pixels, x to the right, y down. A point with a third value is a
corner, any other point is passed smoothly. Pictures are floats 0..1, sRGB.
"""
import numpy as np
import skia
from scipy.interpolate import CubicHermiteSpline
from scipy.ndimage import distance_transform_edt, gaussian_filter, map_coordinates
from PIL import Image


# ---------- curves ----------
def _open(p, step):
    """Smooth curve through an open run of points."""
    p = np.asarray(p, float)
    if len(p) == 2:
        n = max(2, int(np.hypot(*(p[1] - p[0])) / step))
        return p[0] + (p[1] - p[0]) * np.linspace(0, 1, n)[:, None]
    d = np.maximum(np.hypot(*(np.diff(p, axis=0).T)), 1e-6) ** 0.5
    t = np.r_[0, np.cumsum(d)]
    v = np.diff(p, axis=0) / d[:, None]
    m = np.empty_like(p)
    m[1:-1] = (v[:-1] * d[1:, None] + v[1:] * d[:-1, None]) / (d[1:] + d[:-1])[:, None]
    m[0] = 1.5 * v[0] - 0.5 * m[1]
    m[-1] = 1.5 * v[-1] - 0.5 * m[-2]
    n = max(4, int(np.sum(d ** 2) / step))
    return CubicHermiteSpline(t, p, m)(np.linspace(0, t[-1], n))


def curve(pts, closed=False, step=2.0):
    """Curve through points; 3-tuples are corners."""
    pts = list(pts)
    corner = [len(q) > 2 for q in pts]
    xy = [(q[0], q[1]) for q in pts]
    if closed and not any(corner):
        k = len(xy)
        ext = xy[-3:] + xy + xy[:3]
        ext = np.asarray(ext, float)
        d = np.maximum(np.hypot(*(np.diff(ext, axis=0).T)), 1e-6) ** 0.5
        t = np.r_[0, np.cumsum(d)]
        v = np.diff(ext, axis=0) / d[:, None]
        m = np.zeros_like(ext)
        m[1:-1] = (v[:-1] * d[1:, None] + v[1:] * d[:-1, None]) / (d[1:] + d[:-1])[:, None]
        n = max(8, int(np.sum(d[3:3 + k] ** 2) / step))
        return CubicHermiteSpline(t, ext, m)(np.linspace(t[3], t[3 + k], n))
    if closed:
        s = corner.index(True)
        xy, corner = xy[s:] + xy[:s], corner[s:] + corner[:s]
        xy, corner = xy + [xy[0]], corner + [True]
    runs, run = [], [xy[0]]
    for q, c in list(zip(xy, corner))[1:]:
        run.append(q)
        if c:
            runs.append(run)
            run = [q]
    if len(run) > 1:
        runs.append(run)
    return np.vstack([_open(r, step) for r in runs])


def tube(spine, step=2.0, ends=(True, True)):
    """A limb: spine of (x, y, half width), ends round or flat. Returns its closed outline and both sides."""
    s = np.asarray(spine, float)
    c = curve([tuple(q[:2]) for q in s], step=step)
    d = np.r_[0, np.cumsum(np.hypot(*(np.diff(s[:, :2], axis=0).T)) ** 0.5)]
    r = curve([(a, b) for a, b in zip(d, s[:, 2])], step=0.02) if len(s) > 2 else np.c_[d, s[:, 2]]
    tt = np.linspace(0, d[-1], len(c))
    rad = np.interp(tt, r[:, 0], r[:, 1])
    g = np.gradient(c, axis=0)
    nrm = np.c_[g[:, 1], -g[:, 0]] / np.maximum(np.hypot(g[:, 0], g[:, 1]), 1e-6)[:, None]
    a, b = c + nrm * rad[:, None], c - nrm * rad[:, None]
    t = np.linspace(0, np.pi, 14)[1:-1, None]
    f = g / np.maximum(np.hypot(g[:, 0], g[:, 1]), 1e-6)[:, None]
    tip = c[-1] + rad[-1] * (nrm[-1] * np.cos(t) + f[-1] * np.sin(t)) if ends[1] else c[:0]
    root = c[0] - rad[0] * (nrm[0] * np.cos(t) + f[0] * np.sin(t)) if ends[0] else c[:0]
    return np.vstack([a, tip, b[::-1], root]), a, b


def oval(cx, cy, rx, ry, rot=0, n=60, a0=0, a1=360):
    t = np.radians(np.linspace(a0, a1, n))
    x, y = rx * np.cos(t), ry * np.sin(t)
    r = np.radians(rot)
    return np.c_[cx + x * np.cos(r) - y * np.sin(r), cy + x * np.sin(r) + y * np.cos(r)]


class Hand:
    """One sheet, one hand: its random stream, its paper, its tools."""

    def __init__(self, w, h, paper, seed):
        self.w, self.h = w, h
        self.rng = np.random.default_rng(seed)
        self.img = np.ones((h, w, 3)) * np.asarray(paper, float) / 255
        self.paper = np.asarray(paper, float) / 255
        self.yy, self.xx = np.mgrid[0:h, 0:w].astype(float)

    # ----- noise and grain -----
    def noise(self, sigma):
        """Smooth noise, mean 0, deviation 1."""
        k = max(1, int(sigma / 3))
        s = self.rng.standard_normal((self.h // k + 3, self.w // k + 3))
        s = gaussian_filter(s, sigma / k, mode='wrap')
        s /= s.std()
        if k == 1:
            return s[:self.h, :self.w]
        return map_coordinates(s, [self.yy / k, self.xx / k], order=1, mode='nearest')

    def tooth(self, fine=0.8, coarse=2.2, mix=0.6):
        """Paper tooth, spread evenly over 0..1."""
        g = mix * self.noise(fine) + (1 - mix) * self.noise(coarse)
        r = np.argsort(np.argsort(g.ravel()))
        return (r / r.size).reshape(g.shape)

    # ----- lines -----
    def wob(self, c, amp=1.5, wave=40):
        """A hand that is not steady: slow sideways drift along the line."""
        n = len(c)
        if n < 4:
            return c
        ln = np.r_[0, np.cumsum(np.hypot(*(np.diff(c, axis=0).T)))]
        k = max(3, int(ln[-1] / wave) + 3)
        knots = self.rng.standard_normal((k, 2)) * amp
        t = np.linspace(0, ln[-1], k)
        return c + np.c_[_smooth(t, knots[:, 0], ln), _smooth(t, knots[:, 1], ln)]

    def _surf(self):
        buf = np.zeros((self.h, self.w, 4), np.uint8)
        return buf, skia.Surface(buf)

    def mask(self, *shapes):
        """Inside of closed outlines, 0..1."""
        buf, s = self._surf()
        with s as cv:
            for c in shapes:
                cv.drawPath(_path(c, True), skia.Paint(AntiAlias=True))
        return buf[..., 3] / 255.0

    def strokes(self, lines):
        """Cover of many lines: each (curve, width, alpha). Crossings build up."""
        buf, s = self._surf()
        with s as cv:
            for c, w, a in lines:
                cv.drawPath(_path(c), _pen(w, a))
        return buf[..., 3] / 255.0

    def pens(self, lines, box=None):
        """Cover of tapering lines: each (curve, width, start share, end share). A box limits the work."""
        x0, y0, x1, y1 = box or (0, 0, self.w, self.h)
        buf = np.zeros((y1 - y0, x1 - x0, 4), np.uint8)
        with skia.Surface(buf) as cv:
            cv.translate(-x0, -y0)
            for c, w, a, b in lines:
                n = len(c)
                t = np.linspace(0, 1, n)
                ramp = np.minimum(1, np.minimum(a + (1 - a) * t / 0.22, b + (1 - b) * (1 - t) / 0.25))
                k = max(3, n // 25)
                press = np.interp(t, np.linspace(0, 1, k), self.rng.uniform(0.75, 1.15, k))
                ww = w * ramp * press
                for i in range(n - 1):
                    cv.drawLine(float(c[i][0]), float(c[i][1]), float(c[i + 1][0]), float(c[i + 1][1]),
                                _pen(max(0.35, ww[i]), 1.0))
        return buf[..., 3] / 255.0

    def paint(self, lines):
        """Opaque coloured lines on a clear layer: each (curve, width, colour, alpha). RGBA 0..1."""
        buf, s = self._surf()
        with s as cv:
            for c, w, col, a in lines:
                p = _pen(w, a)
                r, g, b = np.clip(col, 0, 255)
                p.setColor(skia.Color(int(r), int(g), int(b), int(np.clip(a, 0, 1) * 255)))
                cv.drawPath(_path(c), p)
        return buf / 255.0

    def hatch(self, m, angle, gap, length=60, bow=0.04, jit=0.25, width=2, alpha=0.6, turn=4, back=True):
        """Lines over a mask at an angle; they start and stop as the wrist does."""
        a = np.radians(angle)
        u, v = np.array([np.cos(a), np.sin(a)]), np.array([-np.sin(a), np.cos(a)])
        ys, xs = np.nonzero(m > 0.5)
        if not len(ys):
            return []
        p, q = xs * u[0] + ys * u[1], xs * v[0] + ys * v[1]
        out, rr = [], self.rng
        d = q.min()
        order = np.argsort(q)
        qs, ps = q[order], p[order]
        while d < q.max():
            lo, hi = np.searchsorted(qs, [d - 0.8, d + 0.8])
            seg = np.sort(ps[lo:hi])
            if len(seg) > 2:
                cut = np.nonzero(np.diff(seg) > 4)[0]
                st, en = np.r_[seg[0], seg[cut + 1]], np.r_[seg[cut], seg[-1]]
                for s0, e0 in zip(st, en):
                    s = s0 + rr.uniform(-1, 0.2) * gap * 0.6
                    while s < e0:
                        e = min(e0 + rr.uniform(-0.5, 0.6) * gap, s + length * rr.uniform(0.6, 1.4))
                        if e - s > 2:
                            t = np.linspace(0, 1, max(4, int((e - s) / 5)))
                            dev = np.radians(rr.normal(0, turn))
                            off = bow * (e - s) * 4 * t * (1 - t) * rr.uniform(0.4, 1.4) + (t - 0.5) * (e - s) * np.tan(dev)
                            base = d + rr.normal(0, jit) * gap
                            c = (s + (e - s) * t)[:, None] * u + (base + off)[:, None] * v
                            out.append((c, width * rr.uniform(0.75, 1.25), alpha * rr.uniform(0.7, 1.2)))
                        s = e - length * rr.uniform(0.02, 0.2)
                        if e >= e0:
                            break
            d += gap * rr.uniform(0.7, 1.3)
        return out

    def box(self, c, pad):
        c = np.asarray(c)
        return (int(np.clip(c[:, 0].min() - pad, 0, self.w - 2)), int(np.clip(c[:, 1].min() - pad, 0, self.h - 2)),
                int(np.clip(c[:, 0].max() + pad, 2, self.w)), int(np.clip(c[:, 1].max() + pad, 2, self.h)))

    def dab(self, pts, w, col, alpha=.85, clip=None, taper=(.3, .2), soften=.6, wob=.7, multiply=False):
        """One tapering stroke, laid at once."""
        c = self.wob(curve(pts), wob, 30)
        x0, y0, x1, y1 = b = self.box(c, w + 3 * soften + 4)
        a = gaussian_filter(self.pens([(c, w, *taper)], b), soften) * alpha
        if clip is not None:
            a = a * clip[y0:y1, x0:x1]
        a = a[..., None]
        p = self.img[y0:y1, x0:x1]
        col = np.asarray(col, float) / 255
        self.img[y0:y1, x0:x1] = p * (1 - a * (1 - col)) if multiply else p * (1 - a) + col * a

    def lean(self, slope=0.0, sway=0.0, y0=0, y1=1):
        """Slant and sway the whole drawing sideways; heights stay."""
        t = (self.yy - y0) / (y1 - y0)
        dx = slope * (y1 - self.yy) + sway * np.sin(np.pi * np.clip(t, 0, 1)) ** 2
        self.img = np.stack([map_coordinates(self.img[..., i], [self.yy, self.xx - dx], order=1, mode='nearest')
                             for i in range(3)], -1)

    # ----- whole ways of working -----
    def ink(self, pts, w=2.4, col=(30, 30, 38), closed=False, taper=(.35, .15), wob=1.0, again=0.0, alpha=.95, smooth=True, clip=None):
        """A pen line, now and then gone over a second time."""
        c = curve(pts, closed) if smooth else np.asarray(pts, float)
        for k in range(1 + (self.rng.random() < again)):
            q = self.wob(c, wob, 55)
            if k:                                            # the second go starts late and stops early
                n = len(q)
                q = q[int(n * self.rng.uniform(0, .3)):int(n * self.rng.uniform(.6, 1))] + self.rng.normal(0, 1.2, 2)
            if len(q) < 3:
                continue
            x0, y0, x1, y1 = b = self.box(q, w + 4)
            a = self.pens([(q, w * (1 - .3 * k), *taper)], b) * alpha
            if clip is not None:
                a = a * clip[y0:y1, x0:x1]
            a = a[..., None]
            p = self.img[y0:y1, x0:x1]
            self.img[y0:y1, x0:x1] = p * (1 - a) + np.asarray(col) / 255 * a

    def marker(self, shape, col, angle=80, gap=19, shift=(2, -2), miss=2.5, second=None, keep=None):
        """A flat felt-pen fill: bands that overlap, an edge that is missed, a second coat in the shade."""
        c = self.wob(np.asarray(shape), miss, 70) + np.asarray(shift)
        m = self.mask(c)
        if keep is not None:
            m = m * keep
        cov = self.strokes(self.hatch(m, angle, gap, length=3000, width=gap * 1.25, alpha=.80, bow=.004, turn=.5, jit=.08))
        bleed = gaussian_filter(m, 1.2)
        a = np.minimum(cov, 1) * soft(bleed, .35, .65) * (.97 + .02 * self.noise(2))
        self.glaze(a, col)
        if second is not None:
            m2 = self.mask(self.wob(np.asarray(second), 2, 60)) * soft(bleed, .3, .6)
            self.glaze(gaussian_filter(m2, .7) * .55, col)

    def hatched(self, shape, col, tooth, angle=60, gap=6, width=4, press=.75, base=.3, reach=1.25, softness=.35, length=70,
                opaque=.3, keep=None, turn=4, spill=1.5, body=.9):
        """Dry colour (pencil, crayon) worked back and forth over a shape."""
        m = self.mask(self.wob(np.asarray(shape), spill, 40))
        if keep is not None:
            m = m * keep
        cov = self.strokes(self.hatch(m, angle, gap, length, width=width, alpha=press, turn=turn))
        near = soft(gaussian_filter(m, spill + 1), .15, .6)
        p = np.maximum(base * gaussian_filter(m, 1) * (1 + .25 * self.noise(30)), 0) + (1 - base) * cov * near
        self.rub(p, col, tooth, reach, softness, body, opaque)
        return m

    def scribe(self, pts, w, col, tooth, closed=False, press=.9, wob=1.3, again=.4, taper=(.5, .3), reach=1.35, softness=.3, smooth=True,
               opaque=.6, clip=None):
        """A dry line of changing pressure, often gone over again."""
        c = curve(pts, closed) if smooth else np.asarray(pts, float)
        for k in range(1 + (self.rng.random() < again)):
            q = self.wob(c, wob, 45)
            if k:
                n = len(q)
                q = q[int(n * self.rng.uniform(0, .3)):int(n * self.rng.uniform(.65, 1))] + self.rng.normal(0, w * .45, 2)
            if len(q) < 3:
                continue
            x0, y0, x1, y1 = b = self.box(q, w + 5)
            n = len(q)
            a = gaussian_filter(self.pens([(q, w, *taper)], b), .5) * press * self.rng.uniform(.85, 1.05)
            if clip is not None:
                a = a * clip[y0:y1, x0:x1]
            a = np.clip((a * reach - tooth[y0:y1, x0:x1]) / softness, 0, 1)[..., None]
            colf = np.asarray(col, float) / 255
            p = self.img[y0:y1, x0:x1]
            self.img[y0:y1, x0:x1] = opaque * (p * (1 - a) + colf * a) + (1 - opaque) * p * (1 - a * (1 - colf))

    def wash(self, shape, col, strength=.8, rim=.3, bloom=(), grain=None, spill=2.5, blur=.9, fade=None, keep=None, dry=0.0):
        """A watercolour wash: pools, a darker rim, granulation, blooms (x, y, r), a fade (angle, from, to)."""
        m = self.mask(self.wob(np.asarray(shape), spill, 60))
        if keep is not None:
            m = m * keep
        d = distance_transform_edt(m > .5)
        dens = .72 + .13 * self.noise(38) + .07 * self.noise(11) + rim * np.exp(-d / 2.6) + .12 * np.exp(-d / 14)
        if fade is not None:
            a, s0, s1 = fade
            ys, xs = np.nonzero(m > .5)
            q = self.xx * np.cos(np.radians(a)) + self.yy * np.sin(np.radians(a))
            lo, hi = q[m > .5].min(), q[m > .5].max()
            dens *= s0 + (s1 - s0) * np.clip((q - lo) / (hi - lo), 0, 1)
        for bx, by, br in bloom:
            r = np.hypot(self.xx - bx, (self.yy - by) * 1.15) / br + .16 * self.noise(7) + .1 * self.noise(18)
            dens *= 1 - .5 * np.exp(-(r / .75) ** 4)
            dens += .28 * np.exp(-((r - 1) / .10) ** 2) * (d > 0)
        if grain is not None:
            dens *= 1 + .34 * (grain - .5)
            if dry:                                        # the brush runs dry: the tops of the paper stay white
                m = m * np.clip((1.0 - grain * dry) / .25, 0, 1)
        dens = np.clip(dens, 0.05, 2) * strength * gaussian_filter(m, blur)
        self.img = self.img * np.exp(dens[..., None] * np.log(np.maximum(np.asarray(col, float), 4) / 255))
        return m

    # ----- laying colour down -----
    def over(self, a, col):
        col = np.asarray(col, float) / 255
        a = np.clip(a, 0, 1)[..., None]
        self.img = self.img * (1 - a) + col * a

    def glaze(self, a, col):
        """Transparent colour: multiplies."""
        col = np.asarray(col, float) / 255
        a = np.clip(a, 0, 1)[..., None]
        self.img = self.img * (1 - a * (1 - col))

    def rub(self, cover, col, tooth, reach=1.1, soft=0.25, body=0.9, opaque=0.5):
        """Dry colour on a toothed sheet: light pressure leaves the hollows bare."""
        a = np.clip((cover * reach - tooth) / soft, 0, 1) * body
        col_ = np.asarray(col, float) / 255
        a3 = a[..., None]
        o = self.img * (1 - a3) + col_ * a3
        g = self.img * (1 - a3 * (1 - col_))
        self.img = opaque * o + (1 - opaque) * g

    def save(self, path, quality=None, light=0.0):
        im = self.img
        if light:
            im = im * (1 - light * ((self.xx / self.w - 0.35) ** 2 + (self.yy / self.h - 0.4) ** 2))[..., None]
        im = Image.fromarray((np.clip(im, 0, 1) * 255 + 0.5).astype(np.uint8))
        if quality:
            im.save(path, quality=quality, subsampling=2, optimize=True)
        else:
            im.save(path, optimize=True)


def _smooth(t, k, x):
    m = np.gradient(k, t)
    return CubicHermiteSpline(t, k, m)(np.clip(x, t[0], t[-1]))


def _path(c, close=False):
    p = skia.Path()
    p.addPoly([skia.Point(float(q[0]), float(q[1])) for q in c], close)
    return p


def _pen(w, a):
    return skia.Paint(AntiAlias=True, Style=skia.Paint.kStroke_Style, StrokeWidth=float(w),
                      StrokeCap=skia.Paint.kRound_Cap, StrokeJoin=skia.Paint.kRound_Join,
                      Color=skia.Color(0, 0, 0, int(np.clip(a, 0, 1) * 255)))


def soft(x, lo, hi):
    t = np.clip((x - lo) / (hi - lo), 0, 1)
    return t * t * (3 - 2 * t)
