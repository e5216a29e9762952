"""What nights are usual at a place and dates: stations, normals, and the outlook for a trip.

Gets the trips and NOAA's normals from the store; answers how unusual a night was and how likely a
cold one is.
"""
