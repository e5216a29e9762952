"""The demo logbook: four seasons of an invented camper, with the truth behind it written down.

``write_demo`` writes the files; ``truth`` holds what an analysis of them ought to find.
"""

from .writing import write_demo

__all__ = ["write_demo"]
