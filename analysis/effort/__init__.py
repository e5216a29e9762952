"""What carrying a weight cost on one's own legs and roads, by trip, item and battery.

Gets days with their distance, climbing and load; answers in energy and hours, as a range.
"""
