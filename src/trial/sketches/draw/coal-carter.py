"""Coal-carter: a broad man with a sack, wax crayon on cream paper, rough strokes, scanned."""
import sys
from hand_two import *

W, H = 900, 1260
CREAM = (246, 234, 206)
h = Hand(W, H, CREAM, 57)
rr = h.rng
T = h.tooth(.95, 2.4, .55)
LINE, SKIN, SKIND, RED = (48, 40, 44), (232, 164, 118), (178, 98, 74), (204, 52, 44)
COAT, COATD, VEST, TROU, TROUD = (74, 92, 116), (40, 48, 70), (238, 226, 190), (138, 98, 62), (84, 56, 44)
CAP, CAPD, SACK, SACKD, BOOT, HAIR = (110, 116, 84), (62, 66, 54), (172, 138, 92), (112, 80, 54), (62, 48, 48), (72, 52, 44)
YEL = (226, 174, 60)


def fill(shape, col, angle=60, **k):
    return h.hatched(shape, col, T, angle, **{**dict(gap=9, width=9, press=.8, base=.34, reach=1.15, softness=.42, length=90, spill=4, turn=7, opaque=.55, body=.95), **k})


def line(pts, w=7, col=LINE, **k):
    h.scribe(pts, w, col, T, **{**dict(wob=2.2, again=.35, taper=(.7, .5), reach=1.3, softness=.45, opaque=.8), **k})


def clear(shape, grow=0):
    """The hand left this place bare for the nearer thing."""
    h.over(gaussian_filter(h.mask(np.asarray(shape)), 1.5), CREAM)


# ---- boots
for b, t in ((curve([(286, 1098), (384, 1100), (390, 1140), (388, 1186, 1), (320, 1194), (240, 1190), (222, 1180), (228, 1160), (274, 1142)], True), -1),
             (curve([(492, 1098), (592, 1096), (602, 1138), (654, 1156), (664, 1178), (648, 1190), (570, 1194), (494, 1186, 1), (486, 1140)], True), 1)):
    fill(b, BOOT, 20, base=.45)
    fill(b, (30, 26, 32), 70, press=.5, base=.1)
    line(b, 7, (32, 28, 32), smooth=False)
line([(226, 1186), (320, 1194), (388, 1188)], 13, (30, 26, 30))
line([(494, 1188), (570, 1194), (658, 1184)], 13, (30, 26, 30))
line([(240, 1162), (258, 1154), (272, 1160)], 7, (150, 124, 108), again=0)
line([(622, 1156), (640, 1160), (648, 1170)], 7, (150, 124, 108), again=0)
for y in (1112, 1128, 1144):
    line([(306, y), (336, y + 5)], 5, (200, 176, 140), again=0)
    line([(532, y), (562, y + 3)], 5, (200, 176, 140), again=0)

# ---- trousers: wide, bagging over the boots, a patch at the knee
tr = curve([(300, 712, 1), (284, 800), (276, 900), (274, 1000), (264, 1092, 1), (330, 1118), (404, 1104, 1), (410, 1000), (428, 880), (442, 822, 1), (460, 880), (474, 1000),
            (476, 1106, 1), (546, 1118), (612, 1092, 1), (604, 1000), (602, 900), (596, 800), (584, 712, 1)], True)
clear(tr)
m = fill(tr, TROU, 78)
fill(curve([(372, 800), (440, 810), (430, 880), (412, 1000), (404, 1104), (362, 1110), (380, 960)], True), TROUD, 64, press=.7, base=.08, keep=m)
fill(curve([(548, 740), (596, 740), (606, 1000), (612, 1092), (560, 1112), (568, 960)], True), TROUD, 64, press=.7, base=.08, keep=m)
line(tr, 7, smooth=False)
line([(442, 820), (440, 780), (444, 740)], 5)
for p in ([(280, 1060), (320, 1078), (362, 1070)], [(500, 1078), (548, 1080), (590, 1062)], [(292, 930), (330, 946)], [(556, 936), (594, 924)]):
    line(p, 5, TROUD, again=0)
pt = curve([(492, 900, 1), (556, 894, 1), (562, 958, 1), (498, 966, 1)], True)
clear(pt)
fill(pt, (196, 150, 88), 10, gap=7, width=7)
line(pt, 5, smooth=False)
for q in ((486, 914), (488, 936), (492, 956), (510, 892), (534, 890), (562, 910), (566, 936), (516, 970), (542, 968)):
    line([q, (q[0] + 8, q[1] + 3)], 3.5, again=0)

# ---- sack behind the head on the far shoulder
sack = curve([(500, 372), (520, 300), (560, 236), (620, 176), (690, 156), (760, 186), (806, 250), (812, 330), (786, 400), (724, 436), (640, 436), (560, 424)], True)
clear(sack)
m = fill(sack, SACK, 40, gap=10, width=10)
fill(curve([(700, 190), (770, 190), (814, 270), (812, 340), (784, 402), (690, 440), (560, 426), (640, 410), (740, 360), (764, 280)], True), SACKD, 58, press=.75, base=.08, keep=m)
line(sack, 8, smooth=False)
ear = curve([(690, 160), (684, 120), (708, 92), (732, 104), (752, 88), (768, 116), (748, 150), (740, 176)], True)
clear(ear)
fill(ear, SACK, 80)
line(ear, 7, smooth=False)
line([(680, 160), (712, 170), (750, 168)], 11, (150, 62, 40), again=1)
for p in ([(704, 180), (690, 230), (700, 280)], [(734, 184), (744, 240), (738, 290)], [(560, 300), (610, 330), (640, 372)], [(640, 240), (660, 280)]):
    line(p, 5, SACKD, again=0)
for _ in range(16):                                      # coal dust
    x, y = rr.uniform(560, 790), rr.uniform(210, 410)
    line([(x, y), (x + rr.uniform(-14, 14), y + rr.uniform(-8, 8)), (x + rr.uniform(-6, 20), y + rr.uniform(4, 12))], 6, (70, 62, 62), press=.6, again=0)

# ---- vest and braces
vest = curve([(366, 398), (346, 520), (334, 640), (330, 728, 1), (440, 744), (556, 728, 1), (552, 640), (534, 520), (512, 398)], True)
clear(vest)
m = fill(vest, VEST, 82, press=.8)
for x in range(356, 540, 26):                            # thin stripes
    line([(x + (440 - x) * .12, 420), (x, 560), (x - (440 - x) * .05, 726)], 4, (164, 92, 84), again=0, press=.75, clip=m)
for p in ([(390, 400), (372, 540), (366, 722)], [(492, 400), (508, 540), (514, 722)]):
    line(p, 17, (116, 60, 44), again=.8, taper=(.9, .9))
    line([(p[2][0] - 9, 694), (p[2][0] + 9, 694)], 8, YEL, again=0)
for y in (560, 620, 680):
    line(oval(440, y, 5, 5), 5, smooth=False, again=0)
belt = curve([(326, 716), (440, 734), (560, 716), (562, 744), (440, 762), (324, 744)], True)
clear(belt)
fill(belt, TROUD, 4, base=.4)
line([(326, 718), (440, 735), (560, 718)], 5)

# ---- near arm (viewer's left): hangs wide, fist closed
arm = tube([(296, 452, 56), (244, 540, 54), (202, 640, 48), (186, 690, 44), (184, 740, 40), (192, 786, 38)], ends=(True, False))
hand = curve([(158, 786), (224, 788), (236, 818), (228, 852), (204, 868), (170, 862), (150, 836)], True)
clear(hand)
fill(hand, SKIN, 50, gap=7, width=7)
line(hand, 6, smooth=False)
for p in ([(172, 862), (170, 842)], [(190, 867), (188, 846)], [(208, 866), (206, 846)], [(224, 800), (206, 812), (204, 834), (216, 842)]):
    line(p, 4.5, again=0)
fill(oval(184, 846, 22, 12), (90, 76, 74), 20, press=.5, base=.05)

# ---- open jacket: two fronts
lf = curve([(372, 386, 1), (300, 410), (262, 470), (262, 600), (250, 720), (246, 812, 1), (300, 828), (352, 818, 1), (346, 700), (350, 560), (384, 440)], True)
rf = curve([(506, 386, 1), (572, 404), (622, 450), (624, 600), (634, 720), (640, 808, 1), (588, 828), (536, 816, 1), (540, 700), (530, 560), (496, 440)], True)
for f, sh in ((lf, [(250, 560), (290, 560), (280, 830), (240, 820)]), (rf, [(596, 440), (640, 440), (646, 820), (590, 830), (600, 600)])):
    clear(f)
    m = fill(f, COAT, 74)
    fill(curve(sh, True), COATD, 60, press=.75, base=.1, keep=m)
    line(f, 7.5, (34, 36, 52), smooth=False)
for p in ([(372, 390, 1), (330, 470), (350, 500, 1), (336, 520, 1), (352, 580)], [(506, 390, 1), (552, 470), (530, 500, 1), (546, 520, 1), (528, 580)]):
    line(p, 6, (34, 36, 52))
for pk in ([(266, 690, 1), (334, 700, 1), (332, 772), (300, 780), (264, 768)], [(556, 700, 1), (622, 690, 1), (626, 766), (590, 780), (558, 770)]):
    c = curve(pk, True)
    line(c, 5.5, (34, 36, 52), smooth=False)
    line([(pk[0][0], pk[0][1] + 14), (pk[1][0], pk[1][1] + 14)], 4.5, (34, 36, 52), again=0)
for q in ((336, 620), (334, 660), (544, 620), (548, 660)):
    fill(oval(*q, 7, 7), YEL, 20, gap=5, width=5, base=.5)
    line(oval(*q, 7, 7), 3.5, smooth=False, again=0)
clear(arm[0])
m = fill(arm[0], COAT, 66)
fill(np.vstack([arm[2], (arm[2] * .5 + arm[1] * .5)[::-1]]) if arm[2][:, 0].mean() > arm[1][:, 0].mean() else np.vstack([arm[1], (arm[2] * .5 + arm[1] * .5)[::-1]]),
     COATD, 58, press=.7, base=.1, keep=m)
line(arm[1], 7.5, (34, 36, 52), smooth=False)
line(arm[2], 7.5, (34, 36, 52), smooth=False)
line([(306, 398), (264, 410), (240, 448)], 7.5, (34, 36, 52))
line([(146, 778), (190, 792), (234, 782)], 11, COATD, again=1)
for p in ([(176, 650), (204, 664), (226, 658)], [(164, 694), (190, 700), (214, 690)], [(280, 520), (276, 470)]):
    line(p, 5, (34, 36, 52), again=0)
ep = curve([(168, 634, 1), (210, 622, 1), (220, 676, 1), (176, 690, 1)], True)      # elbow patch
fill(ep, (122, 84, 60), 20, gap=7, width=7)
line(ep, 4.5, smooth=False)

# ---- far arm (viewer's right): raised, hand on the sack
up = tube([(582, 446, 54), (650, 520, 52), (714, 560, 46)])
fo = tube([(720, 566, 46), (738, 500, 42), (724, 430, 36), (712, 400, 34)], ends=(True, False))
clear(up[0])
m = fill(up[0], COAT, 30)
fill(curve([(570, 490), (640, 560), (720, 610), (750, 580), (700, 560), (640, 520)], True), COATD, 24, press=.75, base=.1, keep=m)
line(up[0][4:-4], 7.5, (34, 36, 52), smooth=False)
clear(fo[0])
m = fill(fo[0], COAT, 100)
fill(curve([(744, 400), (784, 500), (766, 590), (720, 610), (748, 500)], True), COATD, 80, press=.75, base=.1, keep=m)
for s in (fo[1], fo[2]):
    line(s, 7.5, (34, 36, 52), smooth=False)
line([(676, 574), (706, 606), (744, 604), (764, 574)], 7.5, (34, 36, 52))
line([(674, 560), (700, 548)], 5, (34, 36, 52))
line([(676, 402), (712, 410), (750, 398)], 11, COATD, again=1)
hd = curve([(684, 398), (676, 366), (684, 330), (698, 318), (708, 328), (718, 312), (732, 316), (738, 328), (752, 326), (758, 344), (754, 376), (742, 398)], True)
hd2 = curve([(686, 390), (664, 374), (650, 352), (660, 344), (678, 356)], True)
for q in (hd2, hd):
    clear(q)
    fill(q, SKIN, 70, gap=7, width=7)
    line(q, 6, smooth=False)
for p in ([(708, 328), (706, 356)], [(738, 330), (732, 356)], [(722, 322), (720, 352)]):
    line(p, 4.5, again=0)

# ---- neck and scarf
nk = curve([(382, 330), (378, 392), (440, 420), (498, 392), (492, 330)], True)
clear(nk)
fill(nk, SKIN, 70)
fill(nk, SKIND, 40, press=.6, base=.1)
tail = curve([(404, 420), (386, 480), (390, 560), (396, 580, 1), (442, 574, 1), (440, 500), (446, 428)], True)
clear(tail)
m = fill(tail, RED, 84, base=.4)
for y in (470, 500, 530):
    line([(386, y + 6), (414, y + 10), (446, y)], 7, YEL, again=.3, clip=m)
line(tail, 6.5, (110, 26, 32), smooth=False)
for x in range(398, 444, 8):
    line([(x, 578 - (x - 396) * .12), (x + rr.normal(0, 3), 602)], 4.5, RED, again=0)
sc = curve([(366, 362), (360, 392), (388, 424), (430, 438), (480, 428), (514, 396), (512, 362), (480, 384), (436, 394), (396, 384)], True)
clear(sc)
m = fill(sc, RED, 12, base=.45)
for x in (384, 414, 448, 480, 502):
    line([(x - 4, 376), (x + 2, 426)], 7, YEL, again=.2, clip=m)
line(sc, 6.5, (110, 26, 32), smooth=False)
kn = oval(424, 428, 24, 20, 20)
clear(kn)
fill(kn, RED, 40, base=.5)
line(kn, 6, (110, 26, 32), smooth=False)

# ---- head, a little to the viewer's left, leaning from the sack
for x in (344,):
    e = oval(352, 262, 14, 26, 8)
    clear(e)
    fill(e, SKIN)
    line(e, 6, smooth=False)
e2 = oval(520, 262, 14, 26, -8)
clear(e2)
fill(e2, SKIN)
line(e2, 6, smooth=False)
face = curve([(354, 216), (354, 270), (366, 320), (398, 352), (436, 360), (474, 352), (506, 318), (518, 270), (518, 214), (440, 180)], True)
clear(face)
m = fill(face, SKIN, 62, gap=8, width=8)
fill(curve([(492, 200), (520, 210), (518, 280), (506, 320), (470, 354), (440, 360), (484, 310)], True), SKIND, 50, press=.65, base=.08, keep=m)
stub = curve([(356, 286), (372, 330), (402, 354), (438, 362), (474, 354), (504, 326), (516, 286), (488, 300), (470, 288), (432, 284), (396, 288), (380, 302)], True)
fill(stub, (112, 90, 84), 84, gap=8, width=6, press=.62, base=.1, keep=m, length=20)
line([(354, 220), (354, 270), (366, 320), (398, 352), (436, 361), (474, 352), (506, 318), (518, 270), (518, 220)], 6.5)
for x in (382, 486):
    fill(oval(x, 276, 20, 15), (216, 92, 72), 30, gap=7, width=7, press=.7, base=.1, keep=m)
nose = curve([(428, 244), (410, 280), (416, 294), (436, 298), (456, 292), (456, 278), (448, 250)], True)
clear(nose)
fill(nose, (226, 134, 100), 60, gap=6, width=6, base=.4)
line([(424, 250), (409, 280), (416, 295), (436, 299), (457, 292)], 5.5)
for x in (398, 470):
    h.over(gaussian_filter(h.mask(oval(x, 250, 14, 10)), 1) * .85, (250, 246, 232))
    line([(x - 17, 250), (x - 2, 239), (x + 16, 249)], 5, again=.6)
    line(oval(x - 3, 250, 4.2, 5), 6.5, (34, 30, 34), smooth=False, again=1, press=1)
    line([(x - 12, 261), (x + 10, 261)], 3.5, SKIND, again=0)
line([(376, 226), (396, 218), (420, 230)], 9, HAIR, again=1)
line([(450, 229), (474, 217), (496, 226)], 9, HAIR, again=1)
line([(402, 322), (432, 332), (472, 318)], 6.5, (120, 42, 40), again=1, press=1)
line([(420, 342), (446, 342)], 4, SKIND, again=0)
for q in ((372, 300), (496, 306), (462, 340)):            # coal smuts
    line([(q[0], q[1]), (q[0] + 12, q[1] + 4), (q[0] + 4, q[1] + 8)], 6, (88, 76, 76), press=.6, again=0)
for x, s in ((356, -1), (514, 1)):                        # hair under the cap
    for k in range(5):
        line([(x + s * rr.uniform(-6, 6), 206), (x + s * rr.uniform(-4, 5), 246)], 6, HAIR, again=0)
cap = curve([(344, 204), (324, 180), (336, 148), (390, 122), (450, 118), (512, 136), (546, 172), (540, 202), (524, 212), (440, 194)], True)
clear(cap)
m = fill(cap, CAP, 24, base=.36)
fill(curve([(480, 124), (548, 160), (544, 206), (500, 204), (510, 170)], True), CAPD, 50, press=.75, base=.1, keep=m)
for k in range(4):                                        # a rough check
    line([(370 + 44 * k, 122), (362 + 46 * k, 200)], 5, CAPD, again=0, clip=m, press=.7)
line([(330, 164), (430, 154), (544, 178)], 5, CAPD, again=0, clip=m, press=.7)
line(cap, 7.5, (40, 42, 38), smooth=False)
peak = curve([(338, 202), (392, 188), (456, 188), (500, 202), (470, 216), (400, 220), (340, 228), (322, 220)], True)
clear(peak)
fill(peak, CAPD, 6, base=.5)
line(peak, 7, (34, 36, 34), smooth=False)
fill(oval(446, 121, 13, 8), CAPD, 0, gap=6, width=6, base=.5)
# ground
for k in range(9):
    y = 1190 + 5 * k
    line([(180 + rr.uniform(-20, 50), y), (430, y + 5), (690 + rr.uniform(-60, 40), y - 3)], 10, (150, 138, 124), press=.62, again=0)
h.lean(-.02, -5, 110, 1192)
h.img *= (1 - .004 * np.clip(h.noise(1.1), -2, 2) - .008 * h.noise(100))[..., None]
h.img = gaussian_filter(h.img, (.7, .7, 0))                # a scanner is never quite sharp
h.save(sys.argv[1], 72, light=.04)
