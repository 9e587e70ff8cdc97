#!/usr/bin/env python3
"""Packs the lists of `source/` into the tables that the program carries, the same bytes each time (see README.md).

usage: pack.py           writes stations.bin, fields.bin, towns.bin and SHA256SUMS
       pack.py --check   writes nothing, fails if a table does not hold, byte for byte, what its lists give, or a sum differs
Packing needs the package zopfli (0.4.3), whose output depends on its version alone; checking needs nothing but Python.
"""
import csv, gzip, hashlib, math, os, sys, zlib

HERE = os.path.dirname(os.path.abspath(__file__))
# Steps of the fields: 0.02 kWh/m2/day, 0.2 K, 0.2 K, 0.2 K, 0.2 K, 0.1 m/s, 0.2 K, in units of the source lists.
STEPS = [2, 2, 2, 2, 2, 1, 2]
# Tens of metres of a town whose height is not known.
NO_HEIGHT = -100
FIRST_LAT, LAT_ROWS, LON_COLUMNS = -64, 137, 360


def rows(name):
    with gzip.open(os.path.join(HERE, "source", name), "rt", newline="", encoding="utf-8") as file:
        reader = csv.reader(file)
        next(reader)
        return list(reader)


def varint(number):
    """A signed number: zigzag, seven bits a byte, lowest first."""
    number = -2 * number - 1 if number < 0 else 2 * number
    out = bytearray()
    while number >= 128:
        out.append(number % 128 + 128)
        number //= 128
    out.append(number)
    return bytes(out)


def column(numbers):
    """Each number as its difference from the one before."""
    out, last = bytearray(), 0
    for number in numbers:
        out += varint(number - last)
        last = number
    return bytes(out)


def round_half_up(number):
    return math.floor(number + 0.5)


def hundredths(text):
    return round_half_up(float(text) * 100)


def stations():
    """Count; latitudes, longitudes (0.01 degree), heights (m), kind; January, then each month less the one before (0.1 K)."""
    found = [(hundredths(r[1]), hundredths(r[2]), int(r[3]), int(r[0] == "measured"), [int(t) for t in r[4:]])
             for r in rows("stations.csv.gz")]
    # Neighbours in the list are neighbours on the map: strips of one degree, run to and fro.
    found.sort(key=lambda s: (s[0] // 100, s[1] if s[0] // 100 % 2 else -s[1], s[0], s[2], s[4]))
    out = varint(len(found))
    for part in range(4):
        out += column(s[part] for s in found)
    for month in range(12):
        out += column(s[4][month] - (s[4][month - 1] if month else 0) for s in found)
    return out


def fields():
    """For each cell, south to north and west to east, whether it is there (a byte); the ground around (10 m); then 60 columns of the
    cells that are there, 12 of wind and 12 of the trend, each number less what its neighbours west, south and southwest lead one to expect."""
    steps = [10] + [step for step in STEPS for _ in range(12)]
    cells = {}
    for row in rows("fields.csv.gz"):
        cells[int(row[0]) - FIRST_LAT, int(row[1]) + 180] = [int(value) for value in row[2:]] + [0] * 24
    for row in rows("wind_us.csv.gz"):
        cell = cells.get((int(row[0]) - FIRST_LAT, int(row[1]) + 180))
        if cell:
            cell[61:73] = [int(value) for value in row[2:]]
    for row in rows("trend.csv.gz"):
        cell = cells[int(row[0]) - FIRST_LAT, int(row[1]) + 180]
        cell[0], cell[73:] = int(row[2]), [int(value) for value in row[3:]]
    out = bytearray(int((i, j) in cells) for i in range(LAT_ROWS) for j in range(LON_COLUMNS))
    for part, step in enumerate(steps):
        coded = {at: round_half_up(cell[part] / step) for at, cell in cells.items()}
        for i, j in sorted(cells):
            west, south, corner = coded.get((i, j - 1)), coded.get((i - 1, j)), coded.get((i - 1, j - 1))
            if west is not None and south is not None and corner is not None:
                expected = min(max(west + south - corner, min(west, south)), max(west, south))
            else:
                expected = west if west is not None else south if south is not None else 0
            out += varint(coded[i, j] - expected)
    return bytes(out)


def text(lines):
    body = "\n".join(lines).encode()
    return varint(len(body)) + body


def towns():
    """Countries, regions, time zones, names and other names as lines; then the region of each town, its place (0.01 degree), its
    people (tenths of an octave), its zone and its height (10 m)."""
    found = rows("towns.csv.gz")
    countries = sorted({(r[0], r[1]) for r in found})
    regions = sorted({(r[0], r[2], r[3]) for r in found})
    zones = sorted({r[8] for r in found})
    region_at = {region: at for at, region in enumerate(regions)}
    out = text([f"{code}\t{name}" for code, name in countries])
    out += text([f"{country}\t{name}\t{letters}" for country, name, letters in regions])
    out += text(zones) + text([r[4] for r in found]) + text([r[9] for r in found])
    out += column(region_at[r[0], r[2], r[3]] for r in found)
    out += column(hundredths(r[5]) for r in found) + column(hundredths(r[6]) for r in found)
    out += bytes(round_half_up(10 * math.log2(max(int(r[7]), 1))) for r in found)
    out += column(zones.index(r[8]) for r in found)
    out += column(round_half_up(int(r[10]) / 10) if r[10] else NO_HEIGHT for r in found)
    return out


def read(*parts):
    with open(os.path.join(HERE, *parts), "rb") as file:
        return file.read()


def main():
    checking, sums, wrong = "--check" in sys.argv, [], []
    if not checking:
        import zopfli.zlib
    for name, made in (("stations.bin", stations), ("fields.bin", fields), ("towns.bin", towns)):
        plain = bytes(made())
        if checking:
            packed = read(name)
            if zlib.decompress(packed) != plain:
                wrong.append(name)
        else:
            packed = zopfli.zlib.compress(plain)
            with open(os.path.join(HERE, name), "wb") as file:
                file.write(packed)
        sums.append(f"{hashlib.sha256(packed).hexdigest()}  {name}")
        print(name, len(plain), "bytes,", len(packed), "packed")
    for name in sorted(os.listdir(os.path.join(HERE, "source"))):
        sums.append(f"{hashlib.sha256(read('source', name)).hexdigest()}  source/{name}")
    listed = ("\n".join(sums) + "\n").encode()
    if not checking:
        with open(os.path.join(HERE, "SHA256SUMS"), "wb") as file:
            file.write(listed)
    elif read("SHA256SUMS") != listed:
        wrong.append("SHA256SUMS")
    if wrong:
        sys.exit(f"not the same bytes: {', '.join(wrong)}")


main()
