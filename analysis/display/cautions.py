"""The usual cautions: what is said where an answer can hurt someone, by what can hurt.

Two texts on one danger stand side by side: each is read at another moment, which its line names.
"""

# Cold: beside nights that were cold, beside a rating, beside new bedding, beside one's own limit,
# beside what is usual at a place, beside what a trip's weather asks for.
RATING_CARE = "Ratings compare bags; they promise nothing."
COLD_CARE = (
    "Cold can injure and kill. Shivering that will not stop, numb hands or a muddled head need "
    f"shelter, warmth and help at once. {RATING_CARE}"
)
NEW_BEDDING_CARE = (
    "Ratings compare bags; they promise no one a warm night. Cold can injure and kill. Try new "
    "limits near home, with something warmer within reach."
)
LIMIT_CARE = (
    "Ratings compare bags; they promise nothing, and neither does this limit: one night in five is "
    "too cold at it. Cold can injure and kill, sooner where you are tired, wet, hungry or ill. Try "
    "new limits near home with warmth in reserve, and let qualified advice and local conditions "
    "decide."
)
NORMALS_CARE = (
    "Normals say what is usual, not what is coming: look at the forecast. Valleys, hollows and "
    "open ground can be many degrees colder at night than a weather station. Cold can injure and "
    "kill; local advice and qualified practice come first."
)
AHEAD_CARE = f"Ratings and limits promise nothing. {NORMALS_CARE}"
WEATHER_CARE = (
    "A forecast is no promise, and cold can injure and kill. Where a cold or wet night could be "
    "dangerous, take what keeps you warm and dry whatever the season."
)

# What failed: on one trip, waiting to be mended, mended.
TRIP_FAILURE_CARE = (
    "Leave what is unsafe unused until it is mended and checked. Brakes, frames, stoves, gas and "
    "buoyancy belong in qualified hands."
)
FAILED_CARE = (
    "Do not use what failed in an unsafe way until someone who knows has looked at it. Brakes, "
    "frames, stoves, gas, batteries and buoyancy belong in qualified hands."
)
MENDED_CARE = f"{FAILED_CARE} Try mended gear near home first."

# Batteries: to charge after a trip, to buy. `WEIGHT_CARE` has them, too.
CHARGING_CARE = (
    "Charge batteries with their own charger, on something that does not burn, while you are "
    "there; a swollen, wet or damaged one goes to recycling."
)
NEW_BATTERY_CARE = (
    "Use the maker’s charger and keep batteries dry and undamaged. Keep enough charge for light "
    "and a phone call in an emergency."
)

# Load limits and what rides or floats: bags as loaded, a thing to buy, what weight costs.
BIKE_LOAD_CARE = (
    "Bike, racks and bags each have a load limit, the rider counted in; keep within the lowest, "
    "and both sides about even."
)
BOAT_LOAD_CARE = "Keep within what the boat is rated for, people counted in, and trim it level."
WATER_CARE = (
    "Cold water can kill within minutes. Wear a buoyancy aid. Check wind, water and the way back; "
    "local rules and qualified practice come first."
)
"""Beside every trip by boat, and every list for one."""
RIDE_CARE = (
    "Keep within the load limits. Brakes, frames and buoyancy belong in qualified hands, and a "
    "buoyancy aid is worn."
)
HEAVIER_CARE = (
    "Keep within the load limits of bike, rack, boat and of your own back. Heavy things sit low "
    "and close, and change how a bike brakes and steers."
)
"""Beside what is heavier than what it replaces."""
WEIGHT_CARE = (
    f"{HEAVIER_CARE} Use the maker’s charger, keep batteries dry, cool and undamaged, and do not "
    "leave them alone while they charge. Brakes and frames belong in qualified hands."
)

FIRE_CARE = "Stoves, fuel and carbon monoxide can kill: use them outside, by their instructions."

# Food, fuel and water: beside the amounts that a coming trip takes.
NEEDS_CARE = (
    "A reserve for delay, cold and detours is on top of every amount, and yours to set. Water is "
    "not forecast: plan it by what the way has, by heat and effort, and treat what needs treating. "
    "First aid and other insurance is not measured by what was used of it."
)

# First aid and emergencies: to restock, to buy.
FIRST_AID_CARE = "First aid is only as good as your training; replace what is open or out of date."
SAFETY_GEAR_CARE = (
    "What is carried for an emergency is chosen with those who know the danger, by local rules and "
    "current standards, never by grams or money alone."
)

# Going without: on a list to leave at home, on one of what to take, on a change to try, on a target
# of weight.
LEAVING_CARE = (
    "This goes by what was used, what it weighs and what you noted that a thing is. It knows "
    "nothing of your route, your health, your training or the forecast. Where going without "
    "a thing could hurt someone, take it: local rules and trained advice come first."
)
KEEP_WARM_CARE = "Cold can injure and kill: take what keeps you warm and dry."
"""Beside `LEAVING_CARE`, where a page opens with what to leave at home."""
LIST_CARE = (
    "Only your own record is asked: what never came along is never named. Go through warmth, rain, "
    "water, food, light, first aid and the way to call for help yourself."
)
SWAP_CARE = (
    "Try changes on mild trips near home, with a way back. The list goes by your columns and your "
    "counts, which cannot know every use of a thing: whatever keeps you warm, dry, lit, found, "
    "fed, healed or afloat stays packed, also where it is named here."
)
TARGET_CARE = (
    "Meet a target with what you do not need. First aid, safety gear, warmth for the cold that "
    "may come and shelter from rain are not what to save on."
)
