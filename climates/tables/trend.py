#!/usr/bin/env python3
"""Makes `source/trend.csv.gz`: mean height of the ground for some 150 km around each cell, and the mean temperature of each month
at sea level that the map leads one to expect there (see README.md).

usage: trend.py ETOPO20.cdf SAMPLES 22YR_SWV_DWN.gz --sift            takes broken stations out of `source/stations.csv.gz`
       trend.py ETOPO20.cdf SAMPLES 22YR_SWV_DWN.gz                   fits on all stations of `source/` and writes
       trend.py ETOPO20.cdf SAMPLES 22YR_SWV_DWN.gz --blocks          writes nothing: stations within R of a spot left out of all
       trend.py ETOPO20.cdf SAMPLES 22YR_SWV_DWN.gz --against MEANS   writes nothing: errors against other monthly means
ETOPO20: relief of the earth, of the package ferret-datasets; SAMPLES: folder of the package iris-sample-data with global fields
of the Met Office's climate models; 22YR_SWV_DWN: NASA's irradiance of every cell; MEANS: kind, latitude, longitude, height and
twelve means in 0.1 C. Needs numpy (2.4.6) and netCDF4 (1.7).
"""
import csv, glob, gzip, math, os, struct, sys

import netCDF4
import numpy as np

from source import write

HERE = os.path.dirname(os.path.abspath(__file__))
STATION_LIST = os.path.join(HERE, "source", "stations.csv.gz")
MONTHS = np.arange(12)
KELVIN = 273.15
EARTH_KM = 6371.0
KM_PER_DEGREE = 111.2
# As in src/site/places/estimate.rs: fall of temperature with height, stations taken, nearness, fade of what they say.
LAPSE_K_M, LAPSE_SEASON_K_M, STATIONS, NEAR_KM, FADE_KM = 0.0055, 0.0010, 10, 3.0, 500.0
# Weight of the penalty on coefficients of standardised predictors; a station counts by the inverse of those within 200 km.
RIDGE, CROWD_KM = 0.01, 200.0
# A station is broken where in some month it stands so much further above or below the trend than the middle one of the 15 around.
BROKEN_K, AROUND, AROUND_KM = 8.0, 15, 400.0
LAT, LON = np.arange(-90, 90) + 0.5, np.arange(-180, 180) + 0.5
MID_DAY = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])


def rows(path):
    with gzip.open(path, "rt", newline="") as file:
        return list(csv.reader(file))[1:]


def lapse(lat):
    season = np.cos(2 * np.pi * (MONTHS - 6) / 12)
    return LAPSE_K_M + LAPSE_SEASON_K_M * np.where(lat < 0, -1, 1)[..., None] * season


def model_fields(path):
    """Fields of one file: latitudes, longitudes, values."""
    with open(path, "rb") as file:
        data = file.read()
    at, found = 0, []
    while at < len(data):
        head = struct.unpack(">45i19f", data[at + 4:at + 260])
        at += 264
        length, = struct.unpack(">i", data[at:at + 4])
        values = np.frombuffer(data[at + 4:at + 4 + head[17] * head[18] * 4], ">f4").reshape(head[17], head[18]).astype(float)
        at += length + 8
        found.append((head[58] + head[59] * (1 + np.arange(head[17])), head[60] + head[61] * (1 + np.arange(head[18])), values))
    return found


def on_cells(lat, lon, values):
    """A field on a regular grid around the earth, between its points at the middles of our cells."""
    y = np.clip((LAT - lat[0]) / (lat[1] - lat[0]), 0, len(lat) - 1.0001)[:, None]
    x = (((LON - lon[0]) / (lon[1] - lon[0])) % len(lon))[None, :]
    j, i = y.astype(int), x.astype(int)
    fy, fx, east = y - j, x - i, (i + 1) % len(lon)
    return (values[j, i] * (1 - fx) + values[j, east] * fx) * (1 - fy) + (values[j + 1, i] * (1 - fx) + values[j + 1, east] * fx) * fy


def relief(path):
    """Latitudes, longitudes and heights of the ground (m, sea below 0) in thirds of a degree."""
    data = netCDF4.Dataset(path)
    return np.array(data["ETOPO20Y"][:]), np.array(data["ETOPO20X1_1081"][:])[:1080], np.array(data["ROSE"][:]).astype(float)[:, :1080]


def mean_around(lat, lon, relief_of, values, half, half_east=None):
    """Mean of thirds of a degree around spots of a grid."""
    y, x, _ = relief_of
    half_east = half if half_east is None else half_east
    out = np.zeros((len(lat), len(lon)))
    for j, north in enumerate(lat):
        middle = np.argmin(abs(y - north))
        part = values[max(0, middle - half):middle + half + 1]
        for i, east in enumerate(lon):
            at = int(round(((east - x[0]) % 360) * 3))
            out[j, i] = part[:, np.arange(at - half_east, at + half_east + 1) % 1080].mean()
    return out


def smoothed(share, km, west_km=0.0):
    """Mean of a share within about so many km, or of a spot so far to the west."""
    out = np.zeros_like(share)
    for j, lat in enumerate(LAT):
        wide, total = int(km / KM_PER_DEGREE) + 1, 0.0
        for row in range(max(0, j - wide), min(180, j + wide + 1)):
            dy = (LAT[row] - lat) * KM_PER_DEGREE
            dx = np.arange(-180, 180) * KM_PER_DEGREE * math.cos(math.radians((lat + LAT[row]) / 2))
            weight = np.exp(-(dy ** 2 + (dx + west_km) ** 2) / km ** 2) * math.cos(math.radians(LAT[row]))
            for shift, w in zip(np.arange(-180, 180)[weight > 1e-4], weight[weight > 1e-4]):
                out[j] += w * np.roll(share[row], -shift)
                total += w
        out[j] /= total
    return out


def sun_above_air(lat):
    """Irradiance above the air, kWh/m2/day."""
    lat = np.radians(lat)[:, None]
    tilt = 0.409 * np.sin(2 * np.pi * MID_DAY / 365 - 1.39)
    set_angle = np.arccos(np.clip(-np.tan(lat) * np.tan(tilt), -1, 1))
    share = set_angle * np.sin(lat) * np.sin(tilt) + np.cos(lat) * np.cos(tilt) * np.sin(set_angle)
    return 24 * 60 / np.pi * 0.0820 * (1 + 0.033 * np.cos(2 * np.pi * MID_DAY / 365)) * share / 3.6


def predictors(etopo, samples, irradiance):
    """For every cell and month what is known everywhere, the models' fields brought to sea level by the relief at their own grain;
    and the height of the ground around."""
    ground = relief(etopo)
    above = np.maximum(ground[2], 0)
    height_1, height_3 = (mean_around(LAT, LON, ground, above, half) for half in (1, 4))
    land = mean_around(LAT, LON, ground, (ground[2] > 0).astype(float), 1)
    near, wide, far = smoothed(land, 200), smoothed(land, 500), smoothed(land, 1200)
    west, east = smoothed(land, 500, 700), smoothed(land, 500, -700)
    runs = [model_fields(path) for path in sorted(glob.glob(os.path.join(samples, "GloSea4", "*.pp")))]
    lat, lon, _ = runs[0][0]
    grain = mean_around(lat, lon, ground, above, 2, 3)
    months = np.mean([[field[2] for field in run] for run in runs], 0) - KELVIN
    fields = [on_cells(lat, lon, value + lapse(lat)[:, month][:, None] * grain) for value, month in zip(months, (7, 8, 9, 10, 11, 0))]
    for name in ("pre-industrial.pp", "A1B.2098.pp", "E1.2098.pp"):
        lat, lon, value = model_fields(os.path.join(samples, name))[0]
        fields.append(on_cells(lat, lon, value - KELVIN + LAPSE_K_M * grain))
    sun = np.zeros((180, 360, 12))
    with gzip.open(irradiance, "rt") as file:
        for part in (line.split() for line in file):
            if len(part) == 15 and part[0].lstrip("-").isdigit():
                sun[int(part[0]) + 90, int(part[1]) + 180] = [float(value) for value in part[2:14]]
    above_air = np.repeat(sun_above_air(LAT)[:, None, :], 360, 1)
    degrees = np.repeat(LAT[:, None], 360, 1)
    year = [np.ones_like(land), *fields, sun.mean(2), above_air.mean(2), above_air.mean(2) ** 2, near, wide, far, west, east,
            wide * degrees, wide * degrees ** 2, far * degrees, far * degrees ** 2, (west - east) * abs(degrees),
            height_1, height_3, height_3 * degrees, height_3 ** 2]
    month = [sun, np.roll(sun, 1, 2), np.roll(sun, 2, 2), above_air, np.roll(above_air, 1, 2)]
    return np.stack([np.repeat(value[:, :, None], 12, 2) for value in year] + month, -1), height_3


class Cells:
    """The cells on land of `source/fields.csv.gz`; values of spots lie between the middles of the four around."""

    def __init__(self):
        self.listed = sorted((int(row[0]), int(row[1])) for row in rows(os.path.join(HERE, "source", "fields.csv.gz")))
        self.land = np.zeros((180, 360), bool)
        for lat, lon in self.listed:
            self.land[lat + 90, lon + 180] = True

    def around(self, lat, lon):
        y, x = lat + 89.5, lon + 179.5
        j, i = np.floor(y).astype(int), np.floor(x).astype(int)
        spots, weights = [], []
        for up in (0, 1):
            for right in (0, 1):
                row, column = np.clip(j + up, 0, 179), (i + right) % 360
                share = (1 - abs(y - j - up)) * (1 - abs(x - i - right)) + 1e-9
                spots.append(row * 360 + column)
                weights.append(share * self.land[row, column])
        spots, weights = np.array(spots), np.array(weights)
        total = weights.sum(0)
        return spots, weights / np.where(total > 0, total, 1), total > 0

    @staticmethod
    def at(grid, around):
        spots, weights, _ = around
        values = grid.reshape(180 * 360, -1)[spots]
        return (values * weights[..., None]).sum(0)


def vectors(lat, lon):
    lat, lon = np.radians(lat), np.radians(lon)
    return np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)], -1)


def distances(some, others):
    return EARTH_KM * np.arccos(np.clip(some @ others.T, -1, 1))


def fit(columns, means, weight):
    """Coefficients of each month: least squares with a penalty, on predictors less their mean over their spread."""
    found = []
    for month in range(12):
        x = columns[:, month]
        middle = (weight[:, None] * x).sum(0) / weight.sum()
        spread = np.sqrt((weight[:, None] * (x - middle) ** 2).sum(0) / weight.sum())
        middle[0], spread[0] = 0, 1
        x = (x - middle) / spread
        penalty = RIDGE * np.eye(x.shape[1])
        penalty[0, 0] = 0
        answer = np.linalg.solve(x.T @ (weight[:, None] * x) / weight.sum() + penalty, x.T @ (weight * means[:, month]) / weight.sum())
        scaled = answer / spread
        scaled[0] = answer[0] - (answer[1:] / spread[1:] * middle[1:]).sum()
        found.append(scaled)
    return np.array(found)


def said_by_stations(km, residuals):
    """What the nearest stations stand above the trend, fading with distance."""
    nearest = np.argpartition(km, STATIONS, axis=1)[:, :STATIONS]
    near = np.take_along_axis(km, nearest, 1)
    weight = 1 / (near ** 2 + NEAR_KM ** 2)
    return (weight[:, :, None] * residuals[nearest]).sum(1) / (weight.sum(1) + FADE_KM ** -2)[:, None]


class Stations:
    def __init__(self, cells, grid):
        self.rows = rows(STATION_LIST)
        table = np.array([[float(value) for value in row[1:]] for row in self.rows])
        around = cells.around(table[:, 0], table[:, 1])
        self.rows_on_cells = np.flatnonzero(around[2])
        table, around = table[around[2]], (around[0][:, around[2]], around[1][:, around[2]], None)
        self.place, self.around = vectors(table[:, 0], table[:, 1]), around
        self.lat = table[:, 0]
        self.means = table[:, 3:] / 10 + lapse(table[:, 0]) * table[:, 2:3]
        self.columns = cells.at(grid, around).reshape(len(table), 12, -1)
        crowd = [(self.place[at:at + 1000] @ self.place.T > math.cos(CROWD_KM / EARTH_KM)).sum(1) for at in range(0, len(table), 1000)]
        self.weight = 1 / np.concatenate(crowd)


def sift(stations, above):
    """Writes the list of stations without the broken ones, and names these."""
    broken = set()
    for at, place in enumerate(stations.place):
        km = distances(place[None], stations.place)[0]
        near = np.argpartition(km, AROUND + 1)[:AROUND + 1]
        near = near[near != at]
        apart = abs(above[at] - np.median(above[near], 0)).max()
        if apart > BROKEN_K and np.median(km[near]) < AROUND_KM:
            row = stations.rows_on_cells[at]
            broken.add(row)
            print(*stations.rows[row], f"{apart:.1f} K")
    kept = [row for at, row in enumerate(stations.rows) if at not in broken]
    write("stations.csv.gz", ["kind", "lat", "lon", "elev_m", *[f"t{month:02}" for month in range(1, 13)]], kept)
    print(len(broken), "stations taken out,", len(kept), "left")


def blocks(stations):
    """Errors at 110 spots at least 600 km apart with all stations within R left out of the fit and of the neighbours."""
    order, spots = np.random.default_rng(1).permutation(len(stations.lat)), []
    for at in order:
        apart = not spots or (stations.place[spots] @ stations.place[at]).max() < math.cos(600 / EARTH_KM)
        if len(spots) < 110 and apart and abs(stations.lat[at]) < 73:
            spots.append(at)
    km = distances(stations.place[spots], stations.place)
    for radius in (30, 100, 300, 700, 1500, 3000):
        errors, of_trend = [], []
        for spot, far in zip(spots, km):
            kept = np.flatnonzero(far > radius)
            answer = fit(stations.columns[kept], stations.means[kept], stations.weight[kept])
            above = stations.means[kept] - (stations.columns[kept] * answer).sum(-1)
            trend = (stations.columns[spot] * answer).sum(-1)
            off = trend + said_by_stations(far[None, kept], above)[0] - stations.means[spot]
            errors.append(abs(off).mean())
            of_trend.append(abs(trend - stations.means[spot]).mean())
        print(f"{radius} km left out: {np.mean(errors):.2f} K, worst tenth {np.quantile(errors, 0.9):.2f} K; trend alone {np.mean(of_trend):.2f} K")


def against(path, cells, stations, trend):
    """Errors by distance of the nearest station, no more than 250 spots a class."""
    table = np.array([[float(value) for value in row[1:]] for row in rows(path) if row[0] != "U"])
    table = table[(table[:, 0] > -65) & (table[:, 0] < 72)]
    table = table[cells.around(table[:, 0], table[:, 1])[2]]
    km = distances(vectors(table[:, 0], table[:, 1]), stations.place)
    nearest = km.min(1)
    above = stations.means - cells.at(trend, stations.around)
    edges, draw = (0, 15, 30, 60, 100, 150, 200, 300, 500, 700, 1000, 1500, 2200, 4000), np.random.default_rng(2)
    for low, high in zip(edges, edges[1:]):
        some = draw.permutation(np.flatnonzero((nearest >= low) & (nearest < high)))[:250]
        found = cells.at(trend, cells.around(table[some, 0], table[some, 1])) + said_by_stations(km[some], above)
        off = found - lapse(table[some, 0]) * table[some, 2:3] - table[some, 3:] / 10
        each = abs(off).mean(1)
        print(f"{low} to {high} km: {len(some)} spots, {each.mean():.2f} K, worst tenth {np.quantile(each, 0.9):.2f} K, bias {off.mean():+.2f} K")


def main():
    grid, height_3 = predictors(*sys.argv[1:4])
    cells = Cells()
    stations = Stations(cells, grid)
    if "--blocks" in sys.argv:
        return blocks(stations)
    trend = (grid * fit(stations.columns, stations.means, stations.weight)).sum(-1)
    if "--sift" in sys.argv:
        return sift(stations, stations.means - cells.at(trend, stations.around))
    if "--against" in sys.argv:
        return against(sys.argv[5], cells, stations, trend)
    lines = []
    for lat, lon in cells.listed:
        ground_m, months = height_3[lat + 90, lon + 180], trend[lat + 90, lon + 180]
        lines.append([lat, lon, math.floor(ground_m + 0.5), *[math.floor(10 * value + 0.5) for value in months]])
    write("trend.csv.gz", ["lat0", "lon0", "ground_m", *[f"t{month:02}" for month in range(1, 13)]], lines)
    print(len(cells.listed), "cells,", len(stations.lat), "stations")


main()
