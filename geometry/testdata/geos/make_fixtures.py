#!/usr/bin/python3
"""Makes sites and measures them with GEOS (Debian: python3-shapely), to compare the Go package with.

    make_fixtures.py [--seed N] [--sites N] > sites.jsonl

One site a line: its family; "sites", the polygons measured to; "bed", the polygon measured; and what GEOS finds:
  area       of the bed
  nearest    distance from the bed to the sites
  farthest   [low, high]: bounds of the largest distance from a point of the bed to the sites. Low is the distance of a point
             of the bed; high is proven by squares no point of which can be farther than its centre and half its diagonal.
  within     [[r, area], …]: area of the bed within r of the sites. The ground within r is the union of the sites and of
             the buffers of their sides, one by one, 256 chords a quadrant (a buffer of a whole concave ring would be simplified
             by GEOS). The chords lie up to r(1 - cos(pi/1024)) = 4.7e-6 r inside the arcs.
  mean       mean distance of 400 to 3600 points of the bed, one at random in each square of a grid (a few per cent)
"""
import argparse
import heapq
import json
import math
import random
import sys

from shapely.affinity import rotate, translate
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union
from shapely.prepared import prep


def rectangle(x, y, w, h, turn=0.0):
    return rotate(box(x, y, x + w, y + h), turn, origin=(x, y))


def star(rnd, x, y, size, corners):
    """A random outline that goes once round its centre: concave mostly."""
    turn = rnd.uniform(0, 2 * math.pi)
    ring = []
    for i in range(corners):
        a = turn + 2 * math.pi * (i + rnd.uniform(-0.3, 0.3)) / corners
        d = size * rnd.uniform(0.25, 1)
        ring.append((x + d * math.cos(a), y + d * math.sin(a)))
    return Polygon(ring)


def tree(rnd, x, y, r):
    n = rnd.choice([8, 12, 24])
    return Polygon([(x + r * math.cos(2 * math.pi * i / n), y + r * math.sin(2 * math.pi * i / n)) for i in range(n)])


def bent_strip(rnd, x, y):
    line = [(x, y)]
    heading = rnd.uniform(0, 2 * math.pi)
    for _ in range(rnd.randint(2, 4)):
        d = rnd.uniform(6, 20)
        line.append((line[-1][0] + d * math.cos(heading), line[-1][1] + d * math.sin(heading)))
        heading += rnd.uniform(-1.2, 1.2)
    return LineString(line).buffer(rnd.uniform(0.4, 1.5), cap_style=2, join_style=2)


def bed(rnd, x, y):
    return rectangle(x, y, rnd.uniform(3, 30), rnd.uniform(0.75, 1.5), rnd.uniform(0, 180))


def some(rnd, span, n):
    shapes = []
    for _ in range(n):
        x, y = rnd.uniform(0, span), rnd.uniform(0, span)
        kind = rnd.randrange(4)
        if kind == 0:
            shapes.append(rectangle(x, y, rnd.uniform(4, 40), rnd.uniform(0.5, 3), rnd.uniform(0, 180)))
        elif kind == 1:
            shapes.append(tree(rnd, x, y, rnd.uniform(0.5, 4)))
        elif kind == 2:
            shapes.append(star(rnd, x, y, rnd.uniform(2, 10), rnd.randint(3, 14)))
        else:
            shapes.append(bent_strip(rnd, x, y))
    return shapes


def grid(rnd, low, high):
    """A length in whole decimetres, so that shapes share sides and corners exactly."""
    return rnd.randint(low * 10, high * 10) / 10


def family_rotated(rnd):
    return some(rnd, 80, rnd.randint(1, 7)), bed(rnd, rnd.uniform(0, 80), rnd.uniform(0, 80))


def family_slivers(rnd):
    thin = [rectangle(rnd.uniform(0, 40), rnd.uniform(0, 40), rnd.uniform(5, 60), rnd.choice([0.001, 0.01, 0.05]),
                      rnd.uniform(0, 180)) for _ in range(rnd.randint(1, 5))]
    target = rnd.choice([bed(rnd, 20, 20), rectangle(20, 20, 30, 0.002, rnd.uniform(0, 180)),
                         Polygon([(0, 0), (40, 0.01), (80, 0)])])
    return thin, target


def family_shared(rnd):
    """Blocks on one grid, side by side, the bed too."""
    shapes, x = [], 0.0
    for _ in range(rnd.randint(2, 5)):
        w = grid(rnd, 1, 8)
        shapes.append(box(x, 0, x + w, grid(rnd, 1, 4)))
        x += w
    target = box(grid(rnd, 0, 4), -grid(rnd, 1, 3), grid(rnd, 5, 25), 0)
    if rnd.random() < 0.3:
        target = box(0, -5, x, 0).difference(box(1, -4, 3, -1))
    turn = rnd.choice([0, 0, 90, 30, rnd.uniform(0, 360)])
    return [rotate(s, turn, origin=(0, 0)) for s in shapes], rotate(target, turn, origin=(0, 0))


def family_holes(rnd):
    a, b = grid(rnd, 20, 50), grid(rnd, 15, 40)
    ring = box(0, 0, a, b).difference(box(2, 2, a - 2, b - 2))
    target = box(4, 4, a - 4, b - 4).difference(rectangle(a / 2 - 2, b / 2 - 1, 4, 2, rnd.uniform(0, 40)))
    turn = rnd.choice([0, rnd.uniform(0, 360)])
    shapes = [ring] + some(rnd, 30, rnd.randint(0, 2))
    return [rotate(s, turn, origin=(0, 0)) for s in shapes], rotate(target, turn, origin=(0, 0))


def family_bed_in_habitat(rnd):
    outer = star(rnd, 20, 20, 30, rnd.randint(5, 12)).union(box(10, 10, 30, 30))
    return [outer] + some(rnd, 40, rnd.randint(0, 2)), bed(rnd, rnd.uniform(12, 20), rnd.uniform(12, 20))


def family_habitat_in_bed(rnd):
    field = rectangle(0, 0, rnd.uniform(30, 60), rnd.uniform(20, 40), rnd.uniform(0, 30))
    return [tree(rnd, rnd.uniform(5, 25), rnd.uniform(8, 18), rnd.uniform(0.3, 3)) for _ in range(rnd.randint(1, 6))], field


def family_touching(rnd):
    w, h, turn = grid(rnd, 5, 20), grid(rnd, 1, 2), rnd.choice([0, 45, rnd.uniform(0, 360)])
    target = box(0, 0, w, h)
    shapes = [rnd.choice([
        box(w, h, w + 3, h + 3),                         # a corner to a corner
        box(-2, 0, 0, h),                                # a whole side
        box(w / 4, h, w / 2, h + 2),                     # part of a side
        Polygon([(w / 2, h), (w / 2 + 3, h + 5), (w / 2 - 3, h + 5)]),  # a corner to a side
    ]) for _ in range(rnd.randint(1, 3))]
    return [rotate(s, turn, origin=(0, 0)) for s in shapes], rotate(target, turn, origin=(0, 0))


def family_nested(rnd):
    shapes = [box(0, 0, 40, 40).difference(box(4, 4, 36, 36)), box(8, 8, 32, 32).difference(box(10, 10, 30, 30)),
              tree(rnd, 20, 20, rnd.uniform(1, 4))]
    a, b = rnd.uniform(4.5, 5.5), rnd.uniform(6, 7.5)
    target = rnd.choice([box(2, 2, 30 + a, 3), bed(rnd, 12, 14), box(a, a, 40 - a, 40 - a).difference(box(b, b, 40 - b, 40 - b))])
    return shapes[:rnd.randint(1, 3)], target


def family_parallel(rnd):
    """Hedges on both sides: the deepest ground is a line, all at one distance."""
    gap, length = rnd.uniform(5, 30), rnd.uniform(20, 80)
    shapes = [box(0, -1, length, 0), box(0, gap, length, gap + 1)]
    if rnd.random() < 0.5:  # each hedge drawn as two, end to end
        cut = rnd.uniform(5, 15)
        shapes = [box(0, -1, cut, 0), box(cut, -1, length, 0), box(0, gap, cut + 2, gap + 1), box(cut + 2, gap, length, gap + 1)]
    target = rectangle(2, gap * 0.3, min(length - 4, rnd.uniform(5, 30)), gap * 0.5, rnd.uniform(-10, 10))
    turn = rnd.choice([0, rnd.uniform(0, 360)])
    return [rotate(s, turn, origin=(0, 0)) for s in shapes], rotate(target, turn, origin=(0, 0))


def family_concave(rnd):
    return some(rnd, 60, rnd.randint(2, 6)), star(rnd, 30, 30, rnd.uniform(5, 25), rnd.randint(6, 16))


def family_parts(rnd):
    target = unary_union([rectangle(rnd.uniform(0, 60), rnd.uniform(0, 60), 10, 1.2, rnd.uniform(0, 90)) for _ in range(3)])
    pair = unary_union([tree(rnd, 10, 10, 2), tree(rnd, 50, 40, 3)])
    return [pair] + some(rnd, 60, rnd.randint(0, 3)), target


def family_far(rnd):
    shapes, target = rnd.choice([family_rotated, family_shared, family_concave, family_touching])(rnd)
    dx, dy = rnd.choice([(5e5, 5e6), (-431234.25, 4999123.5)])
    return [translate(s, dx, dy) for s in shapes], translate(target, dx, dy)


FAMILIES = [family_rotated, family_slivers, family_shared, family_holes, family_bed_in_habitat, family_habitat_in_bed,
            family_touching, family_nested, family_parallel, family_concave, family_parts, family_far]


def sides(shape):
    for p in getattr(shape, "geoms", [shape]):
        for ring in [p.exterior, *p.interiors]:
            c = list(ring.coords)
            for a, b in zip(c, c[1:]):
                if a != b:
                    yield LineString([a, b])


def farthest(target, ground, gap=0.004):
    inside = prep(target)

    def far(x, y):
        return Point(x, y).distance(ground)

    low = 0.0
    for side in sides(target):
        for k in range(5):
            p = side.interpolate(k / 4, normalized=True)
            low = max(low, far(p.x, p.y))
    x0, y0, x1, y1 = target.bounds
    half = max(x1 - x0, y1 - y0) / 2
    cells = [(-(far((x0 + x1) / 2, (y0 + y1) / 2) + half * math.sqrt(2)), (x0 + x1) / 2, (y0 + y1) / 2, half)]
    for _ in range(4000):
        if not cells or -cells[0][0] <= low + gap:
            break
        _, x, y, half = heapq.heappop(cells)
        half /= 2
        for cx, cy in ((x - half, y - half), (x + half, y - half), (x - half, y + half), (x + half, y + half)):
            d = far(cx, cy)
            if d + half * math.sqrt(2) <= low:
                continue
            square = box(cx - half, cy - half, cx + half, cy + half)
            if not inside.intersects(square):
                continue
            if inside.intersects(Point(cx, cy)):
                low = max(low, d)
            elif half < 0.5:
                p = square.intersection(target).representative_point()
                low = max(low, far(p.x, p.y))
            heapq.heappush(cells, (-(d + half * math.sqrt(2)), cx, cy, half))
    return [low, max(low, -cells[0][0] if cells else low)]


def mean(target, ground, rnd):
    x0, y0, x1, y1 = target.bounds
    inside = prep(target)
    n, total, count = 60, 0.0, 0
    for i in range(n):
        for j in range(n):
            p = Point(x0 + (x1 - x0) * (i + rnd.random()) / n, y0 + (y1 - y0) * (j + rnd.random()) / n)
            if inside.contains(p):
                total, count = total + p.distance(ground), count + 1
    return total / count if count >= 400 else None


def polygons(shape):
    def ring(r):
        return [[float(x), float(y)] for x, y in r.coords]
    return [[ring(p.exterior)] + [ring(h) for h in p.interiors] for p in getattr(shape, "geoms", [shape])]


def measured(name, shapes, target, rnd, digits):
    # Round first, and measure what is written.
    def rounded(shape):
        parts = [[[(round(x, digits), round(y, digits)) for x, y in r] for r in p] for p in polygons(shape)]
        parts = [Polygon(p[0], p[1:]) for p in parts]
        return parts[0] if len(parts) == 1 else MultiPolygon(parts)

    shapes, target = [rounded(s) for s in shapes], rounded(target)
    if not all(s.is_valid and s.area > 0 for s in shapes + [target]):
        return None
    # GEOS measures about the bed's middle, so that far from the origin it keeps its digits.
    cx, cy = target.bounds[0], target.bounds[1]
    here = [translate(s, -cx, -cy) for s in shapes]
    bed_here = translate(target, -cx, -cy)
    ground = MultiPolygon([p for s in here for p in getattr(s, "geoms", [s])])
    nearest = min(bed_here.distance(s) for s in here)
    low, high = farthest(bed_here, ground)
    within = []
    for r in [0, low * rnd.uniform(0.3, 0.9), nearest + (low - nearest) * 0.5, round(low * 0.7, 1)]:
        reach = unary_union(here if r == 0 else here + [e.buffer(r, 256) for s in here for e in sides(s)])
        within.append([r, reach.intersection(bed_here).area])
    m = mean(bed_here, ground, rnd)
    return {"family": name, "sites": [polygons(s) for s in shapes], "bed": polygons(target), "area": bed_here.area,
            "nearest": nearest, "farthest": [low, high], "within": within, "mean": m}


def main():
    args = argparse.ArgumentParser()
    args.add_argument("--seed", type=int, default=1)
    args.add_argument("--sites", type=int, default=2400)
    args = args.parse_args()
    rnd = random.Random(args.seed)
    made = 0
    while made < args.sites:
        family = FAMILIES[made % len(FAMILIES)]
        name = family.__name__[len("family_"):].replace("_", " ")
        try:
            shapes, target = family(rnd)
            # A third keep all digits, so that turned shapes share sides but for the rounding.
            site = measured(name, shapes, target, rnd, 12 if made % 3 == 0 else 2 if name != "slivers" else 3)
        except Exception as e:  # GEOS can give up on nearly degenerate overlays: then the site proves nothing
            print(name, e, file=sys.stderr)
            continue
        if site is not None:
            made += 1
            print(json.dumps(site, separators=(",", ":")))


if __name__ == "__main__":
    main()
