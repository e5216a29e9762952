"""What the invented camper owns and borrows, has weighed again, and might buy.

The inventory is a table of text, since that is how its owner thinks of it: item, name, system,
grams, kit, then whatever else is known. Weights are of one piece.
"""

import shlex
from dataclasses import dataclass, fields
from datetime import date
from functools import cache

GEAR = """
tunnel-tent | Two-skin tunnel tent | shelter | 1472 | Shelter kit | price=290 bought_on=2018-05-12 retired_on=2024-03-09 note="Sold to a colleague"
pole-tent | One-pole tent | shelter | 1054 | Shelter kit | price=365 bought_on=2024-03-10 replaces=tunnel-tent
tent-peg | Tent peg | shelter | 12.5 | Shelter kit |
guy-lines | Guy lines, set of six | shelter | 41 | Shelter kit |
tent-footprint | Groundsheet | shelter | 152 | Shelter kit | essential=no price=38 bought_on=2018-05-12 retired_on=2025-09-20 note="Never missed since"
tarp | Tarp, 2.4 by 3 m | shelter | 338 | Shelter kit | essential=no meant_for=wet price=85 bought_on=2021-09-04
summer-quilt | Summer quilt | sleep | 528 | Sleep kit | price=240 bought_on=2022-06-11 rated_low_c=4 rated_as=maker
winter-bag | Winter sleeping bag | sleep | 1024 | Sleep kit | price=330 bought_on=2020-11-28 meant_for=cold cold_below_c=7 rated_low_c=-2 rated_as=limit
sleeping-mat | Air mat | sleep | 386 | Sleep kit | price=150 bought_on=2021-04-17 r_value=4.1
pump-sack | Pump sack | other | 48 | Sleep kit | needs=sleeping-mat
pillow | Inflatable pillow | leisure | 79 | Sleep kit | price=35 bought_on=2022-04-09
trail-shoes | Trail shoes | clothing | 684 | | carried_as=worn price=135 bought_on=2023-03-18
bike-shoes | Bike shoes | clothing | 712 | | carried_as=worn bought_on=2021-03-06
paddle-boots | Neoprene boots | clothing | 566 | | carried_as=worn bought_on=2020-06-20
walking-trousers | Walking trousers | clothing | 312 | | carried_as=worn
riding-shorts | Riding shorts | clothing | 206 | | carried_as=worn
merino-tee | Merino T-shirt | clothing | 156 | Clothes bag | price=70
underwear | Underwear | clothing | 64 | Clothes bag |
socks | Socks, pair | clothing | 57 | Clothes bag |
sun-cap | Cap | clothing | 63 | | carried_as=worn
riding-gloves | Riding gloves | clothing | 48 | | carried_as=worn
fleece | Fleece pullover | clothing | 232 | Clothes bag | going_without=2
puffy-jacket | Down jacket | clothing | 346 | Clothes bag | meant_for=cold cold_below_c=9 going_without=3 price=180 bought_on=2019-10-19
thermal-top | Thermal top | clothing | 152 | Clothes bag | meant_for=cold cold_below_c=5 going_without=3
thermal-leggings | Thermal leggings | clothing | 138 | Clothes bag | meant_for=cold cold_below_c=5 going_without=3
warm-hat | Wool hat | clothing | 47 | Clothes bag | meant_for=cold cold_below_c=8 going_without=3
gloves | Warm gloves | clothing | 55 | Clothes bag | meant_for=cold cold_below_c=6 going_without=3
down-booties | Down booties | clothing | 148 | Clothes bag | meant_for=cold cold_below_c=3 going_without=2
neck-tube | Neck tube | clothing | 38 | Clothes bag |
wind-shirt | Wind shirt | clothing | 76 | Clothes bag |
sleep-shorts | Shorts for the night | clothing | 68 | Clothes bag |
river-sandals | River sandals | clothing | 264 | Clothes bag | meant_for=ford going_without=2
old-rain-jacket | Rain jacket, three layers | rain | 338 | Rain kit | meant_for=wet bought_on=2016-10-01 retired_on=2024-10-05 note="Now for the garden"
rain-jacket | Rain jacket, light | rain | 224 | Rain kit | meant_for=wet price=210 bought_on=2024-10-06 replaces=old-rain-jacket
rain-trousers | Rain trousers | rain | 142 | Rain kit | meant_for=wet bought_on=2019-09-14
overshoes | Overshoes, pair | rain | 122 | Rain kit | meant_for=wet essential=no going_without=2
rain-mitts | Rain mitts | rain | 46 | Rain kit | meant_for="wet; cold" cold_below_c=7 essential=no going_without=3
umbrella | Trekking umbrella | rain | 188 | Rain kit | meant_for=wet essential=no going_without=1 price=45 bought_on=2022-12-24 note="A present"
pack-liner | Pack liner | bags | 44 | |
old-rucksack | Rucksack, 60 litres | bags | 1126 | | bought_on=2015-04-25 retired_on=2025-03-01 note="Gone to the scout shop"
rucksack | Rucksack, 45 litres | bags | 872 | | price=245 bought_on=2025-03-02 replaces=old-rucksack
pannier | Pannier | bags | 904 | | carried_as=vehicle price=75
frame-bag | Frame bag | bags | 216 | | carried_as=vehicle price=95
seat-pack | Seat pack | bags | 384 | | carried_as=vehicle price=120
handlebar-roll | Handlebar roll | bags | 292 | | carried_as=vehicle price=80
top-tube-bag | Top tube bag | bags | 97 | | carried_as=vehicle
fork-bag | Fork bag | bags | 153 | | carried_as=vehicle
handlebar-bag | Handlebar bag | bags | 418 | | carried_as=vehicle
big-dry-bag | Dry bag, 60 litres | bags | 262 | |
small-dry-bag | Dry bag, 13 litres | bags | 74 | |
stuff-sack | Stuff sack | bags | 16 | Clothes bag |
stove | Gas stove | cook | 93 | Cook kit | price=55 needs=gas-cartridge
old-pot | Cooking pot, 1.4 litres | cook | 186 | Cook kit | bought_on=2012-07-07 retired_on=2025-04-05 note="Dented, still good at home"
pot | Cooking pot, 0.9 litres | cook | 108 | Cook kit | price=60 bought_on=2025-04-05 replaces=old-pot
mug | Mug | cook | 66 | Cook kit |
spare-mug | Second mug, for guests | cook | 84 | Cook kit |
spoon | Long spoon | cook | 17 | Cook kit |
windscreen | Windscreen for the stove | cook | 36 | Cook kit | needs=stove
coffee-dripper | Coffee dripper | cook | 27 | Cook kit | needs=mug
cutting-board | Cutting board | cook | 63 | Cook kit |
pocket-knife | Pocket knife | cook | 31 | Cook kit |
food-bag | Food bag | bags | 43 | Cook kit |
dish-cloth | Dish cloth | cook | 11 | Cook kit |
lighter | Lighter | cook | 18 | Cook kit |
gas-cartridge | Gas cartridge | cook | 352 | Cook kit | carried_as=consumable
food | Food | food | 700 | Food | carried_as=consumable note="A day's worth; each trip has its own weight"
coffee | Coffee | food | 60 | Food | carried_as=consumable
oil-and-salt | Oil, salt and spices | food | 72 | Food | carried_as=consumable
water | Water | water | 1000 | Water kit | carried_as=consumable
soft-bottle | Soft bottle, 1 litre | water | 32 | Water kit |
water-filter | Water filter | water | 72 | Water kit | price=45 bought_on=2022-03-26
water-bag | Water bag, 3 litres | water | 42 | Water kit | essential=no going_without=2
purifying-tablets | Purifying tablets | water | 11 | Emergency kit | insurance=yes checked_on=2024-04-20
plasters | Plasters | first_aid | 14 | Emergency kit | checked_on=2026-03-07
wound-dressings | Wound dressings | first_aid | 37 | Emergency kit | checked_on=2025-04-12
crepe-bandage | Crepe bandage | first_aid | 42 | Emergency kit | checked_on=2025-04-12
painkillers | Painkillers | first_aid | 12 | Emergency kit | checked_on=2026-03-07
blister-pads | Blister pads | first_aid | 16 | Emergency kit | checked_on=2026-03-07
tick-remover | Tick remover | first_aid | 7 | Emergency kit | checked_on=2026-03-07
antihistamine | Antihistamine | first_aid | 9 | Emergency kit | checked_on=2024-04-20
nitrile-gloves | Nitrile gloves, pair | first_aid | 12 | Emergency kit | checked_on=2025-04-12
triangular-bandage | Triangular bandage | first_aid | 29 | Emergency kit | checked_on=2025-04-12
antiseptic-wipes | Antiseptic wipes | first_aid | 13 | Emergency kit | checked_on=2024-04-20
whistle | Whistle | safety | 9 | Emergency kit | checked_on=2026-03-07
foil-blanket | Foil blanket | safety | 62 | Emergency kit | checked_on=2025-04-12
beacon | Emergency beacon | safety | 102 | Emergency kit | price=260 bought_on=2025-05-17 checked_on=2026-05-16
storm-matches | Storm matches | fire | 18 | Emergency kit | checked_on=2025-04-12
fire-steel | Fire steel | fire | 31 | Emergency kit | checked_on=2026-03-07
spare-light | Spare light | light | 24 | Emergency kit | insurance=yes checked_on=2026-03-07
spare-specs | Spare glasses | other | 56 | Emergency kit | insurance=yes essential=yes checked_on=2026-03-07
helmet | Bicycle helmet | safety | 318 | | carried_as=worn bought_on=2022-04-02
buoyancy-aid | Buoyancy aid | safety | 612 | | carried_as=worn bought_on=2021-05-29 checked_on=2026-04-11
hi-vis-vest | Reflective vest | safety | 88 | | carried_as=worn
throw-line | Throw line, 15 m | safety | 236 | Boat kit | checked_on=2026-04-11
compass | Compass | navigation | 35 | Navigation kit |
paper-map | Paper map | navigation | 48 | Navigation kit |
phone | Phone | navigation | 198 | Navigation kit | carried_as=worn essential=yes
old-headlamp | Headlamp, three cells | light | 104 | Power kit | bought_on=2014-11-15 retired_on=2026-02-07
headlamp | Headlamp, rechargeable | light | 61 | Power kit | price=55 bought_on=2026-02-07 replaces=old-headlamp
lantern | Camp lantern | light | 98 | Camp comforts | price=40 bought_on=2022-10-01 going_without=1
front-light | Front light | light | 151 | | carried_as=vehicle
rear-light | Rear light | light | 57 | | carried_as=vehicle
patch-kit | Patch kit for mat and boat | repair | 31 | Repair kit |
repair-tape | Repair tape | repair | 26 | Repair kit |
sewing-kit | Sewing kit | repair | 19 | Repair kit |
spare-buckle | Spare buckle | repair | 11 | Repair kit |
zip-slider | Zip slider | repair | 6 | Repair kit |
glue | Glue, small tube | repair | 9 | Repair kit |
cord | Cord, 10 m | repair | 44 | Repair kit |
cable-ties | Cable ties | repair | 9 | Repair kit |
pole-sleeve | Pole sleeve | repair | 13 | Repair kit |
pliers | Folding pliers | repair | 68 | Repair kit |
spare-tube | Spare tube | repair | 141 | Bike tools | carried_as=vehicle
tyre-levers | Tyre levers | repair | 32 | Bike tools | carried_as=vehicle
hand-pump | Hand pump | repair | 127 | Bike tools | carried_as=vehicle
bike-tool | Bike multi-tool | repair | 158 | Bike tools | carried_as=vehicle
quick-link | Quick link | repair | 5 | Bike tools | carried_as=vehicle
brake-pads | Brake pads | repair | 24 | Bike tools | carried_as=vehicle
tyre-boot | Tyre boot | repair | 12 | Bike tools | carried_as=vehicle
chain-oil | Chain oil | repair | 37 | Bike tools | carried_as=vehicle
old-power-bank | Power bank, large | power | 288 | Power kit | capacity_wh=74 bought_on=2017-12-02 retired_on=2025-05-10
power-bank | Power bank | power | 184 | Power kit | price=48 capacity_wh=37 bought_on=2025-05-10 replaces=old-power-bank
charging-cable | Charging cable | power | 26 | Power kit |
wall-charger | Wall charger | power | 58 | Power kit | going_without=2
toothbrush | Toothbrush | hygiene | 12 | Wash kit |
toothpaste | Toothpaste | hygiene | 34 | Wash kit | carried_as=consumable
soap | Soap | hygiene | 35 | Wash kit | carried_as=consumable
old-towel | Cotton towel | hygiene | 152 | Wash kit | retired_on=2024-06-01
towel | Travel towel | hygiene | 58 | Wash kit | price=22 bought_on=2024-06-01 replaces=old-towel
trowel | Trowel | hygiene | 29 | Wash kit | going_without=2
toilet-paper | Toilet paper | hygiene | 61 | Wash kit | carried_as=consumable
sun-cream | Sun cream | hygiene | 84 | Wash kit | carried_as=consumable going_without=3
hand-gel | Hand gel | hygiene | 44 | Wash kit | carried_as=consumable
ear-plugs | Ear plugs | hygiene | 3 | Wash kit | going_without=2
bug-repellent | Insect repellent | hygiene | 63 | Wash kit | carried_as=consumable meant_for=bugs going_without=3
head-net | Head net | clothing | 27 | Clothes bag | meant_for=bugs going_without=3
sit-chair | Sit chair | leisure | 464 | Camp comforts | price=130 bought_on=2023-02-25
folding-table | Folding table | leisure | 546 | Camp comforts | price=70 bought_on=2023-02-25
e-reader | E-reader | leisure | 162 | Camp comforts |
notebook | Notebook and pencil | leisure | 46 | Camp comforts |
sit-pad | Sit pad | leisure | 41 | Camp comforts |
binoculars | Binoculars | leisure | 246 | Camp comforts | price=160
draughts-set | Travel draughts | leisure | 118 | Camp comforts | price=18
field-guide | Field guide to trees | leisure | 214 | Camp comforts | price=24
folding-saw | Folding saw | other | 188 | Camp comforts | price=32 going_without=1
trekking-poles | Trekking pole | other | 228 | | carried_as=worn price=110
wallet | Wallet and keys | other | 92 | | carried_as=worn
gravel-bike | Gravel bike | bike | 10900 | | carried_as=vehicle bought_on=2021-03-06
e-bike | E-bike | bike | 24600 | | carried_as=vehicle capacity_wh=625 bought_on=2024-02-24
spare-battery | Spare battery for the e-bike | bike | 3940 | | carried_as=vehicle capacity_wh=625 needs=e-bike price=790 bought_on=2024-02-24
battery-charger | Charger for the e-bike | bike | 724 | | carried_as=vehicle needs=e-bike
bike-lock | Lock | bike | 642 | | carried_as=vehicle
canoe | Open canoe | boat | 24800 | | carried_as=vehicle owner="the paddling club"
paddle | Paddle | boat | 814 | | carried_as=vehicle owner="the paddling club"
spare-paddle | Spare paddle | boat | 742 | | carried_as=vehicle insurance=yes owner="the paddling club"
canoe-trolley | Canoe trolley | boat | 3350 | | carried_as=vehicle owner="the paddling club"
bailer | Bailer and sponge | boat | 128 | Boat kit | carried_as=vehicle
kneeling-mat | Kneeling mat | boat | 212 | Boat kit | carried_as=vehicle
"""  # noqa: E501 - a table reads best with one row a line

WEIGHINGS = """
winter-bag | 2024-11-02 | 1039 | After the wash, still lofty
old-rucksack | 2023-09-30 | 1098 | Without the hip pockets
rucksack | 2026-02-28 | 851 | Spare straps cut off
puffy-jacket | 2025-11-01 | 352 | Patched elbow
trail-shoes | 2024-08-31 | 671 | Worn down a bit
pannier | 2024-06-15 | 912 | New hooks
fleece | 2025-01-25 | 228 |
"""

CANDIDATES = """
lighter-down-jacket | Down jacket, lighter | clothing | 262 | price=300 replaces=puffy-jacket expected_nights=25 note="Saves 90 g. Pretty, though"
three-season-quilt | Warmer quilt | sleep | 664 | price=390 replaces=summer-quilt rated_low_c=0 rated_as=comfort expected_nights=30
small-power-bank | Power bank, small | power | 112 | price=32 replaces=power-bank capacity_wh=19 expected_nights=20
two-person-tent | Larger tent, in case Robin comes again | shelter | 1905 | price=440 replaces=pole-tent expected_nights=15
"""  # noqa: E501 - as above

CURRENCY = "USD"


@dataclass(frozen=True, slots=True)
class Gear:
    """One row of gear.csv. Grams, degrees Celsius, watt-hours; empty text is an empty cell."""

    item: str
    name: str
    system: str
    weight_g: float
    kit: str
    carried_as: str = "base"
    insurance: str = ""
    essential: str = ""
    meant_for: str = ""
    cold_below_c: str = ""
    going_without: str = ""
    price: str = ""
    bought_on: str = ""
    retired_on: str = ""
    checked_on: str = ""
    rated_low_c: str = ""
    rated_as: str = ""
    r_value: str = ""
    capacity_wh: str = ""
    replaces: str = ""
    needs: str = ""
    owner: str = ""
    note: str = ""

    def owned_on(self, day: date) -> bool:
        """Whether it was there to be packed on that day."""
        text = day.isoformat()
        return self.bought_on <= text and not (self.retired_on and self.retired_on <= text)

    @property
    def meant(self) -> tuple[str, ...]:
        """The conditions it is meant for; empty for any."""
        return tuple(word.strip() for word in self.meant_for.split(";") if word.strip())


COLUMNS = tuple(field.name for field in fields(Gear))


def cells(table: str) -> list[list[str]]:
    """The cells of a text table, one list a row."""
    return [[c.strip() for c in line.split("|")] for line in table.strip().splitlines()]


def extras(text: str) -> dict[str, str]:
    """The ``key=value`` words at the end of a row."""
    return dict(word.split("=", 1) for word in shlex.split(text))


@cache
def inventory() -> dict[str, Gear]:
    """Everything owned or borrowed, by item, in the order of gear.csv."""
    return {
        item: Gear(item, name, system, float(grams), kit, **extras(rest))
        for item, name, system, grams, kit, rest in cells(GEAR)
    }
