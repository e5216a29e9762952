"""Numerics alone: rates, lines, chains and mixtures of plain numbers; none reads a logbook.

`bennet_split` is the one that counts in trips and items.
"""
