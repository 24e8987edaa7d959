/* The check of a site, done with GEOS, for the Go benchmark to be compared with:
 *
 *     cc -O2 -o bench bench.c -lgeos_c && ./bench site.txt 10 30 60
 *
 * site.txt has a shape a line, "B " or "H " (bed or habitat) and its WKT. For every bed: the least distance to a habitat, and
 * for each range the area within that of a habitat. As one would with GEOS: habitats in an STRtree; each buffered once for each
 * range with 64 segments a quadrant; beds prepared; buffers that hold the bed end the matter, the rest are cut to the bed
 * and joined. GEOS has no largest distance from the points of one shape to others, so that is left out.
 *
 * Prints the seconds that it took (reading left out), the sum of the distances, and for each range the sum of the areas. */
#include <geos_c.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { most = 100000, ranges_most = 8 };

static GEOSGeometry *beds[most], *habitats[most];
static int bed_count, habitat_count;

static void complain(const char *format, ...) {
    va_list args;
    va_start(args, format);
    vfprintf(stderr, format, args);
    va_end(args);
    fputc('\n', stderr);
}

static void must(int good, const char *what) {
    if (!good) {
        complain("%s failed", what);
        exit(1);
    }
}

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + t.tv_nsec * 1e-9;
}

static void read_site(const char *path) {
    FILE *f = fopen(path, "r");
    must(f != NULL, "opening the site");
    char *line = NULL;
    size_t room = 0;
    GEOSWKTReader *reader = GEOSWKTReader_create();
    while (getline(&line, &room, f) > 2) {
        GEOSGeometry *g = GEOSWKTReader_read(reader, line + 2);
        must(g != NULL, "reading a shape");
        if (line[0] == 'B') {
            must(bed_count < most, "keeping the beds");
            beds[bed_count++] = g;
        } else {
            must(habitat_count < most, "keeping the habitats");
            habitats[habitat_count++] = g;
        }
    }
    GEOSWKTReader_destroy(reader);
    free(line);
    fclose(f);
}

static int distance_of(const void *a, const void *b, double *d, void *unused) {
    (void)unused;
    return GEOSDistance(a, b, d);
}

/* What a query of the buffers gathers for one bed. */
struct search {
    const GEOSGeometry *bed;
    const GEOSPreparedGeometry *prepared;
    GEOSGeometry *parts[4096];
    int count, whole;
};

static void gather(void *item, void *data) {
    struct search *s = data;
    const GEOSGeometry *buffer = item;
    if (s->whole || GEOSPreparedIntersects(s->prepared, buffer) != 1) {
        return;
    }
    if (GEOSPreparedCoveredBy(s->prepared, buffer) == 1) {
        s->whole = 1;
        return;
    }
    GEOSGeometry *part = GEOSIntersection(s->bed, buffer);
    must(part != NULL, "an intersection");
    must(s->count < 4096, "keeping the parts");
    s->parts[s->count++] = part;
}

static double area_within(GEOSSTRtree *buffers, const GEOSGeometry *bed, const GEOSPreparedGeometry *prepared) {
    static struct search s;
    s.bed = bed, s.prepared = prepared, s.count = 0, s.whole = 0;
    GEOSSTRtree_query(buffers, bed, gather, &s);
    double area = 0;
    if (s.whole) {
        GEOSArea(bed, &area);
        for (int i = 0; i < s.count; i++) {
            GEOSGeom_destroy(s.parts[i]);
        }
    } else if (s.count > 0) {
        GEOSGeometry *all = GEOSGeom_createCollection(GEOS_GEOMETRYCOLLECTION, s.parts, s.count);
        GEOSGeometry *joined = GEOSUnaryUnion(all);
        must(joined != NULL, "a union");
        GEOSArea(joined, &area);
        GEOSGeom_destroy(joined);
        GEOSGeom_destroy(all);
    }
    return area;
}

int main(int argc, char **argv) {
    if (argc < 3 || argc > 2 + ranges_most) {
        complain("usage: bench SITE RANGE...");
        return 2;
    }
    initGEOS(complain, complain);
    read_site(argv[1]);
    int ranges = argc - 2;

    double start = now(), nearest = 0, within[ranges_most] = {0};
    GEOSSTRtree *tree = GEOSSTRtree_create(10), *buffers[ranges_most];
    GEOSGeometry *(*made)[ranges_most] = calloc(habitat_count, sizeof *made);
    for (int i = 0; i < habitat_count; i++) {
        GEOSSTRtree_insert(tree, habitats[i], habitats[i]);
    }
    for (int k = 0; k < ranges; k++) {
        buffers[k] = GEOSSTRtree_create(10);
        for (int i = 0; i < habitat_count; i++) {
            made[i][k] = GEOSBuffer(habitats[i], atof(argv[2 + k]), 64);
            must(made[i][k] != NULL, "a buffer");
            GEOSSTRtree_insert(buffers[k], made[i][k], made[i][k]);
        }
    }
    for (int i = 0; i < bed_count; i++) {
        const GEOSGeometry *h = GEOSSTRtree_nearest_generic(tree, beds[i], beds[i], distance_of, NULL);
        double d = INFINITY;
        must(h != NULL && GEOSDistance(beds[i], h, &d), "a distance");
        nearest += d;
        const GEOSPreparedGeometry *prepared = GEOSPrepare(beds[i]);
        for (int k = 0; k < ranges; k++) {
            within[k] += area_within(buffers[k], beds[i], prepared);
        }
        GEOSPreparedGeom_destroy(prepared);
    }
    printf("%.6f %.9g", now() - start, nearest);
    for (int k = 0; k < ranges; k++) {
        printf(" %.9g", within[k]);
    }
    printf("\n");
    return 0;
}
