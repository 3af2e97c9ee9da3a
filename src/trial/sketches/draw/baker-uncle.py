"""Baker-uncle: a stout man, painted digitally, light from the left, plain pale ground."""
import sys
from hand_two import *

W, H = 880, 1250
h = Hand(W, H, (232, 226, 214), 41)
rr = h.rng


def ramp(stops, t):
    t = np.clip(t, 0, 1) * (len(stops) - 1)
    i = min(int(t), len(stops) - 2)
    return np.array(stops[i]) * (1 - (t - i)) + np.array(stops[i + 1]) * (t - i)


def lit(m, add=0):
    """Shade over a rounded form, light from the left, a little light back at the far rim."""
    ins = m > 0.5
    x = h.xx
    lo = np.where(ins, x, 1e9).min(1)
    hi = np.where(ins, x, -1e9).max(1)
    lo, hi = gaussian_filter(np.where(lo > 1e8, 0, lo), 2), gaussian_filter(np.where(hi < 0, W, hi), 2)
    t = (x - lo[:, None]) / np.maximum(hi - lo, 1)[:, None]
    s = np.interp(t, [-.1, 0, .2, .42, .62, .82, .95, 1.1], [.72, .78, .97, .8, .55, .27, .2, .3])
    return s + add


def brush(shape, tones, flow=90, width=20, length=70, add=0, wobble=2.0, jit=8, shade=None, fine=True, dens=1.0):
    """Fill a shape with visible strokes, broad ones first, then narrower along the form."""
    c = h.wob(np.asarray(shape), wobble, 50)
    m = h.mask(c)
    s = lit(m, add) if shade is None else shade
    ys, xs = np.nonzero(m > 0.3)
    area = len(ys)
    lines = []
    for k, (wd, ln, n) in enumerate([(width * 1.5, length, area / (width * length * .22)),
                                     (width * .75, length * .6, area / (width * length * .16) if fine else 0)]):
        for _ in range(int(n * dens) + 3):
            i = rr.integers(area)
            y, x = ys[i], xs[i]
            a = np.radians((flow(x, y) if callable(flow) else flow) + rr.normal(0, 9))
            ll = ln * rr.uniform(.5, 1.2)
            bow = rr.normal(0, .06) * ll
            t = np.linspace(-.5, .5, 9)[:, None]
            u, v = np.array([np.cos(a), np.sin(a)]), np.array([-np.sin(a), np.cos(a)])
            tone = s[y, x] + rr.normal(0, .075)
            tone = np.round(tone * 7) / 7 * .75 + tone * .25
            base = ramp(tones, tone) + rr.normal(0, jit * .45) + rr.normal(0, jit * .3, 3)
            nb = max(3, int(wd / 3.2))
            for b in np.linspace(-.5, .5, nb):
                cut = rr.uniform(.75, 1.05)
                lines.append((np.array([x, y]) + t * ll * cut * u + (4 * t * t - 1) * bow * v + b * wd * v,
                              wd / nb * 1.6, base + rr.normal(0, jit * .75), .72))
    lay = h.paint(lines)
    h.over(soft(gaussian_filter(m, 2), .5, .9) * .97, ramp(tones, .55))
    edge = soft(gaussian_filter(m, 1.8) + .11 * np.clip(h.noise(7), -2, 2), .32, .56)
    # base coat under the strokes so that no ground shows inside
    base = np.stack([np.interp(np.clip(s, 0, 1), np.linspace(0, 1, len(tones)), [q[i] for q in tones]) for i in range(3)], -1)
    e = (soft(gaussian_filter(m, 2), .45, .85) * .9)[..., None]
    h.img = h.img * (1 - e) + base / 255 * e
    a = (lay[..., 3] * edge)[..., None]
    h.img = h.img * (1 - a) + lay[..., :3] * a
    return m


dab = h.dab


def shadow(shape, col, alpha, blur=10, clip=None):
    a = gaussian_filter(h.mask(np.asarray(shape)), blur) * alpha * (1 + .12 * h.noise(9))
    h.glaze(a if clip is None else a * clip, col)


SKIN = [(126, 72, 58), (172, 108, 84), (216, 152, 120), (240, 188, 152), (252, 214, 184)]
WHITE = [(132, 134, 152), (176, 178, 190), (216, 216, 218), (240, 238, 232), (254, 252, 246)]
SHIRT = [(62, 84, 112), (92, 118, 148), (130, 158, 184), (168, 192, 210), (200, 218, 230)]
TROUS = [(52, 50, 56), (82, 80, 86), (116, 114, 116), (146, 144, 142), (172, 168, 162)]
SHOE = [(34, 24, 22), (54, 38, 32), (82, 58, 46), (112, 82, 64), (146, 112, 88)]
BEARD = [(60, 36, 24), (92, 56, 36), (128, 82, 52), (160, 108, 70), (186, 136, 94)]
LOAF = [(104, 54, 22), (148, 84, 36), (190, 120, 56), (220, 160, 86), (240, 196, 124)]

# ---- ground: plain, broad, hardly seen strokes, and a cast shadow to the right
lines = []
for _ in range(520):
    x, y = rr.uniform(0, W), rr.uniform(0, H)
    a = np.radians(rr.normal(-14, 12))
    t = np.linspace(-1, 1, 8)[:, None] * rr.uniform(60, 150)
    lines.append((np.array([x, y]) + t * np.array([np.cos(a), np.sin(a)]), rr.uniform(24, 52),
                  np.array([234, 228, 216]) + rr.normal(0, 2.2) + rr.normal(0, 1, 3), .5))
lay = h.paint(lines)
h.img = h.img * (1 - lay[..., 3:]) + lay[..., :3] * lay[..., 3:]
for k in range(26):
    x0 = rr.uniform(270, 560)
    y0 = rr.uniform(1172, 1200)
    dab([(x0, y0), (x0 + 120, y0 - 6), (x0 + rr.uniform(190, 280), y0 - rr.uniform(4, 22))], rr.uniform(8, 18),
        (190, 182, 176), .4, taper=(.6, .1), soften=1.5)

# ---- trousers and shoes
legs = []
for sp, dark in (([(338, 830, 94), (334, 1000, 76), (322, 1090, 64), (316, 1150, 58)], 0),
                 ([(548, 830, 96), (554, 1000, 78), (566, 1090, 66), (572, 1150, 60)], -.12)):
    legs.append((tube(sp, ends=(True, False)), dark))
for sh, dk in ((curve([(268, 1136), (362, 1136), (374, 1166), (368, 1188, 1), (300, 1192), (228, 1188, 1), (214, 1172), (236, 1154)], True), 0),
               (curve([(524, 1136), (620, 1136), (662, 1154), (684, 1174), (668, 1189, 1), (600, 1192), (524, 1188, 1), (516, 1164)], True), -.1)):
    brush(sh, SHOE, flow=8, width=10, length=40, add=dk)
dab([(232, 1184), (300, 1187), (366, 1184)], 6, (28, 20, 20), .9)
dab([(526, 1184), (600, 1187), (668, 1184)], 6, (28, 20, 20), .9)
dab([(242, 1160), (270, 1154), (290, 1156)], 5, (176, 146, 120), .7)
dab([(600, 1156), (630, 1160), (650, 1168)], 4, (126, 96, 78), .7)
for (out, a, b), dk in legs:
    m = brush(out, TROUS, flow=88, width=15, length=70, add=dk)
    mm = m * (gaussian_filter(m, 1) > .5)
    n = len(a)
    for f in np.linspace(.1, .9, 5):                     # checks: down the leg, then round it
        ln = a * (1 - f) + b * f
        dab([tuple(q) for q in ln[::18]], 8, (58, 46, 52), .5, mm, (.8, .8))
        dab([tuple(q) for q in (ln + [9, 0])[::18]], 2.5, (206, 190, 150), .55, mm, (.8, .8))
    for i in range(6, n, 17):
        p, q = a[i], b[i]
        mid = (p + q) / 2 + [0, 9]
        dab([tuple(p), tuple(mid), tuple(q)], 8, (58, 46, 52), .48, mm, (.8, .8))
        dab([tuple(p + [0, 9]), tuple(mid + [0, 9]), tuple(q + [0, 9])], 2.5, (206, 190, 150), .5, mm, (.8, .8))
    e = b if dk < 0 else b
    for y in (1092, 1120):                               # folds above the shoe
        i = int(np.argmin(abs(b[:, 1] - y)))
        dab([tuple(a[i] * .8 + b[i] * .2), tuple((a[i] + b[i]) / 2 + [0, 10]), tuple(a[i] * .15 + b[i] * .85)], 5, (44, 42, 50), .6, m)

# ---- shirt body
body = curve([(402, 366), (318, 398), (280, 470), (262, 580), (240, 690), (246, 740), (252, 770), (440, 800), (636, 770), (642, 740),
              (648, 690), (628, 580), (604, 470), (580, 402), (492, 366)], True)
brush(body, SHIRT, flow=lambda x, y: 90 + (x - 445) * .09, width=20, length=70)
# ---- neck and collar
brush(tube([(446, 322, 60), (446, 378, 66)], ends=(True, False))[0], SKIN, flow=80, width=12, length=40, add=-.2)
dab([(398, 362), (418, 398), (446, 410)], 22, (176, 198, 214), .95)
dab([(496, 362), (476, 398), (448, 412)], 22, (120, 146, 172), .95)
dab([(446, 414), (446, 470)], 4, (84, 108, 136), .7)

# ---- apron: bib, skirt, strings
bib = curve([(346, 466, 1), (440, 476), (540, 462, 1), (566, 560), (606, 640), (626, 760), (618, 860), (604, 962, 1), (540, 984), (440, 990), (340, 984),
             (280, 966, 1), (266, 860), (258, 760), (284, 640), (322, 560)], True)
dab([(352, 474), (372, 420), (408, 378)], 20, (236, 234, 228), .97, taper=(1, 1))
dab([(534, 470), (518, 420), (488, 378)], 20, (190, 190, 200), .97, taper=(1, 1))
under = np.exp(-((h.yy - 985) / 40) ** 2) * -.10 - .20 * np.exp(-((h.yy - 800 - .0006 * (h.xx - 440) ** 2) / 60) ** 2) * (h.yy > 700)
am = brush(bib, WHITE, flow=lambda x, y: 90 + (x - 440) * .07 * (1 if y > 640 else .4), width=22, length=90, add=under)
for pts, w, c, al in [([(300, 668), (310, 780), (290, 940)], 9, (178, 180, 194), .7), ([(360, 690), (372, 800), (362, 960)], 8, (196, 196, 206), .7),
                      ([(560, 690), (572, 800), (570, 965)], 11, (138, 140, 160), .7), ([(500, 700), (506, 830), (496, 970)], 9, (168, 170, 184), .6),
                      ([(330, 700), (338, 820), (322, 950)], 9, (255, 253, 248), .8), ([(420, 720), (424, 840), (414, 965)], 10, (250, 248, 242), .7)]:
    dab(pts, w, c, al, am, (.15, .4), 1.2)
dab([(284, 640), (360, 664), (440, 672), (530, 664), (606, 640)], 15, (240, 238, 232), .95, taper=(1, 1))
dab([(284, 650), (360, 676), (440, 684), (530, 676), (606, 650)], 5, (142, 144, 162), .75, taper=(.6, .8))
dab([(470, 650), (560, 652), (606, 636)], 7, (178, 180, 194), .6)
# pocket with a wooden spoon's handle
pk = curve([(362, 770, 1), (470, 774, 1), (466, 862), (440, 876), (392, 876), (366, 860)], True)
dab([(386, 800), (372, 730), (366, 700)], 13, (168, 116, 66), .95, taper=(.9, .8))
dab([(383, 796), (370, 730), (364, 702)], 4, (216, 168, 112), .9, taper=(.9, .8))
brush(pk, WHITE, flow=85, width=14, length=46, add=-.06)
dab([(362, 771), (420, 778), (470, 775)], 6, (146, 148, 166), .8)
dab([(364, 778), (368, 860), (394, 878), (440, 878), (466, 862), (470, 780)], 4, (146, 148, 166), .75)
for x, y, r in ((300, 880, 12), (520, 560, 9), (412, 560, 7), (548, 900, 10)):   # flour and butter marks
    dab([(x - r, y), (x, y + 4), (x + r, y - 2)], r, (226, 206, 164), .35, am, soften=2)

# ---- loaf under the far arm
c0 = oval(604, 636, 172, 58, -27)
lm = h.mask(c0)
ang = np.radians(-27)
q = ((h.xx - 604) * -np.sin(ang) + (h.yy - 636) * np.cos(ang)) / 58
shadow(c0 + [6, 22], (150, 146, 160), .8, 12, np.maximum(am, h.mask(body)))
brush(c0, LOAF, flow=-27, width=14, length=60, shade=np.clip(.72 - .42 * q - (h.xx - 520) * .0011, 0, 1))
for k in range(5):
    x, y = 486 + k * 52, 694 - k * 27
    dab([(x - 16, y - 42), (x + 2, y - 22), (x + 26, y - 2)], 13, (244, 216, 160), .85, lm, (.2, .2), 1)
    dab([(x - 8, y - 44), (x + 10, y - 24), (x + 34, y - 4)], 5, (126, 70, 30), .8, lm, (.2, .2), .8)

# ---- far arm (right): sleeve, rolled cuff, forearm round the loaf
sl = tube([(566, 434, 48), (622, 496, 58), (664, 570, 58), (688, 628, 52)])[0]
shadow(sl + [-14, 12], (120, 130, 150), .35, 10, h.mask(body))
brush(sl, SHIRT, flow=62, width=16, length=60, add=-.16)
fa = tube([(694, 640, 44), (664, 704, 42), (610, 742, 33), (556, 748, 27)], ends=(False, True))[0]
brush(fa, SKIN, flow=-25, width=12, length=44, add=-.08)
dab([(690, 690), (640, 764), (566, 772)], 9, (150, 88, 68), .6, h.mask(fa))
cuff = tube([(638, 640, 22), (690, 664, 25), (736, 646, 22)])[0]
brush(cuff, SHIRT, flow=-6, width=10, length=40, add=.04)
dab([(640, 658), (690, 684), (738, 664)], 4, (62, 84, 112), .8)
dab([(640, 634), (690, 656), (734, 638)], 4, (190, 208, 222), .6)
for p in ([(610, 500), (640, 520), (656, 552)], [(630, 590), (660, 600), (700, 590)], [(620, 470), (650, 500), (668, 540)]):
    dab(p, 5, (70, 92, 120), .6, h.mask(sl))
hand = curve([(574, 722), (544, 708), (508, 702), (494, 716), (500, 742), (518, 764), (552, 774), (580, 768)], True)
brush(hand, SKIN, flow=200, width=9, length=30)
for k, (x, y) in enumerate(((500, 714), (498, 728), (504, 743), (516, 757))):
    dab([(x, y), (x + 20, y + 2), (x + 40, y + 1)], 3, (150, 88, 68), .75)
dab([(566, 716), (552, 690), (536, 680)], 17, (222, 160, 128), .97, taper=(.9, .7))
dab([(560, 704), (548, 688), (534, 676)], 5, (246, 200, 166), .8)

# ---- near arm (left): fist on the hip
sl = tube([(330, 436, 50), (262, 498, 60), (206, 566, 58), (176, 614, 52)])[0]
brush(sl, SHIRT, flow=128, width=17, length=62, add=.04)
fa = tube([(172, 620, 46), (190, 676, 44), (236, 712, 36), (276, 724, 30)], ends=(False, True))[0]
brush(fa, SKIN, flow=48, width=13, length=46, add=.02)
dab([(160, 668), (200, 734), (262, 756)], 9, (170, 104, 82), .6, h.mask(fa))
for k in range(16):
    x, y = rr.uniform(165, 235), rr.uniform(655, 712)
    dab([(x, y), (x + 4, y + 8), (x + 7, y + 12)], 1.6, (140, 88, 66), .5)
cuff = tube([(122, 606, 20), (172, 638, 26), (226, 628, 22)])[0]
brush(cuff, SHIRT, flow=12, width=10, length=40, add=.1)
dab([(124, 622), (172, 660), (228, 648)], 4, (74, 98, 126), .8)
dab([(126, 600), (172, 630), (224, 620)], 4, (220, 232, 240), .7)
for p in ([(262, 470), (256, 520), (226, 568)], [(190, 566), (214, 590), (236, 594)], [(300, 448), (290, 500), (266, 540)]):
    dab(p, 6, (92, 118, 148), .65, h.mask(sl))
fist = curve([(262, 694), (296, 690), (322, 704), (326, 732), (310, 756), (276, 760), (254, 744)], True)
shadow(fist + [12, 10], (150, 150, 166), .7, 8, am)
brush(fist, SKIN, flow=20, width=9, length=30, add=.04)
for y in (712, 727, 742):
    dab([(322, y), (308, y + 2), (294, y + 1)], 3, (160, 96, 74), .75)
dab([(268, 700), (286, 712), (290, 730)], 4, (160, 96, 74), .7)

# ---- head: ears, face, beard, cap
cx = 442
for x, dk in ((362, 0), (528, -.35)):
    brush(oval(x, 262, 17, 28, 6), SKIN, flow=90, width=8, length=20, shade=np.full((H, W), .72 + dk))
    dab([(x - 2, 248), (x + 4, 262), (x - 2, 276)], 4, (150, 84, 68), .6)
face = curve([(362, 250), (364, 196), (400, 158), (446, 150), (492, 158), (526, 196), (528, 252), (516, 312), (484, 344), (442, 352), (402, 344), (374, 310)], True)
brush(face, SKIN, flow=lambda x, y: 90 + (x - cx) * .5, width=12, length=34)
beard = curve([(360, 262), (372, 286), (394, 296), (414, 292), (440, 282), (468, 292), (492, 294), (514, 284), (530, 258), (536, 310), (518, 362), (484, 398),
               (440, 412), (398, 398), (368, 362), (354, 310)], True)
shadow(beard + [8, 18], (110, 120, 140), .5, 9, np.maximum(h.mask(body), 0))
bm = brush(beard, BEARD, flow=lambda x, y: 90 + (x - cx) * .55, width=10, length=38, jit=12)
for _ in range(70):
    i = rr.uniform(-1, 1)
    x, y = cx + i * 78, rr.uniform(300, 380) - abs(i) * 26
    dab([(x, y), (x + i * 6 + rr.normal(0, 4), y + 16), (x + i * 4 + rr.normal(0, 6), y + 34)], 3,
        ramp(BEARD, .75 - .3 * i + rr.normal(0, .15)), .6, soften=.4)
for s in (-1, 1):                                         # moustache, two thick locks
    for k in range(9):
        o = k * 2.4
        dab([(cx + s * 2, 286 + o), (cx + s * 26, 286 + o * 1.1), (cx + s * 54, 306 + o * .5)], 7,
            ramp(BEARD, (.8 if s < 0 else .5) + rr.normal(0, .14)), .8, taper=(.9, .1), soften=.5)
dab([(416, 322), (440, 331), (466, 321)], 9, (112, 44, 40), .95, taper=(.3, .3))
dab([(422, 331), (441, 339), (460, 330)], 6, (196, 104, 92), .9)
for x, al in ((390, .55), (492, .4)):
    a = gaussian_filter(h.mask(oval(x, 272, 21, 16)), 6) * al
    h.over(a, (226, 110, 92))
# nose
brush(curve([(428, 240), (418, 266), (422, 282), (440, 287), (460, 281), (464, 268), (454, 242)], True), SKIN, flow=80, width=8, length=22, add=.02)
dab([(420, 278), (440, 288), (462, 279)], 4, (140, 74, 62), .8)
dab([(432, 256), (429, 266)], 9, (255, 226, 204), .85)
# eyes, brows
for x, s in ((404, -1), (476, 1)):
    h.over(gaussian_filter(h.mask(oval(x, 243, 19, 13)), 3) * .35, (150, 88, 72))
    h.over(h.mask(oval(x, 243, 13.5, 8.5)), (246, 242, 234))
    h.over(h.mask(oval(x - 2, 243, 7.2, 8)), (70, 52, 40))
    h.over(h.mask(oval(x - 2, 243, 3.8, 4.4)), (20, 16, 16))
    h.over(h.mask(oval(x - 4.5, 240, 2.2, 2.2)), (255, 255, 255))
    dab([(x - 16, 242), (x - 2, 233), (x + 15, 241)], 5, (74, 42, 34), .9)
    dab([(x - 11, 252), (x, 255), (x + 12, 251)], 3, (150, 88, 72), .7)
    for k in range(5):
        dab([(x + s * -20, 226 + k), (x + s * 2, 218 + k), (x + s * 24, 228 + k * 1.4)], 6, ramp(BEARD, .18 + .08 * k), .85)
dab([(410, 352 - 172 + 36), (440, 214), (476, 216)], 3, (190, 126, 100), .4)
# side hair below the cap
for s, x in ((-1, 364), (1, 526)):
    for k in range(12):
        dab([(x + s * rr.uniform(-8, 4), 214), (x + s * rr.uniform(-6, 6), 238), (x + s * rr.uniform(-6, 4), 268)], 5,
            ramp(BEARD, (.65 if s < 0 else .2) + rr.normal(0, .12)), .8)
# round cap: puffed crown, then its band
crown = curve([(364, 184), (340, 154), (344, 112), (390, 82), (450, 72), (512, 84), (548, 118), (548, 156), (526, 184), (444, 194)], True)
brush(crown, WHITE, flow=lambda x, y: 90 + (x - 444) * .42, width=16, length=52, add=.02)
cm = h.mask(crown)
for x0, x1, c in ((392, 372, (190, 192, 204)), (430, 422, (206, 206, 214)), (474, 484, (168, 170, 186)), (506, 528, (134, 136, 156))):
    dab([(x0, 176), ((x0 + x1) / 2, 146), (x1, 114)], 8, c, .75, cm, (.9, .1), 1.2)
band = curve([(358, 164), (400, 179), (444, 183), (490, 179), (532, 164), (531, 194), (490, 206), (444, 210), (400, 206), (360, 196)], True)
brush(band, WHITE, flow=4, width=11, length=44, add=-.03)
dab([(359, 199), (400, 209), (444, 213), (490, 209), (531, 196)], 5, (120, 84, 80), .7)
dab([(358, 166), (400, 181), (444, 185), (490, 181), (532, 166)], 4, (150, 152, 170), .75)
# shirt button and top of the chest in light
for y in (432, 456):
    h.over(h.mask(oval(447, y, 6, 6)), (238, 236, 228))
    dab([(443, y + 5), (450, y + 6), (453, y + 1)], 2.5, (70, 92, 120), .9)
h.lean(.022, 7, 60, 1190)
h.save(sys.argv[1], 88)
