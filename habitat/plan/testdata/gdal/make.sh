#!/bin/sh
# Makes the site of this folder with a general GIS tool chain, GDAL (Debian package gdal-bin; made with 3.6.2), from a survey in
# a projected system, UTM zone 18 north (EPSG:32618). Run it here to make the outputs again.
set -eu
cd "$(dirname "$0")"
work=$(mktemp -d)
trap 'rm -r "$work"' EXIT

# 1. Corner points of beds, as a GPS receiver lists them, become outlines: the corners of a feature in order, closed.
ogr2ogr -f GPKG "$work/points.gpkg" input/beds-corners.csv -nln corners -a_srs EPSG:32618 \
	-oo X_POSSIBLE_NAMES=easting -oo Y_POSSIBLE_NAMES=northing -oo KEEP_GEOM_COLUMNS=NO \
	-oo AUTODETECT_TYPE=YES
ogr2ogr -f GPKG "$work/beds.gpkg" "$work/points.gpkg" -nln beds -nlt POLYGON -dialect SQLite -sql "
	SELECT feature, name, kind, ST_MakePolygon(ST_AddPoint(line, ST_StartPoint(line))) AS geom FROM (
		SELECT feature, name, kind, MakeLine(geom) AS line FROM (SELECT * FROM corners ORDER BY feature, corner)
		GROUP BY feature, name, kind) ORDER BY feature"

# 2. Habitat, paths and marks, as well-known text in the same system.
ogr2ogr -f GPKG "$work/habitat.gpkg" input/habitat-wkt.csv -nln habitat -a_srs EPSG:32618 -oo AUTODETECT_TYPE=YES \
	-oo KEEP_GEOM_COLUMNS=NO -nlt GEOMETRY

# 3. Both in one layer, brought to WGS 84: only the properties that a plan knows.
ogr2ogr -f GPKG "$work/all.gpkg" "$work/habitat.gpkg" -nln site -nlt GEOMETRY
ogr2ogr -f GPKG -append "$work/all.gpkg" "$work/beds.gpkg" -nln site -addfields
rm -f ./*.geojson
ogr2ogr -f GeoJSON site.geojson "$work/all.gpkg" site -select name,kind,width_m,radius_m -t_srs EPSG:4326 \
	-lco RFC7946=YES -lco COORDINATE_PRECISION=9 -nln site

# 4. The same with every column of the survey: properties that a plan does not know, and nulls.
ogr2ogr -f GeoJSON site-unknown.geojson "$work/all.gpkg" site -t_srs EPSG:4326 -lco RFC7946=YES -lco COORDINATE_PRECISION=9 \
	-nln site

# 5. Outlines alone by way of a shapefile in the projected system, then to WGS 84.
ogr2ogr -f "ESRI Shapefile" "$work/outlines.shp" "$work/all.gpkg" site -nlt POLYGON -select name,kind,soil \
	-where "kind NOT IN ('path', 'trap', 'tree')"
ogr2ogr -f GeoJSON site-shapefile.geojson "$work/outlines.shp" -t_srs EPSG:4326 -lco RFC7946=YES -lco COORDINATE_PRECISION=9 \
	-nln site

# 6. Left in the projected system, as GeoJSON must not be: to be refused.
ogr2ogr -f GeoJSON projected.geojson "$work/habitat.gpkg" -select name,kind -nln site

# 7. Areas by SpatiaLite, to check against, in m²: in the plane of UTM, and on the ellipsoid.
ogr2ogr -f SQLite -dsco SPATIALITE=YES "$work/all.sqlite" "$work/all.gpkg" -nln site -lco GEOMETRY_NAME=geom -lco LAUNDER=YES
ogr2ogr -f CSV areas.csv "$work/all.sqlite" -sql "
	SELECT name, kind, round(ST_Area(geom), 4) AS utm_m2, round(ST_Area(ST_Transform(geom, 4326), 1), 4) AS ellipsoid_m2
	FROM site WHERE ST_GeometryType(geom) LIKE 'POLYGON%' ORDER BY rowid"
