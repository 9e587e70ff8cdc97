"""Reads the calendar, the CSV and the Parquet file with readers of other makers, and counts the tasks of the plan.

Usage: python3 read_back.py FOLDER
Needs only Python; `icalendar` and `pyarrow` or `polars` are used where they can be imported, and a skip is printed
where not.
"""

import csv
import json
import pathlib
import sys
from datetime import date, timedelta

folder = pathlib.Path(sys.argv[1])
plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))


def expected():
    """Number of tasks that the plan asks for, counted here from the plan alone."""
    count = 0
    for planting in plan["plantings"]:
        count += 1  # sowing
        count += sum(planting[key] is not None for key in ["transplant", "cover_on", "cover_off", "clear"])
        count += pickings(planting)
    return count


def pickings(planting):
    """Pickings of a planting, where one under 100 g waits for the next."""
    count, waiting = 0, 0.0
    for pick in planting["picks"]:
        if pick["kg"] <= 0:
            continue
        waiting += pick["kg"]
        if waiting >= 0.1:
            count, waiting = count + 1, 0.0
    return count


def saturday(day):
    """The day of the week on which this household works, on that day or after."""
    day = date.fromisoformat(day)
    return (day + timedelta(days=(5 - day.weekday()) % 7)).isoformat()


with open(folder / "calendar.csv", newline="", encoding="utf-8") as file:
    rows = list(csv.DictReader(file))
assert len(rows) == expected(), (len(rows), expected())
assert len({tuple(row.values()) for row in rows}) == len(rows), "a task stands twice"
for key, words in [("sow", {"sow in bed", "sow in tray"}), ("clear", {"clear"})]:
    planned = sorted((saturday(p[key]), p["bed"], p["crop"]) for p in plan["plantings"])
    written = sorted((r["date"], r["bed"], r["crop"]) for r in rows if r["task"] in words)
    assert planned == written, key
print(f"CSV: {len(rows)} tasks, all of the plan, none twice")

try:
    import icalendar
except ImportError:
    print("SKIPPED calendar read-back: no `icalendar` (pip install icalendar)")
else:
    calendar = icalendar.Calendar.from_ical((folder / "calendar.ics").read_bytes())
    events = list(calendar.walk("VEVENT"))
    assert len({str(event["UID"]) for event in events}) == len(events), "a UID stands twice"
    for event in events:
        start, end = event.decoded("DTSTART"), event.decoded("DTEND")
        span = str(event["CATEGORIES"].to_ical(), "utf-8") == "BED WORK"
        assert type(start) is date and (span or end - start == timedelta(days=1)), "not an all-day entry"
        assert event["DTSTAMP"].dt.date().isoformat() <= "2026-11-01", "a stamp in the future"
        assert len(event.walk("VALARM")) == 1
    harvests = [event for event in events if str(event["CATEGORIES"].to_ical(), "utf-8") == "HARVEST"]
    picked = [row for row in rows if "harvest" in row["task"]]
    listed = [line for event in harvests for line in str(event["DESCRIPTION"]).splitlines()]
    assert sorted(line.split(" (", 1)[0] for line in listed) == sorted(row["crop_name"] for row in picked)
    starts = {"SOWING": ("sow", "plant", "order"), "SETTING OUT": ("set out",)}
    for category, words in starts.items():
        written = sorted(row["date"] for row in rows if row["task"].startswith(words))
        read = sorted(
            event.decoded("DTSTART").isoformat()
            for event in events
            if str(event["CATEGORIES"].to_ical(), "utf-8") == category
        )
        assert read == written, category
    print(f"calendar: {len(events)} all-day entries, the same tasks, a week's harvest in one")

try:
    import polars

    frame = polars.read_parquet(folder / "tasks.parquet").to_dicts()
except ImportError:
    try:
        import pyarrow.parquet

        frame = pyarrow.parquet.read_table(folder / "tasks.parquet").to_pylist()
    except ImportError:
        frame = None
        print("SKIPPED Parquet read-back: no `polars` or `pyarrow`")
if frame is not None:
    assert [row["date"].isoformat() for row in frame] == [row["date"] for row in rows]
    assert [row["bed"] for row in frame] == [row["bed"] for row in rows]
    print(f"Parquet: {len(frame)} rows, the same tasks")
