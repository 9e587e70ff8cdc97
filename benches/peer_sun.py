"""Sun position and Perez irradiance on three planes, and growing degrees, by general libraries.

Run by hand: python benches/peer_sun.py   (pvlib, pandas, numpy)

The same work as `sun/position_and_three_planes` in benches/sun.rs: 8760 hours, three planes, Perez 1990.
"""

import time

import numpy as np
import pandas as pd
import pvlib

LATITUDE, LONGITUDE, ROUNDS = 52.0, 13.0, 9
PLANES = [(60, 180), (30, 180), (90, 90)]


def best(name, work):
    times = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    print(f"{name:44} {1e3 * min(times):8.2f} ms")


def main():
    times = pd.date_range("2025-01-01 00:30", periods=8760, freq="h", tz="Etc/GMT-1")
    sun = pvlib.solarposition.get_solarposition(times, LATITUDE, LONGITUDE)
    extra = pvlib.irradiance.get_extra_radiation(times)
    clear = pvlib.location.Location(LATITUDE, LONGITUDE).get_clearsky(times, model="haurwitz")
    day = np.arange(8760) // 24
    ghi = clear["ghi"] * (0.2 + 0.8 * (day * 7919 % 100) / 100.0)
    split = pvlib.irradiance.erbs(ghi, sun["zenith"], times)

    def position():
        return pvlib.solarposition.get_solarposition(times, LATITUDE, LONGITUDE)

    def planes():
        mass = pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"])
        return [
            pvlib.irradiance.get_total_irradiance(
                tilt, azimuth, sun["apparent_zenith"], sun["azimuth"], split["dni"], ghi, split["dhi"],
                dni_extra=extra, airmass=mass, model="perez",
            )
            for tilt, azimuth in PLANES
        ]

    air = 8 + 12 * np.sin(2 * np.pi * np.arange(8760) / 8760)

    def degrees():
        return (np.clip(air, 5, 28) - 5).reshape(365, 24).mean(axis=1).cumsum()

    best("position of 8760 hours", position)
    best("Perez on three planes", planes)
    best("position and three planes", lambda: (position(), planes()))
    best("growing degrees of a year", degrees)


main()
