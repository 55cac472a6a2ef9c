"""Makes table.json: areas, overlaps, buffers and distances of invented shapes, by Shapely (BSD licence).

Run once with Shapely 2.2.0 (GEOS 3.14.1): python3 make.py > table.json
The table is the outside reference of tests/chart_geometry.rs. It is not made in a build.
"""

import json
import math

import shapely
from shapely.geometry import LineString, Point, Polygon

SHAPES = {
    "square": [(0, 0), (10, 0), (10, 10), (0, 10)],
    "shifted": [(5, 5), (15, 5), (15, 15), (5, 15)],
    "touches-side": [(10, 0), (20, 0), (20, 10), (10, 10)],
    "touches-corner": [(10, 10), (14, 10), (14, 14), (10, 14)],
    "inside": [(2, 2), (4, 2), (4, 4), (2, 4)],
    "apart": [(30, 30), (33, 30), (33, 34), (30, 34)],
    "hook": [(0, 0), (12, 0), (12, 12), (9, 12), (9, 3), (3, 3), (3, 12), (0, 12)],
    "star": [(round(5 + (8 if k % 2 else 3) * math.sin(k * math.pi / 5), 3), round(5 - (8 if k % 2 else 3) * math.cos(k * math.pi / 5), 3)) for k in range(10)],
    "sliver": [(0, 5), (20, 5.05), (20, 5.1), (0, 5.1)],
    "belly": [(4.6, 136), (5.4, 131), (9, 129.3), (12.8, 129.3), (15, 134), (15, 139), (14, 145), (11.5, 148), (8.5, 148), (5.6, 145)],
    "calf-strip": [(3.8, 127), (9.7, 127.4), (9.7, 145.2), (4.8, 144.8)],
    "mirrored-strip": [(-3.8, 127), (-9.7, 127.4), (-9.7, 145.2), (-4.8, 144.8)],
    "spiral": [(0, 0), (9, 0), (9, 9), (2, 9), (2, 4), (5, 4), (5, 6), (4, 6), (4, 7), (7, 7), (7, 2), (0, 2)],
    "ring-part": [(round(6 * math.cos(t), 3), round(6 * math.sin(t), 3)) for t in [k * math.pi / 12 for k in range(13)]]
    + [(round(4 * math.cos(t), 3), round(4 * math.sin(t), 3)) for t in [k * math.pi / 12 for k in reversed(range(13))]],
    "triangle": [(0, 0), (7, 1), (3, 9)],
}

LINES = {
    "straight": [(0, 0), (30, 0)],
    "bent": [(0, 0), (10, 0), (10, 10)],
    "sharp": [(0, 0), (10, 0), (1, 2)],
    "sweep": [(7.8, 145.5), (7, 142), (6.8, 132)],
    "crossing": [(0, 0), (10, 10), (10, 0), (0, 10)],
}

POINTS = [(5, 5), (-3, 4), (11.5, 6), (6, 8), (7, 142), (2, 142), (16, 150)]


def main():
    polygons = {name: Polygon(ring) for name, ring in SHAPES.items()}
    assert all(p.is_valid for p in polygons.values())
    names = list(polygons)
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    table = {
        "source": "Shapely %s, GEOS %s; tests/reference/chart/make.py" % (shapely.__version__, ".".join(map(str, shapely.geos_version))),
        "shapes": {n: {"ring": [list(c) for c in SHAPES[n]], "area": polygons[n].area} for n in names},
        "overlaps": [[a, b, polygons[a].intersection(polygons[b]).area] for a, b in pairs],
        "distances": [[n, list(p), polygons[n].distance(Point(p))] for n in names for p in POINTS],
        "lines": {n: {"line": [list(c) for c in LINES[n]], "length": LineString(LINES[n]).length} for n in LINES},
        # 64 pieces for a quarter turn, so that the table is a circle to four digits.
        "buffers": [[n, r, LineString(LINES[n]).buffer(r, quad_segs=64).area] for n in LINES for r in (0.75, 1.0, 2.5)],
        "swaths": [
            [n, r, s, LineString(LINES[n]).buffer(r, quad_segs=64).intersection(polygons[s]).area]
            for n in LINES
            for r in (1.0, 2.5)
            for s in ("square", "hook", "belly", "calf-strip")
        ],
        "line-distances": [[n, list(p), LineString(LINES[n]).distance(Point(p))] for n in LINES for p in POINTS],
    }
    print(json.dumps(table, indent=1))


main()
