#!/bin/bash
# The example's house in twelve cold towns of nine countries: coldest hour, months that tomatoes stay, last sowing of winter spinach,
# food and worth of the plan. One loop over `site.place`; the climates are estimated.
#
#   BEDYEAR=bedyear examples/cold_towns.sh [WEATHER_YEARS]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
bedyear=${BEDYEAR:-bedyear}
years=${1:-10}
work=$(mktemp -d)
trap 'rm -r "$work"' EXIT
printf '| town | coldest hour, C | tomatoes stay, months | spinach sown by | food of the plan, kg | worth a year, USD |\n|---|---|---|---|---|---|\n'
while read -r town; do
    sed "s|^place = .*|place = \"$town\"|" "$here/helena.toml" > "$work/house.toml"
    "$bedyear" climate "$work/house.toml" --weather-years "$years" --format json > "$work/climate.json" 2>> "$work/said"
    "$bedyear" season "$work/house.toml" --weather-years "$years" --format json > "$work/season.json" 2>> "$work/said"
    "$bedyear" plan "$work/house.toml" --weather-years "$years" --format json > "$work/plan.json" 2>> "$work/said"
    python3 - "$town" "$work" <<'PY'
import json, sys
town, work = sys.argv[1:]
climate, season, plan = (json.load(open(f"{work}/{name}.json")) for name in ("climate", "season", "plan"))
tomato = next(crop for crop in season["crops"] if crop["crop"] == "tomato_indeterminate")
stay = tomato["months_in"]["as_is"]["p50"]
sown = [row["safe_in_9_of_10"] for row in season["latest"] if row["crop"] == "spinach" and row["way"] == "direct"]
latest = max((day for day in sown if day), default="none")
kg = sum(planting["harvest_kg"] for planting in plan["plantings"])
print(f"| {town} | {climate['coldest_air_c']:.1f} | {stay:.1f} | {latest} | {kg:.0f} | {plan['value']:.0f} |")
PY
done <<'TOWNS'
Bozeman, Montana
Duluth, Minnesota
Saskatoon, Saskatchewan
Yellowknife, Northwest Territories
Innsbruck, Tyrol, Austria
Davos, Switzerland
Östersund, Sweden
Oulu, Finland
Tromsø, Norway
Novosibirsk, Russia
Ulan Bator, Mongolia
Iqaluit, Nunavut
TOWNS
