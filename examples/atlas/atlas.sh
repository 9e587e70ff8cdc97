#!/bin/bash
# An atlas of cold towns: a plain tunnel, an insulated single slope, the same with a buried store, in ten weather years each.
#
#   BEDYEAR=bedyear examples/atlas/atlas.sh OUT [TOWNS]      TOWNS: 2000 where nothing is said
#
# Makes OUT/tunnel, OUT/slope, OUT/slope-store (Parquet, one row a town), OUT/table.csv by country and coldest month, OUT/map.svg.
# It goes on where it stopped when it is given again. Needs Python for the list of towns and the map.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
bedyear=${BEDYEAR:-bedyear}
out=$1
mkdir -p "$out"
python3 "$here/towns.py" "${2:-2000}" > "$out/towns.txt"
for house in tunnel slope slope-store; do
    "$bedyear" sweep "$here/$house.toml" --vary "site.place=@$out/towns.txt" --weather-years 10 --part 20 \
        --crops tomato_indeterminate,cucumber,spinach,lettuce_winter -o "$out/$house"
    "$bedyear" designs "$out/$house" --show \
        "site.place,latitude_deg,longitude_deg,outdoors_coldest_month_c,air_min_c,air_min_c_p10,months_in.tomato_indeterminate,months_in.cucumber,last_sowing_day.spinach,last_sowing_day.lettuce_winter,heater_kwh" \
        --format csv > "$out/$house.csv"
done
python3 "$here/map.py" "$out"
