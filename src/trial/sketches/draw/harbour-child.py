"""Harbour-child: a boy of two or three with a toy boat, watercolour and loose pencil, white paper, scanned."""
import sys
from hand_two import *

W, H = 800, 1040
PAPER = (253, 251, 245)
h = Hand(W, H, PAPER, 88)
rr = h.rng
G = h.tooth(1.1, 3.0, .5)
T = h.tooth(.7, 1.6, .6)
PENCIL = (92, 84, 86)
SKIN, BLUSH, HAIR, HAIRD, BLUE, NAVY = (250, 206, 170), (240, 140, 120), (240, 196, 104), (190, 130, 60), (92, 134, 190), (52, 70, 122)
SHADE, RED, WOOD, SOCK, SHOE = (186, 196, 214), (212, 74, 58), (206, 156, 100), (222, 226, 232), (128, 78, 56)


def lift(shape, keep=1.0):
    """Paper left bare for the nearer thing, not quite to its edge."""
    a = gaussian_filter(h.mask(np.asarray(shape)), 1.0) * keep
    h.over(a, PAPER)


def wash(shape, col, s=.8, **k):
    return h.wash(shape, col, s, **{**dict(grain=G), **k})


def line(pts, w=2.7, **k):
    h.scribe(pts, w, PENCIL, T, **{**dict(wob=1.8, again=.55, press=.82, taper=(.55, .35), reach=1.9, softness=1.0, opaque=.45), **k})


# ---- a breath of ground wash
g = curve([(170, 946), (260, 918), (420, 926), (580, 914), (660, 936), (600, 966), (420, 974), (240, 968)], True)
wash(g, (176, 190, 196), .55, rim=.35, bloom=[(250, 946, 34), (590, 940, 30)], spill=6, dry=.9)

# ---- legs, socks, shoes
l1, a1, b1 = tube([(352, 640, 62), (346, 700, 52), (342, 752, 45), (340, 800, 44), (340, 842, 35), (340, 880, 32)], ends=(False, False))
l2, a2, b2 = tube([(452, 640, 62), (460, 700, 52), (466, 752, 45), (470, 800, 44), (474, 842, 35), (476, 880, 32)], ends=(False, False))
for leg, a, b, bx in ((l1, a1, b1, 330), (l2, a2, b2, 480)):
    lift(leg)
    wash(leg, SKIN, .75, bloom=[(bx, 770, 24)], fade=(0, .75, 1.15))
    m = h.mask(leg)
    mx = leg[:, 0].max()
    wash(np.vstack([a, (a * .66 + b * .34)[::-1]]) if a[:, 0].mean() > b[:, 0].mean() else np.vstack([b, (b * .66 + a * .34)[::-1]]), (226, 150, 120), .42, rim=.15, blur=3, keep=m)
    c = leg.mean(0)
    wash(oval(c[0], 758, 22, 15), BLUSH, .42, rim=0, blur=5, keep=m)
    for s in (a, b):
        line(s[44:], 2.3, smooth=False)
line([(326, 752), (338, 764), (354, 758)], 1.9)
line([(456, 758), (470, 764), (484, 752)], 1.9)
line([(480, 738), (492, 734)], 1.6)
for bx, s in ((340, -1), (475, 1)):
    sk = curve([(bx - 36, 838), (bx, 846), (bx + 36, 838), (bx + 35, 884), (bx - 35, 884)], True)
    lift(sk)
    wash(sk, SOCK, .7, fade=(0, .5, 1.6))
    line([(bx - 37, 838), (bx, 847), (bx + 37, 838)], 2.2)
    line([(bx - 36, 846), (bx, 855), (bx + 36, 846)], 1.6)
    line([(bx - 36, 838), (bx - 35, 884)], 2)
    line([(bx + 36, 838), (bx + 35, 884)], 2)
    sh = curve([(bx - s * 38, 874), (bx - s * 4, 868), (bx + s * 36, 872), (bx + s * 62, 892), (bx + s * 70, 912), (bx + s * 56, 926), (bx, 928), (bx - s * 38, 922), (bx - s * 44, 898)], True)
    lift(sh)
    wash(sh, SHOE, 1.0, bloom=[(bx + s * 30, 900, 16)], spill=2)
    lift(oval(bx + s * 8, 882, 15, 8), .95)
    wash(oval(bx + s * 8, 882, 14, 7), SOCK, .6)
    line(sh, 2.4, smooth=False)
    line([(bx - s * 22, 874), (bx + s * 8, 894), (bx + s * 34, 878)], 2.2)
    line([(bx - s * 40, 918), (bx + s * 8, 922), (bx + s * 64, 914)], 2)
    line(oval(bx + s * 34, 882, 3.4, 3.4), 1.8, smooth=False)

# ---- short trousers
tr = curve([(300, 566, 1), (286, 630), (276, 706, 1), (334, 722), (396, 712, 1), (404, 660), (412, 712, 1), (470, 722), (532, 704, 1), (520, 630), (504, 564, 1)], True)
lift(tr)
m = wash(tr, NAVY, .95, bloom=[(340, 668, 32), (490, 640, 24)], spill=3.5, rim=.35)
wash(curve([(360, 600), (404, 610), (404, 660), (396, 714), (370, 716), (372, 660)], True), NAVY, .4, blur=3, rim=.1, keep=m)
wash(curve([(490, 580), (510, 580), (534, 704), (500, 716), (500, 640)], True), NAVY, .4, blur=3, rim=.1, keep=m)
line(tr, 2.4, smooth=False, wob=2.4)
line([(404, 660), (406, 620), (404, 596)], 2)
for p in ([(276, 694), (334, 710), (396, 700)], [(412, 700), (470, 710), (530, 692)]):
    line(p, 1.7)
for x, y in ((318, 618), (324, 646), (488, 616), (484, 644)):
    lift(oval(x, y, 6.5, 6.5))
    wash(oval(x, y, 6, 6), (232, 196, 110), .8)
    line(oval(x, y, 6, 6), 1.5, smooth=False)

# ---- blouse
bl = curve([(366, 352), (312, 372), (292, 430), (292, 500), (284, 570), (292, 596, 1), (350, 612), (404, 606), (460, 612), (514, 594, 1), (520, 566), (510, 500), (510, 430), (494, 370), (440, 352)], True)
lift(bl)
m = wash(bl, SHADE, .22, rim=.5, bloom=[(400, 570, 30)])
wash(curve([(456, 420), (512, 400), (512, 500), (522, 590), (462, 614), (472, 520)], True), SHADE, .75, blur=2, rim=.25, keep=m, spill=4)
wash(curve([(296, 560), (340, 584), (404, 578), (470, 586), (514, 566), (516, 596), (404, 612), (292, 598)], True), SHADE, .6, blur=2, rim=.2, keep=m)
line([(300, 440), (294, 500), (284, 570), (292, 597)], 2.3)
line([(508, 440), (510, 500), (521, 566), (514, 596)], 2.3)
line([(290, 595), (350, 613), (404, 607), (460, 613), (517, 593)], 2.4)
for p in ([(320, 606), (326, 576), (320, 550)], [(376, 610), (374, 584)], [(440, 610), (444, 580), (438, 560)], [(488, 604), (486, 572)]):
    line(p, 1.7)
line([(291, 588), (350, 603), (404, 598), (460, 603), (516, 585)], 4.5, opaque=.2, again=0)

# ---- arms: both bring the boat before the chest
for s, sl, fo, cuffp in ((-1, [(318, 398, 42), (270, 450, 46), (252, 500, 42), (268, 536, 38)], [(268, 534, 34), (300, 560, 32), (336, 562, 26)], [(286, 520), (312, 528), (308, 566), (298, 598), (274, 586), (284, 552)]),
                         (1, [(488, 396, 42), (538, 448, 46), (558, 498, 42), (542, 534, 38)], [(542, 532, 34), (508, 558, 32), (470, 562, 26)], [(524, 518), (498, 526), (502, 564), (512, 596), (536, 584), (526, 550)])):
    f, fa, fb = tube(fo)
    lift(f)
    wash(f, SKIN, .78)
    line(f, 2.2, smooth=False)
    o, a, b = tube(sl)
    lift(o)
    m = wash(o, SHADE, .22, rim=.5)
    low = a if a[:, 0].mean() > b[:, 0].mean() else b
    upp = b if low is a else a
    wash(np.vstack([low, (low * .55 + upp * .45)[::-1]]), SHADE, .75, blur=2.5, rim=.15, keep=m, spill=4)
    line(o[4:], 2.4, smooth=False)
    cf = curve(cuffp, True)
    lift(cf)
    wash(cf, BLUE, .9, bloom=[(cf[:, 0].mean(), 575, 10)])
    line(cf, 2.2, smooth=False)
    for p in ([(404 + s * 120, 470), (404 + s * 138, 490), (404 + s * 132, 512)], [(404 + s * 106, 430), (404 + s * 112, 466)]):
        line(p, 1.7)

# ---- collar, with two lines, and the knot
cl = curve([(362, 336, 1), (322, 360), (300, 410, 1), (348, 426), (378, 420, 1), (404, 452, 1), (430, 420, 1), (462, 424), (508, 406, 1), (486, 358), (446, 336, 1), (404, 360)], True)
lift(cl)
m = wash(cl, BLUE, .95, bloom=[(336, 392, 22), (478, 396, 16)], spill=2)
for o, w in ((9, 3.0), (17, 2.2)):
    for p in ([(310 + o * .4, 410 - o), (348, 424 - o), (382, 416 - o)], [(428, 416 - o), (462, 422 - o), (500 - o * .4, 406 - o)]):
        h.dab(p, w, PAPER, .92, m, (.8, .8))
line(cl, 2.3, smooth=False)
for p in ([(398, 444), (376, 478), (372, 506), (396, 496)], [(410, 444), (432, 474), (440, 500), (416, 494)]):
    q = curve(p, True)
    lift(q)
    wash(q, RED, .95, bloom=[(p[1][0], 480, 8)], spill=1.5)
    line(q, 2, smooth=False)
kn = oval(404, 446, 17, 13)
lift(kn)
wash(kn, RED, 1.1, spill=1)
line(kn, 2, smooth=False)

# ---- toy boat
sail = curve([(410, 402, 1), (424, 444), (478, 500, 1), (412, 508, 1)], True)
jib = curve([(398, 420, 1), (380, 466), (346, 506, 1), (398, 508, 1)], True)
mast = curve([(401, 392, 1), (409, 392, 1), (411, 532, 1), (400, 532, 1)], True)
for q, c, st in ((jib, (244, 214, 150), .8), (sail, (250, 236, 208), .9)):
    lift(q)
    wash(q, c, st, fade=(0, .5, 1.2), spill=1.5, rim=.5)
    line(q, 2.2, smooth=False)
for k in range(3):
    h.dab([(414, 452 + 18 * k), (426 + 15 * k, 456 + 17 * k)], 6, (106, 142, 190), .55, h.mask(sail), (.8, .6), multiply=True)
lift(mast)
wash(mast, WOOD, 1.1, spill=.6)
line(mast, 1.9, smooth=False)
fl = curve([(409, 392, 1), (438, 400), (410, 412, 1)], True)
lift(fl)
wash(fl, RED, .9, spill=1)
line(fl, 1.8, smooth=False)
hull = curve([(324, 524, 1), (404, 534), (488, 522, 1), (474, 560), (446, 582), (366, 582), (338, 562)], True)
lift(hull)
m = wash(hull, RED, .9, bloom=[(430, 560, 18)], spill=1.8, rim=.35)
wash(curve([(330, 556), (404, 566), (482, 552), (448, 586), (364, 586)], True), NAVY, .7, keep=m, spill=1.5)
h.dab([(332, 546), (404, 556), (482, 542)], 4, PAPER, .85, m, (.8, .8))
line(hull, 2.4, smooth=False)
line([(324, 524), (404, 535), (488, 522)], 2.2)
# hands under the hull, thumbs on its side
for s, x in ((-1, 346), (1, 462)):
    hd = curve([(x + s * 26, 544), (x + s * 8, 540), (x - s * 12, 552), (x - s * 34, 566), (x - s * 38, 580), (x - s * 20, 590), (x + s * 6, 596), (x + s * 30, 588), (x + s * 36, 566)], True)
    lift(hd)
    wash(hd, SKIN, .85, spill=1.2)
    wash(curve([(x - s * 30, 580), (x + s * 30, 584), (x + s * 6, 597), (x - s * 18, 592)], True), (226, 150, 120), .5, blur=2, keep=h.mask(hd))
    line(hd, 2.2, smooth=False)
    th = curve([(x + s * 18, 552), (x + s * 4, 534), (x - s * 6, 522), (x - s * 16, 526), (x - s * 12, 542), (x + s * 2, 558)], True)
    lift(th)
    wash(th, SKIN, .85, spill=1)
    line([(x + s * 20, 548), (x + s * 4, 533), (x - s * 7, 522), (x - s * 16, 527), (x - s * 12, 542), (x, 556)], 2.1)
    for k in range(3):
        line([(x - s * (36 - 7 * k), 574 + 6 * k), (x - s * (16 - 7 * k), 570 + 6 * k)], 1.7, again=0)

# ---- head
nk = curve([(372, 312), (374, 346), (404, 362), (436, 346), (438, 312)], True)
lift(nk)
wash(nk, (240, 180, 146), .9)
line([(374, 322), (373, 344)], 2)
line([(437, 322), (438, 344)], 2)
for x, s in ((300, -1), (510, 1)):
    e = oval(x, 232, 17, 24, s * 10)
    lift(e)
    wash(e, SKIN, .95)
    line(e, 2.3, smooth=False)
    line([(x - s * 4, 222), (x + s * 5, 232), (x - s * 2, 242)], 1.7)
face = curve([(306, 208), (302, 252), (324, 300), (366, 330), (406, 337), (446, 329), (486, 298), (508, 250), (504, 206), (468, 140), (404, 120), (340, 142)], True)
lift(face)
fm = wash(face, SKIN, .74, bloom=[(446, 190, 26)], fade=(10, .8, 1.15), spill=2)
wash(curve([(484, 170), (510, 206), (508, 256), (484, 302), (444, 332), (404, 338), (460, 300), (484, 250)], True), (226, 150, 120), .42, blur=4, rim=.05, keep=fm)
for x in (344, 462):
    wash(oval(x, 272, 28, 21), BLUSH, .68, rim=.08, blur=6, keep=fm)
line([(304, 212), (302, 252), (324, 300), (366, 330), (406, 338), (446, 330), (486, 299), (509, 250), (506, 214)], 2.5, again=1)
line([(384, 324), (404, 328), (424, 323)], 1.6, again=0)
# hair: a cloud of curls, a bunch of small overlapping washes
edge = [(300, 214), (280, 190), (286, 158), (284, 128), (312, 112), (326, 88), (360, 84), (386, 66), (416, 76), (448, 70), (468, 92), (498, 100), (508, 128), (530, 148), (522, 180), (528, 204), (510, 216),
        (498, 188), (480, 196), (470, 166), (448, 176), (436, 150), (414, 166), (396, 148), (378, 172), (356, 156), (346, 184), (326, 180), (318, 204)]
hair = curve(edge, True)
lift(hair)
m = wash(hair, HAIR, .95, bloom=[(360, 116, 22), (470, 130, 18)], spill=3, rim=.3)
curls = []
for x, y, r in ((306, 186, 22), (306, 146, 24), (338, 118, 26), (376, 100, 26), (418, 100, 27), (456, 110, 25), (488, 134, 24), (506, 172, 23), (346, 156, 22), (392, 136, 24), (436, 138, 23), (472, 164, 20), (510, 202, 15), (302, 208, 14)):
    wash(oval(x + 4, y + 5, r, r * .92), HAIRD, .30, rim=.9, keep=m, spill=3)
    t = np.linspace(0, rr.uniform(9, 11.5), 60)
    ph = rr.uniform(0, 6.28)
    sg = rr.choice([-1, 1])
    rad = r * (1 - t / 14)
    c = np.c_[x + rad * np.cos(ph + sg * t), y + .92 * rad * np.sin(ph + sg * t)]
    line(c[::3], 2.0, again=.25)
line(hair, 2.2, smooth=False, press=.6, again=.3, wob=3)
# features
for x in (360, 450):
    h.over(gaussian_filter(h.mask(oval(x, 240, 15, 15)), .8), (252, 251, 248))
    wash(oval(x + 1, 242, 11, 13), (96, 136, 170), 1.1, spill=.6, rim=.4)
    h.over(gaussian_filter(h.mask(oval(x + 1, 242, 5.6, 7)), .6) * .95, (44, 42, 54))
    h.over(h.mask(oval(x - 3, 236, 3.2, 3.2)), (255, 255, 255))
    line([(x - 18, 238), (x - 2, 224), (x + 18, 237)], 3.2, again=1, press=1)
    line([(x - 11, 256), (x + 2, 259), (x + 13, 254)], 1.6, again=0)
line([(338, 210), (356, 202), (378, 208)], 3, again=1)
line([(434, 207), (456, 201), (474, 209)], 3, again=1)
line([(396, 264), (402, 274), (414, 273), (418, 265)], 2.4)
wash(oval(407, 268, 12, 9), BLUSH, .5, rim=.05, blur=3)
mo = curve([(380, 290), (404, 298), (432, 288), (420, 306), (404, 311), (390, 305)], True)
wash(mo, (206, 84, 84), .9, spill=.8)
line([(374, 287), (390, 294), (406, 298), (422, 294), (438, 285)], 2.7, again=1, press=1)
line([(390, 305), (404, 311), (420, 305)], 1.7, again=0)
# a few spatters and a construction line not rubbed out
for _ in range(9):
    x, y = rr.uniform(90, 710), rr.uniform(120, 960)
    if 230 < x < 580:
        continue
    wash(oval(x, y, rr.uniform(1.5, 4), rr.uniform(1.5, 4)), BLUE if rr.random() < .6 else RED, .6, spill=.5, rim=.5)
line([(404, 60), (405, 52)], 1.4, press=.5, again=0)
line([(232, 352), (280, 350)], 1.4, press=.45, again=0)
line([(530, 348), (586, 344)], 1.4, press=.45, again=0)
h.lean(.028, 4, 66, 928)
h.img *= (1 - .007 * np.clip(h.noise(1.0), -2, 2) - .006 * (G - .5) * 2 - .006 * h.noise(100))[..., None]
h.save(sys.argv[1], 88, light=.03)
