"""A second reader of a plan, in another language, that trusts nothing: `bedyear plan FILE --format json | python3 this`.

It looks at the machine format alone: sections that are taken twice, dates out of order, pickings outside the time in the
bed, totals that do not add up, figures that are no numbers. Prints one line a fault; exit code 1 where there is one.
"""

import json
import math
import sys
from datetime import date, timedelta

KG = 2e-5  # sums of figures that are printed with seven digits


def day(text):
    return date.fromisoformat(text)


def numbers(value, where, faults):
    """Every number is finite, none is a negative nought."""
    if isinstance(value, float):
        if not math.isfinite(value):
            faults.append(f"{where}: {value} is no number")
        if value == 0.0 and math.copysign(1.0, value) < 0.0:
            faults.append(f"{where}: -0.0")
    elif isinstance(value, dict):
        for key, one in value.items():
            numbers(one, f"{where}.{key}", faults)
    elif isinstance(value, list):
        for at, one in enumerate(value):
            numbers(one, f"{where}[{at}]", faults)


def week_of_year(at):
    """Week of the calendar, 0 to 51, the 29th of February counted as the 28th: the weeks by which a plan is made."""
    plain = date(2027, at.month, min(at.day, 28) if at.month == 2 else at.day)
    return min((plain - date(2027, 1, 1)).days // 7, 51)


def weeks_in_bed(planting, plan):
    """Weeks in which a planting holds its section; a year that repeats is a ring of 52."""
    begins, ends = day(planting["transplant"] or planting["sow"]), day(planting["clear"])
    if plan["repeats"]:
        first, last = week_of_year(begins), week_of_year(ends)
        last += 52 * (ends.year - begins.year)
        return {week % 52 for week in range(first, last)}
    start = day(plan["start"])
    return set(range((begins - start).days // 7, (ends - start).days // 7))


def overlaps(plan, faults):
    sections = dict(zip(plan["beds"], plan["bed_patches"]))
    taken = {}
    for number, one in enumerate(plan["plantings"]):
        name = f"planting {number} ({one['crop']} in {one['bed']})"
        if one["bed"] not in sections:
            faults.append(f"{name}: there is no such bed")
            continue
        for section in one["patches"]:
            if not 1 <= section <= sections[one["bed"]]:
                faults.append(f"{name}: section {section} of {sections[one['bed']]}")
            for at in weeks_in_bed(one, plan):
                other = taken.setdefault((one["bed"], section, at), number)
                if other != number:
                    faults.append(f"{name}: section {section} is taken by planting {other} too, in week {at}")
                    break


def windows(plan, faults):
    for number, one in enumerate(plan["plantings"]):
        name = f"planting {number} ({one['crop']} in {one['bed']})"
        order = [one["sow"], one["transplant"], one["first_harvest"], one["last_harvest"], one["clear"]]
        given = [day(text) for text in order if text]
        if given != sorted(given):
            faults.append(f"{name}: dates out of order: {order}")
        begins = day(one["transplant"] or one["sow"])
        for pick in one["picks"]:
            week = day(pick["start"])
            if pick["kg"] < 0:
                faults.append(f"{name}: {pick['kg']} kg picked")
            if not begins - timedelta(days=6) <= week <= day(one["clear"]):
                faults.append(f"{name}: picked {week}, outside its time in the bed")
        picked = sum(pick["kg"] for pick in one["picks"])
        if abs(picked - one["harvest_kg"]) > KG + 1e-6 * picked:
            faults.append(f"{name}: pickings make {picked} kg, harvest_kg is {one['harvest_kg']}")
        if not 0 <= one["survival"] <= 1:
            faults.append(f"{name}: comes through with {one['survival']}")


def totals(plan, faults):
    for number, week in enumerate(plan["weeks"]):
        foods = [one for one in week["by_food"] if not one["food"].startswith(("wish:", "target:"))]
        eaten = sum(one["food_kg"] for one in foods)
        if abs(eaten - week["food_kg"]) > KG + 1e-6 * eaten:
            faults.append(f"week {number}: foods make {eaten} kg, food_kg is {week['food_kg']}")
        wished = sum(one["wish_kg"] for one in week["by_food"])
        if abs(wished - week["wish_kg"]) > KG + 1e-6 * wished:
            faults.append(f"week {number}: wishes make {wished} kg, wish_kg is {week['wish_kg']}")
    picked = sum(one["harvest_kg"] for one in plan["plantings"])
    eaten = sum(week["food_kg"] for week in plan["weeks"])
    if plan["repeats"] and eaten > picked * (1 + 1e-6) + KG:
        faults.append(f"{eaten} kg eaten of {picked} kg picked")
    if plan["value"] > plan["bound"] + 1e-6 * abs(plan["bound"]):
        faults.append(f"value {plan['value']} above the bound {plan['bound']}")


def main():
    plan = json.load(sys.stdin)
    faults = []
    numbers(plan, "plan", faults)
    overlaps(plan, faults)
    windows(plan, faults)
    totals(plan, faults)
    for fault in faults:
        print(fault)
    sys.exit(1 if faults else 0)


main()
