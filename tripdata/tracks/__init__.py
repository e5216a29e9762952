"""What a GPX file says of each day: how far, how much climbing, how long, and how sure that is.

`gpx` reads the points of a file; `fixes` tells which of them can be compared, `speeds` how fast is
too fast, `climbing` what counts as a climb; `days` adds up what is left, `reading` does it all in
turn; `results` is what comes out, `words` says it. `keeping` puts it into a trip's folder.
Distances in kilometres, on the WGS 84 ellipsoid; heights in metres.
"""

from .gpx import TrackError
from .reading import read_track
from .results import Track, TrackDay

__all__ = ["Track", "TrackDay", "TrackError", "read_track"]
