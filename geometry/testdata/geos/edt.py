#!/usr/bin/python3
"""The exact Euclidean distance transform of a raster, by scipy (Debian: python3-scipy), to compare Field with.

    edt.py SIDE < mask

mask has SIDE × SIDE bytes, 0 where a cell's centre lies in a habitat. Prints the seconds that the best of three runs took, and
the largest distance, in cells."""
import sys
import time

import numpy
from scipy.ndimage import distance_transform_edt

side = int(sys.argv[1])
mask = numpy.frombuffer(sys.stdin.buffer.read(), dtype=numpy.uint8).reshape(side, side)
best, most = 1e9, 0.0
for _ in range(3):
    start = time.perf_counter()
    d = distance_transform_edt(mask)
    best = min(best, time.perf_counter() - start)
    most = d.max()
print(best, most)
