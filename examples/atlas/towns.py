#!/usr/bin/env python3
"""Chooses well-spread cold towns from the lists behind the estimates: one a line, region and country too.

usage: towns.py COUNT > towns.txt
Cold: the coldest month's mean is below 2 C by the nearest station, moved by nothing; within 200 km of a station. Well spread: the
largest town of each cell first, the cells as fine as COUNT asks for.
"""
import csv, gzip, math, os, sys

SOURCE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "climates", "tables", "source")


def rows(name):
    with gzip.open(os.path.join(SOURCE, name), "rt", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def main():
    count = int(sys.argv[1])
    cells = {}
    for station in rows("stations.csv.gz"):
        lat, lon = float(station["lat"]), float(station["lon"])
        coldest = min(int(station[f"t{m:02}"]) for m in range(1, 13)) / 10
        cells.setdefault((math.floor(lat), math.floor(lon)), []).append((lat, lon, coldest))

    def coldest(lat, lon):
        wide = 2 if abs(lat) < 55 else 4
        near = [(math.hypot(s[0] - lat, (s[1] - lon) * math.cos(math.radians(lat))) * 111.2, s[2])
                for i in range(-2, 3) for j in range(-wide, wide + 1)
                for s in cells.get((math.floor(lat) + i, math.floor(lon) + j), ())]
        km, found = min(near, default=(1e9, 0))
        return found if km <= 200 else None

    towns = []
    for town in rows("towns.csv.gz"):
        lat, lon = float(town["lat"]), float(town["lon"])
        if abs(lat) < 35 or not -65 <= lat <= 72 or not town["region"]:
            continue
        cold = coldest(lat, lon)
        if cold is not None and cold < 2:
            towns.append((int(town["population"]), lat, lon, f"{town['name']}, {town['region']}, {town['country_name']}"))
    names = {}
    for town in towns:
        names[town[3]] = names.get(town[3], 0) + 1
    towns = sorted((t for t in towns if names[t[3]] == 1 and t[3].count(",") == 2), key=lambda t: (-t[0], t[3]))
    # The coarsest cells that give enough towns.
    for size in [4, 3, 2.5, 2, 1.5, 1.2, 1, 0.8, 0.6, 0.5, 0.4, 0.3]:
        taken = {}
        for town in towns:
            taken.setdefault((math.floor(town[1] / size), math.floor(town[2] * math.cos(math.radians(town[1])) / size)), town)
        if len(taken) >= count:
            break
    chosen = sorted(taken.values(), key=lambda t: (-t[0], t[3]))[:count]
    for town in sorted(chosen, key=lambda t: t[3].split(", ")[::-1]):
        print(town[3])


main()
