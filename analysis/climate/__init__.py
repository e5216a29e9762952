"""What nights are usual at a place and dates: stations, normals, and the outlook for a trip.

Gets the trips and NOAA's normals from the store; answers how unusual a night was and how likely a
cold one is.

`station_choice` finds the station of a place, `normals` sets the nights of a trip beside what is
usual, `outlook` has the chance of a cold night to come, `season_spread` how far lows stray.
`words`, `station_words`, `page_tables` and `chart` tell it.
"""
