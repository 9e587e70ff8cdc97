#!/usr/bin/env python3
"""Table by country and coldest month, and the map, from the three lists that atlas.sh has written.

usage: map.py OUT
"""
import csv, datetime, os, statistics, sys

HOUSES = [("tunnel", "plain tunnel"), ("slope", "insulated slope"), ("slope-store", "with buried store")]
# Months that tomatoes stay: from too short to a whole year.
STEPS = [(3, "#4a5d8f"), (5, "#5f8fa8"), (7, "#8ab88a"), (9, "#d6c35a"), (11, "#dd8a3e"), (13, "#b8412f")]


def read(out, house):
    with open(os.path.join(out, f"{house}.csv"), newline="", encoding="utf-8") as file:
        return {row["site.place"]: row for row in csv.DictReader(file) if row["air_min_c"]}


def number(row, name):
    return float(row[name]) if row.get(name) else None


def middle(rows, name):
    found = [n for n in (number(row, name) for row in rows) if n is not None]
    return statistics.median(found) if found else None


def date(day):
    if day is None:
        return ""
    return (datetime.date(2027, 1, 1) + datetime.timedelta(days=round(day) - 1)).strftime("%d %b").lstrip("0")


def shown(value, decimals=1):
    return "" if value is None else f"{value:.{decimals}f}"


def main():
    out = sys.argv[1]
    houses = {house: read(out, house) for house, _ in HOUSES}
    towns = sorted(set.intersection(*(set(rows) for rows in houses.values())))
    first = houses["tunnel"]

    def band(town):
        coldest = number(first[town], "outdoors_coldest_month_c")
        low = -40 if coldest < -20 else next(low for low in (-20, -15, -10, -5, 0, 5) if coldest < low + 5)
        return "below -20" if low == -40 else f"{low} to {low + 5}"

    groups = {}
    for town in towns:
        groups.setdefault((town.split(", ")[-1], band(town)), []).append(town)
    head = ["country", "coldest month, C", "towns"]
    for _, name in HOUSES:
        head += [f"{name}: coldest hour C", "in one year of ten", "tomato months", "cucumber months", "spinach by", "lettuce by", "heat kWh"]
    with open(os.path.join(out, "table.csv"), "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file)
        table.writerow(head)
        for (country, cold), names in sorted(groups.items()):
            line = [country, cold, len(names)]
            for house, _ in HOUSES:
                rows = [houses[house][name] for name in names]
                line += [shown(middle(rows, "air_min_c")), shown(middle(rows, "air_min_c_p10")), shown(middle(rows, "months_in.tomato_indeterminate")),
                         shown(middle(rows, "months_in.cucumber")), date(middle(rows, "last_sowing_day.spinach")),
                         date(middle(rows, "last_sowing_day.lettuce_winter")), shown(middle(rows, "heater_kwh"), 0)]
            table.writerow(line)

    wide, high, top = 1080, 330, 46
    svg = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {len(HOUSES) * (high + top) + 40}" font-family="sans-serif" font-size="13">',
           f'<rect width="100%" height="100%" fill="#f7f4ec"/>']
    for panel, (house, name) in enumerate(HOUSES):
        y0 = panel * (high + top) + top
        svg.append(f'<text x="12" y="{y0 - 14}" font-size="16">Months that tomatoes can stay, {name} (estimated climates, median of ten weather years)</text>')
        svg.append(f'<rect x="0" y="{y0}" width="{wide}" height="{high}" fill="#e9e4d6"/>')
        for town in towns:
            row = houses[house][town]
            lat, lon, months = number(row, "latitude_deg"), number(row, "longitude_deg"), number(row, "months_in.tomato_indeterminate")
            # Degrees as they are, the north alone: no cold town of the south has a station within reach.
            if lat < 30:
                continue
            x, y = (lon + 180) * wide / 360, y0 + (74 - lat) * high / 44
            colour = next(colour for limit, colour in STEPS if (months or 0) < limit)
            svg.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{colour}"><title>{town.replace("&", "&amp;")}: {shown(months)}</title></circle>')
    y = len(HOUSES) * (high + top) + 22
    low = 0
    for at, (limit, colour) in enumerate(STEPS):
        words = f"below {limit}" if at == 0 else f"{low} to {limit}" if limit < 13 else f"{low} and more"
        svg.append(f'<circle cx="{20 + at * 120}" cy="{y}" r="6" fill="{colour}"/><text x="{32 + at * 120}" y="{y + 4}">{words}</text>')
        low = limit
    svg.append("</svg>")
    with open(os.path.join(out, "map.svg"), "w", encoding="utf-8") as file:
        file.write("\n".join(svg) + "\n")
    print(len(towns), "towns in", len(groups), "groups")


main()
