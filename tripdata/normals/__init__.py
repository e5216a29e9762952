"""What the night of a place and date usually brings: NOAA U.S. Climate Normals on file.

`station_file` reads one by-station file of NOAA's, recognised by its columns; `folder` the files of
a logbook; `packaged` the two stations that come with the program; `keeping` puts them into the
store. Temperatures in degrees Celsius, heights in metres, distances in kilometres.
"""
