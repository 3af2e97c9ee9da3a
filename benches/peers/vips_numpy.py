"""libvips and numpy: decode, window means, k-means, nearest bead by CIEDE2000."""

import sys

import numpy as np
import pyvips

import tray

COLOURS = 12
ROUNDS = 30
STARTS = 5
SEED = 7


def as_lab(pixels):
    """A column of sRGB pixels as an image in CIE Lab."""
    return pyvips.Image.new_from_array(np.asarray(pixels, dtype=np.uint8)[:, None], interpretation="srgb").colourspace("lab")


def clusters(points, random):
    """Lloyd's k-means from some of the points; middles, whose each point is, and the summed error."""
    middles = points[random.choice(len(points), min(COLOURS, len(points)), replace=False)]
    for _ in range(ROUNDS):
        squares = ((points[:, None] - middles[None]) ** 2).sum(axis=2)
        whose = squares.argmin(axis=1)
        middles = np.array(
            [points[whose == k].mean(axis=0) if (whose == k).any() else middles[k] for k in range(len(middles))]
        )
    return middles, whose, squares.min(axis=1).sum()


def main(picture, tray_file, rows, out):
    image = pyvips.Image.new_from_file(picture, access="sequential").colourspace("srgb")[:3]
    columns = max(1, round(rows * image.width / image.height))
    windows = image.shrink(image.width / columns, image.height / rows).cast("uchar").numpy()
    rows, columns = windows.shape[:2]
    seen = as_lab(windows.reshape(-1, 3)).numpy().reshape(-1, 3)
    random = np.random.default_rng(SEED)
    middles, whose, _ = min((clusters(seen, random) for _ in range(STARTS)), key=lambda found: found[2])
    names, beads = tray.read(tray_file)
    owned = as_lab(beads).numpy().reshape(-1, 3)
    pairs = [np.repeat(middles, len(owned), axis=0), np.tile(owned, (len(middles), 1))]
    one, other = [
        pyvips.Image.new_from_array(np.asarray(side, dtype=np.float32)[:, None], interpretation="lab") for side in pairs
    ]
    far = one.dE00(other).numpy().reshape(len(middles), len(owned))
    tray.write(out, names, far.argmin(axis=1)[whose].reshape(rows, columns))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]), sys.argv[4])
