"""Pillow, scikit-learn and colour-science: decode, window means, k-means, nearest bead by CIEDE2000."""

import sys

import colour
import numpy as np
from PIL import Image
from sklearn.cluster import KMeans

import tray

COLOURS = 12
SEED = 7


def lab(srgb):
    """sRGB of 0 to 255 as CIE Lab."""
    return colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.asarray(srgb, dtype=float) / 255.0))


def main(picture, tray_file, rows, out):
    image = Image.open(picture).convert("RGB")
    columns = max(1, round(rows * image.width / image.height))
    windows = np.asarray(image.resize((columns, rows), Image.Resampling.BOX)).reshape(-1, 3)
    seen = lab(windows)
    means = KMeans(COLOURS, n_init=5, random_state=SEED).fit(seen)
    names, beads = tray.read(tray_file)
    far = colour.delta_E(means.cluster_centers_[:, None], lab(beads)[None], method="CIE 2000")
    nearest = far.argmin(axis=1)[means.labels_]
    tray.write(out, names, nearest.reshape(rows, columns))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]), sys.argv[4])
