#!/usr/bin/python3
"""Makes plans and measures them with GEOS (Debian: python3-shapely), to compare the whole assessment with.

    make_fixtures.py [--seed N] [--plans N] > plans.jsonl

One plan a line: "plan", as its file; "ranges" and "radius", what is asked; and what GEOS finds, areas in m²:
  site       area; habitat, the habitat on it with overlaps counted once; cover, by half-month the ground in flower and the
             species that flower on it
  beds       by name: area; refuge, whether there is any; nearest; farthest [low, high], bounds of the largest distance from
             a point of the bed to the refuges (see geometry/testdata/geos/make_fixtures.py, which this builds on);
             within, the area within each range; cover_ground, the ground within the radius of the bed and on the site; cover, as
             the site's, on that ground
Ground that several habitats cover counts once, at the largest share in flower: here the habitats are taken in the order of
their shares, and of each what no earlier one covers. Buffers have 256 chords a quadrant, taken side by side; the chords lie up to
4.7e-6 of the radius inside the arcs.
"""
import argparse
import importlib.util
import json
import os
import random
import uuid

from shapely.geometry import MultiPolygon, Polygon, box, mapping
from shapely.ops import unary_union

HERE = os.path.dirname(os.path.abspath(__file__))


def load(path):
    spec = importlib.util.spec_from_file_location("geometry_fixtures", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


base = load(os.path.join(HERE, *[".."] * 3, "geometry", "testdata", "geos", "make_fixtures.py"))

REFUGES = ["hedgerow", "perennial-strip", "beetle-bank", "wild-margin", "tree"]
HABITATS = REFUGES + ["flower-strip", "cover-crop", "pond"]
MONTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]


def half_months():
    """The 24 half-months as lists of days of the year."""
    first = 1
    for days in MONTHS:
        yield list(range(first, first + 15))
        yield list(range(first + 15, first + days))
        first += days


def month_day(day):
    for month, days in enumerate(MONTHS):
        if day <= days:
            return "%02d-%02d" % (month + 1, day)
        day -= days


def flowers_in(plant, days):
    inside = sum(plant["from"] <= d <= plant["to"] for d in days)
    return 2 * inside >= len(days)


def tidy(shape, digits):
    """Rounded to what is written; None where that spoils it."""
    parts = [[[(round(x, digits), round(y, digits)) for x, y in ring] for ring in p] for p in base.polygons(shape)]
    parts = [Polygon(p[0], p[1:]) for p in parts]
    shape = parts[0] if len(parts) == 1 else MultiPolygon(parts)
    return shape if shape.is_valid and shape.area > 0.01 else None


def around(shape, radius):
    """The ground within a radius: the shape and the buffers of its sides, one by one."""
    return unary_union([shape] + [side.buffer(radius, 256) for side in base.sides(shape)])


def cover(habitats, ground):
    """By half-month: ground in flower at the largest share, and the number of species."""
    for days in half_months():
        shares = []
        species = set()
        for shape, plants in habitats:
            here = shape.intersection(ground)
            if here.area == 0:
                continue
            flowering = [p for p in plants if flowers_in(p, days)]
            species.update(p["plant"] for p in flowering)
            shares.append((min(1.0, sum(p["share"] for p in flowering)), here))
        area, taken = 0.0, Polygon()
        for share, here in sorted(shares, key=lambda s: -s[0]):
            if share > 0:
                area += share * here.difference(taken).area
                taken = taken.union(here)
        yield [area, len(species)]


def feature(kind, name, shape, plants=None):
    f = {"id": str(uuid.UUID(int=feature.rnd.getrandbits(128), version=4)), "kind": kind, "name": name, "geometry": mapping(shape)}
    if plants:
        f["plants"] = [{"plant": p["plant"], "share": p["share"],
                        "bloom": {"from": month_day(p["from"]), "to": month_day(p["to"])}} for p in plants]
    return f


def make(rnd, number):
    feature.rnd = rnd
    digits = 2 if number % 3 else 6
    span = rnd.uniform(30, 90)
    features, habitats, refuges, everything = [], [], [], []

    shapes = base.some(rnd, span, rnd.randint(1, 8))
    if number % 4 == 1:  # strips laid over hedges: much that overlaps
        shapes += [base.rectangle(5, rnd.uniform(0, 10), span - 10, rnd.uniform(1, 3), rnd.uniform(-5, 5)) for _ in range(3)]
    if number % 4 == 2:  # on one grid, side by side
        x = 0.0
        shapes = []
        for _ in range(rnd.randint(2, 6)):
            w = base.grid(rnd, 1, 8)
            shapes.append(box(x, 0, x + w, base.grid(rnd, 1, 4)))
            x += w
    beds = [base.bed(rnd, rnd.uniform(0, span), rnd.uniform(0, span)) for _ in range(rnd.randint(1, 4))]
    beds += [base.star(rnd, rnd.uniform(0, span), rnd.uniform(0, span), rnd.uniform(4, 10), rnd.randint(5, 9))]
    shapes, beds = [tidy(s, digits) for s in shapes], [tidy(b, digits) for b in beds]
    shapes, beds = [s for s in shapes if s is not None], [b for b in beds if b is not None]
    if not shapes or not beds:
        return None

    for i, shape in enumerate(shapes):
        kind = rnd.choice(HABITATS)
        plants = []
        for name in rnd.sample(["a", "b", "c", "d", "e"], rnd.randint(0, 3)):
            first = rnd.randint(60, 300)
            plants.append({"plant": name, "share": round(rnd.uniform(0.05, 0.8), 2), "from": first, "to": first + rnd.randint(3, 60)})
        features.append(feature(kind, "Habitat %d" % (i + 1), shape, plants))
        habitats.append((shape, plants))
        everything.append(shape)
        if kind in REFUGES:
            refuges.append(shape)
    for i, shape in enumerate(beds):
        features.append(feature("bed", "Bed %d" % (i + 1), shape))
        everything.append(shape)

    if rnd.random() < 0.7:
        outline = [base.rectangle(-5, -5, span + 20, span + 10, rnd.choice([0, rnd.uniform(-10, 10)]))]
        if rnd.random() < 0.3:
            outline.append(base.rectangle(span - 10, span - 20, 40, 30))
        if rnd.random() < 0.3:
            outline[0] = outline[0].difference(base.rectangle(span / 3, span / 3, 6, 5, 20))
        outline = [tidy(o, digits) for o in outline]
        if None in outline:
            return None
        features += [feature("boundary", "Field %d" % (i + 1), o) for i, o in enumerate(outline)]
        ground = unary_union(outline)
    else:
        ground = MultiPolygon([p for s in everything for p in getattr(s, "geoms", [s])]).convex_hull

    ranges = [round(rnd.uniform(0.5, 12), 1), round(rnd.uniform(5, 30), 1), round(rnd.uniform(20, 80), 1)]
    radius = round(rnd.uniform(5, 50), 1)
    site = {"area": ground.area, "habitat": unary_union([s for s, _ in habitats]).intersection(ground).area,
            "cover": list(cover(habitats, ground))}
    measured = {}
    refuge = MultiPolygon([p for s in refuges for p in getattr(s, "geoms", [s])])
    reach = [unary_union([around(s, r) for s in refuges]) for r in ranges]
    for f, bed in zip([f for f in features if f["kind"] == "bed"], beds):
        here = around(bed, radius).intersection(ground)
        m = {"area": bed.area, "refuge": bool(refuges), "cover_ground": here.area, "cover": list(cover(habitats, here))}
        if refuges:
            m["nearest"] = min(bed.distance(s) for s in refuges)
            m["farthest"] = base.farthest(bed, refuge)
            m["within"] = [r.intersection(bed).area for r in reach]
        measured[f["name"]] = m
    plan = {"format": "hedgereach plan", "version": 1, "name": "Plan %d" % number, "units": "metric", "features": features}
    return {"plan": plan, "ranges": ranges, "radius": radius, "site": site, "beds": measured}


def shorten(value):
    """Numbers to ten digits: more would only be more to keep."""
    if isinstance(value, float):
        return float("%.10g" % value)
    if isinstance(value, dict):
        return {k: shorten(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [shorten(v) for v in value]
    return value


def main():
    args = argparse.ArgumentParser()
    args.add_argument("--seed", type=int, default=1)
    args.add_argument("--plans", type=int, default=240)
    args = args.parse_args()
    rnd = random.Random(args.seed)
    made = 0
    while made < args.plans:
        try:
            plan = make(rnd, made)
        except Exception:  # GEOS can give up on nearly degenerate overlays: then the plan proves nothing
            plan = None
        if plan is not None:
            made += 1
            print(json.dumps(shorten(plan), separators=(",", ":")))


if __name__ == "__main__":
    main()
