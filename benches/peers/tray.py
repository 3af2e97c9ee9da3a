"""The beads of a tray, for both pipelines."""

import csv
import re

HEX = re.compile(r"#?([0-9a-fA-F]{6})$")


def read(path):
    """Names and sRGB triples of the lines that have a colour; a heading has none."""
    names, colours = [], []
    with open(path, newline="", encoding="utf-8") as file:
        for row in csv.reader(line for line in file if not line.startswith("#")):
            found = [HEX.match(cell.strip()) for cell in row[:3]]
            digits = next((match.group(1) for match in found if match), None)
            if digits:
                names.append(row[0].strip())
                colours.append([int(digits[i : i + 2], 16) for i in (0, 2, 4)])
    return names, colours


def write(path, names, beads):
    """A line of names a row of beads."""
    with open(path, "w", encoding="utf-8") as file:
        for row in beads:
            file.write(" ".join(names[bead] for bead in row) + "\n")
