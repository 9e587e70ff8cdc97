#!/usr/bin/env python3
"""Makes the three lists of `source/` from the data sets as their makers give them (see README.md).

usage: source.py CLIGEN_MONTHLY.csv.gz STATIONS.csv.gz FIELDS.csv.gz
CLIGEN_MONTHLY: monthly figures of the CLIGEN parameter files, one row a station; STATIONS: monthly means with the kind of
station first (U: a station of the US cooperative network); FIELDS: the one-degree cells. Needs nothing but Python.
"""
import csv, gzip, io, math, os, sys

HERE = os.path.dirname(os.path.abspath(__file__))
# A station of the reanalysis this near to an American station, km, is left out: the measured one is better.
MEASURED_NEAR_KM = 60.0


def rows(path):
    with gzip.open(path, "rt", newline="") as file:
        reader = csv.reader(file)
        head = next(reader)
        return head, list(reader)


def write(name, head, lines):
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(head)
    out.writerows(lines)
    with open(os.path.join(HERE, "source", name), "wb") as file:
        with gzip.GzipFile("", "wb", 9, file, mtime=0) as packed:
            packed.write(text.getvalue().encode())


def vector(lat, lon):
    lat, lon = math.radians(lat), math.radians(lon)
    return math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)


def main():
    cligen, stations, fields = sys.argv[1:4]
    months = [f"t{month:02}" for month in range(1, 13)]
    _, all_stations = rows(stations)
    measured = [row[1:] for row in all_stations if row[0] == "U"]
    spots = {}
    for row in measured:
        spots.setdefault((round(float(row[0])), round(float(row[1]))), []).append(vector(float(row[0]), float(row[1])))
    near = math.cos(MEASURED_NEAR_KM / 6371.0)

    def has_measured(lat, lon):
        here = vector(lat, lon)
        wide = 1 if abs(lat) < 60 else 2
        cells = ((round(lat) + i, round(lon) + j) for i in (-1, 0, 1) for j in range(-wide, wide + 1))
        return any(sum(a * b for a, b in zip(here, other)) > near for cell in cells for other in spots.get(cell, ()))

    head, cligen_rows = rows(cligen)
    at = {name: index for index, name in enumerate(head)}
    modelled, wind = [], {}
    for row in cligen_rows:
        lat, lon = float(row[at["lat"]]), float(row[at["lon"]])
        if row[at["coll"]] == "ghcn":
            highs = [row[at[f"tx{m:02}"]] for m in range(1, 13)]
            lows = [row[at[f"tn{m:02}"]] for m in range(1, 13)]
            if "" in highs + lows or has_measured(lat, lon):
                continue
            means = [math.floor((int(float(a)) + int(float(b))) / 2 + 0.5) for a, b in zip(highs, lows)]
            modelled.append([f"{lat:.2f}", f"{lon:.2f}", str(round(float(row[at["elev_m"]]))), *map(str, means)])
        elif row[at["coll"]] == "us2015":
            speeds = [row[at[f"w{m:02}"]] for m in range(1, 13)]
            if "" not in speeds:
                wind.setdefault((math.floor(lat), math.floor(lon)), []).append([float(s) for s in speeds])
    write("stations.csv.gz", ["kind", "lat", "lon", "elev_m", *months],
          [["measured", f"{float(r[0]):.2f}", f"{float(r[1]):.2f}", str(round(float(r[2]))), *r[3:]] for r in measured]
          + [["modelled", *row] for row in modelled])
    head, cells = rows(fields)
    write("fields.csv.gz", head, cells)
    write("wind_us.csv.gz", ["lat0", "lon0", *[f"w{m:02}" for m in range(1, 13)]],
          [[*cell, *[round(sum(s[m] for s in speeds) / len(speeds)) for m in range(12)]] for cell, speeds in sorted(wind.items())])
    print(len(measured), "measured,", len(modelled), "modelled,", len(cells), "cells,", len(wind), "cells with wind")


if __name__ == "__main__":
    main()
