"""Kite girl of Early Street: wax crayons on cream sugar paper, as a child of seven would draw her."""
import sys
import numpy as np
from hand_one import Sheet, bend, curve, ellipse, noise

S = Sheet(820, 1060, "#fbf6e6", 54, tooth=2.8, depth=0.5)
R = S.rng
yy, xx = np.mgrid[0:S.h, 0:S.w].astype(float)


def wax(p):
    """Wax stays on the high tooth of the paper; pressing hard fills the hollows."""
    return np.clip((p * 1.75 - S.grain * 0.95) * 1.5, 0, 1) * (0.62 + 0.34 * p) * (p > 0.06)


def put(strokes, colour, cover=0.35):
    """Wax is half transparent: it tints what lies below and hides some of it."""
    a = wax(S.trace(strokes))
    S.lay(a * (1 - cover), colour)
    S.cover(a * cover, colour)


def line(pts, colour, w=8.5, p=0.82, closed=False, amp=2.2, over=4, again=False, **k):
    q = [S.pull(pts, w, closed, amp, over=over, pressure=p, pvary=0.2, vary=0.25, taper=(0.75, 0.7), length=45, **k)]
    if again:
        q.append(S.pull(pts, w * 0.9, closed, amp * 1.6, over=over * 2, pressure=p * 0.9, pvary=0.25, vary=0.25, taper=(0.75, 0.7), length=50))
    put(q, colour)


def scribble(pts, colour, angle=60, gap=9.0, w=9.0, p=0.6, over=4.0, mask=None):
    """To and fro without lifting the crayon, not minding the edge too much."""
    m = S.area(pts) if mask is None else mask
    run, strokes, flip = [], [], False
    for q in S.hatch_lines(m, angle, gap, jitter=0.5, bow=7, over=over):
        q = q[::-1] if flip else q
        if run and np.hypot(*(run[-1][-1] - q[0])) > 34:
            strokes.append(np.concatenate(run))
            run = []
        run.append(q)
        flip = not flip
    if run:
        strokes.append(np.concatenate(run))
    put([S.pull(c, w, raw=True, amp=1.5, pressure=p, pvary=0.25, vary=0.2, taper=(0.8, 0.8)) for c in strokes if len(c) > 3], colour, 0.25)


SKIN, BROWN, RED, BLUE, YELLOW, GREEN, BLACK, PINK, ORANGE = "#f6b58c", "#7d4a28", "#d8323a", "#3767b8", "#f7cf3a", "#3f9a55", "#2b2730", "#f0879a", "#ee8a2f"

# the kite, its tail and string
k = [(646, 56, 1), (710, 122, 1), (664, 214, 1), (596, 136, 1)]
scribble([(646, 56, 1), (654, 130, 1), (596, 136, 1)], RED, 40, 8, p=0.7)
scribble([(646, 56, 1), (710, 122, 1), (654, 130, 1)], YELLOW, 120, 8, p=0.75)
scribble([(654, 130, 1), (710, 122, 1), (664, 214, 1)], GREEN, 50, 8, p=0.7)
scribble([(596, 136, 1), (654, 130, 1), (664, 214, 1)], BLUE, 130, 8, p=0.65)
line([(646, 56), (710, 122, 1), (664, 214, 1), (596, 136, 1), (648, 54)], BLACK, 6.5)
line([(648, 60), (656, 130), (664, 210)], BLACK, 4.5)
line([(600, 136), (656, 130), (706, 122)], BLACK, 4.5)
line([(664, 214), (690, 244), (714, 236), (734, 262), (760, 252), (774, 288)], BLACK, 4.5)
for x, y, c in ((694, 244, RED), (734, 260, BLUE), (770, 276, ORANGE)):
    scribble([(x, y), (x - 15, y - 12), (x - 17, y + 9)], c, 80, 6, 7, 0.8, 1)
    scribble([(x, y), (x + 16, y - 8), (x + 14, y + 12)], c, 80, 6, 7, 0.8, 1)
line([(658, 136), (684, 250), (672, 340), (664, 398)], BLACK, 4, 0.75, over=0)

# legs, socks and shoes
for q, sh in (([(334, 760), (332, 830), (328, 905), (368, 910), (376, 830), (380, 760)], [(370, 908), (376, 946), (362, 972), (310, 984), (262, 980), (252, 956), (284, 934), (324, 904)]),
              ([(424, 760), (428, 830), (432, 912), (472, 906), (474, 830), (470, 760)], [(430, 912), (424, 950), (440, 976), (492, 986), (540, 978), (546, 954), (516, 934), (474, 902)])):
    scribble(q, SKIN, 20, 8, 9, 0.55)
    x0, x1 = q[2][0], q[3][0]
    for i, y in enumerate((826, 846, 866, 886, 904)):
        line([(x0 + 1, y + R.normal(0, 2)), ((x0 + x1) / 2, y + 3), (x1 + 1, y + R.normal(0, 2))], GREEN if i % 2 == 0 else "#f4efe2", 11, 0.8, amp=1.2, over=1)
    line(q[:3], BROWN, 6, 0.8)
    line(q[3:], BROWN, 6, 0.8)
    scribble(sh, BLUE if False else "#5a3a33", 10, 7, 9, 0.85, 2)
    line(sh, BLACK, 6.5, 0.85, True, amp=1.8)
    line([(sh[0][0], sh[0][1] + 14), ((sh[0][0] + sh[7][0]) / 2, 930), (sh[7][0] - 2, sh[7][1] + 18)], BLACK, 6)
    c = ((sh[0][0] + sh[7][0]) / 2, 931)
    line(ellipse(*c, 5, 5), YELLOW, 6, 0.95, True, amp=0.5)

# sleeves, arms, hands
la = [(308, 476), (262, 512), (216, 566), (238, 590), (282, 566), (318, 532)]
scribble(la, BLUE, 35, 8, 9, 0.72)
scribble([(222, 562), (182, 606), (170, 634), (192, 648), (214, 622), (242, 590)], SKIN, 50, 8, 9, 0.58)
line([(308, 474), (258, 510), (214, 562), (178, 606)], BLUE, 7, 0.85)
line([(320, 536), (280, 568), (240, 594), (204, 632)], BLUE, 7, 0.85)
line([(212, 558), (226, 580), (242, 596)], BLUE, 8, 0.9)
scribble(ellipse(176, 634, 25, 23), SKIN, 70, 7, 9, 0.65)
line(ellipse(176, 634, 26, 24), BROWN, 5.5, 0.85, True, amp=1.6)
for a, b in (((152, 626), (128, 616)), ((150, 640), (122, 646)), ((160, 656), (140, 678)), ((178, 660), (174, 688)), ((196, 650), (212, 670))):
    line([a, b], SKIN, 10, 0.85, over=0)
    line([a, b], BROWN, 4.5, 0.55, over=1)
ra = [(474, 478), (536, 494), (586, 478), (604, 502), (560, 536), (500, 540), (466, 528)]
scribble(ra, BLUE, 140, 8, 9, 0.72)
scribble([(584, 478), (618, 444), (642, 412), (672, 428), (640, 470), (606, 504)], SKIN, 130, 8, 9, 0.58)
line([(478, 474), (540, 492), (586, 474), (622, 440), (640, 414)], BLUE, 7, 0.85)
line([(470, 534), (520, 544), (566, 536), (608, 504), (644, 470), (668, 432)], BLUE, 7, 0.85)
line([(584, 472), (598, 490), (610, 506)], BLUE, 8, 0.9)
scribble(ellipse(662, 402, 26, 25), SKIN, 30, 7, 9, 0.65)
line(ellipse(662, 402, 27, 26), BROWN, 5.5, 0.85, True, amp=1.6)
for a, b in (((640, 388), (622, 376)), ((648, 380), (638, 358)), ((676, 380), (690, 358)), ((686, 392), (708, 382)), ((688, 408), (712, 412))):
    line([a, b], SKIN, 10, 0.85, over=0)
    line([a, b], BROWN, 4.5, 0.55, over=1)
line([(648, 414), (664, 420), (680, 412)], BROWN, 4.5, 0.7)

# blue frock below the pinafore, then the pinafore with its dots
scribble([(262, 742), (252, 792), (300, 800), (396, 804), (500, 798), (552, 786), (536, 738)], BLUE, 95, 8, 9, 0.72)
line([(250, 794), (276, 784), (304, 802), (336, 790), (368, 806), (400, 794), (434, 806), (468, 792), (502, 802), (530, 786), (556, 790)], BLUE, 8, 0.9)
line([(264, 744), (250, 796)], BLUE, 7, 0.85)
line([(536, 742), (556, 790)], BLUE, 7, 0.85)
pin = [(322, 468, 1), (330, 540), (306, 612), (280, 690), (256, 752, 1), (320, 764), (394, 768), (470, 764), (542, 748, 1), (510, 680), (478, 606), (462, 540), (466, 468, 1), (440, 478), (394, 490), (348, 480)]
m = S.area(pin)
S.knock(m * 0.85)
scribble(None, YELLOW, 72, 8.5, 10, 0.72, 4, m)
scribble(None, YELLOW, 100, 17, 9, 0.55, 0, m)
line(pin, ORANGE, 7.5, 0.85, True, amp=2.4)
for x, y in ((352, 520), (396, 512), (438, 522), (372, 556), (420, 560), (346, 618), (392, 606), (440, 622), (322, 668), (370, 664), (418, 670), (466, 664), (300, 718), (346, 722), (396, 716), (446, 724), (496, 714)):
    x, y = x + R.normal(0, 3), y + R.normal(0, 3)
    put([S.pull(ellipse(x, y, 5, 5), 7, True, 1.0, pressure=0.95, over=3)], RED, 0.6)
# sash and a pocket
line([(318, 588), (356, 596), (394, 598), (434, 596), (470, 586)], RED, 15, 0.85, again=True)
line([(420, 640), (424, 690), (472, 688), (468, 638)], ORANGE, 6, 0.85)
line([(414, 642), (444, 648), (474, 640)], ORANGE, 7, 0.9)

# neck
scribble([(372, 424), (370, 470), (394, 486), (420, 470), (418, 424)], SKIN, 80, 7, 9, 0.65)
line([(370, 432), (370, 472)], BROWN, 5, 0.7)
line([(420, 430), (422, 470)], BROWN, 5, 0.7)
line([(348, 474), (372, 492), (394, 480, 1), (416, 494), (442, 474)], "#f7f3ea", 15, 0.95, over=0)
line([(346, 472), (370, 494), (394, 482, 1), (418, 494), (444, 472)], BLUE, 5, 0.8)

# head: face, hair, plaits
head = ellipse(394, 306, 130, 128, 0, 12)
m = S.area(head)
S.knock(m * 0.9)
scribble(None, SKIN, 55, 9, 11, 0.56, 2, m)
scribble(None, SKIN, 140, 15, 10, 0.36, 0, m)
line(head, BROWN, 7, 0.85, True, amp=2.2)
for cx, cy in ((316, 350), (474, 346)):
    t = np.linspace(0, 7 * np.pi, 60)
    put([S.pull(np.stack([cx + (4 + t * 0.75) * np.cos(t), cy + (4 + t * 0.7) * np.sin(t)], 1), 7, raw=True, amp=1, pressure=0.62, pvary=0.2)], PINK, 0.4)
hair = [(262, 322), (254, 262), (280, 204), (336, 168), (394, 160), (456, 168), (508, 206), (534, 262), (528, 322), (510, 270), (474, 228), (420, 208), (396, 196), (366, 210), (314, 232), (280, 272)]
m = S.area(hair)
scribble(None, BROWN, 25, 8, 10, 0.82, 4, m * (xx < 396))
scribble(None, BROWN, 152, 8, 10, 0.82, 4, m * (xx >= 394))
line([(394, 164), (396, 200)], "#4b2a16", 5, 0.8)
line([(258, 322), (254, 262), (282, 202), (338, 166), (394, 158), (458, 166), (510, 204), (536, 262), (530, 322)], "#5b3419", 7.5, 0.85)
for sx, (x, y) in ((-1, (256, 326)), (1, (532, 322))):
    for i in range(5):
        cx, cy, r = x + sx * (10 + i * 9), y + 16 + i * 27, 20 - i * 1.3
        b = ellipse(cx, cy, r, r * 0.86, 24 * sx, 8)
        scribble(b, BROWN, 40 + 90 * (i % 2), 6, 8, 0.85, 1)
        line(b, "#5b3419", 5.5, 0.8, True, amp=1.3)
    ex, ey = x + sx * 54, y + 152
    line([(ex, ey), (ex - 6, ey + 26)], BROWN, 8, 0.85)
    line([(ex, ey), (ex + 7, ey + 24)], BROWN, 8, 0.85)
    for d in (-1, 1):
        bow = [(ex, ey), (ex + d * 20, ey - 19), (ex + d * 33, ey - 6), (ex + d * 30, ey + 13), (ex + d * 16, ey + 10)]
        scribble(bow, RED, 60, 6, 8, 0.92, 1)
        line(bow, "#a81f2c", 5, 0.85, True, amp=1.2)
    line(ellipse(ex, ey, 4, 5), "#a81f2c", 7, 0.95, True, amp=0.5)
# features
for ex, ey, s in ((346, 308, -1), (444, 304, 1)):
    S.cover(S.area(ellipse(ex, ey, 19, 21)) * 0.85, "#fbf7ea")
    line(ellipse(ex, ey, 19, 22), BLACK, 5, 0.85, True, amp=1.2)
    scribble(ellipse(ex + 2, ey + 3, 9, 11), BLUE, 30, 5, 7, 0.9, 0)
    put([S.pull(ellipse(ex + 2, ey + 3, 3, 3.5), 6, True, 0.6, pressure=0.98)], BLACK, 0.8)
    for d in (-12, 0, 12):
        line([(ex + d, ey - 21 + abs(d) * 0.2), (ex + d * 1.6, ey - 34 + abs(d) * 0.2)], BLACK, 4, 0.8, over=0, amp=0.8)
    line([(ex - 21, ey - 45 - 2 * s), (ex, ey - 54), (ex + 22, ey - 45 + 2 * s)], BROWN, 7, 0.85)
line([(392, 322), (386, 342), (398, 348)], BROWN, 5, 0.85)
line([(344, 372), (364, 394), (396, 402), (428, 392), (448, 368)], RED, 8.5, 0.92)
scribble([(352, 378), (396, 384), (440, 376), (424, 394), (396, 402), (368, 396)], RED, 5, 6, 7, 0.7, 0)
line([(372, 386), (396, 389), (422, 385)], "#fdf8ee", 7, 0.95, over=0)
# grass under her feet
for i in range(26):
    x = 210 + i * 15 + R.normal(0, 4)
    line([(x, 1000 + R.normal(0, 4)), (x + R.normal(2, 5), 980 + R.normal(0, 6))], GREEN, 6, 0.6, over=0, amp=0.8) if not 250 < x < 550 else line([(x, 1008 + R.normal(0, 3)), (x + R.normal(1, 3), 994 + R.normal(0, 2))], GREEN, 6, 0.6, over=0, amp=0.8)

S.img = bend(S.img, [(50, -8), (420, -12), (640, 0), (990, 10)], (394, 440, -4.0, 420, 500, 165))
S.save(sys.argv[1], 86, soft=0.45)
