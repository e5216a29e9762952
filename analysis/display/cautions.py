"""The usual cautions: what is said where an answer can hurt someone, each in one wording."""

FAILED_CARE = (
    "Do not use what failed in an unsafe way until someone who knows has looked at it. Brakes, "
    "frames, stoves, gas and buoyancy belong in qualified hands."
)
MENDED_CARE = f"{FAILED_CARE} Try mended gear near home first."
NEW_BEDDING_CARE = (
    "Ratings compare bags; they promise no one a warm night. Cold can injure and kill. Try new "
    "limits near home, with something warmer within reach."
)
NEW_BATTERY_CARE = (
    "Use the maker's charger and keep batteries dry and undamaged. Keep enough charge for light "
    "and a phone call in an emergency."
)
SAFETY_GEAR_CARE = (
    "What is carried for an emergency is chosen with those who know the danger, by local rules and "
    "current standards, never by grams or money alone."
)
FIRE_CARE = "Stoves, fuel and carbon monoxide can kill: use them outside, by their instructions."
RIDE_CARE = (
    "Keep within the load limits. Brakes, frames and buoyancy belong in qualified hands, and a "
    "buoyancy aid is worn."
)
WEIGHT_CARE = (
    "Keep within the load limits of bike, rack, boat and of your own back. Heavy things sit low "
    "and close, and change how a bike brakes and steers. Use the maker's charger, keep batteries "
    "dry, cool and undamaged, and do not leave them alone while they charge. Brakes and frames "
    "belong in qualified hands."
)
LEAVING_CARE = (
    "This goes by what was used, what it weighs and what gear.csv says that a thing is. It knows "
    "nothing of your route, your health, your training or the forecast. Where going without "
    "a thing could hurt someone, take it: local rules and trained advice come first."
)
SWAP_CARE = (
    "Try changes on mild trips near home, with a way back. The list goes by your columns and your "
    "counts, which cannot know every use of a thing: whatever keeps you warm, dry, lit, found, "
    "fed, healed or afloat stays packed, also where it is named here."
)
